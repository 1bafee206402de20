"""The order of all remaining work that needs the fewest changes of set-up and never runs into a guard.

Whether a thing may be done is asked of domain/route.py alone: the planner has no order of its own to get out of step.
In a set-up everything that can be done is done. That never costs a change, for doing more only allows more.
Two workshop rules come on top (common practice, no source): all treads are turned in one set-up, and a crankpin
hole is drilled before its wheel is fixed, because the jig sits in the bore.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from domain.batches_types import (
    Batch,
    BatchError,
    BatchWheel,
    Hold,
    Plan,
    SetUp,
    Turn,
    Waiting,
    Work,
)
from domain.route import (
    Order,
    Wheel,
    needed,
    next_stage,
    objection_to_fix_and_quarter,
    objection_to_measure,
    objection_to_quarter,
    objection_to_tick,
)
from domain.stages import Route, Stage, steps
from domain.working import Working

_HOLE = "quartered.hole"
_PLAIN = (Work.RECEIVE, Work.FACE_BACK, Work.BORE, Work.TURN_TREAD, Work.PAINT)
_WORKS: dict[SetUp, tuple[Work, ...]] = {
    SetUp.RECEIVING: (Work.RECEIVE,),
    SetUp.BACK_OUT: (Work.FACE_BACK,),
    SetUp.FRONT_OUT: (Work.BORE,),
    SetUp.CRANKPIN_JIG: (Work.CRANKPIN_HOLE,),
    SetUp.MANDREL: (Work.TURN_TREAD,),
    SetUp.FIXING: (Work.LOG_BORE, Work.FIX),
    SetUp.BETWEEN_CENTRES: (Work.TURN_TREAD,),
    SetUp.QUARTERING: (Work.LOG_THROW, Work.FIX_AND_QUARTER, Work.QUARTER),
    SetUp.PAINTING: (Work.PAINT,),
}
_WHY = {
    SetUp.RECEIVING: "See every casting before the first cut, so that a poor one can be changed for a spare.",
    SetUp.BACK_OUT: "Chuck, tool and speed stay as they are; only the wheel changes.",
    SetUp.FRONT_OUT: "Tool, drill and reamer stay set out; measure each bore before the wheel leaves the chuck.",
    SetUp.CRANKPIN_JIG: "One jig, not moved between wheels, makes all throws alike.",
    SetUp.MANDREL: "All treads in one set-up, so that they come out alike.",
    SetUp.FIXING: "Bores are measured and the fits are known before a wheel goes on.",
    SetUp.BETWEEN_CENTRES: "All treads in one set-up, so that they come out alike.",
    SetUp.QUARTERING: "With the same blocks and heights for every axle, all angles come out alike.",
    SetUp.PAINTING: "Paint comes last, after all machining.",
}
_SOURCE = "fewest by search over all orders the guards allow; derived here, no published source"

_State = tuple[Wheel, ...]
_Done = tuple[int, Work]
_Row = tuple[tuple[SetUp, tuple[_Done, ...]], ...]


@dataclass(frozen=True)
class _Shop:
    """What does not change while planning: the wheels in axle order, their order of work, holds, first wheels."""

    wheels: tuple[BatchWheel, ...]
    route: Route
    bonded: bool
    holds: Mapping[int, Hold]
    # Where wheels are bonded and coupled: the wheel of each axle that is fixed before its fellow, by index.
    firsts: frozenset[int] = field(default=frozenset())

    def order(self, at: int) -> Order:
        return Order(self.route, self.wheels[at].coupled, self.bonded)

    def together(self, at: int) -> bool:
        """Whether this wheel's axle gets its second wheel and its quartering in one go."""
        return self.bonded and self.wheels[at].coupled

    def fellow(self, at: int) -> int | None:
        axle = self.wheels[at].axle
        return next((i for i, w in enumerate(self.wheels) if w.axle == axle and i != at), None)

    def axle(self, at: int, state: _State) -> tuple[Wheel | None, Wheel | None]:
        """The left and the right wheel of this wheel's axle, None for an empty place."""
        sides = {w.side: i for i, w in enumerate(self.wheels) if w.axle == self.wheels[at].axle}
        left, right = sides.get("left"), sides.get("right")
        return (None if left is None else state[left], None if right is None else state[right])


def plan_work(
    wheels: Iterable[BatchWheel],
    route: Route,
    bonded: bool,
    holds: Iterable[Hold] = (),
    standing: SetUp | None = None,
) -> Plan:
    """All remaining work as batches, with the fewest changes of set-up, and the wheels that wait.

    Formula: breadth-first search over the orders of set-ups in which each does all it can; goal: everything that can
    be done at all. Of equally short plans, the one nearest to the usual order of the shop.
    Parameters: `wheels`, castings in work and spares (left out); `route`; `bonded`; `holds`, wheels that cannot go on:
    of several for a wheel the last counts, a stage's holds all that rests on it too, one for a stage not on the
    wheel's route holds everything; `standing`, the set-up that is set out now, if any.
    Returns: the Plan; changes is a count. Doubts that want to be confirmed (a logged bore or throw that does not
    serve) are not planned over: such a wheel waits.
    Raises: BatchError for a casting given twice, two castings at one place, or a side that is not left or right.
    Source: derived here; the rules are common practice, no source.

    >>> new = [BatchWheel(n, 1, side, True, Wheel(f"W{n}", frozenset())) for n, side in ((1, "left"), (2, "right"))]
    >>> [batch.set_up.value for batch in plan_work(new, Route.FITTED_FIRST, bonded=False).batches][2:6]
    ['front_out', 'crankpin_jig', 'fixing', 'between_centres']
    """
    known = _checked(wheels)
    shop = _Shop(known, route, bonded, {hold.key: hold for hold in holds})
    start = tuple(wheel.facts for wheel in known)
    shop = replace(shop, firsts=_first_wheels(shop, start))
    goal = _reach(shop, start)
    found = _fewest(shop, start, goal, standing)
    batches = tuple(_batch(shop, set_up, done, goal) for set_up, done in found)
    changes = changes_of_setup(batches, standing)
    working = Working(
        "changes of set-up",
        "times that a batch has another set-up than the one before it",
        ", ".join([*([f"now {standing.words}"] if standing else []), *(b.set_up.words for b in batches)])
        or "no batches",
        f"{changes}",
        _SOURCE,
    )
    return Plan(batches, _waiting(shop, goal), changes, working)


def plan_batches(
    wheels: Iterable[BatchWheel],
    route: Route,
    bonded: bool,
    holds: Iterable[Hold] = (),
    standing: SetUp | None = None,
) -> tuple[Batch, ...]:
    """The batches of plan_work(), first to last.

    Formula: as plan_work().
    Parameters: as plan_work().
    Returns: the batches, empty when nothing can be done.
    Raises: BatchError as plan_work().
    Source: as plan_work().

    >>> plan_batches([], Route.FITTED_FIRST, bonded=False)
    ()
    """
    return plan_work(wheels, route, bonded, holds, standing).batches


def first_batch(batches: Sequence[Batch]) -> Batch | None:
    """The batch to start with, or None when there is nothing to do.

    Formula: none, the first.
    Parameters: `batches`, a plan's.
    Returns: the Batch or None.
    Raises: nothing.
    Source: our own.

    >>> first_batch(()) is None
    True
    """
    return batches[0] if batches else None


def changes_of_setup(batches: Sequence[Batch], standing: SetUp | None = None) -> int:
    """How many times the set-up changes from batch to batch.

    Formula: count of neighbours with different set-ups, the standing one before the first if there is one.
    Parameters: `batches`, in order; `standing`, the set-up set out now, None when nothing is.
    Returns: a count.
    Raises: nothing.
    Source: our own.

    >>> changes_of_setup((), SetUp.MANDREL)
    0
    """
    row = [*([standing] if standing else []), *(batch.set_up for batch in batches)]
    return sum(one is not two for one, two in pairwise(row))


def step(batch: Batch, wheels_done: Collection[int]) -> Turn | None:
    """The next turn of a batch, or None when all its wheels are done.

    Formula: none, the first turn with a wheel not done.
    Parameters: `batch`; `wheels_done`, keys of the castings done in it.
    Returns: the Turn (both wheels where the axle gets the work), or None.
    Raises: nothing.
    Source: our own.

    >>> new = [BatchWheel(n, 1, side, True, Wheel(f"W{n}", frozenset())) for n, side in ((1, "left"), (2, "right"))]
    >>> batch = plan_batches(new, Route.FITTED_FIRST, bonded=False)[0]
    >>> [turn and turn.where for turn in (step(batch, ()), step(batch, {1}), step(batch, {1, 2}))]
    ['axle 1, left', 'axle 1, right', None]
    """
    done = set(wheels_done)
    return next((turn for turn in batch.turns if not done.issuperset(turn.keys)), None)


def _checked(wheels: Iterable[BatchWheel]) -> tuple[BatchWheel, ...]:
    known = list(wheels)
    if len({wheel.key for wheel in known}) < len(known):
        raise BatchError("wheels", "A casting is on the list twice: leave one of the two out.")
    placed = sorted(
        (wheel for wheel in known if wheel.facts.placed), key=lambda wheel: (wheel.axle, wheel.side)
    )
    taken: dict[tuple[int, str], BatchWheel] = {}
    for wheel in placed:
        if wheel.side not in ("left", "right"):
            raise BatchError("side", f"{wheel.facts.mark} is neither left nor right: give it a side.")
        other = taken.setdefault((wheel.axle, wheel.side), wheel)
        if other is not wheel:
            raise BatchError(
                "wheels",
                f"{other.facts.mark} and {wheel.facts.mark} are both at {wheel.where}: move one of them.",
            )
        fellow = taken.get((wheel.axle, "left"), wheel)
        if fellow.coupled is not wheel.coupled:
            raise BatchError("coupled", f"Axle {wheel.axle} is coupled on one side only: set both alike.")
    return tuple(placed)


def _possible(shop: _Shop, state: _State, at: int, work: Work) -> bool:
    """Whether this work can be done on this wheel now: not done yet, not held, and no guard objects."""
    wheel, order = state[at], shop.order(at)
    if _held(shop, at, work):
        return False
    if work in _PLAIN:
        return not wheel.has(work.stage) and objection_to_tick(work.stage.value, wheel, order) is None
    if work is Work.LOG_BORE:
        return wheel.has(Stage.BORED) and not wheel.bore_logged and not wheel.has(Stage.PRESSED)
    if work is Work.FIX:
        return _fixable(shop, state, at) and (not shop.together(at) or at in shop.firsts)
    if not order.coupled or wheel.has(Stage.QUARTERED):
        return False
    if work in (Work.CRANKPIN_HOLE, Work.LOG_THROW):
        drilled = _HOLE in wheel.ticked
        ready = objection_to_measure("throw", wheel, order) is None
        return ready and not wheel.throw_logged and drilled is (work is Work.LOG_THROW)
    if work is Work.QUARTER:
        return objection_to_quarter(*shop.axle(at, state), order) is None
    fellow = shop.fellow(at)
    if fellow is None or at in shop.firsts or not _fixable(shop, state, at):
        return False
    return objection_to_fix_and_quarter(state[fellow], wheel, order) is None


def _fixable(shop: _Shop, state: _State, at: int) -> bool:
    wheel, order = state[at], shop.order(at)
    drilled = not order.coupled or wheel.throw_logged or _HOLE in wheel.ticked
    free = drilled and not wheel.has(Stage.PRESSED)
    return free and objection_to_tick(Stage.PRESSED.value, wheel, order) is None


def _held(shop: _Shop, at: int, work: Work) -> bool:
    fellow = shop.fellow(at)
    both = fellow is not None and work in (Work.QUARTER, Work.FIX_AND_QUARTER)
    if both and fellow is not None and _stage_held(shop, fellow, Stage.QUARTERED):
        return True
    stage = work.stage
    if work in (Work.CRANKPIN_HOLE, Work.LOG_THROW, Work.LOG_BORE):
        stage = Stage.BORED  # they need no more than the bore
    elif work is Work.FIX_AND_QUARTER and _stage_held(shop, at, Stage.PRESSED):
        return True
    return _stage_held(shop, at, stage)


def _stage_held(shop: _Shop, at: int, stage: Stage) -> bool:
    hold = shop.holds.get(shop.wheels[at].key)
    order = shop.order(at)
    if hold is None or stage not in order.stages:
        return False
    return hold.before not in order.stages or stage is hold.before or hold.before in needed(stage, order)


def _apply(shop: _Shop, state: _State, at: int, work: Work) -> _State:
    after = list(state)
    wheel, order = state[at], shop.order(at)
    if work is Work.LOG_BORE:
        after[at] = replace(wheel, bore_logged=True)
    elif work in (Work.CRANKPIN_HOLE, Work.LOG_THROW):
        after[at] = replace(wheel, ticked=wheel.ticked | {_HOLE}, throw_logged=True)
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
    keys = {one.key for one in steps(stage, coupled=order.coupled)} | {stage.value}
    return replace(wheel, ticked=wheel.ticked | keys)


def _do_all(shop: _Shop, state: _State, works: Sequence[Work]) -> tuple[_State, tuple[_Done, ...]]:
    """Everything of these sorts that can be done, wheel by wheel in axle order, until nothing more can."""
    done: list[_Done] = []
    while True:
        before = len(done)
        for at in range(len(state)):
            for work in works:
                if _possible(shop, state, at, work):
                    state = _apply(shop, state, at, work)
                    done.append((at, work))
        if len(done) == before:
            return state, tuple(done)


def _reach(shop: _Shop, start: _State) -> _State:
    """How far all wheels can come when set-ups cost nothing."""
    return _do_all(shop, start, tuple(Work))[0]


def _first_wheels(shop: _Shop, start: _State) -> frozenset[int]:
    """Which wheel of a bonded, coupled axle is fixed first: the one that is on, else the left one if it can be."""
    ready = _reach(shop, start)  # with no first wheel named, none is fixed
    firsts: dict[int, int] = {}
    for at, wheel in enumerate(shop.wheels):
        if not shop.together(at):
            continue
        on = start[at].has(Stage.PRESSED)
        if on or (_fixable(shop, ready, at) and not _held(shop, at, Work.FIX)):
            known = firsts.setdefault(wheel.axle, at)
            if on and not start[known].has(Stage.PRESSED):
                firsts[wheel.axle] = at
    return frozenset(firsts.values())


def _in_set_up(
    shop: _Shop, state: _State, goal: _State, set_up: SetUp
) -> tuple[_State, tuple[_Done, ...]] | None:
    """All that one set-up can do now, or None when that is nothing or would split the treads over two set-ups."""
    tread = SetUp.MANDREL if shop.route is Route.MANDREL_FIRST else SetUp.BETWEEN_CENTRES
    turning = Work.TURN_TREAD in _WORKS[set_up]
    if turning and set_up is not tread:
        return None
    after, done = _do_all(shop, state, _WORKS[set_up])
    if turning and any(
        g.has(Stage.TREAD_TURNED) and not a.has(Stage.TREAD_TURNED) for g, a in zip(goal, after, strict=True)
    ):
        return None
    return (after, done) if done else None


def _fewest(shop: _Shop, start: _State, goal: _State, standing: SetUp | None) -> _Row:
    """The shortest row of set-ups from start to goal; SetUp's own order decides between equally short ones."""
    frontier: list[tuple[_State, _Row]] = []
    free = _in_set_up(shop, start, goal, standing) if standing else None
    if standing and free:
        frontier.append((free[0], ((standing, free[1]),)))
    frontier.append((start, ()))
    seen = {state for state, _ in frontier}
    while frontier:
        further: list[tuple[_State, _Row]] = []
        for state, row in frontier:
            if state == goal:
                return row
            for set_up in SetUp:
                gone = _in_set_up(shop, state, goal, set_up)
                if gone and gone[0] not in seen:
                    seen.add(gone[0])
                    further.append((gone[0], (*row, (set_up, gone[1]))))
        frontier = further
    raise AssertionError("what can be done at all can be done in some order of set-ups")


def _batch(shop: _Shop, set_up: SetUp, done: Sequence[_Done], goal: _State) -> Batch:
    turns = _turns(shop, set_up, done)
    works = tuple(dict.fromkeys(work for work in _WORKS[set_up] if any(work is w for _, w in done)))
    words = f"{set_up.words[0].upper()}{set_up.words[1:]}: {', then '.join(work.words for work in works)}."
    why = _WHY[set_up]
    if Work.TURN_TREAD in works:
        left_out = [wheel.mark for wheel in goal if not wheel.has(Stage.TREAD_TURNED)]
        if left_out:
            them = ("it", "its tread") if len(left_out) == 1 else ("them", "their treads")
            why += (
                f" Not ready for this: {', '.join(left_out)}. Wait for {them[0]} if you can,"
                f" or {them[1]} will be turned in another set-up."
            )
    return Batch(set_up, works[-1].stage, turns, words, why)


def _turns(shop: _Shop, set_up: SetUp, done: Sequence[_Done]) -> tuple[Turn, ...]:
    """One turn for each wheel; in quartering one for each axle, so that no casting has two turns in a batch."""
    groups: dict[int, list[_Done]] = {}
    for at, work in done:
        group = shop.wheels[at].axle if set_up is SetUp.QUARTERING else at
        groups.setdefault(group, []).append((at, work))
    turns = []
    for _, mine in sorted(groups.items()):
        touched = {at for at, _ in mine}
        if any(work in (Work.QUARTER, Work.FIX_AND_QUARTER) for _, work in mine):
            touched |= {fellow for at in touched if (fellow := shop.fellow(at)) is not None}
        wheels = [shop.wheels[at] for at in sorted(touched)]
        works = tuple(dict.fromkeys(work for _, work in mine))
        where = wheels[0].where if len(wheels) == 1 else f"axle {wheels[0].axle}"
        marks = tuple(wheel.facts.mark for wheel in wheels)
        words = f"{' and '.join(marks)} ({where}): {_turn_words(shop, mine)}."
        turns.append(Turn(tuple(wheel.key for wheel in wheels), marks, where, works, words))
    return tuple(turns)


def _turn_words(shop: _Shop, mine: Sequence[_Done]) -> str:
    said = []
    for at, work in mine:
        if work is Work.FIX_AND_QUARTER:
            said.append(f"bond {shop.wheels[at].facts.mark} and quarter the axle in one go")
        elif work is Work.LOG_THROW:
            said.append(f"measure and log the throw of {shop.wheels[at].facts.mark}")
        else:
            said.append(work.words)
    return ", then ".join(said)


def _waiting(shop: _Shop, goal: _State) -> tuple[Waiting, ...]:
    waiting = []
    for at, wheel in enumerate(shop.wheels):
        stage = next_stage(goal[at].ticked, shop.order(at))
        if stage is not None:
            why = _why_waiting(shop, goal, at, stage)
            waiting.append(Waiting(wheel.key, wheel.facts.mark, wheel.where, why))
    return tuple(waiting)


def _why_waiting(shop: _Shop, goal: _State, at: int, stage: Stage) -> str:
    wheel, order, fellow = goal[at], shop.order(at), shop.fellow(at)
    hold = shop.holds.get(shop.wheels[at].key)
    second = stage is Stage.PRESSED and shop.together(at) and at not in shop.firsts
    if hold and (_stage_held(shop, at, stage) or (second and _stage_held(shop, at, Stage.QUARTERED))):
        return hold.why
    if stage is not Stage.QUARTERED and (doubt := objection_to_tick(stage.value, wheel, order)) is not None:
        return doubt.words
    if fellow is not None and (hold := shop.holds.get(shop.wheels[fellow].key)) is not None:
        return f"{wheel.mark} waits for {goal[fellow].mark} on the same axle: {hold.why}"
    if second and fellow is not None and not goal[fellow].has(Stage.PRESSED):
        return f"{wheel.mark} waits for {goal[fellow].mark} on the same axle, which must be fixed first."
    if second and fellow is not None:
        objection = objection_to_fix_and_quarter(goal[fellow], wheel, order)
    else:
        objection = objection_to_quarter(*shop.axle(at, goal), order)
    return f"{wheel.mark} cannot be {stage.words} yet." if objection is None else objection.words
