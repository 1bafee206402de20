"""An axle's sheet and a casting's, put together from what is true of them. Nothing here asks the database."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

from domain.cranks.words import QUARTER_ANSWERS, quarter_words
from domain.measuring.decision_types import Conformity
from domain.route.guards import Order, Strength, next_stage
from domain.route.stages import Stage, stages, steps
from domain.treads.judging import TreadAnswer
from webapp.drawing.wheel import WheelPicture
from webapp.facts.axle_gauges import AxleGauges
from webapp.facts.before_tick import TOGETHER, objection_to, objection_to_axle, second_to_fix
from webapp.facts.castings import (
    Progress,
    Stock,
    Tile,
    next_words,
    picture_of,
    progress_of,
    stage_words,
    stock,
    tiles,
)
from webapp.facts.facts import facts_of
from webapp.facts.measured_views import MeasuredView, measured_view
from webapp.facts.metal import MetalLine, metal_words
from webapp.facts.received import ReceivedBrief, received_brief
from webapp.facts.throws import ThrowVerdict
from webapp.facts.treads import WheelTyre
from webapp.facts.unfit import usable_spares
from webapp.facts.ways_out import ways_out
from webapp.facts.wheel_joint import WheelJoint
from webapp.facts.work_sheets import WorkSheet, of_stage
from webapp.records.views import SIDES, AxleView, BuildView, CastingView, Measured, Stamp

QUARTER_LOOKS = {Conformity.INSIDE: "serves", Conformity.OUTSIDE: "not", Conformity.CANNOT_TELL: "caution"}


@dataclass(frozen=True, slots=True)
class StepLine:
    """A small step and its tick."""

    key: str
    words: str
    stamp: Stamp | None


@dataclass(frozen=True, slots=True)
class StageLine:
    """A stage of a wheel, its tick, its steps and what stands in its way."""

    key: str
    words: str
    state: str
    stamp: Stamp | None
    steps: tuple[StepLine, ...]
    steps_done: int
    of_axle: bool
    needs: str
    sheets: tuple[WorkSheet, ...] = ()
    # The axle that is quartered as this wheel goes on, in one tick; None where that is not what comes next.
    together: AxleView | None = None


@dataclass(frozen=True, slots=True)
class WheelCard:
    """Everything the checklist of one casting shows."""

    casting: CastingView
    axle: AxleView | None
    where: str
    stage_words: str
    next_words: str
    picture: WheelPicture
    lines: tuple[StageLine, ...]
    joint: WheelJoint | None
    coupled: bool
    loggable_bore: bool
    loggable_throw: bool
    ask_bore: bool
    # Only where the whole card is shown.
    shown: Shown | None = None


@dataclass(frozen=True, slots=True)
class Shown:
    """What a whole card tells beyond the ticks and the joint: what was measured, and what to do."""

    bore: MeasuredView | None
    throw: MeasuredView | None
    ways: tuple[str, ...]
    bore_target: str
    # Why no fit of the kind wanted can hold here; empty where one can.
    never_holds: str
    throw_verdict: ThrowVerdict | None
    metal: MetalLine | None
    # What the tread and flange are worth, once the tread is turned and something of it is measured.
    tread: WheelTyre | None
    # What receiving said, as long as nothing is cut and it is not good news.
    as_came: ReceivedBrief | None


@dataclass(frozen=True, slots=True)
class AxlePlace:
    """One side of an axle: a wheel, or an empty place."""

    side: str
    card: WheelCard | None
    seat_nm: int
    seat: Measured | None
    seat_shown: MeasuredView | None = None
    seat_target: str = ""


@dataclass(frozen=True, slots=True)
class AxleSheet:
    """The checklist page of one axle."""

    build: BuildView
    axle: AxleView
    places: tuple[AxlePlace, ...]
    spares: tuple[Tile, ...]
    may_fix_and_quarter: bool
    second: CastingView | None
    previous: AxleView | None
    following: AxleView | None
    progress: Progress
    stock: Stock
    gauges: AxleGauges
    # What its heights say of its quarter angle; empty while none count.
    quarter: tuple[tuple[str, str], ...]

    @property
    def both_on(self) -> bool:
        """Whether both wheels are on the axle, so that it can be quartered."""
        return len(self.axle.wheels) == len(SIDES) and all(w.has(Stage.PRESSED) for w in self.axle.wheels)


def wheel_card(build: BuildView, casting: CastingView, *, whole: bool = True) -> WheelCard:
    """The checklist of one casting; not whole where only a tile of it is shown."""
    joint = facts_of(build).joints.of(casting)
    axle, order = build.axle(casting.axle_id), build.order_of(casting)
    following = next_stage(casting.ticked, order)
    live = casting.state != "scrapped"
    return WheelCard(
        casting=casting,
        axle=axle,
        where=_where(casting, axle),
        stage_words=stage_words(build, casting),
        next_words=next_words(build, casting),
        picture=picture_of(build, casting),
        lines=tuple(_stage_lines(build, casting, order, following)),
        joint=joint,
        coupled=order.coupled,
        loggable_bore=live and casting.has(Stage.BACK_FACED),
        loggable_throw=live and order.coupled and casting.has(Stage.BORED),
        ask_bore=casting.has(Stage.BORED) and casting.bore is None and live,
        shown=_shown(build, casting) if whole else None,
    )


def _shown(build: BuildView, casting: CastingView) -> Shown:
    joints = facts_of(build).joints
    return Shown(
        bore=measured_view(build, casting.bore) if casting.bore else None,
        throw=measured_view(build, casting.throw) if casting.throw else None,
        ways=_ways(build, casting),
        bore_target=joints.bore_target(casting),
        never_holds=joints.never_holds(casting),
        throw_verdict=facts_of(build).throws.of(casting),
        metal=metal_words(build, casting),
        tread=_tread(build, casting),
        as_came=_as_came(build, casting),
    )


def _tread(build: BuildView, casting: CastingView) -> WheelTyre | None:
    found = facts_of(build).treads.of(casting) if casting.has(Stage.TREAD_TURNED) else None
    return None if found is None or found.answer is TreadAnswer.NOT_LOGGED else found


def _as_came(build: BuildView, casting: CastingView) -> ReceivedBrief | None:
    if casting.receipt is None or casting.has(Stage.BACK_FACED) or casting.state == "scrapped":
        return None
    brief = received_brief(build, casting)
    return None if brief.answer == "serves" else brief


def _ways(build: BuildView, casting: CastingView) -> tuple[str, ...]:
    """What to do; where the reading cannot be trusted, measuring it better comes before any cut."""
    ways, joint = ways_out(build, casting), facts_of(build).joints.of(casting)
    if joint is None or not joint.finding.undecided or not ways:
        return ways
    return (f"Measure better before any cut. {joint.finding.settling}", *ways)


def _where(casting: CastingView, axle: AxleView | None) -> str:
    if axle is not None:
        return f"axle {axle.number}, {casting.side}"
    return "scrapped" if casting.state == "scrapped" else "spare"


def _stage_lines(
    build: BuildView, casting: CastingView, order: Order, following: Stage | None
) -> Iterable[StageLine]:
    now = datetime.now(UTC)
    for stage in stages(build.route, coupled=order.coupled):
        stamp = casting.ticks.get(stage.value)
        objection = None
        if stage is following and stage is not Stage.QUARTERED:
            objection = objection_to(build, casting, stage.value, now, brief=True)
        lines = tuple(
            StepLine(step.key, step.words, casting.ticks.get(step.key))
            for step in steps(stage, coupled=order.coupled)
        )
        if stamp is not None:
            state = "done"
        elif stage is following:
            state = "refused" if objection else "next"
        else:
            state = "later"
        yield StageLine(
            key=stage.value,
            words=stage.words,
            state=state,
            stamp=stamp,
            steps=lines,
            steps_done=sum(line.stamp is not None for line in lines),
            of_axle=stage is Stage.QUARTERED,
            needs=objection.words if objection else "",
            sheets=of_stage(stage, casting, order.coupled),
            together=_together(build, casting, now)
            if stage is Stage.PRESSED and stage is following
            else None,
        )


def _together(build: BuildView, casting: CastingView, now: datetime) -> AxleView | None:
    axle = build.axle(casting.axle_id)
    return (
        axle if axle and second_to_fix(axle) is casting and _may_fix_and_quarter(build, axle, now) else None
    )


def _may_fix_and_quarter(build: BuildView, axle: AxleView, now: datetime) -> bool:
    objection = objection_to_axle(build, axle, TOGETHER)
    return objection is None or objection.strength is Strength.CONFIRM


def _places(build: BuildView, axle: AxleView) -> tuple[AxlePlace, ...]:
    return tuple(
        AxlePlace(
            side,
            wheel_card(build, wheel) if (wheel := axle.at(side)) else None,
            build.seat_nm(axle, side),
            seat,
            measured_view(build, seat) if seat else None,
            facts_of(build).joints.seat_target(axle, side),
        )
        for side, seat in ((side, axle.seats.get(side)) for side in SIDES)
    )


def _quarter(build: BuildView, axle: AxleView) -> tuple[tuple[str, str], ...]:
    """How each angle looks, and what is said of it."""
    found = facts_of(build).quartering.of(axle)
    if found.sheet is None:
        return ()
    return tuple(
        (
            QUARTER_LOOKS[one.answer] if one.lead_right else "not",
            f"{QUARTER_ANSWERS[one.answer] if one.lead_right else 'no good'}. {quarter_words(one)}",
        )
        for one in found.sheet.angles
    )


def axle_sheet(build: BuildView, axle: AxleView) -> AxleSheet:
    """The checklist page of one axle."""
    index = build.axles.index(axle)
    second = second_to_fix(axle)
    return AxleSheet(
        build=build,
        axle=axle,
        places=_places(build, axle),
        spares=tiles(build, usable_spares(build)),
        may_fix_and_quarter=second is not None and _may_fix_and_quarter(build, axle, datetime.now(UTC)),
        second=second,
        previous=build.axles[index - 1] if index > 0 else None,
        following=build.axles[index + 1] if index + 1 < len(build.axles) else None,
        progress=progress_of(build, (axle,)),
        stock=stock(build),
        gauges=facts_of(build).gauges(axle),
        quarter=_quarter(build, axle),
    )
