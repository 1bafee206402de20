"""Batches that were started: their turns, and how each stands by what is ticked and logged now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from sqlalchemy import bindparam
from sqlmodel import Session, col, select

from domain.route.guards import Objection
from domain.route.planning import turns_now
from domain.route.set_ups import SetUp, Work
from domain.route.stages import CRANKPIN_HOLE, Stage
from domain.route.words import turn_words
from webapp.facts.batch_views import BatchView, TurnView
from webapp.facts.before_tick import objection_to, objection_to_axle
from webapp.facts.castings import is_second
from webapp.facts.planned import planned_wheels, unfit_holds
from webapp.facts.wheels import paint_waits_for
from webapp.models import WorkBatch, WorkBatchWheel
from webapp.records.builds import load_build
from webapp.records.outcome import NotThere
from webapp.records.rows import rows_of
from webapp.records.views import BuildView, CastingView

# What can be done on a wheel, in words too, and whether a judge has something against it.
_Able = tuple[tuple[Work, ...], str, bool]
_RUNNING = (
    select(col(WorkBatch.id), col(WorkBatch.key), col(WorkBatchWheel.casting_id))
    .join(WorkBatchWheel, col(WorkBatchWheel.batch_id) == col(WorkBatch.id))
    .where(col(WorkBatch.build_id) == bindparam("id"), col(WorkBatch.ended).is_(False))
    .order_by(col(WorkBatch.id).desc(), col(WorkBatchWheel.ordinal))
)


def running_batch(session: Session, build: BuildView) -> BatchView | None:
    """The batch that is running in a build, if any."""
    row = session.exec(
        select(WorkBatch)
        .where(col(WorkBatch.build_id) == build.id, col(WorkBatch.ended).is_(False))
        .order_by(col(WorkBatch.id).desc())
    ).first()
    return None if row is None else _view(session, build, row)


def way_back(session: Session, build: BuildView, castings: Iterable[CastingView]) -> str:
    """The address of the running batch where one of these wheels has its turn, the first that is still to do.

    Empty where none is in it, or it has nothing left to do. No plan is made for it.
    """
    rows = rows_of(session, _RUNNING, build.id)
    if not rows:
        return ""
    (batch_id, key, _), whole = rows[0], build.whole
    set_up = SetUp(key)
    listed = [whole.casting(own) for batch, _, own in rows if batch == batch_id]
    left = {one.id for one in listed if one is not None and _is_left(whole, set_up, one)}
    there = {one.id for one in listed if one is not None}
    mine = [one.id for one in castings if one.id in there]
    if not left or not mine:
        return ""
    return f"/batches/{batch_id}?of={next((one for one in mine if one in left), mine[0])}"


def batch_of(session: Session, build: BuildView, batch_id: int) -> BatchView | None:
    """A batch of this build."""
    row = session.get(WorkBatch, batch_id)
    return None if row is None or row.build_id != build.id else _view(session, build, row)


def build_of_batch(session: Session, batch_id: int) -> int | None:
    """Which build a batch is of."""
    return session.exec(select(WorkBatch.build_id).where(col(WorkBatch.id) == batch_id)).first()


def find_batch(session: Session, batch_id: int) -> tuple[BuildView, BatchView]:
    """The batch and its build, or NotThere."""
    build_id = build_of_batch(session, batch_id)
    build = None if build_id is None else load_build(session, build_id)
    batch = None if build is None else batch_of(session, build, batch_id)
    if build is None or batch is None:
        raise NotThere
    return build, batch


def past_batches(session: Session, build: BuildView, most: int = 12) -> tuple[BatchView, ...]:
    """The batches that were ended, newest first, without their turns."""
    rows = session.exec(
        select(WorkBatch)
        .where(col(WorkBatch.build_id) == build.id, col(WorkBatch.ended).is_(True))
        .order_by(col(WorkBatch.id).desc())
        .limit(most)
    ).all()
    return tuple(_bare(row) for row in rows)


def _bare(row: WorkBatch) -> BatchView:
    assert row.id is not None  # it was read from the file
    return BatchView(
        id=row.id,
        build_id=row.build_id,
        set_up=SetUp(row.key),
        who=row.who,
        at=row.at,
        ended=row.ended,
    )


def _view(session: Session, build: BuildView, row: WorkBatch) -> BatchView:
    wheels = session.exec(
        select(WorkBatchWheel)
        .where(col(WorkBatchWheel.batch_id) == row.id)
        .order_by(col(WorkBatchWheel.ordinal))
    ).all()
    bare = _bare(row)
    listed = [
        (one.ordinal, casting, one.passed) for one in wheels if (casting := build.casting(one.casting_id))
    ]
    return replace(bare, turns=_turns(build, bare.set_up, listed))


def _turns(
    build: BuildView, set_up: SetUp, listed: Sequence[tuple[int, CastingView, bool]]
) -> tuple[TurnView, ...]:
    to_do = _to_do(build, set_up)

    def group(one: tuple[int, CastingView, bool]) -> tuple[str, int]:
        """Quartering is an axle's turn; all else is a wheel's."""
        _, casting, _ = one
        together = set_up is SetUp.QUARTERING and casting.axle_id is not None
        return ("axle", casting.axle_id or 0) if together else ("wheel", casting.id)

    groups: dict[tuple[str, int], list[tuple[int, CastingView, bool]]] = {}
    for one in listed:  # a wheel put in later stands last, and its axle has one turn all the same
        groups.setdefault(group(one), []).append(one)
    return tuple(_turn(build, set_up, rows, to_do) for rows in groups.values())


def _to_do(build: BuildView, set_up: SetUp) -> Mapping[int, _Able]:
    """What each wheel can have done in this set-up now, by casting; doubts are weighed when it is ticked."""
    wheels, holds = planned_wheels(build), unfit_holds(build)
    found: dict[int, _Able] = {}
    for over_doubts in (True, False):  # what is beyond doubt counts before what would have to be confirmed
        now = turns_now(
            wheels,
            build.route_now,
            set_up,
            over_doubts=over_doubts,
            holds=holds,
            paint_first=build.paint_first,
            pins=build.pins,
        )
        for turn in now:
            found |= dict.fromkeys(turn.keys, (turn.works, turn_words(turn), over_doubts))
    return found


def _turn(
    build: BuildView,
    set_up: SetUp,
    rows: Sequence[tuple[int, CastingView, bool]],
    to_do: Mapping[int, _Able],
) -> TurnView:
    castings = tuple(casting for _, casting, _ in rows)
    where = _where(build, castings)
    bare = TurnView(rows[0][0], castings, where, "done")
    gone = [casting for casting in castings if not _is_here(set_up, casting)]
    if gone:
        return replace(bare, state="out", words=_gone_words(gone))
    works, words, doubted = next((to_do[one.id] for one in castings if one.id in to_do), ((), "", False))
    if works:
        state = "passed" if rows[0][2] else "doubted" if doubted else "open"
        waits = paint_waits_for(build, castings[0]) if state == "doubted" else ""
        return replace(bare, state=state, works=works, words=words, waits_for=waits)
    if all(_finished(build, set_up, casting) for casting in castings):
        return bare
    return replace(bare, state="stuck")


def _is_here(set_up: SetUp, casting: CastingView) -> bool:
    """Whether it has a turn in this set-up: a spare is looked over with the rest, and left in its box after that."""
    return casting.state == "in_work" or (casting.state == "spare" and set_up is SetUp.RECEIVING)


def _is_left(build: BuildView, set_up: SetUp, casting: CastingView) -> bool:
    return _is_here(set_up, casting) and not _finished(build, set_up, casting)


def _where(build: BuildView, castings: Sequence[CastingView]) -> str:
    axle = build.axle(castings[0].axle_id)
    return f"axle {axle.number}" if axle and len(castings) > 1 else build.where(castings[0])


def _gone_words(gone: Iterable[CastingView]) -> str:
    return " ".join(
        f"{one.mark} was scrapped: {one.scrap_reason}."
        if one.state == "scrapped"
        else f"{one.mark} is among the spares now."
        for one in gone
    )


def _finished(build: BuildView, set_up: SetUp, casting: CastingView) -> bool:
    """Whether the set-up has given this wheel all it is for."""
    if set_up is SetUp.CRANKPIN_JIG:
        return casting.throw is not None
    if set_up.key in casting.ticks:
        return True
    # The second wheel of a coupled axle is only measured here: it goes on when the axle is quartered.
    return set_up is SetUp.FIXING and casting.bore is not None and is_second(build, casting)


def objection_in(build: BuildView, set_up: SetUp, casting: CastingView) -> Objection | None:
    """Why the tick of this set-up is refused or doubted on this wheel, or its axle, before the work; None when it is not."""
    axle, now = build.axle(casting.axle_id), datetime.now(UTC)
    if set_up is SetUp.QUARTERING and axle is not None:
        return objection_to_axle(build, axle, Stage.QUARTERED.value)
    wanted = CRANKPIN_HOLE if set_up is SetUp.CRANKPIN_JIG else set_up.key
    return objection_to(build, casting, wanted, now, begun=False)
