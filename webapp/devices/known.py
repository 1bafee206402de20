"""Devices: the cookies they are known by, how these are renewed, and how a copy of one is seen.

A cookie names a device and carries a secret, both signed, so that nothing forged is ever looked up. Once a day a
device is given a new secret beside the one it has, which stays good until the new one was used. A browser has room for
one cookie: whoever comes with an old one after that has a copy, or was copied, and the device is ended. A secret counts
as used some time after it was given only, when no answer is under way any more and a browser has put it on its disk.
"""

import hmac
import logging
import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import Enum
from hashlib import blake2b, sha256
from threading import Lock

from itsdangerous import BadSignature, Signer

from webapp.devices.file import DeviceRow, DevicesFile, DevicesUnwritable, KeptSecret

log = logging.getLogger("spokeshed")

YEAR = 365 * 24 * 3600
RENEWED_AFTER_S = 24 * 3600.0
SETTLED_AFTER_S = 120.0
# Requests of one page come at once, from one address; each would else be given another secret, though one jar takes them.
_ONE_PAGE_S = 10.0
SEEN_EVERY_S = 3600.0
# After a write that failed, so that a full disk does not slow every page down.
_REST_S = 60.0
# So many secrets that were given and never used are kept.
_MOST_UNUSED = 8


class KnownBy(Enum):
    """KnownBy a device is known by the cookie it came with."""

    NOT = "no cookie of ours"
    BY_NAME = "it has an id, and was never let in"
    LET_IN = "let in"
    GONE = "let in once, and not any more"
    COPIED = "ended, because its cookie was used in two places"


@dataclass(frozen=True, slots=True)
class DeviceStanding:
    """What is known of who asks; `due` when there is something to write."""

    device: str
    how: KnownBy
    due: bool = False


@dataclass(frozen=True, slots=True)
class ListedDevice:
    """A device as its list shows it."""

    id: str
    name: str
    let_in: datetime
    seen: datetime
    copied: datetime | None


@dataclass(frozen=True, slots=True)
class _Given:
    address: str
    number: int
    cookie: str


class Devices:
    """Knows devices by their cookies; a forged one is the same as none."""

    def __init__(
        self,
        file: DevicesFile,
        key: str,
        now: Callable[[], float] | None = None,
        steady: Callable[[], float] | None = None,
    ) -> None:
        self._file = file
        # Without an end by age: a clock that is put back or on must not shut everybody out.
        self._signer = Signer(key, salt="spokeshed device", digest_method=sha256)
        self._now = now or time.time
        self._steady = steady or _steady_time()
        self._minding = Lock()
        self._given: dict[str, _Given] = {}
        self._rest_until = 0.0
        # A browser keeps one jar for all ports of a machine: the demo's cookie must not take this one's place.
        self.cookie_name = f"spokeshed_device_{blake2b(key.encode(), digest_size=4).hexdigest()}"

    @property
    def behind(self) -> bool:
        """Whether the file holds more than is known here; `refresh` then reads it."""
        return self._file.behind

    def refresh(self) -> None:
        """Read what another program has written."""
        self._file.refresh()

    def look(self, cookie: str | None) -> DeviceStanding:
        """Who asks, by what is in memory."""
        read = self._read(cookie)
        if read is None:
            return DeviceStanding(secrets.token_hex(8), KnownBy.NOT)
        device, number, secret = read
        if number == 0:
            return DeviceStanding(device, KnownBy.BY_NAME)
        row = self._file.held.rows.get(device)
        if row is None:
            return DeviceStanding(device, KnownBy.GONE)
        if row.copied is not None or number < row.used:
            return DeviceStanding(device, KnownBy.COPIED, due=row.copied is None and self._may_write)
        kept = row.secrets.get(number)
        if kept is None or not hmac.compare_digest(kept.digest, _digest(secret)):
            return DeviceStanding(device, KnownBy.GONE)
        due = self._settles(row, number) or self._is_old(kept) or self._is_unseen(row)
        return DeviceStanding(device, KnownBy.LET_IN, due=due and self._may_write)

    def mind(self, cookie: str | None, address: str, *, may_renew: bool) -> tuple[DeviceStanding, str | None]:
        """Write what is due; a new cookie comes back for a device whose secret is old. It waits for the disk."""
        with self._minding:
            standing = self.look(cookie)  # another request may have seen to it meanwhile
            read = self._read(cookie)
            if read is None or not standing.due:
                return standing, None
            try:
                if standing.how is KnownBy.COPIED:
                    self._end(standing.device)
                    return standing, None
                return standing, self._renew(standing.device, read[1], address, may_renew)
            except DevicesUnwritable:
                log.exception("a device's cookie was not renewed; it is tried again in a minute")
                self._rest_until = time.monotonic() + _REST_S
                return standing, None

    def name_only(self, device: str) -> str:
        """The cookie of a device that is asked for no code: its id, so that it is known again."""
        return self._signed(device, 0, "")

    def let_in(self, name: str, cookie: str | None) -> str:
        """Take a device in; its cookie comes back. Without a name it keeps the one it was listed by before."""
        read = self._read(cookie)
        before = None if read is None else self._file.held.rows.get(read[0])
        name = name or (before.name if before else "")
        device, secret, now = secrets.token_hex(8), secrets.token_hex(16), self._now()
        with self._file.writing() as connection:
            connection.execute(
                "INSERT INTO device (id, name, let_in, seen, used) VALUES (?, ?, ?, ?, 1)",
                (device, name, now, now),
            )
            connection.execute(
                "INSERT INTO secret VALUES (?, 1, ?, ?)", (device, _digest(secret), self._steady())
            )
        return self._signed(device, 1, secret)

    def listed(self) -> list[ListedDevice]:
        """Every device that was let in and not forgotten, in the order of letting in."""
        return [
            ListedDevice(
                row.id,
                row.name,
                _moment(row.let_in),
                _moment(row.seen),
                None if row.copied is None else _moment(row.copied),
            )
            for row in self._file.held.rows.values()
        ]

    def rename(self, device: str, name: str) -> None:
        """Call a device by another name."""
        with self._file.writing() as connection:
            connection.execute("UPDATE device SET name = ? WHERE id = ?", (name, device))

    def forget(self, device: str) -> None:
        """Let a device in no more until it gives the code again."""
        with self._file.writing() as connection:
            connection.execute("DELETE FROM device WHERE id = ?", (device,))

    @property
    def _may_write(self) -> bool:
        return time.monotonic() >= self._rest_until

    def _read(self, cookie: str | None) -> tuple[str, int, str] | None:
        if not cookie:
            return None
        try:
            device, number, secret = self._signer.unsign(cookie).decode().split(".")
        except (BadSignature, UnicodeError):
            return None
        return device, int(number), secret

    def _signed(self, device: str, number: int, secret: str) -> str:
        return self._signer.sign(f"{device}.{number}.{secret}").decode()

    def _settles(self, row: DeviceRow, number: int) -> bool:
        return number > row.used and _apart(self._steady(), row.secrets[number].issued) >= SETTLED_AFTER_S

    def _is_old(self, kept: KeptSecret) -> bool:
        return _apart(self._steady(), kept.issued) >= RENEWED_AFTER_S

    def _is_unseen(self, row: DeviceRow) -> bool:
        return _apart(self._now(), row.seen) >= SEEN_EVERY_S

    def _end(self, device: str) -> None:
        with self._file.writing() as connection:
            connection.execute(
                "UPDATE device SET copied = ? WHERE id = ? AND copied IS NULL", (self._now(), device)
            )
            connection.execute("DELETE FROM secret WHERE device_id = ?", (device,))
        log.warning("a device was ended: its cookie was used in two places")

    def _renew(self, device: str, number: int, address: str, may_renew: bool) -> str | None:
        row = self._file.held.rows.get(device)
        if row is None or number not in row.secrets:
            return None  # forgotten this moment
        newest = max(row.secrets)
        renews = may_renew and self._is_old(row.secrets[number])
        given = self._given.get(device)
        if renews and given is not None and given.address == address:
            kept = row.secrets.get(given.number) if given.number > number else None
            if kept is not None and _apart(self._steady(), kept.issued) < _ONE_PAGE_S:
                return given.cookie
        settles, unseen = self._settles(row, number), self._is_unseen(row)
        if not (settles or unseen or renews):
            return None
        fresh = secrets.token_hex(16)
        with self._file.writing() as connection:
            connection.execute("UPDATE device SET seen = ? WHERE id = ?", (self._now(), device))
            if settles:
                connection.execute("UPDATE device SET used = ? WHERE id = ?", (number, device))
                connection.execute("DELETE FROM secret WHERE device_id = ? AND number < ?", (device, number))
            if renews:
                connection.execute(
                    "INSERT INTO secret VALUES (?, ?, ?, ?)",
                    (device, newest + 1, _digest(fresh), self._steady()),
                )
                connection.execute(
                    "DELETE FROM secret WHERE device_id = ? AND number <= ? AND number NOT IN (?, ?)",
                    (device, newest + 1 - _MOST_UNUSED, row.used, number),
                )
        if not renews:
            return None
        cookie = self._signed(device, newest + 1, fresh)
        self._given[device] = _Given(address, newest + 1, cookie)
        return cookie


def cookie_header(name: str, value: str) -> str:
    """A cookie for a year that scripts cannot read and other sites cannot send."""
    return f"{name}={value}; Max-Age={YEAR}; Path=/; HttpOnly; SameSite=Strict"


def _steady_time() -> Callable[[], float]:
    """The time, counted on from now: after a power cut the clock may be put right while a page is being answered."""
    start = time.time() - time.monotonic()
    return lambda: start + time.monotonic()


def _apart(one: float, other: float) -> float:
    # A clock that was put back is as far off as one that went on: neither makes anything last for ever.
    return abs(one - other)


def _digest(secret: str) -> bytes:
    return sha256(secret.encode()).digest()


def _moment(seconds: float) -> datetime:
    return datetime.fromtimestamp(seconds, UTC)
