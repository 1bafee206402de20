"""What goes wrong with a file on a disk, in words: never SQL, and never SQLite's own shorthand."""

import logging
import sqlite3
from dataclasses import dataclass

from webapp.settings import StartError

log = logging.getLogger("spokeshed")


@dataclass(frozen=True, slots=True)
class FileWrong:
    """Why the data file cannot be used, what a person can do about it, and what became of a change."""

    why: str
    remedy: str
    stored: str = "nothing was stored"

    @property
    def sentence(self) -> str:
        """What is said to whoever was just writing, or reading."""
        return f"{self.why[:1].upper()}{self.why[1:]}: {self.stored}; {self.remedy}."


class FileTrouble(Exception):
    """What stands between a person and the data file; the text is the sentence that says so."""


_BUSY = FileWrong("another program holds the data file", "try again soon")
_READ_ONLY = FileWrong(
    "the data file cannot be written to", "let it and its folder be written to, then try again"
)
_FULL = FileWrong("the disk is full", "make room and try again")
# What a disk says of a write that it reported as failed is not to be relied on either way.
_DISK = FileWrong(
    "the disk failed to read or write",
    "see to the disk, then look at the sheet before you try again",
    "take nothing as stored",
)
DAMAGED = FileWrong("the data file is damaged", "stop spokeshed and restore a sound copy")
_UNOPENED = FileWrong(
    "the data file cannot be opened", "see that it and its folder are there and may be written to"
)
# By SQLite's primary codes (https://www.sqlite.org/rescode.html); the low byte of every extended one is its own.
_FAULTS = {
    sqlite3.SQLITE_BUSY: _BUSY,
    sqlite3.SQLITE_LOCKED: _BUSY,
    sqlite3.SQLITE_PROTOCOL: _BUSY,
    sqlite3.SQLITE_READONLY: _READ_ONLY,
    sqlite3.SQLITE_PERM: _READ_ONLY,
    sqlite3.SQLITE_FULL: _FULL,
    sqlite3.SQLITE_IOERR: _DISK,
    sqlite3.SQLITE_CORRUPT: DAMAGED,
    sqlite3.SQLITE_NOTADB: DAMAGED,
    sqlite3.SQLITE_CANTOPEN: _UNOPENED,
}


def fault_of(error: BaseException) -> FileWrong | None:
    """What an error of SQLite's means, also as SQLAlchemy hands it on; None for any other, such as a wrong statement."""
    code = getattr(getattr(error, "orig", error), "sqlite_errorcode", None)
    return None if code is None else _FAULTS.get(code & 0xFF)


def line(error: BaseException) -> str:
    """Why something failed, as one clause of a sentence; what nobody expected goes to the log in full."""
    if (fault := fault_of(error)) is not None:
        return fault.why
    if isinstance(error, (StartError, FileTrouble)):
        return str(error).rstrip(".")
    if isinstance(error, OSError):
        return reason(error)
    log.error("not expected", exc_info=error)
    return "an error in the program, whose details are in the log"


def reason(error: OSError) -> str:
    """The system's own words for what went wrong, without the path and the number."""
    return error.strerror or type(error).__name__
