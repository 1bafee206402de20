"""Whether holes find room in a weight: how many fit side by side and in rows, and how much of it may be drilled."""

from __future__ import annotations

import math
from typing import Final

from domain.balance.weight import Hole, Segment
from domain.lengths import NM_PER_MM

# Above this share of the weight's volume drilling is no correction any more: common practice, no source.
MOST_DRILLED: Final = 0.5
PITCH: Final = (
    1.5  # from row to row in diameters, half a diameter of iron between: common practice, no source
)


def holes_in_a_row(segment: Segment, hole: Hole) -> int:
    """How many such holes fit side by side in one row along the chord, half a diameter of iron between and at the ends.

    Formula: n d + (n + 1) d / 2 <= 2 sqrt(R^2 - (b + d/2)^2)
    Parameters: `segment`, `hole`, nm.
    Returns: a count.
    Source: geometry; the iron left between is common practice, no source.

    >>> holes_in_a_row(Segment(45_000_000, 18_000_000, 8_000_000), Hole(6_000_000, 8_000_000, 30_000_000))
    6
    """
    top = hole.distance_nm + hole.diameter_nm / 2.0
    if top >= segment.outer_nm:
        return 0
    wide = 2.0 * math.sqrt(segment.outer_nm**2 - top**2)
    return max(0, math.floor((wide - hole.diameter_nm / 2.0) / (1.5 * hole.diameter_nm)))


def holes_in_rows(segment: Segment, hole: Hole, enough: int) -> int:
    """How many such holes fit in rows whose mean distance from the axle is still the hole's own.

    Formula: n(b) + 2 sum n(b + 1.5 k d), k = 1, 2, ...: to every row beyond b belongs one of as many holes as far
    short of b, which is the wider place, as long as b - 1.5 k d - d >= h
    Parameters: `segment`, `hole`, nm; `enough`, the count from which on no more are looked for, 1 or more.
    Returns: a count; once it is `enough` or more there may be room for more still.
    Source: geometry; the iron left between is common practice, no source.

    >>> shape, hole = Segment(45_000_000, 18_000_000, 8_000_000), Hole(3_000_000, 8_000_000, 30_000_000)
    >>> holes_in_a_row(shape, hole), holes_in_rows(shape, hole, 100)
    (13, 51)
    """
    total, row = holes_in_a_row(segment, hole), 1
    while 0 < total < enough:
        away = round(PITCH * row * hole.diameter_nm)
        beyond = holes_in_a_row(segment, Hole(hole.diameter_nm, hole.depth_nm, hole.distance_nm + away))
        if beyond == 0 or hole.distance_nm - away - hole.diameter_nm < segment.chord_nm:
            break
        total += 2 * beyond
        row += 1
    return total


def drilled_share(holes: int, hole: Hole, segment_mm3: float) -> float:
    """What share of a weight's volume so many holes take out.

    Formula: n (pi / 4) d^2 depth / volume
    Parameters: `holes`, a count; `hole`, nm; `segment_mm3`, what of the weight is there for balance, above 0.
    Returns: a share, above 1 for more than there is.
    Source: volume of a cylinder.

    >>> round(drilled_share(10, Hole(6_000_000, 8_000_000, 30_000_000), 4523.9), 3)
    0.5
    """
    volume = math.pi / 4.0 * (hole.diameter_nm / NM_PER_MM) ** 2 * hole.depth_nm / NM_PER_MM
    return holes * volume / segment_mm3
