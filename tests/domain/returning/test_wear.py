"""Re-turning: what worn tyres ask for, and that more wear never leaves more metal."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.answer import Answer
from domain.lengths import NM_PER_INCH, Unit
from domain.returning.wear import Wear, WornBy, common_diameter, full_size, short_at, thicker_by_nm, to_turn
from domain.returning.words import back_moved_words, common_words, left_words, short_words
from domain.treads.flange import drawn_flange
from domain.treads.judging import MeasuredSize
from domain.treads.profile import ProfileFigures, profile
from domain.treads.wheel_standard import TreadError

THOU = NM_PER_INCH // 1000
FIGURES = ProfileFigures(5125 * THOU, 505 * THOU, 125 * THOU, 140 * THOU, 72 * THOU, edge_break_nm=20 * THOU)
DRAWN = profile(FIGURES, Unit.INCH)
FLANGE = drawn_flange(DRAWN)
AT = FLANGE.usual_nm(Unit.INCH)
THICK = FIGURES.flange_width_nm - FLANGE.less_nm(AT)


def worn(thin=0, low=0, hollow=0, tread=5000 * THOU, u=0):
    return Wear(
        MeasuredSize(tread, u),
        MeasuredSize(THICK - thin, u),
        AT,
        MeasuredSize(FIGURES.flange_depth_nm - low, u),
        MeasuredSize(hollow, u),
    )


def test_a_whole_tyre_asks_for_nothing():
    found = to_turn(DRAWN, worn(), Unit.INCH)
    assert (found.by, found.off_nm, found.largest_nm) == (WornBy.NOTHING, 0, 5000 * THOU)


def test_a_thin_flange_is_thick_again_where_the_tread_came_down_along_its_lean():
    found = to_turn(DRAWN, worn(thin=4 * THOU, low=3 * THOU, hollow=10 * THOU, u=1000), Unit.INCH)
    # 4 thou / tan(10 degrees) is 22.7 thou.
    assert found.by is WornBy.THICKNESS
    assert found.off_nm == pytest.approx(22.685 * THOU, abs=100)
    assert found.expanded_nm == math.ceil(1000 / math.tan(math.radians(10)))
    assert found.largest_nm == 5000 * THOU - 2 * found.off_nm
    # There the drawn flange lies in the worn one: its face is as far from the back at every height.
    level = FIGURES.flange_width_nm - FLANGE.less_nm(AT + found.off_nm)
    assert level <= THICK - 4 * THOU < level + 10


def test_a_low_flange_and_a_hollow_ask_for_what_they_lack():
    assert to_turn(DRAWN, worn(low=9 * THOU, hollow=5 * THOU), Unit.INCH).by is WornBy.HEIGHT
    assert to_turn(DRAWN, worn(low=9 * THOU, hollow=5 * THOU), Unit.INCH).off_nm == 9 * THOU
    assert to_turn(DRAWN, worn(low=-30 * THOU, hollow=5 * THOU), Unit.INCH).off_nm == 5 * THOU


def test_a_flange_too_thin_for_its_lean_is_cut_from_new_metal_as_deep_as_it_is_high():
    assert to_turn(DRAWN, worn(thin=60 * THOU), Unit.INCH).off_nm == 140 * THOU
    square = profile(replace(FIGURES, flange_face_deg=0.0), Unit.INCH)
    at = drawn_flange(square).usual_nm(Unit.INCH)
    wear = replace(worn(), flange=MeasuredSize(FIGURES.flange_width_nm - 10, 0), above_nm=at)
    assert to_turn(square, wear, Unit.INCH).off_nm == 140 * THOU


@pytest.mark.parametrize("field", ["tread", "flange", "height", "hollow"])
def test_a_size_of_nothing_is_refused_at_its_field(field):
    wear = replace(worn(), **{field: MeasuredSize(-1 if field == "hollow" else 0, 0)})
    with pytest.raises(TreadError) as refused:
        to_turn(DRAWN, wear, Unit.INCH)
    assert refused.value.field == f"worn_{field}"


def test_a_flange_measured_on_its_root_is_refused():
    with pytest.raises(TreadError) as refused:
        to_turn(DRAWN, replace(worn(), above_nm=5 * THOU), Unit.INCH)
    assert refused.value.field == "worn_at"


AMOUNTS = st.integers(0, 45 * THOU)


@given(st.tuples(AMOUNTS, AMOUNTS, AMOUNTS, AMOUNTS), st.tuples(AMOUNTS, AMOUNTS, AMOUNTS, AMOUNTS))
def test_more_wear_never_leaves_more_metal(first, more):
    def left(thin, low, hollow, down):
        wear = worn(thin, low, hollow, 5000 * THOU - 2 * down)
        off = to_turn(DRAWN, wear, Unit.INCH)
        found = common_diameter({"W1": (wear, off)}, 4700 * THOU, Unit.INCH)
        return off.largest_nm, found.left_nm

    before = left(*first)
    after = left(*(one + two for one, two in zip(first, more, strict=True)))
    assert after <= before and after[1] <= before[1]


@given(st.lists(st.tuples(AMOUNTS, AMOUNTS, AMOUNTS), min_size=1, max_size=6), AMOUNTS)
def test_every_wheel_is_whole_at_the_common_diameter_and_one_is_not_at_any_larger(wears, more):
    wheels = {f"W{n}": (one := worn(*wear), to_turn(DRAWN, one, Unit.INCH)) for n, wear in enumerate(wears)}
    found = common_diameter(wheels, None, Unit.INCH)
    assert short_at(wheels, found.diameter_nm) == {}
    assert set(short_at(wheels, found.diameter_nm + 1 + more)) >= set(found.decided_by)
    for cut in found.cuts:
        wear, off = wheels[cut.mark]
        assert cut.radial_nm >= off.off_nm and 2 * cut.radial_nm == wear.tread.nm - found.diameter_nm


def _two(thin=4 * THOU):
    wears = {"W1": worn(tread=5010 * THOU, u=500), "W3": worn(thin=thin, u=500)}
    return {mark: (wear, to_turn(DRAWN, wear, Unit.INCH)) for mark, wear in wears.items()}


def _said(wheels, least):
    found = common_diameter(wheels, least, Unit.INCH)
    return found, common_words(found, {mark: off for mark, (_, off) in wheels.items()}, Unit.INCH)


def test_the_answer_names_who_decides_and_what_is_left():
    found, said = _said(_two(), 4900 * THOU)
    assert found.answer is Answer.SERVES and found.decided_by == ("W3",)
    assert said == (
        "Good: can be turned to 4.9546 in (125.847 mm); W3's flange thickness takes the most, 22.7 thou (0.576 mm)"
        " off the radius."
    )
    assert left_words(found, Unit.INCH).startswith("The rim then has 27.3 thou")


def test_a_worn_size_that_leaves_no_metal_is_no_good_and_the_others_are_told():
    found, said = _said(_two(thin=20 * THOU), 4900 * THOU)
    assert found.answer is Answer.NOT and found.lost == ("W3",)
    assert said == "No good: W3 has no metal left for it. A new tyre or a new wheel is wanted."
    assert left_words(found, Unit.INCH) == "Without W3 the others can be turned to 5.0100 in (127.254 mm)."


def test_without_a_smallest_diameter_or_too_near_it_nothing_can_be_told():
    found, said = _said(_two(), None)
    assert found.answer is Answer.CANNOT_TELL and "nobody said how small" in said
    found, said = _said(_two(), 4954 * THOU + 600 * THOU // 1000)
    assert found.answer is Answer.CANNOT_TELL and "too near the smallest allowed" in said


def test_wheels_of_one_group_all_lost_leave_nothing_to_say_of_others():
    wheels = _two(thin=20 * THOU)
    found = common_diameter(wheels, 5100 * THOU, Unit.INCH)
    assert found.lost == ("W1", "W3") and found.without_nm is None and left_words(found, Unit.INCH) == ""


def test_no_wheel_is_no_group():
    with pytest.raises(TreadError):
        common_diameter({}, None, Unit.INCH)


def test_a_flange_read_thicker_than_new_is_found_only_beyond_the_instruments():
    new = MeasuredSize(FIGURES.flange_width_nm, 3 * THOU)

    def over(nm, tread=5125 * THOU, above=AT):
        return thicker_by_nm(FLANGE, new, 5125 * THOU, MeasuredSize(nm, 4 * THOU), above, tread)

    assert over(THICK + 5 * THOU) == 0
    assert over(THICK + 5 * THOU + 100) == 5 * THOU + 100
    # With the tread 10 thou down the same height is lower on the new flange, where it is thicker.
    assert over(THICK + 6 * THOU) == 6 * THOU
    assert over(THICK + 6 * THOU, 5125 * THOU - 20 * THOU) == 0
    # What was the root when new tells nothing.
    assert over(THICK + 50 * THOU, 5125 * THOU - 100 * THOU) == 0


def test_full_size_limits_scale_by_gauge():
    five = full_size(5 * NM_PER_INCH)
    assert five.flange_nm == pytest.approx(15 / 16 * 5 / 56.5 * NM_PER_INCH, abs=1)
    assert five.hollow_nm == pytest.approx(5 / 16 * 5 / 56.5 * NM_PER_INCH, abs=1)
    with pytest.raises(TreadError):
        full_size(0)


def test_a_back_to_back_that_changed_is_told_and_a_diameter_that_is_too_large():
    assert back_moved_words(4695 * THOU, 4696 * THOU, 2 * THOU, Unit.INCH) == ""
    assert "4.0 thou (0.102 mm) narrower" in back_moved_words(4695 * THOU, 4691 * THOU, 2 * THOU, Unit.INCH)
    assert short_words({}, Unit.INCH) == ""
    assert "W3 by 2.0 thou (0.051 mm)" in short_words({"W3": 2 * THOU}, Unit.INCH)
