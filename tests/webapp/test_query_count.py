"""The sheets ask the database as often with eighty castings as with eight."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import event

from tests.webapp.scenes import Bench
from webapp.db import Db

PATHS = ("/builds/1", "/axles/1", "/castings/1", "/castings/1/scrap", "/builds/1/edit", "/builds/1/joints",
         "/builds/1/fits", "/builds/1/reaming", "/workshop", "/builds/1/figures",
         "/builds/1/ordering", "/builds/1/receiving", "/builds/1/speeds", "/builds/1/treads",
         "/builds/1/crankpins", "/builds/1/quartering", "/builds/1/rods", "/builds/1/balance",
         "/builds/1/made", "/builds/1/batches", "/axles/1/quartering", "/axles/1/gauges",
         "/castings/1/receiving", "/castings/1/true", "/castings/1/metal", "/castings/1/speeds",
         "/castings/1/swing", "/castings/1/strokes", "/castings/1/tread")  # fmt: skip


@contextmanager
def counting(db: Db) -> Iterator[list[str]]:
    """Every statement sent to the database meanwhile."""
    said: list[str] = []

    def listen(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        said.append(statement)

    event.listen(db.engine, "before_cursor_execute", listen)
    try:
        yield said
    finally:
        event.remove(db.engine, "before_cursor_execute", listen)


def _build(client: TestClient, db: Db, castings: int) -> Bench:
    """A build with this many castings, each ticked and measured, spread over as many axles as they fill."""
    bench = Bench(client, db).sit_down()
    axles = min(12, castings // 2)
    bench.metric(
        axles=str(axles), coupled=" ".join(map(str, range(1, axles + 1))), castings=str(min(castings, 60))
    )
    if castings > 60:
        marks = " ".join(f"N{n}" for n in range(castings - 60))
        assert bench.send("/builds/1", "/builds/1/castings", marks=marks).status_code == 303
    at = "2026-01-01 10:00:00.000000"
    with closing(sqlite3.connect(db.path)) as connection:
        for (own,) in connection.execute("SELECT id FROM casting").fetchall():
            for key in ("received", "back_faced", "bored"):
                connection.execute("INSERT INTO tick VALUES (?, ?, ?, 'AB')", (own, key, at))
            for kind in ("bore", "throw"):
                row = connection.execute(
                    "INSERT INTO measurement (build_id, kind, casting_id, mean_nm, instrument, who, at) "
                    "VALUES (1, ?, ?, 19080000, '', 'AB', ?)", (kind, own, at),
                )  # fmt: skip
                for ordinal in (1, 2):
                    connection.execute(
                        "INSERT INTO reading (measurement_id, ordinal, nm, text) VALUES (?, ?, 19080000, '19.08')",
                        (row.lastrowid, ordinal),
                    )
        connection.commit()
    assert bench.one("SELECT count(*) FROM casting") == castings
    return bench


@pytest.fixture(params=[8, 80])
def counted(request: pytest.FixtureRequest, client: TestClient, db: Db) -> dict[str, int]:
    bench = _build(client, db, request.param)
    found = {}
    for path in PATHS:
        bench.get(path)
        with counting(db) as said:
            bench.get(path)
        found[path] = len(said)
    return found


_SEEN: dict[str, dict[str, int]] = {}


def test_as_many_statements_with_eight_as_with_eighty(
    request: pytest.FixtureRequest, counted: dict[str, int]
) -> None:
    assert all(count > 0 for count in counted.values())
    first = _SEEN.setdefault("first", counted)
    assert counted == first


def test_a_tick_asks_as_often_too(client: TestClient, db: Db) -> None:
    counts = []
    bench = _build(client, db, 80)
    for castings in (80, 8):
        if castings == 8:
            assert bench.metric(axles="3", coupled="1 2 3", castings="8") == 2
        own = bench.one("SELECT max(id) FROM casting WHERE state = 'spare'")
        bench.get(f"/castings/{own}")
        seen = bench.one("SELECT version FROM casting WHERE id = ?", own)
        with counting(db) as said:
            answer = bench.post(
                f"/castings/{own}/ticks", {"wish": "yes received.marked", "seen": str(seen)}, hx=True
            )
        assert answer.status_code == 200
        counts.append(len(said))
    assert counts[0] == counts[1]
