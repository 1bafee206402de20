"""Coupled treads: the group's diameter, how alike they are, and what a difference costs on the track."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from domain.lengths import NM_PER_MM, Unit, parse_length
from domain.measuring.decision import Conformity
from domain.treads.group import (
    TreadError,
    WheelTread,
    forced_slip,
    full_size_match,
    group_diameter,
    spread,
)
from domain.treads.judging import MeasuredSize
from domain.treads.words import cut_words, group_words, slip_words, spread_words

DRAWING = 127_000_000
_WHEELS = st.dictionaries(
    st.sampled_from(["A", "B", "C", "D", "E", "F"]),
    st.tuples(st.integers(120_000_000, 135_000_000), st.integers(0, 3_000_000)).map(
        lambda one: WheelTread(one[0], one[0] - one[1])
    ),
    min_size=1,
)


@settings(max_examples=80, deadline=None)
@given(_WHEELS, st.integers(0, 100_000))
def test_group_is_the_largest_all_can_reach(wheels: dict[str, WheelTread], tolerance: int) -> None:
    found = group_diameter(DRAWING, wheels, tolerance, Unit.MM)
    can = all(wheel.largest_nm >= found.diameter_nm for wheel in wheels.values())
    more = all(wheel.largest_nm >= found.diameter_nm + 1 for wheel in wheels.values())
    assert can and found.diameter_nm <= DRAWING
    assert not more or found.diameter_nm == DRAWING
    assert found.below_drawing_nm == DRAWING - found.diameter_nm
    for cut in found.cuts:
        assert cut.radial_nm >= 0
        assert 0 <= wheels[cut.mark].present_nm - 2 * cut.radial_nm - found.diameter_nm <= 1
    assert bool(found.decided_by) == (found.diameter_nm < DRAWING) == (found.next_nm is not None)
    if found.next_nm is not None:
        rest = {mark: wheel for mark, wheel in wheels.items() if mark not in found.decided_by}
        wanted = group_diameter(DRAWING, rest, tolerance, Unit.MM).diameter_nm if rest else DRAWING
        assert found.next_nm == wanted > found.diameter_nm
    assert len(found.workings) == 1 + len(wheels)


def test_who_decides_and_what_is_left() -> None:
    wheels = {
        "L1": WheelTread(127_400_000, 127_300_000),
        "R1": WheelTread(126_600_000, 126_600_000),
        "L2": WheelTread(127_200_000, 126_900_000),
    }
    found = group_diameter(DRAWING, wheels, 50_000, Unit.MM)
    assert (found.diameter_nm, found.decided_by, found.next_nm) == (126_600_000, ("R1",), 126_900_000)
    assert [cut.radial_nm for cut in found.cuts] == [400_000, 0, 300_000]
    assert "R1 can reach no more" in group_words(found, Unit.MM) and "may also stay" not in group_words(
        found, Unit.MM
    )
    assert "take nothing off" in cut_words(found.cuts[1], Unit.MM)
    assert "may also stay" in group_words(group_diameter(DRAWING, wheels, 400_000, Unit.MM), Unit.MM)
    fine = group_diameter(DRAWING, {"L1": WheelTread(128_000_000, 127_000_000)}, 0, Unit.MM)
    assert (fine.diameter_nm, fine.decided_by) == (DRAWING, ()) and "every wheel" in group_words(
        fine, Unit.MM
    )


def _measured(*nm: int, expanded: int = 10_000) -> dict[str, MeasuredSize]:
    return {"ABCDEF"[number]: MeasuredSize(one, expanded) for number, one in enumerate(nm)}


# U of a difference of two with U 0.010 mm each: 0.014142 mm; guard band 0.825 of it: 0.011667 mm (ISO 14253-1:2017).
@pytest.mark.parametrize(
    ("apart", "answer"),
    [
        (38_300, Conformity.INSIDE),
        (38_400, Conformity.CANNOT_TELL),
        (61_600, Conformity.CANNOT_TELL),
        (61_700, Conformity.OUTSIDE),
    ],
)
def test_spread_with_its_guard_band(apart: int, answer: Conformity) -> None:
    assert (ufloat(0, 0.010) - ufloat(0, 0.010)).s * 0.825 == pytest.approx(0.011667, abs=1e-6)
    found = spread(_measured(DRAWING, DRAWING + apart, DRAWING + 1_000), 50_000, Unit.MM)
    assert found.answer is answer
    assert (found.spread_nm, found.largest, found.smallest) == (apart, "B", "A")


def test_a_poor_instrument_on_a_middling_wheel_leaves_doubt() -> None:
    three = {
        "A": MeasuredSize(DRAWING, 1_000),
        "B": MeasuredSize(DRAWING + 40_000, 1_000),
        "C": MeasuredSize(DRAWING + 30_000, 60_000),
    }
    found = spread(three, 50_000, Unit.MM)
    assert found.answer is Conformity.CANNOT_TELL and "C" in (found.first, found.second)
    assert spread({mark: three[mark] for mark in "AB"}, 50_000, Unit.MM).answer is Conformity.INSIDE


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(-100_000, 100_000), min_size=2, max_size=6), st.integers(0, 40_000), st.randoms())
def test_spread_does_not_mind_the_order(offs: list[int], expanded: int, chance: object) -> None:
    plain = _measured(*(DRAWING + off for off in offs), expanded=expanded)
    items = list(plain.items())
    chance.shuffle(items)  # type: ignore[attr-defined]
    one, two = spread(plain, 50_000, Unit.MM), spread(dict(items), 50_000, Unit.MM)
    assert (one.answer, one.spread_nm) == (two.answer, two.spread_nm)
    assert one.spread_nm == max(offs) - min(offs)
    guard = 0.825 * math.hypot(expanded, expanded)
    if one.spread_nm > 50_000 + guard + 2:
        assert one.answer is Conformity.OUTSIDE
    elif one.spread_nm < 50_000 - guard - 2:
        assert one.answer is Conformity.INSIDE


# 49 CFR 230.112(a) and 230.113(k): 3/32 in at 4 ft 8 1/2 in.
def test_full_size_rule_scaled_by_gauge() -> None:
    for text in ("3.5 in", "5 in", "7.25 in", "56.5 in"):
        gauge = parse_length(text, Unit.INCH).nm
        nm, working = full_size_match(gauge, Unit.INCH)
        assert abs(nm - 3 / 32 * 25_400_000 * float(text[:-3]) / (4 * 12 + 8.5)) <= 1
        assert "49 CFR 230.112" in working.source and "no rule for models" in working.result
    assert full_size_match(parse_length("56.5 in", Unit.INCH).nm, Unit.INCH)[0] == 2_381_250


@settings(max_examples=50, deadline=None)
@given(
    st.integers(50_000_000, 300_000_000),
    st.integers(0, 500_000),
    st.integers(10, 2_000),
)
def test_slip_against_wheels_rolled_round_the_track(first: int, less: int, lap_m: int) -> None:
    second, lap = first - less, lap_m * 1_000 * NM_PER_MM
    found = forced_slip(first, second, lap, Unit.MM)
    # Roll the larger once round; the other turns as often and covers less track.
    turns = lap / (math.pi * first)
    covered = turns * math.pi * second
    assert found.per_lap_least_nm == pytest.approx(lap - covered, abs=max(1.0, lap * 1e-12))
    turns = lap / (math.pi * second)
    assert found.per_lap_most_nm == pytest.approx(turns * math.pi * first - lap, abs=max(1.0, lap * 1e-12))
    assert found.per_turn_nm == pytest.approx(math.pi * first - math.pi * second, abs=1)
    swapped = forced_slip(second, first, lap, Unit.MM)
    assert swapped == found


def test_no_difference_no_slip() -> None:
    found = forced_slip(DRAWING, DRAWING, 10**12, Unit.MM)
    assert (found.per_turn_nm, found.per_lap_most_nm) == (0, 0) and "no slip" in slip_words(found, Unit.MM)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: group_diameter(0, {"A": WheelTread(2, 1)}, 0, Unit.MM), "drawing"),
        (lambda: group_diameter(1, {}, 0, Unit.MM), "wheels"),
        (lambda: group_diameter(1, {"A": WheelTread(2, 1)}, -1, Unit.MM), "tolerance"),
        (lambda: group_diameter(1, {"A": WheelTread(2, 0)}, 0, Unit.MM), "wheel.A"),
        (lambda: group_diameter(1, {"A": WheelTread(2, 3)}, 0, Unit.MM), "wheel.A"),
        (lambda: spread(_measured(DRAWING), 0, Unit.MM), "wheels"),
        (lambda: spread(_measured(DRAWING, 0), 0, Unit.MM), "wheel.B"),
        (lambda: spread(_measured(DRAWING, 1, expanded=-1), 0, Unit.MM), "wheel.A"),
        (lambda: spread(_measured(DRAWING, 1), -1, Unit.MM), "tolerance"),
        (lambda: full_size_match(0, Unit.MM), "gauge"),
        (lambda: forced_slip(0, 1, 1, Unit.MM), "first"),
        (lambda: forced_slip(1, 0, 1, Unit.MM), "second"),
        (lambda: forced_slip(1, 1, 0, Unit.MM), "lap"),
    ],
)
def test_nonsense_is_a_sentence(call: object, field: str) -> None:
    with pytest.raises(TreadError) as told:
        call()  # type: ignore[operator]
    assert told.value.field == field and str(told.value).endswith(".")


def test_treads_of_one_size_have_no_largest() -> None:
    found = spread(_measured(DRAWING, DRAWING, DRAWING), 50_000, Unit.MM)
    assert (
        "measure alike" in spread_words(found, Unit.MM)
        and "largest" not in spread_words(found, Unit.MM)
        and found.spread_nm == 0
    )
    doubtful = spread(_measured(DRAWING, DRAWING, expanded=200_000), 50_000, Unit.MM)
    assert doubtful.answer is Conformity.CANNOT_TELL and "measure alike" in spread_words(doubtful, Unit.MM)
    assert "A is the largest" in spread_words(
        spread(_measured(DRAWING + 1_000, DRAWING), 50_000, Unit.MM), Unit.MM
    )
