"""Eight read and two write at once, over real sockets: nobody is answered by an error, and what was called stored is."""

import os
import random
import sqlite3
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from statistics import median, quantiles
from types import SimpleNamespace

import httpx
import pytest

from tests.webapp.programs import program
from tests.webapp.scenes import Bench, FormOnPage, form_on
from tests.webapp.test_start import PATIENCE

# A few in every run of the tests; longer when something about sessions, threads or the file was changed.
SECONDS = float(os.environ.get("SPOKESHED_CROWD_S", "4"))
READERS, WRITERS = 8, ("W1", "W2")
SHEETS = ("/", "/builds/1", "/axles/1", "/axles/2", "/castings/1", "/castings/3", "/builds/1/fits", "/stand")


@dataclass
class _Told:
    """What one of the crowd was answered."""

    reads_ms: list[float] = field(default_factory=list)
    writes_ms: list[float] = field(default_factory=list)
    ticks: list[str] = field(default_factory=list)
    bores: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def ask(self, kept: list[float], ask: Callable[[], httpx.Response]) -> httpx.Response:
        """Ask, and take down how long it took; whatever is no answer to what was asked is an error."""
        start = time.perf_counter()
        answer = ask()
        kept.append((time.perf_counter() - start) * 1000)
        if answer.status_code != 200:
            self.errors.append(
                f"{answer.request.method} {answer.request.url}: {answer.status_code} {answer.text}"
            )
        return answer


@contextmanager
def _bench(address: str, who: str) -> Iterator[Bench]:
    with httpx.Client(base_url=address, headers={"Origin": address}, timeout=PATIENCE) as client:
        yield Bench(client, SimpleNamespace(path=None), who).sit_down()  # type: ignore[arg-type]


def _read(address: str, seed: int, until: float) -> _Told:
    told, chance = _Told(), random.Random(seed)
    with _bench(address, f"R{seed}") as bench:
        while time.monotonic() < until:
            told.ask(told.reads_ms, partial(bench.client.get, chance.choice(SHEETS)))
    return told


def _write(address: str, mark: str, casting: int, until: float) -> _Told:
    """Tick a small step or take it off, and log the bore anew, each from a page opened just now."""
    told, own = _Told(), f"/castings/{casting}"
    with _bench(address, mark) as bench:
        while time.monotonic() < until:
            page = told.ask(told.reads_ms, partial(bench.client.get, f"{own}?steps=received"))
            form = form_on(page.text, f"{own}/ticks")
            (wish,) = {value for _, value in form.buttons if value.endswith(" received.marked")}
            if _post(bench, told, form, wish=wish):
                told.ticks.append(wish)
            size = f"19.{60 + len(told.bores) % 30:03} mm"
            page = told.ask(told.reads_ms, partial(bench.client.get, f"{own}/bore"))
            if _post(bench, told, form_on(page.text, f"{own}/bores"), reading=[size]):
                told.bores.append(size)
    return told


def _post(bench: Bench, told: _Told, form: FormOnPage, **changes: object) -> bool:
    """Whether it was called stored."""
    return (
        told.ask(
            told.writes_ms, partial(bench.post, form.action, form.filled(**changes), hx=True)
        ).status_code
        == 200
    )


def test_eight_read_and_two_write(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = tmp_path / "spokeshed.db"
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.bench.bored("W1", "W2", "W3", "W4")
        address = str(running.bench.client.base_url).rstrip("/")
        castings = [running.bench.id(mark) for mark in WRITERS]
        before = _lines(data)
        began = time.monotonic()
        until = began + SECONDS
        with ThreadPoolExecutor(READERS + len(WRITERS)) as pool:
            reading = [pool.submit(_read, address, seed, until) for seed in range(READERS)]
            writing = [
                pool.submit(_write, address, mark, casting, until)
                for mark, casting in zip(WRITERS, castings, strict=True)
            ]
            read, written = ([one.result() for one in some] for some in (reading, writing))
        took = time.monotonic() - began
        # The mains fail just after the last answer.
        running.kill()
    assert [one for told in (*read, *written) for one in told.errors] == []
    _told(capsys, "reads", [ms for told in (*read, *written) for ms in told.reads_ms], took)
    _told(capsys, "writes", [ms for told in written for ms in told.writes_ms], took)
    for mark, casting, told in zip(WRITERS, castings, written, strict=True):
        assert len(told.ticks) > SECONDS / 4
        _is_in_the_file(data, before, mark, casting, told)


def _told(capsys: pytest.CaptureFixture[str], what: str, times: list[float], took: float) -> None:
    with capsys.disabled():
        print(
            f"\n{what}: {len(times) / took:.0f} a second, median {median(times):.0f} ms,"
            f" p99 {quantiles(times, n=100)[-1]:.0f} ms",
            end="",
        )


def _lines(data: Path) -> int:
    with closing(sqlite3.connect(data)) as connection:
        last: int = connection.execute("SELECT max(id) FROM journal_line").fetchone()[0]
        return last


def _is_in_the_file(data: Path, before: int, who: str, casting: int, told: _Told) -> None:
    """Each thing that was acknowledged, in its order, once, and nothing else."""
    with closing(sqlite3.connect(data)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        lines = connection.execute(
            "SELECT kind, who FROM journal_line WHERE casting_id = ? AND id > ? ORDER BY id",
            (casting, before),
        ).fetchall()
        sizes = connection.execute(
            "SELECT text FROM reading JOIN measurement m ON m.id = measurement_id"
            " WHERE casting_id = ? AND who = ? ORDER BY m.id",
            (casting, who),
        ).fetchall()
        (standing,) = connection.execute(
            "SELECT count(*) FROM measurement WHERE casting_id = ? AND kind = 'bore' AND superseded = 0",
            (casting,),
        ).fetchone()
    assert [kind for kind, _ in lines if kind != "bore"] == [
        "tick" if one.startswith("yes") else "untick" for one in told.ticks
    ]
    assert {one for _, one in lines} == {who}
    assert [text for (text,) in sizes] == told.bores
    assert standing == 1
