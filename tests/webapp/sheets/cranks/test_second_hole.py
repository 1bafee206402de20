"""The second crankpin hole of an axle after fixing, with the quartering jig; and a throw read on the axle, through HTTP."""

from __future__ import annotations

from functools import partial

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words
from webapp.db import Db
from webapp.facts.due import axle_due
from webapp.web.load import get_axle

FIGURES = "/builds/1/figures"
WORDS = ("Over axle and pin. ", "over both", "axle diameter", "pin or plug")


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    found = Bench(client, db).sit_down()
    found.metric()
    found.seats()
    found.bored("W1", "W2")
    return found


def _way(bench: Bench, way: str) -> None:
    assert bench.send(FIGURES, FIGURES, pins=way).status_code == 303


def _due(bench: Bench) -> list[str]:
    return [one.key for one in axle_due(*get_axle(bench.db, 1))]


def test_no_throw_is_asked_for_before_its_hole_can_be_there(bench: Bench) -> None:
    assert _due(bench) == ["throw-1", "throw-2"]
    _way(bench, "jig")
    assert _due(bench) == []
    bench.tick("W1", "quartered.hole")
    assert _due(bench) == ["throw-1"]
    assert bench.log("W1", "throw", "28.01").status_code == 303
    assert bench.wish("W1", "yes pressed").status_code == 303
    assert "throw-2" not in _due(bench)
    # Nothing is asked of the second wheel: neither its throw nor that the axle is quartered with it.
    assert bench.wish("W2", "yes pressed").status_code == 303
    assert _due(bench)[0] == "throw-2"


def test_the_axle_is_ticked_quartered_after_its_second_hole(bench: Bench) -> None:
    _way(bench, "jig")
    assert bench.log("W1", "throw", "28.01").status_code == 303
    assert bench.wish("W1", "yes pressed").status_code == 303
    html = bench.get("/axles/1")
    assert "in one go" not in Words(html).by_id["row-quartered"]
    refused = bench.refused(
        partial(bench.send, "/axles/1", "/axles/1/ticks", wish="yes pressed_and_quartered")
    )
    assert "W2 gets its crankpin hole through the quartering jig" in refused.text
    assert bench.wish("W2", "yes pressed").status_code == 303
    refused = bench.refused(partial(bench.send, "/axles/1", "/axles/1/ticks", wish="yes quartered"))
    assert "No throw is logged for W2" in refused.text
    assert bench.log("W2", "throw", "38.03", plug_one="12", plug_two="8").status_code == 303
    asked = bench.refused(partial(bench.send, "/axles/1", "/axles/1/ticks", wish="yes quartered"), 409)
    assert "taken to be as the quartering jig made it" in asked.text
    answer = bench.send("/axles/1", "/axles/1/ticks", wish="yes quartered confirmed")
    assert answer.status_code == 303
    assert bench.one("SELECT count(*) FROM quartering") == 1


def test_the_next_work_is_the_jigs(bench: Bench) -> None:
    _way(bench, "jig")
    assert bench.log("W1", "throw", "28.01").status_code == 303
    bench.tick("W1", "pressed")
    bench.tick("W2", "pressed")
    page = Words(bench.whole("/builds/1/batches")).text
    assert "drill the second crankpin hole through the quartering jig" in page.lower()
    assert "in one go" not in page


def test_a_throw_not_read_before_fixing_is_read_over_the_axle(bench: Bench) -> None:
    assert "plug in bore" in bench.get("/axles/1?due=throw-1")
    bench.tick("W1", "pressed")
    html = bench.get("/axles/1?due=throw-1")
    form = html[html.index("Due:") :]
    assert all(words in form for words in WORDS) and "plug in bore" not in form
    slip = Words(bench.get("/castings/1/throw")).text
    assert "no plug goes in its bore" in slip and "Plug in the bore" not in slip
    assert "Plug in the bore" in Words(bench.get("/castings/2/throw")).text
    # Over 12 mm of axle and 8 of pin: 38.01 - (12 + 8) / 2.
    assert bench.log("W1", "throw", "38.01", plug_one="12", plug_two="8").status_code == 303
    assert bench.one("SELECT value FROM measurement WHERE kind = 'throw'") == 28_010_000


def test_heights_wait_until_both_wheels_are_on(bench: Bench) -> None:
    """With a bond the second wheel is quartered wet; a jig drills it once it is fast."""
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28.01").status_code == 303
    bench.tick("W1", "pressed")
    assert _due(bench) == ["heights"]
    _way(bench, "jig")
    assert _due(bench) == []
    bench.tick("W2", "pressed")
    assert "heights" in _due(bench)


def test_a_wheel_fixed_without_its_hole_is_drilled_and_read_as_its_axle_is_quartered(
    client: TestClient, db: Db
) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="2")
    bench.seats(axles=(1,))
    bench.bored("W1", "W2")
    bench.tick("W1", "pressed")
    assert bench.log("W2", "throw", "28.01").status_code == 303
    plan = "/builds/1/batches"
    assert bench.send(plan, plan, wish="start").headers["location"] == "/batches/1"
    page = Words(bench.get("/batches/1")).text
    assert "drill the crankpin hole of W1 on its axle with the quartering jig and log the throw" in page
    assert "W1 throw" in page and all(words in page for words in WORDS)


def test_an_axle_without_any_hole_is_asked_about_once(bench: Bench) -> None:
    """As its first wheel is fixed without it; let pass it stays told, of that wheel, until the hole is there."""
    _way(bench, "jig")
    asked = bench.refused(partial(bench.wish, "W1", "yes pressed"), 409).text
    words = "No crankpin hole is ticked drilled on the axle of W1, and its first is drilled before"
    assert words in asked
    assert bench.wish("W1", "yes pressed confirmed", reason="a tread first").status_code == 303
    assert bench.wish("W2", "yes pressed").status_code == 303
    assert bench.journal("W2")[-1] == "Ticked pressed."
    page = Words(bench.get("/axles/1")).text
    assert (
        page.count("let pass: a tread first") == 1 and page.count("No crankpin hole is ticked drilled") == 1
    )
    bench.tick("W2", "quartered.hole")
    assert "No crankpin hole" not in Words(bench.get("/axles/1")).text
