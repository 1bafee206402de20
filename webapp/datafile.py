"""What a file is, and whether the log beside it is its own, told before anything opens it as a database."""

import os
import sqlite3
import struct
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from enum import Enum
from pathlib import Path

from webapp.faults import line, reason
from webapp.settings import Settings, StartError

# SQLite's header (https://www.sqlite.org/fileformat.html, section 1.3): magic string, user version at 60,
# application id at 68, both big-endian. Both are written while the file is made and never changed after.
_HEADER = 100
_MAGIC = b"SQLite format 3\x00"
_USER_VERSION = slice(60, 64)
_APPLICATION_ID = slice(68, 72)

APPLICATION_ID = int.from_bytes(b"Spok", "big")
DEMO_MARK = 1

# SQLite's log (section 4 of the same page): its own header, then frames of a header and one page each.
_LOG_HEADER = struct.Struct(">4sII4x8s8x")
_LOG_MAGICS = (b"\x37\x7f\x06\x82", b"\x37\x7f\x06\x83")
_PAGE_SIZES = tuple(2**power for power in range(9, 17))
_FRAME_HEADER = 24
_FRAME_SALTS = slice(8, 16)

# Nothing in SQLite ties a log to its file. So every write of ours puts a new random mark into the file, next
# to the one before it: a log belongs exactly when the mark in the file without the log is the one that the
# log's first write came after, or one of the log's own that was folded in already. Both lie in the same two
# files and change in the writes themselves, so a kill at any moment leaves them true.
ADVANCE_MARK = "UPDATE write_mark SET earlier = latest, latest = randomblob(8)"
_NO_MARK = bytes(8)
# The only row of the table: a leaf page with one cell, and in it (length 20, row 1) the types of NULL (the
# row's number stands in its place) and of two blobs of eight bytes. No other table of ours has blobs.
_LEAF, _CELL_COUNT, _CELL_PLACE = 13, slice(3, 5), slice(8, 10)
_CELL_START = bytes.fromhex("14 01 04 00 1c 1c")


class FileKind(Enum):
    """What lies at the place where the data file should be."""

    NEW = "nothing yet"
    OWN = "a person's data"
    DEMO = "the invented build"


def look(path: Path, instead: str = "give --data another name") -> FileKind:
    """Say what the file is, reading only its header; StartError when it is not ours to open."""
    if path.is_dir():
        raise StartError(f"{path} is a folder: {instead}, such as {path / 'spokeshed.db'}.")
    if os.path.lexists(path) and not path.is_file():
        raise StartError(f"{path} is not an ordinary file: {instead}.")
    if not path.exists():
        if log := _log_beside(path):
            raise StartError(
                f"{path} is gone, but its log {log.name} is still there: put the file back, "
                f"or restore a copy with spokeshed restore."
            )
        return FileKind.NEW
    try:
        with path.open("rb") as file:
            header = file.read(_HEADER)
    except OSError as error:
        raise StartError(f"{path} cannot be read: {reason(error)}.") from error
    return _kind(path, header, instead)


def _kind(path: Path, header: bytes, instead: str) -> FileKind:
    if not header:
        # An empty file alone has nothing to lose, and a person or a tool may have made it to be filled. With
        # a log or a key beside it, it once held data, which a new start would hide.
        if company := _log_beside(path) or _key_beside(path):
            raise StartError(
                f"{path} is empty, but {company.name} beside it shows that it held data: it was left alone; "
                "restore a copy with spokeshed restore."
            )
        return FileKind.NEW
    if len(header) < _HEADER or not header.startswith(_MAGIC):
        raise StartError(f"{path} is no database: it was left alone; {instead}.")
    if int.from_bytes(header[_APPLICATION_ID], "big") != APPLICATION_ID:
        raise StartError(f"{path} is another program's database: it was left alone; {instead}.")
    return FileKind.DEMO if int.from_bytes(header[_USER_VERSION], "big") == DEMO_MARK else FileKind.OWN


def beside(path: Path, ending: str) -> Path:
    """A neighbour of the file; SQLite keeps its own beside the file that a link leads to."""
    real = path.resolve()
    return real.with_name(real.name + ending)


def address(path: Path, options: str) -> str:
    """The file for SQLite; mode=rw makes one that has gone meanwhile an error, not a new empty file."""
    return f"{path.resolve().as_uri()}?{options}"


def _log_beside(path: Path) -> Path | None:
    log = beside(path, "-wal")
    return log if log.is_file() and log.stat().st_size else None


def _key_beside(path: Path) -> Path | None:
    key = Settings(path).key_file
    return key if key.exists() else None


def is_ruin(path: Path) -> bool:
    """Whether a file of ours was here and cannot be told any more: gone, emptied or without its head."""
    if path.is_file():
        with path.open("rb") as file:
            ruined = file.read(len(_MAGIC)) != _MAGIC
    else:
        ruined = not os.path.lexists(path)
    return ruined and bool(_log_beside(path) or _key_beside(path))


def log_belongs(path: Path) -> bool:
    """Whether SQLite may fold the log beside the file into it; True when there is none, or nothing to judge."""
    for _ in range(5):
        marks = list(_marks_in_log(beside(path, "-wal")))
        held = _mark_held(path) if marks else None
        if held is None or held in {marks[0][0], *(latest for _, latest in marks)}:
            return True
        # A program that is running may have folded its log between the two looks.
        time.sleep(0.05)
    return False


def expect_own_log(path: Path) -> None:
    """StartError when the log beside the file is another file's."""
    if not log_belongs(path):
        log = beside(path, "-wal")
        raise StartError(
            f"{log} is the log of another file than {path}, as when a copy was put back beside an old log: "
            f"move {log.name} elsewhere to go on with the file as it is, or use spokeshed restore; "
            "both were left alone."
        )


def _marks_in_log(log: Path) -> Iterator[tuple[bytes, bytes]]:
    """The pairs of marks that were written, in order.

    The sums over the frames are not done again: a frame that was torn is the last of its log, and what an
    undone write left behind is a mark that nothing else bears.
    """
    try:
        file = log.open("rb")
    except FileNotFoundError:
        return
    except OSError as error:
        raise StartError(f"{log} cannot be read: {reason(error)}.") from error
    with file:
        header = file.read(_LOG_HEADER.size)
        if len(header) < _LOG_HEADER.size:
            return
        magic, _, page_size, salts = _LOG_HEADER.unpack(header)
        if magic not in _LOG_MAGICS or page_size not in _PAGE_SIZES:
            return
        length = _FRAME_HEADER + page_size
        while len(frame := file.read(length)) == length and frame[_FRAME_SALTS] == salts:
            page = frame[_FRAME_HEADER:]
            place = int.from_bytes(page[_CELL_PLACE], "big")
            if page[0] != _LEAF or int.from_bytes(page[_CELL_COUNT], "big") != 1:
                continue
            cell = page[place : place + 22]
            if cell.startswith(_CELL_START):
                yield cell[6:14], cell[14:22]


def _mark_held(path: Path) -> bytes | None:
    """The mark in the file as it is without its log; None when that cannot be told."""
    try:
        with closing(sqlite3.connect(address(path, "mode=ro&immutable=1"), uri=True)) as connection:
            if not connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'write_mark'").fetchone():
                return _NO_MARK
            (mark,) = connection.execute("SELECT latest FROM write_mark").fetchone()
            return bytes(mark)
    except (sqlite3.Error, TypeError):
        # Half folded when the power failed, or damaged: the check of the whole file, after it, will tell.
        return None


@contextmanager
def held(path: Path, *, serving: bool = False, alone: bool = False) -> Iterator[None]:
    """Have the file in use, together with others; as the one program that serves it; or alone, to replace it.

    The lock is SQLite's own on an empty file: it works alike on every system and ends with the process however
    it ends. Any number may read, one of them may be about to write (that is who serves), and whoever writes is
    alone. It is not on the data file, for that can be damaged, moved or gone while the program runs.
    """
    lock = beside(path, ".lock")
    with closing(sqlite3.connect(lock, timeout=0 if alone else 2, isolation_level=None)) as connection:
        try:
            connection.execute("BEGIN EXCLUSIVE" if alone else "BEGIN")
            connection.execute("SELECT count(*) FROM sqlite_master").fetchone()  # BEGIN alone locks nothing
            if serving:
                connection.execute("COMMIT")
                connection.execute("BEGIN IMMEDIATE")
        except sqlite3.Error as error:
            raise StartError(_who_holds(path, lock, error, connection, alone)) from error
        yield


def _who_holds(
    path: Path, lock: Path, error: sqlite3.Error, connection: sqlite3.Connection, alone: bool
) -> str:
    if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
        return f"The lock {lock} cannot be used: {line(error)}."
    if alone:
        return f"spokeshed is running on {path}: stop it first; the file was left alone."
    try:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.Error:
        return f"A copy is just being restored to {path}: start again when that is done."
    return f"spokeshed is running on {path} already: use that one, or stop it first; the file was left alone."


def make_room(path: Path) -> None:
    """Make sure that the file and its neighbours can be written, making the folder when there is none."""
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StartError(f"The folder {path.parent} cannot be made: {reason(error)}.") from error
    if not os.access(path.parent, os.W_OK | os.X_OK):
        raise StartError(f"The folder {path.parent} cannot be written to: choose another with --data.")
    if path.exists() and not os.access(path, os.W_OK):
        raise StartError(f"{path} cannot be written to: give yourself the right to.")


def unique_name(path: Path, what: str) -> Path:
    """A dated name beside the file for what is kept of it."""
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%S_%fZ")
    return path.with_name(f"{path.stem}.{what}-{stamp}{path.suffix or '.db'}")


def settle(path: Path) -> None:
    """Wait until the disk has what was written."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def settle_names(folder: Path) -> None:
    """Wait until the disk has the names in a folder; only POSIX needs it and can do it."""
    if os.name == "posix":
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
