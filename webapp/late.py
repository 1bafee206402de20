"""What the first page does not need: loaded when it is first asked for, or a moment after the start."""

import asyncio
import time
from collections.abc import Callable, Iterable
from threading import Lock, Timer

from starlette.types import ASGIApp, Receive, Scope, Send

# Long enough for the first page to be answered before the processor is taken up with this.
_MOMENT_S = 1.0
# So long a step of warming waits at a time for whoever is being answered.
_REST_S = 0.02


class Late:
    """An application that is made when it is first needed, and once only.

    `steps` are what its first answers would else wait for: each short, done in turn while nobody is being answered.
    """

    def __init__(self, make: Callable[[], ASGIApp], steps: Iterable[Callable[[], object]] = ()) -> None:
        self._make = make
        self._steps = steps
        self._made: ASGIApp | None = None
        self._lock = Lock()
        self._answering = 0

    def load(self) -> ASGIApp:
        """Make it, unless it is made already."""
        with self._lock:
            if self._made is None:
                self._made = self._make()
            return self._made

    def load_soon(self) -> None:
        """Make it in a moment and warm it up, in the background."""
        timer = Timer(_MOMENT_S, self.warm_up)
        timer.daemon = True  # a stop need not wait for it
        timer.start()

    def warm_up(self) -> None:
        """Make it, then take the steps, none while a request is being answered."""
        self.load()
        for step in self._steps:
            while self._answering:
                time.sleep(_REST_S)
            step()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, once it is made; the others are not kept waiting meanwhile."""
        self._answering += 1  # on the one thread of the event loop, so nothing is lost
        try:
            made = await asyncio.to_thread(self.load) if self._made is None else self._made
            await made(scope, receive, send)
        finally:
            self._answering -= 1
