"""What the guards ask about a wheel."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from domain.answer import Answer
from domain.joints.kinds import Kind
from domain.measuring.decision_types import Conformity
from domain.route.guards import Doubt, Wheel, hole_first, next_stage
from domain.route.stages import CRANKPIN_HOLE, TYRE_ON, Stage
from domain.stock.sizes import Face
from webapp.facts.assembly import axle_trouble
from webapp.facts.facts import facts_of
from webapp.facts.joints import seat_words
from webapp.facts.lost import size_troubles_of
from webapp.facts.metal_sizes import TICKS
from webapp.records.views import BuildView, CastingView

# What a tick may be doubted of: a stage, and the small steps that say a face is at size.
DOUBTED = frozenset(
    {*(stage.value for stage in Stage), *(step for _, step in TICKS.values()), CRANKPIN_HOLE, TYRE_ON}
)


def wheel_facts(build: BuildView, casting: CastingView, *, judged: bool = True, begun: bool = True) -> Wheel:
    """What the guards ask about a wheel; not judged where only the order of work is asked.

    begun: whether the work is done by now; before it a bore too small is not done yet, and no doubt of it.
    """
    return Wheel(
        mark=casting.mark,
        ticked=casting.ticked,
        placed=casting.axle_id is not None,
        bore_logged=casting.bore is not None,
        throw_logged=casting.throw is not None,
        doubts=tuple(_doubts(build, casting, begun=begun)) if judged else (),
    )


def hole_missing(build: BuildView, casting: CastingView) -> bool:
    """Whether a crankpin hole is missing that is drilled before this wheel is fixed: plan, line and tick ask there."""
    axle = build.axle(casting.axle_id)
    fellow = next((one for one in axle.wheels if one.id != casting.id), None) if axle else None
    return hole_first(
        wheel_facts(build, casting, judged=False),
        wheel_facts(build, fellow, judged=False) if fellow else None,
        build.order_of(casting),
    )


def hole_asked(build: BuildView, casting: CastingView, now: datetime) -> bool:
    """Whether fixing a wheel asks for that hole: with a quartering jig it is its axle's, and asked as the first wheel goes
    on without it."""
    if not hole_missing(build, casting):
        return False
    axle = build.axle(casting.axle_id)
    if build.order_of(casting).quartered_as_fixed or axle is None:
        return True
    fixed = [one.ticks[Stage.PRESSED.value] for one in axle.wheels if one.has(Stage.PRESSED)]
    return not any(stamp.at < now for stamp in fixed)


def paint_waits(build: BuildView, casting: CastingView) -> tuple[str, ...]:
    """What the judges say is no good of a wheel that only wants its paint, as its tick asks; the plan waits for it."""
    if next_stage(casting.ticked, build.order_of(casting)) is not Stage.PAINTED:
        return ()
    return facts_of(build).made.called_out(casting).out


def paint_waits_for(build: BuildView, casting: CastingView) -> str:
    """What else its paint waits for where nothing of its own is no good: the rods bind; empty where it is its own."""
    made = facts_of(build).made
    own = made.called_out(casting).own or wheel_facts(build, casting).doubted(Stage.PAINTED.value)
    return "" if own or not paint_waits(build, casting) else made.rods_wait_for


def _doubts(build: BuildView, casting: CastingView, *, begun: bool) -> Iterator[Doubt]:
    yield from (Doubt(key, words) for key, words in size_troubles_of(build, casting))
    joints = facts_of(build.of(casting)).joints
    joint = None if casting.has(Stage.PRESSED) else joints.of(casting)
    if joint is not None and joint.doubt:
        # A load that nobody typed stops no plan.
        waits = joint.finding.kind is not Kind.HOLDS_BY_GUESS
        words = joint.doubt_told
        yield Doubt(Stage.PRESSED.value, words, waits)
        # What is no good is put right before anything is set by it.
        if joint.answer is Answer.NOT:
            yield from (Doubt(key, words) for key in build.order_of(casting).by_bore)
            # The plan bores on one that is too small; one that no cut mends is settled first.
            spoilt = joints.spoilt(casting) is not None
            if begun or spoilt:
                yield Doubt(Stage.BORED.value, words, waits=spoilt)
    axle, side = build.axle(casting.axle_id), casting.side
    if axle is not None and side and side not in axle.seats and not casting.has(Stage.PRESSED):
        words = f"No seat is measured for {casting.mark} on {seat_words(axle, side)}: the drawing's is taken."
        yield Doubt(Stage.PRESSED.value, words, waits=False)
    if axle is not None and not casting.has(Stage.PRESSED):
        for words, answer in axle_trouble(facts_of(build.of(casting)).assembly(axle), build.unit):
            yield Doubt(Stage.PRESSED.value, f"{words}.", waits=answer is Conformity.OUTSIDE)
    yield from facts_of(build.of(casting)).tyres.doubts(casting)
    tyre = facts_of(build.of(casting)).treads.of(casting)
    if tyre.follow:
        stage, step = TICKS[Face.TREAD]
        yield from (Doubt(key, f"{casting.mark}: {tyre.follow}") for key in (stage.value, step))
    if tyre.trouble:
        yield from (
            Doubt(stage.value, f"{casting.mark}: {tyre.trouble}")
            for stage in (Stage.TREAD_TURNED, Stage.PAINTED)
        )
    gauges = facts_of(build).gauges(axle).trouble if axle else ""
    if gauges:
        yield Doubt(Stage.PAINTED.value, gauges)
    throw = facts_of(build).throws.trouble(casting)
    if throw:
        yield Doubt(Stage.QUARTERED.value, f"The throw of {casting.mark}: {throw}.")
