"""The two sheets that work the most: fits of sixty castings, and the rods of six axles that were never asked about."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench
from webapp.app import create_app
from webapp.db import Db
from webapp.settings import Settings
from webapp.upgrade import prepare

_ORIGIN = "http://127.0.0.1:8730"
_AT = "2026-01-01 10:00:00.000000"
_SAMPLES = 7


def heavy_sheets(path: Path) -> dict[str, tuple[float, float]]:
    """The median milliseconds of each, after a change each time: by the clock, and of the processor."""
    prepare(path)
    app = create_app(Settings(path))
    db: Db = app.state.db
    with TestClient(app, base_url=_ORIGIN, headers={"Origin": _ORIGIN}, follow_redirects=False) as client:
        bench = Bench(client, db).sit_down()
        _sixty(bench, random.Random(1))
        _six(bench, random.Random(1))
        found = {
            "fits of 60 castings, 12 axles": _timed(bench, "/builds/1/fits", _touch),
            "rods of 6 axles, every figure new": _timed(bench, "/builds/2/rods", _new_figures),
        }
    db.close()
    return found


def _timed(bench: Bench, address: str, change: Callable[[sqlite3.Connection], None]) -> tuple[float, float]:
    times = []
    for _ in range(_SAMPLES + 1):
        with closing(sqlite3.connect(bench.db.path)) as connection, connection:
            change(connection)
        start, used = perf_counter(), process_time()
        bench.get(address)
        times.append(((perf_counter() - start) * 1000, (process_time() - used) * 1000))
    return median(one for one, _ in times[1:]), median(one for _, one in times[1:])


def _touch(connection: sqlite3.Connection) -> None:
    connection.execute("UPDATE casting SET version = version + 1 WHERE id = 1")


def _new_figures(connection: sqlite3.Connection) -> None:
    connection.execute("UPDATE rod_figure SET nm = nm + 13 WHERE build_id = 2")
    connection.execute("UPDATE measurement SET value = value + 11 WHERE build_id = 2 AND kind = 'throw'")


def _sixty(bench: Bench, rnd: random.Random) -> None:
    assert bench.metric(axles="12", coupled=" ".join(map(str, range(1, 11))), castings="60") == 1
    castings = [own for (own,) in bench.rows("SELECT id FROM casting WHERE build_id = 1")]
    with closing(sqlite3.connect(bench.db.path)) as connection, connection:
        for own in castings:
            for key in ("received", "back_faced", "bored"):
                connection.execute(
                    "INSERT INTO tick (casting_id, key, at, who) VALUES (?, ?, ?, 'AB')", (own, key, _AT)
                )
    for own in castings:
        nm = 19_050_000 + rnd.randint(5, 70) * 1000
        bench.put("bore", nm, (nm, f"{nm / 1e6:.3f}", None, None), casting_id=own)
    for (own,) in bench.rows("SELECT id FROM axle WHERE build_id = 1"):
        for side in ("left", "right"):
            nm = 19_050_000 + rnd.randint(-15, 10) * 1000
            bench.put("seat", nm, (nm, f"{nm / 1e6:.3f}", None, None), axle_id=own, side=side)


def _six(bench: Bench, rnd: random.Random) -> None:
    """Throws, heights and rods all measured, and how sure; the errors of a small shop."""
    assert bench.metric(axles="6", coupled="1 2 3 4 5 6", castings="12") == 2
    for (own,) in bench.rows("SELECT id FROM casting WHERE build_id = 2"):
        nm = 28_000_000 + round(rnd.gauss(0, 20_000))
        bench.put("throw", nm, (nm, "28", None, None), casting_id=own, build_id=2, expanded=5_000)
    axles = [own for (own,) in bench.rows("SELECT id FROM axle WHERE build_id = 2 ORDER BY number")]
    for own in axles:
        left, right = (79_799_000 + round(rnd.gauss(0, 30_000)) for _ in range(2))
        bench.heights(own, 60_000_000, left, right, expanded_nm=5_000, at=_AT)
    with closing(sqlite3.connect(bench.db.path)) as connection, connection:
        connection.execute("UPDATE measurement SET build_id = 2 WHERE kind = 'pin_heights'")
        for own in axles[:-1]:
            centre = rnd.randint(130, 190) * 1_000_000
            for side in ("left", "right"):
                for key, nm in (("centre", centre), ("rod", centre), ("clearance", 100_000)):
                    off = 0 if key == "clearance" else round(rnd.gauss(0, 20_000))
                    connection.execute(
                        "INSERT INTO rod_figure (axle_id, side, key, build_id, nm, text) VALUES (?, ?, ?, 2, ?, '')",
                        (own, side, key, nm + off),
                    )
