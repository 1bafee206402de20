"""Stands before every request: names, origin, size, known devices; puts safety headers on every answer."""

from starlette.datastructures import MutableHeaders
from starlette.requests import ClientDisconnect, Request
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from webapp import errors, render
from webapp.devices import DEVICE_COOKIE, PASS_COOKIE, Devices, cookie_header
from webapp.hosts import Hosts, same_origin

LONGEST_BODY = 256 * 1024
# A build's document is longer than any other form.
_LONGER = {"/import": 20 * 1024 * 1024}

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
        cookie = self._name_device(request)
        send = _with_headers(send, request, cookie)
        refused = self._refusal(request)
        if refused is None:
            try:
                body = await _body(request, receive)
            except ClientDisconnect:
                return  # a form cut short is no form, and nobody is left to be told
            if body is not None:
                await self._app(scope, _replay(body, receive), send)
                return
            refused = errors.answer(request, errors.PageError(413, _TOO_MUCH))
        await refused(scope, receive, send)

    def _name_device(self, request: Request) -> str | None:
        """Put the device's id where handlers find it; a new device also gets a cookie, which is returned."""
        device = self._devices.device(request.cookies.get(DEVICE_COOKIE))
        cookie = None
        if device is None:
            device, cookie = self._devices.new_device()
        request.state.device = device
        passed = self._devices.is_known(request.cookies.get(PASS_COOKIE), device)
        request.state.known = passed or not self._ask_code
        return cookie

    def _refusal(self, request: Request) -> Response | None:
        if not self._right_name(request):
            return PlainTextResponse(_WRONG_NAME, 403)
        if not same_origin(request.method, request.url.scheme, request.headers):
            return PlainTextResponse(_WRONG_ORIGIN, 403)
        if request.state.known or (request.method, request.scope["path"]) in _OPEN:
            return None
        if request.headers.get("hx-request") == "true":
            # A sheet left open when its pass ran out: take the whole page to the form, not a piece of it.
            return Response(status_code=401, headers={"HX-Redirect": "/device"})
        return render.page(request, "sheets/device/device.html", 401, sentence="")

    def _right_name(self, request: Request) -> bool:
        names = request.headers.getlist("host")
        return len(names) == 1 and self._hosts.accepts(names[0])


async def _body(request: Request, receive: Receive) -> bytes | None:
    """The whole body, or None when it is longer than any form of ours, whatever length it claims.

    Raise ClientDisconnect when it ends before it is whole: 19.0625 cut after 19.0 must not be stored as 19.0.
    """
    headers, most = request.headers, _LONGER.get(request.scope["path"], LONGEST_BODY)
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
    path: str = request.scope["path"]
    is_static = path.startswith("/static/")

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            headers.update(_HEADERS)
            headers["cache-control"] = _cache(request, message["status"]) if is_static else "no-store"
            # Several static files load at once: each would bring its own id, and the last would win.
            if cookie is not None and not is_static:
                headers.append("set-cookie", cookie_header(DEVICE_COOKIE, cookie))
        await send(message)

    return sending


def _cache(request: Request, status: int) -> str:
    if status not in (200, 304):
        return "no-store"
    return "private, max-age=31536000, immutable" if "v" in request.query_params else "no-cache"
