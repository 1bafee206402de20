"""Wheels taken back to be re-turned after service: what each lost then, and what was measured of it in every life."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from sqlalchemy import bindparam, or_, select
from sqlmodel import Session, col

from webapp.models import Measurement, TakenBack, TakenBackTick
from webapp.records.measured import STANDS
from webapp.records.rows import rows_of
from webapp.records.views import Again, Measured, Stamp
from webapp.typed.tyre import WORN

_ID: Any = bindparam("id")
# What ends with a life; the width of a tyre, its bore and its crank stay.
OF_A_LIFE = ("tread", "over_flange", "flange_thickness", "flange_at", "flange_height", "root_radius")
BACKS = ("back_to_back", "worn_back")
_TAKEN: Any = (
    select(
        col(TakenBack.id),
        col(TakenBack.out_on),
        col(TakenBack.service),
        col(TakenBack.nm),
        col(TakenBack.measured_to_id),
        col(TakenBack.who),
        col(TakenBack.at),
        col(TakenBackTick.casting_id),
        col(TakenBackTick.key),
        col(TakenBackTick.who).label("ticked_by"),
        col(TakenBackTick.at).label("ticked_at"),
        col(TakenBackTick.let_pass),
        col(TakenBackTick.reason),
        col(TakenBackTick.device_at),
    )
    .join(TakenBackTick, col(TakenBackTick.taken_back_id) == col(TakenBack.id))
    .where(col(TakenBack.build_id) == _ID)
    .order_by(col(TakenBack.id))
)
_MEASURED = (
    select(
        col(Measurement.id),
        col(Measurement.casting_id),
        col(Measurement.axle_id),
        col(Measurement.kind),
        col(Measurement.value),
        col(Measurement.at),
    )
    .where(
        col(Measurement.build_id) == _ID,
        STANDS,
        col(Measurement.receipt_id).is_(None),
        or_(*(col(Measurement.kind) == kind for kind in (*OF_A_LIFE, *WORN, *BACKS))),
    )
    .order_by(col(Measurement.id))
)


@dataclass(frozen=True, slots=True)
class TakenBackView:
    """One time that wheels were taken back: when, by whom, to what diameter, and what each was ticked until then."""

    id: int
    out_on: str
    service: str
    nm: int
    measured_to: int
    who: str
    at: datetime
    ticks: Mapping[int, Mapping[str, Stamp]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class LifeSize:
    """One size of one life: of a casting or of an axle."""

    id: int
    casting_id: int | None
    axle_id: int | None
    kind: str
    nm: int
    at: datetime


def taken_back_of(session: Session, build_id: int) -> tuple[TakenBackView, ...]:
    """Every time that wheels of a build were taken back and stayed so, the first one first."""
    ticks: defaultdict[int, defaultdict[int, dict[str, Stamp]]] = defaultdict(lambda: defaultdict(dict))
    heads: dict[int, TakenBackView] = {}
    for row in rows_of(session, _TAKEN, build_id):
        heads[row.id] = TakenBackView(*row[:7])
        stamp = Stamp(row.ticked_by, row.ticked_at, row.let_pass, row.reason, row.device_at)
        ticks[row.id][row.casting_id][row.key] = stamp
    return tuple(replace(one, ticks=ticks[own]) for own, one in heads.items())


def sizes_of_lives(session: Session, build_id: int) -> tuple[LifeSize, ...]:
    """Of every life what stands of the tyres and the back to back of a build, the first one first."""
    return tuple(LifeSize(*row) for row in rows_of(session, _MEASURED, build_id))


def again_of(found: tuple[TakenBackView, ...]) -> dict[int, Again]:
    """The last time each wheel was taken back, by its casting."""
    return {own: Again(one.id, one.nm, one.measured_to, one.at) for one in found for own in one.ticks}


def of_this_life(
    sizes: Mapping[str, Measured], again: Again
) -> tuple[dict[str, Measured], dict[str, Measured]]:
    """The sizes that count since a wheel was taken back, and how worn it was then."""
    ended = {key for key, one in sizes.items() if key in (*OF_A_LIFE, *WORN) and one.id <= again.measured_to}
    return (
        {key: one for key, one in sizes.items() if key not in ended},
        {key: sizes[key] for key in WORN if key in ended},
    )
