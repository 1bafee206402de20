"""Dated copies of the data, beside them and in a second folder: made by themselves, thinned, put back while it runs."""

import logging
import re
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from glob import escape
from hashlib import blake2b
from pathlib import Path
from threading import Event, Lock, Thread
from time import monotonic

from webapp.backup import bring, expect_copy
from webapp.datafile import address, beside, settle, settle_names
from webapp.db import Db, FileBusy
from webapp.faults import FileTrouble, line
from webapp.settings import Settings, StartError
from webapp.upgrade import bring_up, copy_whole, expect_sound

log = logging.getLogger("spokeshed")


class NotCopied(FileTrouble):
    """A copy could not be made, read or put back; nothing that was there has changed."""


REPLACED = "replaced"
_STAMP = "%Y%m%dT%H%M%SZ"
_LONGEST_NAME = 120
# What is kept, always counted from the newest: these whatever their dates, then the last of each day, week and
# month. Counted and not reckoned by age: a clock that was wrong for a day must not make everything look old.
_NEWEST, _DAYS, _WEEKS = 10, 14, 13

_FIRST_S = 2.0  # the first sheets are not to wait for a copy
_LOOK_S = 60.0
_DAY_S = 24 * 3600.0
_STOP_S = 5.0


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy in a folder: which it is in the order they were made, when by the clock of that time, and why."""

    path: Path
    number: int
    made: datetime
    # Empty for one that is made by the day and may be thinned out.
    why: str

    @property
    def size(self) -> int:
        """In bytes; none once it is gone."""
        try:
            return self.path.stat().st_size
        except OSError:
            return 0


@dataclass(frozen=True, slots=True)
class Legacy:
    """What a build left behind when it was deleted: its export, which is never thinned out."""

    path: Path
    number: int
    made: datetime
    name: str


def left_of(data: Path) -> list[Legacy]:
    """The exports of the builds that were deleted from this file, the newest first."""
    name = re.compile(rf"{re.escape(data.stem)}-deleted-(\d{{5,}})-(\d{{8}}T\d{{6}}Z) (.+)\.json")
    try:
        files = list(folder_of(data).iterdir())
    except OSError:
        return []
    found = [
        Legacy(file, int(part[1]), datetime.strptime(part[2], _STAMP).replace(tzinfo=UTC), part[3])
        for file in files
        if (part := name.fullmatch(file.name))
    ]
    return sorted(found, key=lambda left: left.number, reverse=True)


def _leave(data: Path, name: str, text: str) -> Legacy:
    """Write a deleted build's export beside the copies: on the disk before it has its name."""
    folder = folder_of(data)
    folder.mkdir(mode=0o700, exist_ok=True)
    number = max((left.number for left in left_of(data)), default=0) + 1
    now = datetime.now(UTC).replace(microsecond=0)
    safe = " ".join("".join(sign if sign.isalnum() or sign in "-_()½¼¾" else " " for sign in name).split())
    # A name of a file has 255 bytes at most.
    shown = safe.encode()[:_LONGEST_NAME].decode(errors="ignore").strip() or "a build"
    path = folder / f"{data.stem}-deleted-{number:05}-{now.strftime(_STAMP)} {shown}.json"
    half = folder / f".{data.stem}-deleted.half"
    try:
        half.write_bytes(text.encode())
        settle(half)
        half.replace(path)
        settle_names(folder)
    finally:
        half.unlink(missing_ok=True)
    return Legacy(path, number, now, shown)


def folder_of(data: Path) -> Path:
    """Where the copies lie, beside the data."""
    return beside(data, ".copies")


def copies_of(data: Path, folder: Path | None = None) -> list[Copy]:
    """The copies of this file in its own folder or in another one, the newest first."""
    name = re.compile(rf"{re.escape(data.stem)}-(\d{{5,}})-(\d{{8}}T\d{{6}}Z)(?:-([\w-]+))?\.db")
    try:
        files = list((folder or folder_of(data)).iterdir())
    except OSError:
        return []
    found = [
        Copy(file, int(part[1]), datetime.strptime(part[2], _STAMP).replace(tzinfo=UTC), part[3] or "")
        for file in files
        if (part := name.fullmatch(file.name))
    ]
    return sorted(found, key=lambda copy: copy.number, reverse=True)


def keep(
    connection: sqlite3.Connection,
    data: Path,
    why: str = "",
    *,
    number: int = 1,
    stopped: Callable[[], bool] = lambda: False,
) -> Copy:
    """A sound copy of the data as they are: a new one, or the newest where nothing has changed since.

    `number` is the least that a new one has.
    """
    folder = folder_of(data)
    folder.mkdir(mode=0o700, exist_ok=True)
    for half in folder.glob(f".{escape(data.stem)}-*"):
        half.unlink(missing_ok=True)  # what a power cut left half made
    before = copies_of(data)
    now = datetime.now(UTC).replace(microsecond=0)
    own = max(number, before[0].number + 1 if before else 1)
    ending = f"-{why}" if why else ""
    path = folder / f"{data.stem}-{own:05}-{now.strftime(_STAMP)}{ending}.db"
    copy_whole(connection, data, path, own_mark=True, stopped=stopped)
    copy = Copy(path, own, now, why)
    if before and _content(before[0].path) == _content(path):
        # One copy of a state is enough: the one that is kept for a reason, else the one that is there.
        spare = before[0] if why and before[0].why != why else copy
        spare.path.unlink(missing_ok=True)
        return copy if spare is before[0] else before[0]
    return copy


def _content(path: Path) -> bytes:
    """A sum over all that was stored, without the marks and counters that differ in each copy."""
    try:
        with closing(sqlite3.connect(address(path, "mode=ro&immutable=1"), uri=True)) as connection:
            (size,) = connection.execute("PRAGMA page_size").fetchone()
            roots = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'write_mark'")
            marks = {root for (root,) in roots}
        found = blake2b()
        with path.open("rb") as file:
            number = 0
            while page := file.read(size):
                number += 1
                # The change counter stands at 24 of the header, and again at 92 with the library's own version.
                kept = page[:24] + page[28:92] + page[100:] if number == 1 else page
                if number not in marks:
                    found.update(kept)
    except (OSError, sqlite3.Error):
        return str(path).encode()  # like no other
    return found.digest()


def superfluous(copies: list[Copy]) -> list[Copy]:
    """Which of them, the newest first, may go."""
    seen: tuple[set[object], set[object], set[object]] = (set(), set(), set())
    found = []
    plain = [copy for copy in copies if not copy.why]
    for place, copy in enumerate(plain):
        day, week, month = copy.made.date(), copy.made.isocalendar()[:2], (copy.made.year, copy.made.month)
        wanted = place < _NEWEST
        for own, known, most in zip((day, week, month), seen, (_DAYS, _WEEKS, len(copies)), strict=True):
            if own not in known and len(known) < most:
                known.add(own)
                wanted = True
        if not wanted:
            found.append(copy)
    return found


@dataclass(frozen=True, slots=True)
class Newer:
    """What the present data have that a copy has not: lines of the journal, and the last of them."""

    lines: int
    last: str = ""
    who: str = ""


class Copies:
    """Makes the copies of one run, in the background and when asked; knows the last good one and what went wrong."""

    def __init__(
        self,
        db: Db,
        settings: Settings,
        *,
        first_s: float = _FIRST_S,
        look_s: float = _LOOK_S,
        day_s: float = _DAY_S,
    ) -> None:
        self._db = db
        self._data = settings.data
        self._demo = settings.demo
        self.second = settings.copies
        self._first_s, self._look_s, self._day_s = first_s, look_s, day_s
        self._one = Lock()
        self._ended = Event()
        self._thread = Thread(target=self._run, name="copies", daemon=True)
        self._made: tuple[float, datetime] | None = None
        self.failed = ""
        self.away = ""
        # The newest copy that is known to lie in the second folder.
        self.there: Copy | None = None
        self.last = next(iter(copies_of(self._data)), None)

    @property
    def wrong(self) -> str:
        """What a person should see to, in a sentence; empty when all is well."""
        return self.failed or self.away

    def unsound(self) -> str:
        """What is wrong with the data file that is open, looked at now, in a sentence; empty where it is sound."""
        try:
            with self._db.whole() as connection:
                expect_sound(connection, self._data)
        except (OSError, sqlite3.Error, StartError, FileTrouble) as error:
            return f"The data that are open now are no good: {line(error.__cause__ or error)}."
        return ""

    def start(self) -> None:
        """Begin to make them: one soon, then one a day."""
        self._clear()
        self._thread.start()

    def stop(self) -> None:
        """Make no more, and give up one that is half made."""
        self._ended.set()
        if self._thread.is_alive():
            self._thread.join(_STOP_S)

    def all(self) -> list[Copy]:
        """The copies there are, the newest first."""
        return copies_of(self._data)

    def find(self, number: int) -> Copy | None:
        """The copy of this number."""
        return next((copy for copy in self.all() if copy.number == number), None)

    def make(self) -> Copy:
        """A copy of the data as they are now, in both folders; NotCopied when it cannot be made."""
        with self._one:
            try:
                with self._db.whole() as connection:
                    copy = keep(connection, self._data, number=self._next(), stopped=self._ended.is_set)
            except (OSError, sqlite3.Error, StartError, FileTrouble) as error:
                if self._ended.is_set():
                    # It was given up because the program stops: no fault, and nothing for the log.
                    raise NotCopied("No copy of the data was made: the program stops.") from error
                said = f"No copy of the data could be made: {line(error.__cause__ or error)}."
                if said != self.failed:
                    self.failed = said
                    log.info(said)
                raise NotCopied(said) from error
            self._keep_in_mind(copy)
            self._thin(self._data, None)
            self._bring_out()
        return copy

    def put_back(self, copy: Copy) -> Copy:
        """Make the data what they were in a copy; where what there was is kept.

        SQLite writes the copy over the present data in one transaction, so a crash leaves the one or the other, and
        whoever reads meanwhile sees the one or the other. Every version goes on from the present ones: a page drawn
        before is out of date, and says so. NotCopied when it cannot be done.
        """
        with self._one:
            fresh = folder_of(self._data) / _FRESH
            try:
                expect_copy(self._data, copy.path, self._demo)
                bring(copy.path, fresh)
                bring_up(fresh, "nothing was put back")
                with self._db.whole_alone() as live:
                    aside = self._keep_aside(live, copy)
                    with closing(sqlite3.connect(fresh, isolation_level=None)) as source:
                        _go_on_from(live, source)
                        source.backup(live, pages=_PAGES_AT_ONCE, progress=_not_forever)
            except (OSError, sqlite3.Error, StartError) as error:
                raise NotCopied(f"The copy could not be put back: {line(error)}.") from error
            finally:
                self._clear()
            self._keep_in_mind(aside)
            self._bring_out()
        log.info("put back %s; what there was is kept as %s", copy.path.name, aside.path.name)
        return aside

    def left(self) -> list[Legacy]:
        """What the builds that were deleted left behind, the newest first."""
        return left_of(self._data)

    def find_left(self, number: int) -> Legacy | None:
        """The one of this number."""
        return next((one for one in self.left() if one.number == number), None)

    def leave(self, name: str, text: str) -> Legacy:
        """Keep the export of a build that is about to be deleted; NotCopied when that cannot be done."""
        try:
            return _leave(self._data, name, text)
        except OSError as error:
            raise NotCopied(
                f"Its export could not be written: {line(error)}. Nothing was deleted."
            ) from error

    def newer_than(self, copy: Copy) -> Newer:
        """What the present data have that the copy has not."""
        with self._db.whole() as connection:
            try:
                connection.execute("ATTACH ? AS copy", (address(copy.path, "mode=ro&immutable=1"),))
                try:
                    # Read to the end, for a statement that is not would hold the copy.
                    ((lines,),) = connection.execute(f"SELECT count(*) {_NOT_IN_COPY}").fetchall()
                    last = connection.execute(
                        f"SELECT sentence, who {_NOT_IN_COPY} ORDER BY id DESC LIMIT 1"
                    ).fetchall()
                finally:
                    connection.execute("DETACH copy")
            except sqlite3.Error as error:
                raise NotCopied(
                    f"{copy.path.name} cannot be compared with the data: {line(error)}."
                ) from error
        return Newer(lines, *(last[0] if last else ()))

    def _keep_aside(self, live: sqlite3.Connection, copy: Copy) -> Copy:
        try:
            return keep(live, self._data, REPLACED, number=self._next())
        except (OSError, sqlite3.Error, StartError) as error:
            raise NotCopied(
                f"What is there now cannot be kept aside ({line(error)}): nothing was put back. "
                f"Stop spokeshed, and then: spokeshed restore {copy.path} --data {self._data}"
            ) from error

    def _clear(self) -> None:
        """Nothing is left of a copy that was being put back, now or when the power failed."""
        for ending in ("", "-wal", "-shm", "-journal"):
            beside(folder_of(self._data) / _FRESH, ending).unlink(missing_ok=True)

    def _next(self) -> int:
        """A number above all in the second folder: the first may have been lost."""
        there = copies_of(self._data, self.second) if self.second else []
        return there[0].number + 1 if there else 1

    def _keep_in_mind(self, copy: Copy) -> None:
        self.last, self.failed = copy, ""
        self._made = monotonic(), datetime.now(UTC)

    def _thin(self, data: Path, folder: Path | None) -> None:
        for copy in superfluous(copies_of(data, folder)):
            copy.path.unlink(missing_ok=True)

    def _run(self) -> None:
        self._ended.wait(self._first_s)
        while not self._ended.is_set():
            try:
                self._look()
            except NotCopied:
                pass  # said by `failed`
            except Exception:
                self.failed = "No copy of the data could be made: an error in the program, see the log."
                log.exception("a copy failed")
            self._ended.wait(self._look_s)

    def _look(self) -> None:
        """Make a copy if one is due, else see whether the second folder has the last."""
        if self._is_due():
            self.make()
        else:
            with self._one:
                self._bring_out()

    def _is_due(self) -> bool:
        if self._made is None or self.failed:
            return True
        # Both, for the one stands still while the machine sleeps, and the other may be set.
        ran, by_clock = monotonic() - self._made[0], datetime.now(UTC) - self._made[1]
        return ran >= self._day_s or abs(by_clock.total_seconds()) >= self._day_s

    def _bring_out(self) -> None:
        """Put into the second folder what it lacks; a folder that is not there is not made, for it may be a stick's."""
        if self.second is None:
            return
        try:
            if not self.second.is_dir():
                raise StartError("it is not there")
            for half in self.second.glob(f".{escape(self._data.stem)}-*.half"):
                half.unlink(missing_ok=True)  # of a stick that was pulled
            there = copies_of(self._data, self.second)
            newest = there[0].number if there else 0
            own = [copy for copy in self.all() if copy.number > newest]
            for copy in reversed(own if there else own[:1]):
                _carry(copy.path, self.second)
            for left in left_of(self._data):
                if not (self.second / left.path.name).exists():
                    _carry(left.path, self.second, Path.read_bytes)
            self._thin(self._data, self.second)
            self.there, self.away = next(iter(copies_of(self._data, self.second)), None), ""
        except (OSError, StartError) as error:
            self.away = f"Copies do not reach {self.second}: {line(error)}."


_NOT_IN_COPY = """FROM main.journal_line AS own WHERE NOT EXISTS (SELECT 1 FROM copy.journal_line AS old
    WHERE old.id = own.id AND old.at = own.at AND old.sentence = own.sentence)"""
_PAGES_AT_ONCE = 500
_FRESH = "restoring"
_VERSIONED = ("build", "axle", "casting", "instrument", "machine", "chuck", "jig")


def _go_on_from(live: sqlite3.Connection, source: sqlite3.Connection) -> None:
    """Make what is put back the next state after the present one, to its log and to pages drawn before."""
    (latest,) = live.execute("SELECT latest FROM write_mark").fetchone()
    source.execute("UPDATE write_mark SET earlier = ?, latest = randomblob(8)", (latest,))
    for table in _VERSIONED:
        (most,) = live.execute(f"SELECT coalesce(max(version), 0) FROM {table}").fetchone()  # noqa: S608  (our own names)
        source.execute(f"UPDATE {table} SET version = version + ?", (most,))  # noqa: S608


def _not_forever(status: int, _left: int, _pages: int) -> None:
    """Python would wait for another program's lock as long as that is held."""
    if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        raise FileBusy


def _carry(copy: Path, folder: Path, content: Callable[[Path], bytes] = _content) -> None:
    """A copy put into another folder: whole and the same before it has its name."""
    half = folder / f".{copy.name}.half"
    try:
        shutil.copyfile(copy, half)
        settle(half)
        if content(half) != content(copy):
            raise StartError("what was written there reads otherwise")
        half.replace(folder / copy.name)
        settle_names(folder)
    finally:
        half.unlink(missing_ok=True)
