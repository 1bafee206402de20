"""What stands behind a line of the axle sheet or the casting sheet: the bore, the throw and the seat in full."""

from __future__ import annotations

from dataclasses import dataclass

from domain.repeating.settings import tasks_in
from domain.route.set_ups import SetUp
from domain.route.stages import Stage
from webapp.drawing.band import Band
from webapp.facts.as_set import AsSet, all_as_set
from webapp.facts.facts import facts_of
from webapp.facts.measured_views import MeasuredView, measured_view
from webapp.facts.metal import MetalLine, metal_words
from webapp.facts.throws import ThrowVerdict
from webapp.facts.ways_out import WayOut, way, ways_out
from webapp.facts.wheel_joint import WheelJoint
from webapp.facts.wheel_lines import joint_band
from webapp.records.views import AxleView, BuildView, CastingView, Measured


@dataclass(frozen=True, slots=True)
class BoreSlip:
    """The bore of a wheel and what it makes of its seat, in full."""

    casting: CastingView
    joint: WheelJoint | None
    shown: MeasuredView | None
    ways: tuple[WayOut, ...]
    target: str
    # Why no fit of the kind wanted can hold here; empty where one can.
    never_holds: str
    loggable: bool
    metal: MetalLine | None
    # How it was held and cut.
    as_set: tuple[AsSet, ...]
    # Of its joint: drawn where no wheel's head above it has the same.
    band: Band

    @property
    def may_scrap(self) -> bool:
        """Whether scrapping is offered below: it may be, and no way out says it already."""
        return self.casting.state != "scrapped" and all(one.key != "scrap" for one in self.ways)


@dataclass(frozen=True, slots=True)
class ThrowSlip:
    """The throw of a wheel, beside the drawing and its fellows."""

    casting: CastingView
    shown: MeasuredView | None
    verdict: ThrowVerdict | None
    loggable: bool
    as_set: tuple[AsSet, ...]
    # What to do about a throw that is not good.
    ways: tuple[WayOut, ...]


@dataclass(frozen=True, slots=True)
class SeatSlip:
    """The wheel seat at one end of an axle, and the joint of the wheel that belongs on it."""

    axle: AxleView
    side: str
    seat_nm: int
    seat: Measured | None
    shown: MeasuredView | None
    target: str
    wheel: CastingView | None
    joint: WheelJoint | None
    # Of that joint; None without a wheel.
    band: Band | None


def bore_slip(build: BuildView, casting: CastingView) -> BoreSlip:
    """The bore in full."""
    joints = facts_of(build.of(casting)).joints
    return BoreSlip(
        casting=casting,
        joint=joints.of(casting),
        shown=measured_view(build, casting.bore) if casting.bore else None,
        ways=_ways(build, casting),
        target=joints.bore_target(casting),
        never_holds=joints.never_holds(casting),
        loggable=casting.state != "scrapped" and casting.has(build.order_of(casting).before_bore),
        metal=_metal(build, casting),
        as_set=all_as_set(build, casting, tasks_in(SetUp.FRONT_OUT)),
        band=joint_band(build, casting),
    )


def _metal(build: BuildView, casting: CastingView) -> MetalLine | None:
    """The metal left, for who is about to bore; with a bore logged its verdict leads, unless metal is in danger."""
    found = metal_words(build, casting)
    return found if found is None or found.loud or casting.bore is None else None


def _ways(build: BuildView, casting: CastingView) -> tuple[WayOut, ...]:
    """What to do; where the reading cannot be trusted, measuring it better comes before any cut."""
    ways, joint = ways_out(build, casting), facts_of(build.of(casting)).joints.of(casting)
    if joint is None or not joint.finding.undecided or not ways:
        return ways
    better = f"Measure better before any cut. {joint.finding.settling}"
    return (way(casting, "measure", better), *ways)


def throw_slip(build: BuildView, casting: CastingView) -> ThrowSlip:
    """The throw in full."""
    verdict = facts_of(build).throws.of(casting)
    return ThrowSlip(
        casting,
        measured_view(build, casting.throw) if casting.throw else None,
        verdict,
        casting.state != "scrapped" and build.order_of(casting).coupled and casting.has(Stage.BORED),
        all_as_set(build, casting, tasks_in(SetUp.CRANKPIN_JIG)),
        tuple(way(casting, key, words) for key, words in verdict.ways) if verdict else (),
    )


def seat_slip(build: BuildView, axle: AxleView, side: str) -> SeatSlip:
    """A seat in full."""
    joints, seat, wheel = facts_of(build.of(axle)).joints, axle.seats.get(side), axle.at(side)
    return SeatSlip(
        axle,
        side,
        build.seat_nm(axle, side),
        seat,
        measured_view(build, seat) if seat else None,
        joints.seat_target(axle, side),
        wheel,
        joints.of(wheel) if wheel else None,
        joint_band(build, wheel) if wheel else None,
    )
