"""The reading that is due: in the order the stages ask for it, of the wheel it is named by, tried before it is written."""

from __future__ import annotations

import re
from urllib.parse import urlencode

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import HX, Bench, FormOnPage, Words, form_on
from webapp.db import Db
from webapp.facts.due import axle_due
from webapp.web.load import get_axle


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def due(bench: Bench, axle: int = 1) -> list[str]:
    return [one.key for one in axle_due(*get_axle(bench.db, axle))]


def test_what_is_due_follows_the_stages(bench: Bench) -> None:
    bench.metric()
    assert due(bench) == []
    bench.tick("W1", "received", "back_faced")
    # A hole still to be made is made for its seat; one that is there is measured first.
    assert due(bench) == ["seat-left", "bore-1"]
    bench.tick("W1", "bored")
    assert due(bench) == ["bore-1", "seat-left", "throw-1"]
    bench.tick("W2", "received", "back_faced")
    assert due(bench) == ["seat-right", "bore-1", "bore-2", "seat-left", "throw-1"]
    assert bench.log("W1", "bore", "19.08").status_code == 303
    assert bench.seat(1, "left", "19.05").status_code == 303
    assert bench.log("W1", "throw", "28.01").status_code == 303
    assert due(bench) == ["seat-right", "bore-2"]


def test_tread_and_heights_come_with_their_stages(bench: Bench) -> None:
    bench.metric()
    bench.seats()
    bench.bored("W1", "W2")
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28.01").status_code == 303
    assert due(bench) == []
    bench.tick("W1", "pressed")
    # The second wheel goes on first, and the axle is quartered with it, wet: heights come before any tread.
    assert due(bench) == ["heights"]
    bench.tick("W2", "pressed")
    assert due(bench) == ["heights", "tread-1", "tread-2"]


def test_a_bore_that_is_no_good_stays_where_the_finger_is(bench: Bench) -> None:
    """The number after the next cut is that wheel's, not the next reading's."""
    bench.metric()
    bench.tick("W1", "received", "back_faced", "bored")
    bench.tick("W2", "received", "back_faced", "bored")
    form = form_on(bench.get("/axles/1?due=bore-1"), "/castings/1/bores")
    for hx in (True, False):
        answer = bench.post(form.action, form.filled(reading_front_first="19.06", token=f"{hx:032x}"), hx=hx)
        page = answer.text if hx else bench.get(answer.headers["location"])
        said = " ".join(Words(page).by_id["due-bore-1"].split())
        assert "Due: W1 bore, again" in said
        form = form_on(bench.get("/axles/1?due=bore-1"), "/castings/1/bores")
    # It is not in the way of what else is due, and one tap away on a page drawn afresh.
    assert due(bench)[-1] == "bore-1" and due(bench)[0] != "bore-1"
    answer = bench.post(form.action, form.filled(reading_front_first="19.08"), hx=True)
    words = " ".join(Words(answer.text).text.split())
    assert (
        "Written: W1 bore 19.080 mm (0.7512 in). Good: gap 0.030 mm" in words and "Due: W1 bore" not in words
    )


def test_a_tread_that_is_no_good_is_read_again_right_there_and_leads_the_head(bench: Bench) -> None:
    """The group is turned to 110: 110.4 is no good, ticked as turned or not, whatever else is to be taken care of."""
    bench.metric()
    bench.bored("W1", "W2")
    for mark, throw in (("W1", "28.01"), ("W2", "28.15")):
        assert bench.log(mark, "throw", throw).status_code == 303
        bench.tick(mark, "pressed")
    for hx, ticked in ((True, False), (False, True)):
        if ticked:
            bench.tick("W1", "tread_turned")
        form = form_on(bench.get("/axles/1?due=tread-1"), "/castings/1/treads")
        answer = bench.post(form.action, form.filled(tread="110.4", token=f"{hx:032x}"), hx=hx)
        page = answer.text if hx else bench.get(answer.headers["location"])
        assert "Due: W1 tread diameter, again" in " ".join(Words(page).by_id["due-tread-1"].split())
        words = Words(bench.get("/axles/1"))
        assert "Tread diameter no good (110.400 mm" in words.by_id["line-1"]
        assert due(bench)[-1] == "tread-1"
    form = form_on(bench.get("/axles/1?due=tread-1"), "/castings/1/treads")
    answer = bench.post(form.action, form.filled(tread="110"), hx=True)
    assert "Due: W1 tread" not in Words(answer.text).text and "tread-1" not in due(bench)
    assert "no good" not in Words(bench.get("/axles/1")).by_id["line-1"].lower()


def test_a_carrying_axle_wants_no_throw_and_no_heights(bench: Bench) -> None:
    bench.metric(coupled="1")
    for mark in ("W3", "W4"):
        bench.tick(mark, "received", "back_faced", "bored", "pressed")
    assert not {one.partition("-")[0] for one in due(bench, 2)} & {"throw", "heights"}


def test_the_box_names_its_wheel_and_sends_to_it(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1")
    bench.tick("W2", "received", "back_faced", "bored")
    for key, mark, action in (
        ("bore-2", "W2 bore", "/castings/2/bores"),
        ("throw-1", "W1 throw", "/castings/1/throws"),
        ("seat-right", "W2 right seat", "/axles/1/seats/right"),
    ):
        html = bench.get(f"/axles/1?due={key}")
        assert f"Due: {mark}" in " ".join(Words(html).by_id["due"].split())
        assert form_on(html, action).fields["from"] == ["due"]
    # What is not due any more is not asked for: the first that is stands there instead.
    assert "Due: W2 bore" in " ".join(Words(bench.get("/axles/1?due=bore-1")).by_id["due"].split())


@pytest.mark.parametrize(
    ("typed", "said"), [("19.08", "Good: gap 0.030 mm"), ("19.25", "No good: too slack by 0.150 mm")]
)
def test_a_bore_is_tried_and_nothing_is_written(bench: Bench, typed: str, said: str) -> None:
    bench.metric()
    bench.tick("W1", "received", "back_faced", "bored")
    before = bench.dump()
    address = f"/castings/1/bores/try?{urlencode({'reading_front_first': typed, 'unit': 'mm'})}"
    tried = bench.client.get(address, headers=HX)
    assert tried.status_code == 200
    assert "Not written yet." in tried.text and said in tried.text and 'class="band-at"' in tried.text
    assert bench.dump() == before
    # Written, it is the same judge's same answer.
    form = form_on(bench.get("/axles/1?due=bore-1"), "/castings/1/bores")
    written = bench.post(form.action, form.filled(reading_front_first=typed), hx=True)
    assert written.status_code == 200
    assert said in " ".join(Words(written.text).text.split())


@pytest.mark.parametrize("typed", ["", "19.", "nineteen", "-3", "0.75", "0", "1e9", "19.08 19.09", "9" * 80])
def test_what_is_half_typed_or_cannot_be_meant_draws_nothing(bench: Bench, typed: str) -> None:
    bench.metric()
    bench.tick("W1", "received", "back_faced", "bored")
    for address in ("/castings/1/bores/try", "/axles/1/seats/left/try", "/castings/1/throws/try"):
        box = "reading_front_first" if "bores" in address else "reading"
        tried = bench.client.get(f"{address}?{urlencode({box: typed, 'unit': 'mm'})}", headers=HX)
        assert tried.status_code == 200
        assert "<svg" not in tried.text and "Not written" not in tried.text


def test_a_seat_is_tried_with_its_wheel_and_a_throw_with_its_fellows(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1", "W3")
    assert bench.log("W3", "throw", "28.00").status_code == 303
    seat = bench.client.get("/axles/1/seats/left/try?reading=19.07&unit=mm", headers=HX).text
    # 19.080 - 19.070 is 0.010: 0.010 short of the 0.020 wanted.
    assert "No good: too tight by 0.010 mm" in seat
    throw = bench.client.get("/castings/1/throws/try?reading=28.4&unit=mm", headers=HX).text
    assert re.search(r"Not written yet\.</strong>\s+(No good|Take care)", throw)


def test_the_instrument_is_remembered_for_its_kind_on_this_device(bench: Bench) -> None:
    bench.metric()
    bench.tick("W1", "received", "back_faced", "bored")
    bench.tick("W2", "received", "back_faced", "bored")
    tool = {
        "kind": "value",
        "name": "bore gauge",
        "reach": "inside",
        "resolution": "0.001 mm",
        "expanded": "0.004 mm",
    }
    made = bench.send("/workshop/instruments/new", "/workshop/instruments/new", **tool)
    assert made.status_code == 303, Words(made.text).text
    number = str(bench.one("SELECT id FROM instrument WHERE name = 'bore gauge'"))
    assert f'<option value="{number}" selected>' not in bench.get("/axles/1?due=bore-1")
    form = form_on(bench.get("/axles/1?due=bore-1"), "/castings/1/bores")
    assert (
        bench.post(form.action, form.filled(reading_front_first="19.08", instrument_id=number)).status_code
        == 303
    )
    assert f'<option value="{number}" selected>' in bench.get("/axles/1?due=bore-2")
    assert f'<option value="{number}" selected>' not in bench.get("/axles/1?due=throw-1")


def _ready_to_quarter(bench: Bench) -> FormOnPage:
    """Both wheels bored and their pins in, the first one on: the heights are due, their form stands on the axle sheet."""
    bench.metric()
    bench.seats()
    bench.bored("W1", "W2")
    bench.pins_in("W1", "W2")
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28.00").status_code == 303
    bench.tick("W1", "pressed")
    return form_on(bench.get("/axles/1"), "/axles/1/heights")


# 28 sin 45 = 19.799: the pins of a true quarter, one as far above the axle as the other below.
_TRUE = {"axle": "60", "right": "79.799", "left": "40.201", "stood": "rear rear"}


@pytest.mark.parametrize("hx", [True, False], ids=["script", "plain"])
def test_heights_are_written_on_the_axles_own_sheet(bench: Bench, hx: bool) -> None:
    form = _ready_to_quarter(bench)
    # The best way to lay it is proposed: the person lays it so, and types three figures.
    assert form.fields["stood"] == ["rear rear"]
    answer = bench.post(form.action, form.filled(**_TRUE), hx=hx)
    assert answer.status_code == (200 if hx else 303), Words(answer.text).text
    if hx:
        said = " ".join(Words(answer.text).text.split())
        assert (
            "Written: heights of the crankpins. Good: The right pin is 90.00 degrees ahead of the left one"
            in said
        )
    assert "heights" not in due(bench)
    assert "Good: 90.00°" in " ".join(Words(bench.get("/axles/1/quartering")).text.split())


def test_heights_over_the_top_are_taken_to_the_centres(bench: Bench) -> None:
    """60 + 19/2, 79.799 + 8/2 and 40.201 + 8/2: by hand."""
    form = _ready_to_quarter(bench)
    over = {"axle": "69.5", "right": "83.799", "left": "44.201", "axle_diameter": "19", "pin_diameter": "8"}
    assert bench.post(form.action, form.filled(**{**_TRUE, **over})).status_code == 303
    assert "Good: 90.00°" in " ".join(Words(bench.get("/axles/1/quartering")).text.split())
    # The next axle's heights are most likely read over the same diameters.
    bench.bored("W3", "W4")
    bench.tick("W3", "pressed")
    assert bench.log("W4", "throw", "28.00").status_code == 303
    again = form_on(bench.get("/axles/2?due=heights"), "/axles/2/heights")
    assert [again.fields[name] for name in ("axle_diameter", "pin_diameter")] == [["19 mm"], ["8 mm"]]


@pytest.mark.parametrize(
    ("changes", "beside", "words"),
    [
        ({"left": ""}, "left", "The left pin's height is empty"),
        ({"axle": "sixty"}, "axle", "sixty"),
        ({"pin_diameter": "wide"}, "pin_diameter", "wide"),
        ({"stood": "front front", "left": "79.799"}, "stood", "cannot be"),
        ({"stood": "x"}, "stood", "Choose where this pin stood"),
        ({"right": "797.99"}, "right", "more than its throw"),
        ({"axle": "600", "right": "619.799", "left": "580.201"}, "axle", "60"),
    ],
)
def test_refused_heights_stay_on_the_sheet_as_typed(
    bench: Bench, changes: dict[str, str], beside: str, words: str
) -> None:
    form = _ready_to_quarter(bench)
    sent = form.filled(**{**_TRUE, **changes})
    for hx in (True, False):
        before = bench.dump()
        answer = bench.post(form.action, sent, hx=hx)
        assert answer.status_code in (409, 422)
        assert bench.dump() == before
        told = Words(answer.text).at(beside)
        assert words in told, told
        back = form_on(answer.text, form.action)
        for name, text in changes.items():
            if name != "stood":
                assert back.fields[name] == [text]


def test_heights_are_tried_and_nothing_is_written(bench: Bench) -> None:
    _ready_to_quarter(bench)
    before = bench.dump()
    tried = bench.client.get(f"/axles/1/heights/try?{urlencode({**_TRUE, 'unit': 'mm'})}", headers=HX)
    assert "Not written yet." in tried.text and "90.00 degrees ahead" in tried.text
    assert bench.dump() == before


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        # Before the bond sets: the axle is read first, and both pins are brought to where they belong.
        (
            {"right": "", "left": ""},
            ["right pin, behind the axle, to 79.799", "left pin, behind the axle, to 40.201"],
        ),
        # 60 + 28 sin 135 = 79.799 and 8 / 2 over it.
        ({"right": "", "left": "", "pin_diameter": "8"}, ["to 83.799 mm (3.2992 in) over its top"]),
        # The right pin a little lower, at 60 + 28 sin 140 = 77.998: the left one is 28 sin 230 = 21.449 below.
        ({"right": "77.998", "left": ""}, ["left pin, behind the axle, to 38.551"]),
        ({"axle": "", "left": ""}, []),
        ({"axle": "6", "left": ""}, []),
        ({"right": "797.99", "left": ""}, []),
        ({"right": "", "left": "", "stood": "x"}, []),
        ({"right": "7 9", "left": ""}, ["right pin, behind the axle, to 79.799"]),
    ],
)
def test_heights_half_typed_say_to_what_the_rest_is_set(
    bench: Bench, typed: dict[str, str], said: list[str]
) -> None:
    _ready_to_quarter(bench)
    before = bench.dump()
    asked = urlencode({**_TRUE, **typed, "unit": "mm"})
    tried = bench.client.get(f"/axles/1/heights/try?{asked}", headers=HX)
    assert tried.status_code == 200 and "Not written" not in tried.text
    for words in said:
        assert words in tried.text
    assert ("Set the" in tried.text) is bool(said)
    assert bench.dump() == before


def test_heights_of_another_pair_are_out_of_date(bench: Bench) -> None:
    form = _ready_to_quarter(bench)
    stale = form.filled(**{**_TRUE, "pair": "1-9"})
    assert "out of date" in bench.refused(lambda: bench.post(form.action, stale), 409).text


def test_three_pins_are_read_on_the_quarterings_own_sheet(bench: Bench) -> None:
    _ready_to_quarter(bench)
    form = form_on(bench.get("/builds/1/figures"), "/builds/1/figures")
    figures = form.filled(cylinders="3", inside_slope="8")
    assert bench.post(form.action, figures).status_code == 303
    html = bench.get("/axles/1?due=heights")
    assert "/axles/1/quartering?open=log#fold-log" in html and 'action="/axles/1/heights"' not in html


@pytest.mark.parametrize("hx", [True, False], ids=["script", "plain"])
def test_a_tread_is_written_where_it_is_due(bench: Bench, hx: bool) -> None:
    bench.metric()
    bench.quartered()
    form = form_on(bench.get("/axles/1?due=tread-1"), "/castings/1/treads")
    before = bench.dump()
    refused = bench.post(form.action, form.filled(tread="wide"), hx=hx)
    assert refused.status_code == 422 and bench.dump() == before
    again = form_on(refused.text, form.action)
    assert again.fields["tread"] == ["wide"] and 'id="due-tread-1-0-error"' in refused.text
    answer = bench.post(form.action, again.filled(tread="100.00", meant="100000000"), hx=hx)
    assert answer.status_code == (200 if hx else 303), Words(answer.text).text
    if hx:
        assert "Written: W1 tread diameter 100.000 mm" in " ".join(Words(answer.text).text.split())
    assert "tread-1" not in due(bench)


@pytest.mark.parametrize("hx", [True, False], ids=["script", "plain"])
def test_after_the_tread_its_flange_is_due_for_the_paint_asks_for_it(bench: Bench, hx: bool) -> None:
    bench.metric()
    bench.quartered()
    # With the treads turned, after what the stages before them ask.
    assert due(bench) == ["seat-left", "seat-right", "heights", "tread-1", "tread-2", "flange-1", "flange-2"]
    page = bench.get("/axles/1?due=flange-1")
    # 2 as drawn is 2 - 1.2 tan 10 = 1.788 where it is measured; that height stands in its box.
    assert "Due: W1 flange To be 1.788 mm" in " ".join(Words(page).by_id["due"].split())
    form = form_on(page, "/castings/1/flanges")
    assert form.fields["flange_at"] == ["1.2 mm"]
    refused = bench.post(form.action, form.filled(flange_thickness="wide"), hx=hx)
    assert refused.status_code == 422 and 'id="due-flange-1-0-error"' in refused.text
    again = form_on(refused.text, form.action)
    assert again.fields["flange_thickness"] == ["wide"]
    answer = bench.post(again.action, again.filled(flange_thickness="1.78", flange_height="2"), hx=hx)
    assert answer.status_code == (200 if hx else 303), Words(answer.text).text
    if hx:
        assert "Written: W1 flange 1.780 mm" in " ".join(Words(answer.text).text.split())
    assert "flange-1" not in due(bench)
    # Its figures say something together only, so nothing is drawn as they are typed.
    assert (
        bench.get("/castings/1/flanges/try?flange_thickness=1.8").strip()
        == bench.get("/castings/1/treads/try").strip()
    )


def test_a_tread_larger_than_before_is_asked_about_where_it_stands(bench: Bench) -> None:
    """From a page gone back to, where the box of a tread that is taken still stands."""
    bench.metric()
    bench.quartered()
    form = form_on(bench.get("/axles/1?due=tread-1"), "/castings/1/treads")
    assert bench.post(form.action, form.filled(tread="109.80")).status_code == 303
    larger = form.filled(tread="109.95", token="b" * 32)
    asked = bench.refused(lambda: bench.post(form.action, larger), 409)
    assert "Larger than before: which is right?" in asked.text
    assert bench.post(form.action, {**larger, "grown": "misread", "token": "c" * 32}).status_code == 303
    assert bench.one("SELECT count(*) FROM measurement WHERE kind = 'tread'") == 2


def test_no_throw_is_due_of_a_wheel_whose_bore_is_no_good(bench: Bench) -> None:
    """Its crankpin hole waits for the bore; of one that is drilled already the throw is due all the same."""
    bench.metric()
    bench.seats(axles=(1,))
    bench.bored("W1", bore="19.04 mm")
    assert due(bench) == ["bore-1"]
    bench.tick("W1", "quartered.hole")
    assert due(bench) == ["throw-1", "bore-1"]
