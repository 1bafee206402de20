"""Reading a whole build, in a number of queries that does not grow with its castings.

The statements are put together once, as the program starts: that takes SQLAlchemy several times as long as
SQLite takes to answer.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Executable, bindparam, select
from sqlalchemy.orm import aliased
from sqlmodel import Session, col

from domain.lengths import Length, Unit
from domain.route.stages import Route, Stage
from webapp.db import hand_on, held
from webapp.models import (
    Axle,
    Build,
    Casting,
    DimensionRow,
    JointFigure,
    Quartering,
    Tick,
    WorkFigure,
)
from webapp.records.assembly import items_of
from webapp.records.heights import heights_of, rod_figures
from webapp.records.journal import newest_time
from webapp.records.outcome import NotThere
from webapp.records.read_sizes import Known, read_known
from webapp.records.rows import rows_of
from webapp.records.views import SIDES, AxleView, BuildView, CastingView, Stamp
from webapp.records.workshop import list_drills, list_instruments, list_reamers

_ID: Any = bindparam("id")

_BUILD = select(
    col(Build.name),
    col(Build.standard),
    col(Build.unit),
    col(Build.quarter_angle_udeg),
    col(Build.lead),
    col(Build.fit),
    col(Build.route),
    col(Build.iron),
    col(Build.paint_first),
    col(Build.invented),
    col(Build.version),
).where(col(Build.id) == _ID)

_DIMENSIONS = select(col(DimensionRow.key), col(DimensionRow.nm), col(DimensionRow.text)).where(
    col(DimensionRow.build_id) == _ID
)

_AXLES = (
    select(col(Axle.id), col(Axle.number), col(Axle.coupled), col(Axle.version), col(Axle.centred))
    .where(col(Axle.build_id) == _ID)
    .order_by(col(Axle.number))
)

# Named as CastingView names them.
_CASTINGS = (
    select(
        col(Casting.id),
        col(Casting.build_id),
        col(Casting.mark),
        col(Casting.state),
        col(Casting.axle_id),
        col(Casting.side),
        col(Casting.version),
        col(Casting.scrap_reason),
        col(Casting.scrapped_from_axle_id),
        col(Casting.scrapped_from_side),
    )
    .where(col(Casting.build_id) == _ID)
    .order_by(col(Casting.id))
)

_TICKS = (
    select(
        col(Tick.casting_id),
        col(Tick.key),
        col(Tick.who),
        col(Tick.at),
        col(Tick.let_pass),
        col(Tick.reason),
        col(Tick.device_at),
    )
    .join(Casting, col(Casting.id) == col(Tick.casting_id))
    .where(col(Casting.build_id) == _ID)
)

# An axle is quartered with just the two castings that were on it: with another in a place it is not.
_left, _right = aliased(Casting), aliased(Casting)
_QUARTERED = (
    select(
        col(Quartering.axle_id),
        col(Quartering.who),
        col(Quartering.at),
        col(Quartering.let_pass),
        col(Quartering.reason),
    )
    .join(Axle, col(Axle.id) == col(Quartering.axle_id))
    .join(_left, col(_left.id) == col(Quartering.left_casting_id))
    .join(_right, col(_right.id) == col(Quartering.right_casting_id))
    .where(
        col(Axle.build_id) == _ID,
        col(Axle.coupled),
        col(_left.axle_id) == col(Axle.id),
        col(_left.side) == "left",
        col(_right.axle_id) == col(Axle.id),
        col(_right.side) == "right",
    )
)

_EVERY_BUILD = select(col(Build.id)).order_by(col(Build.id))

_JOINT_FIGURES = select(col(JointFigure.key), col(JointFigure.text)).where(col(JointFigure.build_id) == _ID)

_WORK_FIGURES = select(col(WorkFigure.key), col(WorkFigure.text)).where(col(WorkFigure.build_id) == _ID)

# Which builds castings and axles belong to, held by these.
_CASTINGS_BUILDS, _AXLES_BUILDS = "castings' builds", "axles' builds"
_BUILD_OF_CASTING = select(col(Casting.build_id)).where(col(Casting.id) == _ID)
_BUILD_OF_AXLE = select(col(Axle.build_id)).where(col(Axle.id) == _ID)


def load_build(session: Session, build_id: int) -> BuildView | None:
    """The build with this id and all that belongs to it, read once for each state of the file, with its facts.

    What was added in this session and not flushed is not in it.
    """
    return held(session, ("build", build_id), lambda: _load(session, build_id))


def every_build(session: Session) -> tuple[BuildView, ...]:
    """Every build of the file, the first one first."""
    owns: Sequence[Any] = session.connection().execute(_EVERY_BUILD).all()
    return tuple(find_build(session, own) for (own,) in owns)


def _load(session: Session, build_id: int) -> BuildView | None:
    rows = rows_of(session, _BUILD, build_id)
    if not rows:
        return None
    build = rows[0]
    tools = list_instruments(session)
    quartered = {axle: Stamp(*stamp) for axle, *stamp in rows_of(session, _QUARTERED, build_id)}
    known = read_known(session, build_id)
    castings = _castings(session, build_id, quartered, known)
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
        paint_first=build.paint_first,
        invented=build.invented,
        version=build.version,
        dimensions={key: Length(nm, text) for key, nm, text in rows_of(session, _DIMENSIONS, build_id)},
        axles=_axles(session, build_id, castings, quartered, known),
        castings=castings,
        instruments={row.id: row.instrument for row in tools},
        retired=frozenset(row.id for row in tools if row.retired),
        reamers=list_reamers(session),
        drills=list_drills(session),
        joint_texts={row.key: row.text for row in rows_of(session, _JOINT_FIGURES, build_id)},
        rods=rod_figures(session, build_id),
        newest=newest_time(session),
        work_texts={row.key: row.text for row in rows_of(session, _WORK_FIGURES, build_id)},
    )


def _castings(
    session: Session, build_id: int, quartered: Mapping[int, Stamp], known: Known
) -> tuple[CastingView, ...]:
    ticks: defaultdict[int, dict[str, Stamp]] = defaultdict(dict)
    for casting_id, key, *stamp in rows_of(session, _TICKS, build_id):
        ticks[casting_id][key] = Stamp(*stamp)
    rows = rows_of(session, _CASTINGS, build_id)
    for row in rows:
        if row.axle_id in quartered:
            ticks[row.id][Stage.QUARTERED.value] = quartered[row.axle_id]
    return tuple(
        CastingView(
            **row._mapping,
            ticks=ticks[row.id],
            bore=known.of_casting[row.id].pop("bore", None),
            throw=known.of_casting[row.id].pop("throw", None),
            sizes=known.of_casting[row.id],
            receipt=known.receipts.get(row.id),
        )
        for row in rows
    )


def _axles(
    session: Session,
    build_id: int,
    castings: Iterable[CastingView],
    quartered: Mapping[int, Stamp],
    known: Known,
) -> tuple[AxleView, ...]:
    at = {(c.axle_id, c.side): c for c in castings}
    heights, items = heights_of(session, build_id), items_of(session, build_id)
    return tuple(
        AxleView(
            axle_id,
            number,
            coupled,
            version,
            at.get((axle_id, "left")),
            at.get((axle_id, "right")),
            {side: seat for side in SIDES if (seat := known.of_axle[axle_id, side].get("seat"))},
            quartered.get(axle_id),
            known.of_axle[axle_id, None],
            heights.get(axle_id),
            {side: known.of_axle[axle_id, side] for side in SIDES},
            centred,
            items.get(axle_id, ()),
        )
        for axle_id, number, coupled, version, centred in rows_of(session, _AXLES, build_id)
    )


def build_of_casting(session: Session, casting_id: int) -> int | None:
    """The build a casting belongs to."""
    return _whose(session, _CASTINGS_BUILDS, _BUILD_OF_CASTING, casting_id)


def build_of_axle(session: Session, axle_id: int) -> int | None:
    """The build an axle belongs to."""
    return _whose(session, _AXLES_BUILDS, _BUILD_OF_AXLE, axle_id)


def _whose(session: Session, known: str, asked: Executable, row_id: int) -> int | None:
    """The build it belongs to, asked once for each state of the file."""
    builds: dict[int, int] = held(session, known, dict)
    if row_id not in builds:
        rows = rows_of(session, asked, row_id)
        if not rows:
            return None
        builds[row_id] = rows[0][0]
    return builds[row_id]


def hand_on_casting(session: Session, build: BuildView, casting: CastingView) -> None:
    """Hand on the build with this casting as the transaction leaves it, where it changes nothing else of any build."""
    left = replace(build.with_casting(casting), newest=newest_time(session))
    hand_on(session, ("build", build.id), left)
    hand_on(session, _CASTINGS_BUILDS, {one.id: build.id for one in build.castings})
    hand_on(session, _AXLES_BUILDS, {one.id: build.id for one in build.axles})


def find_build(session: Session, build_id: int) -> BuildView:
    """The build, or NotThere."""
    build = load_build(session, build_id)
    if build is None:
        raise NotThere("build")
    return build


def find_casting(session: Session, casting_id: int) -> tuple[BuildView, CastingView]:
    """The casting and its build, or NotThere."""
    build_id = build_of_casting(session, casting_id)
    build = None if build_id is None else load_build(session, build_id)
    casting = None if build is None else build.casting(casting_id)
    if build is None or casting is None:
        raise NotThere("casting")
    return build, casting


def find_axle(session: Session, axle_id: int) -> tuple[BuildView, AxleView]:
    """The axle and its build, or NotThere."""
    build_id = build_of_axle(session, axle_id)
    build = None if build_id is None else load_build(session, build_id)
    axle = None if build is None else build.axle(axle_id)
    if build is None or axle is None:
        raise NotThere("axle")
    return build, axle
