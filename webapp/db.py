"""The data file while the program runs: readers in parallel, one writer at a time, commits on the disk."""

from __future__ import annotations

import sqlite3
from collections import OrderedDict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from pathlib import Path
from secrets import token_hex
from threading import BoundedSemaphore, Lock
from time import monotonic
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, PoolProxiedConnection, QueuePool, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session

from webapp.datafile import ADVANCE_MARK, address, beside
from webapp.faults import FileTrouble, fault_of

BUSY_MS = 5000
# So long a write waits from its arrival, for its turn and for another program's lock together.
WAIT_S = BUSY_MS / 1000
# So many writes wait at a time. Each keeps one of the server's forty threads, and some must be left for readers.
MOST_WAITING = 30
_WRITER = "spokeshed_writer"
_STATE = "spokeshed_state"
_DRIVER = "spokeshed_driver"
# So much of what was read is held at once, such as builds.
_MOST_HELD = 12

Found = TypeVar("Found")

# The stands before and after what the request under way wrote last, where nobody else had committed in between.
_own_step: ContextVar[tuple[str, str] | None] = ContextVar("own step", default=None)

_PRAGMAS = (
    f"PRAGMA busy_timeout = {BUSY_MS}",
    "PRAGMA journal_mode = WAL",
    # FULL: a tick that was answered is still there after the mains fails.
    "PRAGMA synchronous = FULL",
    "PRAGMA foreign_keys = ON",
    # Without it a REPLACE would get past the trigger that forbids deleting a line of the journal.
    "PRAGMA recursive_triggers = ON",
)


class FileBusy(FileTrouble):
    """Too many writes wait, or one has waited too long for those before it."""

    def __init__(self) -> None:
        super().__init__("The data file is busy: nothing was stored; try again soon.")


class FileFault(FileTrouble):
    """SQLite could not do it: another program has the file, the disk is full, the file is damaged, or the like."""


class FileGone(FileTrouble):
    """What lies at the file's place is not what was opened: writing goes where nobody will find it again."""


class Db:
    """Sessions on one SQLite file, which must be there, and must stay where it is."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.engine = _engine(path)
        event.listen(self.engine, "connect", self._connected)
        self._readers = self.engine
        self._writers = self.engine.execution_options(**{_WRITER: True})
        # SQLite takes one writer at a time. Queueing here is fair and quick; SQLite's own waiting is neither,
        # and is left for other programs that have the file open.
        self._turn = Lock()
        self._waiting = BoundedSemaphore(MOST_WAITING)
        # SQLite deletes the log when the last connection is closed, so one is kept. From here on the file and
        # its log stay the same two, whatever the others do.
        self._opened: tuple[object, object] | None = None
        self._log = beside(path, "-wal")
        self._kept: PoolProxiedConnection | None = self.engine.raw_connection()
        # Every run begins with a mark of its own in the file itself. Else a copy made before it would be, bit
        # for bit, the file that this run's log belongs to, and putting it back would not go back.
        self._kept.cursor().execute(ADVANCE_MARK)
        self._fold()
        self._asking = Lock()
        # The file's version is counted from a number of SQLite's own at each start.
        self._run = token_hex(4)
        self._held: OrderedDict[object, tuple[int, Any]] = OrderedDict()
        self._opened = self._in_place()

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A session that sees one consistent state and keeps nothing."""
        self.expect_in_place()
        with _said():
            # Asked before the first statement: what is read may be younger than the version it is held under, never older.
            state = _State(self, self._version())
            with Session(self._readers, expire_on_commit=False, info={_STATE: state}) as session:
                yield session

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A session that commits once at the end of the block, or undoes everything when the block fails."""
        with _said(), self._my_turn() as until:
            self.expect_in_place()
            with self._writers.connect() as connection:
                raw = connection.connection.driver_connection
                assert isinstance(raw, sqlite3.Connection)
                with Session(connection, expire_on_commit=False) as session, session.begin():
                    # BEGIN IMMEDIATE now, so that what is read next is what the write is judged against.
                    with _patient(raw, until):
                        session.connection()
                    changed, others = raw.total_changes, _others_commits(raw)
                    # Nobody else can commit from here on.
                    state = session.info[_STATE] = _State(self, self._version(), raw, changed)
                    yield session
                    session.flush()
                    if raw.total_changes != changed:
                        connection.exec_driver_sql(ADVANCE_MARK)
                    self.expect_in_place()
                # Once more: a file that went during the commit has taken it along.
                self.expect_in_place()
                self._committed(state, raw, others)

    @contextmanager
    def whole(self) -> Iterator[sqlite3.Connection]:
        """A connection for what SQLite does with a file as a whole, such as a copy of it."""
        self.expect_in_place()
        with _said():
            pooled = self.engine.raw_connection()
            try:
                raw = pooled.driver_connection
                assert isinstance(raw, sqlite3.Connection)
                yield raw
            finally:
                pooled.close()
        self.expect_in_place()

    @contextmanager
    def whole_alone(self) -> Iterator[sqlite3.Connection]:
        """The same while nothing else of the program writes."""
        with self._my_turn(), self.whole() as raw:
            yield raw
        self.forget_held()

    @contextmanager
    def _my_turn(self) -> Iterator[float]:
        """Nobody else's turn to write; until when its own waiting may last. FileBusy when it does not come in time."""
        until = monotonic() + WAIT_S
        if not self._waiting.acquire(blocking=False):
            raise FileBusy
        try:
            mine = self._turn.acquire(timeout=WAIT_S)
        finally:
            self._waiting.release()
        if not mine:
            raise FileBusy
        try:
            yield until
        finally:
            self._turn.release()

    def _committed(self, state: _State, raw: sqlite3.Connection, others: int) -> None:
        """Hold what was handed on under the version of the commit just made, unless it may be another's already."""
        version = self._version()
        # Asked after the version, of the connection that has written: its own commit is none of the others'.
        if version is not None and _others_commits(raw) == others:
            for key, found in state.handed.items():
                self._keep(version, key, found)
            _own_step.set((self._stand(state.version), self._stand(version)))

    def _version(self) -> int | None:
        """A number that differs after any commit to the file, by this program or another; None once it is closed."""
        with self._asking:
            if self._kept is None:
                return None
            version: int = self._kept.cursor().execute("PRAGMA data_version").fetchone()[0]
            return version

    def stand(self) -> str:
        """A text that differs after any commit to the file and after any start of the program; empty once it is closed."""
        return self._stand(self._version())

    def _stand(self, version: int | None) -> str:
        return "" if version is None else f"{self._run}-{version}"

    def forget_held(self) -> None:
        """Let go of everything held, so that all is read anew."""
        with self._asking:
            self._held.clear()

    def held(self, version: int, key: object, load: Callable[[], Found]) -> Found:
        """What is held under this key for this version of the file, else what is loaded now."""
        with self._asking:
            kept = self._held.get(key)
            if kept is not None and kept[0] == version:
                self._held.move_to_end(key)
                found: Found = kept[1]
                return found
        fresh = load()
        self._keep(version, key, fresh)
        return fresh

    def _keep(self, version: int, key: object, found: object) -> None:
        with self._asking:
            self._held[key] = version, found
            self._held.move_to_end(key)
            while len(self._held) > _MOST_HELD:
                self._held.popitem(last=False)

    def expect_in_place(self) -> None:
        """FileGone when the file or its log was moved, deleted, replaced or emptied since it was opened."""
        if self._in_place() != self._opened:
            raise FileGone(
                f"The data file {self.path.name} was moved, deleted, replaced or emptied while spokeshed runs: "
                "nothing was stored; put that very file back where it was, or stop spokeshed and restore a copy."
            )

    def close(self) -> None:
        """Fold the log back into the file and close every connection; FileGone, and nothing done, when it went.

        SQLite would fold the log into an emptied file too, and delete it after.
        """
        if self._kept is None:
            return
        self.expect_in_place()
        # Here and not left to the last connection: another program may have the file open.
        try:
            with _said():
                self._fold()
        finally:
            with self._asking:
                self._kept.close()
                self._kept = None
                self._held.clear()
            self.engine.dispose()

    def _fold(self) -> None:
        assert self._kept is not None
        self._kept.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def _in_place(self) -> tuple[object, object]:
        return _identity(self.path), _identity(self._log, empty=True)

    def _connected(self, connection: Any, _record: object) -> None:
        # Before the first word is said to it: it may be another file by now.
        if self._opened is not None:
            self.expect_in_place()
        cursor = connection.cursor()
        for pragma in _PRAGMAS:
            cursor.execute(pragma)
        cursor.close()


@dataclass(frozen=True)
class _State:
    """Which state of the file a session sees; of a writing one also the rows its connection had changed before it."""

    db: Db
    version: int | None
    raw: sqlite3.Connection | None = None
    changed: int = 0
    # What the transaction knows to be as it leaves it.
    handed: dict[object, Any] = field(default_factory=dict)


@contextmanager
def _said() -> Iterator[None]:
    """What SQLite cannot do, as a sentence; a wrong statement stays what it is."""
    try:
        yield
    except (sqlite3.Error, DBAPIError) as error:
        if (fault := fault_of(error)) is None:
            raise
        raise FileFault(fault.sentence) from error


@contextmanager
def _patient(raw: sqlite3.Connection, until: float) -> Iterator[None]:
    """Wait for another program's lock no longer than until then; who came later has waited meanwhile as well."""
    raw.execute(f"PRAGMA busy_timeout = {max(0, int((until - monotonic()) * 1000))}")
    try:
        yield
    finally:
        raw.execute(f"PRAGMA busy_timeout = {BUSY_MS}")


def _others_commits(raw: sqlite3.Connection) -> int:
    """A number that differs once any other connection has committed."""
    version: int = raw.cursor().execute("PRAGMA data_version").fetchone()[0]
    return version


def stand_after(stand: str) -> str:
    """The stand that this request's own write led to from this one; empty where it wrote nothing or others did as well."""
    step = _own_step.get()
    return step[1] if step is not None and step[0] == stand else ""


def driver(session: Session) -> sqlite3.Connection:
    """The driver's own connection in a session's transaction."""
    raw = session.info.get(_DRIVER)
    if raw is None:
        raw = session.connection().connection.driver_connection
        if _STATE in session.info:  # one of ours has one transaction, and no other connection
            session.info[_DRIVER] = raw
    assert isinstance(raw, sqlite3.Connection)
    return raw


def hand_on(session: Session, key: object, found: object) -> None:
    """Hold this once it is committed: what a writing transaction leaves under this key, so that nobody need load it."""
    state: _State | None = session.info.get(_STATE)
    if state is not None:
        state.handed[key] = found


def held(session: Session, key: object, load: Callable[[], Found]) -> Found:
    """What was loaded under this key before, while no commit has changed the file since; else it is loaded now.

    A transaction that has written always loads: it sees what nobody else may see yet.
    """
    state: _State | None = session.info.get(_STATE)
    if state is None or state.version is None:
        return load()
    if state.raw is not None and state.raw.total_changes != state.changed:
        return load()
    return state.db.held(state.version, key, load)


def _identity(path: Path, *, empty: bool = False) -> tuple[int, int] | None:
    """Which file it is, whatever its name; None when there is none, or an empty one where that is wrong."""
    try:
        found = path.stat()
    except OSError:
        return None
    return (found.st_dev, found.st_ino) if empty or found.st_size else None


def _engine(path: Path) -> Engine:
    def connect() -> sqlite3.Connection:
        # isolation_level None: the driver starts no transactions of its own, so that ours say which kind.
        return sqlite3.connect(
            address(path, "mode=rw"), uri=True, isolation_level=None, check_same_thread=False
        )

    engine = create_engine("sqlite://", creator=connect, poolclass=QueuePool, pool_size=8, max_overflow=-1)
    event.listen(engine, "begin", _begin)
    return engine


def _begin(connection: Connection) -> None:
    # A deferred BEGIN that later writes cannot wait for its turn: SQLite answers "locked" at once.
    writer = connection.get_execution_options().get(_WRITER, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writer else "BEGIN")
