"""A build put away is left alone until it is brought back; one that is deleted leaves whole, as its export."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from tests.webapp.exchange.conftest import enrich
from tests.webapp.scenes import Bench, Words, form_on
from webapp.copies import Copies, left_of
from webapp.db import Db
from webapp.demo.builds import make_demo
from webapp.exchange.writing import document_of
from webapp.sheets.away import change

# Tables that a build leaves as they are: the file's own, and the workshop's.
_STAY = {
    "jig",
    "alembic_version",
    "write_mark",
    "submission",
    "instrument",
    "reamer",
    "drill",
    "machine",
    "chuck",
}


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def _counts(path: Path) -> dict[str, int]:
    with closing(sqlite3.connect(path)) as connection:
        names = connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
        )
        return {
            name: connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0]
            for (name,) in names.fetchall()
        }


def _delete(bench: Bench, build: int = 1) -> str:
    """Asked and answered twice; where it leads."""
    away = f"/builds/{build}"
    asked = bench.send(f"{away}/away?open=delete", f"{away}/delete")
    assert asked.status_code == 409
    form = form_on(asked.text, f"{away}/delete")
    answer = bench.post(f"{away}/delete", form.filled(confirmed=dict(form.buttons)["confirmed"]))
    assert answer.status_code == 303, Words(answer.text).text
    return str(answer.headers["location"])


def test_nothing_is_written_to_an_archived_build(bench: Bench) -> None:
    bench.metric()
    assert bench.send("/builds/1/away", "/builds/1/archive").status_code == 303
    before = bench.journal()
    assert before[-1] == "Archived."
    sheet = Words(bench.get("/builds/1"))
    assert "Archived Nothing is written to it until you bring it back." in sheet.text
    refusal = "Tank engine is archived: bring it back first, on its own sheet."
    tick = bench.wish("W1", "yes received", hx=True)
    assert tick.status_code == 422 and refusal in Words(tick.text).text
    for page, action, fields in (
        ("/builds/1/edit", "/builds/1/edit", {"name": "Other"}),
        ("/castings/1/receiving", "/castings/1/receiving", {"note": "hard"}),
        ("/builds/1?open=more-castings", "/builds/1/castings", {"marks": "W9"}),
    ):
        answer = bench.send(page, action, **fields)
        assert answer.status_code == 422 and refusal in Words(answer.text).text, action
    seat = bench.seat(1, "left", "19.05")
    assert seat.status_code == 422 and refusal in Words(seat.text).text
    assert bench.journal() == before
    # Brought back, it goes on.
    assert bench.send("/builds/1/away", "/builds/1/bring-back").status_code == 303
    assert bench.wish("W1", "yes received", hx=True).status_code == 200
    assert bench.journal()[len(before) :] == ["Brought back from the archived builds.", "Ticked received."]


def test_archived_twice_is_told_once(bench: Bench) -> None:
    bench.metric()
    for _ in range(2):
        assert bench.post("/builds/1/archive", {}).status_code == 303
    assert bench.journal().count("Archived.") == 1


def test_a_build_that_is_deleted_leaves_whole_as_its_export(bench: Bench) -> None:
    make_demo(bench.db)
    enrich(bench.db.path, 7)
    bench.db.forget_held()
    with closing(sqlite3.connect(bench.db.path)) as connection:
        lines = connection.execute(
            "SELECT sentence FROM journal_line WHERE build_id = 1 AND kind <> 'import'"
        ).fetchall()
    with bench.db.read() as session:
        document = document_of(session, 1)
        other = document_of(session, 2)
    where = _delete(bench)
    assert where == "/copies?deleted=1"
    # Nothing of it is left, and the other build is as it was.
    assert bench.client.get("/builds/1").status_code == 404
    with bench.db.read() as session:
        assert document_of(session, 2) == other
    with closing(sqlite3.connect(bench.db.path)) as connection:
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        assert connection.execute("SELECT count(*) FROM journal_line WHERE build_id = 1").fetchone() == (0,)
    assert bench.post(
        "/builds/2/delete", {"confirmed": str(bench.one("SELECT max(id) FROM journal_line"))}
    ).is_redirect
    counts = _counts(bench.db.path)
    assert {name for name, count in counts.items() if count} <= _STAY
    # Its export is kept beside the copies: all that it was, and that it was deleted.
    kept = {one.number: one for one in left_of(bench.db.path)}
    text = kept[1].path.read_text()
    found = json.loads(text)
    *journal, last = found["build"].pop("journal")
    assert [line["sentence"] for line in journal] == [sentence for (sentence,) in lines]
    assert (last["kind"], last["who"]) == ("delete", "AB")
    assert journal == document["build"].pop("journal")
    assert found == document
    page = bench.get(where)
    assert f"{document['build']['name']} is deleted." in Words(page).text
    download = bench.client.get("/copies/deleted/1/build.json")
    assert download.text == text and "attachment" in download.headers["content-disposition"]
    # From there it can be had again.
    whole = kept[2].path.read_bytes()
    assert bench.client.post("/import", data={}, files={"document": ("kept.json", whole)}).status_code == 303
    assert other["build"]["name"] in bench.get("/")
    assert bench.journal()[-2:] == [
        "Deleted from the data; this export was kept.",
        "Imported from kept.json.",
    ]


def test_whether_it_goes_for_good_is_asked_at_an_address(bench: Bench) -> None:
    """Left, and come back to, or drawn anew: the question stands, and by itself nothing goes."""
    bench.metric()
    first = bench.get("/builds/1/away")
    question = "Tank engine goes for good, and only the export that is kept first has it then"
    assert question not in Words(first).text and 'href="/builds/1/away?open=delete#delete"' in first
    for _ in range(2):
        asked = bench.get("/builds/1/away?open=delete")
        assert question in Words(asked).text
    back = bench.client.get("/builds/1/delete")
    assert (back.status_code, back.headers["location"]) == (303, "/builds/1/away?open=delete#delete")
    form = form_on(asked, "/builds/1/delete")
    bench.client.cookies.clear()
    nobody = bench.post("/builds/1/delete", form.filled(confirmed=dict(form.buttons)["confirmed"], who=""))
    assert nobody.status_code == 422 and question in Words(nobody.text).text
    assert bench.one("SELECT count(*) FROM build") == 1


def test_an_archived_build_is_brought_back_on_its_own_sheet(bench: Bench) -> None:
    """The one button at its head, above all that is told of it."""
    bench.metric()
    assert bench.send("/builds/1/away", "/builds/1/archive").status_code == 303
    page = bench.get("/builds/1")
    assert page.count("button primary") == 1
    assert page.index("Bring it back</button>") < page.index('class="engine')
    answer = bench.send("/builds/1", "/builds/1/bring-back")
    assert (answer.status_code, answer.headers["location"]) == (303, "/builds/1")
    assert "Bring it back" not in bench.get("/builds/1")


def test_it_is_asked_anew_when_something_was_done_meanwhile(bench: Bench) -> None:
    bench.metric()
    first = bench.send("/builds/1/away?open=delete", "/builds/1/delete")
    assert first.status_code == 409
    assert "6 castings with all ticks and what was set" in Words(first.text).text
    known = str(bench.one("SELECT max(id) FROM journal_line"))
    bench.tick("W1", "received")
    again = bench.post("/builds/1/delete", {"confirmed": known})
    assert again.status_code == 409 and "2 lines of the journal" in Words(again.text).text
    assert bench.one("SELECT count(*) FROM build") == 1
    assert left_of(bench.db.path) == []


def test_the_same_form_sent_twice_deletes_once(bench: Bench) -> None:
    bench.metric()
    fields = {"confirmed": str(bench.one("SELECT max(id) FROM journal_line")), "token": "ab" * 16}
    assert [bench.post("/builds/1/delete", fields).headers["location"] for _ in range(2)] == [
        "/copies?deleted=1"
    ] * 2
    assert len(left_of(bench.db.path)) == 1


def test_without_an_export_nothing_is_deleted(
    bench: Bench, app: FastAPI, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.metric()
    folder = bench.db.path.with_name(f"{bench.db.path.name}.copies")
    folder.write_text("a file where the folder would be")
    known = {"confirmed": str(bench.one("SELECT max(id) FROM journal_line"))}
    answer = bench.post("/builds/1/delete", known)
    assert answer.status_code == 503 and "Nothing was deleted." in Words(answer.text).text
    assert bench.one("SELECT count(*) FROM casting") == 6
    folder.unlink()
    # Nor is an export left of a deletion that did not come about.
    copies: Copies = app.state.copies
    with monkeypatch.context() as broken:
        broken.setattr(change, "JournalLine", None)
        assert bench.post("/builds/1/delete", known).status_code == 500
    assert bench.one("SELECT count(*) FROM casting") == 6
    assert copies.left() == []


def test_an_export_stays_whatever_goes_wrong_once_the_build_is_gone(
    bench: Bench, app: FastAPI, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.metric()
    copies: Copies = app.state.copies
    monkeypatch.setattr(bench.db, "_committed", None)
    answer = bench.post("/builds/1/delete", {"confirmed": str(bench.one("SELECT max(id) FROM journal_line"))})
    assert answer.status_code == 500
    assert bench.one("SELECT count(*) FROM build") == 0
    assert [one.name for one in copies.left()] == ["Tank engine"]


def test_a_line_of_the_journal_goes_only_with_its_build(bench: Bench) -> None:
    bench.metric()
    with closing(sqlite3.connect(bench.db.path)) as connection:
        connection.execute("PRAGMA foreign_keys = ON")
        for statement in (
            "DELETE FROM journal_line WHERE id = 1",
            "DELETE FROM journal_line",
            "UPDATE journal_line SET who = 'XX'",
        ):
            with pytest.raises(sqlite3.IntegrityError, match="append-only"):
                connection.execute(statement)
        # Nor does a build go from under its lines.
        with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
            connection.execute("DELETE FROM build")


def test_no_number_is_given_twice(bench: Bench) -> None:
    """A page of what was deleted finds nobody else under its number."""
    bench.metric()
    bench.tick("W1", "received")
    form = bench.form("/castings/6", "/castings/6/ticks").filled(wish="yes received")
    last = bench.one("SELECT max(id) FROM casting")
    _delete(bench)
    assert bench.metric() == 2
    assert bench.one("SELECT min(id) FROM casting") == last + 1
    assert bench.post("/castings/6/ticks", form).status_code == 404
    assert bench.one("SELECT count(*) FROM tick") == 0


def test_names_that_no_file_can_have(bench: Bench) -> None:
    for number, name in enumerate(("../../x", "a/b\\c: “½”", "😀" * 30, "...", "長" * 60), start=1):
        own = bench.metric()
        form = bench.form(f"/builds/{own}/edit", f"/builds/{own}/edit")
        assert bench.post(f"/builds/{own}/edit", form.filled(name=name)).status_code == 303
        _delete(bench, own)
        left = left_of(bench.db.path)
        assert left[0].number == number and len(left[0].path.name.encode()) < 255
        assert left[0].path.parent == bench.db.path.with_name(f"{bench.db.path.name}.copies")
        assert json.loads(left[0].path.read_text())["build"]["name"] == name
        assert bench.client.get(f"/copies/deleted/{number}/build.json").status_code == 200
    assert len(bench.get("/copies?open=deleted").split("Download the export of")) == 6
    assert bench.client.get("/copies/deleted/99/build.json").status_code == 404


_ALL = (
    "/builds/1", "/builds/1/batches", "/builds/1/made", "/builds/1/rods", "/builds/1/fits", "/builds/1/quartering",
    "/builds/1/treads", "/builds/1/labels", "/builds/1/away", "/builds/1/record", "/axles/1", "/axles/1/gauges",
    "/axles/1/quartering", "/axles/1/journal", "/axles/1/record", "/axles/2", "/castings/1", "/castings/1/bore",
    "/castings/1/tread", "/castings/1/card", "/castings/5",
)  # fmt: skip


def test_every_sheet_of_an_archived_build_says_so_and_offers_no_tick_and_no_reading(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1")
    bench.tick("W2", "received")
    assert bench.scrap("W4").status_code == 303
    for path in _ALL:
        assert "archived" not in _head(bench.get(path)), path
    axle = bench.get("/axles/1")
    assert 'name="wish"' in axle and "Due: " in Words(axle).text and "Put W5 here" in bench.get("/axles/2")
    assert bench.send("/builds/1/away", "/builds/1/archive").status_code == 303
    for path in _ALL:
        assert "archived" in _head(bench.get(path)), path
    for path in ("/axles/1", "/axles/2", "/castings/1", "/castings/5"):
        page = bench.get(path)
        assert (
            'name="wish"' not in page and "Due: " not in Words(page).text and "here</button>" not in page
        ), path
    for path in ("/axles/1", "/axles/2", "/castings/1"):
        page = bench.get(path)
        assert 'class="caution"' not in page and 'data-state="next"' not in page, path
    assert "archived: bring it back first" in bench.refused(lambda: bench.wish("W2", "yes back_faced")).text
    # What was done is still seen.
    assert 'class="box ticked"' in bench.get("/axles/1")


def _head(page: str) -> str:
    return page[page.index('<header class="topline"') : page.index("</header>")]
