"""Serves over the wire: how long a connection may take over each part of a request, and how many may be open."""

import asyncio
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from socket import socket
from typing import TYPE_CHECKING

import h11
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

if TYPE_CHECKING:
    from fastapi import FastAPI

# What the program keeps open besides connections: forty threads with a few files of SQLite each, and some to spare.
_OWN_FILES = 150
# So many connections asyncio takes up at one go, before a single one that is too many can be closed: and it may do
# so some times over until the first is gone.
_AT_ONE_GO = 16
_GOES = 4
# Those wait meanwhile in the system.
_QUEUE = 1024
_FEWEST = 8
# So long a stop waits for answers that are under way.
_STOP_S = 3


@dataclass(frozen=True)
class WireLimits:
    """Seconds for each part of a request, and how many connections are open at most.

    Answers that never end are not limited in time, for whoever reads what there is to read keeps nobody waiting.
    """

    # From the connection, or the answer before it, to the end of the head.
    head_s: float = 10
    # From there to the end of the body: a photo over poor Wi-Fi takes a minute.
    body_s: float = 90
    # Within it some of the answer must have been taken by the other side.
    answer_s: float = 30
    # A browser opens six, and a household may sit behind one address.
    per_address: int = 64
    most: int = 512


class Bounded(H11Protocol):
    """A connection that nobody can keep open by sending half a request or by not reading the answer.

    What waits for its other side has a deadline. Where too many are open, the one that has waited longest goes: of the
    new one's own address when that has its share, else of the address that has the most. So half-sent requests can
    never keep out another device.
    """

    limits = WireLimits()
    _waits_for = ""
    _since = 0.0
    _buffered = 0
    _deadline: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take it up, and let another go when there are too many."""
        super().connection_made(transport)
        # pause_writing is told of whatever the other side has not taken yet.
        transport.set_write_buffer_limits(0)
        self._look(anew=True)
        self._make_room()

    def data_received(self, data: bytes) -> None:
        """Go on reading the request."""
        super().data_received(data)
        self._look()

    def on_response_complete(self) -> None:
        """Wait for the next request, or go on with one that is here already."""
        super().on_response_complete()
        self._look(anew=True)

    def pause_writing(self) -> None:
        """Wait for the other side to take what was answered."""
        super().pause_writing()
        self._look()

    def resume_writing(self) -> None:
        """All of it was taken."""
        super().resume_writing()
        self._look()

    def connection_lost(self, exc: Exception | None) -> None:
        """Let go of it."""
        self._wait("")
        super().connection_lost(exc)
        # The base class leaves this one running where the connection broke.
        self._unset_keepalive_if_required()

    def shutdown(self) -> None:
        """Finish what is under way; for the rest of a request or a reader who does not read no stop waits long."""
        if self._waits_for == "body":
            self.let_go()
            return
        super().shutdown()
        if self._waits_for == "answer":
            self.loop.call_later(_STOP_S - 1, self.let_go)

    def _look(self, *, anew: bool = False) -> None:
        """Find what it waits for now: a deadline begins with each wait, and not with each byte."""
        wait = "" if self.transport.is_closing() and not self.flow.write_paused else self._awaited()
        if anew or wait != self._waits_for:
            self._wait(wait)

    def _awaited(self) -> str:
        if self.flow.write_paused:
            return "answer"
        if self.conn.their_state is h11.IDLE:
            return "head"
        if self.conn.their_state is h11.SEND_BODY:
            return "body"
        return ""

    def _wait(self, what: str) -> None:
        if self._deadline is not None:
            self._deadline.cancel()
            self._deadline = None
        self._waits_for, self._since = what, self.loop.time()
        if what:
            self._buffered = self.transport.get_write_buffer_size()
            seconds: float = getattr(self.limits, f"{what}_s")
            self._deadline = self.loop.call_later(seconds, self._overdue)

    def _overdue(self) -> None:
        if self._waits_for == "answer" and self.transport.get_write_buffer_size() < self._buffered:
            self._wait("answer")  # slow, but it is being read
        else:
            self.let_go()

    def let_go(self) -> None:
        """Close it now, whatever is still to be sent."""
        self.connections.discard(self)
        self.transport.abort()

    def _make_room(self) -> None:
        fellows = [one for one in self.connections if isinstance(one, Bounded)]
        own = [one for one in fellows if one._address == self._address]
        if len(own) > self.limits.per_address:
            crowd = own
        elif len(fellows) > self.limits.most:
            crowd = _largest(fellows)
        else:
            return
        waiting = [one for one in crowd if one._waits_for and one is not self]
        (min(waiting, key=lambda one: one._since) if waiting else self).let_go()

    @property
    def _address(self) -> str:
        return self.client[0] if self.client else ""


def _largest(connections: list[Bounded]) -> list[Bounded]:
    """Those of the address that has the most."""
    by_address: dict[str, list[Bounded]] = {}
    for one in connections:
        by_address.setdefault(one._address, []).append(one)
    return max(by_address.values(), key=len)


class Server(uvicorn.Server):
    """Speaks up once it answers, and closes the data file when it stops."""

    def __init__(
        self, app: "FastAPI", limits: WireLimits, *, ready: Callable[[], None], close: Callable[[], None]
    ) -> None:
        super().__init__(
            uvicorn.Config(
                app,
                loop="asyncio",
                http=type("Protocol", (Bounded,), {"limits": limits}),
                ws="none",
                lifespan="off",
                # Whoever sends what is no request must not fill the log with it.
                log_level="error",
                log_config=None,
                access_log=False,
                server_header=False,
                # Nothing stands between the browser and us that could be believed about who is asking.
                proxy_headers=False,
                backlog=_AT_ONE_GO,
                timeout_graceful_shutdown=_STOP_S,
            )
        )
        self._ready = ready
        self._close = close

    async def startup(self, sockets: list[socket] | None = None) -> None:
        """Answer from now on."""
        await super().startup(sockets)
        for sock in sockets or ():
            sock.listen(_QUEUE)
        self._ready()

    async def shutdown(self, sockets: list[socket] | None = None) -> None:
        """Finish the answers that are under way, then close the file."""
        await super().shutdown(sockets)
        self._close()


def serve(app: "FastAPI", sock: socket, *, ready: Callable[[], None], close: Callable[[], None]) -> None:
    """Serve until stopped, by Ctrl+C or by the system: both raise KeyboardInterrupt once all is closed."""
    Server(app, limits_here(), ready=ready, close=close).run(sockets=[sock])


def limits_here() -> WireLimits:
    """The limits with as many connections as this system's limit on open files leaves room for, that limit raised."""
    files = _open_files()
    if files is None:
        return WireLimits()
    most = max(_FEWEST, min(WireLimits.most, files - _OWN_FILES - _GOES * _AT_ONE_GO))
    return WireLimits(most=most, per_address=min(WireLimits.per_address, max(_FEWEST, most // 2)))


def _open_files() -> int | None:
    """How many files the program may have open; None where the system has no such limit."""
    try:
        import resource
    except ImportError:  # Windows
        return None
    enough = _OWN_FILES + _GOES * _AT_ONE_GO + WireLimits.most
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = enough if hard == resource.RLIM_INFINITY else min(enough, hard)
    if soft != resource.RLIM_INFINITY and soft < wanted:
        with suppress(OSError, ValueError):
            resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
            soft = wanted
    return None if soft == resource.RLIM_INFINITY else soft
