"""Ticking and unticking: a casting's stages and steps, and the axle's own tick."""

from __future__ import annotations

from collections.abc import Callable

from sqlmodel import Session, col, delete

from domain.route import (
    Objection,
    Strength,
    objection_to_fix_and_quarter,
    objection_to_quarter,
    objection_to_tick,
    objection_to_untick,
)
from domain.stages import Stage, tickable
from webapp.db import Db
from webapp.forms.ticks import TickWish
from webapp.models import Quartering, Tick
from webapp.queries.builds import build_of_axle, build_of_casting, load_build
from webapp.queries.fits import wheel_facts
from webapp.queries.views import AxleView, BuildView, CastingView
from webapp.services.journal import check_axle_seen, check_casting_seen, now, write_line
from webapp.services.outcome import Actor, NotThere, Refused, Unconfirmed


def find_casting(session: Session, casting_id: int) -> tuple[BuildView, CastingView]:
    """The casting and its build, or NotThere."""
    build_id = build_of_casting(session, casting_id)
    build = None if build_id is None else load_build(session, build_id)
    casting = None if build is None else build.casting(casting_id)
    if build is None or casting is None:
        raise NotThere
    return build, casting


def find_axle(session: Session, axle_id: int) -> tuple[BuildView, AxleView]:
    """The axle and its build, or NotThere."""
    build_id = build_of_axle(session, axle_id)
    build = None if build_id is None else load_build(session, build_id)
    axle = None if build is None else build.axle(axle_id)
    if build is None or axle is None:
        raise NotThere
    return build, axle


def weigh(objection: Objection | None, confirmed: bool) -> None:
    """Raise what an objection calls for."""
    if objection is None or (objection.strength is Strength.CONFIRM and confirmed):
        return
    if objection.strength is Strength.CONFIRM:
        raise Unconfirmed(objection.words)
    raise Refused(objection.words)


def tick_casting(db: Db, casting_id: int, wish: TickWish, actor: Actor) -> None:
    """Tick or untick a stage or a step of a casting."""
    with db.write() as session:
        build, casting = find_casting(session, casting_id)
        what = tickable(wish.key)
        if what is None:
            raise Refused("There is no such stage or step to tick.")
        check_casting_seen(session, casting.id, casting.version, wish.seen, actor)
        if (wish.key in casting.ticks) == wish.wanted:
            return  # it is as wanted already: a tap that arrived twice
        if casting.state == "scrapped":
            raise Refused(f"{casting.mark} is scrapped: undo the scrapping before ticking anything on it.")
        facts, order = wheel_facts(build, casting), build.order_of(casting)
        rule: Callable[..., Objection | None] = objection_to_tick if wish.wanted else objection_to_untick
        weigh(rule(wish.key, facts, order), wish.confirmed)
        _set_tick(session, build.id, casting.id, wish, what.words, actor)


def _set_tick(
    session: Session, build_id: int, casting_id: int, wish: TickWish, words: str, actor: Actor
) -> None:
    at = now()
    if wish.wanted:
        session.connection().execute(
            Tick.__table__.insert(),  # type: ignore[attr-defined]
            {"casting_id": casting_id, "key": wish.key, "at": at, "who": actor.who},
        )
    else:
        session.exec(delete(Tick).where(col(Tick.casting_id) == casting_id, col(Tick.key) == wish.key))
    sentence = f"{'Ticked' if wish.wanted else 'Unticked'} {words}."
    if wish.confirmed:
        sentence += " Confirmed against the program's advice."
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
            left, right = (wheel_facts(build, w) if w else None for w in (axle.left, axle.right))
            weigh(objection_to_quarter(left, right, build.order(axle.coupled)), wish.confirmed)
            _quarter(session, build, axle, actor)
        else:
            _unquarter(session, build, axle, actor)


def _quarter(session: Session, build: BuildView, axle: AxleView, actor: Actor) -> None:
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
    _tell_axle(session, build, axle, actor, "tick", f"Ticked axle {axle.number} quartered.")


def _unquarter(session: Session, build: BuildView, axle: AxleView, actor: Actor) -> None:
    painted = [w.mark for w in axle.wheels if w.has(Stage.PAINTED)]
    if painted:
        raise Refused(f"Painted on {' and '.join(painted)} rests on “quartered”: untick painted first.")
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
        wheels = sorted(axle.wheels, key=lambda w: not w.has(Stage.PRESSED))
        first, second = ([*wheels, None, None])[:2]
        fixed, bonded = (wheel_facts(build, w) if w else None for w in (first, second))
        weigh(objection_to_fix_and_quarter(fixed, bonded, build.order(axle.coupled)), confirmed)
        assert second is not None  # the guard refused an empty place
        wish = TickWish(Stage.PRESSED.value, True, second.version, confirmed)
        if not second.has(Stage.PRESSED):
            _set_tick(session, build.id, second.id, wish, Stage.PRESSED.words, actor)
        _quarter(session, build, axle, actor)


def no_such_tick() -> None:
    """Refuse a tick that an axle does not have."""
    raise Refused("There is no such tick on an axle.")
