"""The balance sheet: a published example typed through its form, what is asked for, judged, stored and refused."""

from __future__ import annotations

import math
import re
from functools import partial

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words, folds_on, form_on, forms_on
from webapp.db import Db
from webapp.sheets.balance.drawing import SIZE, BalanceFace, balance_picture

PAGE = "/builds/1/balance"
# Khurmi & Gupta, Theory of Machines, example 22.1: throw 0.3 m, cylinders 0.7 m apart, wheels 1.5 m apart (here
# back to back 1.36 m and tyres 0.14 m), 150 kg round and 180 kg to and fro, two thirds balanced, at 0.6 m, 300 rpm.
FULL_SIZE = {
    "gauge": "1435",
    "back_to_back": "1360",
    "tyre_width": "140",
    "flange_width": "30",
    "flange_depth": "28",
    "root_radius": "15",
    "tread_diameter": "1800",
    "boss_diameter": "400",
    "boss_length": "200",
    "bore": "200",
    "seat": "200",
    "throw": "300",
    "crankpin_hole": "120",
}
KHURMI = {
    "rotating": "150 kg",
    "reciprocating": "180 kg",
    "balanced_share": "66.6667 %",
    "axles_sharing": "1",
    "cylinder_planes": "700 mm",
    "balance_radius": "600 mm",
    # 300 turns a minute of a wheel 1.8 m across.
    "track_speed": f"{5 * math.pi * 1.8:.4f} m/s",
    "wheel_load": "60 kN",
}
WITHIN = 0.005  # the book rounds as it goes
# A model whose figures are worked by hand below.
MODEL = {
    "rotating": "90 g",
    "reciprocating": "120 g",
    "cylinder_planes": "120 mm",
    "balance_radius": "30 mm",
    "track_speed": "2 m/s",
    "wheel_load": "120 N",
}
# Segment of grey iron, 7.2 g/cm3: 92.46 g with its middle 29.137 mm away, also found by integrating it in slices.
CAST = {"weight_outer": "45 mm", "weight_chord": "18 mm", "weight_thickness": "8 mm"}
BEHIND = {"verdict": "fold-why", "wheel-left": "fold-wheel-left", "wheel-right": "fold-wheel-right"}
HOLE = {"hole_diameter": "6 mm", "hole_depth": "6 mm"}


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A metric build."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def store(bench: Bench, **figures: str) -> None:
    """Type figures that must be taken."""
    answer = bench.send(PAGE, PAGE, **figures)
    assert answer.status_code == 303, Words(answer.text).text
    assert answer.headers["location"] == f"{PAGE}?axle=driven"


def words(bench: Bench, page: str = PAGE) -> Words:
    """The words of the page, those of each part with what is folded behind it; a picture's are in its own description."""
    html = re.sub(r"<svg.*?</svg>", "", bench.whole(page), flags=re.DOTALL)
    found = Words(html.replace("</dt>", " </dt>").replace("<small>", " <small>"))
    for own, behind in BEHIND.items():
        if own in found.by_id:
            found.by_id[own] += f" {found.by_id[behind]}"
    return found


def first(pattern: str, text: str) -> float:
    """The first figure that a pattern catches."""
    found = re.search(pattern, " ".join(text.split()))
    assert found, f"{pattern} is not in: {' '.join(text.split())[:1500]}"
    return float(found[1])


def test_khurmi_and_guptas_example_typed_through_the_form(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(**FULL_SIZE)
    store(bench, **KHURMI)
    page = words(bench)
    left, right, engine = (page.by_id[own] for own in ("wheel-left", "wheel-right", "engine"))
    # The book's crank with angle 0 is the left one here; the right one leads it by 90 degrees.
    assert first(r"\(?([\d.]+) kg", left) == pytest.approx(105, rel=WITHIN)
    assert first(r"\(?([\d.]+) kg", right) == pytest.approx(105, rel=WITHIN)
    assert first(r"Direction ([\d.]+) degrees", left) == pytest.approx(200 - 90, abs=1)
    assert first(r"Direction ([\d.]+) degrees", right) == pytest.approx(250 - 90, abs=1)
    assert first(r"Hammer blow ([\d.]+) N", left) == pytest.approx(27_602, rel=WITHIN)
    assert first(r"Variation of the pull ([\d.]+) N", engine) == pytest.approx(25_127, rel=WITHIN)
    assert first(r"Swaying couple ([\d.]+) N m", engine) == pytest.approx(8_797, rel=WITHIN)
    assert first(r"([\d.]+) turns a minute", engine) == 300
    assert "e+0" not in page.text
    assert "Khurmi & Gupta" in page.by_id["working"]
    # Back to back and one tyre: the planes are the drawing's.
    assert "1500.000 mm" in page.by_id["working"]


def test_what_is_missing_is_asked_for_and_nothing_is_made_up(bench: Bench) -> None:
    page = words(bench)
    for asked in ("What goes to and fro", "Speed on the track", "to the middle of the weight"):
        assert asked in page.text
    assert "verdict" not in page.by_id and "wheel-left" not in page.by_id
    # A placeholder for the joints' load is not the builder's own figure.
    store(bench, **{**MODEL, "wheel_load": ""})
    page = words(bench)
    assert "Cannot tell: the load is missing" in page.by_id["verdict"]
    assert bench.send("/builds/1/joints", "/builds/1/joints", load="240 N").status_code == 303
    page = words(bench)
    assert "Cannot tell" not in page.by_id["verdict"]
    assert "240 N / 2" in page.by_id["working"]


@pytest.mark.parametrize(
    ("figures", "answer", "part"),
    [
        (
            {"track_speed": "1 m/s"},
            "Good: at this speed the balance does not matter",
            "Leave the weights as they are cast",
        ),
        ({}, "Take care: at this speed the balance matters", "up to 2.0 % is let pass"),
        (
            {"matters_from": "10 %"},
            "Good: at this speed the balance does not matter",
            "up to 10.0 % is let pass",
        ),
        (
            {"track_speed": "30 mph", "wheel_load": "5 N"},
            "No good: the wheel would leave the rail",
            "go slower",
        ),
    ],
)
def test_whether_it_matters_is_said_plainly(
    bench: Bench, figures: dict[str, str], answer: str, part: str
) -> None:
    store(bench, **{**MODEL, **figures})
    verdict = words(bench).by_id["verdict"]
    assert answer in verdict and part in verdict
    assert "railway's own rules and its inspector" in words(bench).text


def test_a_models_weight_against_two_planes_worked_by_hand(bench: Bench) -> None:
    store(bench, **MODEL)
    page = words(bench)
    # Planes 93.3 mm apart, cylinders 120: one crank's share in its own wheel 1.1431, in the far one -0.1431.
    # Two coupled axles share: 90 + 2/3 x 120 / 2 = 130 g at 28 mm.
    near, far = (60 + 46.65) / 93.3, (60 - 46.65) / 93.3
    moment = 130 * 28 * math.hypot(near, far)
    omega = 2 / 0.055
    for side in ("left", "right"):
        panel = page.by_id[f"wheel-{side}"]
        assert first(r"Needed ([\d.]+) g mm", panel) == pytest.approx(moment, rel=2e-4)
        assert first(r"([\d.]+) g \(", panel) == pytest.approx(moment / 30, rel=5e-4)
        assert first(r"no weight at all ([\d.]+) N", panel) == pytest.approx(
            moment * 1e-6 * omega**2, rel=5e-4
        )
        assert first(r"([\d.]+) degrees (?:ahead of|behind) straight opposite", panel) == pytest.approx(
            math.degrees(math.atan(far / near)), abs=0.06
        )
    # Cylinders outside the wheels: -(near - far e^(i 270)) for the right, whose far crank, the left, is 270 ahead.
    assert "ahead of straight opposite" in page.by_id["wheel-right"]
    assert "behind straight opposite" in page.by_id["wheel-left"]


def test_the_weight_as_cast_needs_no_masses_to_be_weighed(bench: Bench) -> None:
    store(bench, **CAST)
    page = words(bench)
    assert "92.46 g" in page.by_id["cast"] and "29.137 mm" in page.by_id["cast"]
    assert "Diameter of the drill" in page.by_id["cast"]
    # Its middle stands in for the distance that was not typed.
    store(bench, **{**MODEL, "balance_radius": ""})
    assert "29.137 mm" in words(bench).by_id["wheel-left"]
    assert 'class="line dashed" fill="url(#hatch-cast)"' in bench.get(PAGE)
    # Half of it spokes: half the weight at the same middle.
    store(bench, weight_added="50 %")
    assert "46.23 g" in words(bench).by_id["cast"] and "29.137 mm" in words(bench).by_id["cast"]


def test_a_weight_that_is_over_is_drilled(bench: Bench) -> None:
    store(bench, **{**MODEL, **CAST, **HOLE, "rotating": "38 g"})
    page = words(bench)
    # 38 + 40 = 78 g is needed, the segment has 92.46 x 29.137 = 2694 g mm straight opposite.
    near, far = (60 + 46.65) / 93.3, (60 - 46.65) / 93.3
    needed = 78 * 28 * math.hypot(near, far)
    over = 2693.9 * near / math.hypot(near, far) - needed
    one = math.pi / 4 * 36 * 6 * 7.2e-3 * 29.137
    panel = page.by_id["wheel-left"]
    assert first(r"over by ([\d.]+) g mm", panel) == pytest.approx(over, rel=1e-3)
    assert first(r"drill (\d+) holes", panel) == round(over / one)
    assert "fill with" not in panel
    assert "stop one short" in page.text


@pytest.mark.parametrize(
    ("fill", "density", "lead"), [("", 9.78, False), ("bismuth-tin", 8.56, False), ("lead", 11.34, True)]
)
def test_a_weight_that_is_under_is_filled(bench: Bench, fill: str, density: float, lead: bool) -> None:
    # A little under, so that a few holes of this size find room.
    hole = {"hole_diameter": "6 mm", "hole_depth": "8 mm", "hole_distance": "30 mm"}
    store(bench, **{**MODEL, **CAST, **hole, "hole_fill": fill, "rotating": "44 g"})
    page = words(bench)
    near, far = (60 + 46.65) / 93.3, (60 - 46.65) / 93.3
    needed = 84 * 28 * math.hypot(near, far)
    under = needed - 2693.9 * near / math.hypot(near, far)
    one = math.pi / 4 * 36 * 8 * (density - 7.2) * 1e-3 * 30
    panel = page.by_id["wheel-right"]
    assert first(r"under by ([\d.]+) g mm", panel) == pytest.approx(under, rel=2e-3)
    assert first(r"drill (\d+) hole", panel) == round(under / one)
    assert ("HSE L132" in page.text) is lead
    assert ("lead-free, " in panel or "lead-free. " in panel) is not lead


def test_three_cylinders_leave_no_shuffling(bench: Bench) -> None:
    assert bench.send("/builds/1/figures", "/builds/1/figures", cylinders="3").status_code == 303
    store(bench, **MODEL)
    page = words(bench)
    # Three like cranks at 120 degrees sum to nothing; their couple is sqrt(3) of the outside ones' half distance.
    assert re.search(r"Variation of the pull\s*0 N", page.by_id["engine"])
    couple = math.sqrt(3) * 60 * 28 * 40 * 1e-9 * (2 / 0.055) ** 2
    assert first(r"Swaying couple ([\d.]+) N m", page.by_id["engine"]) == pytest.approx(couple, rel=5e-4)
    # This drawing still has 90 degrees between its cranks.
    assert "The drawing says 90 degrees" in page.text and "120 degrees" in page.text


def test_another_coupled_axle_has_its_own_mass(bench: Bench) -> None:
    store(bench, **MODEL)
    other = f"{PAGE}?axle=other"
    page = words(bench, other)
    assert "verdict" not in page.by_id and "pin of another coupled axle" in page.text
    answer = bench.send(other, PAGE, rotating_coupled="30 g")
    assert answer.headers["location"] == other
    needed = first(r"Needed ([\d.]+) g mm", words(bench, other).by_id["wheel-left"])
    driven = first(r"Needed ([\d.]+) g mm", words(bench).by_id["wheel-left"])
    # 30 + 40 g against 90 + 40 g at the same throw.
    assert needed / driven == pytest.approx(70 / 130, rel=5e-4)
    assert words(bench, f"{PAGE}?axle=%00").by_id["wheel-left"] == words(bench).by_id["wheel-left"]


def test_the_figures_are_stored_told_and_the_others_left_alone(bench: Bench) -> None:
    assert bench.send("/builds/1/figures", "/builds/1/figures", rough_cut="0.8").status_code == 303
    store(bench, **{**MODEL, "cylinder_planes": "120"})
    told = bench.journal()[-1]
    assert "now 90 g" in told and "rough" not in told
    stored = dict(bench.rows("SELECT key, text FROM work_figure WHERE build_id = 1"))
    assert stored["rough_cut"] == "0.8 mm"
    assert stored["cylinder_planes"] == "120 mm"
    assert form_on(bench.whole(PAGE), PAGE).fields["reciprocating"] == ["120 g"]
    store(bench, reciprocating="")
    assert "What goes to and fro" in words(bench).text and "verdict" not in words(bench).by_id


REFUSALS = (
    ("rotating", "90", "no unit"),
    ("rotating", "-90 g", "has a sign"),
    ("rotating", "1e9 g", "not known"),
    ("rotating", "90000000 kg", "not likely"),
    ("reciprocating", "NaN", "is not a mass"),
    ("reciprocating", "٩ g", "is not a mass"),
    ("balanced_share", "2", "not likely"),
    ("balanced_share", "1/2", "not known"),
    ("axles_sharing", "13", "Choose one"),
    ("cylinder_planes", "0", "above zero"),
    ("balance_radius", "a bit", "a bit"),
    ("track_speed", "8", "no unit"),
    ("track_speed", "0 mph", "above zero"),
    ("track_speed", "9000 km/h", "not likely"),
    ("wheel_load", "0 N", "above zero"),
    ("matters_from", "0", "above zero"),
    ("weight_chord", "45 mm", "nearer to the axle than its outside"),
    ("weight_material", "glass", "Choose one"),
    ("hole_depth", "9 mm", "deeper than the weight is thick"),
    ("hole_distance", "44 mm", "run out of the weight"),
    ("hole_fill", "water", "Choose one"),
    ("rotating", "9" * 50, "40 characters"),
)


def test_what_is_refused_stands_beside_its_field_as_typed(bench: Bench) -> None:
    store(bench, **{**MODEL, **CAST, **HOLE})
    form, before = form_on(bench.whole(PAGE), PAGE), bench.dump()
    for field, text, part in REFUSALS:
        answer = bench.post(PAGE, form.filled(**{field: text}))
        assert answer.status_code == 422, (field, text)
        refused = Words(answer.text)
        assert part in refused.at(field), (field, text, refused.at(field))
        # A list shows none of its own choices where another was sent.
        options = field in ("axles_sharing", "weight_material", "hole_fill")
        assert form_on(answer.text, PAGE).fields[field] == ["" if options else text]
        # What was stored before still stands above the form.
        assert "verdict" in refused.by_id
    assert bench.dump() == before


def test_too_many_small_holes_are_refused_beside_the_drill(bench: Bench) -> None:
    store(bench, **{**MODEL, **CAST, **HOLE, "rotating": "38 g"})
    refused = bench.refused(partial(bench.send, PAGE, PAGE, hole_diameter="0.01 mm"))
    assert "more than 200 holes" in refused.at("hole_diameter")


def test_a_weight_far_too_light_is_not_to_be_drilled(bench: Bench) -> None:
    # 130 g at 28 mm against 2694 g mm: over 1500 g mm short, which at 29.137 mm and 2.58 g/cm3 gained is 20 cm3 of
    # bismuth in a weight of 12.8 cm3.
    store(bench, **{**MODEL, **CAST, **HOLE})
    page = words(bench)
    near, far = (60 + 46.65) / 93.3, (60 - 46.65) / 93.3
    short = 130 * 28 * math.hypot(near, far) - 2693.9 * near / math.hypot(near, far)
    panel = page.by_id["wheel-left"]
    assert "cannot be made right by drilling and filling" in panel and "larger weight" in panel
    assert first(r"it is ([\d.]+) g mm short", panel) == pytest.approx(short, rel=1e-3)
    assert not re.search(r"drill \d+ hole", page.text) and "stop one short" not in page.text
    assert "must not come off at speed" in page.text
    # At a walk it does not matter, and the same is said with that before it.
    store(bench, track_speed="0.5 m/s")
    panel = words(bench).by_id["wheel-left"]
    assert "Only if you want it nearer all the same. This weight cannot be made right" in panel


def test_a_weight_far_too_heavy_is_not_to_be_drilled(bench: Bench) -> None:
    store(bench, **{**MODEL, **CAST, **HOLE, "rotating": "20 g"})
    panel = words(bench).by_id["wheel-right"]
    assert "cannot be made right by drilling:" in panel and "face it thinner" in panel
    assert "room for only 6 such holes" in panel


def test_cylinders_nearer_together_than_the_wheels_are_asked_about(bench: Bench) -> None:
    # Back to back 83.3 and two tyres of 10 mm: 103.3 mm over the outer faces.
    store(bench, **{**MODEL, "cylinder_planes": "103.3 mm"})
    assert "Inside cylinders?" not in words(bench).text
    store(bench, cylinder_planes="80 mm")
    page = words(bench)
    assert "Inside cylinders?" in page.text and "103.300 mm" in page.text and "taken as typed" in page.text
    assert 'href="/builds/1/balance?axle=driven&amp;open=figures#work-cylinder_planes"' in bench.get(PAGE)
    # A note, not a refusal: between the weights, 93.3 mm apart, the direction is on the other side.
    assert "verdict" in page.by_id
    assert "behind straight opposite" in page.by_id["wheel-right"]
    assert "ahead of straight opposite" in page.by_id["wheel-left"]
    # It stands there before the rest is typed, too.
    store(bench, reciprocating="")
    assert "Inside cylinders?" in words(bench).text


def test_what_contradicts_itself_after_all_is_said_in_words(bench: Bench) -> None:
    store(bench, **{**MODEL, **CAST, **HOLE})
    # The other sheet of figures does not look at the weight as a whole.
    figures = "/builds/1/figures"
    assert bench.send(figures, figures, weight_chord="60 mm").status_code == 303
    page = words(bench)
    assert "nearer to the axle than its outside" in page.text and "verdict" in page.by_id


def test_a_needle_of_a_weight_and_a_hair_of_a_mass_are_no_traceback(bench: Bench) -> None:
    thin = {"weight_outer": "5000 mm", "weight_chord": "4999.999999 mm", "weight_thickness": "0.000001 mm"}
    store(bench, **{**MODEL, **thin, "rotating": "0 g", "reciprocating": "0 g", "balance_radius": ""})
    page = words(bench)
    assert (
        "Left: no weight needed" in page.by_id["wheel-left"]
        and "it needs no weight" in page.by_id["wheel-left"]
    )
    store(bench, rotating="0.0000000000000000000000000001 g", hole_diameter="", hole_depth="")
    assert "verdict" in words(bench).by_id


def test_a_build_with_nothing_coupled_has_nothing_to_balance(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(coupled="")
    store(bench, **MODEL)
    page = words(bench)
    assert "no coupled axle" in page.text and "verdict" not in page.by_id


def test_without_initials_nothing_is_stored(bench: Bench) -> None:
    refused = bench.refused(partial(bench.send, PAGE, PAGE, rotating="90 g", who="!!"))
    assert "initials" in refused.at("who")


def test_an_old_page_is_refused_and_the_same_form_twice_is_one(bench: Bench) -> None:
    old = form_on(bench.whole(PAGE), PAGE)
    assert bench.post(PAGE, old.filled(rotating="90 g")).status_code == 303
    assert bench.post(PAGE, old.filled(rotating="90 g")).status_code == 303
    other = {**old.filled(rotating="80 g"), "token": "ab" * 16, "page": "cd" * 6}
    refused = bench.refused(partial(bench.post, PAGE, other), 409)
    assert "AB" in refused.text and sum("goes round" in line for line in bench.journal()) == 1


def test_a_build_that_is_not_there_and_a_form_that_says_nothing(bench: Bench) -> None:
    assert bench.client.get("/builds/99/balance").status_code == 404
    assert bench.client.post("/builds/99/balance").status_code == 404
    assert bench.post(PAGE, {"seen": "x", "axle": "\ud7ff"}).status_code in (303, 409)


def test_the_picture_turns_the_way_its_wheel_turns() -> None:
    def spot(side: str, off: float) -> tuple[float, float]:
        face = BalanceFace(side, 110, 19, 28, 8, 30, off, (45, 18))
        needed = balance_picture(face, "").needed
        assert needed is not None
        return needed.x, needed.y

    # Straight opposite is straight down; ahead is clockwise on the right wheel: from the bottom to the left.
    middle = SIZE / 2
    assert spot("right", 0)[0] == middle and spot("right", 0)[1] > middle
    assert spot("right", 20)[0] < middle < spot("left", 20)[0]
    # To scale: 30 mm of a 55 mm radius.
    bare = balance_picture(BalanceFace("left", 110, 19, 28, 8, 30, None), "")
    assert spot("left", 0)[1] - middle == pytest.approx(bare.tread * 30 / 55, abs=0.01)
    assert bare.cast is None


def test_the_answer_comes_first_and_the_rest_is_folded(bench: Bench) -> None:
    page = bench.get(PAGE)
    assert 'class="verdict-line" data-answer="open">Not worked out yet' in page
    assert set(folds_on(page)) == {"slip-figures"}
    store(bench, **MODEL, **CAST, **HOLE)
    page = bench.get(PAGE)
    main = page.index('<main class="sheet"')
    assert main < page.index('class="verdict-line" data-answer="caution"') < page.index("balance-picture")
    assert page.index("balance-picture") < page.index('class="button primary"')
    assert "formula" not in page and not [one for one in forms_on(page) if one.action == PAGE]
    folds = folds_on(page)
    assert set(folds) == {f"slip-{name}" for name in ("figures", "wheel-left", "wheel-right", "cast", "why")}
    for own, address in folds.items():
        assert Words(bench.get(address)).by_id[own].strip()


def test_what_is_folded_is_of_the_axle_that_is_looked_at(bench: Bench) -> None:
    store(bench, **MODEL)
    address = folds_on(bench.get(f"{PAGE}?axle=other"))["slip-figures"]
    assert form_on(bench.get(address), PAGE).fields["axle"] == ["other"]


def test_what_is_not_given_is_counted_once_and_not_said_at_each_box(bench: Bench) -> None:
    page = Words(bench.whole(PAGE))
    assert page.by_id["not-given"] == "Not given yet: 10 of 20 figures"
    assert "Left empty: not given." not in page.text and "Left empty:" in page.text
    assert bench.send(PAGE, PAGE, rotating="90 g", reciprocating="120 g").status_code == 303
    assert Words(bench.whole(PAGE)).by_id["not-given"] == "Not given yet: 8 of 20 figures"
