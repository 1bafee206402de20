"""Starting a batch, putting a wheel into it, passing one over for now, and ending it."""

from __future__ import annotations

from sqlalchemy import func, update
from sqlmodel import col, select

from domain.route.words import batch_words
from webapp.facts.batch_views import BatchView, TurnView
from webapp.facts.batches import batch_of, running_batch
from webapp.facts.next_work import plan_beside
from webapp.models import WorkBatch, WorkBatchWheel
from webapp.records.change import Change, change_build
from webapp.records.journal import now
from webapp.records.outcome import WHOLE, NotThere, OutOfDate, Refused, Unconfirmed
from webapp.sheets.route.form import StartWish
from webapp.sheets.route.view import newcomers


@change_build("batch")
def start_batch(it: Change, wish: StartWish) -> int:
    """Start the batch the plan puts first, which ends the one that runs; returns its id."""
    running = running_batch(it.session, it.build)
    batches = plan_beside(it.build, running).batches
    if not batches:
        raise Refused("No wheel in work can go on now: there is no batch to start.", WHOLE)
    first = batches[0]
    if (first.set_up, first.keys) != (wish.set_up, wish.castings):
        raise OutOfDate("", "", None)
    if running is not None and running.set_up is wish.set_up and running.of("open"):
        raise Refused(f"A batch {running.set_up.words} is running already: go on with that one.", WHOLE)
    if running is not None:
        _make_way(it, running, wish.confirmed)
    row = WorkBatch(
        build_id=it.build.id, key=first.set_up.value, words=batch_words(first), who=it.actor.who, at=now()
    )
    it.session.add(row)
    it.session.flush()
    assert row.id is not None  # it was just written
    it.session.add_all(
        WorkBatchWheel(batch_id=row.id, ordinal=ordinal, casting_id=key)
        for ordinal, key in enumerate(first.keys, start=1)
    )
    marks = ", ".join(mark for turn in first.turns for mark in turn.marks)
    it.tell("batch", f"Started a batch {first.set_up.words}: {marks}.")
    return row.id


def _make_way(it: Change, running: BatchView, confirmed: bool) -> None:
    left = running.of("open", "doubted")
    if left and not confirmed:
        marks = ", ".join(turn.marks for turn in left)
        raise Unconfirmed(
            f"The batch {running.set_up.words} is running, and not done yet are: {marks}. Starting this batch ends "
            "that one; those wheels come again in the plan."
        )
    _end(it, running)


def _end(it: Change, batch: BatchView) -> None:
    it.session.connection().execute(update(WorkBatch).where(col(WorkBatch.id) == batch.id).values(ended=True))
    sentence = f"Ended the batch {batch.set_up.words}: {batch.done} of {batch.total} done."
    if batch.marks_left:
        sentence += f" Not done: {batch.marks_left}."
    it.tell("batch", sentence)


def _batch_in(it: Change, batch_id: int) -> BatchView:
    batch = batch_of(it.session, it.build, batch_id)
    if batch is None:
        raise NotThere
    return batch


@change_build("batch ended")
def end_batch(it: Change, batch_id: int) -> None:
    """End a batch; one that is ended already stays so."""
    batch = _batch_in(it, batch_id)
    if not batch.ended:
        _end(it, batch)


@change_build("turn of batch")
def pass_turn(it: Change, batch_id: int, ordinal: int, passed: bool) -> None:
    """Pass a turn over for now, or take it up again; no line in the journal, for nothing is done to a wheel."""
    batch = _batch_in(it, batch_id)
    turn = turn_at(batch, ordinal)
    if batch.ended:
        raise Refused("This batch is ended: nothing can be skipped in it.", WHOLE)
    mine = [casting.id for casting in turn.castings]
    it.session.connection().execute(
        update(WorkBatchWheel)
        .where(col(WorkBatchWheel.batch_id) == batch.id, col(WorkBatchWheel.casting_id).in_(mine))
        .values(passed=passed)
    )


@change_build("batch joined")
def join_batch(it: Change, batch_id: int, castings: tuple[int, ...]) -> int:
    """Put wheels into a batch that runs, if its work can be done on them now; returns the number of their turn."""
    session, build, batch = it.session, it.build, _batch_in(it, batch_id)
    if not castings or any(build.casting(key) is None for key in castings):
        raise NotThere
    there = _turn_of(batch, castings)
    if there is not None:
        return there
    if batch.ended:
        raise Refused("This batch is ended: no wheel can be put into it.", WHOLE)
    joining = newcomers(build, batch).joining
    mine = next((one for one in joining if set(castings) == {casting.id for casting in one.castings}), None)
    if mine is None:
        raise Refused("This batch can do nothing on that wheel now: look at the whole plan.", WHOLE)
    last = session.exec(
        select(func.max(col(WorkBatchWheel.ordinal))).where(col(WorkBatchWheel.batch_id) == batch.id)
    ).one()
    session.add_all(
        WorkBatchWheel(batch_id=batch.id, ordinal=ordinal, casting_id=casting.id)
        for ordinal, casting in enumerate(mine.castings, start=(last or 0) + 1)
    )
    it.tell("batch", f"Put {mine.marks} ({mine.where}) into the batch {batch.set_up.words}.")
    session.flush()
    joined = _turn_of(_batch_in(it, batch.id), castings)
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
