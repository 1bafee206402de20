"""Devices: the signed cookies they are known by, and the code that a new one must give."""

import hmac
import os
import secrets
import time
from collections.abc import Callable
from pathlib import Path
from threading import Lock

from itsdangerous import BadSignature, TimestampSigner

from webapp.settings import StartError

DEVICE_COOKIE = "spokeshed_device"
PASS_COOKIE = "spokeshed_pass"  # noqa: S105  (the cookie's name)
YEAR = 365 * 24 * 3600

TRIES = 5
_FIRST_LOCK = 60.0
_LONGEST_LOCK = 900.0
_KEY_LENGTH = 64


def read_key(path: Path) -> str:
    """The secret that signs the cookies; made on the first start, readable by this person only."""
    try:
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
            file.write(secrets.token_hex(_KEY_LENGTH // 2))
    except FileExistsError:
        pass  # made on an earlier start
    except OSError as error:
        raise StartError(f"The key file {path} cannot be made: {error.strerror}.") from error
    try:
        key = path.read_text("ascii", errors="replace").strip()
    except OSError as error:
        raise StartError(f"The key file {path} cannot be read: {error.strerror}.") from error
    if len(key) < _KEY_LENGTH:
        raise StartError(f"The key file {path} is damaged: delete it, and each device gives the code again.")
    return key


def cookie_header(name: str, value: str) -> str:
    """A cookie for a year that scripts cannot read and other sites cannot send."""
    return f"{name}={value}; Max-Age={YEAR}; Path=/; HttpOnly; SameSite=Strict"


class Devices:
    """Reads and writes the cookies; a forged or outdated one is the same as none."""

    def __init__(self, key: str) -> None:
        self._ids = TimestampSigner(key, salt="spokeshed device")
        self._passes = TimestampSigner(key, salt="spokeshed pass")

    def device(self, cookie: str | None) -> str | None:
        """The device's id, or None when the cookie is not one of ours."""
        return _unsigned(self._ids, cookie)

    def new_device(self) -> tuple[str, str]:
        """A fresh id and the cookie that carries it."""
        device = secrets.token_hex(8)
        return device, self._ids.sign(device).decode()

    def is_known(self, cookie: str | None, device: str) -> bool:
        """Whether this device has given the code; a pass copied to another device is none."""
        return _unsigned(self._passes, cookie) == device

    def new_pass(self, device: str) -> str:
        """The cookie of a device that has given the code."""
        return self._passes.sign(device).decode()


class Gate:
    """Takes the code from new devices; wrong tries from anywhere count together and slow the next."""

    def __init__(self, code: str, clock: Callable[[], float] = time.monotonic) -> None:
        self._code = code
        self._clock = clock
        self._wrong = 0
        self._shut_until = clock()
        self._turn = Lock()

    def refusal(self, typed: str) -> str | None:
        """None for the right code, else the sentence for the page."""
        with self._turn:
            wait = self._shut_until - self._clock()
            if wait > 0:
                return f"Too many wrong codes: wait {_minutes(wait)} and try again."
            plain = "".join(typed.split()).replace("-", "")
            if hmac.compare_digest(plain.encode(), self._code.encode()):
                self._wrong = 0
                return None
            return self._count_wrong()

    def _count_wrong(self) -> str:
        self._wrong += 1
        if self._wrong < TRIES:
            return "That is not the code: type the six digits shown where spokeshed started, like 042 137."
        lock = min(_FIRST_LOCK * 2 ** (self._wrong - TRIES), _LONGEST_LOCK)
        self._shut_until = self._clock() + lock
        return f"That is not the code, and it was tried too often: wait {_minutes(lock)} and try again."


def _unsigned(signer: TimestampSigner, cookie: str | None) -> str | None:
    if not cookie:
        return None
    try:
        return signer.unsign(cookie, max_age=YEAR).decode()
    except (BadSignature, UnicodeError):
        return None


def _minutes(seconds: float) -> str:
    minutes = max(1, round(seconds / 60))
    return "a minute" if minutes == 1 else f"{minutes} minutes"
