"""The log file beside the data: what the program did and what went wrong in it, and nothing that a person typed."""

import logging
import sqlite3
import sys
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from copy import copy
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType

from webapp.datafile import beside
from webapp.faults import reason
from webapp.settings import StartError

log = logging.getLogger("spokeshed")

_SIZE = 1_000_000
_OLDER = 3


def log_file(data: Path) -> Path:
    """Where the log of a data file is; longer than the data's own name, so that it can never be the data."""
    return beside(data, ".log")


@contextmanager
def kept(data: Path) -> Iterator[None]:
    """Keep the log for as long as the program runs; warnings are also said in the window it was started in."""
    window = logging.StreamHandler()
    window.setLevel(logging.WARNING)
    file = _File(log_file(data), maxBytes=_SIZE, backupCount=_OLDER, encoding="utf-8", delay=True)
    file.setFormatter(_Discreet("%(asctime)s %(levelname)s %(message)s"))
    root = logging.getLogger()
    log.setLevel(logging.INFO)
    root.addHandler(window)
    root.addHandler(file)
    try:
        yield
        # A stop that comes while the last answer is finished ends the run without an interruption.
        log.info("Stopped.")
    except StartError as error:
        log.info("Not started: %s", error)
        raise
    except KeyboardInterrupt:
        log.info("Stopped.")
        raise
    except Exception:
        log.info("Broken off.", exc_info=True)
        raise
    finally:
        root.removeHandler(window)
        root.removeHandler(file)
        file.close()


class _File(RotatingFileHandler):
    """A log that cannot be written is said once, and keeps nothing else from being done."""

    _told = False

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802  (logging's own name)
        """Say it in the window."""
        if not self._told:
            self._told = True
            error = sys.exception()
            why = reason(error) if isinstance(error, OSError) else type(error).__name__
            print(
                f"spokeshed: the log {self.baseFilename} cannot be written ({why}): all else goes on without it.",
                file=sys.stderr,
                flush=True,
            )


class _Discreet(logging.Formatter):
    """Of an error its kind and where it happened: in its words there may be what a person typed."""

    def format(self, record: logging.LogRecord) -> str:
        """One line, and below it where the error happened; this person's home is not named."""
        own = copy(record)
        own.exc_text = None  # what the window's own form has put there has the error's words in it
        return super().format(own).replace(str(Path.home()), "~")

    def formatMessage(self, record: logging.LogRecord) -> str:  # noqa: N802  (logging's own name)
        """The first line only: in others asyncio quotes the error."""
        record.message = next(iter(record.message.splitlines()), "")
        return super().formatMessage(record)

    def formatException(  # noqa: N802  (logging's own name)
        self, ei: tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]
    ) -> str:
        """The whole chain of causes, the first one first."""
        chain: list[str] = []
        error = ei[1]
        while error is not None and len(chain) < 10:
            where = "".join(traceback.format_tb(error.__traceback__))
            chain.append(f"{where}{type(error).__module__}.{type(error).__qualname__}{_own_words(error)}")
            error = error.__cause__ or (None if error.__suppress_context__ else error.__context__)
        return "\nfrom which came\n".join(reversed(chain))


def _own_words(error: BaseException) -> str:
    """What the system or SQLite says of it: neither quotes a value."""
    if isinstance(error, OSError):
        return f": {reason(error)}"
    return f": {error}" if isinstance(error, sqlite3.Error) else ""
