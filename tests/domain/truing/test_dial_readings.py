import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from domain.lengths import Unit
from domain.truing.dial import (
    DialReading,
    TruingError,
    check_readings,
    direction,
    fit_readings,
    from_jaws,
)
from domain.truing.words import spot_words

SMALL = st.integers(-2_000_000, 2_000_000)


@given(r1=SMALL, r2=SMALL, r3=SMALL, r4=SMALL)
@settings(max_examples=60, deadline=None)
def test_four_jaws_give_half_the_difference_of_opposite_readings(r1: int, r2: int, r3: int, r4: int) -> None:
    fit = fit_readings(from_jaws({1: r1, 2: r2, 3: r3, 4: r4}))
    assert fit.a_nm == pytest.approx((r1 - r3) / 2, abs=1e-3)
    assert fit.b_nm == pytest.approx((r2 - r4) / 2, abs=1e-3)
    assert fit.mean_nm == pytest.approx((r1 + r2 + r3 + r4) / 4, abs=1e-3)
    assert fit.tir_nm == max(r1, r2, r3, r4) - min(r1, r2, r3, r4)
    # Only the oval part is left: plus, minus, plus, minus.
    oval = (r1 - r2 + r3 - r4) / 4
    assert fit.residuals_nm == pytest.approx((oval, -oval, oval, -oval), abs=1e-3)
    assert fit.out_of_round_nm == pytest.approx(abs(2 * oval), abs=1)


@pytest.mark.parametrize("seed", range(20))
def test_any_angles_agree_with_numpy(seed: int) -> None:
    rng = random.Random(seed)
    n = rng.randint(5, 24)
    angles = [(360 * k / n + rng.uniform(-5, 5) + rng.choice([0, 360, -720])) for k in range(n)]
    values = [rng.randint(-900_000, 900_000) for _ in range(n)]
    fit = fit_readings([DialReading(a, v) for a, v in zip(angles, values, strict=True)])
    phi = np.radians(angles)
    design = np.column_stack([np.ones(n), np.cos(phi), np.sin(phi)])
    want, square, _, _ = np.linalg.lstsq(design, np.array(values, float), rcond=None)
    assert (fit.mean_nm, fit.a_nm, fit.b_nm) == pytest.approx(tuple(want), abs=1e-2)
    errors = np.sqrt(np.diag(np.linalg.inv(design.T @ design)) * square[0] / (n - 3))
    assert (fit.a_standard_error_nm, fit.b_standard_error_nm) == pytest.approx(tuple(errors[1:]), rel=1e-9)
    assert fit.residuals_nm == pytest.approx(values - design @ want, abs=1e-2)
    if n >= 7:
        oval = np.column_stack([design, np.cos(2 * phi), np.sin(2 * phi)])
        left = np.linalg.lstsq(oval, np.array(values, float), rcond=None)[1][0]
        gain = math.sqrt(np.diag(np.linalg.inv(design.T @ design))[1:].mean())
        assert fit.rough_standard_error_nm == pytest.approx(gain * math.sqrt(left / (n - 5)), rel=1e-9)


def _circle(points: list[tuple[float, float]]) -> tuple[tuple[float, float, float], list[float]]:
    """The circle whose distances to the points, squared and summed, are least: its middle and radius, and what is left."""

    def misfit(circle: tuple[float, float, float]) -> list[float]:
        return [math.hypot(x - circle[0], y - circle[1]) - circle[2] for x, y in points]

    middle = np.mean(points, axis=0)
    found = least_squares(misfit, (*middle, np.std(points)), xtol=1e-15, ftol=1e-15, gtol=1e-15)
    return tuple(found.x), misfit(tuple(found.x))


def test_the_geometric_circle_is_the_published_one() -> None:
    # Gander, Golub, Strebel, "Least-squares fitting of circles and ellipses", BIT 34 (1994), section 5.
    circle, left = _circle([(1.0, 7.0), (2.0, 6.0), (5.0, 8.0), (7.0, 7.0), (9.0, 5.0), (3.0, 7.0)])
    assert circle == pytest.approx((4.73978, 2.98353, 4.71423), abs=5e-6)
    # The same paper: the sum of squares at the minimum has the norm 1.1080.
    assert math.sqrt(sum(r * r for r in left)) == pytest.approx(1.1080, abs=5e-5)


def test_the_circle_in_the_readings_is_the_geometric_one_to_second_order() -> None:
    # 0.4 mm off on a radius of 60 mm: the two may differ by e^2 / r, under 3 um.
    rng = random.Random(4)
    angles = [30 * k for k in range(12)]
    outs = [
        0.3 * math.cos(math.radians(a)) - 0.25 * math.sin(math.radians(a)) + rng.gauss(0, 0.02)
        for a in angles
    ]
    fit = fit_readings([DialReading(a, round(out * 1e6)) for a, out in zip(angles, outs, strict=True)])
    points = [
        ((60 + out) * math.cos(math.radians(a)), (60 + out) * math.sin(math.radians(a)))
        for a, out in zip(angles, outs, strict=True)
    ]
    (x, y, _), left = _circle(points)
    assert (fit.a_nm / 1e6, fit.b_nm / 1e6) == pytest.approx((x, y), abs=0.003)
    assert fit.out_of_round_nm / 1e6 == pytest.approx(max(left) - min(left), abs=0.003)


def test_three_readings_fit_exactly_and_tell_no_more() -> None:
    fit = fit_readings([DialReading(0, 100_000), DialReading(120, -20_000), DialReading(240, 40_000)])
    assert fit.residuals_nm == pytest.approx((0, 0, 0), abs=1e-6)
    assert (fit.out_of_round_nm, fit.a_standard_error_nm, fit.b_standard_error_nm) == (None, None, None)
    assert fit.mean_nm + fit.at(120) == pytest.approx(-20_000, abs=1e-6)


def test_jaws_run_clockwise_and_their_directions_are_exact() -> None:
    assert [one.angle_deg for one in from_jaws({4: 4, 3: 3, 2: 2, 1: 1})] == [0, 90, 180, 270]
    assert [direction(a) for a in (0, 90, 180, 270, -90)] == [(1, 0), (0, 1), (-1, 0), (0, -1), (0, -1)]


def test_where_a_spot_is_in_words() -> None:
    assert spot_words(0) == spot_words(360) == "jaw 1"
    assert spot_words(269.9) == "jaw 4"
    assert spot_words(45) == "45 degrees past jaw 1 towards jaw 2"


def _at(*angles: float) -> list[DialReading]:
    return [DialReading(angle, 0) for angle in angles]


@pytest.mark.parametrize(
    ("readings", "says", "field"),
    [
        (_at(), "0 of at least three readings: read more spots", "readings"),
        (_at(0, 180), "2 of at least three readings", "readings"),
        (_at(0, 120, 240, 120), "Two readings at one spot, 120 degrees: keep one", "angle_4"),
        (_at(0, 120, 240, 480), "Two readings at one spot, 480 degrees", "angle_4"),
        (_at(359.7, 120, 240, 0.2), "Two readings at one spot", "angle_4"),
        (_at(0, 90, 180), "one half of the circle: read a spot near 270 degrees", "readings"),
        (_at(300, 10, 60, 90), "one half of the circle: read a spot near 195 degrees", "readings"),
        (_at(0, 2, 181), "bunched", "readings"),
        (_at(0, math.inf, 180), "no angle", "angle_2"),
        ([*_at(0, 120), DialReading(240, 25_000_001)], "No dial shows 25.000 mm", "reading_3"),
    ],
)
def test_readings_that_fix_nothing_are_refused_in_a_sentence(readings, says: str, field: str) -> None:
    with pytest.raises(TruingError, match=says) as caught:
        fit_readings(readings)
    assert caught.value.field == field
    assert str(caught.value).endswith(".") and "\n" not in str(caught.value)


@pytest.mark.parametrize(
    "angles", [(0, 90, 181), (10, 130, 250), (0, 179, 269), (0, 90, 180, 270), tuple(range(360))]
)
def test_readings_spread_round_the_work_are_taken(angles) -> None:
    check_readings(_at(*angles))


@pytest.mark.parametrize(
    ("jaws", "says", "field"),
    [
        ({1: 0, 2: 0, 3: 0, 5: 0}, "There is no jaw 5", "jaw_5"),
        ({0: 0, 1: 0, 2: 0, 3: 0, 4: 0}, "There is no jaw 0", "jaw_0"),
        ({1: 0, 2: 0, 4: 0}, "Jaw 3 has no reading", "jaw_3"),
        ({1: 0, 2: -30_000_000, 3: 0, 4: 0}, "No dial shows -1.1811 in", "jaw_2"),
    ],
)
def test_jaws_that_cannot_be(jaws, says: str, field: str) -> None:
    with pytest.raises(TruingError, match=says) as caught:
        from_jaws(jaws, Unit.INCH)
    assert caught.value.field == field
