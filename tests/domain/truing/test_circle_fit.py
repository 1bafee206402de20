import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from domain.truing.circle_fit import CircleFitError, fit_circle

GANDER = [(1.0, 7.0), (2.0, 6.0), (5.0, 8.0), (7.0, 7.0), (9.0, 5.0), (3.0, 7.0)]


def test_the_published_data_of_gander_golub_and_strebel() -> None:
    # Gander, Golub, Strebel, "Least-squares fitting of circles and ellipses", BIT 34 (1994), section 5.
    circle = fit_circle(GANDER)
    assert (circle.x, circle.y, circle.radius) == pytest.approx((4.73978, 2.98353, 4.71423), abs=5e-6)
    # The same paper: the sum of squares at the minimum has the norm 1.1080.
    assert math.sqrt(sum(r * r for r in circle.residuals)) == pytest.approx(1.1080, abs=5e-5)


@pytest.mark.parametrize("seed", range(40))
def test_agrees_with_scipy(seed: int) -> None:
    rng = random.Random(seed)
    x0, y0, r0 = rng.uniform(-50, 50), rng.uniform(-50, 50), rng.uniform(5, 80)
    arc = rng.uniform(1.5, 2 * math.pi)
    points = []
    for _ in range(rng.randint(4, 30)):
        angle, r = rng.uniform(0, arc), r0 * (1 + rng.gauss(0, 0.01))
        points.append((x0 + r * math.cos(angle), y0 + r * math.sin(angle)))

    def misfit(c):
        return [math.hypot(x - c[0], y - c[1]) - c[2] for x, y in points]

    want = least_squares(misfit, (x0, y0, r0), xtol=1e-15, ftol=1e-15, gtol=1e-15)
    got = fit_circle(points)
    assert (got.x, got.y, got.radius) == pytest.approx(tuple(want.x), rel=1e-5, abs=1e-5 * r0)
    assert sum(r * r for r in got.residuals) <= 2 * want.cost * (1 + 1e-9)
    assert got.residuals == pytest.approx(misfit((got.x, got.y, got.radius)))


@given(
    x=st.floats(-1e3, 1e3),
    y=st.floats(-1e3, 1e3),
    radius=st.floats(0.1, 1e3),
    turn=st.floats(0, 6),
    n=st.integers(3, 12),
)
@settings(max_examples=60, deadline=None)
def test_points_on_a_circle_give_it_back(x: float, y: float, radius: float, turn: float, n: int) -> None:
    angles = [turn + 2 * math.pi * k / n for k in range(n)]
    circle = fit_circle([(x + radius * math.cos(t), y + radius * math.sin(t)) for t in angles])
    assert (circle.x, circle.y, circle.radius) == pytest.approx(
        (x, y, radius), abs=1e-7 * (1 + abs(x) + abs(y))
    )
    assert circle.out_of_round < 1e-7 * (1 + radius)


def test_the_spread_of_the_residuals_is_the_out_of_round() -> None:
    # An ellipse-like set: two spots 0.1 out, two 0.1 in, about the origin.
    circle = fit_circle([(10.1, 0), (0, 9.9), (-10.1, 0), (0, -9.9)])
    assert (circle.x, circle.y, circle.radius) == pytest.approx((0, 0, 10), abs=1e-9)
    assert circle.out_of_round == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("points", "says"),
    [
        ([(0, 0), (1, 1)], "at least three points"),
        ([(0, 0), (1, 1), (2, 2)], "straight line"),
        ([(1, 2)] * 5, "straight line"),
        ([(float(k), 3.0 * k + 1) for k in range(9)], "straight line"),
        ([(1e6 + k, 5.0) for k in range(4)], "straight line"),
        ([(0, 0), (1, math.nan), (2, 1)], "type it again"),
    ],
)
def test_what_fixes_no_circle_is_said(points, says: str) -> None:
    with pytest.raises(CircleFitError, match=says):
        fit_circle(points)
