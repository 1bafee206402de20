"""The page that whoever is not let in is answered with: the form for the code, and a way on for a device that is."""

from __future__ import annotations

from urllib.parse import quote

from fastapi import Request
from fastapi.responses import Response

from webapp import render

LONGEST_NAME = 40


def read_name(text: str) -> tuple[str, str]:
    """A device's name with single blanks, which may be empty; and what is wrong with it, if anything."""
    name = " ".join(text.split())
    if len(name) > LONGEST_NAME:
        return name, f"A name has at most {LONGEST_NAME} letters and signs, such as shop tablet."
    if not name.isprintable():
        return name, "A name is made of letters and signs that can be seen, such as shop tablet."
    return name, ""


def address_of(request: Request) -> str:
    """The address that a request comes from."""
    return request.client.host if request.client else ""


def ask(
    request: Request, status: int = 200, *, code_error: str = "", name: str = "", name_error: str = ""
) -> Response:
    """Ask for the code; nothing else is told to a device that is not let in."""
    return render.page(
        request,
        "sheets/device/device.html",
        status,
        code_error=code_error,
        name=name,
        name_error=name_error,
        how=request.state.how.name,
        go_on=_own_address(request),
    )


def _own_address(request: Request) -> str:
    """The sheet that was asked for. The link to it comes from a page of ours, so that a browser sends the cookie with it."""
    path: str = request.scope["path"]
    # Two strokes at the head would lead to another machine; a stroke the other way round is written as %5C.
    if request.method != "GET" or path == "/device" or not path.startswith("/") or path.startswith("//"):
        return "/"
    query: str = request.scope["query_string"].decode("latin-1")
    return quote(path) + (f"?{query}" if query else "")
