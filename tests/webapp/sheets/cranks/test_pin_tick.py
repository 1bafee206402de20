"""Putting a crankpin in as a step of the checklist: where it stands, what its tick asks, and who is told."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import partial

import pytest
from fastapi.testclient import TestClient

from domain.route.guards import Strength
from domain.route.stages import CRANKPIN_IN, Pins
from tests.webapp.scenes import PIN_FIGURES, PIN_MADE, Bench, Words
from webapp.db import Db
from webapp.facts.before_tick import objection_to
from webapp.facts.let_pass import let_pass
from webapp.records.builds import load_build
from webapp.records.journal import now
from webapp.records.views import BuildView, CastingView

JOINTS, PAGE, FIGURES = "/builds/1/joints", "/builds/1/crankpins", "/builds/1/figures"
IN = f"yes {CRANKPIN_IN}"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    found = Bench(client, db).sit_down()
    found.metric()
    found.bored("W1", "W2")
    return found


def _build(bench: Bench) -> BuildView:
    with bench.db.read() as session:
        return load_build(session, 1)


def _wheel(bench: Bench, mark: str = "W1") -> tuple[BuildView, CastingView]:
    build = _build(bench)
    return build, next(one for one in build.castings if one.mark == mark)


def _log(bench: Bench, mark: str = "W1", **sizes: str) -> None:
    own = bench.id(mark)
    answer = bench.send(f"{PAGE}?open=pin-{own}", f"/castings/{own}/crankpin#log-{own}", **sizes)
    assert answer.status_code == 303, Words(answer.text).text


def _asked(bench: Bench, mark: str = "W1") -> tuple[str, ...]:
    build, wheel = _wheel(bench, mark)
    found = objection_to(build, wheel, CRANKPIN_IN, now())
    assert found is None or found.strength is Strength.CONFIRM
    return found.each if found else ()


def _row(bench: Bench, stage: str) -> str:
    return Words(bench.get(f"/axles/1?steps={stage}")).by_id[f"row-{stage}"]


@pytest.mark.parametrize("way", ["", "before", "after", "jig"])
def test_it_stands_at_fixing_and_is_ticked_before_or_after_as_the_builder_says(
    bench: Bench, way: str
) -> None:
    if way:
        assert bench.send(FIGURES, FIGURES, pins=way).status_code == 303
    assert "Crankpin in and square" not in _row(bench, "bored")
    assert "Crankpin in and square" in _row(bench, "pressed")
    refused = bench.wish("W1", IN)
    asked = Words(refused.text).text
    if way in ("after", "jig"):
        assert refused.status_code == 422 and "W1 is not pressed yet" in asked
    else:
        assert (
            refused.status_code == 409
            and "Not measured of the crankpin of W1: hole, pin, how square it stands." in asked
        )


@pytest.mark.parametrize(("way", "stage"), [("before", "pressed"), ("after", "pressed")])
def test_without_script_its_refusal_leads_to_its_own_row(bench: Bench, way: str, stage: str) -> None:
    assert bench.send(FIGURES, FIGURES, pins=way).status_code == 303
    own = bench.id("W1")
    for page, view in ((f"/castings/{own}", "casting"), ("/axles/1", "axle")):
        form = bench.form(page, f"/castings/{own}/ticks").filled(wish=IN, view=view)
        html = bench.post(f"/castings/{own}/ticks", form).text
        assert re.findall(r'href="#([\w-]+)">Go to it', html) == [f"row-{stage}"]
        row = html[html.index(f'id="row-{stage}"') :]
        assert ("crankpin of W1" if way == "before" else "W1 is not pressed yet") in row


def test_a_tick_that_was_set_stays_where_the_way_is_changed(bench: Bench) -> None:
    bench.pins_in("W1")
    assert bench.send(FIGURES, FIGURES, pins="after").status_code == 303
    html = bench.get("/axles/1?steps=pressed")
    assert f'value="no {CRANKPIN_IN}"' in html[html.index('id="row-pressed"') :]


def test_its_tick_asks_by_name_what_the_judge_says(bench: Bench) -> None:
    assert _asked(bench) == ("Not measured of the crankpin of W1: hole, pin, how square it stands.",)
    assert bench.send(JOINTS, JOINTS, **PIN_FIGURES).status_code == 303
    _log(bench, pin_hole="8.01")
    assert _asked(bench) == ("Not measured of the crankpin of W1: pin, how square it stands.",)
    _log(bench, pin_seat="8.02", pin_near="0.010", pin_far="-0.015", pin_over="15")
    fit, lean = _asked(bench)
    assert fit.startswith("The crankpin of W1: no good: ")
    assert lean.startswith("The crankpin of W1: no good, leans 0.025 mm (0.0010 in) over 15.000 mm")
    _log(bench, **PIN_MADE)
    assert _asked(bench) == ()
    assert _asked(bench, "W2")[0].startswith("Not measured of the crankpin of W2")


def test_what_is_let_pass_is_recorded_and_settled_once_it_is_good(bench: Bench) -> None:
    refused = bench.refused(partial(bench.wish, "W1", IN), 409)
    assert "Not measured of the crankpin of W1" in refused.text
    assert bench.wish("W1", f"{IN} confirmed", reason="no dial here").status_code == 303
    assert any(
        "Ticked crankpin in and square. Let pass: Not measured of the crankpin of W1" in one
        for one in bench.journal("W1")
    )
    assert [words for words, _ in let_pass(*_wheel(bench))] == ["crankpin in and square"]
    own = bench.id("W1")
    row = " ".join(Words(bench.get(f"{PAGE}?open=pin-{own}")).by_id[f"pin-{own}"].split())
    assert row.startswith("In by AB, ") and "Let pass: Not measured of the crankpin of W1" in row
    assert bench.send(JOINTS, JOINTS, **PIN_FIGURES).status_code == 303
    _log(bench, **PIN_MADE)
    assert let_pass(*_wheel(bench)) == ()


def test_a_wheel_is_not_finished_unasked_while_its_pin_is_not_in(bench: Bench) -> None:
    build, wheel = _wheel(bench)
    before = dict.fromkeys(("pressed", "tread_turned", "quartered"), next(iter(wheel.ticks.values())))
    almost = replace(wheel, ticks={**wheel.ticks, **before})
    found = objection_to(build.with_casting(almost), almost, "painted", now())
    assert found is not None and "The crankpin of W1 is not ticked in." in found.each
    bench.pins_in("W1")
    build, wheel = _wheel(bench)
    almost = replace(wheel, ticks={**wheel.ticks, **before})
    found = objection_to(build.with_casting(almost), almost, "painted", now())
    assert found is None or "ticked in" not in found.words


@pytest.mark.parametrize("way", ["", "before", "after"])
def test_where_it_goes_in_before_fixing_the_wheel_is_not_fixed_unasked_without_it(
    bench: Bench, way: str
) -> None:
    """On its axle it cannot go in as the builder says; where nothing is said, what finishes the wheel asks."""
    bench.seats(axles=(1,))
    for mark in ("W1", "W2"):
        bench._arrange(mark, "throws", reading="28.01 mm")
    if way:
        assert bench.send(FIGURES, FIGURES, pins=way).status_code == 303
    said = {mark: f"The crankpin of {mark} is not ticked in" for mark in ("W1", "W2")}
    first = bench.wish("W1", "yes pressed")
    assert (said["W1"] in Words(first.text).text) is (way == "before")
    if way == "before":
        assert first.status_code == 409
        bench.pins_in("W1")
        assert bench.wish("W1", "yes pressed").status_code == 303
    both = bench.refused(
        partial(bench.send, "/axles/1", "/axles/1/ticks", wish="yes pressed_and_quartered"), 409
    )
    text = Words(both.text).text
    assert (said["W2"] in text) is (way == "before") and said["W1"] not in text


def _asked_to_fix(bench: Bench, mark: str) -> tuple[str, ...]:
    build, wheel = _wheel(bench, mark)
    found = objection_to(build, wheel, "pressed", now())
    return found.each if found else ()


@pytest.mark.parametrize("way", ["", "before", "after"])
def test_a_wheel_is_not_fixed_unasked_without_its_crankpin_hole(bench: Bench, way: str) -> None:
    """Its line says that the hole comes first: so does its tick, once for an axle on which nobody ticks holes."""
    bench.seats(axles=(1,))
    if way:
        assert bench.send(FIGURES, FIGURES, pins=way).status_code == 303
    said = "The crankpin hole of W1 is not ticked drilled, and it is drilled before the wheel is fixed."
    assert "next: crankpin hole" in bench.get("/builds/1")
    pin = ("The crankpin of W1 is not ticked in, and it goes in before the wheel is fixed.",)
    assert _asked_to_fix(bench, "W1") == (said, *(pin if way == "before" else ()))
    asked = bench.wish("W1", "yes pressed")
    assert asked.status_code == 409 and _to_pins(asked.text) == [("/axles/1?steps=bored#row-bored", "W1")]
    assert bench.wish("W1", "yes pressed confirmed", reason="no jig yet").status_code == 303
    assert said in bench.journal("W1")[-1]
    # Both throws are logged before the axle is quartered, and with them the holes are there.
    for mark in ("W1", "W2"):
        bench._arrange(mark, "throws", reading="28.01 mm")
    assert not any("hole" in words for words in _asked_to_fix(bench, "W2"))
    assert not any("hole" in words for words, _ in let_pass(*_wheel(bench)))


def test_a_hole_that_is_ticked_is_there(bench: Bench) -> None:
    bench.seats(axles=(1,))
    bench.tick("W1", "quartered.hole")
    assert _asked_to_fix(bench, "W1") == ()


def test_with_the_quartering_jig_one_hole_of_an_axle_is_enough(bench: Bench) -> None:
    bench.seats(axles=(1,))
    assert bench.send(FIGURES, FIGURES, pins="jig").status_code == 303
    said = "No crankpin hole is ticked drilled on the axle of W1, and its first is drilled before the wheel is fixed."
    assert _asked_to_fix(bench, "W1") == (said,)
    bench.tick("W1", "quartered.hole")
    assert _asked_to_fix(bench, "W1") == () == _asked_to_fix(bench, "W2")


def test_the_sheets_tell_who_put_it_in_and_when(bench: Bench) -> None:
    bench.pins_in("W1")
    own = bench.id("W1")
    html = Words(bench.get(f"{PAGE}?open=pin-{own}"))
    assert "Crankpins as made: 1 of 4 measured, and 0 of 2 spares: good; 1 in" in html.text
    assert " ".join(html.by_id[f"pin-{own}"].split()).startswith("In by AB, ")
    other = bench.id("W2")
    assert " ".join(Words(bench.get(f"{PAGE}?open=pin-{other}")).by_id[f"pin-{other}"].split()).startswith(
        "Not ticked in."
    )
    made = Words(bench.whole("/builds/1/made")).text
    assert made.count("W1, axle 1 left, in by AB, ") == 2


def test_a_pin_that_is_in_and_not_measured_is_missed_in_the_set(bench: Bench) -> None:
    bench.tick("W1", CRANKPIN_IN)
    made = Words(bench.whole("/builds/1/made"))
    assert made.text.count("W1, axle 1 left, in by AB, ") == 2
    assert "Fit of the crankpin" in made.text and "Crankpin out of square" in made.text


def test_a_carrying_wheel_has_no_such_step(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(axles="2", coupled="1", castings="4")
    build = _build(bench)
    carrying = next(axle for axle in build.axles if not axle.coupled)
    wheel = carrying.wheels[0]
    bench.bored(wheel.mark)
    assert "rankpin in" not in bench.get(f"/axles/{carrying.id}?steps=bored")
    assert bench.refused(partial(bench.wish, wheel.mark, IN)).text
    for way in Pins:
        assert build.order(False).tickable(CRANKPIN_IN) is None, way


def _to_pins(html: str) -> list[tuple[str, str]]:
    return re.findall(r'<a href="([^"]+)">Go to the crankpin of\s+(\w+)</a>', html)


def _ready_to_paint(bench: Bench) -> None:
    bench.quartered()
    assert not _to_pins(bench.get("/axles/2"))


@pytest.mark.parametrize(("way", "stage"), [("before", "pressed"), ("after", "pressed")])
def test_whoever_is_asked_for_a_pin_before_the_paint_is_led_to_it(bench: Bench, way: str, stage: str) -> None:
    assert bench.send(FIGURES, FIGURES, pins=way).status_code == 303
    _ready_to_paint(bench)
    at = f"/axles/1?steps={stage}#row-{stage}"
    links = [(at, "W1"), (at, "W2")]
    # Before it is asked for the sheet keeps to one screen.
    assert not _to_pins(bench.get("/axles/1"))
    asked = bench.wish("W1", "yes painted")
    assert asked.status_code == 409 and "The crankpin of W1 is not ticked in." in Words(asked.text).text
    assert _to_pins(asked.text) == links[:1]
    # There its tick is.
    row = bench.get(at.partition("#")[0]).partition(f'id="row-{stage}"')[2].partition('id="row-')[0]
    assert f'value="{IN}"' in row
    bench.pins_in("W1")
    assert _to_pins(bench.wish("W2", "yes painted").text) == links[1:]


def test_a_batch_of_paint_leads_to_the_pin_it_asks_for(bench: Bench) -> None:
    bench.seats()
    _ready_to_paint(bench)
    bench.quartered(2, ("W3", "W4"))
    for mark in ("W5", "W6"):
        bench.tick(mark, "received")
    plan = "/builds/1/batches"
    assert bench.send(plan, plan, wish="start").headers["location"] == "/batches/1"
    at = "/axles/1?steps=pressed#row-pressed"
    page = bench.get("/batches/1")
    assert "The crankpin of W1 is not ticked in." in Words(page).by_id["asks"]
    assert _to_pins(page) == [(at, "W1")]
    form = bench.form("/batches/1", "/batches/1/done")
    asked = bench.post("/batches/1/done", form.filled(**dict(form.buttons[:1])))
    assert asked.status_code == 409 and _to_pins(asked.text) == [(at, "W1")]
    bench.pins_in("W1")
    assert not _to_pins(bench.get("/batches/1"))


def test_a_second_wheel_without_its_pin_is_led_to_it_as_it_goes_on(bench: Bench) -> None:
    assert bench.send(FIGURES, FIGURES, pins="before").status_code == 303
    bench.seats(axles=(1,))
    for mark in ("W1", "W2"):
        bench._arrange(mark, "throws", reading="28.01 mm")
    at = "/axles/1?steps=pressed#row-pressed"
    assert _to_pins(bench.wish("W1", "yes pressed").text) == [(at, "W1")]
    bench.tick("W1", "pressed")
    both = bench.send("/axles/1", "/axles/1/ticks", wish="yes pressed_and_quartered")
    assert both.status_code == 409 and _to_pins(both.text) == [(at, "W2")]


def test_what_is_quartered_without_its_pins_is_asked_about_by_name_once(bench: Bench) -> None:
    """Their heights are read over them; where they go in after, a plug stands in for them."""
    bench.seats(axles=(1,))
    for mark in ("W1", "W2"):
        bench._arrange(mark, "throws", reading="28.01 mm")
        bench.tick(mark, "pressed", "tread_turned")
    quartered = partial(bench.send, "/axles/1", "/axles/1/ticks", wish="yes quartered")
    words = "The crankpins of W1 and W2 are not ticked in, and their heights are read over them."
    page = bench.refused(quartered, 409)
    assert page.by_id["row-quartered"].count(words) == 1
    # The reading of the heights, which is due below, says it too before it is taken.
    assert page.by_id["due"].count(words) == 1 and page.text.count(words) == 2
    bench.pins_in("W1")
    assert "The crankpin of W2 is not ticked in, and its height is read over it." in quartered().text
    assert bench.send(FIGURES, FIGURES, pins="after").status_code == 303
    assert "not ticked in" not in bench.refused(quartered, 409).text


def test_heights_over_a_pin_that_is_not_in_are_asked_for_and_logged_with_that_said_first(
    bench: Bench,
) -> None:
    """By the judge that the tick asks: the reading that is due, the work sheet, the setting, what was written, the row."""
    bench.seats(axles=(1,))
    for mark in ("W1", "W2"):
        bench._arrange(mark, "throws", reading="28.01 mm")
        bench.tick(mark, "pressed")
    words = "The crankpins of W1 and W2 are not ticked in, and their heights are read over them."
    sheet, at = "/axles/1/quartering", "/axles/1?steps=pressed#row-pressed"
    assert f"Due: heights of the crankpins {words}" in " ".join(
        Words(bench.get("/axles/1")).by_id["due"].split()
    )
    for page in (sheet, f"{sheet}?open=log", "/axles/1/setting"):
        html = bench.get(page)
        first = html[html.index('class="verdict-line"') :]
        assert Words(first[: first.index("</p>")]).text.endswith(words), page
        assert html.count(words) == 1 and html.count(f'href="{at}"') == 2, page
    assert "Not measured yet" not in bench.get(sheet)

    # Both at 45 degrees from level, one in front and one behind: 90 degrees.
    heights = {"axle": "60", "left": "79.806", "right": "79.806", "stood": "front rear", "unit": "mm"}
    form = bench.form("/axles/1?due=heights", "/axles/1/heights").filled(**heights)
    answer = bench.post("/axles/1/heights", form, hx=True)
    assert answer.status_code == 200, Words(answer.text).text
    assert f"Written: heights of the crankpins. {words}" in " ".join(Words(answer.text).text.split())
    row = Words(bench.get("/axles/1")).by_id["row-quartered"]
    assert row.index(words) < row.index("Quarter angle: good")
    assert any("measured in vee blocks" in one and one.endswith(words) for one in bench.journal("W1"))
    result = bench.get(sheet)
    assert result.index(words) < result.index('id="result"')

    bench.pins_in("W1")
    one = "The crankpin of W2 is not ticked in, and its height is read over it."
    assert one in Words(bench.get(sheet)).text and one in Words(bench.get("/axles/1")).by_id["row-quartered"]
    bench.pins_in("W2")
    assert "not ticked in" not in bench.get(sheet) + bench.get("/axles/1/setting") + bench.get("/axles/1")
