"""Counting the castings: what is done, and whether the good ones left will do."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from domain.route.guards import Order

_WHEELS_OF_AXLE = 2


@dataclass(frozen=True, slots=True)
class Progress:
    """Stage ticks done of all there are to do."""

    done: int
    total: int


def progress(axles: Iterable[Order], wheels: Iterable[tuple[frozenset[str], Order]]) -> Progress:
    """How much is ticked of all there is to tick on some axles, by the orders of work and the wheels that are on them.

    >>> from domain.route.stages import Route
    >>> order = Order(Route.FITTED_FIRST, True)
    >>> progress([order], [(frozenset({"received"}), order)])
    Progress(done=1, total=14)
    """
    return Progress(stage_ticks(wheels), _WHEELS_OF_AXLE * sum(len(order.stages) for order in axles))


def stage_ticks(wheels: Iterable[tuple[frozenset[str], Order]]) -> int:
    """The stage ticks that stand on the wheels given; small steps do not count.

    Formula: sum over the wheels of the stages of the route that are ticked.

    >>> from domain.route.stages import Route
    >>> stage_ticks([(frozenset({"received", "received.marked"}), Order(Route.FITTED_FIRST, True))])
    1
    """
    return sum(stage.value in ticked for ticked, order in wheels for stage in order.stages)


def shortfall(places: int, finished: int, good_unfinished: int) -> int:
    """How many castings must be ordered so that every place can be filled.

    Formula: places - finished wheels in place - good castings not finished, and never below 0.
    Raises: ValueError for a negative count.

    >>> shortfall(places=6, finished=2, good_unfinished=3)
    1
    >>> shortfall(places=6, finished=0, good_unfinished=8)
    0
    """
    if min(places, finished, good_unfinished) < 0:
        raise ValueError("a count cannot be negative")
    return max(0, places - finished - good_unfinished)


def finished(ticked: frozenset[str], order: Order) -> bool:
    """Whether every stage of a wheel is ticked.

    >>> from domain.route.stages import Route, Stage
    >>> finished(frozenset({Stage.PAINTED.value}), Order(Route.FITTED_FIRST, True))
    False
    """
    return all(stage.value in ticked for stage in order.stages)
