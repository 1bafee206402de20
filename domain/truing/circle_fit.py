"""The circle that best fits a set of points: geometric least squares."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from domain.truing.linear_solve import SingularError, inverse, normal_matrix, times

Point = tuple[float, float]

_STEPS = 500
_SETTLED = 1e-13
# A circle this many times wider than the spread of its points cannot be told from a straight line.
_STRAIGHT = 1e4


class CircleFitError(ValueError):
    """Points that fix no circle; its text is one sentence for the page."""


@dataclass(frozen=True)
class Circle:
    """Centre and radius in the units of the points; residuals are distance from the centre less radius."""

    x: float
    y: float
    radius: float
    residuals: tuple[float, ...]

    @property
    def out_of_round(self) -> float:
        """Largest residual less the smallest, in the units of the points."""
        return max(self.residuals) - min(self.residuals)


def fit_circle(points: Sequence[Point]) -> Circle:
    """The circle whose distances to the points, squared and summed, are least.

    Formula: minimise sum (|p_i - c| - r)^2 by damped Gauss-Newton steps (Levenberg) on the centre, with
    r = mean |p_i - c| at each centre, from the algebraic circle minimising sum (|p_i - c|^2 - r^2)^2.
    Parameters: `points`, three or more (x, y), any one unit, not on a straight line.
    Returns: centre, radius and residuals in that unit.
    Raises: CircleFitError for fewer than three points, a point that is no number, or points in a line.
    Source: Gander, Golub and Strebel, "Least-squares fitting of circles and ellipses", BIT 34 (1994).

    >>> circle = fit_circle([(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)])
    >>> round(circle.x, 5), round(circle.y, 5), round(circle.radius, 5)
    (4.73978, 2.98353, 4.71423)
    """
    if len(points) < 3:
        raise CircleFitError("A circle needs at least three points: measure more spots round it.")
    if not all(math.isfinite(value) for point in points for value in point):
        raise CircleFitError("A point has no size that can be reckoned with: type it again.")
    count = len(points)
    mid_x, mid_y = sum(x for x, _ in points) / count, sum(y for _, y in points) / count
    spread = math.sqrt(sum((x - mid_x) ** 2 + (y - mid_y) ** 2 for x, y in points) / count)
    if spread == 0:
        raise _straight()
    # Worked about the middle and in units of the spread, so that limits mean the same for any data.
    scaled = [((x - mid_x) / spread, (y - mid_y) / spread) for x, y in points]
    x, y = _settle(scaled, _algebraic(scaled))
    distances = [math.hypot(px - x, py - y) for px, py in scaled]
    radius = sum(distances) / count
    residuals = tuple((distance - radius) * spread for distance in distances)
    return Circle(mid_x + x * spread, mid_y + y * spread, radius * spread, residuals)


def _straight() -> CircleFitError:
    return CircleFitError("These points lie in a straight line, which fixes no circle: spread them round it.")


def _algebraic(points: Sequence[Point]) -> Point:
    """A start that needs no start itself: x^2 + y^2 = 2 x cx + 2 y cy + k is linear in its unknowns."""
    design = [(2 * x, 2 * y, 1.0) for x, y in points]
    right = [x * x + y * y for x, y in points]
    columns = list(zip(*design, strict=True))
    try:
        x, y, _ = times(inverse(normal_matrix(design)), times(columns, right))
    except SingularError:
        raise _straight() from None
    if math.hypot(x, y) > _STRAIGHT:
        raise _straight()
    return x, y


def _settle(points: Sequence[Point], centre: Point) -> Point:
    damping = 1e-3
    best = _misfit(points, centre)
    for _ in range(_STEPS):
        step = _step(points, centre, damping)
        tried = centre[0] + step[0], centre[1] + step[1]
        misfit = _misfit(points, tried)
        if misfit <= best:
            centre, best, damping = tried, misfit, damping / 10
        else:
            damping *= 10
        if math.hypot(*step) <= _SETTLED * (1 + math.hypot(*centre)):
            return centre
        if math.hypot(*centre) > _STRAIGHT:
            break
    # The best circle grows without end only where a straight line fits as well.
    raise _straight()


def _misfit(points: Sequence[Point], centre: Point) -> float:
    distances = [math.hypot(x - centre[0], y - centre[1]) for x, y in points]
    radius = sum(distances) / len(distances)
    return sum((distance - radius) ** 2 for distance in distances)


def _step(points: Sequence[Point], centre: Point, damping: float) -> Point:
    """One damped step of the centre; taking the means off lets the radius follow by itself."""
    distances = [math.hypot(x - centre[0], y - centre[1]) for x, y in points]
    radius = sum(distances) / len(distances)
    slopes = [
        ((centre[0] - x) / d, (centre[1] - y) / d) if d else (0.0, 0.0)
        for (x, y), d in zip(points, distances, strict=True)
    ]
    means = [sum(column) / len(points) for column in zip(*slopes, strict=True)]
    design = [[slope - mean for slope, mean in zip(row, means, strict=True)] for row in slopes]
    matrix = normal_matrix(design)
    for i in range(2):
        matrix[i][i] += damping * (matrix[0][0] + matrix[1][1]) / 2
    pull = times(list(zip(*design, strict=True)), [radius - distance for distance in distances])
    try:
        x, y = times(inverse(matrix), pull)
    except SingularError:
        raise _straight() from None
    return x, y
