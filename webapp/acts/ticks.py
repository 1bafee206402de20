"""Ticking and unticking: a casting's stages and steps, and the axle's own tick."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sqlalchemy import bindparam, insert
from sqlmodel import Session, col, delete

from domain.route.guards import (
    Objection,
    Strength,
    objection_to_quarter,
    objection_to_unquarter,
    objection_to_untick,
)
from domain.route.stages import Stage
from webapp.facts.batch_views import BatchView
from webapp.facts.before_tick import (
    TOGETHER,
    LetPassBefore,
    in_order,
    let_pass_before,
    objection_to,
    objection_to_axle,
    objections_in_one_go,
)
from webapp.facts.wheels import wheel_facts
from webapp.models import Quartering, Tick
from webapp.records.builds import hand_on_casting
from webapp.records.change import AxleChange, CastingChange, Change, change_axle, change_casting
from webapp.records.journal import now, write_line
from webapp.records.outcome import WHOLE, Refused, Unconfirmed
from webapp.records.rows import rows_by
from webapp.records.views import AxleView, BuildView, Stamp
from webapp.typed.ticks import TickWish, mark_of

_SAY_WHY = "Say in a few words why it is finished all the same."
# Put together once: that takes longer than the writing.
_TICK = insert(Tick)
_UNTICK = delete(Tick).where(
    col(Tick.casting_id) == bindparam("casting_id"), col(Tick.key) == bindparam("key")
)


@dataclass(frozen=True, slots=True)
class Passed:
    """What was in doubt and is let pass, and the reason given; both empty where nothing was."""

    words: str = ""
    reason: str = ""

    def with_before(self, before: LetPassBefore) -> Passed:
        """With what was let pass of another wheel of the batch, and so of this one: that is no reason anybody gave."""
        return Passed(f"{self.words} {before.words} As on {before.as_on}.".strip(), self.reason)

    @property
    def told(self) -> str:
        """As the journal tells it, to stand after its sentence."""
        said = f" Let pass: {self.words}" if self.words else ""
        return f"{said} Reason given: {self.reason}." if self.reason else said


def weigh(objection: Objection | None, *, wrong: str = "", said: str = "") -> None:
    """Raise what an objection calls for: a question keeps the reason that was typed, and what is wrong with it."""
    if objection is None:
        return
    if objection.strength is Strength.CONFIRM:
        raise Unconfirmed(
            objection.words, objection.each, wrong=wrong, said=said, must=objection.wants_reason
        )
    raise Refused(objection.words)


def let_pass(objection: Objection | None, wish: TickWish) -> Passed:
    """What this wish lets pass; raises what stands in its way."""
    if objection is None:
        return Passed()
    wrong = wish.reason_wrong or (_SAY_WHY if objection.wants_reason and not wish.reason else "")
    # Somebody may have logged something since the page asked: a yes to that is none to this.
    other = wish.asked not in ("", mark_of(objection.words))
    if objection.strength is Strength.REFUSE or not wish.confirmed or wrong or other:
        weigh(objection, wrong=wrong if wish.confirmed else "", said=wish.reason)
    return Passed(objection.words, wish.reason)


@change_casting("tick", scrapped=True)
def tick_casting(it: CastingChange, wish: TickWish, batch: BatchView | None = None) -> None:
    """Tick or untick a stage or a step of a casting; batch: as the end of its turn in that one."""
    casting, order = it.casting, it.build.order_of(it.casting)
    what = order.tickable(wish.key)
    if what is None:
        raise Refused("There is no such stage or step to tick on this wheel.", WHOLE)
    it.check(wish.seen)
    if (wish.key in casting.ticks) == wish.wanted:
        return  # it is as wanted already: a tap that arrived twice
    if casting.state == "scrapped":
        raise Refused(f"{casting.mark} is scrapped: undo the scrapping before ticking anything on it.")
    if wish.wanted:
        before = let_pass_before(it.build, casting, wish.key, batch) if batch else None
        if before is not None and before.mark != wish.passing:
            before = None  # its page had not said so
        in_batch, passed_before = batch is not None, before is not None
        asked = objection_to(
            it.build, casting, wish.key, now(), in_batch=in_batch, passed_before=passed_before
        )
        passed = let_pass(asked, wish)
        passed = passed if before is None else passed.with_before(before)
    else:
        passed = let_pass(
            objection_to_untick(wish.key, wheel_facts(it.build, casting, judged=False), order), wish
        )
    if what is Stage.PRESSED:
        forget_quarterings(it.session, casting.id, casting.axle_id)
    stamp, version = _set_tick(it, casting.id, wish, what.words, passed)
    axle = it.build.axle(casting.axle_id)
    if what is not Stage.PRESSED or axle is None or axle.quartered is None:
        # Of the build nothing else is changed by it, so what is drawn next need not be loaded.
        ticks = {key: one for key, one in casting.ticks.items() if key != wish.key}
        if stamp is not None:
            ticks[wish.key] = stamp
        hand_on_casting(it.session, it.build, replace(casting, ticks=ticks, version=version))


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
    it: Change, casting_id: int, wish: TickWish, words: str, passed: Passed
) -> tuple[Stamp | None, int]:
    """Set or take off the tick, and tell it; the tick as it now is, and the casting's version."""
    at, row = now(), {"casting_id": casting_id, "key": wish.key}
    if wish.wanted:
        stored = {**row, "at": at, "who": it.actor.who, "let_pass": passed.words, "reason": passed.reason}
        stored["device_at"] = it.actor.device_at
        rows_by(it.session, _TICK, stored)
    else:
        rows_by(it.session, _UNTICK, row)
    kind = "tick" if wish.wanted else "untick"
    sentence = f"{'Ticked' if wish.wanted else 'Unticked'} {words}.{passed.told}"
    version = write_line(
        it.session, it.actor, kind, sentence, build_id=it.build.id, casting_id=casting_id, at=at
    )
    stamp = None
    if wish.wanted:
        stamp = Stamp(it.actor.who, at, passed.words, passed.reason, it.actor.device_at)
    return stamp, version


@change_axle("quartering")
def tick_quartered(it: AxleChange, wish: TickWish) -> None:
    """Tick or untick an axle as quartered, both wheels together."""
    build, axle = it.build, it.axle
    it.check(wish.seen)
    if (axle.quartered is not None) == wish.wanted:
        return
    if not wish.wanted:
        _unquarter(it)
        return
    _refuse_carrying(build, axle)
    _quarter(it, let_pass(objection_to_axle(build, axle, wish.key), wish))


def _refuse_carrying(build: BuildView, axle: AxleView) -> None:
    objection = None if axle.coupled else objection_to_quarter(None, None, build.order(axle.coupled))
    if objection is not None:
        raise Refused(objection.words, WHOLE)


def _quarter(it: AxleChange, passed: Passed) -> None:
    left, right = it.axle.left, it.axle.right
    assert left is not None and right is not None  # the guard refused an empty place
    row = Quartering(
        axle_id=it.axle.id,
        left_casting_id=left.id,
        right_casting_id=right.id,
        at=now(),
        who=it.actor.who,
        let_pass=passed.words,
        reason=passed.reason,
    )
    it.session.add(row)
    it.tell_wheels("tick", f"Ticked axle {it.axle.number} quartered.{passed.told}")


def _unquarter(it: AxleChange) -> None:
    axle = it.axle
    facts = (wheel_facts(it.build, wheel, judged=False) for wheel in axle.wheels)
    weigh(objection_to_unquarter(facts, it.build.order(axle.coupled)))
    it.session.exec(
        delete(Quartering).where(
            col(Quartering.axle_id) == axle.id,
            col(Quartering.left_casting_id).in_([w.id for w in axle.wheels]),
        )
    )
    it.tell_wheels("untick", f"Unticked axle {axle.number} quartered.")


@change_axle("fixing")
def fix_and_quarter(it: AxleChange, wish: TickWish) -> None:
    """Tick a second wheel fixed and its axle quartered, in one go."""
    build, axle = it.build, it.axle
    if axle.quartered is not None:
        return
    _refuse_carrying(build, axle)
    let_pass(objection_to_axle(build, axle, TOGETHER), wish)
    # Each tick keeps what was asked of it alone.
    fixing, quartering = (
        Passed(one.words if one else "", wish.reason) for one in objections_in_one_go(build, axle)
    )
    _, second = in_order(axle)
    assert second is not None  # the guard refused an empty place
    if not second.has(Stage.PRESSED):
        forget_quarterings(it.session, second.id, axle.id)
        _set_tick(
            it, second.id, TickWish(Stage.PRESSED.value, True, second.version), Stage.PRESSED.words, fixing
        )
    _quarter(it, quartering)


def no_such_tick() -> None:
    """Refuse a tick that an axle does not have."""
    raise Refused("There is no such tick on an axle.", WHOLE)
