"""Reading a whole build, in a number of queries that does not grow with its castings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import Row
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from domain.length import Length, Unit
from domain.stages import Route, Stage
from webapp.models import Axle, Build, Casting, Dimension, Measurement, Quartering, Reading, Tick
from webapp.queries.views import AxleView, BuildView, CastingView, Measured, Stamp


def load_build(session: Session, build_id: int) -> BuildView | None:
    """The build with this id and all that belongs to it."""
    build = session.get(Build, build_id)
    if build is None:
        return None
    measured = current_measurements(session, build_id)
    quarterings = _quarterings(session, build_id)
    castings = _castings(session, build_id, measured)
    axles = _axles(session, build_id, castings, measured, quarterings)
    quartered = {c.id: a.quartered for a in axles if a.quartered for c in a.wheels}
    whole = [_with_quartering(c, quartered.get(c.id)) for c in castings]
    by_id = {c.id: c for c in whole}
    return BuildView(
        id=build_id,
        name=build.name,
        standard=build.standard,
        unit=Unit(build.unit),
        quarter_angle_udeg=build.quarter_angle_udeg,
        lead=build.lead,
        fit=build.fit,
        route=Route(build.route),
        iron=build.iron,
        invented=build.invented,
        version=build.version,
        dimensions=_dimensions(session, build_id),
        axles=tuple(replace(a, left=_same(by_id, a.left), right=_same(by_id, a.right)) for a in axles),
        castings=tuple(whole),
    )


def _same(by_id: Mapping[int, CastingView], casting: CastingView | None) -> CastingView | None:
    return None if casting is None else by_id[casting.id]


def _with_quartering(casting: CastingView, stamp: Stamp | None) -> CastingView:
    if stamp is None:
        return casting
    return replace(casting, ticks={**casting.ticks, Stage.QUARTERED.value: stamp})


def _dimensions(session: Session, build_id: int) -> dict[str, Length]:
    rows = session.exec(
        select(Dimension.key, Dimension.nm, Dimension.text).where(Dimension.build_id == build_id)
    )
    return {key: Length(nm, text) for key, nm, text in rows}


def _castings(session: Session, build_id: int, measured: Iterable[_Current]) -> list[CastingView]:
    ticks: defaultdict[int, dict[str, Stamp]] = defaultdict(dict)
    tick_rows = session.exec(
        select(Tick.casting_id, Tick.key, Tick.who, Tick.at)
        .join(Casting, col(Casting.id) == Tick.casting_id)
        .where(Casting.build_id == build_id)
    )
    for casting_id, key, who, at in tick_rows:
        ticks[casting_id][key] = Stamp(who, at)
    of_casting = {(m.casting_id, m.measured.kind): m.measured for m in measured}
    table = Casting.__table__  # type: ignore[attr-defined]  # SQLModel adds it when the class is made
    rows: Iterable[Row[tuple[object, ...]]] = session.connection().execute(
        table.select().where(table.c.build_id == build_id).order_by(table.c.id)
    )
    return [
        CastingView(
            **row._mapping,
            ticks=ticks[row.id],
            bore=of_casting.get((row.id, "bore")),
            throw=of_casting.get((row.id, "throw")),
        )
        for row in rows
    ]


def _quarterings(session: Session, build_id: int) -> dict[tuple[int, int, int], Stamp]:
    rows = session.exec(
        select(Quartering).join(Axle, col(Axle.id) == Quartering.axle_id).where(Axle.build_id == build_id)
    )
    return {(q.axle_id, q.left_casting_id, q.right_casting_id): Stamp(q.who, q.at) for q in rows}


def _axles(
    session: Session,
    build_id: int,
    castings: list[CastingView],
    measured: Iterable[_Current],
    quarterings: Mapping[tuple[int, int, int], Stamp],
) -> list[AxleView]:
    at = {(c.axle_id, c.side): c for c in castings if c.axle_id is not None}
    seats: defaultdict[int, dict[str, Measured]] = defaultdict(dict)
    for m in measured:
        if m.axle_id is not None and m.side is not None:
            seats[m.axle_id][m.side] = m.measured
    rows = session.exec(
        select(Axle.id, Axle.number, Axle.coupled, Axle.version)
        .where(Axle.build_id == build_id)
        .order_by(col(Axle.number))
    )
    views = []
    for axle_id, number, coupled, version in rows:
        assert axle_id is not None  # a stored row has an id
        left, right = at.get((axle_id, "left")), at.get((axle_id, "right"))
        pair = (axle_id, left.id, right.id) if left and right else None
        views.append(
            AxleView(
                axle_id,
                number,
                coupled,
                version,
                left,
                right,
                dict(seats[axle_id]),
                quarterings.get(pair) if pair and coupled else None,
            )
        )
    return views


@dataclass(frozen=True, slots=True)
class _Current:
    """A measurement that nothing supersedes, and what it belongs to."""

    casting_id: int | None
    axle_id: int | None
    side: str | None
    measured: Measured


def current_measurements(session: Session, build_id: int) -> list[_Current]:
    """The build's measurements that stand, with their readings."""
    later = aliased(Measurement)
    rows = list(
        session.exec(
            select(Measurement)
            .outerjoin(later, col(later.supersedes_id) == Measurement.id)
            .where(Measurement.build_id == build_id, col(later.id).is_(None))
            .order_by(col(Measurement.id))
        )
    )
    readings = readings_of(session, build_id)
    return [_Current(m.casting_id, m.axle_id, m.side, as_measured(m, readings)) for m in rows]


def readings_of(session: Session, build_id: int) -> dict[int, tuple[Length, ...]]:
    """Every reading of a build by its measurement, in the order taken."""
    found: defaultdict[int, list[Length]] = defaultdict(list)
    rows = session.exec(
        select(Reading.measurement_id, Reading.nm, Reading.text)
        .join(Measurement, col(Measurement.id) == Reading.measurement_id)
        .where(Measurement.build_id == build_id)
        .order_by(col(Reading.measurement_id), col(Reading.ordinal))
    )
    for measurement_id, nm, text in rows:
        found[measurement_id].append(Length(nm, text))
    return {key: tuple(value) for key, value in found.items()}


def as_measured(row: Measurement, readings: Mapping[int, tuple[Length, ...]]) -> Measured:
    """A stored measurement as pages see it."""
    assert row.id is not None  # a stored row has an id
    return Measured(
        row.id,
        row.kind,
        row.mean_nm,
        readings.get(row.id, ()),
        row.instrument,
        row.who,
        row.at,
        row.supersedes_id,
    )


@dataclass(frozen=True, slots=True)
class BuildLine:
    """A build in the list of builds."""

    id: int
    name: str
    invented: bool
    created_at: datetime


def list_builds(session: Session) -> list[BuildLine]:
    """Every build, newest first."""
    rows = session.exec(
        select(Build.id, Build.name, Build.invented, Build.created_at).order_by(col(Build.id).desc())
    )
    return [BuildLine(i, name, invented, at) for i, name, invented, at in rows if i is not None]


def build_of_casting(session: Session, casting_id: int) -> int | None:
    """The build a casting belongs to."""
    return session.exec(select(Casting.build_id).where(Casting.id == casting_id)).first()


def build_of_axle(session: Session, axle_id: int) -> int | None:
    """The build an axle belongs to."""
    return session.exec(select(Axle.build_id).where(Axle.id == axle_id)).first()
