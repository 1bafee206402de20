"""Student's t: how much wider than its own scatter says the mean of few readings must be taken."""

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
