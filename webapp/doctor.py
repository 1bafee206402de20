"""Looks over what a person depends on, writes nothing, and says what to do; also while the program runs."""

import http.client
import os
import platform
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from domain.answer import Answer
from domain.clock import ClockDoubt
from webapp.copies import copies_of
from webapp.datafile import FileKind, address, beside, expect_own_log, look
from webapp.faults import line, reason
from webapp.guard import CSP
from webapp.listen import addresses, bind
from webapp.logbook import log_file
from webapp.settings import STATIC, Settings, StartError, is_loopback, version
from webapp.upgrade import expect_sound, known_revision, revisions

_MB = 1_000_000
# A copy, a migration's copy and the log of the writes meanwhile are each about as long as the file.
_COPIES_LEAST, _COPIES_EASY = 3, 20
_SPACE_LEAST, _SPACE_EASY = 20 * _MB, 200 * _MB
_COPY_AGE = timedelta(days=8)
_WAIT_S = 3


@dataclass(frozen=True)
class Looked:
    """What one look came to."""

    answer: Answer
    about: str
    words: str


def examine(settings: Settings) -> list[Looked]:
    """Every look, in the order in which a start meets with trouble."""
    data = settings.data
    newest: list[datetime] = []
    found = [
        Looked(Answer.SERVES, "program", f"spokeshed {version()}, Python {platform.python_version()}"),
        *_address(settings),
        _file(settings, newest),
    ]
    if data.exists():
        found += [_copies(data), _log(data)]
    return [*found, *_space(data), _clock(max(newest, default=None))]


def report(settings: Settings) -> int:
    """Print a line for each look; 1 when something is no good."""
    found = examine(settings)
    for one in found:
        print(f"{one.answer.words:<12}{one.about:<9}{one.words}")
    return int(any(one.answer is Answer.NOT for one in found))


def _file(settings: Settings, newest: list[datetime]) -> Looked:
    """The data file; the latest time in it is put into `newest`."""
    data = settings.data
    try:
        kind = look(data)
        if kind is FileKind.NEW:
            return Looked(Answer.SERVES, "file", f"none yet at {data}: the first start makes it")
        if settings.demo and kind is FileKind.OWN:
            return Looked(Answer.NOT, "file", f"{data} is not a demo file: leave --demo away")
        if not (os.access(data, os.W_OK) and os.access(data.resolve().parent, os.W_OK)):
            return Looked(
                Answer.NOT, "file", f"{data} or its folder cannot be written to: give yourself the right to"
            )
        expect_own_log(data)
        with closing(_opened(data)) as connection:
            revision = known_revision(connection, data)
            expect_sound(connection, data)
            newest += _newest(connection)
    except StartError as error:
        return Looked(Answer.NOT, "file", str(error))
    except sqlite3.Error as error:
        return Looked(
            Answer.NOT,
            "file",
            f"{data} cannot be read ({line(error)}): restore a copy with spokeshed restore",
        )
    if revision != revisions()[-1]:
        words = f"{data} is sound, of an older program: the next start makes a copy and brings its tables up"
        return Looked(Answer.CAUTION, "file", words)
    return Looked(Answer.SERVES, "file", f"{data} is sound, {_megabytes(data.stat().st_size)}")


def _opened(data: Path) -> sqlite3.Connection:
    """To be read only. Without a log nobody writes, and then it is read without leaving a file beside it."""
    alone = "" if beside(data, "-wal").exists() else "&immutable=1"
    return sqlite3.connect(address(data, f"mode=ro{alone}"), uri=True)


def _newest(connection: sqlite3.Connection) -> list[datetime]:
    from sqlalchemy import StaticPool, create_engine
    from sqlmodel import Session

    from webapp.records.journal import newest_time

    engine = create_engine("sqlite://", creator=lambda: connection, poolclass=StaticPool)
    with Session(engine) as session:
        found = newest_time(session)
    return [found] if found else []


def _copies(data: Path) -> Looked:
    found = copies_of(data)
    if not found:
        words = "none yet: spokeshed makes them while it runs, and spokeshed backup FILE makes one now"
        return Looked(Answer.CAUTION, "copies", words)
    newest = found[0]
    words = f"{len(found)} in {newest.path.parent}, the newest of {_when(newest.made)}"
    # What has not changed since needs no newer one.
    if _changed(data) - newest.made > _COPY_AGE:
        return Looked(Answer.CAUTION, "copies", f"{words}: spokeshed backup FILE makes a new one")
    return Looked(Answer.SERVES, "copies", words)


def _changed(data: Path) -> datetime:
    """When the file or its log was last written to."""
    times = [one.stat().st_mtime for one in (data, beside(data, "-wal")) if one.exists()]
    return datetime.fromtimestamp(max(times, default=0), UTC)


def _log(data: Path) -> Looked:
    file = log_file(data)
    if not file.exists():
        return Looked(Answer.SERVES, "log", f"none yet at {file}")
    try:
        with file.open(encoding="utf-8", errors="replace") as lines:
            errors = [text[:16] for text in lines if text[23:30] == " ERROR "]
    except OSError as error:
        return Looked(Answer.CAUTION, "log", f"{file} cannot be read ({reason(error)}): move it away")
    if not os.access(file, os.W_OK):
        return Looked(Answer.CAUTION, "log", f"{file} cannot be written to: move it away")
    if errors:
        words = f"{file} tells of {len(errors)} errors, the last of {errors[-1]}: read what went wrong"
        return Looked(Answer.CAUTION, "log", words)
    return Looked(Answer.SERVES, "log", f"{file} tells of no error")


def _space(data: Path) -> Iterator[Looked]:
    folder = next(one for one in (data, *data.parents) if one.is_dir())
    free, size = shutil.disk_usage(folder).free, data.stat().st_size if data.is_file() else 0
    words = f"{_megabytes(free)} free in {folder}"
    if free < _SPACE_LEAST + _COPIES_LEAST * size:
        yield Looked(Answer.NOT, "disk", f"{words}: make room before the next write")
    elif free < _SPACE_EASY + _COPIES_EASY * size:
        yield Looked(Answer.CAUTION, "disk", f"{words}: make room soon")
    else:
        yield Looked(Answer.SERVES, "disk", words)


def _address(settings: Settings) -> Iterator[Looked]:
    """Who has the port, and where the program answers."""
    port = settings.port
    try:
        own, css = _asked("127.0.0.1" if _is_any(settings.host) else settings.host, port)
    except ConnectionRefusedError:
        yield _free(settings)
        yield _reached(port)
        return
    except (OSError, http.client.HTTPException):
        words = f"port {port} is held by something that does not answer as a program of ours: end it, or give another --port"
        yield Looked(Answer.NOT, "port", words)
        return
    if not own:
        words = f"port {port} is another program's: end it, or give spokeshed another with --port"
        yield Looked(Answer.NOT, "port", words)
        return
    if css != (STATIC / "app.css").read_bytes():
        words = f"another version of spokeshed answers at port {port}: stop it and start it again"
        yield Looked(Answer.CAUTION, "port", words)
    else:
        yield Looked(Answer.SERVES, "port", f"spokeshed answers at port {port}")
    yield _reached(port)


def _free(settings: Settings) -> Looked:
    try:
        bind(settings.host, settings.port).close()
    except StartError as error:
        return Looked(Answer.NOT, "port", str(error))
    return Looked(Answer.SERVES, "port", f"{settings.port} is free: spokeshed is not running there")


def _reached(port: int) -> Looked:
    *network, _ = addresses("0.0.0.0", port)  # noqa: S104  (asked about, not bound to)
    if not network:
        words = "this machine is on no network: a tablet finds nothing here until it is"
        return Looked(Answer.CAUTION, "address", words)
    try:
        own, _ = _asked(network[0].split("//")[1].rsplit(":", 1)[0], port)
    except (OSError, http.client.HTTPException):
        own = False
    if own:
        return Looked(Answer.SERVES, "address", f"{network[0]} for whoever is on the network")
    words = f"this machine only; for a tablet start it with --host 0.0.0.0, then it is {network[0]}"
    return Looked(Answer.SERVES, "address", words)


def _asked(name: str, port: int) -> tuple[bool, bytes]:
    """Whether it is spokeshed that answers there, and its stylesheet, which anybody may have."""
    with closing(http.client.HTTPConnection(name, port, timeout=_WAIT_S)) as connection:
        connection.request("GET", "/static/app.css")
        answer = connection.getresponse()
        return answer.headers["content-security-policy"] == CSP, answer.read(10 * _MB)


def _is_any(host: str) -> bool:
    return host in ("0.0.0.0", "::") or is_loopback(host)  # noqa: S104  (compared with, not bound to)


def _clock(newest: datetime | None) -> Looked:
    from webapp.facts.clock import doubt_at, kept_by_system

    now = datetime.now(UTC)
    doubt = doubt_at(now, newest)
    if doubt is ClockDoubt.BEHIND and newest is not None:
        words = f"it says {_when(now)}, but something was written down at {_when(newest)}: set the clock"
        return Looked(Answer.NOT, "clock", words)
    if doubt is not None:
        words = f"it says {_when(now)}, and nobody has set it since the machine was off: set the clock"
        return Looked(Answer.NOT, "clock", words)
    return Looked(Answer.SERVES, "clock", f"{_when(now)}{', set by the network' if kept_by_system() else ''}")


def _when(moment: datetime) -> str:
    from webapp.render import when

    return when(moment)


def _megabytes(size: int) -> str:
    return f"{size / _MB:.1f} MB" if size < 100 * _MB else f"{size // _MB} MB"
