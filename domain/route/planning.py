"""The order of all remaining work that needs the fewest changes of set-up and never runs into a guard.

Two workshop rules (common practice, no source) come on top of the guards: all treads are turned in one set-up, and a
crankpin hole is drilled before its wheel is fixed, because the jig sits in the bore.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from domain.route.guards import Wheel
from domain.route.search import Row, fewest
from domain.route.shop import Shop, State, checked, do_all, first_choices, reach
from domain.route.stages import Route
from domain.route.types import Batch, BatchWheel, Hold, Plan, SetUp, Turn
from domain.route.words import batch_of, turns_of, waiting_of
from domain.working import Working

_SOURCE = "fewest by search over all orders the guards allow; derived here, no published source"


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
    known = checked(wheels)
    shop = Shop(known, route, bonded, {hold.key: hold for hold in holds})
    start = tuple(wheel.facts for wheel in known)
    shop, goal, found = _shortest(shop, start, standing)
    batches = tuple(batch_of(shop, set_up, done, goal) for set_up, done in found)
    changes = changes_of_setup(batches, standing)
    working = Working(
        "changes of set-up",
        "times that a batch has another set-up than the one before it",
        ", ".join([*([f"now {standing.words}"] if standing else []), *(b.set_up.words for b in batches)])
        or "no batches",
        f"{changes}",
        _SOURCE,
    )
    return Plan(batches, waiting_of(shop, goal), changes, working)


def _shortest(shop: Shop, start: State, standing: SetUp | None) -> tuple[Shop, State, Row]:
    """The shortest row of set-ups over every choice of the wheels that are fixed first, with that choice."""
    tried = []
    for firsts in first_choices(shop, start):
        one = replace(shop, firsts=firsts)
        goal = reach(one, start)
        tried.append((one, goal, fewest(one, start, goal, standing)))
    # No choice may leave work undone that another does.
    return min(tried, key=lambda found: (-_done(found[1]), _changes(found[2], standing)))


def _done(state: State) -> int:
    return sum(len(wheel.ticked) for wheel in state)


def _changes(row: Row, standing: SetUp | None) -> int:
    set_ups = [*([standing] if standing else []), *(set_up for set_up, _ in row)]
    return sum(one is not other for one, other in pairwise(set_ups))


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


def turns_now(
    wheels: Iterable[BatchWheel],
    route: Route,
    bonded: bool,
    set_up: SetUp,
    *,
    over_doubts: bool = False,
    holds: Iterable[Hold] = (),
) -> tuple[Turn, ...]:
    """What can be done in one set-up as the wheels are now, whatever other set-ups would make of them.

    Formula: the work of the set-up on each wheel the guards let through, and the measurement still to be logged of
    what was done in it before. Treads are not kept for one set-up here: it is for a set-up that stands already.
    Parameters: `wheels`, as plan_work(); `route`; `bonded`; `set_up`; `over_doubts`, whether work that wants to be
    confirmed first counts as work that can be done; `holds`, as plan_work().
    Returns: the turns in axle order (when fixing, those with a bore to measure first), empty when nothing is left.
    Raises: BatchError as plan_work().
    Source: as plan_work().

    >>> bored = Wheel("W1", frozenset({"received", "back_faced", "bored"}))
    >>> [turn.words for turn in turns_now([BatchWheel(1, 1, "left", True, bored)], Route.FITTED_FIRST, False,
    ...     SetUp.FRONT_OUT)]
    ['W1 (axle 1, left): measure and log the bore.']
    """
    known = checked(wheels)
    if over_doubts:
        known = tuple(replace(wheel, facts=_undoubted(wheel.facts)) for wheel in known)
    shop = Shop(known, route, bonded, {hold.key: hold for hold in holds})
    start = tuple(wheel.facts for wheel in known)
    shop, _, _ = _shortest(shop, start, set_up)
    _, done = do_all(shop, start, (*set_up.works, *set_up.logs))
    return turns_of(shop, set_up, done)


def _undoubted(wheel: Wheel) -> Wheel:
    return replace(wheel, fit_trouble="", throw_trouble="", size_troubles=())


def first_batch(batches: Sequence[Batch]) -> Batch | None:
    """The batch to start with, or None when there is nothing to do.

    Parameters: `batches`, a plan's.
    Returns: the Batch or None.
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
    Source: our own.

    >>> new = [BatchWheel(n, 1, side, True, Wheel(f"W{n}", frozenset())) for n, side in ((1, "left"), (2, "right"))]
    >>> batch = plan_batches(new, Route.FITTED_FIRST, bonded=False)[0]
    >>> [turn and turn.where for turn in (step(batch, ()), step(batch, {1}), step(batch, {1, 2}))]
    ['axle 1, left', 'axle 1, right', None]
    """
    done = set(wheels_done)
    return next((turn for turn in batch.turns if not done.issuperset(turn.keys)), None)
