"""A casting as a tile shows it, how far a build is, and whether its castings will do."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import takewhile

from domain.route.castings import Progress, finished, progress, shortfall
from domain.route.guards import next_stage
from domain.route.set_ups import Work
from domain.route.stages import Stage, as_worked
from webapp.drawing.wheel import WheelPicture, wheel_picture
from webapp.facts.before_tick import cure_asked, second_to_fix
from webapp.facts.facts import facts_of
from webapp.facts.let_pass import let_pass
from webapp.facts.lost import lost_sizes
from webapp.facts.planned import first_work, plan_of
from webapp.facts.received import flaws_noted
from webapp.facts.unfit import unfit, why_unfit
from webapp.facts.wheels import hole_missing, paint_waits, paint_waits_for
from webapp.records.views import SIDES, AxleView, BuildView, CastingView

_UPRIGHT = 90.0
STAGE_KEYS = frozenset(stage.value for stage in Stage)


@dataclass(frozen=True, slots=True)
class Tile:
    """A casting, how far it is, what comes next, and its picture."""

    casting: CastingView
    stage_words: str
    next_words: str
    picture: WheelPicture


@dataclass(frozen=True, slots=True)
class Stock:
    """Whether the castings will do."""

    places: int
    unfinished: int
    good: int
    spares: int
    order: int
    # Not scrapped, but their rough sizes say that they will not clean up: they count for nothing.
    unfit: int = 0


def tiles(build: BuildView, castings: Iterable[CastingView]) -> tuple[Tile, ...]:
    """Castings side by side."""
    return tuple(Tile(c, stage_words(build, c), next_words(build, c), picture_of(build, c)) for c in castings)


def next_words(build: BuildView, casting: CastingView) -> str:
    """What comes next; a joint that is no good comes before fixing, and one that does not clean up goes."""
    if unfit(build, casting) and casting.state == "in_work":
        return "another casting"
    order = build.order_of(casting)
    following = next_stage(casting.ticked, order)
    if following is None:
        return ""
    fixing = following.value in (Stage.BORED.value, *order.by_bore, Stage.PRESSED.value)
    if fixing and facts_of(build.of(casting)).joints.spoilt(casting):
        return "settle the fit"
    if hole_next(build, casting):
        return "crankpin hole"
    if following is Stage.PRESSED and is_second(build, casting):
        return "pressed and quartered, in one go"
    joints = facts_of(build.of(casting)).joints
    if following is Stage.BORED and joints.too_narrow(casting):
        return f"bored, but no {joints.wanted.kind.words} here is one to aim for: think of a bond"
    if paint_waits(build, casting):
        other = paint_waits_for(build, casting)
        return f"painted, waits for {other}" if other else "put it right"
    wait = cure_asked(build, casting, following.value, datetime.now(UTC), brief=True)
    passed = following is Stage.PAINTED and lost_sizes(build, casting)
    return f"{following.words}{', but not yet' if wait else ', with what was let pass' if passed else ''}"


def hole_next(build: BuildView, casting: CastingView) -> bool:
    """Whether a bored wheel's crankpin hole comes before the stage that is next, which no row of stages says.

    The plan says so where that stage could come first as well, and of which wheel it is where one of an axle is enough.
    """
    order = build.order_of(casting)
    following = next_stage(casting.ticked, order)
    before = following is not None and following.value in (*order.by_bore, Stage.PRESSED.value)
    if casting.axle_id is None or not before or not hole_missing(build, casting):
        return False
    if unfit(build, casting) or facts_of(build.of(casting)).joints.spoilt(casting):
        return False
    sure = following is Stage.PRESSED or casting.skipped
    if sure and order.quartered_as_fixed:
        return True
    work = first_work(plan_of(build.whole, build.standing), casting)
    return work is Work.CRANKPIN_HOLE


def is_second(build: BuildView, casting: CastingView) -> bool:
    """Whether this wheel goes on an axle whose other wheel is on, and is so quartered with it."""
    axle = build.axle(casting.axle_id)
    second = second_to_fix(axle) if axle and build.order_of(casting).quartered_as_fixed else None
    return second is not None and second.id == casting.id


def stage_words(build: BuildView, casting: CastingView) -> str:
    """How far a casting is, in a word or two, with the flaws that were seen on it until it is finished."""
    order = build.order_of(casting)
    if finished(casting.ticked, order):
        # Said of what is right; what was measured since may say otherwise.
        if (
            facts_of(build).made.called_out(casting).grave
            or facts_of(build.of(casting)).treads.of(casting).trouble
        ):
            return "painted, but something is no good or cannot be told"
        return "finished, with something let pass" if let_pass(build, casting) else "finished"
    if unfit(build, casting):
        return f"no good: {why_unfit(casting)}"
    # As the checklist has them, so that no wheel is said to be quartered once its tread is turned after that.
    reached = [*takewhile(casting.has, as_worked(order.stages))]
    words, noted = reached[-1].words if reached else "not received yet", flaws_noted(casting)
    return f"{words}, {noted}" if noted else words


def picture_of(build: BuildView, casting: CastingView | None) -> WheelPicture:
    """The picture of a casting, or of an empty place of the pattern that the build is seen by."""
    build = build.of(casting) if casting else build
    assert build.pattern is not None  # so it is drawn by one
    return wheel_picture(
        tread_diameter_nm=build.nm("tread_diameter"),
        boss_diameter_nm=build.nm("boss_diameter"),
        bore_nm=build.nm("bore"),
        throw_nm=build.crank_nm("throw"),
        crankpin_hole_nm=build.crank_nm("crankpin_hole"),
        flange_depth_nm=build.nm("flange_depth"),
        coupled=build.pattern.cranked,
        ticked=casting.ticked & STAGE_KEYS if casting else frozenset(),
        crank_angle_deg=_crank_deg(build, casting.side if casting else None),
        scrapped=casting is not None and casting.state == "scrapped",
        worn=casting is not None and bool(casting.again),
        label=f"Casting {casting.mark}" if casting else "Empty place",
    )


def _crank_deg(build: BuildView, side: str | None) -> float:
    """Where a wheel's crank is drawn: one upright, and the one that leads a quarter on towards the front.

    Each wheel is seen from its own side of the engine, the left one so with the front to the left.
    """
    if build.pattern is None or not build.pattern.cranked:
        return _UPRIGHT
    ahead = build.quarter_angle_udeg / 1_000_000 if side == build.lead else 0.0
    return _UPRIGHT + ahead if side == "left" else _UPRIGHT - ahead


def progress_of(build: BuildView, axles: Iterable[AxleView]) -> Progress:
    """How much is ticked of all there is to tick on these axles."""
    orders = [(axle, build.order(axle.coupled)) for axle in axles]
    return progress(
        [order for _, order in orders], [(w.ticked, order) for axle, order in orders for w in axle.wheels]
    )


def stock(build: BuildView) -> Stock:
    """Whether the castings of a pattern, or of all together, will do for the wheels still to finish."""
    places = len(SIDES) * len(build.axles)
    done = sum(finished(w.ticked, build.order(axle.coupled)) for axle in build.axles for w in axle.wheels)
    unfit_ones = {c.id for c in build.castings if unfit(build, c)}
    good = sum(c.state != "scrapped" and c.id not in unfit_ones for c in build.castings) - done
    return Stock(
        places=places,
        unfinished=places - done,
        good=good,
        spares=sum(c.id not in unfit_ones for c in build.spares),
        order=shortfall(places, done, good),
        unfit=len(unfit_ones),
    )
