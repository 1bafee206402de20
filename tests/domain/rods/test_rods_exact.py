"""The exact rods against SciPy, against an exhaustive grid, by their limiting cases and by what may not matter."""

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from domain.rods.exact import REACH, Shape, first_order, least_error, needed_play, phase_held

QUARTER = math.pi / 2


def plain(**changes: float) -> Shape:
    """Two axles without a fault, but for the changes."""
    return Shape(150.0, 150.0, 150.0, 150.0, 25.4, 25.4, 25.4, 25.4, QUARTER, QUARTER)._replace(**changes)


def random_shape(rnd: random.Random, scale: float = 1.0) -> Shape:
    """Errors of some hundredths of a mm and tenths of a degree, times scale; unlike wheelbases, both leads, 120 too."""
    centre = rnd.uniform(80, 260)
    throw = rnd.uniform(10, min(40, centre / 3))
    quarter = math.radians(rnd.choice([90, -90, 120, -60]))
    lengths = [centre + rnd.gauss(0, 0.04 * scale) for _ in range(4)]
    throws = [throw + rnd.gauss(0, 0.04 * scale) for _ in range(4)]
    return Shape(*lengths, *throws, *(quarter + rnd.gauss(0, 0.004 * scale) for _ in range(2)))


def pin_errors(shape: Shape, theta: float, phase):  # type: ignore[no-untyped-def]
    """Pin distance less rod on each side, written apart from the code under test: by complex numbers."""
    found = []
    for c, rod, r1, r2, q1, q2 in (
        (shape.c_left, shape.l_left, shape.r1_left, shape.r2_left, 0.0, 0.0),
        (shape.c_right, shape.l_right, shape.r1_right, shape.r2_right, shape.q1, shape.q2),
    ):
        front = c + r1 * np.exp(1j * (theta + q1))
        rear = r2 * np.exp(1j * (theta + q2 + np.asarray(phase)))
        found.append(np.abs(front - rear) - rod)
    return found


def by_scipy(shape: Shape, theta: float, free: tuple[float, float] = (0.0, 0.0)) -> float:
    """Every low place of a fine grid followed to its bottom by SciPy."""

    def worse(phase):  # type: ignore[no-untyped-def]
        left, right = pin_errors(shape, theta, phase)
        return np.maximum(np.abs(left) - free[0], np.abs(right) - free[1])

    grid = np.linspace(-REACH, REACH, 1401)
    values = np.concatenate([[np.inf], worse(grid), [np.inf]])
    lows = np.flatnonzero((values[1:-1] <= values[:-2]) & (values[1:-1] <= values[2:]))
    step = grid[1] - grid[0]
    return min(
        minimize_scalar(
            worse, bounds=(grid[n] - step, grid[n] + step), method="bounded", options={"xatol": 1e-10}
        ).fun
        for n in lows
    )


@pytest.mark.parametrize("scale", [0.05, 1.0, 6.0])
@pytest.mark.parametrize("free", [(0.0, 0.0), (0.05, 0.05), (0.02, 0.1), (0.1, 0.0)])
def test_scipy_finds_the_same(scale: float, free: tuple[float, float]) -> None:
    rnd = random.Random(f"{scale} {free}")
    for turn in range(24):
        shape = random_shape(rnd, scale)
        theta = rnd.uniform(-4, 7)
        if turn % 3 == 0:  # dead centres are where it is difficult
            theta = rnd.choice([0, math.pi, -shape.q1, math.pi - shape.q2]) + rnd.gauss(0, 0.01)
        found = least_error(shape, theta, *free)
        assert found.worst == pytest.approx(by_scipy(shape, theta, free), abs=1e-6)
        left, right = pin_errors(shape, theta, found.phase)
        assert (found.left, found.right) == pytest.approx((float(left), float(right)), abs=1e-9)


@pytest.mark.parametrize("free", [(0.0, 0.0), (0.03, 0.08)])
def test_whole_turn_against_a_grid_of_positions_and_phases(free: tuple[float, float]) -> None:
    rnd = random.Random(7)
    phases = np.linspace(-0.03, 0.03, 2401)
    for _ in range(3):
        shape = random_shape(rnd)
        most = -np.inf
        for theta in np.linspace(0, math.tau, 1440, endpoint=False):
            left, right = pin_errors(shape, theta, phases)
            most = max(most, np.min(np.maximum(np.abs(left) - free[0], np.abs(right) - free[1])))
        # The grid's own step: 0.0000125 rad on a throw of 40 mm at most, and a quarter of a degree past a peak.
        assert needed_play(shape, *free).worst == pytest.approx(float(most), abs=0.0012)


def test_quartering_mismatch_of_the_worked_figures() -> None:
    """r 25.4, C 150, 0.30 degrees: 0.04709 exactly, 0.04702 to first order (derived here; no published source)."""
    shape = plain(q2=QUARTER + math.radians(0.30))
    assert needed_play(shape).worst == pytest.approx(0.04709, abs=5e-6)
    most = max(first_order(shape, math.radians(n / 4)) for n in range(1440))
    assert most == pytest.approx(0.04702, abs=8e-5)
    assert 25.4 * math.radians(0.30) / (2 * math.sqrt(2)) == pytest.approx(0.04702, abs=5e-6)


def test_phase_held_figures() -> None:
    """Two worked figures (derived here; no published source)."""
    assert phase_held(150.0, 150.03, 25.40, 25.45, math.radians(0.20)) == pytest.approx(
        (0.101865, 0.263731), abs=5e-7
    )
    assert phase_held(230.0, 229.96, 38.10, 38.05, math.radians(-0.25)) == pytest.approx(
        (0.173494, 0.426989), abs=5e-7
    )


def test_phase_held_swings_as_the_pins_do() -> None:
    thetas = np.linspace(0, math.tau, 20_001)
    pins = np.abs(150 + 25.4 * np.exp(1j * thetas) - 25.45 * np.exp(1j * (thetas + math.radians(0.2))))
    swing, summed = phase_held(150.0, 150.03, 25.40, 25.45, math.radians(0.20))
    assert (pins.max(), pins.min()) == pytest.approx((150 + swing, 150 - swing), abs=1e-6)
    assert summed == pytest.approx(2 * np.abs(pins - 150.03).max(), abs=1e-6)


@given(throw=st.floats(10, 40), apart=st.floats(-0.4, 0.4))
@settings(max_examples=25, deadline=None)
def test_quartering_mismatch_alone(throw: float, apart: float) -> None:
    """r D / (2 sqrt 2), to first order."""
    alike = dict.fromkeys(("r1_left", "r1_right", "r2_left", "r2_right"), throw)
    shape = plain(**alike, q2=QUARTER + math.radians(apart))
    expected = throw * math.radians(abs(apart)) / (2 * math.sqrt(2))
    assert needed_play(shape).worst == pytest.approx(expected, rel=0.01, abs=1e-7)


@given(wrong=st.floats(-0.5, 0.5))
@settings(max_examples=25, deadline=None)
def test_both_centre_distances_wrong_alike(wrong: float) -> None:
    assert needed_play(plain(c_left=150 + wrong, c_right=150 + wrong)).worst == pytest.approx(
        abs(wrong), rel=2e-3, abs=1e-7
    )


@pytest.mark.parametrize("wrong", [0.05, -0.05])
def test_one_rod_wrong_needs_all_of_it_at_its_dead_centre(wrong: float) -> None:
    found = needed_play(plain(l_left=150 + wrong))
    assert found.worst == pytest.approx(0.05, rel=2e-3)
    assert min(found.theta % math.pi, math.pi - found.theta % math.pi) < 0.01


def test_throw_mismatch_needs_all_of_it_at_dead_centre() -> None:
    assert needed_play(plain(r2_left=25.45)).worst == pytest.approx(0.05, rel=2e-3)


def test_nothing_wrong_needs_nothing() -> None:
    assert needed_play(plain()).worst == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("degrees", [-4.0, 3.0, 30.0])
def test_a_common_departure_from_90_adds_nothing_of_its_own(degrees: float) -> None:
    both = QUARTER + math.radians(degrees)
    assert needed_play(plain(q1=both, q2=both)).worst == pytest.approx(0.0, abs=1e-9)


def test_a_common_departure_changes_another_fault_by_second_order_only() -> None:
    apart, common = math.radians(0.3), math.radians(1.0)
    before = needed_play(plain(q2=QUARTER + apart)).worst
    after = needed_play(plain(q1=QUARTER + common, q2=QUARTER + common + apart)).worst
    assert abs(after - before) <= 2 * common * before


@pytest.mark.parametrize("seed", range(4))
def test_mirroring_the_sides_changes_nothing(seed: int) -> None:
    one = random_shape(random.Random(seed))
    other = Shape(
        one.c_right, one.c_left, one.l_right, one.l_left, one.r1_right, one.r1_left, one.r2_right, one.r2_left,
        -one.q1, -one.q2,
    )  # fmt: skip
    # The phase is then measured from the other pin, so only the least over it is the same: to the peak's own finding.
    assert needed_play(other).worst == pytest.approx(needed_play(one).worst, rel=1e-4)


@pytest.mark.parametrize("seed", range(4))
def test_renumbering_the_axles_changes_nothing_to_speak_of(seed: int) -> None:
    one = random_shape(random.Random(seed), 0.2)
    other = one._replace(
        r1_left=one.r2_left,
        r2_left=one.r1_left,
        r1_right=one.r2_right,
        r2_right=one.r1_right,
        q1=one.q2,
        q2=one.q1,
    )
    # The other axle is now the one that finds its phase, so the positions compared differ by that phase:
    # second order.
    assert needed_play(other).worst == pytest.approx(needed_play(one).worst, rel=2e-3)


def test_first_order_agrees_with_exact_for_small_errors() -> None:
    rnd = random.Random(3)
    for _ in range(10):
        shape = random_shape(rnd, 0.02)
        exact = needed_play(shape).worst
        most = max(first_order(shape, theta) for theta in np.linspace(0, math.tau, 1441))
        assert most == pytest.approx(exact, rel=0.02)


def test_first_order_with_no_lever_at_all_is_the_larger_error() -> None:
    assert first_order(plain(q1=0.0, q2=0.0, l_left=149.9, l_right=150.2), 0.0) == pytest.approx(0.2)


def test_too_few_positions() -> None:
    with pytest.raises(ValueError, match="36"):
        needed_play(plain(), positions=10)
