"""How far several builds are and what was done to each last, in as many queries as for one and without loading any."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Executable, and_, bindparam, func, select
from sqlmodel import Session, col

from domain.drawing import WheelKind
from domain.route.castings import Progress, progress
from domain.route.guards import Order
from domain.route.stages import Route, Stage
from webapp.models import Axle, Build, Casting, JournalLine, PatternRow, Tick
from webapp.records.builds import quartered_of
from webapp.records.diary import LINES, ONCE, DiaryEntry

_IDS: Any = bindparam("ids", expanding=True)
_BUILDS = select(col(Build.id), col(Build.name), col(Build.route), col(Build.paint_first)).where(
    col(Build.id).in_(_IDS)
)
_AXLES = (
    select(col(Axle.id), col(Axle.build_id), col(PatternRow.kind))
    .join(PatternRow, col(PatternRow.id) == col(Axle.pattern_id))
    .where(col(Axle.build_id).in_(_IDS))
)
_TICKS = (
    select(col(Casting.id), col(Casting.axle_id), col(Tick.key))
    .outerjoin(
        Tick,
        and_(col(Tick.casting_id) == col(Casting.id), col(Tick.key).in_([stage.value for stage in Stage])),
    )
    .where(col(Casting.build_id).in_(_IDS), col(Casting.axle_id).is_not(None))
)
_QUARTERED = quartered_of(col(Axle.build_id).in_(_IDS))
# The newest line of each is found by its index; to group the lines by their builds would look at all of them.
_NEWEST = (
    select(func.max(col(JournalLine.id)))
    .where(col(JournalLine.build_id) == col(Build.id), ONCE)
    .correlate(Build)
    .scalar_subquery()
)
_LAST = LINES.where(
    col(JournalLine.id).in_(select(_NEWEST).select_from(Build).where(col(Build.id).in_(_IDS)))
)


@dataclass(frozen=True, slots=True)
class BuildCard:
    """A build at a glance: how far it is, and what was done to it last."""

    id: int
    name: str
    progress: Progress
    last: DiaryEntry | None
    # The number of that line of the journal: the greater, the later.
    last_id: int


def cards(session: Session, ids: Sequence[int]) -> tuple[BuildCard, ...]:
    """The builds with these ids, in this order."""

    def rows(statement: Executable) -> Sequence[Any]:
        return session.connection().execute(statement, {"ids": list(ids)}).all()

    builds = {row.id: row for row in rows(_BUILDS)}
    how_far = _how_far(builds, rows)
    last = {entry.build_id: (line, entry) for line, *told in rows(_LAST) for entry in [DiaryEntry(*told)]}
    return tuple(
        BuildCard(own, builds[own].name, how_far[own], entry, line)
        for own in ids
        if own in builds
        for line, entry in [last.get(own, (0, None))]
    )


def _how_far(builds: Mapping[int, Any], rows: Callable[[Executable], Sequence[Any]]) -> dict[int, Progress]:
    orders: dict[int, Order] = {}
    axles: defaultdict[int, list[int]] = defaultdict(list)
    for axle, build, kind in rows(_AXLES):
        row = builds[build]
        orders[axle] = Order(Route(row.route), WheelKind(kind).cranked, row.paint_first)
        axles[build].append(axle)
    quartered = {row.axle_id for row in rows(_QUARTERED)}
    wheels: defaultdict[int, defaultdict[int, set[str]]] = defaultdict(lambda: defaultdict(set))
    for casting, axle, key in rows(_TICKS):
        wheels[axle][casting] |= {key} if key else set()
        wheels[axle][casting] |= {Stage.QUARTERED.value} if axle in quartered else set()
    return {
        own: progress(
            [orders[axle] for axle in axles[own]],
            [(frozenset(keys), orders[axle]) for axle in axles[own] for keys in wheels[axle].values()],
        )
        for own in builds
    }
