"""Pins set as the sheet says stand at the angle that is wanted, whatever their throws: by vectors, and by measuring."""

from __future__ import annotations

import cmath
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.cranks.cylinders import Cranks, Side, crank_angles
from domain.cranks.quartering import Branch, MeasuredLength, Pin, QuarteringError, elevation_deg, measure_axle
from domain.cranks.setting import (
    PinToSet,
    SettingWay,
    between_pins_nm,
    height_worth_deg,
    pins_to_set,
    stop_and_square,
    to_step,
)
from domain.lengths import Unit
from tests.domain.cranks.test_quartering import forwards

HC = 60_000_000
THROWS = st.integers(15_000_000, 40_000_000)
LEADS = st.sampled_from([Side.LEFT, Side.RIGHT])
CYLINDERS = st.sampled_from([2, 3])


def at_angle(lead: Side, degrees: float) -> Cranks:
    """Two cranks so far apart, as a drawing may want them."""
    two = crank_angles(2, lead)
    left = degrees if lead is Side.LEFT else 360.0 - degrees
    return Cranks(lead, ((Side.RIGHT, 0.0), (Side.LEFT, left)), two.words, two.working)


def vector(pin: PinToSet, throw: int, centre: int = HC) -> complex:
    """Where a pin's centre is, from its height and its side of the axle alone."""
    up = pin.height_nm - centre
    out = math.sqrt(max(0, throw**2 - up**2))
    return complex(out if pin.branch is Branch.FRONT else -out, up)


def turned(ahead: complex, behind: complex) -> float:
    """How far the second must still run forwards, which is clockwise, to stand where the first is."""
    return math.degrees(cmath.phase(behind / ahead)) % 360.0


def test_the_published_heights() -> None:
    # r 22.225, hc 60: hc + r sin 45 = 75.715 448 and, for three cylinders, hc + r sin 30 = 71.1125 exactly.
    throws = {Side.RIGHT: 22_225_000, Side.LEFT: 22_225_000}
    two, three = (pins_to_set(throws, HC, crank_angles(n, Side.RIGHT)) for n in (2, 3))
    assert [one.height_nm for one in two] == [75_715_448] * 2
    assert [one.height_nm for one in three] == [71_112_500] * 2
    assert [(one.side, one.branch) for one in two] == [(Side.RIGHT, Branch.FRONT), (Side.LEFT, Branch.REAR)]
    assert [round(one.from_level_deg, 9) for one in three] == [30.0, 30.0]


@given(THROWS, THROWS, LEADS, CYLINDERS)
@settings(max_examples=100)
def test_set_then_measured_it_is_the_angle_wanted(r1: int, r2: int, lead: Side, cylinders: int) -> None:
    cranks, throws = crank_angles(cylinders, lead), {Side.LEFT: r1, Side.RIGHT: r2}
    pins = pins_to_set(throws, HC, cranks)
    read = [
        Pin(one.side, one.branch, MeasuredLength(one.height_nm), MeasuredLength(throws[one.side]))
        for one in pins
    ]
    found = measure_axle(read, MeasuredLength(HC), cranks, 0.001, Unit.MM).quarter
    assert found.lead_right and found.ahead is lead
    assert found.departure_deg == pytest.approx(0, abs=1e-5)


@given(THROWS, THROWS, LEADS, st.floats(10, 170))
@settings(max_examples=100)
def test_by_vectors_at_any_angle_of_the_drawing(r1: int, r2: int, lead: Side, wanted: float) -> None:
    throws = {Side.LEFT: r1, Side.RIGHT: r2}
    ahead, behind = pins_to_set(throws, HC, at_angle(lead, wanted))
    assert ahead.side is lead
    one, two = (vector(pin, throws[pin.side]) for pin in (ahead, behind))
    assert turned(one, two) == pytest.approx(wanted, abs=1e-4)
    assert max(abs(pin.from_level_deg) for pin in (ahead, behind)) <= 75.0 + 1e-9


@given(THROWS, THROWS, LEADS, st.integers(1, 50_000))
@settings(max_examples=100)
def test_to_the_instruments_step_it_is_off_by_no_more_than_half_a_step_each(
    r1: int, r2: int, lead: Side, step: int
) -> None:
    cranks, throws = crank_angles(2, lead), {Side.LEFT: r1, Side.RIGHT: r2}
    ahead, behind = pins_to_set(throws, HC, cranks)
    shown = [to_step(pin.height_nm, step) for pin in (ahead, behind)]
    assert all(one % step == 0 for one in shown)
    at = [
        elevation_deg(nm, HC, throws[pin.side], pin.branch)
        for nm, pin in zip(shown, (ahead, behind), strict=True)
    ]
    most = sum(height_worth_deg(step, throws[side], 45.0) / 2 for side in throws)
    assert abs((at[1] - at[0]) % 360.0 - 90.0) <= most * 1.01 + 1e-5


@given(THROWS, THROWS, LEADS, LEADS, st.integers(6_000_000, 30_000_000), st.integers(3_000_000, 30_000_000))
@settings(max_examples=100)
def test_by_stop_and_square_whatever_the_throws(
    r1: int, r2: int, lead: Side, square: Side, axle: int, pin: int
) -> None:
    stop = Side.LEFT if square is Side.RIGHT else Side.RIGHT
    throws = {Side.LEFT: r1, Side.RIGHT: r2}
    found = stop_and_square(square, stop, throws[stop], HC, axle, pin, crank_angles(2, lead))
    # The blade stands upright against the axle's side, or off it by the packing: so does the pin's side.
    assert axle / 2 - found.packing_nm == pytest.approx(pin / 2, abs=1)
    over = complex(0, throws[square])
    rests = complex(vector(found.pin, throws[stop]).real, found.stop_nm + pin / 2 - HC)
    one, two = (over, rests) if square is lead else (rests, over)
    assert turned(one, two) == pytest.approx(90, abs=1e-4)
    assert forwards(two, 90).imag == pytest.approx(one.imag * abs(two) / abs(one), rel=1e-4, abs=200)


@given(THROWS, THROWS, LEADS, st.floats(16, 164))
@settings(max_examples=100)
def test_by_stop_and_square_at_any_angle(r1: int, r2: int, lead: Side, wanted: float) -> None:
    other = Side.LEFT if lead is Side.RIGHT else Side.RIGHT
    found = stop_and_square(lead, other, r2, HC, 19_000_000, 8_000_000, at_angle(lead, wanted))
    assert turned(complex(0, r1), vector(found.pin, r2)) == pytest.approx(wanted, abs=1e-3)


def test_a_stop_that_tells_nothing_or_lies_under_the_plate_is_refused() -> None:
    with pytest.raises(QuarteringError, match="a stop tells next to nothing"):
        stop_and_square(
            Side.RIGHT, Side.LEFT, 22_000_000, HC, 19_000_000, 8_000_000, at_angle(Side.RIGHT, 170)
        )
    with pytest.raises(QuarteringError, match="under the plate"):
        stop_and_square(
            Side.RIGHT, Side.LEFT, 22_000_000, 3_000_000, 19_000_000, 8_000_000, at_angle(Side.RIGHT, 90)
        )


@given(THROWS, THROWS, LEADS, CYLINDERS)
def test_a_jigs_centres_are_as_far_apart_as_the_pins_that_are_set(
    r1: int, r2: int, lead: Side, n: int
) -> None:
    cranks, throws = crank_angles(n, lead), {Side.LEFT: r1, Side.RIGHT: r2}
    one, two = (vector(pin, throws[pin.side]) for pin in pins_to_set(throws, HC, cranks))
    wanted = {2: 90.0, 3: 120.0}[n]
    assert between_pins_nm(r1, r2, wanted) == pytest.approx(abs(one - two), abs=30)


def test_each_way_has_its_name() -> None:
    assert len({way.words for way in SettingWay}) == len(SettingWay) == 3
