"""Which names a browser may call the program by, and which pages may send to it."""

import re
import socket
from collections.abc import Mapping
from ipaddress import ip_address

from webapp.settings import is_loopback

_HOST = re.compile(r"(?P<name>\[[0-9A-Fa-f:.]+\]|[^][:/@\s]+)(?::(?P<port>[0-9]{1,5}))?")
# Methods that only read.
SAFE = {"GET", "HEAD", "OPTIONS"}
HTTP_PORT = 80


class Hosts:
    """The rules for one address that the program serves."""

    def __init__(self, host: str, port: int) -> None:
        self._port = port
        self._loopback = is_loopback(host)
        self._names = {host.lower()}
        if not self._loopback:
            short = short_name()
            self._names |= {socket.gethostname().lower(), short, f"{short}.local"}

    def accepts(self, header: str) -> bool:
        """Whether a Host header means this program.

        A page elsewhere can point a name of its own at this machine (DNS rebinding) and would then count as
        the same origin as ours. It cannot do so with a bare address: those and our own names are answered.
        """
        found = _HOST.fullmatch(header)
        if found is None or int(found["port"] or HTTP_PORT) != self._port:
            return False
        name = found["name"].strip("[]").lower().removesuffix(".")
        if is_loopback(name) or name in self._names:
            return True
        return not self._loopback and is_address(name)


def same_origin(method: str, scheme: str, headers: Mapping[str, str]) -> bool:
    """Whether a request comes from a page of ours; a plain read may also come from nowhere."""
    own = f"{scheme}://{headers.get('host', '')}".lower()
    if "origin" in headers:
        return headers["origin"].lower() == own
    if method in SAFE:
        return True
    if "sec-fetch-site" in headers:
        return headers["sec-fetch-site"] in ("same-origin", "none")
    referer = headers.get("referer", "").lower()
    return referer == own or referer.startswith(f"{own}/")


def short_name() -> str:
    """This machine's own name, without the network's."""
    return socket.gethostname().lower().split(".")[0]


def is_address(name: str) -> bool:
    """Whether it is a bare address, and no name."""
    try:
        ip_address(name)
    except ValueError:
        return False
    return True
