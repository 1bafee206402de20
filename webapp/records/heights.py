"""Reading the heights of crankpins in vee blocks, and the figures of the rods."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import bindparam, select
from sqlmodel import Session, col

from domain.lengths import Length
from webapp.models import RodFigure
from webapp.records.measured import Stored, present_of_pairs
from webapp.records.rows import rows_of

_ID: Any = bindparam("id")
# One set-up in the vee blocks: its readings are placed by what was measured, and the pins by the side they stood on.
PIN_HEIGHTS = "pin_heights"
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


def heights_of(session: Session, build_id: int) -> dict[int, HeightsView]:
    """The present heights by axle; the last written stands."""
    return {
        stored.row.axle_id: _view(stored)
        for stored in present_of_pairs(session, build_id)
        if stored.row.kind == PIN_HEIGHTS
    }


def _view(stored: Stored) -> HeightsView:
    row = stored.row
    at = {one.place: Length(one.read, one.text) for one in stored.readings}
    pins = {one.place: PinHeight(at[one.place], one.direction) for one in stored.readings if one.direction}
    return HeightsView(
        row.id,
        row.axle_id,
        at["centre"],
        pins["left"],
        pins["right"],
        pins.get("inside"),
        at.get("inside_throw"),
        row.expanded,
        row.instrument_id,
        row.who,
        row.at,
    )


def rod_figures(session: Session, build_id: int) -> Mapping[tuple[int, str, str], Length]:
    """Each figure of the rods by the axle in front, the side and the key."""
    return {
        (axle, side, key): Length(nm, text) for axle, side, key, nm, text in rows_of(session, _RODS, build_id)
    }
