"""Reading a whole build, in a number of queries that does not grow with its castings.

The statements are put together once, as the program starts: that takes SQLAlchemy several times as long as
SQLite takes to answer.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from sqlalchemy import ColumnElement, Executable, bindparam, exists, or_, select
from sqlalchemy.orm import aliased
from sqlmodel import Session, col

from domain.drawing import WheelKind
from domain.lengths import Length, Unit
from domain.route.set_ups import SetUp
from domain.route.stages import Route, Stage
from webapp.db import hand_on, held
from webapp.models import (
    Axle,
    Build,
    Casting,
    DimensionRow,
    JointFigure,
    PatternRow,
    Quartering,
    Tick,
    WorkBatch,
    WorkBatchWheel,
    WorkFigure,
)
from webapp.records.as_set import settings_of
from webapp.records.assembly import items_of
from webapp.records.heights import heights_of, rod_figures
from webapp.records.journal import newest_time
from webapp.records.outcome import NotThere
from webapp.records.read_sizes import Known, read_known
from webapp.records.rows import rows_by, rows_of
from webapp.records.stubs import stubs_of
from webapp.records.taken_back import again_of, of_this_life, taken_back_of
from webapp.records.views import (
    SIDES,
    AxleView,
    BuildView,
    CastingView,
    PatternView,
    Stamp,
    drawn_of,
    in_order,
)
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
    col(Build.archived),
    col(Build.version),
    # The set-up of the batch that runs.
    select(col(WorkBatch.key))
    .where(col(WorkBatch.build_id) == col(Build.id), col(WorkBatch.ended).is_(False))
    .order_by(col(WorkBatch.id).desc())
    .limit(1)
    .scalar_subquery()
    .label("standing"),
).where(col(Build.id) == _ID)

_DIMENSIONS = select(
    col(DimensionRow.pattern_id), col(DimensionRow.key), col(DimensionRow.nm), col(DimensionRow.text)
).where(col(DimensionRow.build_id) == _ID)

_PATTERNS = (
    select(col(PatternRow.id), col(PatternRow.name), col(PatternRow.kind))
    .where(col(PatternRow.build_id) == _ID)
    .order_by(col(PatternRow.id))
)

_AXLES = (
    select(col(Axle.id), col(Axle.number), col(Axle.pattern_id), col(Axle.version), col(Axle.centred))
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
        col(Casting.pattern_id),
        exists()
        .where(
            col(WorkBatchWheel.casting_id) == col(Casting.id),
            col(WorkBatchWheel.passed).is_(True),
            col(WorkBatchWheel.batch_id) == col(WorkBatch.id),
            col(WorkBatch.ended).is_(False),
        )
        .label("skipped"),
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


def quartered_of(axles: ColumnElement[bool]) -> Executable:
    """What says that axles are quartered, of those that are wanted."""
    return (
        select(
            col(Quartering.axle_id),
            col(Quartering.who),
            col(Quartering.at),
            col(Quartering.let_pass),
            col(Quartering.reason),
        )
        .join(Axle, col(Axle.id) == col(Quartering.axle_id))
        .join(PatternRow, col(PatternRow.id) == col(Axle.pattern_id))
        .join(_left, col(_left.id) == col(Quartering.left_casting_id))
        .join(_right, col(_right.id) == col(Quartering.right_casting_id))
        .where(
            axles,
            or_(*(col(PatternRow.kind) == kind.value for kind in WheelKind if kind.cranked)),
            col(_left.axle_id) == col(Axle.id),
            col(_left.side) == "left",
            col(_right.axle_id) == col(Axle.id),
            col(_right.side) == "right",
        )
    )


_QUARTERED = quartered_of(col(Axle.build_id) == _ID)
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
    return tuple(find_build(session, own) for (own,) in rows_by(session, _EVERY_BUILD, {}))


def _load(session: Session, build_id: int) -> BuildView | None:
    rows = rows_of(session, _BUILD, build_id)
    if not rows:
        return None
    build = rows[0]
    tools = list_instruments(session)
    quartered = {axle: Stamp(*stamp) for axle, *stamp in rows_of(session, _QUARTERED, build_id)}
    known = read_known(session, build_id)
    castings = _castings(session, build_id, quartered, known)
    shared, patterns = _drawings(session, build_id)
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
        archived=build.archived,
        version=build.version,
        standing=SetUp(build.standing) if build.standing else None,
        dimensions=drawn_of(shared, patterns),
        patterns=patterns,
        pattern=patterns[0] if len(patterns) == 1 else None,
        axles=_axles(session, build_id, patterns, (castings, quartered, known)),
        castings=castings,
        instruments={row.id: row.instrument for row in tools},
        retired=frozenset(row.id for row in tools if row.retired),
        reamers=list_reamers(session),
        drills=list_drills(session),
        joint_texts={row.key: row.text for row in rows_of(session, _JOINT_FIGURES, build_id)},
        rods=rod_figures(session, build_id),
        stubs=stubs_of(session, build_id),
        newest=newest_time(session),
        work_texts={row.key: row.text for row in rows_of(session, _WORK_FIGURES, build_id)},
    )


def _drawings(session: Session, build_id: int) -> tuple[dict[str, Length], tuple[PatternView, ...]]:
    """What all wheels share, and the patterns with their own figures; those with cranks first."""
    figures: defaultdict[int | None, dict[str, Length]] = defaultdict(dict)
    for pattern_id, key, nm, text in rows_of(session, _DIMENSIONS, build_id):
        figures[pattern_id][key] = Length(nm, text)
    rows = rows_of(session, _PATTERNS, build_id)
    patterns = [PatternView(row.id, row.name, WheelKind(row.kind), figures[row.id]) for row in rows]
    return figures[None], in_order(patterns)


def _castings(
    session: Session, build_id: int, quartered: Mapping[int, Stamp], known: Known
) -> tuple[CastingView, ...]:
    ticks: defaultdict[int, dict[str, Stamp]] = defaultdict(dict)
    for casting_id, key, *stamp in rows_of(session, _TICKS, build_id):
        ticks[casting_id][key] = Stamp(*stamp)
    rows = rows_of(session, _CASTINGS, build_id)
    settings = settings_of(session, build_id)
    again = again_of(taken_back_of(session, build_id))
    for row in rows:
        if row.axle_id in quartered:
            ticks[row.id][Stage.QUARTERED.value] = quartered[row.axle_id]
        if row.id in again:
            known.of_casting[row.id], worn = of_this_life(known.of_casting[row.id], again[row.id])
            again[row.id] = replace(again[row.id], worn=worn)
    return tuple(
        CastingView(
            **row._asdict(),
            ticks=ticks[row.id],
            bore=known.of_casting[row.id].pop("bore", None),
            throw=known.of_casting[row.id].pop("throw", None),
            sizes=known.of_casting[row.id],
            receipt=known.receipts.get(row.id),
            settings=settings.get(row.id, {}),
            again=again.get(row.id),
        )
        for row in rows
    )


def _axles(
    session: Session,
    build_id: int,
    patterns: Iterable[PatternView],
    with_them: tuple[Iterable[CastingView], Mapping[int, Stamp], Known],
) -> tuple[AxleView, ...]:
    castings, quartered, known = with_them
    cranked = {one.id: one.cranked for one in patterns}
    at = {(c.axle_id, c.side): c for c in castings}
    heights, items = heights_of(session, build_id), items_of(session, build_id)
    return tuple(
        AxleView(
            axle_id,
            number,
            cranked[pattern_id],
            version,
            at.get((axle_id, "left")),
            at.get((axle_id, "right")),
            {side: seat for side in SIDES if (seat := known.of_axle[axle_id, side].get("seat"))},
            quartered.get(axle_id),
            known.of_axle[axle_id, None],
            heights.get(axle_id),
            pattern_id,
            {side: known.of_axle[axle_id, side] for side in SIDES},
            centred,
            items.get(axle_id, ()),
        )
        for axle_id, number, pattern_id, version, centred in rows_of(session, _AXLES, build_id)
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
    whole = build.whole
    left = replace(whole.with_casting(casting), newest=newest_time(session))
    hand_on(session, ("build", build.id), left)
    hand_on(session, _CASTINGS_BUILDS, {one.id: build.id for one in whole.castings})
    hand_on(session, _AXLES_BUILDS, {one.id: build.id for one in whole.axles})


def find_build(session: Session, build_id: int) -> BuildView:
    """The build, or NotThere."""
    build = load_build(session, build_id)
    if build is None:
        raise NotThere("build")
    return build


def find_casting(session: Session, casting_id: int) -> tuple[BuildView, CastingView]:
    """The casting, and its build as its pattern sees it; or NotThere."""
    build_id = build_of_casting(session, casting_id)
    build = None if build_id is None else load_build(session, build_id)
    casting = None if build is None else build.casting(casting_id)
    if build is None or casting is None:
        raise NotThere("casting")
    return build.of(casting), casting


def find_axle(session: Session, axle_id: int) -> tuple[BuildView, AxleView]:
    """The axle, and its build as its pattern sees it; or NotThere."""
    build_id = build_of_axle(session, axle_id)
    build = None if build_id is None else load_build(session, build_id)
    axle = None if build is None else build.axle(axle_id)
    if build is None or axle is None:
        raise NotThere("axle")
    return build.of(axle), axle
