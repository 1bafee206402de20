"""The sheets ask the database as often with eighty castings as with eight."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from shutil import copy

from fastapi.testclient import TestClient
from sqlalchemy import event

from tests.webapp.scenes import PATHS, Bench
from webapp.app import create_app
from webapp.db import Db
from webapp.settings import Settings

ORIGIN = "http://127.0.0.1:8730"
# Sheets of no build, which need no row: the second looks at the files of copies.
UNASKED = ("/ordering", "/copies")


@contextmanager
def counting(db: Db) -> Iterator[list[str]]:
    """Every statement that SQLite ran meanwhile, by whatever way it came; not what it was only asked about itself."""
    said: list[str] = []

    def hear(statement: str) -> None:
        if not statement.startswith("PRAGMA"):
            said.append(statement)

    def taken(raw: sqlite3.Connection, *_: object) -> None:
        raw.set_trace_callback(hear)

    def given_back(raw: sqlite3.Connection, _record: object) -> None:
        raw.set_trace_callback(None)

    event.listen(db.engine, "checkout", taken)
    event.listen(db.engine, "checkin", given_back)
    try:
        yield said
    finally:
        event.remove(db.engine, "checkout", taken)
        event.remove(db.engine, "checkin", given_back)


def _build(client: TestClient, db: Db, castings: int) -> Bench:
    """A build with this many castings, each ticked and measured, spread over as many axles as they fill."""
    bench = Bench(client, db).sit_down()
    axles = min(12, castings // 2)
    bench.metric(
        axles=str(axles), coupled=" ".join(map(str, range(1, axles + 1))), castings=str(min(castings, 60))
    )
    if castings > 60:
        marks = " ".join(f"N{n}" for n in range(castings - 60))
        assert (
            bench.send("/builds/1?open=more-castings", "/builds/1/castings", marks=marks).status_code == 303
        )
    at = "2026-01-01 10:00:00.000000"
    with closing(sqlite3.connect(db.path)) as connection:
        for (own,) in connection.execute("SELECT id FROM casting").fetchall():
            for key in ("received", "back_faced", "bored"):
                connection.execute(
                    "INSERT INTO tick (casting_id, key, at, who) VALUES (?, ?, ?, 'AB')", (own, key, at)
                )
        connection.commit()
    read = (19_080_000, "19.08", None, None)
    for (own,) in bench.rows("SELECT id FROM casting"):
        for kind in ("bore", "throw"):
            bench.put(kind, 19_080_000, read, read, casting_id=own)
    assert bench.one("SELECT count(*) FROM casting") == castings
    return bench


@contextmanager
def _shop(folder: Path, empty_file: Path) -> Iterator[tuple[TestClient, Db]]:
    """A data file of its own and a browser on it."""
    path = folder / "spokeshed.db"
    folder.mkdir()
    copy(empty_file, path)
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        yield client, app.state.db
    app.state.db.close()


def test_as_many_statements_with_eight_as_with_eighty(tmp_path: Path, empty_file: Path) -> None:
    found: dict[int, dict[str, int]] = {}
    for castings in (8, 80):
        with _shop(tmp_path / str(castings), empty_file) as (client, db):
            bench = _build(client, db, castings)
            for path in PATHS:
                bench.get(path)
                db.forget_held()
                with counting(db) as said:
                    bench.get(path)
                found.setdefault(castings, {})[path] = len(said)
    assert found[8] == found[80]
    # A form for a new build or tool asks the data file nothing.
    assert all(count or "/new" in path or path in UNASKED for path, count in found[8].items())


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
