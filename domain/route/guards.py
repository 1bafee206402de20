"""The guards on the order of work: what may be ticked, what may be unticked, and why not."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache

from domain.route.stages import CRANKPIN_HOLE, Pins, Route, Stage, Step, stages, steps, tickable

_NOT_ON_AXLE = "Both wheels must be on the axle before it is quartered"


class Strength(StrEnum):
    """Whether an objection refuses, or asks to be confirmed."""

    REFUSE = "refuse"
    CONFIRM = "confirm"


@dataclass(frozen=True)
class Objection:
    """Why a tick is not simply taken, in words; whether it is confirmed only with a reason.

    questions: what is asked, one by one, where it is more than the words at once.
    """

    strength: Strength
    words: str
    wants_reason: bool = False
    questions: tuple[str, ...] = ()

    @property
    def each(self) -> tuple[str, ...]:
        """What is refused or asked, one by one."""
        return self.questions or (self.words,)


@dataclass(frozen=True)
class Order:
    """What a wheel's order of work depends on besides the wheel itself."""

    route: Route
    coupled: bool
    # Painted in the rough, before any cut; it is ticked painted last all the same.
    paint_first: bool = False
    # When crankpin holes are drilled and pins go in.
    pins: Pins = Pins.BEFORE
    # With a steel tyre, which goes on before its tread is turned.
    tyred: bool = False

    @property
    def stages(self) -> tuple[Stage, ...]:
        """The stages in order."""
        return stages(self.route, coupled=self.coupled)

    def steps(self, stage: Stage) -> tuple[Step, ...]:
        """The small steps inside a stage."""
        return steps(
            stage,
            coupled=self.coupled,
            route=self.route,
            paint_first=self.paint_first,
            pins=self.pins,
            tyred=self.tyred,
        )

    def closed_by(self, stage: Stage) -> frozenset[str]:
        """The keys of the small steps that a stage's tick says were done: its own, and what was done earlier for it.

        >>> sorted(Order(Route.FITTED_FIRST, coupled=True).closed_by(Stage.QUARTERED))
        ['quartered.hole']
        """
        return _closed_by(self, stage)

    def tickable(self, key: str) -> Stage | Step | None:
        """The stage or step with this key, where this order has it; None where it has none."""
        what = tickable(key)
        if isinstance(what, Step):
            return next((one for stage in self.stages for one in self.steps(stage) if one.key == key), None)
        return what if what in self.stages else None

    @property
    def quartered_as_fixed(self) -> bool:
        """Whether an axle is quartered as its second wheel goes on: a quartering jig does it after."""
        return self.coupled and self.pins is not Pins.JIG

    @property
    def front_first(self) -> bool:
        """Whether the front is faced before the back: the first cut is then the front's."""
        return self.stages.index(Stage.BORED) < self.stages.index(Stage.BACK_FACED)

    @property
    def first_cut(self) -> Stage:
        """The stage that cuts the casting first."""
        return Stage.BORED if self.front_first else Stage.BACK_FACED

    @property
    def before_bore(self) -> Stage:
        """The stage after which a bore may be there, to be measured."""
        return self.stages[self.stages.index(Stage.BORED) - 1]

    @property
    def by_bore(self) -> tuple[str, ...]:
        """What is set by the bore before the wheel is fixed, and so waits while the bore is to be put right.

        >>> Order(Route.MANDREL_FIRST, coupled=True).by_bore
        ('quartered.hole', 'tread_turned')
        """
        after = self.stages[self.stages.index(Stage.BORED) + 1 : self.stages.index(Stage.PRESSED)]
        return (*((CRANKPIN_HOLE,) if self.coupled else ()), *(stage.value for stage in after))


@cache
def _closed_by(order: Order, stage: Stage) -> frozenset[str]:
    return frozenset(step.key for one in Stage for step in order.steps(one) if step.closed_by is stage)


@dataclass(frozen=True)
class Doubt:
    """What wants a second thought before a stage or step is ticked, in whole sentences that name the wheel.

    waits: whether the plan waits for it too; a figure that is only missing is asked about at the tick alone.
    """

    key: str
    words: str
    waits: bool = True


@dataclass(frozen=True)
class Wheel:
    """The facts about one wheel that the guards ask for."""

    mark: str
    ticked: frozenset[str]
    placed: bool = True
    bore_logged: bool = False
    throw_logged: bool = False
    doubts: tuple[Doubt, ...] = ()

    def has(self, stage: Stage) -> bool:
        """Whether the stage is ticked."""
        return stage.value in self.ticked

    @property
    def drilled(self) -> bool:
        """Whether its crankpin hole is there."""
        return drilled(self.ticked, throw_logged=self.throw_logged)

    def doubted(self, key: str) -> tuple[str, ...]:
        """What is asked before this is ticked."""
        return tuple(doubt.words for doubt in self.doubts if doubt.key == key)


def drilled(ticked: Collection[str], *, throw_logged: bool) -> bool:
    """Whether a crankpin hole is there: ticked, or measured by its throw.

    >>> drilled((), throw_logged=True), drilled((), throw_logged=False)
    (True, False)
    """
    return throw_logged or CRANKPIN_HOLE in ticked


def needed(stage: Stage, order: Order) -> tuple[Stage, ...]:
    """The stages that must be ticked on a wheel before this one.

    All earlier ones of the route; but the second wheel is quartered as it is fixed, so quartering does not wait for a
    tread that is turned on the axle. Where the set is turned between its own centres, the treads wait for the quartering.
    Raises: ValueError when the stage is not on this wheel's route.
    Source: common practice, no source.

    >>> [s.words for s in needed(Stage.BORED, Order(Route.FITTED_FIRST, True))]
    ['received', 'back faced']
    >>> Stage.TREAD_TURNED in needed(Stage.QUARTERED, Order(Route.FITTED_FIRST, True))
    False
    """
    earlier = order.stages[: order.stages.index(stage)]
    if stage is Stage.QUARTERED:
        return tuple(
            s for s in earlier if s is not Stage.TREAD_TURNED or order.route is not Route.FITTED_FIRST
        )
    return earlier


def _joined(words: Iterable[str]) -> str:
    listed = list(words)
    return listed[0] if len(listed) == 1 else ", ".join(listed[:-1]) + " and " + listed[-1]


def _missing(wheel: Wheel, wanted: Iterable[Stage]) -> list[Stage]:
    return [stage for stage in wanted if not wheel.has(stage)]


def asked(words: Iterable[str]) -> Objection | None:
    """The objection that asks about all of these, each once; None where there is nothing to ask."""
    questions = tuple(dict.fromkeys(words))
    several = questions if len(questions) > 1 else ()
    return Objection(Strength.CONFIRM, " ".join(questions), questions=several) if questions else None


def objection_to_tick(key: str, wheel: Wheel, order: Order, fellow: Wheel | None = None) -> Objection | None:
    """Why this wheel is not simply ticked for this stage or step, or None when it is.

    Refused: what needs an earlier stage of its route, fixing a wheel without a place, quartering one wheel alone. All
    that is in doubt is asked about at once, and so are a bore that was never logged, and a second wheel fixed alone:
    `fellow` is the other wheel of its axle.
    Source: common practice, no source.

    >>> order = Order(Route.FITTED_FIRST, coupled=True)
    >>> objection_to_tick("bored", Wheel("A", frozenset({"received"})), order).words[:42]
    'A is not back faced yet, so it cannot be t'
    >>> objection_to_tick("back_faced", Wheel("A", frozenset({"received"})), order) is None
    True
    """
    what = order.tickable(key)
    if what is None:
        kind = "step" if isinstance(tickable(key), Step) else "stage"
        return Objection(Strength.REFUSE, f"There is no such {kind} for this wheel.")
    if isinstance(what, Step):
        wanted, why = needed(what.stage, order), what.stage.why
        if what.after is not None:
            wanted, why = (*needed(what.after, order), what.after), ""
        return _refuse_missing(wheel, wanted, what.words, why) or asked(wheel.doubted(key))
    stage = what
    if stage is Stage.QUARTERED:
        return Objection(
            Strength.REFUSE, "Quartered belongs to the axle: tick it there, for both wheels at once."
        )
    refused = _refuse_missing(wheel, needed(stage, order), stage.words, stage.why)
    if refused or stage is not Stage.PRESSED:
        return refused or asked(wheel.doubted(key))
    if not wheel.placed:
        return Objection(
            Strength.REFUSE, f"{wheel.mark} is a spare: give it a place on an axle before it is pressed."
        )
    return asked((*_fixed_alone(wheel, fellow, order), *_to_fix(wheel)))


def _to_fix(wheel: Wheel) -> Iterator[str]:
    if not wheel.bore_logged:
        yield (
            f"No bore is logged for {wheel.mark}: measure and log it first, so that the fit is known before the wheel"
            " goes on."
        )
    yield from wheel.doubted(Stage.PRESSED.value)


def hole_first(wheel: Wheel, fellow: Wheel | None, order: Order) -> bool:
    """Whether a crankpin hole is missing that is drilled before this wheel is fixed, for the jig's plug goes in a bore.

    It is the wheel's own, but with a quartering jig one of its axle's is enough, which sets the other.
    Parameters: `wheel`; `fellow`, the other wheel of its axle, None while that place is empty; `order`.
    Returns: True or False; False of a wheel that is fixed already.
    Source: common practice, no source.

    >>> bare, order = Wheel("A", frozenset({"bored"})), Order(Route.FITTED_FIRST, coupled=True)
    >>> hole_first(bare, None, order), hole_first(replace(bare, throw_logged=True), None, order)
    (True, False)
    """
    if not order.coupled or wheel.drilled or wheel.has(Stage.PRESSED):
        return False
    return order.quartered_as_fixed or fellow is None or not fellow.drilled


def hole_words(mark: str, order: Order) -> str:
    """What is asked of a wheel that is fixed while that hole is missing."""
    if not order.quartered_as_fixed:
        return (
            f"No crankpin hole is ticked drilled on the axle of {mark}, and its first is drilled before the wheel"
            " is fixed."
        )
    return f"The crankpin hole of {mark} is not ticked drilled, and it is drilled before the wheel is fixed."


def _throws_first(*wheels: Wheel) -> str:
    bare = [wheel.mark for wheel in wheels if not wheel.throw_logged]
    return f" Log the throw of {_joined(bare)} first: without it no axle is ticked quartered." if bare else ""


def _fixed_alone(wheel: Wheel, fellow: Wheel | None, order: Order) -> Iterator[str]:
    if order.quartered_as_fixed and fellow is not None and fellow.has(Stage.PRESSED):
        yield (
            f"{wheel.mark} is the second wheel of its axle: quarter it as it goes on, and tick both in one go."
            f" Afterwards it cannot be turned.{_throws_first(wheel, fellow)}"
        )


def _refuse_missing(wheel: Wheel, wanted: Iterable[Stage], words: str, why: str) -> Objection | None:
    missing = _missing(wheel, wanted)
    if not missing:
        return None
    return Objection(
        Strength.REFUSE,
        f"{wheel.mark} is not {_joined(s.words for s in missing)} yet, so it cannot be ticked “{words}”."
        + (f" {why}" if why else ""),
    )


def objection_to_untick(key: str, wheel: Wheel, order: Order) -> Objection | None:
    """Why this tick may not be taken off again, or None when it may.

    Formula: none; a stage that later ticked stages rest on is refused and they are named; a stage with a
    measurement resting on it wants to be confirmed, and the measurement stays.
    Parameters: `key`, the stage's or step's key; `wheel`, its facts; `order`, its order of work.
    Returns: the objection, or None.
    Source: common practice, no source.

    >>> order = Order(Route.FITTED_FIRST, coupled=True)
    >>> objection_to_untick("received", Wheel("A", frozenset({"received", "back_faced"})), order).words
    'Back faced on A rests on “received”: untick back faced first.'
    """
    what = tickable(key)
    if isinstance(what, Step):
        return None
    if what is None or what not in order.stages:
        return Objection(Strength.REFUSE, "There is no such stage for this wheel.")
    if what is Stage.QUARTERED:
        return Objection(Strength.REFUSE, "Quartered belongs to the axle: untick it there.")
    resting = _resting_on(what, (wheel,), order)
    if resting:
        return resting
    under_hole = what is Stage.BORED or (what is Stage.BACK_FACED and not order.front_first)
    if under_hole and (wheel.bore_logged or wheel.throw_logged):
        measured = _joined(
            [w for w, there in (("bore", wheel.bore_logged), ("throw", wheel.throw_logged)) if there]
        )
        return Objection(
            Strength.CONFIRM,
            f"A {measured} is logged for {wheel.mark}, which says the hole is there. The measurement stays on "
            f"record if you untick “{what.words}”.",
        )
    return None


def _resting_on(what: Stage, wheels: Iterable[Wheel], order: Order) -> Objection | None:
    """The stages ticked on these wheels that need this one; None when there are none."""
    later = [stage for stage in order.stages if what in needed(stage, order)]
    on = [wheel for wheel in wheels if any(map(wheel.has, later))]
    resting = [stage for stage in later if any(wheel.has(stage) for wheel in on)]
    if not resting:
        return None
    words, marks = _joined(stage.words for stage in resting), _joined(wheel.mark for wheel in on)
    return Objection(
        Strength.REFUSE,
        f"{words.capitalize()} on {marks} {'rests' if len(resting) == 1 else 'rest'} on "
        f"“{what.words}”: untick {words} first.",
    )


def objection_to_unquarter(wheels: Iterable[Wheel], order: Order) -> Objection | None:
    """Why an axle's quartering may not be unticked, or None when it may.

    Formula: none; what is ticked on either wheel and needs quartering is refused and named.
    Parameters: `wheels`, those on the axle; `order`, their order of work.
    Returns: the objection, or None.
    Raises: nothing.
    Source: common practice, no source.

    >>> order = Order(Route.FITTED_FIRST, coupled=True)
    >>> objection_to_unquarter([Wheel("A", frozenset({"painted"}))], order).words
    'Painted on A rests on “quartered”: untick painted first.'
    """
    # An axle that was made a carrying one since may still have its tick.
    return _resting_on(Stage.QUARTERED, wheels, replace(order, coupled=True))


def after_fixing() -> tuple[Stage, ...]:
    """The stages that follow fixing on one route or another, and so may have to wait for a bond.

    Formula: none, a look-up.
    Parameters: none.
    Returns: the stages, in order (no unit).
    Raises: nothing.
    Source: common practice, no source.

    >>> [stage.words for stage in after_fixing()]
    ['tread turned', 'quartered', 'painted']
    """
    return tuple(stage for stage in Stage if any(_follows_fixing(stage)))


def off_the_axle() -> tuple[Stage, ...]:
    """The stages a wheel loses with its axle: fixing, and what can only follow it whichever the route.

    Formula: none; the quartering is left out, for it is the axle's own tick.
    Parameters: none.
    Returns: the stages, in order (no unit).
    Raises: nothing.
    Source: common practice, no source.

    >>> [stage.words for stage in off_the_axle()]
    ['pressed', 'painted']
    """
    own = (stage for stage in after_fixing() if stage is not Stage.QUARTERED and all(_follows_fixing(stage)))
    return (Stage.PRESSED, *own)


def _follows_fixing(stage: Stage) -> list[bool]:
    """Whether the stage needs fixing, for each route it is on."""
    orders = (Order(route, coupled=True) for route in Route)
    return [Stage.PRESSED in needed(stage, order) for order in orders if stage in order.stages]


def objection_to_quarter(
    left: Wheel | None, right: Wheel | None, order: Order, doubts: Iterable[str] = ()
) -> Objection | None:
    """Why the axle is not simply ticked quartered, or None when it is.

    Refused: an empty place, a wheel not on the axle, a throw that is not logged, and what the route puts before
    quartering. Asked about: the wheels' doubts, and `doubts`, the axle's own.
    Source: common practice, no source.

    >>> order = Order(Route.FITTED_FIRST, coupled=True)
    >>> objection_to_quarter(None, Wheel("B", frozenset()), order).words
    'The left place is empty: an axle is quartered with both its wheels.'
    """
    if not order.coupled:
        return Objection(Strength.REFUSE, "A carrying axle has no crankpins, so there is nothing to quarter.")
    for side, wheel in (("left", left), ("right", right)):
        if wheel is None:
            return Objection(
                Strength.REFUSE, f"The {side} place is empty: an axle is quartered with both its wheels."
            )
    wheels = [w for w in (left, right) if w is not None]
    off = [w.mark for w in wheels if not w.has(Stage.PRESSED)]
    if off:
        are = "is" if len(off) == 1 else "are"
        return Objection(Strength.REFUSE, f"{_NOT_ON_AXLE}: {_joined(off)} {are} not pressed yet.")
    bare = [w.mark for w in wheels if not w.throw_logged]
    if bare:
        return Objection(
            Strength.REFUSE,
            f"No throw is logged for {_joined(bare)}: log both throws before the axle is ticked quartered.",
        )
    for wheel in wheels:
        refused = _refuse_missing(
            wheel, needed(Stage.QUARTERED, order), Stage.QUARTERED.words, Stage.QUARTERED.why
        )
        if refused:
            return refused
    return asked((*(words for w in wheels for words in w.doubted(Stage.QUARTERED.value)), *doubts))


def objections_to_fix_and_quarter(
    fixed: Wheel | None, second: Wheel | None, order: Order, doubts: Iterable[str] = ()
) -> tuple[Objection | None, Objection | None]:
    """Why the second wheel is not simply ticked fixed, and why its axle is not simply ticked quartered in the same go.

    `fixed` is the wheel that is on already, `second` the one that goes on now; `doubts` are the axle's own. What refuses
    stands alone.
    Source: common practice, no source.

    >>> on = Wheel("A", frozenset({"received", "back_faced", "bored", "pressed"}), True, True, True)
    >>> off = Wheel("B", frozenset({"received", "back_faced", "bored"}), True, True, True)
    >>> objections_to_fix_and_quarter(on, off, Order(Route.FITTED_FIRST, True))
    (None, None)
    """
    if not order.coupled:
        return None, objection_to_quarter(fixed, second, order)
    if second is None:
        return Objection(
            Strength.REFUSE, "One place is empty: an axle is quartered with both its wheels."
        ), None
    if not order.quartered_as_fixed:
        return Objection(
            Strength.REFUSE,
            f"{second.mark} gets its crankpin hole through the quartering jig, once it is on: tick it pressed alone, and"
            " the axle quartered when both throws are logged.",
        ), None
    if fixed is None or not fixed.has(Stage.PRESSED):
        return Objection(Strength.REFUSE, f"{_NOT_ON_AXLE}: fix the first wheel, then the second."), None
    first = objection_to_tick(Stage.PRESSED.value, second, order)
    if first is not None and first.strength is Strength.REFUSE:
        return first, None
    after = replace(second, ticked=second.ticked | {Stage.PRESSED.value})
    then = objection_to_quarter(fixed, after, order, doubts)
    refused = then is not None and then.strength is Strength.REFUSE
    return None if refused else first, then


def objection_to_fix_and_quarter(
    fixed: Wheel | None, second: Wheel | None, order: Order, doubts: Iterable[str] = ()
) -> Objection | None:
    """The same as one objection: what refuses alone, else every question of both.

    >>> on = Wheel("A", frozenset({"received", "back_faced", "bored", "pressed"}), True, True, True)
    >>> off = Wheel("B", frozenset({"received", "back_faced", "bored"}), True, True, True)
    >>> objection_to_fix_and_quarter(on, off, Order(Route.FITTED_FIRST, True), ["No heights."]).words
    'No heights.'
    """
    both = [one for one in objections_to_fix_and_quarter(fixed, second, order, doubts) if one is not None]
    refused = next((one for one in both if one.strength is Strength.REFUSE), None)
    return refused or asked(words for one in both for words in one.each)


def objection_to_measure(what: str, wheel: Wheel, order: Order) -> Objection | None:
    """Why a bore or a throw may not be logged for this wheel yet, or None when it may.

    Formula: none; a bore can be there only after what the route puts before boring, such as the back that is faced
    first so that no hole is put through from it; a crankpin hole only after the bore.
    Parameters: `what`, "bore" or "throw"; `wheel`; `order`.
    Returns: the objection, or None.
    Source: common practice, no source.

    >>> order = Order(Route.FITTED_FIRST, coupled=True)
    >>> objection_to_measure("throw", Wheel("A", frozenset({"received", "back_faced"})), order).words
    'A is not bored yet, so it has no throw to log.'
    """
    if what == "throw" and not order.coupled:
        return Objection(
            Strength.REFUSE, f"{wheel.mark} is a carrying wheel: it has no crankpin and no throw."
        )
    before = needed(Stage.BORED, order)
    missing = _missing(wheel, (*before, Stage.BORED) if what == "throw" else before)
    if not missing:
        return None
    return Objection(
        Strength.REFUSE,
        f"{wheel.mark} is not {_joined(s.words for s in missing)} yet, so it has no {what} to log.",
    )


def present_stage(ticked: frozenset[str], order: Order) -> Stage | None:
    """The last stage reached without a gap, or None for a casting not yet received.

    Formula: none, the longest unbroken run from the start of the route.
    Parameters: `ticked`, keys ticked; `order`.
    Returns: the Stage or None.
    Source: our own.

    >>> present_stage(frozenset({"received", "bored"}), Order(Route.FITTED_FIRST, True)).words
    'received'
    """
    reached: Stage | None = None
    for stage in order.stages:
        if stage.value not in ticked:
            break
        reached = stage
    return reached


def next_stage(ticked: frozenset[str], order: Order) -> Stage | None:
    """The first stage not yet ticked, or None when the wheel is finished.

    Formula: none, the first gap in the route.
    Parameters: `ticked`, keys ticked; `order`.
    Returns: the Stage or None.
    Source: our own.

    >>> next_stage(frozenset({"received"}), Order(Route.FITTED_FIRST, True)).words
    'back faced'
    """
    return next((stage for stage in order.stages if stage.value not in ticked), None)
