"""The plan of all remaining work of a build: its wheels and what holds them, handed to the domain."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime
from functools import lru_cache

from domain.drawing import CRANK_KEYS
from domain.route.guards import Doubt, Order, Wheel, next_stage
from domain.route.planning import Plan, plan_work
from domain.route.set_ups import SetUp, Work
from domain.route.shop import BatchWheel, Hold
from domain.route.stages import CRANKPIN_HOLE, ROUGH_PAINT, Pins, Route, Stage
from webapp.facts.before_tick import cure_asked
from webapp.facts.unfit import unfit, usable_spares, why_unfit
from webapp.facts.wheels import paint_waits, wheel_facts
from webapp.records.views import BuildView, CastingView, PatternView

# The small steps the order of work hangs on; all others are reminders, and would only make the same plan anew.
_COUNTS = frozenset({*(stage.value for stage in Stage), CRANKPIN_HOLE, ROUGH_PAINT})


@lru_cache(maxsize=64)
def _planned(
    wheels: tuple[BatchWheel, ...],
    route: Route,
    holds: tuple[Hold, ...],
    standing: SetUp | None,
    standing_pattern: int | None,
    paint_first: bool,
    pins: Pins,
) -> Plan:
    return plan_work(
        wheels,
        route,
        holds,
        standing,
        standing_pattern=standing_pattern,
        paint_first=paint_first,
        pins=pins,
    )


def plan_of(
    build: BuildView,
    standing: SetUp | None = None,
    skipped: Iterable[Hold] = (),
    standing_pattern: int | None = None,
) -> Plan:
    """The plan, with the set-up that stands now and the pattern it is set for, and the wheels passed over in it for now."""
    return _planned(
        planned_wheels(build),
        build.route_now,
        (*unfit_holds(build), *cure_holds(build), *skipped),
        standing,
        # Of one pattern it would only make the same plan anew.
        standing_pattern if len(build.whole.patterns) > 1 else None,
        build.paint_first,
        build.pins,
    )


def set_alike(build: BuildView, casting: CastingView) -> int:
    """The pattern that a machine is set for as for this wheel: the first with the same figures, cranks left out."""
    kept = build.whole.kept
    found = kept.get("set alike")
    if not isinstance(found, dict):
        found = kept["set alike"] = _all_alike(build.whole.patterns)
    first: int = found.get(casting.pattern_id, casting.pattern_id)
    return first


def _all_alike(patterns: Iterable[PatternView]) -> dict[int, int]:
    first: dict[frozenset[tuple[str, int]], int] = {}
    return {
        one.id: first.setdefault(
            frozenset((key, length.nm) for key, length in one.figures.items() if key not in CRANK_KEYS),
            one.id,
        )
        for one in patterns
    }


def set_for(build: BuildView, set_up: SetUp, castings: Iterable[CastingView]) -> frozenset[int]:
    """The patterns a set-up is set for with these wheels in it; empty where it does not depend on that."""
    return frozenset(set_alike(build, one) for one in castings) if set_up.of_pattern else frozenset()


def first_work(plan: Plan, casting: CastingView) -> Work | None:
    """What the plan does to a wheel first; None where it does nothing to it."""
    turns = (turn for batch in plan.batches for turn in batch.turns if casting.id in turn.keys)
    return next((work for turn in turns for work in turn.works), None)


def planned_wheels(build: BuildView) -> tuple[BatchWheel, ...]:
    """The wheels in work as the domain's planner asks for them, and the spares, which are only looked over."""
    in_work = (
        BatchWheel(
            wheel.id,
            axle.number,
            wheel.side or "",
            axle.coupled,
            _facts(build, wheel),
            set_alike(build, wheel),
        )
        for axle in build.axles
        for wheel in axle.wheels
    )
    spares = (
        BatchWheel(
            spare.id, 0, "", build.order_of(spare).coupled, _facts(build, spare), set_alike(build, spare)
        )
        for spare in sorted(usable_spares(build), key=lambda one: one.id)
    )
    return (*in_work, *spares)


def _facts(build: BuildView, wheel: CastingView) -> Wheel:
    facts = wheel_facts(build, wheel)
    late = tuple(Doubt(Stage.PAINTED.value, words) for words in paint_waits(build, wheel))
    return replace(
        facts,
        ticked=facts.ticked & _COUNTS,
        doubts=tuple(doubt for doubt in (*facts.doubts, *late) if doubt.waits and doubt.key in _COUNTS),
    )


def _again(wheel: CastingView) -> str:
    return "look at" if wheel.receipt is not None and wheel.receipt.crack else "measure"


def unfit_holds(build: BuildView) -> tuple[Hold, ...]:
    """The castings in work that will not clean up: no cut is worth making on them."""
    return tuple(
        Hold(
            wheel.id,
            f"{wheel.mark} {why_unfit(wheel)}: give its place to a better one, or {_again(wheel)} it again.",
            # It is received all the same.
            build.order(axle.coupled).first_cut,
        )
        for axle in build.axles
        for wheel in axle.wheels
        if unfit(build, wheel)
    )


def cure_holds(build: BuildView, now: datetime | None = None) -> tuple[Hold, ...]:
    """The bonded wheels whose next operation must wait for the bond, and until when."""
    if build.fit != "bond":
        return ()
    moment = now or datetime.now(UTC)
    found = []
    for axle in build.axles:
        order = build.order(axle.coupled)
        for wheel in axle.wheels:
            stage = next_stage(wheel.ticked, order)
            why = cure_asked(build, wheel, stage.value, moment, brief=True) if stage else ""
            if why:
                found.append(Hold(wheel.id, why, _before(order)))
    return tuple(found)


def _before(order: Order) -> Stage | None:
    """The first stage a curing bond holds: what follows fixing, but for the quartering, which comes before it sets."""
    after = order.stages[order.stages.index(Stage.PRESSED) + 1 :]
    return next((stage for stage in after if stage is not Stage.QUARTERED), None)
