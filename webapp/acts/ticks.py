"""Ticking and unticking: a casting's stages and steps, and the axle's own tick."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from sqlalchemy import bindparam, insert
from sqlmodel import Session, col, delete

from domain.route.guards import (
    Objection,
    Order,
    Strength,
    objection_to_fix_and_quarter,
    objection_to_quarter,
    objection_to_tick,
    objection_to_unquarter,
    objection_to_untick,
)
from domain.route.stages import Stage, Step, steps, tickable
from webapp.db import Db
from webapp.facts.cure import objection_to_haste
from webapp.facts.wheels import wheel_facts
from webapp.models import Quartering, Tick
from webapp.records.builds import find_axle, find_casting
from webapp.records.journal import check_axle_seen, check_casting_seen, now, write_line
from webapp.records.outcome import WHOLE, Actor, Refused, Unconfirmed
from webapp.records.views import AxleView, BuildView
from webapp.typed.ticks import TickWish

_CONFIRMED = " Confirmed against the program's advice."
# Put together once: that takes longer than the writing.
_TICK = insert(Tick)
_UNTICK = delete(Tick).where(
    col(Tick.casting_id) == bindparam("casting_id"), col(Tick.key) == bindparam("key")
)


def weigh(objection: Objection | None, confirmed: bool) -> bool:
    """Raise what an objection calls for; tells whether there was one, which was confirmed."""
    if objection is None:
        return False
    if objection.strength is Strength.CONFIRM and confirmed:
        return True
    if objection.strength is Strength.CONFIRM:
        raise Unconfirmed(objection.words)
    raise Refused(objection.words)


def tick_casting(db: Db, casting_id: int, wish: TickWish, actor: Actor) -> None:
    """Tick or untick a stage or a step of a casting."""
    with db.write() as session:
        build, casting = find_casting(session, casting_id)
        order = build.order_of(casting)
        what = tickable(wish.key)
        if what is None or not _is_on(order, what):
            raise Refused("There is no such stage or step to tick on this wheel.", WHOLE)
        check_casting_seen(session, casting.id, casting.version, wish.seen, actor)
        if (wish.key in casting.ticks) == wish.wanted:
            return  # it is as wanted already: a tap that arrived twice
        if casting.state == "scrapped":
            raise Refused(f"{casting.mark} is scrapped: undo the scrapping before ticking anything on it.")
        facts = wheel_facts(build, casting)
        rule: Callable[..., Objection | None] = objection_to_tick if wish.wanted else objection_to_untick
        objection = rule(wish.key, facts, order)
        if wish.wanted and objection is None:
            objection = objection_to_haste(build, (casting,), wish.key, now())
        confirmed = weigh(objection, wish.confirmed)
        if what is Stage.PRESSED:
            forget_quarterings(session, casting.id, casting.axle_id)
        _set_tick(session, build.id, casting.id, replace(wish, confirmed=confirmed), what.words, actor)


def _is_on(order: Order, what: Stage | Step) -> bool:
    if isinstance(what, Stage):
        return what in order.stages
    return what.stage in order.stages and what in steps(what.stage, coupled=order.coupled)


def forget_quarterings(session: Session, casting_id: int, axle_id: int | None) -> None:
    """A wheel that went on or came off undoes every quartering of that wheel, and of the axle it did so at."""
    session.exec(
        delete(Quartering).where(
            (col(Quartering.left_casting_id) == casting_id)
            | (col(Quartering.right_casting_id) == casting_id)
            | (col(Quartering.axle_id) == axle_id)
        )
    )


def _set_tick(
    session: Session, build_id: int, casting_id: int, wish: TickWish, words: str, actor: Actor
) -> None:
    at = now()
    if wish.wanted:
        session.connection().execute(
            _TICK,
            {"casting_id": casting_id, "key": wish.key, "at": at, "who": actor.who},
        )
    else:
        session.connection().execute(_UNTICK, {"casting_id": casting_id, "key": wish.key})
    sentence = f"{'Ticked' if wish.wanted else 'Unticked'} {words}."
    if wish.confirmed:
        sentence += _CONFIRMED
    write_line(
        session,
        actor,
        "tick" if wish.wanted else "untick",
        sentence,
        build_id=build_id,
        casting_id=casting_id,
        at=at,
    )


def tick_quartered(db: Db, axle_id: int, wish: TickWish, actor: Actor) -> None:
    """Tick or untick an axle as quartered, both wheels together."""
    with db.write() as session:
        build, axle = find_axle(session, axle_id)
        check_axle_seen(session, axle.id, axle.version, wish.seen, actor)
        if (axle.quartered is not None) == wish.wanted:
            return
        if wish.wanted:
            _refuse_carrying(build, axle)
            left, right = (wheel_facts(build, w) if w else None for w in (axle.left, axle.right))
            objection = objection_to_quarter(left, right, build.order(axle.coupled))
            objection = objection or objection_to_haste(build, axle.wheels, wish.key, now())
            _quarter(session, build, axle, actor, weigh(objection, wish.confirmed))
        else:
            _unquarter(session, build, axle, actor)


def _refuse_carrying(build: BuildView, axle: AxleView) -> None:
    objection = None if axle.coupled else objection_to_quarter(None, None, build.order(axle.coupled))
    if objection is not None:
        raise Refused(objection.words, WHOLE)


def _quarter(
    session: Session, build: BuildView, axle: AxleView, actor: Actor, confirmed: bool = False
) -> None:
    assert axle.left is not None and axle.right is not None  # the guard refused an empty place
    at = now()
    session.add(
        Quartering(
            axle_id=axle.id,
            left_casting_id=axle.left.id,
            right_casting_id=axle.right.id,
            at=at,
            who=actor.who,
        )
    )
    sentence = f"Ticked axle {axle.number} quartered.{_CONFIRMED if confirmed else ''}"
    _tell_axle(session, build, axle, actor, "tick", sentence)


def _unquarter(session: Session, build: BuildView, axle: AxleView, actor: Actor) -> None:
    facts = (wheel_facts(build, wheel) for wheel in axle.wheels)
    weigh(objection_to_unquarter(facts, build.order(axle.coupled)), False)
    session.exec(
        delete(Quartering).where(
            col(Quartering.axle_id) == axle.id,
            col(Quartering.left_casting_id).in_([w.id for w in axle.wheels]),
        )
    )
    _tell_axle(session, build, axle, actor, "untick", f"Unticked axle {axle.number} quartered.")


def _tell_axle(
    session: Session, build: BuildView, axle: AxleView, actor: Actor, kind: str, sentence: str
) -> None:
    """A line for the axle and one for each of its wheels, so that each sheet tells the whole story."""
    write_line(session, actor, kind, sentence, build_id=build.id, axle_id=axle.id)
    for wheel in axle.wheels:
        write_line(session, actor, kind, sentence, build_id=build.id, axle_id=axle.id, casting_id=wheel.id)


def fix_and_quarter(db: Db, axle_id: int, seen: int, confirmed: bool, actor: Actor) -> None:
    """Tick a bonded second wheel fixed and its axle quartered, in one go."""
    with db.write() as session:
        build, axle = find_axle(session, axle_id)
        check_axle_seen(session, axle.id, axle.version, seen, actor)
        if axle.quartered is not None:
            return
        _refuse_carrying(build, axle)
        wheels = sorted(axle.wheels, key=lambda w: not w.has(Stage.PRESSED))
        first, second = ([*wheels, None, None])[:2]
        fixed, bonded = (wheel_facts(build, w) if w else None for w in (first, second))
        objection = objection_to_fix_and_quarter(fixed, bonded, build.order(axle.coupled))
        confirmed = weigh(objection, confirmed)
        assert second is not None  # the guard refused an empty place
        wish = TickWish(Stage.PRESSED.value, True, second.version, confirmed)
        if not second.has(Stage.PRESSED):
            forget_quarterings(session, second.id, axle.id)
            _set_tick(session, build.id, second.id, wish, Stage.PRESSED.words, actor)
        _quarter(session, build, axle, actor)


def no_such_tick() -> None:
    """Refuse a tick that an axle does not have."""
    raise Refused("There is no such tick on an axle.", WHOLE)
