"""Kienzle's force, and the power it asks."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from domain.cutting.speeds import (
    CuttingError,
    IronForce,
    cutting_force,
    deepest_cut_for_power,
    iron_force,
    power_needed,
)

SOFT = iron_force("a48-20")
HARD = iron_force("en-gjl-250")
IRONS = st.sampled_from((SOFT, HARD))
DEPTHS = st.integers(10_000, 5_000_000)
FEEDS = st.integers(20_000, 500_000)


def test_figures_as_printed() -> None:
    # VDI 3323 groups 15 (grey iron, 180 HB) and 16 (260 HB): from memory, verify.
    assert (SOFT.kc1, SOFT.m) == (1150, 0.20)
    assert (HARD.kc1, HARD.m) == (1350, 0.28)
    assert "180 HB" in SOFT.name and "260 HB" in HARD.name
    assert "VDI 3323" in SOFT.source and "from memory, verify" in SOFT.source


def test_the_published_check_of_kienzle() -> None:
    # b 1.5 mm, h 0.15 mm, kc1 1150, m 0.20: 378 N.
    force = cutting_force(1_500_000, 150_000, SOFT)
    assert round(force) == 378
    # By logarithms, another way round: ln Fc = ln kc1 + ln b + (1 - m) ln h.
    assert math.log(force) == pytest.approx(math.log(1150) + math.log(1.5) + 0.8 * math.log(0.15))


def test_a_chip_of_one_square_millimetre_takes_kc1() -> None:
    # The meaning of kc1.1: the force on a chip 1 mm by 1 mm.
    for iron in (SOFT, HARD):
        assert cutting_force(1_000_000, 1_000_000, iron) == pytest.approx(iron.kc1)


def test_power_is_force_times_speed() -> None:
    # 600 N at 60 m/min is 600 N at 1 m/s: 600 W at the tool, 0.6 kW = 600 x 60 / 60 000.
    assert power_needed(600, 60, 1) == pytest.approx(600)
    assert power_needed(600, 60, 0.5) == pytest.approx(1200)


@given(DEPTHS, FEEDS, st.floats(1, 100), st.floats(0.3, 1), IRONS)
@settings(max_examples=60)
def test_the_deepest_cut_just_uses_the_motor(
    depth: int, feed: int, speed: float, efficiency: float, iron: IronForce
) -> None:
    motor = power_needed(cutting_force(depth, feed, iron), speed, efficiency)
    deepest = deepest_cut_for_power(motor, speed, feed, iron, efficiency)
    assert abs(deepest - depth) <= 1
    assert power_needed(cutting_force(deepest, feed, iron), speed, efficiency) <= motor * (1 + 1e-12)


def test_the_deepest_cut_against_a_root_finder() -> None:
    found = brentq(lambda mm: 1350 * mm * 0.1**0.72 * 25 / 60 / 0.7 - 370, 0.001, 20)
    assert deepest_cut_for_power(370, 25, 100_000, HARD, 0.7) == pytest.approx(found * 1e6, rel=1e-6)


@given(DEPTHS, FEEDS, IRONS)
@settings(max_examples=60)
def test_twice_the_depth_is_twice_the_force_but_twice_the_feed_is_less(
    depth: int, feed: int, iron: IronForce
) -> None:
    force = cutting_force(depth, feed, iron)
    assert cutting_force(2 * depth, feed, iron) == pytest.approx(2 * force)
    assert force < cutting_force(depth, 2 * feed, iron) < 2 * force


@pytest.mark.parametrize(
    ("figures", "field"),
    [((0, 100), "depth"), ((-1, 100), "depth"), ((100, 0), "feed"), ((100, -5), "feed")],
)  # fmt: skip
def test_cuts_that_cannot_be(figures: tuple[int, int], field: str) -> None:
    with pytest.raises(CuttingError) as caught:
        cutting_force(*figures, SOFT)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("figures", "field"),
    [((-1, 20, 0.7), "force"), ((math.nan, 20, 0.7), "force"), ((100, -1, 0.7), "speed"),
     ((100, math.inf, 0.7), "speed"), ((100, 20, 0), "efficiency"), ((100, 20, math.nan), "efficiency")],
)  # fmt: skip
def test_powers_that_cannot_be(figures: tuple[float, float, float], field: str) -> None:
    with pytest.raises(CuttingError) as caught:
        power_needed(*figures)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("motor", "speed", "feed", "efficiency", "field"),
    [(0, 20, 100, 0.7, "motor_w"), (math.nan, 20, 100, 0.7, "motor_w"), (370, 0, 100, 0.7, "speed"),
     (370, 20, 0, 0.7, "feed"), (370, 20, 100, 2, "efficiency")],
)  # fmt: skip
def test_deepest_cuts_that_cannot_be(
    motor: float, speed: float, feed: int, efficiency: float, field: str
) -> None:
    with pytest.raises(CuttingError) as caught:
        deepest_cut_for_power(motor, speed, feed, SOFT, efficiency)
    assert caught.value.field == field
