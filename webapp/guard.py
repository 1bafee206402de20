"""Stands before every request: names, origin, size, known devices; puts safety headers on every answer."""

import asyncio
import re

from starlette.datastructures import MutableHeaders
from starlette.requests import ClientDisconnect, Request
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from webapp import errors
from webapp.devices.known import Devices, KnownBy, cookie_header
from webapp.hosts import SAFE, Hosts, same_origin
from webapp.web import pairing

LONGEST_BODY = 256 * 1024
# A build's document with its photos, and one photo as a camera gives it, are longer than any other form.
LONGEST_DOCUMENT, LONGEST_PHOTO = 64 * 1024 * 1024, 20 * 1024 * 1024
_PHOTO = re.compile(r"/(castings|axles)/[0-9]{1,19}/notes")

CSP = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
_HEADERS = {
    "content-security-policy": CSP,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
_OPEN = {("GET", "/device"), ("POST", "/device"), ("GET", "/static/app.css")}

_TOO_MUCH = "That is more than a form can hold: send less text."
_TOO_LARGE = f"That is more than {LONGEST_PHOTO // 1024**2} MB: set the camera to smaller pictures, and take it once more."
_WRONG_NAME = "Refused: open spokeshed by the address it printed when it was started."
_WRONG_ORIGIN = (
    "Refused: this did not come from a page of spokeshed; open the sheet again and use its buttons."
)


class Guard:
    """Plain ASGI, outermost of all: no request reaches the program unseen, and no answer leaves bare."""

    def __init__(self, app: ASGIApp, hosts: Hosts, devices: Devices, *, ask_code: bool) -> None:
        self._app = app
        self._hosts = hosts
        self._devices = devices
        self._ask_code = ask_code

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Judge one request."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return
        request = Request(scope)
        refused, cookie = self._stranger(request), None
        if refused is None:
            cookie = await self._name_device(request)
            refused = self._unknown(request)
        send = _with_headers(send, request, cookie)
        if refused is None:
            try:
                body = await _body(request, receive)
            except ClientDisconnect:
                return  # a form cut short is no form, and nobody is left to be told
            if body is not None:
                await self._app(scope, _replay(body, receive), send)
                return
            refused = self._too_much(request)
        await refused(scope, receive, send)

    def _stranger(self, request: Request) -> Response | None:
        if not self._right_name(request):
            return PlainTextResponse(_WRONG_NAME, 403)
        if not same_origin(request.method, request.url.scheme, request.headers):
            return PlainTextResponse(_WRONG_ORIGIN, 403)
        return None

    async def _name_device(self, request: Request) -> str | None:
        """Put what is known of the device where handlers find it; a new cookie for it comes back as a header."""
        devices = self._devices
        if devices.behind:
            await asyncio.to_thread(devices.refresh)
        sent = request.cookies.get(devices.cookie_name)
        standing, cookie = devices.look(sent), None
        if standing.due:
            standing, cookie = await asyncio.to_thread(
                devices.mind, sent, pairing.address_of(request), may_renew=not _is_static(request)
            )
        request.state.device = standing.device
        request.state.how = standing.how
        request.state.known = standing.how is KnownBy.LET_IN or not self._ask_code
        # A page elsewhere can lead here without the cookie being sent: that is no new device. A form of our own
        # always brings it, if there is one.
        if (
            request.state.known
            and standing.how not in (KnownBy.LET_IN, KnownBy.BY_NAME)
            and request.method not in SAFE
        ):
            cookie = devices.name_only(standing.device)
        return None if cookie is None else cookie_header(devices.cookie_name, cookie)

    def _unknown(self, request: Request) -> Response | None:
        if request.state.known or (request.method, request.scope["path"]) in _OPEN:
            return None
        if request.headers.get("hx-request") == "true":
            # A sheet left open when its device was forgotten: take the whole page to the form, not a piece of it.
            return Response(status_code=401, headers={"HX-Redirect": "/device"})
        return pairing.ask(request, 401)

    def _too_much(self, request: Request) -> Response:
        if request.state.known:
            words = _TOO_LARGE if _longest(request) == LONGEST_PHOTO else _TOO_MUCH
            return errors.answer(request, errors.PageError(413, words))
        return pairing.ask(request, 413, code_error=_TOO_MUCH)

    def _right_name(self, request: Request) -> bool:
        names = request.headers.getlist("host")
        return len(names) == 1 and self._hosts.accepts(names[0])


async def _body(request: Request, receive: Receive) -> bytes | None:
    """The whole body, or None when it is longer than any form of ours, whatever length it claims.

    Raise ClientDisconnect when it ends before it is whole: 19.0625 cut after 19.0 must not be stored as 19.0.
    """
    headers, most = request.headers, _longest(request)
    if "content-length" not in headers and "transfer-encoding" not in headers:
        return b""
    claimed = headers.get("content-length", "0")
    if not claimed.isdecimal() or int(claimed[:12]) > most:
        return None
    parts = bytearray()
    more = True
    while more:
        message = await receive()
        if message["type"] == "http.disconnect":
            raise ClientDisconnect
        parts += message.get("body", b"")
        if len(parts) > most:
            return None
        more = message.get("more_body", False)
    return bytes(parts)


def _longest(request: Request) -> int:
    path: str = request.scope["path"]
    if request.method != "POST":
        return LONGEST_BODY
    if path == "/import":
        return LONGEST_DOCUMENT
    return LONGEST_PHOTO if _PHOTO.fullmatch(path) else LONGEST_BODY


def _replay(body: bytes, receive: Receive) -> Receive:
    """Hand the body on as one message; what comes after it is the client's."""
    given = False

    async def replayed() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return replayed


def _with_headers(send: Send, request: Request, cookie: str | None) -> Send:
    is_kept = _is_static(request) or _is_photo(request)

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            headers.update(_HEADERS)
            headers["cache-control"] = _cache(request, message["status"]) if is_kept else "no-store"
            if cookie is not None:
                headers.append("set-cookie", cookie)
        await send(message)

    return sending


def _is_static(request: Request) -> bool:
    path: str = request.scope["path"]
    return path.startswith("/static/")


def _is_photo(request: Request) -> bool:
    path: str = request.scope["path"]
    return path.startswith("/photos/")


def _cache(request: Request, status: int) -> str:
    if status not in (200, 304):
        return "no-store"
    # What a permanent id or a sum of the content names never changes.
    named = _is_photo(request) or "v" in request.query_params
    return "private, max-age=31536000, immutable" if named else "no-cache"
