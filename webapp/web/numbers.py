"""What a device is shown of lengths, forces and torques: both systems, or the build's own only."""

from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from domain.lengths.systems import shown_in

COOKIE = "spokeshed_numbers"
OWN, BOTH = "own", "both"


class Numbers:
    """Plain ASGI: while a request is answered, what is said of lengths is said as its device has chosen.

    A handler's thread is given the request's context, so that no other request sees it.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        with shown_in(both=Request(scope).cookies.get(COOKIE) != OWN):
            await self._app(scope, receive, send)
