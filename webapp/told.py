"""For a script that sends a form itself: it is told where to go, instead of being led there unseen."""

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

ASKS = "spokeshed-told"
THEN = "spokeshed-then"


class Told:
    """Plain ASGI: an answer that leads on becomes an empty one that says where to, for a request that asks for it.

    A script cannot see where a redirection leads without loading that page, and then the part it leads to is lost.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http" or ASKS not in Headers(scope=scope):
            await self._app(scope, receive, send)
            return

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start" and message["status"] == 303:
                headers = MutableHeaders(scope=message)
                headers[THEN] = headers["location"]
                del headers["location"]
                message["status"] = 200
            await send(message)

        await self._app(scope, receive, sending)
