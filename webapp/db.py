"""The data file while the program runs: readers in parallel, one writer at a time, commits on the disk."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Lock
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlmodel import Session

BUSY_MS = 5000
_WRITER = "spokeshed_writer"

_PRAGMAS = (
    f"PRAGMA busy_timeout = {BUSY_MS}",
    "PRAGMA journal_mode = WAL",
    # FULL: a tick that was answered is still there after the mains fails.
    "PRAGMA synchronous = FULL",
    "PRAGMA foreign_keys = ON",
    # Without it a REPLACE would get past the trigger that forbids deleting a line of the journal.
    "PRAGMA recursive_triggers = ON",
)


class Db:
    """Sessions on one SQLite file."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.engine = _engine(path)
        self._readers = self.engine
        self._writers = self.engine.execution_options(**{_WRITER: True})
        # SQLite takes one writer at a time. Queueing here is fair and quick; SQLite's own waiting is neither,
        # and is left for other programs that have the file open.
        self._turn = Lock()

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A session that sees one consistent state and keeps nothing."""
        with Session(self._readers, expire_on_commit=False) as session:
            yield session

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A session that commits once at the end of the block, or undoes everything when the block fails."""
        with self._turn, Session(self._writers, expire_on_commit=False) as session, session.begin():
            # BEGIN IMMEDIATE now, so that what is read next is what the write is judged against.
            session.connection()
            yield session

    def close(self) -> None:
        """Close every connection; SQLite then folds its log back into the file."""
        self.engine.dispose()


def _engine(path: Path) -> Engine:
    engine = create_engine(
        URL.create("sqlite", database=str(path)),
        # isolation_level None: the driver starts no transactions of its own, so that ours say which kind.
        connect_args={"isolation_level": None, "check_same_thread": False},
        pool_size=8,
        max_overflow=-1,
    )
    event.listen(engine, "connect", _prepare_connection)
    event.listen(engine, "begin", _begin)
    return engine


def _prepare_connection(connection: Any, _record: object) -> None:
    cursor = connection.cursor()
    for pragma in _PRAGMAS:
        cursor.execute(pragma)
    cursor.close()


def _begin(connection: Connection) -> None:
    # A deferred BEGIN that later writes cannot wait for its turn: SQLite answers "locked" at once.
    writer = connection.get_execution_options().get(_WRITER, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writer else "BEGIN")
