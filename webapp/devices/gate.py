"""The code that a new device must give: how long it holds, and how often it may be guessed at."""

import hmac
import secrets
import sqlite3
import time
from collections.abc import Callable
from dataclasses import dataclass
from ipaddress import IPv6Address, IPv6Network, ip_address
from threading import Lock

from webapp.datafile import held
from webapp.devices.file import CodeRow, DevicesFile
from webapp.settings import Settings, StartError

LIFE_S = 600.0
# Wrong codes from one address before it must wait; fewer once so many have come from all of them together.
TRIES, TRIES_WHEN_MANY, MANY = 5, 1, 20
# After so many wrong ones from everywhere a code holds no longer: one guess in ten thousand is right by then.
MOST_WRONG = 100
_FIRST_LOCK_S = 60.0
_LONGEST_LOCK_S = 900.0
_FORGIVEN_AFTER_S = 3600.0
_MOST_ADDRESSES = 1000
_ONE_HOME = 64

_WRONG = "That is not the code: type the six digits as they are shown, like 042 137."
_ENDED = "The code has ended: a new one is needed."


@dataclass(slots=True)
class _Tried:
    wrong: int = 0
    last: float = 0.0
    shut_until: float = 0.0


class Gate:
    """Takes the code from new devices.

    Each address is slowed by its own wrong codes. All together end the code, and never shut out an address that has
    sent none: so a swarm cannot keep the person out who makes a new code and types it.
    """

    def __init__(
        self,
        file: DevicesFile,
        digits: str,
        clock: Callable[[], float] = time.monotonic,
        now: Callable[[], float] | None = None,
    ) -> None:
        self._file = file
        self._clock = clock
        self._now = now or time.time
        self._serial = ""
        self._until = 0.0
        self._wrong = 0
        self._tried: dict[str, _Tried] = {}
        self._turn = Lock()
        file.put_code(digits, self._now())
        self.shown()

    def new_code(self) -> None:
        """Make a code; the one before holds no longer."""
        self._file.put_code(new_digits(), self._now())
        self.shown()

    def shown(self) -> tuple[str, str] | None:
        """The code and how long it still holds, in words; None when it has ended."""
        with self._turn:
            code = self._present()
            return None if code is None else (code.digits, minutes(self._until - self._clock()))

    def refusal(self, typed: str, address: str) -> str | None:
        """None for the right code, else the sentence for the page."""
        with self._turn:
            code = self._present()
            if code is None:
                return _ENDED
            place, now = _place(address), self._clock()
            tried = self._tried.pop(place, _Tried())
            if now - tried.last >= _FORGIVEN_AFTER_S:
                tried = _Tried()
            if tried.shut_until > now:
                self._tried[place] = tried
                return f"Too many wrong codes: wait {minutes(tried.shut_until - now)} and try again."
            plain = "".join(typed.split()).replace("-", "")
            if hmac.compare_digest(plain.encode(), code.digits.encode()):
                return None
            # Put back last: the longest untried stand first, and go first.
            self._tried[place] = tried
            while len(self._tried) > _MOST_ADDRESSES:
                del self._tried[next(iter(self._tried))]
            return self._count_wrong(tried, now)

    def _count_wrong(self, tried: _Tried, now: float) -> str:
        self._wrong += 1
        tried.wrong += 1
        tried.last = now
        over = tried.wrong - (TRIES if self._wrong < MANY else TRIES_WHEN_MANY)
        if over < 0:
            return _WRONG
        lock = min(_FIRST_LOCK_S * 2.0 ** min(over, 10), _LONGEST_LOCK_S)
        tried.shut_until = now + lock
        return f"That is not the code, and it was tried too often: wait {minutes(lock)} and try again."

    def _present(self) -> CodeRow | None:
        """The code that holds now. Its age is counted here, on a clock that nobody can set."""
        code = self._file.held.code
        if code is None:
            return None
        if code.serial != self._serial:
            # Made by this program, or just now by a command beside it.
            age = min(max(self._now() - code.made, 0.0), LIFE_S)
            self._serial, self._wrong, self._until = code.serial, 0, self._clock() + LIFE_S - age
        return code if self._clock() < self._until and self._wrong < MOST_WRONG else None


def new_digits() -> str:
    """Six digits that nobody can foretell."""
    return f"{secrets.randbelow(10**6):06}"


def new_code_beside(settings: Settings) -> str:
    """A new code for the program that is running on this data; StartError when none does that would ask for it."""
    if not _is_running(settings):
        raise StartError(f"spokeshed is not running on {settings.data}: start it, and it prints a code.")
    file = DevicesFile(settings.devices_file)
    try:
        file.read()
    except sqlite3.Error as error:
        raise StartError(f"The devices file {settings.devices_file} cannot be read: {error}.") from error
    if file.held.code is None:
        raise StartError(
            "spokeshed was started for this machine only and asks for no code: "
            "start it with --host 0.0.0.0 to let the tablet in."
        )
    digits = new_digits()
    file.put_code(digits, time.time())
    return digits


def _is_running(settings: Settings) -> bool:
    if not settings.data.exists():
        return False
    try:
        with held(settings.data, alone=True):
            return False
    except StartError:
        return True


def _place(address: str) -> str:
    """What counts as one address: of IPv6 the first half, for in the other half each machine picks its own."""
    try:
        found = ip_address(address)
    except ValueError:
        return address
    if isinstance(found, IPv6Address):
        if found.ipv4_mapped is not None:
            return str(found.ipv4_mapped)
        return str(IPv6Network((int(found), _ONE_HOME), strict=False))
    return str(found)


def minutes(seconds: float) -> str:
    """A time to wait, in words."""
    whole = max(1, round(seconds / 60))
    return "a minute" if whole == 1 else f"{whole} minutes"
