"""The file of devices beside the data: who was let in, by what each is known, and the code for a new one.

A file of its own, so that a copy of the data that is put back neither lets anybody in again nor shuts anybody out, no
copy or export carries a secret, and a device that was seen does not make the data file another.
"""

import logging
import os
import sqlite3
import time
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from secrets import token_hex
from threading import Lock

from webapp.datafile import address, unique_name
from webapp.faults import reason
from webapp.settings import StartError

log = logging.getLogger("spokeshed")

_SHAPE = 1
_TABLES = (
    "CREATE TABLE device (id TEXT PRIMARY KEY, name TEXT NOT NULL, let_in REAL NOT NULL, seen REAL NOT NULL,"
    " used INTEGER NOT NULL, copied REAL)",
    "CREATE TABLE secret (device_id TEXT NOT NULL REFERENCES device ON DELETE CASCADE, number INTEGER NOT NULL,"
    " digest BLOB NOT NULL, issued REAL NOT NULL, PRIMARY KEY (device_id, number))",
    "CREATE TABLE code (id INTEGER PRIMARY KEY CHECK (id = 1), serial TEXT NOT NULL, digits TEXT NOT NULL,"
    " made REAL NOT NULL)",
    f"PRAGMA user_version = {_SHAPE}",
)
# SQLite's header: any commit by any program counts on here (https://www.sqlite.org/fileformat.html, section 1.3.7).
_COUNTER = slice(24, 28)
_BUSY_S = 2.0
_REST_S = 1.0


class DevicesUnwritable(StartError):
    """The devices file cannot be written: nothing was changed in it."""


@dataclass(frozen=True, slots=True)
class KeptSecret:
    """What is kept of a secret that a device was given: its sum, and when it was given."""

    digest: bytes
    issued: float


@dataclass(frozen=True, slots=True)
class DeviceRow:
    """A device that was let in; `used` is the newest secret it has come with, `copied` when it was ended as copied."""

    id: str
    name: str
    let_in: float
    seen: float
    used: int
    copied: float | None
    secrets: Mapping[int, KeptSecret]


@dataclass(frozen=True, slots=True)
class CodeRow:
    """The code for a new device; each has a serial of its own, also where the digits come out the same."""

    serial: str
    digits: str
    made: float


@dataclass(frozen=True, slots=True)
class HeldDevices:
    """The whole file as last read."""

    rows: Mapping[str, DeviceRow] = field(default_factory=dict)
    code: CodeRow | None = None


class DevicesFile:
    """The file, held in memory; it is made when something is first written.

    No connection is kept: writes are rare, and whether another program has written is told by four bytes.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._turn = Lock()
        self._counter = b""
        self._rest_until = 0.0
        self.held = HeldDevices()

    def open(self) -> str:
        """Read it; one that cannot be read is put aside, and the sentence that says so is returned."""
        if not os.path.lexists(self._path):
            return ""
        try:
            with self._turn, closing(self._connect()) as connection:
                if connection.execute("PRAGMA quick_check").fetchone() == ("ok",) and _is_ours(connection):
                    self._take(connection)
                    return ""
        except sqlite3.Error as error:
            if error.sqlite_errorcode == sqlite3.SQLITE_BUSY:
                raise StartError(
                    f"The devices file {self._path} is held by another program: try again soon."
                ) from error
        aside = put_aside(self._path, "devices file")
        # What SQLite left to undo belongs to the file that went.
        with suppress(FileNotFoundError):
            self._journal.rename(aside.with_name(f"{aside.name}-journal"))
        return f"The devices file was damaged and is kept as {aside.name}: each device gives the code again."

    @property
    def behind(self) -> bool:
        """Whether another program has written since it was read; a file that is out of reach tells nothing new."""
        counter = self._read_counter()
        return counter not in (b"", self._counter) and time.monotonic() >= self._rest_until

    def read(self) -> None:
        """Read what it holds now; a file that was never made holds nothing."""
        if self._path.exists():
            with self._turn, closing(self._connect()) as connection:
                self._take(connection)

    def refresh(self) -> None:
        """Read what another program has written; while that fails, what was read before stands."""
        try:
            self.read()
        except sqlite3.Error:
            log.exception("the devices file %s could not be read; it is tried again", self._path)
            self._rest_until = time.monotonic() + _REST_S

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One change to the file, kept when the block ends; what is held is read anew."""
        try:
            with self._turn:
                self._make()
                with closing(self._connect()) as connection:
                    connection.execute("BEGIN IMMEDIATE")
                    if not _is_ours(connection):
                        for statement in _TABLES:
                            connection.execute(statement)
                    yield connection
                    connection.execute("COMMIT")
                    self._take(connection)
        except (sqlite3.Error, OSError) as error:
            raise DevicesUnwritable(
                f"The devices file {self._path} cannot be written: {error}; nothing was changed in it."
            ) from error

    def put_code(self, digits: str | None, now: float) -> None:
        """Let a new code hold in place of the one before, or none at all."""
        if digits is None and self.held.code is None:
            return
        with self.writing() as connection:
            connection.execute("DELETE FROM code")
            if digits is not None:
                connection.execute("INSERT INTO code VALUES (1, ?, ?, ?)", (token_hex(8), digits, now))

    @property
    def _journal(self) -> Path:
        return self._path.with_name(f"{self._path.name}-journal")

    def _make(self) -> None:
        with suppress(FileExistsError):
            # Readable by this person only, from the first moment on.
            os.close(os.open(self._path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))

    def _connect(self) -> sqlite3.Connection:
        connection = sqlite3.connect(
            address(self._path, "mode=rw"),
            uri=True,
            timeout=_BUSY_S,
            isolation_level=None,
            check_same_thread=False,
        )
        connection.execute("PRAGMA foreign_keys = ON")
        return connection

    def _read_counter(self) -> bytes:
        try:
            with self._path.open("rb", buffering=0) as file:
                return file.read(_COUNTER.stop)[_COUNTER]
        except OSError:
            return b""

    def _take(self, connection: sqlite3.Connection) -> None:
        # Looked at before reading: what is held may be younger than it, never older.
        counter = self._read_counter()
        connection.execute("BEGIN")
        secrets: dict[str, dict[int, KeptSecret]] = {}
        for device, number, digest, issued in connection.execute(
            "SELECT device_id, number, digest, issued FROM secret"
        ):
            secrets.setdefault(device, {})[number] = KeptSecret(digest, issued)
        rows = connection.execute(
            "SELECT id, name, let_in, seen, used, copied FROM device ORDER BY rowid"
        ).fetchall()
        code = connection.execute("SELECT serial, digits, made FROM code").fetchone()
        connection.execute("COMMIT")
        self.held = HeldDevices(
            {
                device: DeviceRow(device, name, let_in, seen, used, copied, secrets.get(device, {}))
                for device, name, let_in, seen, used, copied in rows
            },
            None if code is None else CodeRow(*code),
        )
        self._counter = counter


def put_aside(path: Path, what: str) -> Path:
    """Give a file that cannot be read a dated name of its own, which is returned."""
    aside = unique_name(path, "damaged")
    try:
        path.rename(aside)
    except OSError as error:
        raise StartError(f"The {what} {path} is damaged and cannot be put aside: {reason(error)}.") from error
    return aside


def _is_ours(connection: sqlite3.Connection) -> bool:
    shape: tuple[int] = connection.execute("PRAGMA user_version").fetchone()
    return shape == (_SHAPE,)
