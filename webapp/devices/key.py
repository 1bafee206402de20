"""The key that signs the devices' cookies, in a file beside the data."""

import os
import secrets
from pathlib import Path

from webapp.devices.file import put_aside
from webapp.settings import StartError

_KEY_LENGTH = 64


def read_key(path: Path) -> tuple[str, str]:
    """The secret that signs the cookies, readable by this person only; and what is to be said about it.

    It is made on the first start, and again when it is damaged: the old one is put aside then.
    """
    told = ""
    key = _key_in(path)
    if key is not None and len(key) < _KEY_LENGTH:
        aside = put_aside(path, "key file")
        told = f"The key file was damaged and is kept as {aside.name}: each device gives the code again."
        key = None
    return key or _new_key(path), told


def _key_in(path: Path) -> str | None:
    try:
        return path.read_text("ascii", errors="replace").strip()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise StartError(f"The key file {path} cannot be read: {error.strerror}.") from error


def _new_key(path: Path) -> str:
    key = secrets.token_hex(_KEY_LENGTH // 2)
    # Written whole before it has its name: a power cut leaves no half of a key.
    fresh = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    try:
        with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
            file.write(key)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(path)
    except OSError as error:
        raise StartError(f"The key file {path} cannot be made: {error.strerror}.") from error
    return key
