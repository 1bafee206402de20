"""Counting hand strokes: beginning a count, keeping its total, finishing it."""

from __future__ import annotations

from sqlalchemy import update
from sqlmodel import Session, col, select

from webapp.models import StrokeCount
from webapp.records.change import CastingChange, change_casting
from webapp.records.journal import now
from webapp.records.outcome import WHOLE, NotThere, Refused
from webapp.sheets.cutting.form_strokes import StrokeWish, Tally


def merged(stored: int, tally: Tally) -> int:
    """Which total stands: the larger; the smaller only from a counter that knew of every stroke stored.

    A total is sent, never "one more", so that the same message twice counts once. Taking strokes off again is
    believed only of one who knew of them: else another tablet has counted further, and nothing of that is lost.
    """
    return tally.done if tally.top >= stored else max(stored, tally.done)


@change_casting("strokes", scrapped=True)
def begin(it: CastingChange, wish: StrokeWish) -> int:
    """Begin to count; returns the count's id."""
    if it.casting.state == "scrapped":
        raise Refused(f"{it.casting.mark} is scrapped: undo the scrapping before you work on it.", WHOLE)
    if _open_count(it.session, it.casting.id) is not None:
        raise Refused("A count is open on this casting: go on with it, or finish it first.", WHOLE)
    row = StrokeCount(
        casting_id=it.casting.id,
        wanted=wish.plan.strokes,
        width_text=wish.texts.radial_width,
        feed_text=wish.texts.feed,
        depth_text=wish.texts.depth,
        cut_text=wish.texts.cut_depth,
        who=it.actor.who,
        at=now(),
    )
    it.session.add(row)
    it.session.flush()
    assert row.id is not None  # it was just written
    it.tell("strokes", f"Began facing by hand strokes. {wish.words}")
    return row.id


def _open_count(session: Session, casting_id: int) -> int | None:
    return session.exec(
        select(StrokeCount.id).where(
            col(StrokeCount.casting_id) == casting_id, col(StrokeCount.closed).is_(False)
        )
    ).first()


@change_casting("strokes kept", scrapped=True)
def keep(it: CastingChange, count_id: int, tally: Tally) -> None:
    """Keep a counter's total; no line in the journal, for there would be hundreds."""
    row = _count(it.session, it.casting.id, count_id)
    if row.closed:
        raise Refused(
            "This count is finished: no stroke can be added to it. Open hand strokes to begin another.", WHOLE
        )
    total = merged(row.done, tally)
    if total != row.done:
        _store(it.session, count_id, done=total)


@change_casting("strokes finished", scrapped=True)
def finish(it: CastingChange, count_id: int, tally: Tally) -> None:
    """Finish a count with what its counter says; one that is finished already stays as it is."""
    row = _count(it.session, it.casting.id, count_id)
    if row.closed:
        return
    total = merged(row.done, tally)
    _store(it.session, count_id, done=total, closed=True)
    it.tell("strokes", f"Finished hand strokes: {total} of {row.wanted} done.")


def _count(session: Session, casting_id: int, count_id: int) -> StrokeCount:
    row = session.get(StrokeCount, count_id)
    if row is None or row.casting_id != casting_id:
        raise NotThere("count of strokes")
    return row


def _store(session: Session, count_id: int, **values: object) -> None:
    session.connection().execute(update(StrokeCount).where(col(StrokeCount.id) == count_id).values(**values))
