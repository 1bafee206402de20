"""The weight itself: its segment against integration, and holes against moments taken point by point."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate

from domain.balance.figures import BalanceError
from domain.balance.weight import (
    MATERIALS,
    Hole,
    Verdict,
    WeightSegment,
    hole_moment_gmm,
    holes_in_a_row,
    holes_in_rows,
    judge_weight,
    material,
    segment_weight,
)
from domain.balance.words import (
    ADDED_CAUTION,
    DRILLING_CAUTION,
    LEAD_CAUTION,
    adjustment_cautions,
    adjustment_words,
)
from domain.lengths import Unit

MM = 1_000_000
IRON, LEAD, BISMUTH = material("iron"), material("lead"), material("bismuth")
SHAPE = WeightSegment(45 * MM, 18 * MM, 8 * MM)
HOLE = Hole(6 * MM, 8 * MM, 30 * MM)


def test_the_known_segment():
    # R 45, h 18, t 8 mm of iron at 7.2 g/cm3, worked beforehand: 92.46 g, middle 29.137 mm from the axle.
    done = segment_weight(SHAPE, IRON, Unit.MM)
    assert done.mass_g == pytest.approx(92.46, abs=0.005)
    assert done.middle_nm == pytest.approx(29.137 * MM, abs=500)
    assert done.moment_gmm == pytest.approx(done.mass_g * done.middle_nm / MM, rel=1e-6)
    assert [working.name for working in done.workings] == [
        "area of the weight",
        "mass of the weight",
        "first moment of the weight",
    ]


@settings(max_examples=50, deadline=None)
@given(
    st.integers(10, 200),
    st.floats(0, 0.99),
    st.integers(1, 30),
    st.sampled_from(MATERIALS),
    st.floats(0.1, 1),
)
def test_any_segment_by_numerical_integration(outer, cut, thick, of, share):
    chord = round(outer * cut * MM)
    done = segment_weight(WeightSegment(outer * MM, chord, thick * MM, share), of, Unit.MM)

    def strip(y):
        return 2 * math.sqrt(max(outer**2 - y**2, 0.0))

    area, _ = integrate.quad(strip, chord / MM, outer, epsabs=0, epsrel=1e-10)
    first, _ = integrate.quad(lambda y: y * strip(y), chord / MM, outer, epsabs=0, epsrel=1e-10)
    grams = thick * of.density / 1000 * share
    assert done.mass_g == pytest.approx(area * grams, rel=1e-6)
    assert done.moment_gmm == pytest.approx(first * grams, rel=1e-6)
    assert done.middle_nm == pytest.approx(first / area * MM, rel=1e-6)


def test_half_a_disc():
    # A half disc's middle is 4 R / (3 pi) from its flat: any handbook.
    done = segment_weight(WeightSegment(60 * MM, 0, 5 * MM), IRON, Unit.MM)
    assert done.middle_nm == pytest.approx(4 * 60 / (3 * math.pi) * MM, abs=1)
    assert done.mass_g == pytest.approx(math.pi * 60**2 / 2 * 5 * 7.2 / 1000, rel=1e-12)


def test_a_hole_by_numerical_integration_over_its_circle():
    first, _ = integrate.dblquad(
        lambda y, x: y, -3, 3, lambda x: 30 - math.sqrt(9 - x * x), lambda x: 30 + math.sqrt(9 - x * x)
    )
    assert hole_moment_gmm(HOLE, IRON) == pytest.approx(first * 8 * 7.2 / 1000, rel=1e-7)
    assert hole_moment_gmm(HOLE, IRON, LEAD) == pytest.approx(first * 8 * (11.34 - 7.2) / 1000, rel=1e-7)


@settings(max_examples=80, deadline=None)
@given(st.floats(1500, 4000), st.floats(1500, 4000), st.sampled_from([LEAD, BISMUTH]), st.floats(-30, 30))
def test_after_the_holes_the_moment_is_right_to_half_a_hole(needed, have, fill, off):
    done = judge_weight(needed, have, SHAPE, IRON, HOLE, fill, Unit.MM, off)
    along, across = have * math.cos(math.radians(off)), have * math.sin(math.radians(off))
    volume = math.pi * 9 * 8 / 1000
    change = {
        Verdict.OVER: -done.holes * volume * 7.2 * 30,
        Verdict.UNDER: done.holes * volume * (fill.density - 7.2) * 30,
        Verdict.RIGHT: 0.0,
    }[done.verdict]
    if done.possible:
        assert abs(along + change - needed) <= done.one_hole_gmm / 2 * (1 + 1e-9)
        # Half of the segment's 12 842 mm3 (92.46 g at 7.2 g/cm3), and no more than one row at 30 mm: counted below.
        assert done.holes * volume <= 12.842 / 2 and done.holes <= 6
    else:
        assert done.holes == 0 and abs(along - needed) > 6.5 * done.one_hole_gmm
        told = adjustment_words(done, Unit.MM)
        assert "cannot be made right" in told and " holes of " not in told
    assert done.left_gmm == pytest.approx(math.hypot(along + change - needed, across), abs=1e-6)
    assert done.over_gmm == pytest.approx(along - needed, abs=1e-9)
    assert done.over_g == pytest.approx((along - needed) / 30, abs=1e-9)
    assert (done.holes == 0) is (done.verdict is Verdict.RIGHT or not done.possible)


def test_a_weight_under_by_less_than_half_a_hole_needs_no_fill():
    done = judge_weight(2_700, 2_693.9, SHAPE, IRON, HOLE, None, Unit.MM)
    assert done.verdict is Verdict.RIGHT and done.over_gmm == pytest.approx(-6.1)


def test_a_weight_that_points_aside_says_what_holes_do_not_cure():
    done = judge_weight(2_690, 2_693.9, SHAPE, IRON, HOLE, None, Unit.MM, 2.0)
    assert done.verdict is Verdict.RIGHT
    across = 2_693.9 * math.sin(math.radians(2))
    assert f"Of that, {across:.3g} g mm points across" in adjustment_words(done, Unit.MM)


def test_words_and_cautions():
    # One hole by hand: 226.195 mm3 x 7.2 g/cm3 x 30 mm = 48.858 g mm; filled with lead, x 4.14 g/cm3, 28.093 g mm.
    over = judge_weight(2_500, 2_693.9, SHAPE, IRON, HOLE, None, Unit.MM)
    assert adjustment_words(over, Unit.MM) == (
        "The weight is over by 193.9 g mm, which is 6.463 g (0.228 oz) at 30.000 mm (1.1811 in) from the axle: drill"
        " 4 holes of 6.000 mm (0.2362 in), 8.000 mm (0.3150 in) deep, at that distance, spread evenly to both sides of"
        " its middle line. Then 1.53 g mm is left."
    )
    assert adjustment_cautions(over) == (DRILLING_CAUTION,)
    under = judge_weight(2_800, 2_693.9, SHAPE, IRON, HOLE, LEAD, Unit.MM)
    assert under.verdict is Verdict.UNDER and under.holes == 4
    assert adjustment_words(under, Unit.MM).endswith(", and fill with lead. Then 6.27 g mm is left.")
    assert adjustment_cautions(under) == (DRILLING_CAUTION, LEAD_CAUTION)
    free = judge_weight(2_800, 2_693.9, SHAPE, IRON, HOLE, BISMUTH, Unit.MM)
    assert adjustment_cautions(free) == (DRILLING_CAUTION,)
    right = judge_weight(2_690, 2_693.9, SHAPE, IRON, HOLE, None, Unit.MM)
    assert right.verdict is Verdict.RIGHT and adjustment_cautions(right) == ()
    assert "HSE L132" in LEAD_CAUTION and "lead-free" in LEAD_CAUTION
    for done in (over, under, right):
        assert all(w.formula and w.numbers and w.result and w.source for w in done.workings)


def test_more_holes_than_fit_are_not_advised():
    room = holes_in_a_row(SHAPE, HOLE)
    # At 33 mm from the axle the segment is 2 sqrt(45^2 - 33^2) = 61.2 mm wide: six holes of 6 mm, seven gaps of 3 mm.
    assert room == 6 and 6 * 6 + 7 * 3 <= 61.2 < 7 * 6 + 8 * 3
    # A row beyond would have its fellow at 21 mm, whose holes with 3 mm of iron would reach 15 mm: past the flat at 18.
    assert holes_in_rows(SHAPE, HOLE, 100) == 6
    done = judge_weight(2_200, 2_693.9, SHAPE, IRON, HOLE, None, Unit.MM)
    # 493.9 / 48.858 is 10 holes, 2 262 mm3 of 12 842: little enough, but only six find room: 6 x 48.858 = 293.1.
    assert (done.verdict, done.possible, done.holes) == (Verdict.OVER, False, 0)
    assert adjustment_words(done, Unit.MM) == (
        "This weight cannot be made right by drilling: it is 493.9 g mm over, which is 16.46 g (0.5807 oz) at 30.000 mm"
        " (1.1811 in) from the axle. There is room for only 6 such holes, worth 293.1 g mm. Take the weight"
        " itself down: face it thinner, or move its straight edge out."
    )
    assert done.left_gmm == pytest.approx(493.9) and adjustment_cautions(done) == ()
    assert all(w.formula and w.numbers and w.result and w.source for w in done.workings)
    assert all("10 (" not in w.result for w in done.workings)


def test_holes_that_would_take_out_more_than_half_are_not_advised():
    # 1 500 g mm / (30 mm x 2.58 g/cm3) = 19.4 cm3 to drill from 12.8 cm3, however small the holes are.
    for hole in (HOLE, Hole(MM // 100, MM, 30 * MM)):
        done = judge_weight(4_193.9, 2_693.9, SHAPE, IRON, hole, BISMUTH, Unit.MM)
        assert (done.verdict, done.possible, done.holes) == (Verdict.UNDER, False, 0)
        assert adjustment_words(done, Unit.MM) == (
            "This weight cannot be made right by drilling and filling: it is 1500 g mm short, which is 50 g (1.764 oz) at"
            " 30.000 mm (1.1811 in) from the axle. The holes would take out more than 50 % of its"
            " 92.46 g (3.261 oz). Add a plate to it outside, or have a larger weight."
        )
        assert adjustment_cautions(done) == (ADDED_CAUTION,) and done.left_gmm == pytest.approx(1_500)
    # The half is of what is there for balance: 3 of 12 mm (2.71 cm3) pass in the whole, not in 40 % of it (5.14 cm3).
    wide = Hole(12 * MM, 8 * MM, 33 * MM)
    needed = 2_693.9 - 2.2 * math.pi * 36 * 8 * 7.2e-3 * 33
    whole = judge_weight(needed, 2_693.9, SHAPE, IRON, wide, None, Unit.MM)
    assert whole.possible and whole.holes == 2
    few = judge_weight(needed, 2_693.9, replace(SHAPE, added_share=0.2), IRON, wide, None, Unit.MM)
    assert not few.possible and "50 %" in adjustment_words(few, Unit.MM)


def test_no_room_for_one_hole():
    # Inside at its middle, but the row's far corners with iron around would be outside the rim.
    hole = Hole(20 * MM, 8 * MM, 34 * MM)
    assert holes_in_a_row(SHAPE, hole) == 0
    done = judge_weight(2_693.9 - 600, 2_693.9, SHAPE, IRON, hole, None, Unit.MM)
    assert not done.possible and "no room for such a hole" in adjustment_words(done, Unit.MM)


def test_small_holes_in_rows_keep_their_mean_distance():
    hole = Hole(3 * MM, 8 * MM, 30 * MM)

    def row(away):  # how many 3 mm holes and 1.5 mm gaps go into the width at the far edge of a row
        wide, n = 2 * math.sqrt(45**2 - (away + 1.5) ** 2), 0
        while (n + 1) * 3 + (n + 2) * 1.5 <= wide:
            n += 1
        return n

    # Rows at 30, 25.5 and 34.5, 21 and 39 mm; the next would be at 16.5, through the flat.
    assert holes_in_rows(SHAPE, hole, 100) == row(30) + 2 * row(34.5) + 2 * row(39)
    one = math.pi / 4 * 9 * 8 * 7.2e-3 * 30
    for holes in (row(30), row(30) + 1, row(30) + 2 * row(34.5) + 2 * row(39)):
        done = judge_weight(2_693.9 - holes * one, 2_693.9, SHAPE, IRON, hole, None, Unit.MM)
        assert done.possible and done.holes == holes
        assert ("in rows 4.500 mm" in adjustment_words(done, Unit.MM)) is (holes > row(30))
    done = judge_weight(2_693.9 - (holes + 1) * one, 2_693.9, SHAPE, IRON, hole, None, Unit.MM)
    assert not done.possible


@pytest.mark.parametrize(
    ("segment", "field"),
    [
        (replace(SHAPE, outer_nm=0), "outer"),
        (replace(SHAPE, chord_nm=45 * MM), "chord"),
        (replace(SHAPE, chord_nm=-1), "chord"),
        (replace(SHAPE, thickness_nm=0), "thickness"),
        (replace(SHAPE, added_share=80.0), "added_share"),
    ],
)
def test_impossible_weights_are_refused_in_a_sentence(segment, field):
    with pytest.raises(BalanceError) as caught:
        segment_weight(segment, IRON, Unit.MM)
    assert caught.value.field == field and str(caught.value).endswith(".")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"needed_gmm": -1.0}, "needed"),
        ({"have_gmm": math.nan}, "have"),
        ({"off_deg": 90.0}, "off"),
        ({"hole": replace(HOLE, diameter_nm=0)}, "hole_diameter"),
        ({"hole": replace(HOLE, depth_nm=0)}, "hole_depth"),
        ({"hole": replace(HOLE, depth_nm=9 * MM)}, "hole_depth"),
        ({"hole": replace(HOLE, distance_nm=0)}, "hole_distance"),
        ({"hole": replace(HOLE, distance_nm=20 * MM)}, "hole_distance"),
        ({"hole": replace(HOLE, distance_nm=43 * MM)}, "hole_distance"),
        ({"hole": Hole(MM // 2, MM, 30 * MM)}, "hole_diameter"),
        ({"needed_gmm": 3_000.0}, "fill"),
        ({"needed_gmm": 3_000.0, "fill": IRON}, "fill"),
    ],
)
def test_impossible_adjustments_are_refused_in_a_sentence(changes, field):
    given = {
        "needed_gmm": 2_500.0,
        "have_gmm": 2_693.9,
        "segment": SHAPE,
        "base": IRON,
        "hole": HOLE,
        "fill": None,
        "unit": Unit.MM,
    }
    with pytest.raises(BalanceError) as caught:
        judge_weight(**{**given, **changes})
    assert caught.value.field == field and str(caught.value).endswith(".")


def test_an_unknown_material_is_refused():
    with pytest.raises(BalanceError, match="choose one of grey cast iron") as caught:
        material("gold")
    assert caught.value.field == "material"
