"""The wire: whoever sends half a request or reads no answer is let go of, and keeps nobody else waiting."""

import asyncio
import os
import socket
import statistics
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from pathlib import Path
from sqlite3 import connect

import httpx
import pytest
from starlette.responses import PlainTextResponse
from starlette.types import Receive, Scope, Send

from tests.webapp.programs import program
from tests.webapp.test_start import PATIENCE
from webapp.listen import bind
from webapp.server import Server, WireLimits, limits_here

# A modest number in every run of the tests; a thousand when something about the wire was changed.
SLOW = int(os.environ.get("SPOKESHED_SLOW", "300"))
FILES = 256
LONG = 20_000_000
HOST = b"Host: 127.0.0.1\r\n"
HALVES = (
    b"",
    b"GET / HTTP/1.1\r\n" + HOST,
    b"POST /who HTTP/1.1\r\n" + HOST + b"Content-Length: 9\r\n\r\nwho=",
)


_done = threading.Event()
_at_work = threading.Semaphore(0)


async def _answer(scope: Scope, receive: Receive, send: Send) -> None:
    """Read the whole body, then answer: /work when it is done, /long with more than is kept for nobody to read."""
    more = True
    while more:
        message = await receive()
        if message["type"] == "http.disconnect":
            return
        more = message.get("more_body", False)
    if scope["path"] == "/work":
        _at_work.release()
    while scope["path"] == "/work" and not _done.is_set():
        await asyncio.sleep(0.01)
    text = "x" * LONG if scope["path"] == "/long" else "there"
    await PlainTextResponse(text)(scope, receive, send)


@contextmanager
def serving(limits: WireLimits) -> Iterator[int]:
    """A small application behind the program's own server; its port."""
    ready = threading.Event()
    with bind("127.0.0.1", 0) as sock:
        port: int = sock.getsockname()[1]
        server = Server(_answer, limits, ready=ready.set, close=lambda: None)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [sock]})
        thread.start()
        try:
            assert ready.wait(PATIENCE)
            yield port
        finally:
            server.should_exit = True
            thread.join(PATIENCE)


def opened(port: int, sent: bytes = b"", source: str = "127.0.0.1") -> socket.socket:
    """A connection on which so much has been sent."""
    one = socket.create_connection(("127.0.0.1", port), PATIENCE, (source, 0))
    one.sendall(sent)
    return one


def is_answered(one: socket.socket) -> bool:
    """Whether the answer comes."""
    got = b""
    while b"there" not in got and (part := one.recv(4096)):
        got += part
    return b"there" in got


def is_closed(one: socket.socket, patience: float = PATIENCE) -> bool:
    """Whether the other side closes it, at the latest when the patience ends."""
    one.settimeout(patience)
    try:
        while one.recv(65536):
            pass
    except TimeoutError:
        return False
    except OSError:
        return True
    return True


def trickle(one: socket.socket, byte: bytes) -> bool:
    """Send a byte at a time until the other side has enough; False where it never has."""
    end = time.monotonic() + PATIENCE
    with suppress(OSError):
        while time.monotonic() < end:
            one.sendall(byte)
            time.sleep(0.02)
        return False
    return True


@pytest.mark.parametrize("half", HALVES, ids=["nothing", "head", "body"])
def test_half_a_request_is_not_waited_for(half: bytes) -> None:
    with serving(WireLimits(head_s=0.3, body_s=0.3)) as port, opened(port, half) as one:
        assert is_closed(one)


@pytest.mark.parametrize(
    "begun", [b"GET / HTTP/1.1\r\nX: ", b"POST / HTTP/1.1\r\n" + HOST + b"Content-Length: 200000\r\n\r\n"]
)
def test_a_byte_now_and_then_gains_no_time(begun: bytes) -> None:
    with serving(WireLimits(head_s=0.3, body_s=0.3)) as port, opened(port, begun) as one:
        assert trickle(one, b"x")


def test_after_an_answer_the_next_head_has_its_time_and_no_more() -> None:
    whole = b"GET / HTTP/1.1\r\n" + HOST + b"\r\n"
    with serving(WireLimits(head_s=0.5)) as port, opened(port, whole) as one:
        assert is_answered(one)
        time.sleep(0.3)
        one.sendall(whole)
        assert is_answered(one)
        assert trickle(one, b"\r\n")


def test_an_answer_that_nobody_reads_is_not_kept() -> None:
    with serving(WireLimits(head_s=0.3, answer_s=0.3)) as port, opened(port) as one:
        one.sendall(b"GET /long HTTP/1.1\r\n" + HOST + b"\r\n")
        time.sleep(1.5)
        got = 0
        with suppress(ConnectionError):
            while part := one.recv(1 << 20):
                got += len(part)
        assert got < LONG


def test_a_slow_reader_who_reads_gets_it_all() -> None:
    with serving(WireLimits(head_s=0.2, answer_s=0.4)) as port, opened(port) as one:
        one.sendall(b"GET /long HTTP/1.1\r\n" + HOST + b"Connection: close\r\n\r\n")
        got = 0
        while part := one.recv(1 << 20):
            got += len(part)
            time.sleep(0.05)
        assert got > LONG


def test_of_one_address_the_connection_that_has_waited_longest_goes() -> None:
    with serving(WireLimits(per_address=5)) as port, ExitStack() as all_open:
        slow = [all_open.enter_context(opened(port, HALVES[1])) for _ in range(5)]
        assert httpx.get(f"http://127.0.0.1:{port}/").text == "there"
        assert is_closed(slow[0])
        assert not any(is_closed(one, 0.05) for one in slow[1:])


def test_many_of_one_address_never_take_the_place_of_another() -> None:
    with serving(WireLimits(per_address=10, most=12)) as port, ExitStack() as all_open:
        try:
            tablet = all_open.enter_context(opened(port, HALVES[1], "127.0.0.3"))
        except OSError:
            pytest.skip("one address for this machine alone here")
        slow = [all_open.enter_context(opened(port, HALVES[1], "127.0.0.2")) for _ in range(40)]
        others = [all_open.enter_context(opened(port, HALVES[1], "127.0.0.4")) for _ in range(3)]
        assert httpx.get(f"http://127.0.0.1:{port}/").text == "there"
        assert sum(is_closed(one, 0.05) for one in slow) >= 30
        assert not any(is_closed(one, 0.05) for one in others)
        tablet.sendall(b"\r\n")
        assert is_answered(tablet)


def test_a_connection_at_work_is_never_let_go_of_for_room() -> None:
    _done.clear()
    whole = b"GET /work HTTP/1.1\r\n" + HOST + b"\r\n"
    with serving(WireLimits(head_s=0.3, per_address=2)) as port, ExitStack() as all_open:
        at_work = [all_open.enter_context(opened(port, whole)) for _ in range(2)]
        assert all(_at_work.acquire(timeout=PATIENCE) for _ in at_work)
        # Both places are taken by work: whoever comes now must go again.
        assert all(is_closed(all_open.enter_context(opened(port, HALVES[1]))) for _ in range(6))
        _done.set()
        assert all(is_answered(one) for one in at_work)


def test_the_limit_leaves_the_program_files_of_its_own() -> None:
    resource = pytest.importorskip("resource")
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    found = limits_here()
    assert found.per_address < found.most <= WireLimits.most
    if hard == resource.RLIM_INFINITY or hard >= 2048:
        assert found.most == WireLimits.most
    assert resource.getrlimit(resource.RLIMIT_NOFILE)[0] >= min(soft, 1024)


def _few_files() -> Callable[[], None]:
    resource = pytest.importorskip("resource")
    return lambda: resource.setrlimit(resource.RLIMIT_NOFILE, (FILES, FILES))


def _slow_ones(port: int, all_open: ExitStack) -> list[socket.socket]:
    """So many connections, each with half a request; one that is not taken up at once counts as well."""
    slow = []
    for number in range(SLOW):
        with suppress(OSError):
            slow.append(all_open.enter_context(opened(port, HALVES[number % len(HALVES)])))
    return slow


def _page_ms(client: httpx.Client) -> float:
    def once() -> float:
        begun = time.perf_counter()
        assert client.get("/builds/1").status_code == 200
        return (time.perf_counter() - begun) * 1000

    return statistics.median(once() for _ in range(20))


def test_half_sent_requests_stop_no_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The real program, with fewer files than there are slow clients; how long a page takes is only told."""
    few, popen = _few_files(), subprocess.Popen
    monkeypatch.setattr(subprocess, "Popen", lambda *a, **k: popen(*a, preexec_fn=few, **k))
    with program(tmp_path, tmp_path / "spokeshed.db") as running, ExitStack() as all_open:
        running.bench.metric()
        address = str(running.bench.client.base_url)
        port = running.bench.client.base_url.port
        assert port is not None
        alone = _page_ms(running.bench.client)
        slow = _slow_ones(port, all_open)
        assert len(slow) == SLOW
        # A device that comes new, and one that has been there.
        assert httpx.get(f"{address}/builds/1", timeout=PATIENCE).status_code == 200
        running.tap()
        beset = _page_ms(running.bench.client)
        assert sum(is_closed(one, 0.01) for one in slow) >= SLOW - FILES // 2
        print(f"\n{SLOW} half-sent: a page in {alone:.1f} ms alone, {beset:.1f} ms among them")
        assert running.stop(2) == (0, "")


def test_a_stop_does_not_wait_for_the_rest_of_a_request(tmp_path: Path) -> None:
    with program(tmp_path, tmp_path / "spokeshed.db") as running, ExitStack() as all_open:
        port = running.bench.client.base_url.port
        assert port is not None
        own = f"Host: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\n".encode()
        slow = [all_open.enter_context(opened(port, half.replace(HOST, own))) for half in HALVES]
        assert running.bench.client.get("/").status_code == 200
        assert running.stop(15) == (0, "")
        assert all(is_closed(one) for one in slow)


def test_a_stop_waits_but_a_moment_for_whoever_does_not_read(caplog: pytest.LogCaptureFixture) -> None:
    with ExitStack() as all_open, serving(WireLimits()) as port:
        one = all_open.enter_context(opened(port, b"GET /long HTTP/1.1\r\n" + HOST + b"\r\n"))
        assert one.recv(4) == b"HTTP"
    assert caplog.records == []


def test_a_stop_by_the_system_loses_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    done = 0
    with program(tmp_path, data) as running:
        running.bench.metric()

        def tap() -> None:
            nonlocal done
            with suppress(httpx.TransportError):
                while True:
                    running.tap()
                    done += 1

        tapping = threading.Thread(target=tap)
        tapping.start()
        while done < 5:
            time.sleep(0.01)
        assert running.stop(15) == (0, "")
        tapping.join(PATIENCE)
    assert not data.with_name("spokeshed.db-wal").exists()
    with closing(connect(data)) as connection:
        (stored,) = connection.execute("SELECT count(*) FROM journal_line WHERE kind LIKE '%tick'").fetchone()
    # The last one may have been stored without its answer coming through.
    assert done <= stored <= done + 1
