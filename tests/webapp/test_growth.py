"""What a page or a tick costs the data file does not grow with what was measured and done before.

SQLite's own steps are counted, and not time: a row looked at and thrown away costs steps as well.
"""

import re
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from html import unescape

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import event

from tests.webapp.scenes import Bench
from webapp.db import Db
from webapp.records.measured import present, present_of_pairs
from webapp.records.paged import MOST

AT = "2026-01-01 10:00:00.000000"
# More than a page shows, so that it shows no more of them afterwards; then ten times as many.
SOME, MANY = MOST + 10, 10 * MOST
SHEETS = ("/axles/1", "/castings/1", "/builds/1", "/castings/1/measured", "/axles/1/measured")
SHEETS += ("/castings/1/notes", "/axles/1/notes", "/axles/1/journal")
# A tree that is a level deeper takes a few steps more.
_ROOM = 1.1
_BUSY = (
    "INSERT INTO measurement (build_id, casting_id, axle_id, left_casting_id, right_casting_id, kind, unit, value,"
    " supersedes_id, instrument, who, at) VALUES (?, ?, ?, ?, ?, ?, 'nm', ?, ?, '', 'AB', ?)"
)
_READ = (
    "INSERT INTO reading (measurement_id, ordinal, value, text, place, direction) VALUES (?, ?, ?, '', ?, ?)"
)
_HEIGHTS = ((60_000_000, "centre", None), (75_620_000, "left", "rear"), (75_800_000, "right", "front"))


@contextmanager
def stepping(db: Db) -> Iterator[list[int]]:
    """How many steps SQLite takes meanwhile."""
    steps = [0]

    def step() -> int:
        steps[0] += 1
        return 0

    def out(connection: sqlite3.Connection, *_: object) -> None:
        connection.set_progress_handler(step, 1)

    def back(connection: sqlite3.Connection, *_: object) -> None:
        connection.set_progress_handler(None, 1)

    event.listen(db.engine, "checkout", out)
    event.listen(db.engine, "checkin", back)
    try:
        yield steps
    finally:
        event.remove(db.engine, "checkout", out)
        event.remove(db.engine, "checkin", back)


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """W1 to W4 bored and measured on two axles, and another build."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    bench.bored("W1", "W2", "W3", "W4")
    assert bench.metric() == 2
    return bench


def _measure(connection: sqlite3.Connection, kind: str, **of: int) -> int:
    """A row as the program writes it."""
    columns = ("casting_id", "axle_id", "left_casting_id", "right_casting_id")
    read: tuple[tuple[int, str | None, str | None], ...] = ((19_080_000, None, None),)
    value: int | None = 19_080_000
    if kind == "pin_heights":
        read, value = _HEIGHTS, None
    row = (of.get("build_id", 1), *map(of.get, columns), kind, value, of.get("supersedes_id"), AT)
    own = connection.execute(_BUSY, row).lastrowid
    assert own is not None
    for ordinal, one in enumerate(read, start=1):
        connection.execute(_READ, (own, ordinal, *one))
    return own


def _corrected(connection: sqlite3.Connection, times: int) -> None:
    """Each bore logged again and again, each time correcting the last."""
    last = "SELECT casting_id, max(id) FROM measurement WHERE kind = 'bore' GROUP BY casting_id"
    for casting, own in connection.execute(last).fetchall():
        before = own
        for _ in range(times):
            before = _measure(connection, "bore", casting_id=casting, supersedes_id=before)


def _journalled(connection: sqlite3.Connection, times: int) -> None:
    """Much was done to the casting, the axle and the build."""
    line = (
        "INSERT INTO journal_line (build_id, casting_id, axle_id, kind, sentence, at, who, device, page, version)"
        " VALUES (1, ?, ?, 'tick', 'Ticked received.', ?, 'AB', 'd', '', 1)"
    )
    for whose in ((None, None), (None, 1), (1, 1)):
        connection.executemany(line, [(*whose, AT)] * times)


def _noted(connection: sqlite3.Connection, times: int) -> None:
    """Much was noted of the casting and the axle, each with a photo."""
    note = (
        "INSERT INTO note (build_id, casting_id, axle_id, words, who, at) VALUES (1, ?, ?, 'chill', 'AB', ?)"
    )
    connection.executemany(note, [(1, None, AT), (None, 1, AT)] * times)
    connection.execute(
        "INSERT INTO photo SELECT id, zeroblob(900), zeroblob(90000) FROM note"
        " WHERE id NOT IN (SELECT note_id FROM photo)"
    )


def _elsewhere(connection: sqlite3.Connection, times: int) -> None:
    """Bores of another build, cut by no reamer of the list."""
    (other,) = connection.execute("SELECT min(id) FROM casting WHERE build_id = 2").fetchone()
    for _ in range(times):
        _measure(connection, "bore", casting_id=other, build_id=2)


def _grow(bench: Bench, grow: Callable[[sqlite3.Connection, int], None], times: int) -> None:
    with closing(sqlite3.connect(bench.db.path)) as connection, connection:
        grow(connection, times)


def _steps(bench: Bench, path: str) -> int:
    bench.get(path)
    bench.db.forget_held()
    with stepping(bench.db) as steps:
        bench.get(path)
    return steps[0]


def _steps_of_a_tick(bench: Bench) -> int:
    """A small step of a spare ticked, after the build was changed by somebody else; and taken off again."""
    bench.db.forget_held()
    own, seen = bench.rows("SELECT id, version FROM casting WHERE mark = 'W5' AND build_id = 1")[0]
    with stepping(bench.db) as steps:
        answer = bench.post(
            f"/castings/{own}/ticks", {"wish": "yes received.marked", "seen": str(seen)}, hx=True
        )
    assert answer.status_code == 200
    bench.post(f"/castings/{own}/ticks", {"wish": "no received.marked", "seen": str(seen + 1)}, hx=True)
    assert bench.one("SELECT version FROM casting WHERE id = ?", own) == seen + 2
    return steps[0]


@pytest.mark.parametrize("grow", [_corrected, _journalled, _noted, _elsewhere])
def test_pages_and_ticks_look_at_no_more_rows_as_history_grows(
    bench: Bench, grow: Callable[[sqlite3.Connection, int], None]
) -> None:
    _grow(bench, grow, SOME)
    before = {path: _steps(bench, path) for path in SHEETS} | {"tick": _steps_of_a_tick(bench)}
    _grow(bench, grow, MANY)
    after = {path: _steps(bench, path) for path in SHEETS} | {"tick": _steps_of_a_tick(bench)}
    assert all(before.values())
    assert {path: (before[path], n) for path, n in after.items() if n > before[path] * _ROOM} == {}


def test_of_sizes_that_all_stand_only_the_last_is_loaded(bench: Bench) -> None:
    def turned(connection: sqlite3.Connection, times: int) -> None:
        for _ in range(times):
            _measure(connection, "rim_height", casting_id=1)
            _measure(connection, "back_to_back", axle_id=1)
            _measure(connection, "pin_heights", axle_id=1, left_casting_id=1, right_casting_id=2)

    found = []
    for times in (1, MANY):
        _grow(bench, turned, times)
        with bench.db.read() as session:
            loaded = [*present(session, 1), *present_of_pairs(session, 1)]
        found.append(
            sorted((one.row.kind, one.row.casting_id, len(one.readings)) for one in loaded if one.row)
        )
    assert found[0] == found[1]
    assert {kind for kind, *_ in found[0]} == {"bore", "rim_height", "back_to_back", "pin_heights"}


def test_older_lines_of_a_journal_are_a_link_away(bench: Bench) -> None:
    owners = {"casting": (1, None), "axle": (None, 1), "build": (None, None)}
    with closing(sqlite3.connect(bench.db.path)) as connection, connection:
        connection.executemany(
            "INSERT INTO journal_line (build_id, casting_id, axle_id, kind, sentence, at, who, device, page, version)"
            " VALUES (1, ?, ?, 'tick', ?, ?, 'AB', 'd', '', 1)",
            [
                (casting, axle, f"Line {n:03} of the {owner}.", AT)
                for owner, (casting, axle) in owners.items()
                for n in range(2 * MOST)
            ],
        )
    # The build's own tells everything.
    for sheet, place, told in (
        ("/castings/1?open=done", "casting-journal", ("casting",)),
        ("/axles/1/journal", "axle-journal", ("axle",)),
        ("/diary?of=build-1", "days", tuple(owners)),
        ("/diary", "days", tuple(owners)),
    ):
        seen, address = [], sheet
        while address:
            page = bench.get(address)
            seen += re.findall(r"Line \d{3} of the \w+", page)
            assert page.count("<li><time") <= MOST
            older = [
                unescape(part.split('"', 1)[0]) for part in page.split('href="')[1:] if ">Older<" in part[:90]
            ]
            assert all(one.endswith(f"#{place}") and f'id="{place}"' in page for one in older)
            assert ("The newest" in page) == ("before=" in address)
            address = older[0] if older else ""
        # Every line once, whatever else was done besides; what was done last may stand at the build's head too.
        assert set(seen) == {f"Line {n:03} of the {owner}" for owner in told for n in range(2 * MOST)}
        assert len([one for one in seen if "Line 000" in one]) == len(told)


def test_a_page_of_older_lines_that_cannot_be_is_the_newest(bench: Bench) -> None:
    for before in ("x", "-1", "9" * 30, "", "%00", "¹"):
        assert "The newest" not in bench.get(f"/castings/1?open=done&before={before}")
    # There are none before the first.
    assert "Nothing older." in bench.get("/castings/1?open=done&before=1")


def test_a_measurement_on_an_older_page_can_be_struck_out(bench: Bench) -> None:
    _grow(bench, _corrected, 2 * MOST)
    first = bench.one("SELECT min(id) FROM measurement WHERE casting_id = 1")
    newest = bench.get("/castings/1/measured")
    assert f'id="line-{first}"' not in newest
    assert newest.count('id="line-') == MOST
    answer = bench.send(
        f"/castings/1/measured?strike={first}", "/castings/1/measured", strike=str(first), why="dirt in it"
    )
    assert answer.status_code == 303
    assert bench.one("SELECT struck_out_why FROM measurement WHERE id = ?", first) == "dirt in it"
    # That of another casting is none of this one's.
    other = bench.one("SELECT min(id) FROM measurement WHERE casting_id = 2")
    assert 'id="strike"' not in bench.get(f"/castings/1/measured?strike={other}")
