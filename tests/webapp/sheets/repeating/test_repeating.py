"""Like the last wheel: what was set is kept, offered for the next one, and shown beside what came out."""

from __future__ import annotations

import re
from datetime import UTC, datetime

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from tests.webapp.scenes import Bench, Words, forms_on
from webapp.db import Db

PLAN = "/builds/1/batches"
LATHE = {
    "name": "bench lathe", "kind": "lathe", "unit": "mm", "speeds": "25 45 60 105", "motor": "", "least_feed": "",
    "centre_height": "89", "gap_radius": "130", "gap_width": "80",
}  # fmt: skip
CHUCK = {
    "name": "four-jaw", "unit": "mm", "body": "125", "depth": "60", "jaw_length": "60", "normal_outside": "50",
    "normal_inside": "", "reversed_outside": "12", "reversed_inside": "", "screw": "",
}  # fmt: skip


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A metric build of two axles, bonded with a gap of 0.02 to 0.05 on a seat of 19.05: a bore is aimed at 19.085."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def words(html: str) -> str:
    """The words of a page."""
    return re.sub(r"\s+", " ", Words(html).text)


def address(bench: Bench, mark: str, op: str = "ream_bore") -> str:
    """The sheet of what is set on a wheel for an operation."""
    return f"/castings/{bench.id(mark)}/settings?op={op}"


def keep(bench: Bench, mark: str, op: str = "ream_bore", **texts: str) -> Response:
    """Type what was set and send it, from the wheel's own sheet."""
    own = address(bench, mark, op)
    answer = bench.get(own)
    form = next(
        one
        for one in forms_on(answer)
        if one.action == f"/castings/{bench.id(mark)}/settings" and "token" in one.fields
    )
    return bench.post(form.action, form.filled(**texts))


def kept(bench: Bench, mark: str, op: str = "ream_bore", **texts: str) -> None:
    """Type what was set, which must be taken."""
    answer = keep(bench, mark, op, **texts)
    assert answer.status_code == 303, words(answer.text)


def the_same(bench: Bench, page: str, action: str) -> Response:
    """Tap Set the same, as the page has it."""
    form = next(
        one
        for one in forms_on(bench.get(page))
        if one.action == action and any(n == "wish" for n, _ in one.buttons)
    )
    name, value = form.buttons[0]
    return bench.post(action, form.filled(**{name: value}))


def rows(bench: Bench, mark: str) -> list[tuple[object, ...]]:
    """What is stored of a wheel, oldest first."""
    return bench.rows(
        "SELECT operation, key, text, value, unit, who FROM setting WHERE casting_id = ? ORDER BY id",
        bench.id(mark),
    )


def test_what_was_set_is_kept_as_typed_with_its_value(bench: Bench) -> None:
    kept(bench, "W1", spindle="110 rpm", feed="0.1 mm/rev", reamer="A")
    assert rows(bench, "W1") == [
        ("ream_bore", "spindle", "110 rpm", 110_000, "milli_per_min", "AB"),
        ("ream_bore", "feed", "0.1 mm/rev", 100_000, "nm", "AB"),
        ("ream_bore", "reamer", "A", None, None, "AB"),
    ]
    assert "Set on W1: 110 rpm, 0.1 mm/rev, reamer A" in words(bench.get(address(bench, "W1")))
    assert bench.journal("W1")[-1] == "Set on W1 to ream the bore: 110 rpm, 0.1 mm/rev, reamer A."


def test_nothing_is_written_over_and_the_last_stands(bench: Bench) -> None:
    kept(bench, "W1", spindle="110 rpm", reamer="A")
    kept(bench, "W1", spindle="90 rpm", reamer="A")
    kept(bench, "W1", spindle="90 rpm", reamer="")
    assert [row[1:3] for row in rows(bench, "W1")] == [
        ("spindle", "110 rpm"),
        ("reamer", "A"),
        ("spindle", "90 rpm"),
        ("reamer", ""),
    ]
    page = words(bench.whole(address(bench, "W1")))
    assert "Set on W1: 90 rpm AB" in page
    for said in ("Spindle speed: 110 rpm", "Reamer: A", "Reamer: taken back"):
        assert said in page


def test_what_stands_already_is_not_kept_again_and_not_told_again(bench: Bench) -> None:
    kept(bench, "W1", spindle="110 rpm")
    before = bench.journal()
    kept(bench, "W1", spindle="110 rpm")
    assert len(rows(bench, "W1")) == 1
    assert bench.journal() == before


@pytest.mark.parametrize(
    ("name", "text", "sentence"),
    [
        ("spindle", "110", "“110” has no unit: write it too, such as 110 rpm."),
        ("feed", "0.1", "“0.1” has no unit: write it too, such as 0.1 mm/rev or 0.004 in/rev."),
    ],
)
def test_a_figure_without_its_unit_is_refused_beside_its_field(
    bench: Bench, name: str, text: str, sentence: str
) -> None:
    answer = keep(bench, "W1", reamer="A", **{name: text})
    assert answer.status_code == 422
    page = Words(answer.text)
    assert page.at(name) == sentence
    again = next(one for one in forms_on(answer.text) if "token" in one.fields)
    assert again.fields[name] == [text]
    assert again.fields["reamer"] == ["A"]
    assert rows(bench, "W1") == []


def test_an_empty_form_is_refused_where_there_is_nothing_to_take_back(bench: Bench) -> None:
    answer = keep(bench, "W1", spindle="", feed="", reamer="")
    assert answer.status_code == 422
    assert Words(answer.text).at("spindle").startswith("Nothing is said here")


def test_who_is_asked_where_nobody_has_said(bench: Bench, client: TestClient) -> None:
    client.cookies.clear()
    answer = keep(bench, "W1", spindle="110 rpm")
    assert answer.status_code == 422
    assert Words(answer.text).at("who").startswith("Who is at the bench?")
    kept(bench, "W1", spindle="110 rpm", who="CD")
    assert rows(bench, "W1")[0][-1] == "CD"


def test_an_operation_that_there_is_not_is_not_found(bench: Bench) -> None:
    action = f"/castings/{bench.id('W1')}/settings"
    assert bench.post(action, {"op": "polish", "spindle": "110 rpm"}).status_code == 404


def test_nothing_is_set_on_a_wheel_that_is_scrapped(bench: Bench) -> None:
    kept(bench, "W1", spindle="110 rpm")
    own = bench.id("W1")
    bench.send(f"/castings/{own}/scrap", f"/castings/{own}/scrap", reason="cracked", confirmed="yes")
    assert bench.at("W1")[0] == "scrapped"
    answer = bench.post(f"/castings/{own}/settings", {"op": "ream_bore", "spindle": "90 rpm"})
    assert answer.status_code == 422
    assert "scrapped" in words(answer.text)
    assert len(rows(bench, "W1")) == 1
    # It is no example for the others either.
    assert "as on" not in words(bench.get(address(bench, "W2")))


def test_the_next_wheel_is_set_the_same_with_one_tap(bench: Bench) -> None:
    kept(bench, "W1", spindle="110 rpm", reamer="A")
    page = address(bench, "W2")
    assert "as on W1: 110 rpm, reamer A" in words(bench.get(page))
    assert the_same(bench, page, f"/castings/{bench.id('W2')}/settings").status_code == 303
    assert rows(bench, "W2") == rows(bench, "W1")
    assert bench.journal("W2")[-1] == "Set on W2 as on W1: 110 rpm, reamer A."
    assert "Set the same" not in words(bench.get(page))


def test_the_wheel_that_was_set_last_is_the_example(bench: Bench) -> None:
    kept(bench, "W1", spindle="110 rpm")
    kept(bench, "W3", spindle="90 rpm")
    assert "as on W3: 90 rpm" in words(bench.get(address(bench, "W2")))
    kept(bench, "W1", spindle="120 rpm")
    assert "as on W1: 120 rpm" in words(bench.get(address(bench, "W2")))


def test_a_button_says_yes_to_just_what_it_showed(bench: Bench) -> None:
    kept(bench, "W1", spindle="110 rpm")
    own = bench.id("W2")
    form = next(
        one
        for one in forms_on(bench.get(address(bench, "W2")))
        if one.buttons and one.buttons[0][0] == "wish"
    )
    kept(bench, "W1", spindle="90 rpm")
    answer = bench.post(f"/castings/{own}/settings", form.filled(wish=form.buttons[0][1]))
    assert answer.status_code == 409
    assert "out of date" in words(answer.text)
    assert "as on W1: 90 rpm" in words(answer.text)
    assert rows(bench, "W2") == []


def test_it_is_shown_beside_what_came_out(bench: Bench) -> None:
    kept(bench, "W1", spindle="110 rpm", reamer="A")
    assert "W1 came" not in words(bench.get(address(bench, "W1")))
    bench.bored("W1", bore="19.095 mm")
    said = "W1 came 0.010 mm larger than aimed with reamer A at 110 rpm: in limits"
    for page in (address(bench, "W1"), address(bench, "W2"), f"/castings/{bench.id('W1')}?open=set"):
        assert said in words(bench.get(page)), page
    assert said in words(bench.get(f"/castings/{bench.id('W1')}/bore"))


def test_each_slip_tells_how_its_part_was_set(bench: Bench) -> None:
    own = bench.id("W1")
    kept(bench, "W1", "finish_tread", dial="10.80 mm")
    kept(bench, "W1", "drill_crankpin", spindle="400 rpm")
    kept(bench, "W1", "drill_bore", spindle="200 rpm")
    lines = {
        "bore": "Drill the bore: 200 rpm",
        "throw": "Drill the crankpin hole: 400 rpm",
        "tread": "Finish the tread: dial 10.80 mm",
    }
    for slip in lines:
        page = words(bench.get(f"/castings/{own}/{slip}"))
        assert "How W1 was set" in page
        assert [one for one, line in lines.items() if line in page] == [slip]
    casting = words(bench.get(f"/castings/{own}?open=set"))
    assert all(line in casting for line in lines.values())


def test_a_reading_from_before_it_was_set_otherwise_says_nothing(bench: Bench) -> None:
    kept(bench, "W1", spindle="110 rpm")
    bench.bored("W1", bore="19.12 mm")
    assert "W1 came 0.035 mm larger than aimed at 110 rpm: over" in words(bench.get(address(bench, "W1")))
    kept(bench, "W1", spindle="90 rpm")
    assert "W1 came" not in words(bench.get(address(bench, "W1")))


def test_what_was_written_down_only_after_the_reading_goes_with_it(bench: Bench) -> None:
    bench.bored("W1", bore="19.085 mm")
    kept(bench, "W1", spindle="110 rpm", reamer="A")
    assert "W1 came as aimed with reamer A at 110 rpm: in limits" in words(bench.get(address(bench, "W1")))


def equip(bench: Bench) -> None:
    """A lathe and a chuck on the workshop's list."""
    assert bench.post("/workshop/machines/new", LATHE).status_code == 303
    assert bench.post("/workshop/chucks/new", CHUCK).status_code == 303


def with_reamer(bench: Bench) -> None:
    """A reamer on the workshop's list, marked what the bore is to be."""
    assert bench.send("/workshop", "/workshop/reamers#add-reamer", size="19.085").status_code == 303


def keep_button(html: str) -> tuple[str, dict[str, list[str]]]:
    """The one-tap form of a sheet."""
    form = next(
        one
        for one in forms_on(html)
        if one.action.endswith("/settings") and not one.buttons and "token" not in one.fields
    )
    return form.action, form.fields


def test_speeds_are_kept_with_one_tap(bench: Bench) -> None:
    equip(bench)
    page = f"/castings/{bench.id('W1')}/speeds?op=finish_tread"
    action, fields = keep_button(bench.get(page))
    answer = bench.post(action, fields)
    assert answer.headers["location"] == f"{page}#op-finish_tread"
    speed, feed, tool = (row[2] for row in rows(bench, "W1"))
    assert f"Set on W1: {speed}, {feed}, {tool}" in words(bench.get(page))
    assert (tool, feed) == ("high-speed steel", "0.004 in/rev")
    # The figure in large on that card is the speed that was kept.
    assert f"{speed} Select" in words(bench.get(page))
    assert "Keep with W1" not in words(bench.get(page))


def test_the_reamer_is_kept_for_one_wheel_after_the_other(bench: Bench) -> None:
    with_reamer(bench)
    page = "/builds/1/reaming"
    for mark in ("W1", "W2"):
        html = bench.get(page)
        assert f"Keep with {mark}:" in words(html)
        action, fields = keep_button(html)
        assert bench.post(action, fields).headers["location"] == f"{page}#set-ream_bore"
    assert {row[1] for row in rows(bench, "W2")} == {"spindle", "reamer"}
    assert "Keep with W3:" in words(bench.get(page))
    assert "as on W2:" in words(bench.get(page))


def test_the_rhythm_of_strokes_is_kept(bench: Bench) -> None:
    own = bench.id("W1")
    page = f"/castings/{own}/strokes?radial_width=30&depth=0.5&feed=0.1&cut_depth=0.2&rhythm=24"
    action, fields = keep_button(bench.get(page))
    assert bench.post(action, fields).headers["location"] == f"/castings/{own}/strokes#set-crank_boss"
    assert {row[2:4] for row in rows(bench, "W1")} == {("0.1 mm/stroke", 100_000), ("24 strokes/min", 24_000)}


def test_how_it_is_held_is_kept_once_it_swings(bench: Bench) -> None:
    equip(bench)
    own = bench.id("W1")
    page = f"/castings/{own}/swing"
    before = bench.get(page)
    assert "Keep with W1" not in words(before)
    form = next(one for one in forms_on(before) if one.action == page)
    held = form.filled(held="90 mm", work="96 mm")
    # Set the other way round the jaws foul the bed: that is nothing to keep.
    fouls = bench.client.get(page, params={**held, "jaws": "normal"})
    assert "Keep with W1" not in words(fouls.text)
    action, fields = keep_button(bench.client.get(page, params=held).text)
    assert bench.post(action, fields).headers["location"] == f"{page}#set-hold_back"
    assert rows(bench, "W1")[0][:3] == ("hold_back", "jaws", "four-jaw, reversed, gripping the outside")


def test_how_the_jaws_hold_it_is_kept_once_it_runs_true(bench: Bench) -> None:
    own = bench.id("W1")
    page = f"/castings/{own}/true"
    assert "Keep with W1" not in words(bench.get(page))
    bench.tick("W1", "received")
    answer = bench.send(page, page, outward="back", surface="inside", grip="on_outside", division="0.01 mm",
        counts_up="yes", tolerance="0.1 mm", screw="")  # fmt: skip
    assert answer.status_code == 303, words(answer.text)
    truing = bench.one("SELECT id FROM truing")
    answer = bench.send(page, f"{page}/{truing}/rounds", jaw_1="0", jaw_2="0", jaw_3="0", jaw_4="0")
    assert answer.status_code == 303, words(answer.text)
    action, fields = keep_button(bench.get(page))
    assert bench.post(action, fields).headers["location"] == f"{page}#set-hold_back"
    assert rows(bench, "W1")[0][:3] == ("hold_back", "jaws", "jaws closed on the outside")


def batch_of_treads(bench: Bench) -> str:
    """The batch in which treads are turned on the mandrel; gives its address."""
    bench.bored("W1", "W2", "W3", "W4")
    bench.send("/builds/1/edit", "/builds/1/edit", route="mandrel_first")
    for mark in ("W1", "W2", "W3", "W4"):
        bench.log(mark, "throw", "28 mm")
    answer = bench.send(PLAN, PLAN, wish="start")
    assert answer.status_code == 303, words(answer.text)
    assert "On the mandrel" in words(bench.get(answer.headers["location"]))
    return str(answer.headers["location"])


def test_in_a_batch_the_last_wheel_stands_as_one_line_with_one_button(bench: Bench) -> None:
    batch = batch_of_treads(bench)
    assert "Nothing kept yet of how it is set" in words(bench.get(batch))
    kept(bench, "W1", "rough_tread", spindle="60 rpm")
    kept(bench, "W1", "finish_tread", spindle="70 rpm", feed="0.1 mm/rev", dial="10.80 mm")
    page = f"{batch}?at=2"
    line = "as on W1: rough: 60 rpm; finish: 70 rpm, 0.1 mm/rev, dial 10.80 mm"
    assert line in words(bench.get(page))
    assert "dials" not in Words(bench.get(page)).by_id
    answer = the_same(bench, page, f"{batch}/set")
    assert answer.headers["location"] == page
    assert rows(bench, "W2") == rows(bench, "W1")
    assert f"Set {line}" in words(bench.get(page))
    assert "Set the same" not in words(bench.get(page))
    assert "dials" not in Words(bench.get(page)).by_id


def test_in_a_batch_of_bores_the_reamer_is_kept_with_one_tap(bench: Bench) -> None:
    with_reamer(bench)
    for mark in ("W1", "W2", "W3", "W4"):
        bench.tick(mark, "received", "back_faced")
    batch = str(bench.send(PLAN, PLAN, wish="start").headers["location"])
    form = next(one for one in forms_on(bench.get(batch)) if one.action == f"{batch}/set")
    assert f"Keep {form.fields['spindle'][0]}, reamer {form.fields['reamer'][0]}" in words(bench.get(batch))
    # Nothing but a speed with its unit is taken, whatever the form said.
    forged = bench.post(form.action, form.filled(spindle="110"))
    assert (forged.status_code, rows(bench, "W1")) == (422, [])
    assert "“110” has no unit" in words(forged.text)
    assert bench.post(form.action, form.fields).headers["location"] == f"{batch}?at=1"
    assert [row[:2] for row in rows(bench, "W1")] == [("ream_bore", "spindle"), ("ream_bore", "reamer")]
    assert "Keep" not in words(bench.get(f"{batch}?at=2"))
    assert "as on W1:" in words(bench.get(f"{batch}?at=2"))


def test_unlike_dial_readings_of_finishing_cuts_are_told(bench: Bench) -> None:
    batch = batch_of_treads(bench)
    kept(bench, "W1", "finish_tread", dial="10.80 mm")
    kept(bench, "W2", "finish_tread", dial="10.83 mm")
    said = "Take care: the treads are finished at unlike dial readings, W1 at 10.80 mm, W2 at 10.83 mm."
    assert Words(bench.get(batch)).by_id["dials"] == said
    kept(bench, "W2", "finish_tread", dial="0.42520 in")
    assert "dials" not in Words(bench.get(batch)).by_id


def test_a_wheel_of_the_batch_comes_before_one_that_is_not_in_it(bench: Bench) -> None:
    batch = batch_of_treads(bench)
    kept(bench, "W1", "finish_tread", dial="10.80 mm")
    kept(bench, "W5", "finish_tread", dial="11.90 mm")
    assert "as on W1: dial 10.80 mm" in words(bench.get(f"{batch}?at=2"))


def test_a_wheel_that_is_not_on_is_not_set_in_a_batch(bench: Bench) -> None:
    batch = batch_of_treads(bench)
    kept(bench, "W1", "finish_tread", dial="10.80 mm")
    answer = bench.post(f"{batch}/set", {"turn": "2", "casting": str(bench.id("W3")), "wish": "x"})
    assert answer.status_code == 422
    assert "nothing to be set by in this batch" in words(answer.text)
    answer = bench.post(f"{batch}/set", {"turn": "2", "casting": str(bench.id("W2")), "wish": "x"})
    assert answer.status_code == 409
    assert rows(bench, "W2") == rows(bench, "W3") == []


def test_away_from_the_machines_nothing_is_set(bench: Bench) -> None:
    answer = bench.send(PLAN, PLAN, wish="start")
    page = words(bench.get(answer.headers["location"]))
    assert "At the bench: receive" in page
    assert "how it is set" not in page


def test_nothing_new_stands_on_the_axle_sheet(bench: Bench) -> None:
    before = words(bench.get("/axles/1"))
    kept(bench, "W1", spindle="110 rpm", reamer="A")
    after = words(bench.get("/axles/1"))
    assert "110 rpm" not in after
    assert len(after.split()) == len(before.split())


def test_the_time_it_was_set_is_the_programs(bench: Bench) -> None:
    kept(bench, "W1", spindle="110 rpm")
    at = datetime.fromisoformat(f"{bench.one('SELECT at FROM setting')}+00:00")
    assert abs((datetime.now(UTC) - at).total_seconds()) < 60
