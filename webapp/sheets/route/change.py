"""Starting a batch, putting a wheel into it, passing one over for now, and ending it."""

from __future__ import annotations

from sqlalchemy import func, update
from sqlmodel import Session, col, select

from domain.route.words import batch_words
from webapp.db import Db
from webapp.facts.batch_views import BatchView, TurnView
from webapp.facts.batches import batch_of, build_of_batch, running_batch
from webapp.facts.next_work import plan_beside
from webapp.models import WorkBatch, WorkBatchWheel
from webapp.records.builds import load_build
from webapp.records.journal import already_answered, check_build_seen, now, remember_answer, write_line
from webapp.records.outcome import WHOLE, Actor, NotThere, OutOfDate, Refused, Unconfirmed
from webapp.records.views import BuildView
from webapp.sheets.route.form import StartWish
from webapp.sheets.route.view_join import newcomers


def start_batch(db: Db, build_id: int, wish: StartWish, actor: Actor) -> int:
    """Start the batch the plan puts first, which ends the one that runs; returns its id."""
    form = f"batch of {build_id}"
    with db.write() as session:
        build = load_build(session, build_id)
        if build is None:
            raise NotThere
        answered = already_answered(session, wish.sent, form)
        if answered is not None:
            return int(answered)
        running = running_batch(session, build)
        batches = plan_beside(build, running).batches
        check_build_seen(session, build.id, build.version, wish.seen, actor)
        if not batches:
            raise Refused("No wheel in work can go on now: there is no batch to start.", WHOLE)
        first = batches[0]
        if (first.set_up, first.keys) != (wish.set_up, wish.castings):
            raise OutOfDate("", "", None)
        if running is not None and running.set_up is wish.set_up and running.of("open"):
            raise Refused(f"A batch {running.set_up.words} is running already: go on with that one.", WHOLE)
        if running is not None:
            _make_way(session, running, wish.confirmed, actor)
        row = WorkBatch(
            build_id=build.id, key=first.set_up.value, words=batch_words(first), who=actor.who, at=now()
        )
        session.add(row)
        session.flush()
        assert row.id is not None  # it was just written
        session.add_all(
            WorkBatchWheel(batch_id=row.id, ordinal=ordinal, casting_id=key)
            for ordinal, key in enumerate(first.keys, start=1)
        )
        marks = ", ".join(mark for turn in first.turns for mark in turn.marks)
        write_line(
            session, actor, "batch", f"Started a batch {first.set_up.words}: {marks}.", build_id=build.id
        )
        remember_answer(session, wish.sent, form, str(row.id))
        return row.id


def _make_way(session: Session, running: BatchView, confirmed: bool, actor: Actor) -> None:
    left = running.of("open")
    if left and not confirmed:
        marks = ", ".join(turn.marks for turn in left)
        raise Unconfirmed(
            f"The batch {running.set_up.words} is running, and not done yet are: {marks}. Starting this batch ends "
            "that one; those wheels come again in the plan."
        )
    _end(session, running, actor)


def _end(session: Session, batch: BatchView, actor: Actor) -> None:
    session.connection().execute(update(WorkBatch).where(col(WorkBatch.id) == batch.id).values(ended=True))
    sentence = f"Ended the batch {batch.set_up.words}: {batch.done} of {batch.total} done."
    if batch.marks_left:
        sentence += f" Not done: {batch.marks_left}."
    write_line(session, actor, "batch", sentence, build_id=batch.build_id)


def find_batch(session: Session, batch_id: int) -> tuple[BuildView, BatchView]:
    """The batch and its build, or NotThere."""
    build_id = build_of_batch(session, batch_id)
    build = None if build_id is None else load_build(session, build_id)
    batch = None if build is None else batch_of(session, build, batch_id)
    if build is None or batch is None:
        raise NotThere
    return build, batch


def end_batch(db: Db, batch_id: int, actor: Actor) -> int:
    """End a batch; one that is ended already stays so. Returns its build's id."""
    with db.write() as session:
        build, batch = find_batch(session, batch_id)
        if not batch.ended:
            _end(session, batch, actor)
        return build.id


def pass_turn(db: Db, batch_id: int, ordinal: int, passed: bool) -> None:
    """Pass a turn over for now, or take it up again; what is done meanwhile stays done."""
    with db.write() as session:
        _, batch = find_batch(session, batch_id)
        turn = turn_at(batch, ordinal)
        if batch.ended:
            raise Refused("This batch is ended: nothing can be skipped in it.", WHOLE)
        mine = [casting.id for casting in turn.castings]
        session.connection().execute(
            update(WorkBatchWheel)
            .where(col(WorkBatchWheel.batch_id) == batch.id, col(WorkBatchWheel.casting_id).in_(mine))
            .values(passed=passed)
        )


def join_batch(db: Db, batch_id: int, castings: tuple[int, ...], actor: Actor) -> int:
    """Put wheels into a batch that runs, if its work can be done on them now; returns the number of their turn."""
    with db.write() as session:
        build, batch = find_batch(session, batch_id)
        if not castings or any(build.casting(key) is None for key in castings):
            raise NotThere
        there = _turn_of(batch, castings)
        if there is not None:
            return there
        if batch.ended:
            raise Refused("This batch is ended: no wheel can be put into it.", WHOLE)
        mine = next(
            (
                one
                for one in newcomers(build, batch).joining
                if set(castings) == {casting.id for casting in one.castings}
            ),
            None,
        )
        if mine is None:
            raise Refused("This batch can do nothing on that wheel now: look at the whole plan.", WHOLE)
        rows = session.exec(
            select(func.max(col(WorkBatchWheel.ordinal))).where(col(WorkBatchWheel.batch_id) == batch.id)
        )
        last = rows.one() or 0
        session.add_all(
            WorkBatchWheel(batch_id=batch.id, ordinal=ordinal, casting_id=casting.id)
            for ordinal, casting in enumerate(mine.castings, start=last + 1)
        )
        sentence = f"Put {mine.marks} ({mine.where}) into the batch {batch.set_up.words}."
        write_line(session, actor, "batch", sentence, build_id=build.id)
        session.flush()
        after = batch_of(session, build, batch.id)
        joined = _turn_of(after, castings) if after else None
        assert joined is not None  # it was just written
        return joined


def _turn_of(batch: BatchView, castings: tuple[int, ...]) -> int | None:
    """The turn that all these castings have together, if they are in the batch."""
    for turn in batch.turns:
        if {casting.id for casting in turn.castings}.issuperset(castings):
            return turn.ordinal
    return None


def turn_at(batch: BatchView, ordinal: int) -> TurnView:
    """The turn with this number, or NotThere."""
    for turn in batch.turns:
        if turn.ordinal == ordinal:
            return turn
    raise NotThere
