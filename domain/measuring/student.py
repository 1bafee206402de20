"""Student's t: how much wider than its own scatter says the mean of few readings must be taken, and its chances."""

import math
import tomllib
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def student_table() -> dict[str, Any]:
    """The table of Student's t, read once, with its source.

    >>> student_table()["t"][0]
    12.706
    """
    return tomllib.loads(files("domain").joinpath("tables", "student.toml").read_text(encoding="utf-8"))


def student_t(count: int) -> float:
    """Student's t of a mean of so many readings, 95 % both ways.

    Formula: the 0.975 quantile at count - 1 degrees of freedom; beyond the table its last row, on the safe side.
    Parameters: `count`, 2 or more.
    Raises: ValueError for fewer than two readings, which show no scatter.
    Source: JCGM 100:2008 (GUM), table G.2.

    >>> student_t(2), student_t(3), student_t(5000)
    (12.706, 4.303, 2.042)
    """
    if count < 2:
        raise ValueError("One reading shows no scatter: take at least two.")
    quantiles = student_table()["t"]
    return float(quantiles[min(count - 1, len(quantiles)) - 1])


def student_chance(t: float, degrees: int) -> float:
    """The chance that Student's t lies between -t and t; for a t below 0 it is below 0 as well.

    Formula: with tan a = t / sqrt(degrees): sin a (1 + 1/2 cos^2 a + 1/2 3/4 cos^4 a + ...) for even degrees,
    2/pi (a + sin a (cos a + 2/3 cos^3 a + 2/3 4/5 cos^5 a + ...)) for odd ones, each with degrees // 2 terms.
    Parameters: `degrees` of freedom, 1 or more.
    Raises: ValueError for fewer.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4.

    >>> round(student_chance(2.776, 4), 4), round(student_chance(12.706, 1), 4)
    (0.95, 0.95)
    """
    if degrees < 1:
        raise ValueError("Student's t has one degree of freedom or more.")
    return _chance_at(math.atan2(t, math.sqrt(degrees)), degrees)


def student_within(chance: float, degrees: int) -> float:
    """The t that Student's t stays within, on both sides of nothing, with a wanted chance.

    Formula: student_chance turned round, by halving.
    Parameters: `chance`, above 0 and below 1; `degrees` of freedom, 1 or more.
    Raises: ValueError outside these.

    >>> round(student_within(0.95, 4), 3)
    2.776
    """
    if not (0 < chance < 1 and degrees >= 1):
        raise ValueError(
            "A chance is above 0 and below 1, and Student's t has one degree of freedom or more."
        )
    low, high = 0.0, math.pi / 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _chance_at(middle, degrees) < chance else (low, middle)
    return math.tan(low) * math.sqrt(degrees)


def _chance_at(angle: float, degrees: int) -> float:
    sine, cosine, odd = math.sin(angle), math.cos(angle), degrees % 2
    term, total = cosine if odd else 1.0, 0.0
    for k in range(degrees // 2):
        total += term
        term *= cosine * cosine * (2 * k + 1 + odd) / (2 * k + 2 + odd)
    return 2 / math.pi * (angle + sine * total) if odd else sine * total
