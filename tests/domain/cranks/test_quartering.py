"""Quartering against pins set out as vectors from random angles, and its uncertainty against another library."""

import cmath
import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from uncertainties import ufloat, umath

from domain.cranks.cylinders import Cranks, Side, crank_angles
from domain.cranks.quartering import (
    Branch,
    MeasuredLength,
    Pin,
    QuarteredAxle,
    QuarteringError,
    best_set_ups,
    centre_height,
    correction,
    judge_departure,
    measure_axle,
    pin_to_set,
)
from domain.cranks.words import quarter_words, quarter_workings, turning_words
from domain.lengths import Unit
from domain.measuring.decision_types import Conformity

HC = 60_000_000
R = 22_225_000
THROWS = st.integers(15_000_000, 40_000_000)
LEADS = st.sampled_from([Side.LEFT, Side.RIGHT])
TURNS = st.floats(0, 360)
RIGHT_LEADS = crank_angles(2, Side.RIGHT)


def pin_of(side: Side, vector: complex, throw: int, hc: int = HC, u: int = 0) -> Pin:
    """A pin seen from the right-hand side, the leading end towards +x, up towards +y; nm."""
    branch = Branch.FRONT if vector.real >= 0 else Branch.REAR
    return Pin(side, branch, MeasuredLength(hc + round(vector.imag), u), MeasuredLength(throw, u))


def forwards(vector: complex, degrees: float) -> complex:
    """Running forwards (towards +x) the wheel's top goes towards +x: clockwise."""
    return vector * cmath.exp(-1j * math.radians(degrees))


def readable(*vectors: complex) -> bool:
    return all(abs(v.real) > 1.02 * math.cos(math.radians(75)) * abs(v) for v in vectors)


def measure(*pins: Pin, cranks: Cranks = RIGHT_LEADS, tolerance: float = 0.1, hc: int = HC) -> QuarteredAxle:
    return measure_axle(pins, MeasuredLength(hc), cranks, tolerance, Unit.MM)


def worked(u: int = 0) -> tuple[Pin, Pin]:
    return (
        Pin(Side.RIGHT, Branch.FRONT, MeasuredLength(75_800_000, u), MeasuredLength(R)),
        Pin(Side.LEFT, Branch.REAR, MeasuredLength(75_620_000, u), MeasuredLength(R)),
    )


def test_the_worked_axle() -> None:
    # 180 - asin(15.80/22.225) - asin(15.62/22.225) = 180 - 45.30910 - 44.65306.
    sheet = measure(*worked())
    assert sheet.quarter.angle_deg == pytest.approx(90.0378, abs=5e-5)
    assert sheet.quarter.departure_deg == pytest.approx(0.0378, abs=5e-5)
    assert (sheet.quarter.ahead, sheet.quarter.behind) == (Side.RIGHT, Side.LEFT)
    assert sheet.quarter.lead_right
    assert [one.from_level_deg for one in sheet.pins] == pytest.approx([45.30910, 44.65306], abs=1e-5)


@given(TURNS, THROWS, THROWS, LEADS, st.sampled_from([Side.LEFT, Side.RIGHT]))
@settings(max_examples=100)
def test_a_pin_set_as_it_says_stands_at_the_angle(
    at: float, r1: int, r2: int, lead: Side, first: Side
) -> None:
    """By vectors: the cranks are turned against each other, and nothing is asked of the function that is tried."""
    cranks, other = crank_angles(2, lead), Side.LEFT if first is Side.RIGHT else Side.RIGHT
    stood = cmath.rect(r1, math.radians(at))
    wanted = forwards(cmath.rect(r2, math.radians(at)), 90 if other is lead else -90)
    assume(readable(stood, wanted))
    branch, height = pin_to_set(pin_of(first, stood, r1), HC, other, r2, cranks)
    assert branch is (Branch.FRONT if wanted.real >= 0 else Branch.REAR)
    assert height == pytest.approx(HC + wanted.imag, abs=20)
    set_so = Pin(other, branch, MeasuredLength(height), MeasuredLength(r2))
    found = measure(pin_of(first, stood, r1), set_so, cranks=cranks).quarter
    assert found.lead_right and found.departure_deg == pytest.approx(0, abs=2e-5)


def test_a_pin_out_of_its_throws_reach_sets_nothing() -> None:
    far = Pin(Side.RIGHT, Branch.FRONT, MeasuredLength(HC + R + 1), MeasuredLength(R))
    with pytest.raises(QuarteringError, match="further from the axle"):
        pin_to_set(far, HC, Side.LEFT, R, RIGHT_LEADS)


def test_a_hundredth_of_height_is_so_many_degrees() -> None:
    # 0.01 / (22.225 cos 45.31) rad = 0.04 degrees.
    right, left = worked()
    higher = Pin(right.side, right.branch, MeasuredLength(right.height.nm + 10_000), right.throw)
    change = measure(right, left).quarter.angle_deg - measure(higher, left).quarter.angle_deg
    assert change == pytest.approx(0.0367, abs=5e-5)


@given(TURNS, st.floats(-15, 15), THROWS, THROWS, LEADS)
@settings(max_examples=100)
def test_the_angle_set_out_is_found_again(at: float, off: float, r1: int, r2: int, lead: Side) -> None:
    other = Side.LEFT if lead is Side.RIGHT else Side.RIGHT
    behind = cmath.rect(r2, math.radians(at))
    ahead = forwards(cmath.rect(r1, math.radians(at)), 90 + off)
    assume(readable(ahead, behind))
    pins = pin_of(lead, ahead, r1), pin_of(other, behind, r2)
    found = measure(*pins, cranks=crank_angles(2, lead)).quarter
    assert found.lead_right
    assert found.ahead is lead
    assert found.departure_deg == pytest.approx(off, abs=2e-5)
    turned = measure(*pins, cranks=crank_angles(2, other)).quarter
    assert not turned.lead_right
    assert turned.answer is Conformity.OUTSIDE
    assert turned.angle_deg == pytest.approx(270 - off, abs=2e-5)


@given(TURNS, st.floats(-9, 9), st.floats(-9, 9), st.floats(-10, 10), THROWS, LEADS)
@settings(max_examples=100)
def test_three_cylinder_angles_are_found_again(
    at: float, off: float, off_inside: float, slope: float, throw: int, lead: Side
) -> None:
    other = Side.LEFT if lead is Side.RIGHT else Side.RIGHT
    cranks = crank_angles(3, lead, {Side.INSIDE: slope})
    first = cmath.rect(throw, math.radians(at))
    leading, inside = forwards(first, 120 + off), forwards(first, 240 - slope + off_inside)
    assume(readable(first, leading, inside))
    sheet = measure(
        pin_of(other, first, throw), pin_of(lead, leading, throw), pin_of(Side.INSIDE, inside, throw),
        cranks=cranks,
    )  # fmt: skip
    departures = {(one.ahead, one.behind): one.departure_deg for one in sheet.angles}
    assert departures == {
        (lead, other): pytest.approx(off, abs=2e-5),
        (Side.INSIDE, lead): pytest.approx(off_inside - off, abs=2e-5),
        (other, Side.INSIDE): pytest.approx(-off_inside, abs=2e-5),
    }
    assert sheet.quarter is sheet.angles[0]


@given(
    TURNS, st.floats(-15, 15), THROWS, THROWS,
    st.lists(st.integers(1, 50_000), min_size=5, max_size=5),
)  # fmt: skip
@settings(max_examples=60)
def test_the_uncertainty_is_what_another_library_propagates(
    at: float, off: float, r1: int, r2: int, u: list[int]
) -> None:
    behind = cmath.rect(r2, math.radians(at))
    ahead = forwards(cmath.rect(r1, math.radians(at)), 90 + off)
    assume(readable(ahead, behind))
    one, two = pin_of(Side.RIGHT, ahead, r1), pin_of(Side.LEFT, behind, r2)
    pins = [
        Pin(pin.side, pin.branch, MeasuredLength(pin.height.nm, uh), MeasuredLength(pin.throw.nm, ur))
        for pin, uh, ur in ((one, u[0], u[1]), (two, u[2], u[3]))
    ]
    found = measure_axle(pins, MeasuredLength(HC, u[4]), RIGHT_LEADS, 0.1, Unit.MM).quarter
    centre = ufloat(HC, u[4])
    elevations = []
    for pin in pins:
        h, r = ufloat(pin.height.nm, pin.height.expanded_nm), ufloat(pin.throw.nm, pin.throw.expanded_nm)
        phi = umath.asin((h - centre) / r)
        elevations.append(phi if pin.branch is Branch.FRONT else math.pi - phi)
    theirs = math.degrees((elevations[1] - elevations[0]).std_dev)
    assert found.expanded_deg == pytest.approx(theirs, rel=1e-6, abs=1e-12)


@given(TURNS, st.floats(-15, 15), THROWS, THROWS, LEADS, st.booleans())
@settings(max_examples=100)
def test_turned_as_it_says_the_angle_is_right(
    at: float, off: float, r1: int, r2: int, lead: Side, turn_leading: bool
) -> None:
    other = Side.LEFT if lead is Side.RIGHT else Side.RIGHT
    vectors = {
        other: cmath.rect(r2, math.radians(at)),
        lead: forwards(cmath.rect(r1, math.radians(at)), 90 + off),
    }
    throws = {lead: r1, other: r2}
    assume(readable(*vectors.values()))
    cranks = crank_angles(2, lead)
    pins = {side: pin_of(side, vector, throws[side]) for side, vector in vectors.items()}
    quarter = measure(*pins.values(), cranks=cranks).quarter
    loose = lead if turn_leading else other
    do = correction(quarter, pins[loose], MeasuredLength(HC))
    assert do.arc_nm == pytest.approx(throws[loose] * math.radians(abs(off)), abs=15)
    # Clockwise seen from the left is anticlockwise seen from the right, where the vectors live.
    seen = -1 if do.clockwise is (do.seen_from is Side.RIGHT) else 1
    vectors[loose] *= cmath.exp(1j * seen * math.radians(do.turn_deg))
    assert do.seen_from is loose
    assert do.height_then_nm == pytest.approx(HC + vectors[loose].imag, abs=20)
    assume(readable(*vectors.values()))
    assert do.height_serves
    again = measure(*[pin_of(side, vector, throws[side]) for side, vector in vectors.items()], cranks=cranks)
    assert again.quarter.departure_deg == pytest.approx(0, abs=4e-5)


def test_the_correction_in_words() -> None:
    right, left = worked(10_000)
    quarter = measure(right, left).quarter
    by_left = correction(quarter, left, MeasuredLength(HC))
    # The right pin is too far ahead, so the left follows it: forwards, which is anticlockwise seen from the left.
    assert turning_words(by_left, Unit.MM) == (
        "Seen from the left side, turn the left wheel anticlockwise (forwards) by 0.04 degrees,"
        " 0.015 mm (0.0006 in) at the crankpin: with the axle as it lies the pin goes from 75.620 mm (2.9772 in) to"
        " 75.630 mm (2.9776 in). That is no more than the uncertainty: measure more finely before you turn it."
    )
    by_right = correction(measure(*worked()).quarter, right, MeasuredLength(HC))
    assert by_right.worth_it
    assert turning_words(by_right, Unit.MM).startswith(
        "Seen from the right side, turn the right wheel anticlockwise (backwards)"
    )
    with pytest.raises(QuarteringError, match="inside pin is not one"):
        correction(
            quarter, Pin(Side.INSIDE, Branch.REAR, MeasuredLength(1), MeasuredLength(1)), MeasuredLength(HC)
        )


def test_a_wheel_half_a_turn_out_is_turned_by_so_much() -> None:
    quarter = measure(*worked(), cranks=crank_angles(2, Side.LEFT)).quarter
    assert quarter_words(quarter).startswith("The right pin is 90.04 degrees ahead and should be behind")
    do = correction(quarter, worked()[1], MeasuredLength(HC))
    assert do.turn_deg == pytest.approx(179.9622, abs=1e-4)


@pytest.mark.parametrize(
    "spans", [(1, 0, 0.1, "inside"), (1, 100_000, 0.1, "cannot tell"), (30, 1_000, 0.1, "outside")]
)
def test_the_verdict_takes_the_uncertainty_in(spans: tuple[int, int, float, str]) -> None:
    times, u, tolerance, answer = spans
    right, left = worked(u)
    off = Pin(left.side, left.branch, MeasuredLength(left.height.nm - 10_000 * (times - 1), u), left.throw)
    found = measure(right, off, tolerance=tolerance).quarter
    assert found.answer.value == answer
    at_limit = judge_departure(found.departure_deg, found.settles_deg * 0.999, tolerance)
    assert at_limit is not Conformity.CANNOT_TELL
    assert (
        judge_departure(found.departure_deg, found.settles_deg * 1.001, tolerance) is Conformity.CANNOT_TELL
    )


def test_heights_above_the_throw() -> None:
    high = Pin(Side.LEFT, Branch.REAR, MeasuredLength(82_225_001), MeasuredLength(R))
    with pytest.raises(
        QuarteringError, match=r"left pin is 22\.225 mm .* above the axle, more than its throw"
    ):
        measure(worked()[0], high)
    low = Pin(Side.LEFT, Branch.REAR, MeasuredLength(30_000_000), MeasuredLength(R))
    with pytest.raises(QuarteringError, match="below the axle, more than its throw"):
        measure(worked()[0], low)


def test_past_75_degrees_it_refuses_and_says_where_to_go() -> None:
    def at(degrees: float) -> list[Pin]:
        first = cmath.rect(R, math.radians(degrees))
        return [pin_of(Side.RIGHT, forwards(first, 90), R), pin_of(Side.LEFT, first, R)]

    assert measure(*at(74.9)).quarter.angle_deg == pytest.approx(90, abs=1e-4)
    with pytest.raises(QuarteringError) as refused:
        measure(*at(75.1))
    words = str(refused.value)
    assert words.startswith(
        "The left pin stands 75.1 degrees from level, past 75, where a height tells next to nothing"
    )
    # 60 + 22.225 sin 45 = 75.7154.
    assert words.count("75.715 mm") == 2
    assert words.endswith("and read again.")
    ways = best_set_ups(
        {side: MeasuredLength(R) for side in RIGHT_LEADS.sides}, MeasuredLength(HC), RIGHT_LEADS, 0
    )
    assert [abs(level) for level in ways[0].from_level_deg] == pytest.approx([45, 45])
    assert ways[0].expanded_deg == 0


def test_both_pins_cannot_be_on_one_branch() -> None:
    right, left = worked()
    front = Pin(Side.LEFT, Branch.FRONT, left.height, left.throw)
    with pytest.raises(QuarteringError) as refused:
        measure(right, front)
    assert str(refused.value) == (
        "Both pins cannot be in front of the axle: at these heights they would be 0.7 degrees apart and not near 90."
        " Look whether the right one is in front of the axle and the left one behind it."
    )
    # One up and one down, both in front, is another matter.
    down = Pin(Side.LEFT, Branch.FRONT, MeasuredLength(2 * HC - left.height.nm), left.throw)
    assert measure(right, down, cranks=crank_angles(2, Side.LEFT)).quarter.lead_right
    with pytest.raises(
        QuarteringError, match="right pin cannot be in front of the axle and the left one behind it"
    ):
        measure(right, Pin(Side.LEFT, Branch.REAR, down.height, down.throw))


def test_heights_near_the_wanted_angle_on_no_branch() -> None:
    level = [
        Pin(side, Branch.REAR, MeasuredLength(HC), MeasuredLength(R)) for side in (Side.LEFT, Side.RIGHT)
    ]
    with pytest.raises(
        QuarteringError,
        match=r"On neither branch would they be: read .* half a pin's diameter is then to be taken off",
    ):
        measure(*level)


@given(st.integers(0, 20_000), st.integers(0, 20_000), st.integers(0, 20_000), st.sampled_from([2, 3]))
@settings(max_examples=40, deadline=None)
def test_no_position_is_surer_than_the_best(hc_u: int, h_u: int, r_u: int, cylinders: int) -> None:
    cranks = crank_angles(cylinders, Side.RIGHT)
    throws = {side: MeasuredLength(R, r_u) for side in cranks.sides}
    best = best_set_ups(throws, MeasuredLength(HC, hc_u), cranks, h_u)
    for turned in range(0, 360, 7):
        vectors = {
            side: forwards(cmath.rect(R, math.radians(turned)), cranks.ahead_deg(side, Side.RIGHT))
            for side in cranks.sides
        }
        if not readable(*vectors.values()):
            continue
        pins = [
            Pin(side, pin_of(side, v, R).branch, MeasuredLength(HC + round(v.imag), h_u), throws[side])
            for side, v in vectors.items()
        ]
        sheet = measure_axle(pins, MeasuredLength(HC, hc_u), cranks, 0.1, Unit.MM)
        assert max(one.expanded_deg for one in sheet.angles) >= best[0].expanded_deg * (1 - 1e-6) - 1e-12


@given(st.integers(15_000_000, 40_000_000))
def test_two_pins_are_best_at_45_degrees_and_in_line_when_the_axle_is_unsure(throw: int) -> None:
    throws = {side: MeasuredLength(throw) for side in RIGHT_LEADS.sides}
    for one in best_set_ups(throws, MeasuredLength(HC), RIGHT_LEADS, 10_000):
        assert [abs(level) for level in one.from_level_deg] == pytest.approx([45, 45])
    unsure = best_set_ups(throws, MeasuredLength(HC, 20_000), RIGHT_LEADS, 10_000)
    assert len({branch for _, branch, _ in unsure[0].pins}) == 1
    assert unsure[0].from_level_deg[0] == pytest.approx(-unsure[0].from_level_deg[1])
    assert len(unsure) == 4


def test_three_pins_are_best_with_one_level() -> None:
    cranks = crank_angles(3, Side.LEFT)
    throws = {side: MeasuredLength(R) for side in cranks.sides}
    best = best_set_ups(throws, MeasuredLength(HC), cranks, 10_000)
    assert sorted(abs(level) for level in best[0].from_level_deg) == pytest.approx([0, 60, 60])


def test_heights_over_the_top() -> None:
    found = centre_height(MeasuredLength(80_562_500, 3_000), MeasuredLength(9_525_000, 8_000))
    assert found == MeasuredLength(75_800_000, 5_000)
    for over, diameter, says in (
        (MeasuredLength(1), MeasuredLength(0), "diameter must be"),
        (MeasuredLength(5), MeasuredLength(10), "half the diameter"),
        (MeasuredLength(50, -1), MeasuredLength(10), "below nothing"),
    ):
        with pytest.raises(QuarteringError, match=says):
            centre_height(over, diameter)


def test_what_cannot_be_is_refused_in_a_sentence() -> None:
    right, left = worked()
    inside = Pin(Side.INSIDE, Branch.REAR, left.height, left.throw)
    none = Pin(Side.LEFT, Branch.REAR, left.height, MeasuredLength(0))
    under = Pin(Side.LEFT, Branch.REAR, MeasuredLength(-1), left.throw)
    unsure = Pin(Side.LEFT, Branch.REAR, left.height, MeasuredLength(R, -1))
    for pins, says in (
        ([right, right], "given twice"),
        ([right], "needs two pins"),
        ([right, left, inside], "no inside crank"),
        ([right, none], "throw must be more"),
        ([right, under], "above the plate"),
        ([right, unsure], "below nothing"),
    ):
        with pytest.raises(QuarteringError, match=says):
            measure(*pins)
    for tolerance in (0.0, math.nan):
        with pytest.raises(QuarteringError, match="tolerance must be"):
            measure(right, left, tolerance=tolerance)
    with pytest.raises(QuarteringError, match="throw must be more"):
        best_set_ups({Side.LEFT: MeasuredLength(0)}, MeasuredLength(HC), RIGHT_LEADS, 0)


def test_every_figure_has_its_working() -> None:
    sheet = measure(*worked(5_000))
    workings = quarter_workings(sheet, MeasuredLength(HC), Unit.MM)
    assert len(workings) == len(sheet.pins) + 2 * len(sheet.angles)
    for one in workings:
        assert all((one.name, one.formula, one.numbers, one.result, one.source))
    assert workings[len(sheet.pins)].result == "90.038 degrees"
