"""Reading the heights of crankpins in vee blocks, and the figures of the rods."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Executable, bindparam, select
from sqlalchemy.orm import aliased
from sqlmodel import Session, col

from domain.lengths import Length
from webapp.models import Casting, QuarterHeights, RodFigure

_ID: Any = bindparam("id")
_left, _right = aliased(Casting), aliased(Casting)
# Heights belong to the pair of castings that was on the axle: with another in a place they count for nothing.
_HEIGHTS = (
    select(QuarterHeights)
    .join(_left, col(_left.id) == col(QuarterHeights.left_casting_id))
    .join(_right, col(_right.id) == col(QuarterHeights.right_casting_id))
    .where(
        col(QuarterHeights.build_id) == _ID,
        col(_left.axle_id) == col(QuarterHeights.axle_id),
        col(_left.side) == "left",
        col(_right.axle_id) == col(QuarterHeights.axle_id),
        col(_right.side) == "right",
    )
    .order_by(col(QuarterHeights.id))
)
_RODS = select(
    col(RodFigure.axle_id), col(RodFigure.side), col(RodFigure.key), col(RodFigure.nm), col(RodFigure.text)
).where(col(RodFigure.build_id) == _ID)


@dataclass(frozen=True, slots=True)
class PinHeight:
    """One crankpin's height, and on which side of the axle it stood."""

    height: Length
    branch: str


@dataclass(frozen=True, slots=True)
class HeightsView:
    """An axle's heights as they last were for the wheels now on it."""

    id: int
    axle_id: int
    centre: Length
    left: PinHeight
    right: PinHeight
    inside: PinHeight | None
    inside_throw: Length | None
    expanded_nm: int | None
    instrument_id: int | None
    who: str
    at: datetime


def _rows(session: Session, statement: Executable, row_id: int) -> Sequence[Any]:
    return session.execute(statement, {"id": row_id}).all()


def heights_of(session: Session, build_id: int) -> dict[int, HeightsView]:
    """The present heights by axle; the last written stands."""
    found = {}
    for (row,) in _rows(session, _HEIGHTS, build_id):
        found[row.axle_id] = _view(row)
    return found


def _view(row: QuarterHeights) -> HeightsView:
    assert row.id is not None  # a stored row has an id
    inside = None
    if row.inside_nm is not None and row.inside_branch is not None:
        inside = PinHeight(Length(row.inside_nm, row.inside_text), row.inside_branch)
    throw = None if row.inside_throw_nm is None else Length(row.inside_throw_nm, row.inside_throw_text)
    return HeightsView(
        row.id,
        row.axle_id,
        Length(row.centre_nm, row.centre_text),
        PinHeight(Length(row.left_nm, row.left_text), row.left_branch),
        PinHeight(Length(row.right_nm, row.right_text), row.right_branch),
        inside,
        throw,
        row.expanded_nm,
        row.instrument_id,
        row.who,
        row.at,
    )


def rod_figures(session: Session, build_id: int) -> Mapping[tuple[int, str, str], Length]:
    """Each figure of the rods by the axle in front, the side and the key."""
    return {
        (axle, side, key): Length(nm, text) for axle, side, key, nm, text in _rows(session, _RODS, build_id)
    }
