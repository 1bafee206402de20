"""Crank angles against pistons followed through a turn."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.cranks.cylinders import CylindersError, Side, crank_angles

SLOPES = st.floats(-20, 20)
LEADS = st.sampled_from([Side.LEFT, Side.RIGHT])


def front_dead_centre(elevation: float, slope: float, rod: float = 8.0) -> float:
    """How far the engine must turn forwards, degrees, until the piston is furthest out; throw 1, finite rod."""
    turned = np.arange(0.0, 360.0, 0.01)
    off = np.radians(elevation - turned - slope)  # running forwards the elevation becomes less
    reach = np.cos(off) + np.sqrt(rod**2 - np.sin(off) ** 2)
    return float(turned[np.argmax(reach)])


@given(st.sampled_from([2, 3]), LEADS, SLOPES, SLOPES, SLOPES)
def test_the_dead_centres_follow_evenly_and_in_order(
    cylinders: int, lead: Side, left: float, right: float, inside: float
) -> None:
    slopes = {Side.LEFT: left, Side.RIGHT: right}
    if cylinders == 3:
        slopes[Side.INSIDE] = inside
    cranks = crank_angles(cylinders, lead, slopes)
    # The right crank at the front: one ahead has already turned further, so its elevation is less.
    at = {side: front_dead_centre(-cranks.ahead_deg(side, Side.RIGHT), slopes[side]) for side in cranks.sides}
    other = Side.LEFT if lead is Side.RIGHT else Side.RIGHT
    step = 90 if cylinders == 2 else 120
    assert (at[other] - at[lead]) % 360 == pytest.approx(step, abs=0.03)
    if cylinders == 3:
        assert (at[lead] - at[Side.INSIDE]) % 360 == pytest.approx(120, abs=0.03)
        assert (at[Side.INSIDE] - at[other]) % 360 == pytest.approx(120, abs=0.03)


@given(st.sampled_from([2, 3]), LEADS, SLOPES)
def test_both_outside_cylinders_inclined_alike_change_nothing_between_them(
    cylinders: int, lead: Side, slope: float
) -> None:
    cranks = crank_angles(cylinders, lead, {Side.LEFT: slope, Side.RIGHT: slope})
    other = Side.LEFT if lead is Side.RIGHT else Side.RIGHT
    assert cranks.ahead_deg(lead, other) == pytest.approx(90 if cylinders == 2 else 120)


@given(LEADS, SLOPES)
def test_an_inclined_middle_cylinder_moves_its_crank_by_its_slope(lead: Side, slope: float) -> None:
    cranks = crank_angles(3, lead, {Side.INSIDE: slope})
    other = Side.LEFT if lead is Side.RIGHT else Side.RIGHT
    assert cranks.ahead_deg(Side.INSIDE, lead) == pytest.approx(120 - slope)
    assert cranks.ahead_deg(other, Side.INSIDE) == pytest.approx(120 + slope)
    assert cranks.ahead_deg(lead, other) == pytest.approx(120)
    assert all(cranks.ahead_deg(*pair) < 180 for pair in cranks.pairs())


def test_pairs_have_the_one_ahead_first_and_words_say_so() -> None:
    left = crank_angles(3, Side.LEFT)
    assert left.pairs()[0] == (Side.LEFT, Side.RIGHT)
    assert left.words == (
        "The left crank is ahead of the right one by 120 degrees, the inside crank ahead of the left one by 120,"
        " and the right crank ahead of the inside one by 120."
    )
    assert crank_angles(2, Side.RIGHT).ahead_deg(Side.RIGHT, Side.LEFT) == 90
    assert crank_angles(2, Side.LEFT).ahead_deg(Side.RIGHT, Side.LEFT) == 270


@pytest.mark.parametrize(
    ("cylinders", "lead", "slopes", "says"),
    [
        (4, Side.LEFT, {}, "two or three"),
        (2, Side.INSIDE, {}, "choose left or right"),
        (2, Side.LEFT, {Side.INSIDE: 1.0}, "no inside crank"),
        (3, Side.LEFT, {Side.INSIDE: 46.0}, "inside cylinder's slope"),
        (3, Side.LEFT, {Side.RIGHT: math.nan}, "right cylinder's slope"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(
    cylinders: int, lead: Side, slopes: dict[Side, float], says: str
) -> None:
    with pytest.raises(CylindersError, match=says):
        crank_angles(cylinders, lead, slopes)


def test_no_inside_crank_of_two() -> None:
    with pytest.raises(CylindersError, match="no inside crank"):
        crank_angles(2, Side.LEFT).ahead_deg(Side.INSIDE, Side.LEFT)
