"""Counting hand strokes: beginning a count, keeping its total, finishing it."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import update
from sqlmodel import Session, col, select

from webapp.db import Db
from webapp.models import StrokeCount
from webapp.records.builds import find_casting
from webapp.records.journal import (
    already_answered,
    check_casting_seen,
    now,
    remember_answer,
    write_line,
)
from webapp.records.outcome import WHOLE, Actor, NotThere, Refused
from webapp.sheets.cutting.form_strokes import StrokeWish, Tally
from webapp.typed.texts import Sent


@dataclass(frozen=True, slots=True)
class Kept:
    """The total that stands, and whether the count was finished before this could be added to it."""

    done: int
    closed: bool


def merged(stored: int, tally: Tally) -> int:
    """Which total stands: the larger; the smaller only from a counter that knew of every stroke stored.

    A total is sent, never "one more", so that the same message twice counts once. Taking strokes off again is
    believed only of one who knew of them: else another tablet has counted further, and nothing of that is lost.
    """
    return tally.done if tally.top >= stored else max(stored, tally.done)


def begin(db: Db, casting_id: int, wish: StrokeWish, seen: int, sent: Sent, actor: Actor) -> int:
    """Begin to count; returns the count's id."""
    form = f"strokes of {casting_id}"
    with db.write() as session:
        build, casting = find_casting(session, casting_id)
        answered = already_answered(session, sent, form)
        if answered is not None:
            return int(answered)
        if casting.state == "scrapped":
            raise Refused(f"{casting.mark} is scrapped: undo the scrapping before you work on it.", WHOLE)
        check_casting_seen(session, casting.id, casting.version, seen, actor)
        if _open_count(session, casting_id) is not None:
            raise Refused("A count is open on this casting: go on with it, or finish it first.", WHOLE)
        row = StrokeCount(
            casting_id=casting_id,
            wanted=wish.plan.strokes,
            width_text=wish.texts.radial_width,
            feed_text=wish.texts.feed,
            depth_text=wish.texts.depth,
            cut_text=wish.texts.cut_depth,
            who=actor.who,
            at=now(),
        )
        session.add(row)
        session.flush()
        assert row.id is not None  # it was just written
        sentence = f"Began facing {casting.mark} by hand strokes. {wish.words}"
        write_line(session, actor, "strokes", sentence, build_id=build.id, casting_id=casting_id)
        remember_answer(session, sent, form, str(row.id))
        return row.id


def _open_count(session: Session, casting_id: int) -> int | None:
    return session.exec(
        select(StrokeCount.id).where(
            col(StrokeCount.casting_id) == casting_id, col(StrokeCount.closed).is_(False)
        )
    ).first()


def keep(db: Db, casting_id: int, count_id: int, tally: Tally) -> Kept:
    """Keep a counter's total; no line in the journal, for there would be hundreds."""
    with db.write() as session:
        row = _count(session, casting_id, count_id)
        if row.closed:
            return Kept(row.done, closed=True)
        total = merged(row.done, tally)
        if total != row.done:
            _store(session, count_id, done=total)
        return Kept(total, closed=False)


def finish(db: Db, casting_id: int, count_id: int, tally: Tally, actor: Actor) -> None:
    """Finish a count with what its counter says; one that is finished already stays as it is."""
    with db.write() as session:
        row = _count(session, casting_id, count_id)
        if row.closed:
            return
        build, casting = find_casting(session, casting_id)
        total = merged(row.done, tally)
        _store(session, count_id, done=total, closed=True)
        sentence = f"Finished hand strokes on {casting.mark}: {total} of {row.wanted} done."
        write_line(session, actor, "strokes", sentence, build_id=build.id, casting_id=casting_id)


def _count(session: Session, casting_id: int, count_id: int) -> StrokeCount:
    row = session.get(StrokeCount, count_id)
    if row is None or row.casting_id != casting_id:
        raise NotThere
    return row


def _store(session: Session, count_id: int, **values: object) -> None:
    session.connection().execute(update(StrokeCount).where(col(StrokeCount.id) == count_id).values(**values))
