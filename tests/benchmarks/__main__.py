"""Measures and prints; nothing here passes or fails.

    python -m tests.benchmarks [--samples 300] [--starts 9] [--folder PLACE]

The page and the tick are measured against a floor (see floor.py) in the same run, turn by turn, so that a busy
machine slows both. What counts is the ratio of the medians. The place matters for ticks: a commit waits for
the disk, and on a file system in memory it waits for nothing, which makes the ratio harder to keep.
"""

from __future__ import annotations

import argparse
import os
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from itertools import cycle
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory
from time import perf_counter

from tests.benchmarks.client import Client, Timed
from tests.benchmarks.servers import running
from tests.benchmarks.starts import starts

_WARM_UP = 40
_STEP = "received.marked"
# The demo's second axle has the most to show: two bores judged, one of them refused.
_AXLE = 2
_PAGE_AIM, _TICK_AIM, _START_AIM_MS = 5.0, 2.5, 1000.0


def main() -> None:
    """One run, one table."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks")
    parser.add_argument("--samples", type=int, default=300)
    parser.add_argument("--starts", type=int, default=9)
    parser.add_argument("--folder", type=Path, help="where the scratch files lie (default: the usual place)")
    given = parser.parse_args()
    with TemporaryDirectory(dir=given.folder) as name:
        folder = Path(name)
        print(
            f"{os.cpu_count()} processors; one commit to the disk in {folder.parent}: {_commit_ms(folder):.2f} ms"
        )
        _requests(folder, given.samples)
        _starts(folder, given.starts)


def _commit_ms(folder: Path) -> float:
    """What the disk itself takes: the median of a few writes of one page, each synchronised."""
    times = []
    with (folder / "probe").open("wb", buffering=0) as file:
        for _ in range(50):
            start = perf_counter()
            file.write(bytes(4096))
            os.fsync(file.fileno())
            times.append((perf_counter() - start) * 1000)
    return median(times)


def _requests(folder: Path, samples: int) -> None:
    data, copy = folder / "app.db", folder / "floor.db"
    with running("webapp", "--demo", "--data", data, "--port", "0") as app_port:
        _copy(data, copy)
        app = _App(app_port)
        lengths = len(app.page().body), len(app.tick().body)
        with running("tests.benchmarks.floor", copy, *map(str, lengths)) as floor_port:
            floor = _Floor(floor_port, app.casting)
            print(
                f"the page has {lengths[0]} bytes, the answer to a tick {lengths[1]}; {samples} samples each\n"
            )
            print(f"{'':24}{'program':>17}{'floor':>19}")
            print(f"{'ms':24}{'p50':>9}{'p95':>8}{'p50':>11}{'p95':>8}{'ratio of p50':>15}{'aim':>10}")
            for name, ours, least, aim in (
                (f"GET /axles/{_AXLE}", app.page, floor.page, _PAGE_AIM),
                (f"tick {_STEP}", app.tick, floor.tick, _TICK_AIM),
            ):
                _compare(name, *_turn_by_turn(ours, least, samples), aim)


def _copy(data: Path, copy: Path) -> None:
    with closing(sqlite3.connect(data)) as source, closing(sqlite3.connect(copy)) as target:
        source.backup(target)


class _App:
    """The program's page and tick."""

    def __init__(self, port: int) -> None:
        self._client = Client(port)
        self._wishes = cycle(("no", "yes"))  # the demo has the step ticked
        page = self.page()
        self._token, self._seen = page.field("page"), int(page.field("seen"))
        self.casting = int(page.body.split(b'id="ticks-', 1)[1].split(b'"', 1)[0])

    def page(self) -> Timed:
        return self._client.get(f"/axles/{_AXLE}")

    def tick(self) -> Timed:
        wish = f"{next(self._wishes)} {_STEP}"
        fields = {"wish": wish, "seen": str(self._seen), "page": self._token, "view": "axle", "who": "AB"}
        answer = self._client.post(f"/castings/{self.casting}/ticks", fields)
        seen, self._seen = self._seen, int(answer.field("seen"))
        if self._seen != seen + 1:
            raise SystemExit("the tick was not stored: this would measure nothing")
        return answer


class _Floor:
    """The same two, at the least cost."""

    def __init__(self, port: int, casting: int) -> None:
        self._client = Client(port)
        self._casting = casting
        self._wishes = cycle(("no", "yes"))  # its file was copied before anything was ticked here

    def page(self) -> Timed:
        return self._client.get(f"/axles/{_AXLE}")

    def tick(self) -> Timed:
        wish = next(self._wishes)
        return self._client.post(
            f"/castings/{self._casting}/ticks/{wish}/{_STEP}", {"wish": f"{wish} {_STEP}"}
        )


def _turn_by_turn(
    ours: Callable[[], Timed], least: Callable[[], Timed], samples: int
) -> tuple[list[float], list[float]]:
    pairs = [(ours().ms, least().ms) for _ in range(_WARM_UP + samples)][_WARM_UP:]
    return [pair[0] for pair in pairs], [pair[1] for pair in pairs]


def _compare(name: str, ours: Sequence[float], least: Sequence[float], aim: float) -> None:
    columns = f"{median(ours):9.2f}{_p95(ours):8.2f}{median(least):11.2f}{_p95(least):8.2f}"
    print(f"{name:24}{columns}{median(ours) / median(least):14.2f}x{f'<= {aim}x':>10}")


def _p95(times: Sequence[float]) -> float:
    return quantiles(times, n=20)[-1]


def _starts(folder: Path, runs: int) -> None:
    old = folder / "old.db"
    print(f"\nfrom the command to its first page, ms, {runs} starts{'':6}{'p50':>7}{'most':>8}{'aim':>9}")
    for name, file_of_run in (
        ("a file that is up to date", lambda _: old),
        ("a new file, tables to be made", lambda run: folder / f"new{run}.db"),
    ):
        times = starts(file_of_run, runs)
        print(f"  {name:45}{median(times):8.0f}{max(times):8.0f}{f'< {_START_AIM_MS:.0f}':>9}")


if __name__ == "__main__":
    main()
