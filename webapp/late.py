"""What the first page does not need: loaded when it is first asked for, or a moment after the start."""

import asyncio
from collections.abc import Callable
from threading import Lock, Timer

from starlette.types import ASGIApp, Receive, Scope, Send

# Long enough for the first page to be answered before the processor is taken up with this.
_MOMENT_S = 1.0


class Late:
    """An application that is made when it is first needed, and once only."""

    def __init__(self, make: Callable[[], ASGIApp]) -> None:
        self._make = make
        self._made: ASGIApp | None = None
        self._lock = Lock()

    def load(self) -> ASGIApp:
        """Make it, unless it is made already."""
        with self._lock:
            if self._made is None:
                self._made = self._make()
            return self._made

    def load_soon(self) -> None:
        """Make it in a moment, in the background."""
        timer = Timer(_MOMENT_S, self.load)
        timer.daemon = True  # a stop need not wait for it
        timer.start()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, once it is made; the others are not kept waiting meanwhile."""
        made = await asyncio.to_thread(self.load) if self._made is None else self._made
        await made(scope, receive, send)
