"""The picture of how sure each number of castings makes it: a column for each, and the line of what is wanted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from domain.ordering.advice import OrderRow
from domain.ordering.words import per_cent, wanted_words

WIDTH: Final = 640.0
HEIGHT: Final = 314.0
LEFT: Final = 64.0
RIGHT: Final = 124.0
TOP: Final = 12.0
FOOT: Final = 216.0
_SHARE_OF_ROOM = 0.62  # of a column's room that the column itself takes


@dataclass(frozen=True)
class Column:
    """One number of castings: its column, and where the words about it stand."""

    number: int
    x: float
    y: float
    width: float
    height: float
    middle: float
    chance: str
    enough: bool
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Level:
    """A level across the picture, with its words at the left end."""

    y: float
    words: str


@dataclass(frozen=True)
class ChancesPicture:
    """Everything the template needs; every number is final."""

    width: float
    view_box: str
    left: float
    right: float
    foot: float
    columns: tuple[Column, ...]
    levels: tuple[Level, ...]
    wanted: Level
    description: str


def chances_picture(
    rows: Sequence[OrderRow], wanted: float, advised: int, in_hand: int | None = None
) -> ChancesPicture:
    """Lay out the columns; `wanted` is a chance from 0 to 1, `in_hand` the castings there are, if that is known."""
    room = (WIDTH - LEFT - RIGHT) / max(1, len(rows))
    columns = tuple(_column(index, room, row, advised, in_hand) for index, row in enumerate(rows))
    levels = tuple(Level(_height_of(share), f"{share * 100:.0f} %") for share in (0.0, 0.5, 1.0))
    said = "; ".join(f"{column.number} castings {column.chance}" for column in columns)
    return ChancesPicture(
        width=WIDTH,
        view_box=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        left=LEFT,
        right=WIDTH - RIGHT,
        foot=FOOT,
        columns=columns,
        levels=levels,
        wanted=Level(_height_of(wanted), f"wanted {wanted_words(wanted)}"),
        description=f"The chance that enough come good: {said}; wanted {wanted_words(wanted)}.",
    )


def _height_of(chance: float) -> float:
    return round(FOOT - chance * (FOOT - TOP), 2)


def _column(index: int, room: float, row: OrderRow, advised: int, in_hand: int | None) -> Column:
    left = LEFT + room * index
    width = room * _SHARE_OF_ROOM
    y = _height_of(row.chance)
    notes = (["enough"] if row.ordered == advised else []) + (["in hand"] if row.ordered == in_hand else [])
    return Column(
        number=row.ordered,
        x=round(left + (room - width) / 2, 2),
        y=y,
        width=round(width, 2),
        height=round(FOOT - y, 2),
        middle=round(left + room / 2, 2),
        chance=per_cent(row.chance),
        enough=row.enough,
        notes=tuple(notes),
    )
