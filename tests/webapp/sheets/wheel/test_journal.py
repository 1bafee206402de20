"""Every write has its line in the journal, in the same transaction; and no line is ever changed."""

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from functools import partial
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from httpx import Response
from sqlmodel import Session

from tests.webapp.scenes import Bench, Words, form_on
from webapp.app import create_app
from webapp.db import Db
from webapp.records import journal
from webapp.settings import Settings

ORIGIN = "http://127.0.0.1:8730"
WROTE = "the journal could not be written"


@pytest.fixture(scope="module")
def scene(tmp_path_factory: pytest.TempPathFactory, empty_file: Path) -> Path:
    """A data file with axle 1 ready to be quartered, W3 scrapped, W4 bare; copied, never opened again."""
    path = tmp_path_factory.mktemp("scene") / "scene.db"
    shutil.copy(empty_file, path)
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        _arrange(Bench(client, app.state.db).sit_down())
    app.state.db.close()
    return path


@pytest.fixture
def settings(tmp_path: Path, scene: Path) -> Settings:
    """The scene in a file of this test's own."""
    path = tmp_path / "spokeshed.db"
    shutil.copy(scene, path)
    return Settings(path)


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def _arrange(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1", "W2")
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28").status_code == 303
        bench.tick(mark, "pressed", "tread_turned")
    assert bench.scrap("W3").status_code == 303


def _edit(bench: Bench, **changes: object) -> Response:
    return bench.send("/builds/1/edit", "/builds/1/edit", **changes)


def _start(bench: Bench) -> Response:
    form = form_on(bench.get("/builds/new"), "/builds").filled(name="Second engine")
    return bench.post("/builds", form)


def _more(bench: Bench) -> Response:
    return bench.send("/builds/1?open=more-castings", "/builds/1/castings", marks="N1 N2")


# Each write there is: how it is done, and the lines it leaves (casting's mark or None, words).
WRITES: dict[str, tuple[Callable[[Bench], Response], list[tuple[str | None, str]]]] = {
    "start": (_start, [(None, "Started the build Second engine: 3 axles, 8 castings.")]),
    "change": (partial(_edit, name="Other"), [(None, "Changed the build: name now Other.")]),
    "axle added": (
        partial(_edit, axles="3"), [(None, "Changed the build: 3 axles, 2 of them coupled.")],
    ),
    "axle taken out": (
        partial(_edit, axles="1", coupled="1", confirmed="yes"),
        [("W4", "W4 went to the spares, as axle 2 was taken out"), (None, "Changed the build: 1 axle, 1 of them coupled")],
    ),
    "axle to carry": (
        partial(_edit, coupled="1"), [(None, "Axle 2 is now carrying."), (None, "Changed the build:")],
    ),
    "tick": (lambda b: b.wish("W4", "yes received"), [("W4", "Ticked received.")]),
    "step": (lambda b: b.wish("W4", "yes received.marked"), [("W4", "Ticked mark stamped or painted on.")]),
    "untick": (lambda b: b.wish("W1", "no tread_turned"), [("W1", "Unticked tread turned.")]),
    "quartered": (
        lambda b: b.send("/axles/1", "/axles/1/ticks", wish="yes quartered confirmed"),
        [(None, "Ticked axle 1 quartered."), ("W1", "Ticked axle 1"), ("W2", "Ticked axle 1")],
    ),
    "bore": (
        lambda b: b.log("W1", "bore", "19.09", "19.07"),
        [("W1", "Corrected the bore: read 19.09, 19.07, mean 19.080 mm (0.7512 in).")],
    ),
    "throw": (lambda b: b.log("W1", "throw", "28.1"), [("W1", "Corrected the throw: read 28.1")]),
    "seat": (lambda b: b.seat(1, "left", "19.05"), [(None, "Logged the seat at axle 1, left end")]),
    "scrap": (
        lambda b: b.scrap("W4"),
        [("W4", "Scrapped W4 at axle 2, right, because: cracked."), (None, "Scrapped W4")],
    ),
    "unscrap": (
        lambda b: b.unscrap("W3"), [("W3", "Undid the scrapping of W3"), (None, "Undid the scrapping")],
    ),
    "place": (
        lambda b: b.place(2, "left", "W5"), [("W5", "W5 took the place"), (None, "W5 took the place")],
    ),
    "spare": (
        lambda b: b.send("/castings/4", "/castings/4/spare"),
        [("W4", "W4 left its place at axle 2, right, for the spares."), (None, "W4 left its place")],
    ),
    "mark": (
        lambda b: b.send("/castings/4?open=mark", "/castings/4/mark", mark="X4"),
        [("X4", "Mark changed from W4 to X4.")],
    ),
    "more": (
        _more,
        [("N1", "N1 bought, a spare."), ("N2", "N2 bought, a spare."), (None, "N1, N2 bought, for the spares.")],
    ),
}  # fmt: skip


def _lines(bench: Bench, after: int) -> list[tuple[str | None, str, str, int]]:
    sql = """SELECT casting.mark, sentence, who, coalesce(casting.version, axle.version, build.version) - line.version
        FROM journal_line AS line LEFT JOIN casting ON casting.id = line.casting_id
        LEFT JOIN axle ON axle.id = line.axle_id AND line.casting_id IS NULL
        JOIN build ON build.id = line.build_id WHERE line.id > ? ORDER BY line.id"""
    return bench.rows(sql, after)


@pytest.mark.parametrize("what", WRITES)
def test_every_write_has_its_lines(bench: Bench, what: str) -> None:
    act, expected = WRITES[what]
    last = bench.one("SELECT max(id) FROM journal_line")
    assert act(bench).status_code == 303
    lines = _lines(bench, last)
    assert [mark for mark, *_ in lines] == [mark for mark, _ in expected]
    for (_, sentence, who, behind), (_, words) in zip(lines, expected, strict=True):
        assert words in sentence
        assert who == "AB"
        assert behind == 0  # the line carries the version that the row has now


@pytest.mark.parametrize("what", WRITES)
def test_without_its_line_nothing_is_stored(bench: Bench, what: str, monkeypatch: pytest.MonkeyPatch) -> None:
    act, _ = WRITES[what]

    def fail(*_: object, **__: object) -> None:
        raise RuntimeError(WROTE)

    monkeypatch.setattr(journal, "_bump", fail)
    before = bench.dump()
    answer = act(bench)
    assert answer.status_code == 500
    assert "Something went wrong" in Words(answer.text).text
    assert WROTE not in answer.text
    assert bench.dump() == before


@pytest.mark.parametrize("what", ["axle taken out", "quartered", "more", "scrap", "axle to carry"])
def test_failing_half_way_undoes_the_first_half(
    bench: Bench, what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """These write several lines: the last one fails, after the others were written."""
    act, expected = WRITES[what]
    real, calls = journal._bump, []

    def fail_last(session: Session, table: str, row_id: int) -> int:
        calls.append(1)
        if len(calls) == len(expected):
            raise RuntimeError(WROTE)
        return real(session, table, row_id)

    monkeypatch.setattr(journal, "_bump", fail_last)
    before = bench.dump()
    assert act(bench).status_code == 500
    assert len(calls) == len(expected) > 1
    assert bench.dump() == before


@pytest.mark.parametrize(
    "sql",
    ["UPDATE journal_line SET sentence = 'x'", "UPDATE journal_line SET who = who WHERE id = 1", "DELETE FROM journal_line",
     "DELETE FROM journal_line WHERE id = 1", "INSERT OR REPLACE INTO journal_line SELECT * FROM journal_line WHERE id = 1"],
)  # fmt: skip
def test_the_database_itself_refuses_to_change_a_line(bench: Bench, sql: str) -> None:
    before = bench.dump()
    with closing(sqlite3.connect(bench.db.path)) as connection:
        # As the program has it, and as any other program may.
        for triggers in ("OFF", "ON"):
            connection.execute(f"PRAGMA recursive_triggers = {triggers}")
            if "REPLACE" in sql and triggers == "OFF":
                continue
            with pytest.raises(sqlite3.IntegrityError, match="append-only"):
                connection.execute(sql)
            connection.rollback()
    assert bench.dump() == before


def test_a_build_with_a_history_cannot_be_deleted(bench: Bench) -> None:
    with closing(sqlite3.connect(bench.db.path)) as connection:
        connection.execute("PRAGMA foreign_keys = ON")
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute("DELETE FROM build WHERE id = 1")
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute("DELETE FROM casting WHERE id = 1")


def test_the_casting_sheet_tells_everything_in_order(bench: Bench) -> None:
    bench.bored("W4")
    assert bench.log("W4", "bore", "19.07").status_code == 303
    assert bench.scrap("W4", reason="blowhole").status_code == 303
    assert bench.unscrap("W4").status_code == 303
    html = bench.get("/castings/4?open=done")
    text = Words(html).by_id["casting-journal"]
    told = ["Ticked received.", "Ticked back faced.", "Ticked bored.", "Logged the bore: read 19.08 mm",
            "Corrected the bore: read 19.07", "Scrapped W4", "Undid the scrapping of W4"]  # fmt: skip
    assert bench.journal("W4") == [s for s in bench.journal("W4") if any(s.startswith(t) for t in told)]
    places = [text.index(sentence) for sentence in told]
    assert places == sorted(places, reverse=True)  # the latest first
    assert html.count('class="who">AB<') >= len(told)


def test_the_axle_s_record_tells_what_was_done_to_it_latest_first(bench: Bench) -> None:
    assert bench.seat(1, "left", "19.05").status_code == 303
    assert bench.send("/axles/1", "/axles/1/ticks", wish="yes quartered confirmed").status_code == 303
    text = Words(bench.get("/axles/1/journal")).by_id["axle-journal"]
    assert 0 < text.index("Ticked axle 1 quartered.") < text.index("Logged the seat at axle 1, left end")
    assert 'href="/axles/1/journal"' in bench.get("/axles/1")


def test_looking_writes_nothing(bench: Bench) -> None:
    before = bench.dump()
    for path in (
        "/",
        "/builds/new",
        "/builds/1",
        "/builds/1/edit",
        "/axles/1",
        "/axles/1/seats/left",
        "/axles/1/cautions",
        "/axles/1/journal",
        "/castings/1",
        "/castings/1/bore",
        "/castings/1/throw",
        "/castings/1/bores/try?reading=19.08",
        "/castings/1?open=done",
        "/castings/1/scrap",
    ):
        bench.get(path)
    assert bench.dump() == before
