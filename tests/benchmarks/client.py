"""One keep-alive connection that behaves like a browser on a page of the program."""

from __future__ import annotations

import re
from dataclasses import dataclass
from http.client import HTTPConnection
from http.cookies import SimpleCookie
from time import perf_counter
from urllib.parse import urlencode

_OK = 200


@dataclass(frozen=True)
class Timed:
    """A whole answer, and the milliseconds from asking to its last byte."""

    body: bytes
    ms: float

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
        return Timed(text, ms)

    def close(self) -> None:
        """Hang up."""
        self._connection.close()
