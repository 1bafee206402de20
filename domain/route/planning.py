"""The order of all remaining work that needs the fewest changes of set-up and never runs into a guard.

Two workshop rules (common practice, no source) come on top of the guards: all treads are turned in one set-up, and a
crankpin hole is drilled before its wheel is fixed, because the jig sits in the bore, unless a quartering jig drills it.

Wheels of one axle depend on each other, but no axle on another. So what a set-up does to an axle is worked out once
for each way that axle can stand, not once for each way the whole engine can.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import chain, pairwise
from typing import TypeVar

from domain.route.guards import (
    Strength,
    Wheel,
    next_stage,
    objection_to_fix_and_quarter,
    objection_to_quarter,
    objection_to_tick,
)
from domain.route.set_ups import PLANNED_STAGES, SetUp, Work
from domain.route.shop import (
    BatchWheel,
    Done,
    Hold,
    Shop,
    State,
    checked,
    do_all,
    first_choices,
    reach,
    stage_held,
)
from domain.route.stages import Pins, Route, Stage
from domain.working import Working

_SOURCE = "fewest by search over all orders the guards allow; derived here, no published source"
Course = tuple[tuple[SetUp, tuple[Done, ...]], ...]
# How each axle stands, by the number its standing has in the search's own list.
_Stand = tuple[int, ...]
# A set-up, and the pattern it is set for.
_Set = tuple[SetUp, int | None]
_T = TypeVar("_T")


@dataclass(frozen=True)
class Turn:
    """One wheel's turn in a batch, or one axle's where both wheels get the work together; each job with its mark."""

    keys: tuple[int, ...]
    marks: tuple[str, ...]
    where: str
    jobs: tuple[tuple[str, Work], ...]

    @property
    def works(self) -> tuple[Work, ...]:
        """What is done, each once."""
        return tuple(dict.fromkeys(work for _, work in self.jobs))


@dataclass(frozen=True)
class Batch:
    """One set-up and the turns it serves, in order; the marks of wheels whose treads would want it too, but later.

    `pattern` is the one the set-up is set for; None where it does not depend on that.
    """

    set_up: SetUp
    turns: tuple[Turn, ...]
    left_out: tuple[str, ...] = ()
    pattern: int | None = None

    @property
    def keys(self) -> tuple[int, ...]:
        """The castings in the batch, in the order of their turns."""
        return tuple(key for turn in self.turns for key in turn.keys)

    @property
    def works(self) -> tuple[Work, ...]:
        """What the set-up is for, as far as it is done."""
        return tuple(work for work in self.set_up.works if any(work in turn.works for turn in self.turns))


class WaitsFor(StrEnum):
    """What a wheel waits for."""

    HOLD = "hold"
    GUARD = "guard"
    CHECKLIST = "checklist"
    FELLOW_HELD = "fellow held"
    FELLOW_FIRST = "fellow first"
    AXLE = "axle"
    THROWS = "throws"
    NOTHING_KNOWN = "nothing known"


@dataclass(frozen=True)
class Waiting:
    """A wheel whose work cannot be planned to its end: for which stage it waits, for what, and why where that was said.

    `fellow` is the mark of the other wheel on its axle; `named` whether the reason names the wheel itself.
    """

    key: int
    mark: str
    where: str
    stage: Stage
    waits_for: WaitsFor
    reason: str = ""
    fellow: str = ""
    named: bool = True


@dataclass(frozen=True)
class Plan:
    """All the work that can be planned, as batches; the wheels that wait; the changes of set-up and their working."""

    batches: tuple[Batch, ...]
    waiting: tuple[Waiting, ...]
    changes: int
    working: Working


def plan_work(
    wheels: Iterable[BatchWheel],
    route: Route,
    holds: Iterable[Hold] = (),
    standing: SetUp | None = None,
    *,
    standing_pattern: int | None = None,
    paint_first: bool = False,
    pins: Pins = Pins.BEFORE,
) -> Plan:
    """All remaining work as batches, with the fewest changes of set-up, and the wheels that wait.

    Formula: breadth-first search over the orders of set-ups in which each does all it can; goal: everything that can
    be done at all. Of equally short plans, the one nearest to the usual order of the shop. A set-up that is set for one
    pattern of wheel is then a batch, and a change, for each of them.
    Parameters: `wheels`, castings in work, and spares, which are looked over with the others and no more; `route`;
    `holds`, wheels that cannot go on: of several for a wheel the last counts, a stage's holds all that rests on it too,
    one for a stage not on the wheel's route holds everything; `standing`, the set-up that is set out now, if any, and
    `standing_pattern`, the pattern it is set for; `paint_first`, whether castings are painted in the rough; `pins`, when
    the crankpin holes are drilled.
    Returns: the Plan; changes is a count. Doubts that want to be confirmed (a logged bore or throw that does not
    serve) are not planned over: such a wheel waits.
    Raises: BatchError for a casting given twice, two castings at one place, or a side that is not left or right.
    Source: derived here; the rules are common practice, no source.

    >>> new = [BatchWheel(n, 1, side, True, Wheel(f"W{n}", frozenset())) for n, side in ((1, "left"), (2, "right"))]
    >>> [batch.set_up.value for batch in plan_work(new, Route.FITTED_FIRST).batches][2:6]
    ['front_out', 'crankpin_jig', 'fixing', 'quartering']
    """
    given = tuple(wheels)
    known = checked(given)
    shop = Shop(known, route, {hold.key: hold for hold in holds}, paint_first=paint_first, pins=pins)
    start = tuple(wheel.facts for wheel in known)
    shop, goal, found = _shortest(shop, start, standing)
    on_now = (standing, standing_pattern) if standing else None
    batches = tuple(
        _batch(shop, set_up, pattern, mine, goal)
        for set_up, done in found
        for pattern, mine in _by_pattern(shop, set_up, done, on_now)
    )
    spares = spares_looked_over(given)
    batches = tuple(
        replace(one, turns=(*one.turns, *spares)) if one.set_up is SetUp.RECEIVING else one for one in batches
    )
    changes = _changes(((one.set_up, one.pattern) for one in batches), _first_set(batches, on_now))
    working = Working(
        "changes of set-up",
        "times that a batch has another set-up than the one before it",
        ", ".join([*([f"now {standing.words}"] if standing else []), *(b.set_up.words for b in batches)])
        or "no batches",
        f"{changes}",
        _SOURCE,
    )
    return Plan(batches, _waiting(shop, goal), changes, working)


def _shortest(shop: Shop, start: State, standing: SetUp | None) -> tuple[Shop, State, Course]:
    """The shortest row of set-ups over every choice of the wheels that are fixed first, with that choice."""
    tried = []
    for firsts in first_choices(shop, start):
        one = replace(shop, firsts=firsts)
        goal = reach(one, start)
        tried.append((one, goal, fewest(one, start, goal, standing)))
    # No choice may leave work undone that another does.
    return min(
        tried, key=lambda found: (-_done(found[1]), _changes((set_up for set_up, _ in found[2]), standing))
    )


def _by_pattern(
    shop: Shop, set_up: SetUp, done: Sequence[Done], on_now: _Set | None
) -> Iterator[tuple[int | None, tuple[Done, ...]]]:
    """What is done in a set-up for each pattern that it is set for; first for the one it is set for now."""
    if not set_up.of_pattern:
        yield None, tuple(done)
        return
    patterns = dict.fromkeys(shop.wheels[at].pattern for at, _ in done)
    for pattern in sorted(patterns, key=lambda one: (set_up, one) != on_now):
        yield pattern, tuple(one for one in done if shop.wheels[one[0]].pattern == pattern)


def _first_set(batches: Sequence[Batch], on_now: _Set | None) -> _Set | None:
    """What stands now, to count from; where nobody says for which pattern, for that of the first batch."""
    if on_now is None or on_now[1] is not None or not batches or batches[0].set_up is not on_now[0]:
        return on_now
    return on_now[0], batches[0].pattern


def _done(state: State) -> int:
    return sum(len(wheel.ticked) for wheel in state)


def _changes(row: Iterable[_T], standing: _T | None) -> int:
    return sum(one != other for one, other in pairwise([*([standing] if standing else []), *row]))


def turns_now(
    wheels: Iterable[BatchWheel],
    route: Route,
    set_up: SetUp,
    *,
    over_doubts: bool = False,
    holds: Iterable[Hold] = (),
    paint_first: bool = False,
    pins: Pins = Pins.BEFORE,
) -> tuple[Turn, ...]:
    """What can be done in one set-up as the wheels are now, whatever other set-ups would make of them.

    Formula: the work of the set-up on each wheel the guards let through, and the measurement still to be logged of
    what was done in it before. Treads are not kept for one set-up here: it is for a set-up that stands already.
    Returns: the turns in axle order (when fixing, those with a bore to measure first), empty when nothing is left.
    Raises: BatchError as plan_work().

    >>> bored = Wheel("W1", frozenset({"received", "back_faced", "bored"}))
    >>> [turn.jobs for turn in turns_now([BatchWheel(1, 1, "left", True, bored)], Route.FITTED_FIRST,
    ...     SetUp.FRONT_OUT)]
    [(('W1', <Work.LOG_BORE: 'log_bore'>),)]
    """
    given = tuple(wheels)
    known = checked(given)
    if over_doubts:
        known = tuple(replace(wheel, facts=_undoubted(wheel.facts)) for wheel in known)
    shop = Shop(known, route, {hold.key: hold for hold in holds}, paint_first=paint_first, pins=pins)
    start = tuple(wheel.facts for wheel in known)
    shop, _, _ = _shortest(shop, start, set_up)
    _, done = do_all(shop, start, (*set_up.works, *set_up.logs))
    spares = spares_looked_over(given) if set_up is SetUp.RECEIVING else ()
    return (*_turns(shop, set_up, done), *spares)


def spares_looked_over(wheels: Iterable[BatchWheel]) -> tuple[Turn, ...]:
    """The turns of spares not looked over yet: all castings are measured together, so that the poorest become spares."""
    return tuple(
        Turn((one.key,), (one.facts.mark,), "spare", ((one.facts.mark, Work.RECEIVE),))
        for one in wheels
        if not one.facts.placed and not one.facts.has(Stage.RECEIVED)
    )


def _undoubted(wheel: Wheel) -> Wheel:
    return replace(wheel, doubts=())


def _batch(shop: Shop, set_up: SetUp, pattern: int | None, done: Sequence[Done], goal: State) -> Batch:
    turns = _turns(shop, set_up, done)
    turning = any(work is Work.TURN_TREAD for _, work in done)
    left_out = tuple(
        wheel.mark
        for known, wheel in zip(shop.wheels, goal, strict=True)
        if turning and not wheel.has(Stage.TREAD_TURNED) and known.pattern == pattern
    )
    return Batch(set_up, turns, left_out, pattern)


def _turns(shop: Shop, set_up: SetUp, done: Sequence[Done]) -> tuple[Turn, ...]:
    """One turn for each wheel; in quartering one for each axle, so that no casting has two turns in a batch.

    They are in axle order, but for fixing: there the wheels with a bore to measure come before the others.
    """
    groups: dict[int, list[Done]] = {}
    for at, work in done:
        group = shop.wheels[at].axle if set_up is SetUp.QUARTERING else at
        groups.setdefault(group, []).append((at, work))
    turns = []
    for _, mine in sorted(groups.items()):
        touched = {at for at, _ in mine}
        if any(work in (Work.QUARTER, Work.FIX_AND_QUARTER) for _, work in mine):
            touched |= {fellow for at in touched if (fellow := shop.fellow(at)) is not None}
        wheels = [shop.wheels[at] for at in sorted(touched)]
        where = wheels[0].where if len(wheels) == 1 else f"axle {wheels[0].axle}"
        turns.append(
            Turn(
                keys=tuple(wheel.key for wheel in wheels),
                marks=tuple(wheel.facts.mark for wheel in wheels),
                where=where,
                jobs=tuple((shop.wheels[at].facts.mark, work) for at, work in mine),
            )
        )
    if set_up is SetUp.FIXING:
        # The fits are to be known before the first wheel goes on, so what is not measured comes first.
        turns.sort(key=lambda turn: Work.LOG_BORE not in turn.works)
    return tuple(turns)


def _waiting(shop: Shop, goal: State) -> tuple[Waiting, ...]:
    """The wheels that are not finished when all that can be done is done, and why."""
    waiting = []
    for at, wheel in enumerate(shop.wheels):
        stage = next_stage(goal[at].ticked, shop.order(at))
        if stage is not None:
            bare = Waiting(wheel.key, wheel.facts.mark, wheel.where, stage, WaitsFor.NOTHING_KNOWN)
            waiting.append(_why(shop, goal, at, bare))
    return tuple(waiting)


def _why(shop: Shop, goal: State, at: int, bare: Waiting) -> Waiting:
    wheel, order, fellow, stage = goal[at], shop.order(at), shop.fellow(at), bare.stage
    hold = shop.holds.get(bare.key)
    second = stage is Stage.PRESSED and shop.together(at) and at not in shop.firsts
    if hold and (stage_held(shop, at, stage) or (second and stage_held(shop, at, Stage.QUARTERED))):
        return replace(bare, waits_for=WaitsFor.HOLD, reason=hold.why)
    if stage is not Stage.QUARTERED and (doubt := objection_to_tick(stage.value, wheel, order)) is not None:
        return replace(bare, waits_for=WaitsFor.GUARD, reason=doubt.words)
    if stage not in PLANNED_STAGES:
        return replace(bare, waits_for=WaitsFor.CHECKLIST)
    if fellow is not None:
        bare = replace(bare, fellow=goal[fellow].mark)
        if (hold := shop.holds.get(shop.wheels[fellow].key)) is not None:
            return replace(bare, waits_for=WaitsFor.FELLOW_HELD, reason=hold.why)
        if second and not goal[fellow].has(Stage.PRESSED):
            return replace(bare, waits_for=WaitsFor.FELLOW_FIRST)
    return _at_the_axle(shop, goal, at, bare, second=second)


def _at_the_axle(shop: Shop, goal: State, at: int, bare: Waiting, *, second: bool) -> Waiting:
    """What keeps an axle from being quartered; of throws that do not serve, the first is the one the reason names."""
    wheel, order, fellow, axle = goal[at], shop.order(at), shop.fellow(at), shop.axle(at, goal)
    if second and fellow is not None:
        objection = objection_to_fix_and_quarter(goal[fellow], wheel, order)
    else:
        objection = objection_to_quarter(*axle, order)
    if objection is None:
        return bare
    if objection.strength is Strength.REFUSE:
        return replace(bare, waits_for=WaitsFor.AXLE, reason=objection.words, named=False)
    doubtful = next((one for one in axle if one is not None and one.doubted(Stage.QUARTERED.value)), None)
    return replace(bare, waits_for=WaitsFor.THROWS, reason=objection.words, named=doubtful is wheel)


class _Axle:
    """One axle: the ways it can stand, numbered as they are met, and what each set-up does to it."""

    def __init__(self, shop: Shop, wheels: Sequence[int], start: State, goal: State) -> None:
        self._shop, self._wheels = shop, wheels
        self._states: list[State] = []
        self._numbers: dict[State, int] = {}
        self._gone: dict[tuple[int, SetUp], tuple[int, tuple[Done, ...]]] = {}
        self._to_turn = [at for at in wheels if goal[at].has(Stage.TREAD_TURNED)]
        self._blank = start
        self.start, self.goal = self._number(start), self._number(goal)

    def _number(self, state: State) -> int:
        mine = tuple(state[at] for at in self._wheels)
        found = self._numbers.setdefault(mine, len(self._states))
        if found == len(self._states):
            whole = list(self._blank)
            for at, wheel in zip(self._wheels, mine, strict=True):
                whole[at] = wheel
            self._states.append(tuple(whole))
        return found

    def gone(self, stand: int, set_up: SetUp) -> tuple[int, tuple[Done, ...]]:
        """How it stands after a set-up did all it could, and what was done."""
        if (stand, set_up) not in self._gone:
            after, done = do_all(self._shop, self._states[stand], set_up.works, self._wheels)
            self._gone[stand, set_up] = (self._number(after), done)
        return self._gone[stand, set_up]

    def treads_left(self, stand: int) -> bool:
        """Whether a tread is still to be turned that can be turned at all."""
        return not all(self._states[stand][at].has(Stage.TREAD_TURNED) for at in self._to_turn)


def fewest(shop: Shop, start: State, goal: State, standing: SetUp | None) -> Course:
    """The shortest row of set-ups from start to goal; SetUp's own order decides between equally short ones."""
    axles = tuple(_Axle(shop, wheels, start, goal) for wheels in shop.by_axle())
    first, last = tuple(axle.start for axle in axles), tuple(axle.goal for axle in axles)
    frontier: list[tuple[_Stand, Course]] = []
    free = _in_set_up(shop, axles, first, standing) if standing else None
    if standing and free:
        frontier.append((free[0], ((standing, free[1]),)))
    frontier.append((first, ()))
    seen = {stand for stand, _ in frontier}
    while frontier:
        further: list[tuple[_Stand, Course]] = []
        for stand, row in frontier:
            if stand == last:
                return row
            for set_up in SetUp:
                gone = _in_set_up(shop, axles, stand, set_up)
                if gone and gone[0] not in seen:
                    seen.add(gone[0])
                    further.append((gone[0], (*row, (set_up, gone[1]))))
        frontier = further
    raise AssertionError("what can be done at all can be done in some order of set-ups")


def _in_set_up(
    shop: Shop, axles: Sequence[_Axle], stand: _Stand, set_up: SetUp
) -> tuple[_Stand, tuple[Done, ...]] | None:
    """All that one set-up can do now, or None when that is nothing or would split the treads over two set-ups."""
    if not set_up.used_on(shop.route):
        return None
    turning = Work.TURN_TREAD in set_up.works
    gone = [axle.gone(now, set_up) for axle, now in zip(axles, stand, strict=True)]
    after = tuple(number for number, _ in gone)
    if after == stand or (
        turning and any(axle.treads_left(now) for axle, now in zip(axles, after, strict=True))
    ):
        return None
    return after, tuple(chain.from_iterable(done for _, done in gone))
