"""One keep-alive connection that behaves like a browser on a page of the program."""

from __future__ import annotations

import re
from dataclasses import dataclass
from email.parser import BytesParser
from gzip import decompress
from http.client import HTTPConnection
from http.cookies import SimpleCookie
from socket import create_connection, socket
from time import perf_counter
from urllib.parse import urlencode

_OK = 200
# A server hangs up on whoever asks nothing for five seconds.
_IDLE_S = 4.0


@dataclass(frozen=True)
class Timed:
    """A whole answer, and the milliseconds from asking to its last byte."""

    body: bytes
    ms: float
    # As many as came over the wire.
    length: int = 0

    def field(self, name: str) -> str:
        """The first hidden field of this name."""
        found = re.search(rf'name="{name}" value="([^"]*)"'.encode(), self.body)
        if found is None:
            raise SystemExit(f"the answer has no field {name!r}")
        return found[1].decode()


class Client:
    """Keeps the connection and the cookies, as a browser does."""

    def __init__(self, port: int) -> None:
        self._connection = HTTPConnection("127.0.0.1", port, timeout=30)
        self._origin = f"http://127.0.0.1:{port}"
        self._cookies: dict[str, str] = {}

    def get(self, path: str) -> Timed:
        """A page."""
        return self._ask("GET", path, None, {})

    def post(self, path: str, fields: dict[str, str]) -> Timed:
        """A form sent by htmx, which wants a fragment."""
        kind = {"Content-Type": "application/x-www-form-urlencoded", "HX-Request": "true"}
        return self._ask("POST", path, urlencode(fields), kind)

    def _ask(self, method: str, path: str, body: str | None, extra: dict[str, str]) -> Timed:
        cookies = "; ".join(f"{name}={value}" for name, value in self._cookies.items())
        headers = {"Origin": self._origin, **extra} | ({"Cookie": cookies} if cookies else {})
        start = perf_counter()
        self._connection.request(method, path, body, headers)
        response = self._connection.getresponse()
        text = response.read()
        ms = (perf_counter() - start) * 1000
        if response.status != _OK:
            raise SystemExit(f"{method} {path} was answered {response.status}: {text[:300]!r}")
        for cookie in response.headers.get_all("set-cookie", []):
            self._cookies |= {name: morsel.value for name, morsel in SimpleCookie(cookie).items()}
        return Timed(text, ms, len(text))

    def close(self) -> None:
        """Hang up."""
        self._connection.close()


class RawClient(Client):
    """The same over a bare socket: what the client itself takes is next to nothing."""

    def __init__(self, port: int, *, packed: bool = False) -> None:
        super().__init__(port)
        self._port = port
        self._socket, self._used = self._connected()
        self._packed = packed

    def _connected(self) -> tuple[socket, float]:
        return create_connection(("127.0.0.1", self._port), timeout=30), perf_counter()

    def _ask(self, method: str, path: str, body: str | None, extra: dict[str, str]) -> Timed:
        cookies = "; ".join(f"{name}={value}" for name, value in self._cookies.items())
        sent = (body or "").encode()
        headers = {"Host": self._origin.removeprefix("http://"), "Origin": self._origin, **extra}
        headers |= {"Cookie": cookies} if cookies else {}
        headers |= {"Content-Length": str(len(sent))} if body is not None else {}
        headers |= {"Accept-Encoding": "gzip"} if self._packed else {}
        lines = [f"{method} {path} HTTP/1.1", *(f"{name}: {value}" for name, value in headers.items())]
        if perf_counter() - self._used > _IDLE_S:
            self._socket.close()
            self._socket, self._used = self._connected()
        message = "\r\n".join(lines).encode() + b"\r\n\r\n" + sent
        start = perf_counter()
        self._socket.sendall(message)
        head, _, text = self._until(b"\r\n\r\n").partition(b"\r\n\r\n")
        status, _, rest = head.partition(b"\r\n")
        wanted = int(re.search(rb"(?i)content-length: *(\d+)", rest)[1])  # type: ignore[index]
        while len(text) < wanted:
            text += self._some()
        self._used = perf_counter()
        ms = (self._used - start) * 1000
        found = BytesParser().parsebytes(rest, headersonly=True)
        whole = decompress(text) if found.get("content-encoding") == "gzip" else text
        if status.split()[1] != b"200":
            raise SystemExit(f"{method} {path} was answered {status!r}: {whole[:300]!r}")
        for cookie in found.get_all("set-cookie", []):
            self._cookies |= {name: morsel.value for name, morsel in SimpleCookie(cookie).items()}
        return Timed(whole, ms, len(text))

    def _until(self, end: bytes) -> bytes:
        found = b""
        while end not in found:
            found += self._some()
        return found

    def _some(self) -> bytes:
        some = self._socket.recv(1 << 16)
        if not some:
            raise SystemExit("the server hung up")
        return some

    def close(self) -> None:
        """Hang up."""
        self._socket.close()
        super().close()
