"""Several readings of one bore, boiled down."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class ReadingSummary:
    """How many readings, their mean, the least, the most, and most less least; lengths in nm."""

    count: int
    mean_nm: int
    least_nm: int
    most_nm: int
    spread_nm: int


def summarise(readings_nm: Sequence[int]) -> ReadingSummary:
    """Mean and spread of the readings of one bore.

    Formula: mean = sum / count, to the nearest nanometre (a half goes up); spread = most - least
    readings_nm: one or more readings, nm.
    Returns: count and lengths, nm.
    Raises: ValueError when there is no reading.
    Source: arithmetic mean and range, by definition.

    >>> summarise([19_050_000, 19_056_000, 19_053_000])
    ReadingSummary(count=3, mean_nm=19053000, least_nm=19050000, most_nm=19056000, spread_nm=6000)
    """
    count = len(readings_nm)
    if count == 0:
        raise ValueError("There is no reading yet; type at least one, such as 19.05 mm.")
    # Whole-number sums: a float mean of large nanometre counts could be a nanometre off.
    mean_nm = (2 * sum(readings_nm) + count) // (2 * count)
    least_nm, most_nm = min(readings_nm), max(readings_nm)
    return ReadingSummary(count, mean_nm, least_nm, most_nm, most_nm - least_nm)
