"""What a file is, told from its first hundred bytes, before anything opens it as a database."""

import os
from enum import Enum
from pathlib import Path

from webapp.settings import StartError

# SQLite's header (https://www.sqlite.org/fileformat.html, section 1.3): magic string, user version at 60,
# application id at 68, both big-endian. Both are written while the file is made and never changed after.
_HEADER = 100
_MAGIC = b"SQLite format 3\x00"
_USER_VERSION = slice(60, 64)
_APPLICATION_ID = slice(68, 72)

APPLICATION_ID = int.from_bytes(b"Spok", "big")
DEMO_MARK = 1


class Kind(Enum):
    """What lies at the place where the data file should be."""

    NEW = "nothing yet"
    OWN = "a person's data"
    DEMO = "the invented build"


def look(path: Path) -> Kind:
    """Say what the file is, reading only its header; StartError when it is not ours to open."""
    if path.is_dir():
        raise StartError(
            f"{path} is a folder: give --data the name of a file, such as {path / 'spokeshed.db'}."
        )
    if os.path.lexists(path) and not path.is_file():
        raise StartError(f"{path} is not an ordinary file: give --data another name.")
    if not path.exists():
        return Kind.NEW
    try:
        with path.open("rb") as file:
            header = file.read(_HEADER)
    except OSError as error:
        raise StartError(f"{path} cannot be read: {reason(error)}.") from error
    return _kind(path, header)


def _kind(path: Path, header: bytes) -> Kind:
    if not header:
        return Kind.NEW
    if len(header) < _HEADER or not header.startswith(_MAGIC):
        raise StartError(f"{path} is no database: it was left alone; give --data another name.")
    if int.from_bytes(header[_APPLICATION_ID], "big") != APPLICATION_ID:
        raise StartError(f"{path} is another program's database: it was left alone; choose another --data.")
    return Kind.DEMO if int.from_bytes(header[_USER_VERSION], "big") == DEMO_MARK else Kind.OWN


def make_room(path: Path) -> None:
    """Make sure that the file and its neighbours can be written, making the folder when there is none."""
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StartError(f"The folder {path.parent} cannot be made: {reason(error)}.") from error
    if not os.access(path.parent, os.W_OK | os.X_OK):
        raise StartError(f"The folder {path.parent} cannot be written to: choose another with --data.")
    if path.exists() and not os.access(path, os.W_OK):
        raise StartError(f"{path} cannot be written to: choose another with --data.")


def reason(error: OSError) -> str:
    """The system's own words for what went wrong, without the path and the number."""
    return error.strerror or type(error).__name__
