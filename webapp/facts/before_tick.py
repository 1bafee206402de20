"""What stands in the way of a tick, or is asked before it: one answer for the checklist, the batch and the tick itself."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from domain.joints.cure import UNTIMED_BOND, UNTOLD
from domain.lengths.systems import shown_in
from domain.route.guards import (
    Objection,
    Order,
    Strength,
    Wheel,
    asked,
    hole_words,
    objection_to_fix_and_quarter,
    objection_to_quarter,
    objection_to_tick,
    objections_to_fix_and_quarter,
)
from domain.route.stages import CRANKPIN_HOLE, CRANKPIN_IN, TYRE_ON, Pins, Stage, Step, tickable
from domain.stock import words as say
from webapp.facts.assembly import list_asked
from webapp.facts.batch_views import BatchView
from webapp.facts.clock import clock_doubted
from webapp.facts.crankpins import pin_of, pins_missing, ticked_at
from webapp.facts.cure import curing_words, worked
from webapp.facts.facts import facts_of
from webapp.facts.metal import HEADS, measured_first
from webapp.facts.metal_ask import cuts_left, not_after
from webapp.facts.quartering import quarter_doubts
from webapp.facts.received import received_asked
from webapp.facts.unfit import unfit
from webapp.facts.wheels import DOUBTED, hole_asked, hole_missing, wheel_facts
from webapp.records.views import SIDES, AxleView, BuildView, CastingView
from webapp.typed.ticks import mark_of

# Fixing the second wheel and quartering the axle, ticked in one go.
TOGETHER = "pressed_and_quartered"


def objection_to(
    build: BuildView,
    casting: CastingView,
    key: str,
    now: datetime,
    *,
    brief: bool = False,
    begun: bool = True,
    doubted: bool | None = None,
    in_batch: bool = False,
    passed_before: bool = False,
    again: bool = False,
) -> Objection | None:
    """Why this stage or step of a casting is not simply ticked; all that is in doubt is asked about at once.

    brief: for the line of the checklist, which says no more than what to wait for. begun: whether the work is
    done by now, so that cuts still to come are asked about. doubted: whether the clock that
    says `now` could not be trusted; None where it is the machine's at this moment. in_batch: whether it is ticked on the
    sheet of a batch, which says before the cut what is to be measured first. passed_before: whether what is not measured
    was let pass in that batch already. again: of a tick that stands, so that a cut made since answers nothing.
    """
    found = _in_doubt(build, casting, key, now, brief=brief, begun=begun, doubted=doubted, again=again)
    if brief or again or passed_before or not begun:
        return found
    # What nobody measured is named in whatever question is asked anyway. It opens one of its own only where the sheet
    # with the tick says so beside it: a batch's does, the checklist does not, and who measures is never asked the more.
    first = _measure_first(casting, measured_first(build, casting, key))
    if found is None and not (in_batch and first):
        return None
    more = first or _not_after(build, casting, key)
    return _with(found, (more,)) if more else found


def _not_after(build: BuildView, casting: CastingView, key: str) -> str:
    return say.not_after(casting.mark, (face.measured for face in not_after(build, casting, key)))


def _in_doubt(
    build: BuildView,
    casting: CastingView,
    key: str,
    now: datetime,
    *,
    brief: bool,
    begun: bool,
    doubted: bool | None,
    again: bool,
) -> Objection | None:
    """What its judges ask or refuse."""
    axle = build.axle(casting.axle_id)
    # With the axle quartered since, no wheel of it was fixed alone.
    beside = axle.wheels if axle and axle.quartered is None else ()
    fellow = next((one for one in beside if one.id != casting.id), None)
    found = objection_to_tick(
        key,
        wheel_facts(build, casting, judged=key in DOUBTED, begun=begun and not brief),
        build.order_of(casting),
        wheel_facts(build, fellow, judged=False) if fellow else None,
    )
    found = _with(found, (cure_asked(build, casting, key, now, brief=brief, doubted=doubted),))
    # On the checklist the list has a line of its own.
    if not brief:
        found = _with(found, (list_asked(build, casting, key, now),))
        found = _with(found, _crankpin_first(build, casting, key, now))
    if begun and not brief:
        found = _with(found, _cuts_left(build, casting, key))
    if key == TYRE_ON:
        return _with(found, (facts_of(build.of(casting)).tyres.asked_on_axle(casting, now),))
    # On the checklist the wheel's head says that it does not clean up.
    unfit_cut = not brief and key == build.order_of(casting).first_cut.value and unfit(build, casting)
    if key == Stage.RECEIVED.value or unfit_cut:
        return _with(found, (received_asked(build, casting, cut_settles=not again),))
    if key == CRANKPIN_IN:
        return _with(found, pin_of(build, casting).doubts)
    if key != Stage.PAINTED.value:
        return found
    if pin_wanted(build, casting, key):
        words = "Crankpin not ticked in." if brief else f"The crankpin of {casting.mark} is not ticked in."
        found = _with(found, (words,))
    made = facts_of(build).made.called_out(casting)
    grave = made.grave or (found is not None and found.strength is Strength.CONFIRM)
    found = _with(found, made.sentences(brief=brief))
    return replace(found, wants_reason=True) if found is not None and grave else found


def _measure_first(casting: CastingView, missing: str) -> str:
    return f"{HEADS['measure']} on {casting.mark}. {missing}" if missing else ""


@dataclass(frozen=True, slots=True)
class LetPassBefore:
    """What is missing of a wheel in just the words let pass of another one of its batch, which one, and a mark of it."""

    words: str
    as_on: str
    mark: str


def let_pass_before(
    build: BuildView, casting: CastingView, key: str, batch: BatchView
) -> LetPassBefore | None:
    """What this tick need not ask again, for the same was missing of a wheel ticked in this batch and let pass there.

    Only what is missing: what a judge says of a wheel is asked of each one.
    """
    with shown_in(both=True):  # as it is kept
        missing = measured_first(build, casting, key)
        if not missing:
            return None
        found = []
        for other in (one for turn in batch.turns for one in turn.castings if one.id != casting.id):
            stamp = other.ticks.get(key)
            if stamp is None or stamp.at < batch.at or not stamp.let_pass:
                continue
            bare = replace(other, ticks={own: at for own, at in other.ticks.items() if own != key})
            same = measured_first(build, bare, key) == missing
            if same and _measure_first(other, missing) in stamp.let_pass:
                found.append((stamp.at, other.mark))
    words = _measure_first(casting, missing)
    return LetPassBefore(words, min(found)[1], mark_of(words)) if found else None


def pin_wanted(build: BuildView, casting: CastingView, key: str) -> bool:
    """Whether this tick asks for a crankpin that is not ticked in: fixing only where the builder says it goes in before."""
    if not build.order_of(casting).coupled or CRANKPIN_IN in casting.ticks:
        return False
    before = build.work_texts.get("pins") == Pins.BEFORE.value
    return key == Stage.PAINTED.value or (key == Stage.PRESSED.value and before)


def crankpin_at(build: BuildView, casting: CastingView, key: str) -> str:
    """Where the hole or the pin is ticked that this tick asks for; empty where it asks for none."""
    if key == Stage.PRESSED.value and hole_missing(build, casting):
        return ticked_at(build, casting, CRANKPIN_HOLE)
    return ticked_at(build, casting, CRANKPIN_IN) if pin_wanted(build, casting, key) else ""


def _crankpin_first(build: BuildView, casting: CastingView, key: str, now: datetime) -> Iterable[str]:
    """What of its crankpin comes before the wheel is fixed, and is not there: its hole, and where the builder says so
    its pin."""
    if key != Stage.PRESSED.value:
        return
    if hole_asked(build, casting, now):
        yield hole_words(casting.mark, build.order_of(casting))
    if pin_wanted(build, casting, key):
        yield f"The crankpin of {casting.mark} is not ticked in, and it goes in before the wheel is fixed."


def _cuts_left(build: BuildView, casting: CastingView, key: str) -> Iterable[str]:
    return (say.cuts_left(casting.mark, left, build.unit) for left in cuts_left(build, casting, key))


def objection_to_axle(build: BuildView, axle: AxleView, key: str) -> Objection | None:
    """Why an axle is not simply ticked quartered, or its second wheel fixed and the axle quartered in one go."""
    if key == TOGETHER:
        return _with(objection_to_fix_and_quarter(*_in_one_go(build, axle)), _fixing(build, axle))
    left, right = (wheel_facts(build, wheel) if wheel else None for wheel in (axle.left, axle.right))
    return objection_to_quarter(left, right, build.order(axle.coupled), _quarter_doubts(build, axle))


def objections_in_one_go(build: BuildView, axle: AxleView) -> tuple[Objection | None, Objection | None]:
    """The same of fixing the second wheel and of quartering the axle, each for itself."""
    fixing, quartering = objections_to_fix_and_quarter(*_in_one_go(build, axle))
    return _with(fixing, _fixing(build, axle)), quartering


def objection_to_compound(build: BuildView, axle: AxleView) -> Objection | None:
    """What fixing the second wheel and quartering will ask or refuse, asked before the clock of its compound begins.

    All but the heights: those are set while it is wet. Compound that is on is on, so nothing is refused here.
    """
    fixed, second, order, _ = _in_one_go(build, axle)
    if second is None:
        return None
    after = replace(second, ticked=second.ticked | {Stage.PRESSED.value})
    judged = (
        objection_to_tick(Stage.PRESSED.value, second, order),
        objection_to_quarter(fixed, after, order),
    )
    asking = (words for one in judged if one is not None for words in one.each)
    return asked(words for words in (*asking, *_fixing(build, axle)) if words)


def _fixing(build: BuildView, axle: AxleView) -> Iterable[str]:
    """What is asked as the second wheel goes on, of its bond as the cure begins, and of what must be on before it."""
    _, second = in_order(axle)
    if second is None:
        return ()
    key, now = Stage.PRESSED.value, datetime.now(UTC)
    return (
        cure_asked(build, second, key, now),
        list_asked(build, second, key, now),
        *_crankpin_first(build, second, key, now),
    )


def _in_one_go(build: BuildView, axle: AxleView) -> tuple[Wheel | None, Wheel | None, Order, tuple[str, ...]]:
    fixed, second = (wheel_facts(build, wheel) if wheel else None for wheel in in_order(axle))
    _, going_on = in_order(axle)
    # Of a pin that goes in before fixing the fixing asks.
    asks = going_on is not None and pin_wanted(build, going_on, Stage.PRESSED.value)
    return fixed, second, build.order(axle.coupled), _quarter_doubts(build, axle, going_on if asks else None)


def _quarter_doubts(build: BuildView, axle: AxleView, but: CastingView | None = None) -> tuple[str, ...]:
    doubts = quarter_doubts(build, axle, facts_of(build).quartering.of(axle))
    return tuple(filter(None, (*doubts, pins_missing(build, axle, but))))


def asked_again(build: BuildView, casting: CastingView, key: str) -> Objection | None:
    """What would be asked by now before a tick that stands; None where all that was asked is settled.

    A cure is asked about at the hour of the tick: waiting mends no cut that was taken too soon, and no clock that was
    wrong then.
    """
    axle = build.axle(casting.axle_id)
    if key == Stage.QUARTERED.value and axle is not None:
        return objection_to_axle(build, replace(axle, quartered=None), key)
    what = tickable(key)
    off = {key, what.closed_by} if isinstance(what, Step) else {key}
    without = {own: stamp for own, stamp in casting.ticks.items() if own not in off}
    stamp = casting.ticks[key]
    doubted = any(words in stamp.let_pass for words in (UNTIMED_BOND, UNTOLD))
    bare = replace(casting, ticks=without)
    found = objection_to(build, bare, key, stamp.at, doubted=doubted, again=True)
    since = _not_after(build, bare, key)
    if since and since in stamp.let_pass:
        return _with(found, (since,))
    if HEADS["measure"] not in stamp.let_pass:
        return found
    # Of the metal that this cut was to take: what was cut later is no part of it.
    before = {own: one for own, one in without.items() if one.at < stamp.at}
    missing = measured_first(build, replace(casting, ticks=before), key)
    return _with(found, (_measure_first(casting, missing),))


def in_order(axle: AxleView) -> tuple[CastingView | None, CastingView | None]:
    """The wheel of an axle that is on already, or is to go on first, and the second one."""
    wheels = sorted(axle.wheels, key=lambda w: not w.has(Stage.PRESSED))
    return next(iter(wheels), None), next(iter(wheels[1:]), None)


def second_to_fix(axle: AxleView) -> CastingView | None:
    """The wheel that goes on as the axle is quartered; None where that is not what comes next."""
    first, second = in_order(axle)
    if not axle.coupled or first is None or second is None or len(axle.wheels) < len(SIDES):
        return None
    return second if first.has(Stage.PRESSED) and not second.has(Stage.PRESSED) else None


def _with(found: Objection | None, more: Iterable[str]) -> Objection | None:
    """An objection with more to ask about; what is refused is refused for what it is alone."""
    if found is not None and found.strength is Strength.REFUSE:
        return found
    return asked(words for words in (*(found.each if found else ()), *more) if words)


def cure_asked(
    build: BuildView,
    wheel: CastingView,
    key: str,
    now: datetime,
    *,
    brief: bool = False,
    doubted: bool | None = None,
) -> str:
    """What its joint as judged makes a tick wait for; empty where it waits for nothing."""
    joint = facts_of(build.of(wheel)).joints.of(wheel) if worked(wheel, key) else None
    if doubted is None:
        doubted = clock_doubted(build, now)
    finding = joint.finding if joint else None
    return curing_words(build, wheel, finding, key, now, brief=brief, doubted=doubted)
