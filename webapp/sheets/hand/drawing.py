"""The picture of a hand: what is wanted, a dot for each that was made, and where nine of ten next ones come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from domain.hand.spread import next_range
from domain.hand.words import Made
from domain.lengths import Unit, shown_small

WIDTH: Final = 640.0
AXIS: Final = 58.0  # where the line of departures is, and what is wanted about it
_SIDE = 60.0
_DOT = 13.0  # from dot to dot where several came out alike
_MOST_HIGH = 4  # dots above one another; those beyond lie on the highest
_LEAST_WIDE = 3.0
_WORD = 48.0  # from the middle to that of a label, at least
SHARE: Final = 0.9


@dataclass(frozen=True)
class Dot:
    """One that was made."""

    x: float
    y: float
    good: bool


@dataclass(frozen=True)
class HandPicture:
    """Everything the template needs; every number is final."""

    left: float
    right: float
    middle: float
    low_at: float
    high_at: float
    low_words: str
    high_words: str
    dots: tuple[Dot, ...]
    next_left: float
    next_right: float
    description: str

    @property
    def width(self) -> float:
        """How wide what is wanted is drawn."""
        return round(self.right - self.left, 1)


def hand_picture(made: Made, good: Sequence[bool], unit: Unit, said: str) -> HandPicture | None:
    """Lay out the departures about the middle; None where too few were made, or nothing is wanted of the next one."""
    if made.hand is None or made.half_nm is None:
        return None
    ends = next_range(made.hand, SHARE)
    reach = max(made.half_nm, *(abs(nm) for nm in (*ends, *made.departures_nm)))
    scale = (WIDTH / 2 - _SIDE) / reach

    def place(nm: float) -> float:
        return round(WIDTH / 2 + nm * scale, 1)

    wide = max(made.half_nm * scale, _LEAST_WIDE / 2)
    # So that none hides another: those of one place stand above one another.
    heights: dict[int, int] = {}
    dots = []
    for nm, came_good in sorted(zip(made.departures_nm, good, strict=True)):
        column = round(place(nm) / _DOT)
        level = min(heights.get(column, 0), _MOST_HIGH - 1)
        heights[column] = level + 1
        dots.append(Dot(place(nm), AXIS - level * _DOT, came_good))
    return HandPicture(
        left=round(WIDTH / 2 - wide, 1),
        right=round(WIDTH / 2 + wide, 1),
        middle=WIDTH / 2,
        low_at=round(WIDTH / 2 - max(wide, _WORD), 1),
        high_at=round(WIDTH / 2 + max(wide, _WORD), 1),
        low_words=shown_small(-round(made.half_nm), unit),
        high_words=shown_small(round(made.half_nm), unit),
        dots=tuple(dots),
        next_left=place(ends[0]),
        next_right=place(ends[1]),
        description=said,
    )
