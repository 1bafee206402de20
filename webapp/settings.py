"""What one run of the program is told, and where its own files lie."""

from dataclasses import dataclass
from ipaddress import ip_address
from pathlib import Path

DEFAULT_HOST = "127.0.0.1"
DEFAULT_PORT = 8730

_HERE = Path(__file__).resolve().parent


def _folder(name: str) -> Path:
    """A folder of the program: inside the package when installed from a wheel, beside it in a checkout."""
    inside = _HERE / name
    return inside if inside.is_dir() else _HERE.parent / name


TEMPLATES = _folder("templates")
STATIC = _folder("static")
MIGRATIONS = _folder("migrations")


class StartError(Exception):
    """The program cannot start; the text is the one sentence that says why."""


@dataclass(frozen=True)
class Settings:
    """One run: which file, which address, and the code a new device must give (None on loopback)."""

    data: Path
    host: str = DEFAULT_HOST
    port: int = DEFAULT_PORT
    demo: bool = False
    device_code: str | None = None
    # Where each copy of the data goes besides the folder beside them.
    copies: Path | None = None

    @property
    def key_file(self) -> Path:
        """The secret that signs the cookies, kept beside the data so that devices stay known."""
        return self.data.with_name(self.data.name + ".key")

    @property
    def devices_file(self) -> Path:
        """Who was let in, kept beside the data and not in it."""
        return self.data.with_name(self.data.name + ".devices")

    @property
    def on_loopback(self) -> bool:
        """Whether only this machine can reach the program."""
        return is_loopback(self.host)


def is_loopback(host: str) -> bool:
    """Whether a host name or address means this machine and nothing else.

    >>> is_loopback("localhost"), is_loopback("127.0.0.1"), is_loopback("::1"), is_loopback("0.0.0.0")
    (True, True, True, False)
    """
    if host.lower() == "localhost":
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def default_data(demo: bool) -> Path:
    """The data file in the platform's folder for this person's data; the demo has one of its own."""
    from platformdirs import user_data_path  # not needed when --data is given

    return user_data_path("spokeshed", appauthor=False) / ("demo.db" if demo else "spokeshed.db")


def version() -> str:
    """The program's version as installed."""
    from importlib.metadata import PackageNotFoundError
    from importlib.metadata import version as installed

    try:
        return installed("spokeshed")
    except PackageNotFoundError:
        return "not installed"
