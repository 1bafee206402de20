"""What a tick leaves is handed on to whoever asks next: the very build that a load would give, or none."""

import sqlite3
from contextlib import closing

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench
from tests.webapp.test_query_count import counting
from webapp.db import Db
from webapp.records.builds import load_build
from webapp.records.views import BuildView


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """W1 to W4 on two axles, W1 bored."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    bench.bored("W1")
    return bench


def _build(db: Db) -> BuildView:
    with db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    return build


def _tap(bench: Bench, mark: str, wish: str) -> None:
    own, seen = bench.rows("SELECT id, version FROM casting WHERE mark = ?", mark)[0]
    wished = {"wish": wish, "seen": str(seen), "view": "axle"}
    assert bench.post(f"/castings/{own}/ticks", wished, hx=True).status_code == 200


@pytest.mark.parametrize("mark", ["W1", "W2", "W5"])
def test_what_is_handed_on_is_what_a_load_gives(bench: Bench, db: Db, mark: str) -> None:
    # A spare is bored at the most.
    stages = ("received", "back_faced", "bored") + (("pressed", "tread_turned") if mark != "W5" else ())
    wishes = [f"yes {stage} confirmed" for stage in stages]
    wishes += [f"no {stage} confirmed" for stage in reversed(stages)]
    for wish in ("yes received.marked", "yes received.looked_over", "no received.marked", *wishes):
        _build(db)
        with counting(db) as said:
            _tap(bench, mark, wish)
            handed = _build(db)
        # Nothing of the build was loaded after the tick was stored.
        assert not [one for one in said if "FROM dimension" in one]
        db.forget_held()
        assert handed == _build(db)


def test_a_bore_is_handed_on_as_a_load_gives_it(bench: Bench, db: Db) -> None:
    for reading in ("19.08", "19.06"):
        _build(db)
        with counting(db) as said:
            assert bench.log("W1", "bore", reading).status_code == 303
            handed = _build(db)
        # Once, within the transaction: for the journal's line.
        assert len([one for one in said if "FROM dimension" in one]) == 1
        db.forget_held()
        assert handed == _build(db)


def test_what_another_program_may_have_changed_meanwhile_is_not_held(
    bench: Bench, db: Db, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = db._version

    def late() -> int | None:
        if db._turn.locked() and bench.one("SELECT count(*) FROM tick WHERE key = 'received.marked'"):
            with closing(sqlite3.connect(db.path)) as other, other:
                other.execute("UPDATE casting SET mark = 'X2' WHERE mark = 'W2'")
        return asked()

    monkeypatch.setattr(db, "_version", late)
    _tap(bench, "W1", "yes received.marked")
    monkeypatch.undo()
    assert [one.mark for one in _build(db).castings][:2] == ["W1", "X2"]


def test_nothing_is_handed_on_by_a_change_that_is_undone(bench: Bench, db: Db) -> None:
    before = _build(db)
    own, seen = bench.rows("SELECT id, version FROM casting WHERE mark = 'W1'")[0]
    with closing(sqlite3.connect(db.path)) as other, other:
        other.execute(
            "CREATE TRIGGER no_more BEFORE INSERT ON journal_line BEGIN SELECT RAISE(ABORT, 'full'); END"
        )
    answer = bench.post(f"/castings/{own}/ticks", {"wish": "yes received.marked", "seen": str(seen)}, hx=True)
    assert answer.status_code == 500
    assert _build(db) == before
