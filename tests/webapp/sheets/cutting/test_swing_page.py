"""Will it swing, through HTTP."""

import re
from functools import partial

import pytest
from fastapi.testclient import TestClient

from domain.cutting.swing import Grips, JawReach, Jaws, SwingChuck, SwingLathe, SwingSetUp, will_it_swing
from domain.lengths import Unit
from tests.webapp.scenes import Bench, Words, forms_on
from webapp.db import Db
from webapp.sheets.cutting.drawing_swing import HEIGHT, WIDTH, swing_picture

MM = 1_000_000
LATHE = {
    "name": "bench lathe", "kind": "lathe", "unit": "mm", "speeds": "45 60 105", "motor": "", "least_feed": "",
    "centre_height": "89", "gap_radius": "130", "gap_width": "80",
}  # fmt: skip
CHUCK = {
    "name": "four-jaw", "unit": "mm", "body": "125", "depth": "60", "jaw_length": "60", "normal_outside": "50",
    "normal_inside": "", "reversed_outside": "12", "reversed_inside": "", "screw": "",
}  # fmt: skip
SET_UP = {
    "lathe": "1", "chuck": "1", "jaws": "reversed", "grips": "outside", "held": "90 mm", "work": "96 mm", "along": "",
}  # fmt: skip


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def _equip(bench: Bench, lathe: dict[str, str] | None = None, chuck: dict[str, str] | None = None) -> None:
    assert bench.post("/workshop/machines/new", LATHE | (lathe or {})).status_code == 303
    assert bench.post("/workshop/chucks/new", CHUCK | (chuck or {})).status_code == 303


def _ask(bench: Bench, status: int = 200, **changes: str) -> str:
    answer = bench.client.get(f"/castings/{bench.id('W1')}/swing", params={**SET_UP, **changes})
    assert answer.status_code == status, Words(answer.text).text
    return answer.text


def _said(page: str) -> str:
    return " ".join(Words(page).text.split())


def test_without_lathe_or_chuck_it_says_which_and_where(bench: Bench) -> None:
    page = bench.whole(f"/castings/{bench.id('W1')}/swing")
    assert "No lathe yet" in page and "No chuck yet" in page
    assert 'href="/workshop/machines/new"' in page and 'href="/workshop/chucks/new"' in page
    assert "Chuck key out" in page


def test_the_form_opens_with_this_castings_diameter_and_gives_no_answer_unasked(bench: Bench) -> None:
    _equip(bench)
    address = f"/castings/{bench.id('W1')}/swing"
    form = next(one for one in forms_on(bench.get(address)) if one.action == address)
    # 110 of tread, twice 2 of flange, 6 for the rough casting.
    assert form.fields["work"] == ["120 mm"] and form.fields["held"] == ["120 mm"]
    assert 'class="verdict"' not in bench.get(address)
    bench.put("rim_most", 118_300_000, casting_id=1)
    page = bench.get("/castings/1/swing")
    assert 'name="work" value="118.3 mm"' in page and "the rough rim&#39;s largest, as measured" in page


def test_reversed_it_swings_and_says_by_how_much(bench: Bench) -> None:
    _equip(bench)
    before = bench.dump()
    page = _ask(bench)
    # 45 and 12 is 57; the chuck's 62.5 stands out further; 89 less 62.5 is 26.5.
    assert "Good: it swings" in page and 'data-answer="serves"' in page
    assert "26.500 mm (1.0433 in) clear of the bed" in _said(page)
    assert "26.500 mm clear" in page and 'swing-picture"' in page
    assert "jaws reversed, gripping the outside" in _said(page)
    assert bench.dump() == before


def test_normal_it_fouls_the_bed_and_says_no(bench: Bench) -> None:
    _equip(bench, {"gap_radius": "", "gap_width": ""})
    page = _ask(bench, jaws="normal")
    # 45 and 50 is 95: 6 mm below the bed's top.
    assert "No good: it does not swing" in page and 'data-answer="not"' in page
    assert "6.000 mm (0.2362 in) too far for the bed" in _said(page) and "Do not mount it" in page
    assert "fouls, 6.000 mm" in page


def test_only_in_the_gap_asks_for_the_length_first(bench: Bench) -> None:
    _equip(bench)
    address = f"/castings/{bench.id('W1')}/swing"
    words = bench.refused(partial(bench.client.get, address, params={**SET_UP, "jaws": "normal"}))
    assert "measure from the chuck's face" in words.at("along")
    page = _ask(bench, jaws="normal", along="15")
    assert "Take care: only in the gap" in page and "Take the gap piece out first" in page
    assert "35.000 mm" in _said(page)  # 130 less 95
    long = _ask(bench, jaws="normal", along="25")  # 60 and 25 is 5 more than the gap's 80
    assert "No good: it does not swing" in long and "5.000 mm (0.1969 in) too short" in _said(long)


def test_a_jaw_too_far_out_is_a_stop_of_its_own(bench: Bench) -> None:
    _equip(bench, {"centre_height": "120"})
    page = _ask(bench, jaws="normal")
    # 95 less 62.5 is 32.5 out of a body, of a jaw of 60.
    assert (
        "Take care: it swings" in page
        and 'data-answer="caution"' in page
        and 'data-answer="serves"' not in page
    )
    assert "Stop: a jaw too far out" in page


def test_an_overhang_that_cannot_be_judged_is_said(bench: Bench) -> None:
    _equip(bench, chuck={"jaw_length": ""})
    page = _ask(bench)
    assert "Not judged" in page and "Stop: a jaw" not in page


@pytest.mark.parametrize(
    ("lathe", "chuck", "asked", "words", "address"),
    [
        (
            {"centre_height": "", "gap_radius": "", "gap_width": ""},
            {},
            {},
            "The centre height of bench lathe is not known",
            "/workshop/machines/1#centre_height",
        ),
        ({}, {"reversed_outside": ""}, {}, "lay a rule along", "/workshop/chucks/1#reversed_outside"),
        ({}, {}, {"grips": "inside", "held": "70"}, "lay a rule along", "/workshop/chucks/1#reversed_inside"),
    ],
)
def test_a_missing_figure_is_asked_for_where_it_is_entered(
    bench: Bench,
    lathe: dict[str, str],
    chuck: dict[str, str],
    asked: dict[str, str],
    words: str,
    address: str,
) -> None:
    _equip(bench, lathe, chuck)
    page = _ask(bench, **asked)
    assert "One figure is missing" in page and words in _said(page) and f'href="{address}"' in page
    assert 'class="verdict"' not in page
    assert f'id="{address.rpartition("#")[2]}"' in bench.get(address.partition("#")[0])


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"lathe": "9"}, "lathe", "Choose a lathe"),
        ({"chuck": "x"}, "chuck", "Choose a chuck"),
        ({"jaws": "sideways"}, "jaws", "Choose how the jaws"),
        ({"grips": ""}, "grips", "Choose what the jaws grip"),
        ({"held": ""}, "held", "measure it where they grip"),
        ({"held": "0"}, "held", "cannot be nothing"),
        ({"held": "100"}, "work", "cannot be less than the outside"),
        ({"work": "-5"}, "work", "has a sign"),
        ({"work": "NaN"}, "work", "does not begin with a figure"),
        ({"work": "4 in 3"}, "work", "more than one figure"),
        ({"work": "9999"}, "work", "is the unit right?"),
        ({"along": "far"}, "along", "does not begin with a figure"),
    ],
)
def test_a_set_up_that_cannot_be(bench: Bench, changes: dict[str, str], field: str, said: str) -> None:
    _equip(bench)
    address = f"/castings/{bench.id('W1')}/swing"
    words = bench.refused(partial(bench.client.get, address, params={**SET_UP, **changes}))
    assert said in words.at(field), words.described


def test_the_rest_left_out_is_refused_in_words_not_a_fault(bench: Bench) -> None:
    _equip(bench)
    answer = bench.client.get(f"/castings/{bench.id('W1')}/swing?jaws=normal")
    assert answer.status_code == 422 and "No answer yet" in answer.text


def test_a_drill_is_no_lathe_and_strangers_are_not_found(bench: Bench) -> None:
    drill = dict.fromkeys(("centre_height", "gap_radius", "gap_width"), "") | {"kind": "drill"}
    _equip(bench, drill)
    assert "No lathe yet" in bench.get(f"/castings/{bench.id('W1')}/swing")
    assert bench.client.get("/castings/999/swing").status_code == 404
    assert bench.scrap("W1").status_code == 303
    assert "is scrapped" in bench.get(f"/castings/{bench.id('W1')}/swing")


@pytest.mark.parametrize("centre", [40, 89, 500])
@pytest.mark.parametrize("gap", [None, 130, 900])
@pytest.mark.parametrize("held", [5, 96, 600])
def test_the_picture_is_to_scale_and_stays_on_its_sheet(centre: int, gap: int | None, held: int) -> None:
    lathe = (
        SwingLathe(centre * MM, gap and gap * MM, gap and 400 * MM) if gap != 130 or centre < 130 else None
    )
    if lathe is None:
        lathe = SwingLathe(centre * MM)
    chuck = SwingChuck(125 * MM, 60 * MM, JawReach(50 * MM), JawReach(12 * MM), 60 * MM)
    set_up = SwingSetUp(Jaws.NORMAL, Grips.OUTSIDE, held * MM, (held + 4) * MM, 20 * MM)
    swing = will_it_swing(lathe, chuck, set_up, Unit.MM)
    made = swing_picture(lathe, chuck, set_up, swing, Unit.MM)
    assert made.x - made.largest >= 0 and made.x + made.largest <= WIDTH
    assert made.y - made.largest >= 0 and max(made.bed, made.gap or 0, made.reach, made.limit) <= HEIGHT - 30
    # One scale for everything: the work against the bed.
    assert made.work / (made.bed - made.y) == pytest.approx((held + 4) / 2 / centre, abs=0.02)
    assert (made.limit > made.reach) == (swing.clearance_nm > 0)
    assert (made.reach - made.y) == pytest.approx(made.largest, abs=0.02)
    assert made.clear.text.lines == (made.clear_words,)
    number = re.search(r"[\d.]+", made.clear_words)
    assert number and float(number[0]) == pytest.approx(abs(swing.clearance_nm) / MM, abs=0.0006)
