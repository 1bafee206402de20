"""The wheels to plan for, what can be done on which of them, set-up by set-up, and what a wheel is after it.

Whether a thing may be done is asked of the guards alone: the planner has no order of its own to get out of step.
In a set-up everything that can be done is done. That never costs a change, for doing more only allows more.
A crankpin hole is drilled before its wheel is fixed, because the jig sits in the bore, but for an axle's second one where
that is drilled through a quartering jig, as is the hole of a wheel that was fixed without it; where castings are painted
in the rough, a casting is painted before its first cut (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from domain.errors import TradeError
from domain.route.guards import (
    Order,
    Wheel,
    hole_first,
    needed,
    objection_to_fix_and_quarter,
    objection_to_measure,
    objection_to_quarter,
    objection_to_tick,
)
from domain.route.set_ups import SetUp, Work
from domain.route.stages import CRANKPIN_HOLE, ROUGH_PAINT, Pins, Route, Stage

State = tuple[Wheel, ...]
Done = tuple[int, Work]

# All other works need no more than that their stage may be ticked.
_RULED = frozenset(
    {
        Work.LOG_BORE,
        Work.FIX,
        Work.CRANKPIN_HOLE,
        Work.JIG_HOLE,
        Work.HOLE_ON_AXLE,
        Work.LOG_THROW,
        Work.QUARTER,
        Work.FIX_AND_QUARTER,
    }
)


def as_done(set_up: SetUp, works: Iterable[Work]) -> tuple[Work, ...]:
    """Works of a set-up, each once, in the order they are done in it; measuring what was done before comes first."""
    row = (*set_up.logs, *set_up.works)
    return tuple(sorted(dict.fromkeys(works), key=row.index))


class BatchError(TradeError):
    """Wheels no work can be planned for."""


@dataclass(frozen=True)
class BatchWheel:
    """One casting to plan for. `key` is the casting's; `axle` the axle's number; `side` "left" or "right".

    A spare has `facts.placed` False; its axle and side are not looked at. `pattern` is the same for wheels made alike.
    """

    key: int
    axle: int
    side: str
    coupled: bool
    facts: Wheel
    pattern: int = 0

    @property
    def where(self) -> str:
        """The place, in words."""
        return f"axle {self.axle}, {self.side}"


@dataclass(frozen=True)
class Hold:
    """A wheel that cannot go on, why in one sentence, and the stage it may not begin (None: nothing at all)."""

    key: int
    why: str
    before: Stage | None = None


@dataclass(frozen=True)
class Shop:
    """What does not change while planning: the wheels in axle order, their order of work, holds, first wheels."""

    wheels: tuple[BatchWheel, ...]
    route: Route
    holds: Mapping[int, Hold]
    # Where wheels are coupled: the wheel of each axle that is fixed before its fellow, by index.
    firsts: frozenset[int] = field(default=frozenset())
    paint_first: bool = False
    pins: Pins = Pins.BEFORE

    def order(self, at: int) -> Order:
        """The order of work of a wheel."""
        return Order(self.route, self.wheels[at].coupled, self.paint_first, self.pins)

    def together(self, at: int) -> bool:
        """Whether this wheel's axle gets its second wheel and its quartering in one go."""
        return self.order(at).quartered_as_fixed

    def fellow(self, at: int) -> int | None:
        """The other wheel of its axle, None when that place is empty."""
        axle = self.wheels[at].axle
        return next((i for i, w in enumerate(self.wheels) if w.axle == axle and i != at), None)

    def by_axle(self) -> tuple[tuple[int, ...], ...]:
        """The wheels of each axle, by index, in axle order."""
        found: dict[int, list[int]] = {}
        for at, wheel in enumerate(self.wheels):
            found.setdefault(wheel.axle, []).append(at)
        return tuple(tuple(wheels) for wheels in found.values())

    def axle(self, at: int, state: State) -> tuple[Wheel | None, Wheel | None]:
        """The left and the right wheel of this wheel's axle, None for an empty place."""
        sides = {w.side: i for i, w in enumerate(self.wheels) if w.axle == self.wheels[at].axle}
        left, right = sides.get("left"), sides.get("right")
        return (None if left is None else state[left], None if right is None else state[right])


def checked(wheels: Iterable[BatchWheel]) -> tuple[BatchWheel, ...]:
    """The wheels that have a place, in axle order; BatchError when they contradict each other."""
    known = list(wheels)
    if len({wheel.key for wheel in known}) < len(known):
        raise BatchError("A casting is on the list twice: leave one of the two out.", "wheels")
    placed = sorted(
        (wheel for wheel in known if wheel.facts.placed), key=lambda wheel: (wheel.axle, wheel.side)
    )
    taken: dict[tuple[int, str], BatchWheel] = {}
    for wheel in placed:
        if wheel.side not in ("left", "right"):
            raise BatchError(f"{wheel.facts.mark} is neither left nor right: give it a side.", "side")
        other = taken.setdefault((wheel.axle, wheel.side), wheel)
        if other is not wheel:
            raise BatchError(
                f"{other.facts.mark} and {wheel.facts.mark} are both at {wheel.where}: move one of them.",
                "wheels",
            )
        fellow = taken.get((wheel.axle, "left"), wheel)
        if fellow.coupled is not wheel.coupled:
            raise BatchError(f"Axle {wheel.axle} is coupled on one side only: set both alike.", "coupled")
    return tuple(placed)


def _possible(shop: Shop, state: State, at: int, work: Work) -> bool:
    """Whether this work can be done on this wheel now: not done yet, not held, and no guard objects."""
    wheel, order = state[at], shop.order(at)
    if _held(shop, at, work):
        return False
    if work is Work.ROUGH_PAINT:
        return _still_rough(wheel, order) and objection_to_tick(work.key, wheel, order) is None
    if work in (Work.FACE_BACK, Work.BORE) and _still_rough(wheel, order):
        return False
    if work in (Work.PAINT, Work.FINISH_PAINT) and order.paint_first is not (work is Work.FINISH_PAINT):
        return False
    if work not in _RULED:
        return not wheel.has(work.stage) and objection_to_tick(work.stage.value, wheel, order) is None
    if work is Work.LOG_BORE:
        return wheel.has(Stage.BORED) and not wheel.bore_logged and not wheel.has(Stage.PRESSED)
    if work is Work.FIX:
        return _fixable(shop, state, at) and (not shop.together(at) or at in shop.firsts)
    if not order.coupled or wheel.has(Stage.QUARTERED):
        return False
    if work is Work.JIG_HOLE:
        return not order.quartered_as_fixed and not wheel.drilled and _both_on(shop, state, at)
    if work is Work.HOLE_ON_AXLE:
        return order.quartered_as_fixed and wheel.has(Stage.PRESSED) and not wheel.drilled
    if work is Work.CRANKPIN_HOLE:
        return _hole_first(shop, state, at) and objection_to_tick(CRANKPIN_HOLE, wheel, order) is None
    if work is Work.LOG_THROW:
        unread = CRANKPIN_HOLE in wheel.ticked and not wheel.throw_logged
        return unread and objection_to_measure("throw", wheel, order) is None
    if work is Work.QUARTER:
        return objection_to_quarter(*shop.axle(at, state), order) is None
    fellow = shop.fellow(at)
    if fellow is None or at in shop.firsts or not _fixable(shop, state, at):
        return False
    return objection_to_fix_and_quarter(state[fellow], wheel, order) is None


def _still_rough(wheel: Wheel, order: Order) -> bool:
    """Whether it is to be painted in the rough, and not cut yet; one that was cut without is past that."""
    cut = wheel.has(Stage.BACK_FACED) or wheel.has(Stage.BORED)
    return order.paint_first and not cut and ROUGH_PAINT not in wheel.ticked


def _both_on(shop: Shop, state: State, at: int) -> bool:
    return all(wheel is not None and wheel.has(Stage.PRESSED) for wheel in shop.axle(at, state))


def _hole_first(shop: Shop, state: State, at: int) -> bool:
    fellow = shop.fellow(at)
    return hole_first(state[at], None if fellow is None else state[fellow], shop.order(at))


def _fixable(shop: Shop, state: State, at: int) -> bool:
    wheel = state[at]
    free = not wheel.has(Stage.PRESSED) and not _hole_first(shop, state, at)
    return free and objection_to_tick(Stage.PRESSED.value, wheel, shop.order(at)) is None


def _held(shop: Shop, at: int, work: Work) -> bool:
    fellow = shop.fellow(at)
    both = fellow is not None and work in (Work.QUARTER, Work.FIX_AND_QUARTER)
    if both and fellow is not None and stage_held(shop, fellow, Stage.QUARTERED):
        return True
    stage = work.stage
    if work in (Work.CRANKPIN_HOLE, Work.LOG_THROW, Work.LOG_BORE):
        stage = Stage.BORED  # they need no more than the bore
    elif work is Work.ROUGH_PAINT:
        stage = shop.order(at).first_cut  # no paint is worth it on a casting that is not cut
    elif work is Work.FIX_AND_QUARTER and stage_held(shop, at, Stage.PRESSED):
        return True
    return stage_held(shop, at, stage)


def stage_held(shop: Shop, at: int, stage: Stage) -> bool:
    """Whether a hold keeps the wheel from this stage."""
    hold = shop.holds.get(shop.wheels[at].key)
    order = shop.order(at)
    if hold is None or stage not in order.stages:
        return False
    return hold.before not in order.stages or stage is hold.before or hold.before in needed(stage, order)


def _apply(shop: Shop, state: State, at: int, work: Work) -> State:
    after = list(state)
    wheel, order = state[at], shop.order(at)
    if work is Work.LOG_BORE:
        after[at] = replace(wheel, bore_logged=True)
    elif work is Work.ROUGH_PAINT:
        after[at] = replace(wheel, ticked=wheel.ticked | {work.key})
    elif work in (Work.CRANKPIN_HOLE, Work.JIG_HOLE, Work.HOLE_ON_AXLE, Work.LOG_THROW):
        after[at] = replace(wheel, ticked=wheel.ticked | {CRANKPIN_HOLE}, throw_logged=True)
    elif work in (Work.QUARTER, Work.FIX_AND_QUARTER):
        fellow = shop.fellow(at)
        assert fellow is not None  # the guard refused an empty place
        for each in (at, fellow):
            after[each] = _with_stage(after[each], Stage.QUARTERED, order)
        if work is Work.FIX_AND_QUARTER:
            after[at] = _with_stage(after[at], Stage.PRESSED, order)
    else:
        after[at] = _with_stage(wheel, work.stage, order)
        if work is Work.BORE:
            after[at] = replace(after[at], bore_logged=True)
    return tuple(after)


def _with_stage(wheel: Wheel, stage: Stage, order: Order) -> Wheel:
    keys = order.closed_by(stage) | {stage.value}
    return replace(wheel, ticked=wheel.ticked | keys)


def do_all(
    shop: Shop, state: State, works: Sequence[Work], wheels: Sequence[int] | None = None
) -> tuple[State, tuple[Done, ...]]:
    """Everything of these sorts that can be done, wheel by wheel in axle order, until nothing more can.

    `wheels` are the ones that may be worked on, by index; all of them when not said.
    """
    done: list[Done] = []
    while True:
        before = len(done)
        for at in range(len(state)) if wheels is None else wheels:
            for work in works:
                if _possible(shop, state, at, work):
                    state = _apply(shop, state, at, work)
                    done.append((at, work))
        if len(done) == before:
            return state, tuple(done)


def reach(shop: Shop, start: State) -> State:
    """How far all wheels can come when set-ups cost nothing."""
    return do_all(shop, start, tuple(Work))[0]


# Of more axles than this whose wheels stand differently, only the wheel that is further on is tried as the first.
_MOST_DOUBTS = 4


def first_choices(shop: Shop, start: State) -> Iterator[frozenset[int]]:
    """Each way to choose the wheel of every coupled axle that is fixed before its fellow; the usual way first.

    A wheel that is on is the first. Of two alike it is the left one; of two that stand differently the one further on
    is tried first, for it may be fixed in a set-up that the other does not reach yet.
    """
    ready = reach(shop, start)  # with no first wheel named, none is fixed
    axles: list[tuple[int, ...]] = []
    doubts = 0
    for wheels in shop.by_axle():
        able = [
            at
            for at in wheels
            if shop.together(at)
            and (
                start[at].has(Stage.PRESSED) or (_fixable(shop, ready, at) and not _held(shop, at, Work.FIX))
            )
        ]
        on = [at for at in able if start[at].has(Stage.PRESSED)]
        able = sorted(on[:1] or able, key=lambda at: -len(start[at].ticked))
        alike = len({replace(start[at], mark="") for at in able}) <= 1
        doubts += not alike
        if able:
            axles.append(tuple(able[:1] if alike or doubts > _MOST_DOUBTS else able))
    return (frozenset(chosen) for chosen in product(*axles))
