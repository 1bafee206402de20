"""Pairings that were applied, and whether the latest can still be undone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import bindparam, select
from sqlmodel import Session, col

from domain.route.stages import Stage
from webapp.facts.places import Move, Place, place_of
from webapp.models import PairingMove, PairingRow
from webapp.records.views import BuildView

_ID: Any = bindparam("id")
_APPLIED = select(
    col(PairingRow.id),
    col(PairingRow.build_id),
    col(PairingRow.who),
    col(PairingRow.at),
    col(PairingRow.undone_by),
)
_LATEST = (
    _APPLIED.where(col(PairingRow.build_id) == _ID, col(PairingRow.undone_by) == "")
    .order_by(col(PairingRow.id).desc())
    .limit(1)
)
_ONE = _APPLIED.where(col(PairingRow.id) == _ID)
_MOVES = (
    select(
        col(PairingMove.casting_id),
        col(PairingMove.from_axle_id),
        col(PairingMove.from_side),
        col(PairingMove.to_axle_id),
        col(PairingMove.to_side),
    )
    .where(col(PairingMove.pairing_id) == _ID)
    .order_by(col(PairingMove.casting_id))
)


@dataclass(frozen=True, slots=True)
class Applied:
    """A pairing that was applied."""

    id: int
    build_id: int
    who: str
    at: datetime
    undone: bool
    moves: tuple[Move, ...]


def latest_pairing(session: Session, build: BuildView) -> Applied | None:
    """The pairing applied last and not undone."""
    row = session.connection().execute(_LATEST, {"id": build.id}).one_or_none()
    return None if row is None else _applied(session, build, row)


def applied_pairing(session: Session, build: BuildView, pairing_id: int) -> Applied | None:
    """The pairing with this id, if it is of this build."""
    row = session.connection().execute(_ONE, {"id": pairing_id}).one_or_none()
    return None if row is None or row.build_id != build.id else _applied(session, build, row)


def _applied(session: Session, build: BuildView, row: Any) -> Applied:
    castings = {casting.id: casting for casting in build.castings}
    moves = tuple(
        Move(castings[m.casting_id], _stored(m.from_axle_id, m.from_side), _stored(m.to_axle_id, m.to_side))
        for m in session.connection().execute(_MOVES, {"id": row.id})
    )
    return Applied(row.id, row.build_id, row.who, row.at, row.undone_by != "", moves)


def _stored(axle_id: int | None, side: str | None) -> Place:
    return None if axle_id is None or side is None else (axle_id, side)


def undo_objection(build: BuildView, applied: Applied) -> str:
    """Why a pairing cannot be undone any more, or an empty text."""
    moved = {move.casting.id for move in applied.moves}
    for move in applied.moves:
        casting = move.casting
        if casting.state == "scrapped":
            return f"The pairing cannot be undone: {casting.mark} was scrapped since."
        if casting.has(Stage.PRESSED):
            return f"The pairing cannot be undone: {casting.mark} was pressed since."
        if place_of(casting) != move.end:
            return f"The pairing cannot be undone: {casting.mark} was moved since."
        axle = build.axle(move.start[0]) if move.start else None
        if move.start and axle is None:
            return f"The pairing cannot be undone: the axle that {casting.mark} came from is no longer in the build."
        holder = axle.at(move.start[1]) if axle and move.start else None
        if holder is not None and holder.id not in moved:
            return f"The pairing cannot be undone: {holder.mark} has taken the place that {casting.mark} came from."
    return ""
