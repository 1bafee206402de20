"""Crankpins through HTTP: the hole, the jig, the cranks, the throws and which wheels to pair."""

from __future__ import annotations

import math
from html import unescape
from itertools import cycle, islice

import pytest
from fastapi.testclient import TestClient

from domain.cranks.crankpins import Origin, hole_position
from domain.lengths import Unit
from domain.route.stages import Stage
from tests.webapp.scenes import Bench, Words, forms_on, opened
from tests.webapp.test_never_5xx import NASTY
from webapp.db import Db
from webapp.sheets.cranks.drawing_crankpin import CENTRE, THROW, crankpin_picture

PAGE = "/builds/1/crankpins"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    found = Bench(client, db).sit_down()
    found.metric(throw="22.225")
    return found


def said(html: str) -> str:
    return " ".join(Words(html).text.split())


def ask(bench: Bench, status: int = 200, **changes: str) -> str:
    """The form filled in on the page itself and asked with, as a browser does."""
    form = next(one for one in forms_on(bench.get(opened(PAGE, "ask"))) if one.action == PAGE)
    answer = bench.client.get(PAGE, params=form.filled(**changes))
    assert answer.status_code == status, said(answer.text)
    return answer.text


def parts(html: str) -> dict[str, str]:
    return {own: " ".join(text.split()) for own, text in Words(html).by_id.items()}


def test_it_opens_with_the_drawing(bench: Bench) -> None:
    html = bench.whole(PAGE)
    form = next(one for one in forms_on(html) if one.action == PAGE)
    assert form.fields["throw"] == ["22.225 mm"] and form.fields["hole"] == ["8 mm"]
    assert form.fields["bore_plug"] == ["19.05 mm"] and form.fields["pin_plug"] == ["8 mm"]
    found = parts(html)
    assert found["hole-x"] == "X +22.225 mm (+0.8750 in)" and found["hole-y"] == "Y 0.000 mm (0.0000 in)"
    # inwards 22.225 - (19.05 + 8)/2, outwards 55 - 22.225 - 4
    assert "8.700 mm (0.3425 in) of metal is left towards the bore and 28.775 mm" in found["the-hole"]
    assert "the reach of the crank boss is not typed" in found["the-hole"]
    assert "The right crank is ahead of the left one by 90 degrees." in found["cranks"]
    assert 'href="/builds/1/quartering"' in html and 'href="/builds/1/rods"' in html


def test_polar_and_by_a_read_out_of_any_origin_and_turn(bench: Bench) -> None:
    found = parts(ask(bench, throw="20 mm", angle="30", origin_x="-10 mm", origin_y="5", turned="90"))
    # p = (17.3205 + 10, 10 - 5); turned a quarter anticlockwise X is p's y and Y is less p's x.
    assert found["hole-x"] == "X +5.000 mm (+0.1969 in)"
    assert found["hole-y"] == "Y -27.321 mm (-1.0756 in)"
    assert "20.000 mm (0.7874 in), 30.00 degrees anticlockwise" in found["the-hole"]


def test_the_boss_found_by_two_touches(bench: Bench) -> None:
    html = ask(bench, one_x="7 mm", one_y="20", two_x="-7 mm", two_y="20", angle="12")
    found = parts(html)
    assert "the crank boss points 90.00 degrees from the X axis" in found["the-hole"]
    assert found["hole-x"].startswith("X 0.000 mm") and found["hole-y"].startswith("Y +22.225 mm")


def test_room_in_the_boss(bench: Bench) -> None:
    found = parts(ask(bench, reach="28 mm"))
    # 28 - 22.225 - 4 = 1.775, less than a quarter of 8
    assert "1.775 mm (0.0699 in) outwards: that is thin" in found["the-hole"]


def test_the_jig_over_its_plugs(bench: Bench) -> None:
    # 38.112 - (19.05 + 9.525)/2 = 23.8245
    html = ask(bench, throw="23.8125", bore_plug="19.05", pin_plug="9.525", over="38.112")
    found = parts(html)
    assert "The throw is 23.8245 mm" in found["jig-throw"]
    assert "+0.012 mm (+0.0005 in) from the drawing." in found["jig-throw"]
    found = parts(ask(bench, throw="23.8245", bore_plug="19.05", pin_plug="9.525"))
    assert "Over the plugs it must read 38.112 mm" in found["jig-reads"]
    assert "between them 9.537 mm" in found["jig-reads"]  # 23.8245 - 14.2875
    assert "jig-throw" not in found
    assert "For the plugs typed below, 19.050 mm (0.7500 in) in the bore and 9.525 mm" in found["jig-reads"]


def test_another_unit_than_was_meant_is_asked_about(bench: Bench) -> None:
    # 38.112 in is 968 mm, a throw of 953.76 mm; and 16 - (8 + 4)/2 is 10, less than half of 22.225.
    found = parts(ask(bench, bore_plug="19.05", pin_plug="9.525", over="38.112 in"))
    assert (
        "more than twice its throw: was another unit meant? A number alone is in millimetres."
        in found["jig-throw"]
    )
    found = parts(ask(bench, bore_plug="8", pin_plug="4", over="16"))
    assert "less than half of its throw: was another unit meant?" in found["jig-throw"]
    found = parts(ask(bench, bore_plug="19.05", pin_plug="9.525", over="39"))
    assert "another unit" not in found["jig-throw"]


def test_plugs_for_the_bores_logged(bench: Bench) -> None:
    assert "For the bore as typed: no bore is logged yet." in said(bench.whole(PAGE))
    bench.bored("W1", bore="19.062 mm")
    assert "For the one bore logged, W1's." in said(bench.whole(PAGE))
    bench.bored("W2", bore="19.068 mm")
    text = said(bench.whole(PAGE))
    # the smallest less 0.015 and 0.005; in the largest it may shake 19.068 - 19.047
    assert "Turn the plug 19.047 mm (0.7499 in) to 19.057 mm (0.7503 in)" in text
    assert "shake by 0.021 mm" in text
    # Whose bore makes the shake.
    assert (
        "the smallest is W1's, 19.062 mm (0.7505 in); the largest, which makes the shake, W2's, 19.068 mm"
        in text
    )


def test_cranks_of_three_and_of_inclined_cylinders(bench: Bench) -> None:
    found = parts(ask(bench, cylinders="3", slope_inside="8"))
    assert "the inside crank ahead of the right one by 112" in found["cranks"]
    assert (
        "The drawing says 90 degrees between the outside two, and these cylinders want 120" in found["cranks"]
    )
    found = parts(ask(bench, slope_left="5", slope_right="2"))
    # lead ahead of the other by 90 + slope of the other - slope of the lead
    assert "The right crank is ahead of the left one by 93 degrees." in found["cranks"]


@pytest.fixture
def four(bench: Bench) -> Bench:
    """Four wheels with throws: W1 and W3 are on the left, W2 and W4 on the right; today 0.040 lies within each side."""
    for mark, throw in (("W1", "22.20"), ("W2", "22.21"), ("W3", "22.24"), ("W4", "22.25")):
        bench.bored(mark)
        assert bench.log(mark, "throw", f"{throw} mm").status_code == 303
    return bench


def test_which_wheels_to_pair(four: Bench) -> None:
    html = four.whole(PAGE)
    text = said(html)
    # 22.20 and 22.24 on the left, 22.21 and 22.25 on the right.
    assert parts(html)["alike"] == "Good: the throws of each side are alike."
    # best: 22.20 with 22.21 and 22.24 with 22.25
    assert "The left throws lie within 0.010 mm (0.0004 in) and the right within 0.010 mm" in text
    assert "today it is 0.040 mm (0.0016 in) and 0.040 mm" in text
    moves = html.split('id="moves"')[1].split("</ul>")[0]
    assert moves.count("<li>") == 2
    # The fewest that change: one of the small ones goes to the other's side, one of the large the other way.
    assert "from axle" in moves and "comes out of there first" in moves
    assert "/castings/" in moves and "/axles/" in moves and 'href="/builds/1/fits"' in html


def test_wheels_on_their_axles_stay(four: Bench) -> None:
    four.tick("W1", Stage.PRESSED.value)
    four.tick("W2", Stage.PRESSED.value)
    text = said(four.whole(PAGE))
    # 22.20 stays left and 22.21 right: 22.24 and 22.25 may only change with each other; best is as it is.
    assert "today's places are already the best for those not on their axles yet" in text
    assert "axle 1, left, on its axle" in text
    assert 'id="moves"' not in four.whole(PAGE)


def test_all_on_their_axles_and_what_exchanging_would_bring(bench: Bench) -> None:
    """Left 22.20 and 22.24, right 22.21 and 22.25: with W1 and W4, or W2 and W3, exchanged 0.01 lies within each."""
    for mark, throw in (("W1", "22.20"), ("W2", "22.21"), ("W3", "22.24"), ("W4", "22.25")):
        bench.bored(mark)
        assert bench.log(mark, "throw", f"{throw} mm").status_code == 303
        bench.tick(mark, Stage.PRESSED.value)
    html = bench.whole(PAGE)
    assert "All are on their axles, so none can be exchanged." in said(
        html
    ) and "already the best" not in said(html)
    more = parts(html)["if-free"]
    assert more.startswith("If they could: exchanging W")
    assert (
        "would bring the left throws to within 0.010 mm (0.0004 in) and the right to within 0.010 mm" in more
    )
    assert 'id="moves"' not in html


def test_a_spare_with_a_throw_takes_part(four: Bench) -> None:
    four.bored("W5")
    four.scrap("W4")
    text = said(four.whole(PAGE))
    assert "4 places need 4 wheels with a throw, and 3 have one: log the others." in text
    four.place(2, "right", "W5")
    four.log("W5", "throw", "22.20 mm")
    assert "The left throws lie within" in said(four.whole(PAGE))


def test_no_throws_yet(bench: Bench) -> None:
    text = said(bench.whole(PAGE))
    assert "No throw is logged yet: log one on the sheet of each wheel." in text
    assert "Not bored yet, bore it first: All about W1" in text
    bench.bored("W1")
    own = bench.id("W1")
    assert f'No throw logged: <a class="button quiet" href="/castings/{own}/throw">' in bench.whole(PAGE)


def test_refused_beside_its_field_and_the_rest_is_answered(bench: Bench) -> None:
    cases: tuple[tuple[dict[str, str], str, str], ...] = (
        ({"throw": "26 mm", "reach": "28 mm"}, "throw", "larger than the crank boss allows: with this hole at most 24.000"),
        ({"throw": "60 mm"}, "throw", "larger than the tread allows"),
        ({"throw": "12 mm"}, "throw", "would run into the bore"),
        ({"throw": ""}, "throw", "Nothing was typed"),
        ({"throw": "-22"}, "throw", "has a sign"),
        ({"hole": "0"}, "hole", "more than nothing"),
        ({"angle": "nan"}, "angle", "nan"),
        ({"angle": "400"}, "angle", "more than a whole turn"),
        ({"turned": ""}, "turned", "The angle is empty"),
        ({"origin_x": "x"}, "origin_x", "x"),
        ({"one_x": "3"}, "one_y", "type all four"),
        ({"one_x": "5", "one_y": "0", "two_x": "-5", "two_y": "0"}, "one_x", "opposite each other"),
        ({"bore_plug": "40 mm"}, "bore_plug", "they would overlap"),
        ({"over": "5 mm"}, "over", "plugs"),
        ({"slope_left": "50"}, "slope_left", "between 45 degrees down and 45 degrees up"),
        ({"slope_inside": "50", "cylinders": "3"}, "slope_inside", "The inside cylinder's slope"),
        ({"cylinders": "4"}, "cylinders", "Choose two or three"),
    )  # fmt: skip
    for changes, field, words in cases:
        html = ask(bench, 422, **changes)
        assert words in Words(html).at(field), (changes, Words(html).at(field))
    found = parts(ask(bench, 422, slope_left="50"))
    assert found["hole-x"].startswith("X +22.225 mm") and "jig-reads" in found


def test_nothing_is_stored_and_no_nonsense_breaks_it(bench: Bench) -> None:
    before = bench.dump()
    form = next(one for one in forms_on(bench.get(opened(PAGE, "ask"))) if one.action == PAGE)
    dealt = cycle(NASTY)
    for name in sorted(form.fields):
        for text in islice(dealt, 4):
            # A lone half character cannot be written in an address at all.
            clean = text.encode("utf-8", "replace").decode("utf-8")
            answer = bench.client.get(PAGE, params={**form.fields, name: clean})
            assert answer.status_code in (200, 422), (name, text)
    assert bench.dump() == before


def test_builds_without_coupled_axles_and_what_does_not_exist(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(coupled="")
    assert "No axle of this build is coupled" in said(bench.whole(PAGE))
    assert client.get("/builds/99/crankpins").status_code == 404


def test_the_picture_is_to_the_scale_of_the_throw() -> None:
    at = hole_position(20_000_000, 120.0, Origin(), Unit.MM)
    p = crankpin_picture(at, {"bore": 20_000_000, "hole": 8_000_000}, Unit.MM)
    assert [one.text.lines for one in p.measures] == [
        ("throw 20.000 mm",),
        ("bore 20.000 mm",),
        ("hole 8.000 mm",),
    ]
    assert (p.bore, p.hole) == (THROW / 2, THROW / 5)
    assert p.pin_x == pytest.approx(CENTRE - THROW / 2, abs=0.1)
    assert p.pin_y == pytest.approx(CENTRE - THROW * math.sqrt(3) / 2, abs=0.1)


@pytest.mark.parametrize(
    ("last", "words"),
    [
        ("22.275", "Good: the throws of each side are alike."),
        (
            "22.325",
            "Take care: the right throws lie 0.100 mm (0.0039 in) apart, W4 longer than its fellows.",
        ),
        (
            "22.355",
            "Take care: the right throws lie 0.130 mm (0.0051 in) apart, W4 longer than its fellows.",
        ),
        (
            "22.425",
            "No good: the right throws lie 0.200 mm (0.0079 in) apart, W4 longer than its fellows.",
        ),
    ],
)
def test_the_throws_are_judged_and_the_odd_wheel_is_named(bench: Bench, last: str, words: str) -> None:
    """Alike up to 0.05 mm, with care up to 0.15 mm; three of four at 22.225 make that the middle one."""
    for mark, throw in (("W1", "22.225"), ("W2", "22.225"), ("W3", "22.225"), ("W4", last)):
        bench.bored(mark)
        assert bench.log(mark, "throw", f"{throw} mm").status_code == 303
    assert parts(bench.whole(PAGE))["alike"] == words


def test_the_answer_stands_first_and_the_rest_is_asked_for(four: Bench) -> None:
    html = four.get(PAGE)
    page = Words(html).text
    alike = page.index("Good: the throws of each side are alike.")
    assert alike < page.index("The hole by the drawing") < page.index("Quartering, all axles")
    assert "<table" not in html and "<input" not in html.split('id="sheet"')[1]
    for name, words in (
        ("jig", "Plug for the bore."),
        ("pairing", "The left throws lie within"),
        ("ask", "Find the boss by two touches"),
        ("working", "Formula and numbers"),
        ("cautions", "Swarf and iron dust"),
    ):
        assert f'href="{opened(PAGE, name)}#fold-{name}"' in html
        assert words not in page and words in Words(four.get(opened(PAGE, name))).text


def test_a_fold_opens_of_the_same_figures(bench: Bench) -> None:
    html = ask(bench, throw="20 mm", angle="30")
    row = next(one for one in html.split('href="') if "open=working#" in one).split('"')[0]
    assert "30.00 degrees" in said(html) and "20.000 mm" in said(bench.get(unescape(row).split("#")[0]))
