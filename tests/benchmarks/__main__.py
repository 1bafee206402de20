"""Measures and prints; nothing here passes or fails.

    python -m tests.benchmarks [--samples 300] [--starts 9] [--folder PLACE]

Pages, ticks and a bore logged are measured against a floor (see floor.py) in the same run, turn by turn, so that a
busy machine slows both; by a client as programs have one and over a bare socket. What counts is the ratio of the
medians; beside it stands the ratio of the processor's time, which a busy machine leaves alone. The place matters for
what is written: a commit waits for the disk, and on a file system in memory it waits for nothing, which makes the
ratio harder to keep.
"""

from __future__ import annotations

import argparse
import os
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import ExitStack, closing
from dataclasses import dataclass
from itertools import cycle
from pathlib import Path
from secrets import token_hex
from statistics import median, quantiles
from tempfile import TemporaryDirectory
from time import perf_counter

from tests.benchmarks.client import Client, RawClient, Timed
from tests.benchmarks.grown import alone, counted, grown, years
from tests.benchmarks.servers import Server, running
from tests.benchmarks.sheets import heavy_sheets
from tests.benchmarks.starts import first_sheet_ms, starts

_WARM_UP = 40
_STEP = "received.marked"
# The demo's second axle has the most to show: two bores judged, one of them refused.
_AXLE = 2
_START_AIM_MS, _FIRST_AIM_MS, _WAIT_S = 1000.0, 60.0, 4.0
_GROWN_AIM, _PACKED_AIM_B = 1.2, 4096
_HEAVY_AIMS_MS = (60.0, 300.0)


def main() -> None:
    """One run, one table after the other."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks")
    parser.add_argument("--samples", type=int, default=300)
    parser.add_argument("--starts", type=int, default=9)
    parser.add_argument("--folder", type=Path, help="where the scratch files lie (default: the usual place)")
    given = parser.parse_args()
    # What was ticked is as it was when the next begins.
    given.samples += given.samples % 2
    with TemporaryDirectory(dir=given.folder) as name:
        folder = Path(name)
        print(
            f"{os.cpu_count()} processors; one commit to the disk in {folder.parent}: {_commit_ms(folder):.2f} ms"
        )
        demo = folder / "demo.db"
        _requests(folder, demo, given.samples)
        _growth(folder, demo, given.samples)
        _heavy(folder)
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


class _App:
    """What is asked of the program."""

    def __init__(self, client: Client) -> None:
        self._client = client
        page = self.page()
        self._token = page.field("page")
        self.casting = int(page.body.split(b'id="ticks-', 1)[1].split(b'"', 1)[0])
        self._seen = int(page.field("seen"))
        self._steps = cycle((f"no {_STEP}", f"yes {_STEP}"))  # the demo has the step ticked
        self._stages = cycle(("no bored confirmed", "yes bored confirmed"))
        self._bores = cycle(("0.7511 in", "0.7512 in"))

    def page(self, address: str = f"/axles/{_AXLE}") -> Timed:
        return self._client.get(address)

    def tick(self) -> Timed:
        return self._stored("ticks", wish=next(self._steps))

    def stage(self) -> Timed:
        return self._stored("ticks", wish=next(self._stages), reason="measured")

    def bore(self) -> Timed:
        size = next(self._bores)
        return self._stored("bores", reading=size, axle=str(_AXLE), side="left", token=token_hex(16))

    def _stored(self, what: str, **fields: str) -> Timed:
        common = {"seen": str(self._seen), "page": self._token, "view": "axle", "who": "AB"}
        answer = self._client.post(f"/castings/{self.casting}/{what}", common | fields)
        seen, self._seen = self._seen, int(answer.field("seen"))
        if self._seen != seen + 1:
            raise SystemExit(f"nothing was stored by {fields}: this would measure nothing")
        return answer


class _Floor:
    """The same at the least cost."""

    def __init__(self, client: Client, casting: int) -> None:
        self._client = client
        self._casting = casting
        self._wishes = {key: cycle(("no", "yes")) for key in (_STEP, "bored")}

    def page(self) -> Timed:
        return self._client.get(f"/axles/{_AXLE}")

    def tick(self, key: str = _STEP) -> Timed:
        return self._post(f"ticks/{next(self._wishes[key])}/{key}")

    def stage(self) -> Timed:
        return self.tick("bored")

    def bore(self) -> Timed:
        return self._post("bores")

    def _post(self, what: str) -> Timed:
        return self._client.post(f"/castings/{self._casting}/{what}", {"wish": what})


@dataclass(frozen=True)
class _Row:
    """One thing asked of both; `aside` is done to the program before each, and is not counted."""

    name: str
    ours: Callable[[], Timed]
    least: Callable[[], Timed]
    aim: float
    aside: Callable[[], object] = lambda: None


def _requests(folder: Path, demo: Path, samples: int) -> None:
    data, copy = folder / "app.db", folder / "floor.db"
    with ExitStack() as stack:
        server = stack.enter_context(running("webapp", "--demo", "--data", data, "--port", "0"))
        _copy(data, copy)
        _copy(data, demo)
        app = _App(Client(server.port))
        lengths = [len(one().body) for one in (app.page, app.tick, app.stage, app.bore)]
        # As they were.
        app.tick(), app.stage()
        floor_server = stack.enter_context(running("tests.benchmarks.floor", copy, *map(str, lengths)))
        names = ("page", "tick", "stage tick", "bore logged")
        told = ", ".join(f"{name} {length}" for name, length in zip(names, lengths, strict=True))
        print(f"bytes of an answer: {told}; {samples} samples each")
        packed = _App(RawClient(server.port, packed=True))
        print(f"packed: page {packed.page().length}, stage tick {packed.stage().length}", end="")
        print(f" (aim <= {_PACKED_AIM_B})")
        packed.stage()
        for way, client in (("a client", Client), ("a bare socket", RawClient)):
            app, floor = _App(client(server.port)), _Floor(client(floor_server.port), app.casting)
            _table(way, app, floor, server, floor_server, samples)


def _table(way: str, app: _App, floor: _Floor, server: Server, floor_server: Server, samples: int) -> None:
    print(f"\n{f'by {way}':24}{'program':>17}{'floor':>19}")
    print(f"{'ms':24}{'p50':>9}{'p95':>8}{'p50':>11}{'p95':>8}{'ratio of p50':>15}{'of CPU':>9}{'aim':>10}")

    def changed() -> None:
        app.stage()
        app.stage()

    page = f"GET /axles/{_AXLE}"
    for row in (
        _Row(f"{page} unchanged", app.page, floor.page, 3.0),
        _Row(f"{page} changed", app.page, floor.page, 3.5, changed),
        _Row(f"tick {_STEP}", app.tick, floor.tick, 2.0),
        _Row("tick bored", app.stage, floor.stage, 3.0),
        _Row("bore logged", app.bore, floor.bore, 4.0),
    ):
        _compare(row, server, floor_server, samples)


def _compare(row: _Row, server: Server, floor_server: Server, samples: int) -> None:
    """Turn by turn; the processor's time of the program is taken without what is done aside."""
    ours, least = [], []
    used = used_least = 0.0
    for turn in range(_WARM_UP + samples):
        row.aside()
        before, before_least = server.cpu_ms(), floor_server.cpu_ms()
        one, two = row.ours().ms, row.least().ms
        if turn >= _WARM_UP:
            ours.append(one)
            least.append(two)
            used += server.cpu_ms() - before
            used_least += floor_server.cpu_ms() - before_least
    columns = f"{median(ours):9.2f}{_p95(ours):8.2f}{median(least):11.2f}{_p95(least):8.2f}"
    cpu = f"{used / used_least:.2f}x" if used_least else "?"
    print(f"{row.name:24}{columns}{median(ours) / median(least):14.2f}x{cpu:>9}{f'<= {row.aim}x':>10}")


def _copy(data: Path, copy: Path) -> None:
    with closing(sqlite3.connect(data)) as source, closing(sqlite3.connect(copy)) as target:
        source.backup(target)


def _p95(times: Sequence[float]) -> float:
    return quantiles(times, n=20)[-1]


def _growth(folder: Path, demo: Path, samples: int) -> None:
    """The same asked of a small file and of a grown one, turn by turn."""
    print(f"\n{'ms of p50':56}{'small':>8}{'grown':>8}{'ratio':>9}{'of CPU':>9}{'aim':>10}")
    for number, (name, path) in enumerate(
        (
            ("1 and 2000 readings of each bore", grown(demo, folder / "readings.db", readings=2000)),
            ("8 and 80 castings", grown(demo, folder / "castings.db", castings=72)),
            ("1 and 500 builds", grown(demo, folder / "builds.db", builds=500)),
        )
    ):
        _grown_rows(f"{name}, ", grown(demo, folder / f"small{number}.db"), path, ("page", "tick"), samples)
    _years(folder, demo, samples)


def _years(folder: Path, demo: Path, samples: int) -> None:
    """A shop's first build, and what it has after many years."""
    small, large = alone(demo, folder / "alone.db"), years(demo, folder / "years.db")
    print(f"{counted(small)}; {counted(large)}")
    _grown_rows("  ", small, large, ("page", "tick", "build", "casting", "list"), samples)


def _grown_rows(name: str, small: Path, large: Path, asked: Sequence[str], samples: int) -> None:
    with ExitStack() as stack:
        servers = [
            stack.enter_context(running("webapp", "--demo", "--data", one, "--port", "0"))
            for one in (small, large)
        ]
        apps = [_App(RawClient(server.port)) for server in servers]
        for what in asked:
            _grown_row(name, what, apps, servers, samples)


def _grown_row(name: str, what: str, apps: Sequence[_App], servers: Sequence[Server], samples: int) -> None:
    words, ask = {
        "page": ("page after a change", lambda app: app.page()),
        "tick": ("small tick", lambda app: app.tick()),
        "build": ("build after a change", lambda app: app.page("/builds/1")),
        "casting": ("casting after a change", lambda app: app.page(f"/castings/{app.casting}")),
        "list": ("list of builds after a change", lambda app: app.page("/")),
    }[what]
    times: list[list[float]] = [[], []]
    used = [0.0, 0.0]
    for turn in range(_WARM_UP + samples):
        for place, (app, server) in enumerate(zip(apps, servers, strict=True)):
            if what != "tick":
                app.stage()
                app.stage()
            before = server.cpu_ms()
            ms = ask(app).ms
            if turn >= _WARM_UP:
                times[place].append(ms)
                used[place] += server.cpu_ms() - before
    few, many = map(median, times)
    cpu = f"{used[1] / used[0]:.2f}x" if used[0] else "?"
    print(f"{name + words:56}{few:8.2f}{many:8.2f}{many / few:8.2f}x{cpu:>9}{f'<= {_GROWN_AIM}x':>10}")


def _heavy(folder: Path) -> None:
    print(f"\n{'ms of p50, after a change':45}{'clock':>8}{'CPU':>8}{'aim':>10}")
    for (name, (ms, cpu)), aim in zip(heavy_sheets(folder / "heavy.db").items(), _HEAVY_AIMS_MS, strict=True):
        print(f"{name:45}{ms:8.0f}{cpu:8.0f}{f'<= {aim:.0f}':>10}")


def _starts(folder: Path, runs: int) -> None:
    old = folder / "old.db"
    print(f"\nfrom the command to its first page, ms, {runs} starts{'':6}{'p50':>7}{'most':>8}{'aim':>9}")
    for name, file_of_run in (
        ("a file that is up to date", lambda _: old),
        ("a new file, tables to be made", lambda run: folder / f"new{run}.db"),
    ):
        times = starts(file_of_run, runs)
        print(f"  {name:45}{median(times):8.0f}{max(times):8.0f}{f'< {_START_AIM_MS:.0f}':>9}")
    times = [
        first_sheet_ms(folder / "app.db", f"/axles/{_AXLE}", _WAIT_S, demo=True) for _ in range(min(runs, 3))
    ]
    name = f"the first axle page, {_WAIT_S:.0f} s after the start"
    print(f"  {name:45}{median(times):8.0f}{max(times):8.0f}{f'<= {_FIRST_AIM_MS:.0f}':>9}")


if __name__ == "__main__":
    main()
