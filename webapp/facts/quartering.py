"""What the heights of an axle's crankpins say: whether they count, the angles, and how its wheels must be turned."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import timedelta

from domain.cranks.cylinders import Cranks, CylindersError, Side, crank_angles
from domain.cranks.quartering import (
    Branch,
    MeasuredLength,
    Pin,
    QuarterAngle,
    QuarteredAxle,
    QuarteringError,
    VeeBlockSetUp,
    WheelTurn,
    best_set_ups,
    correction,
    measure_axle,
    pin_u_deg,
    turned_by,
)
from domain.cranks.setting import PinToSet, pins_to_set
from domain.cranks.words import QUARTER_ANSWERS, degrees, quarter_words, quarter_workings, turning_working
from domain.errors import TradeError
from domain.lengths import Length, show
from domain.measuring.decision import Conformity
from domain.route.guards import drilled
from domain.route.stages import Stage
from domain.working import Working
from webapp.facts.work_figures import work_figures
from webapp.records.heights import HeightsView, PinHeight
from webapp.records.views import SIDES, AxleView, BuildView, CastingView

# How sure a height is taken to be while nothing is said: only to tell set-ups apart. Common practice, no source.
TRIAL_U_NM = 10_000
_UDEG = 1_000_000
# Two ticks of one transaction are not further apart.
_ONE_GO = timedelta(seconds=1)
# How a wheel was fixed, by its fit.
_FIXED = {"bond": "bonded", "press": "pressed", "shrink": "shrunk"}


# Why heights give no angle while three cylinders and the drawing disagree, to stand after a colon.
CONFLICT_CLAUSE = (
    "not judged while cylinders and drawing do not agree: put that right first,"
    " before any height is read again."
)


class HeightsGone(QuarteringError):
    """Heights that were true of the axle once and are not any more; `clause` says it after a colon."""

    def __init__(self, clause: str) -> None:
        super().__init__(sentence(clause))
        self.clause = clause


def sentence(clause: str) -> str:
    """A clause that stood after a colon, as a sentence of its own."""
    return clause[0].upper() + clause[1:]


def cranks_of(build: BuildView) -> Cranks:
    """The cranks as this build's drawing wants them; the outside two as far apart as its quarter angle says."""
    figures = work_figures(build)
    cylinders, lead = int(figures.chosen("cylinders")), Side(build.lead)
    slopes = {Side.INSIDE: figures.number("inside_slope")} if cylinders > 2 else {}
    cranks = crank_angles(cylinders, lead, slopes)
    other = Side.LEFT if lead is Side.RIGHT else Side.RIGHT
    wanted = build.quarter_angle_udeg / _UDEG
    if cylinders > 2 or abs(cranks.ahead_deg(lead, other) - wanted) < 1 / _UDEG:
        return cranks
    # Two cylinders that are not level alike are set out by the drawing, which gives the angle itself.
    left = wanted if lead is Side.LEFT else 360.0 - wanted
    words = (
        f"The {lead} crank is ahead of the {other} one by {build.quarter_angle} degrees, as the drawing says."
    )
    return replace(cranks, before_right=((Side.RIGHT, 0.0), (Side.LEFT, left)), words=words)


def cylinders_conflict(build: BuildView) -> str:
    """That the number of cylinders and the drawing's quarter angle do not agree, or an empty text."""
    three, at_120 = has_three_cylinders(build), build.quarter_angle_udeg == 120 * _UDEG
    if three and not at_120:
        return (
            "Cuts and allowances say three cylinders, which stand 120 degrees apart; the drawing says"
            f" {build.quarter_angle}: change one of the two."
        )
    if not three and at_120:
        return (
            "Cuts and allowances say two cylinders; the drawing says 120 degrees, as three cylinders stand:"
            " change one of the two, if that is not meant."
        )
    return ""


def has_three_cylinders(build: BuildView) -> bool:
    """Whether the engine has an inside crank."""
    return work_figures(build).chosen("cylinders") == "3"


def conflict_hides_angle(build: BuildView) -> bool:
    """Whether heights give no angle because three cylinders and the drawing disagree, and are not to blame.

    Two cylinders are judged by the drawing's own angle, whatever it is: there the heights are to blame.
    """
    return has_three_cylinders(build) and bool(cylinders_conflict(build))


def no_angle_words(build: BuildView, error: TradeError) -> str:
    """Why heights give no angle."""
    if isinstance(error, HeightsGone) or not conflict_hides_angle(build):
        return str(error)
    return sentence(CONFLICT_CLAUSE)


def throw_of(build: BuildView, axle: AxleView, side: str) -> MeasuredLength:
    """The throw at one end of an axle: measured if logged, else the drawing's, taken as exact."""
    casting = axle.at(side)
    if casting is None or casting.throw is None:
        return MeasuredLength(build.of(axle).nm("throw"))
    return MeasuredLength(casting.throw.mean_nm, casting.throw.expanded_nm or 0)


def off_axle(build: BuildView, axle: AxleView) -> tuple[CastingView, ...]:
    """The wheels that must be got on their axle before its heights can mean anything.

    Quartering and fixing are one job: the second wheel counts as on its axle while it stands there and is not ticked
    yet, if it is bored and has its crankpin hole. A quartering jig finds both wheels fixed.
    """
    off = tuple(one for one in axle.wheels if not one.has(Stage.PRESSED))
    if _as_fixed(build, axle) and len(off) == 1 and len(axle.wheels) > 1:
        only = off[0]
        return (
            () if only.has(Stage.BORED) and drilled(only.ticked, throw_logged=only.throw is not None) else off
        )
    return off


def _as_fixed(build: BuildView, axle: AxleView) -> bool:
    return build.order(axle.coupled).quartered_as_fixed


def off_axle_words(build: BuildView, axle: AxleView) -> str:
    """Which wheel is not on its axle yet, and what to do; empty where the heights can be measured."""
    off = off_axle(build, axle)
    if not off:
        return ""
    marks = " and ".join(one.mark for one in off)
    words = f"{marks} {'is' if len(off) == 1 else 'are'} not on axle {axle.number} yet:"
    if len(off) == 1 and _as_fixed(build, axle):
        lacking = (
            "bore it first" if not off[0].has(Stage.BORED) else "drill its crankpin hole and log its throw"
        )
        return f"{words} {lacking}; then it can be quartered and {_FIXED[build.fit]} on in one go."
    if _as_fixed(build, axle):
        first = f"{build.fit} the first wheel on and tick it “Pressed”"
        return f"{words} {first}; the second is quartered as it is {_FIXED[build.fit]} on."
    return f"{words} the heights of its crankpins can be measured when both wheels are ticked “Pressed”."


def heights_gone(build: BuildView, axle: AxleView, heights: HeightsView) -> str:
    """Why heights logged for these two wheels count no more, to stand after a colon, or an empty text.

    A wheel taken off and put on again does not stand as it stood, however well it was measured before. The second wheel,
    ticked fixed in one go with the quartering, was set and measured on its axle before that.
    """
    off = off_axle_words(build, axle)
    if off:
        return f"heights are logged, but {off}"
    later = [
        one.mark
        for one in axle.wheels
        if one.has(Stage.PRESSED)
        and one.ticks[Stage.PRESSED.value].at > heights.at
        and not _in_one_go(build, axle, one)
    ]
    if not later:
        return ""
    were = "was" if len(later) == 1 else "were"
    return f"measured before {' and '.join(later)} {were} last ticked “Pressed”: measure again."


def _in_one_go(build: BuildView, axle: AxleView, wheel: CastingView) -> bool:
    """Whether a wheel was ticked fixed with the quartering of its axle, in one go."""
    return (
        axle.quartered is not None and abs(axle.quartered.at - wheel.ticks[Stage.PRESSED.value].at) < _ONE_GO
    )


@dataclass(frozen=True, slots=True)
class QuarterFinding:
    """What an axle's heights come to: its angles, or why they give none; neither while none are logged.

    error: HeightsGone for heights measured before a wheel was put on its axle as it now stands.
    """

    sheet: QuarteredAxle | None = None
    error: TradeError | None = None


class Quarterings:
    """The quarter angles of a build's axles: each axle's heights are judged once, and how to lay it is found once."""

    def __init__(self, build: BuildView) -> None:
        self._build = build
        self._found: dict[int, QuarterFinding] = {}
        self._ways: dict[int, tuple[VeeBlockSetUp, ...]] = {}

    def set_ups(self, axle: AxleView) -> tuple[VeeBlockSetUp, ...]:
        """How best to lay an axle in its vee blocks, heights counted from its centre; empty where no way is good."""
        if axle.id not in self._ways:
            self._ways[axle.id] = _set_ups(self._build, axle)
        return self._ways[axle.id]

    def laid(self, axle: AxleView) -> tuple[PinToSet, ...]:
        """Where each pin stands with the axle laid as is best, by its centre: to be set so, read so, and drawn so.

        Where no way is good the outside two are set by themselves.
        """
        ways = self.set_ups(axle)
        if ways:
            places = zip(ways[0].pins, ways[0].from_level_deg, strict=True)
            return tuple(PinToSet(*pin, level) for pin, level in places)
        throws = {Side(side): throw_of(self._build, axle, side).nm for side in SIDES}
        return pins_to_set(throws, 0, cranks_of(self._build))

    def of(self, axle: AxleView) -> QuarterFinding:
        """What an axle's heights say of it."""
        if axle.id not in self._found:
            found = QuarterFinding() if axle.heights is None else self.judged(axle, axle.heights)
            self._found[axle.id] = found
        return self._found[axle.id]

    def judged(self, axle: AxleView, heights: HeightsView) -> QuarterFinding:
        """What heights that may not be stored yet say of an axle."""
        build = self._build
        gone = heights_gone(build, axle, heights)
        if gone:
            return QuarterFinding(error=HeightsGone(gone))
        pins, centre = pins_of(build, axle, heights)
        within = work_figures(build).number("quarter_within")
        try:
            return QuarterFinding(measure_axle(pins, centre, cranks_of(build), within, build.unit))
        except (QuarteringError, CylindersError) as error:
            return QuarterFinding(error=error)


def _set_ups(build: BuildView, axle: AxleView) -> tuple[VeeBlockSetUp, ...]:
    heights = axle.heights
    throws = {Side.RIGHT: throw_of(build, axle, "right"), Side.LEFT: throw_of(build, axle, "left")}
    if "inside" in pin_sides(build):
        inside = heights.inside_throw if heights and heights.inside_throw else None
        throws[Side.INSIDE] = MeasuredLength(inside.nm if inside else build.of(axle).nm("throw"))
    unsure = (heights.expanded_nm if heights else None) or TRIAL_U_NM
    return best_set_ups(throws, MeasuredLength(0, unsure), cranks_of(build), unsure)


def quarter_doubts(build: BuildView, axle: AxleView, found: QuarterFinding) -> tuple[str, ...]:
    """What is asked before the axle is ticked quartered: an angle that is not right, or that nobody has measured."""
    if not axle.coupled or axle.quartered is not None:
        return ()
    if found.error is not None:
        return (f"Axle {axle.number}: {no_angle_words(build, found.error)}",)
    if found.sheet is None:
        words = "no heights of its crankpins are logged, so nothing shows how it is quartered."
        if not build.order(axle.coupled).quartered_as_fixed:
            words = (
                "no heights of its crankpins are logged, so it is taken to be as the quartering jig made it."
            )
        return (f"Axle {axle.number}: {words}",)
    return tuple(
        f"Axle {axle.number}: {quarter_words(angle)}"
        for angle in found.sheet.angles
        if angle.answer is not Conformity.INSIDE or not angle.lead_right
    )


@dataclass(frozen=True, slots=True)
class AngleSaid:
    """One angle as measured: how its answer looks, its word, and the sentence."""

    angle: QuarterAngle
    look: str
    word: str
    words: str

    @property
    def settles(self) -> str:
        """The largest uncertainty that would settle it, cut off and not rounded."""
        return degrees(math.floor(self.angle.settles_deg * 100) / 100)


def quarter_said(sheet: QuarteredAxle) -> tuple[AngleSaid, ...]:
    """What is said of each angle of an axle."""
    return tuple(
        AngleSaid(one, one.answer.judged.look, QUARTER_ANSWERS[one.answer], quarter_words(one))
        for one in sheet.angles
    )


def looks_of(sheet: QuarteredAxle) -> tuple[str, ...]:
    """How the answer of each angle of an axle looks."""
    return tuple(one.answer.judged.look for one in sheet.angles)


@dataclass(frozen=True, slots=True)
class PinLine:
    """One pin as it stood."""

    side: str
    mark: str
    branch: str
    height: Length
    throw_words: str
    elevation: str
    sensitivity: str


@dataclass(frozen=True, slots=True)
class Turning:
    """How one angle is put right: by either of these wheels."""

    title: str
    ways: tuple[WheelTurn, ...]


@dataclass(frozen=True, slots=True)
class QuarterResult:
    """What the stored heights say."""

    heights: HeightsView
    sheet: QuarteredAxle
    pins: tuple[PinLine, ...]
    turnings: tuple[Turning, ...]
    workings: tuple[Working, ...]

    @property
    def quarter(self) -> QuarterAngle:
        """The angle between the outside two."""
        return self.sheet.quarter


def pin_sides(build: BuildView) -> tuple[str, ...]:
    """The pins whose heights are asked for."""
    return ("right", "left", "inside") if has_three_cylinders(build) else ("right", "left")


def throw_words(build: BuildView, axle: AxleView, side: str) -> str:
    """The throw a pin is taken to have, and where that figure is from."""
    throw, casting = throw_of(build, axle, side), axle.at(side)
    shown = show(throw.nm, build.unit)
    if casting is None or casting.throw is None:
        return f"{shown} by the drawing, taken as exact: no throw is logged"
    if casting.throw.expanded_nm is None:
        return f"{shown} as logged, taken as exact: no listed instrument was given with it"
    return f"{shown} as logged, sure to {show(throw.expanded_nm, build.unit)}"


def pins_of(build: BuildView, axle: AxleView, heights: HeightsView) -> tuple[list[Pin], MeasuredLength]:
    """The pins as they stood, with their throws, and the height of the axle.

    An inside crank read while the engine had three cylinders counts for nothing once it has two.
    """
    unsure = heights.expanded_nm or 0
    throws = {side: throw_of(build, axle, side) for side in SIDES}
    throws["inside"] = MeasuredLength(
        heights.inside_throw.nm if heights.inside_throw else build.of(axle).nm("throw")
    )
    pins = [
        Pin(Side(side), Branch(one.branch), MeasuredLength(one.height.nm, unsure), throws[side])
        for side, one in _stood(heights).items()
        if side in pin_sides(build)
    ]
    return pins, MeasuredLength(heights.centre.nm, unsure)


def _stood(heights: HeightsView) -> dict[str, PinHeight]:
    found = {"right": heights.right, "left": heights.left, "inside": heights.inside}
    return {side: one for side, one in found.items() if one is not None}


def quarter_result(
    build: BuildView,
    axle: AxleView,
    heights: HeightsView,
    sheet: QuarteredAxle,
    turn_deg: float | None = None,
) -> QuarterResult:
    """Everything the sheet tells of the stored heights and the angles that they give.

    turn_deg: the change of the outside two's angle where the axle is set again to agree with its fellows; None for the
    turn to the drawing's angle.
    """
    pins, centre = pins_of(build, axle, heights)
    turnings = _turnings(axle, sheet, turn_deg, pins, centre)
    return QuarterResult(
        heights,
        sheet,
        tuple(
            _pin_line(build=build, axle=axle, heights=heights, sheet=sheet, pin=pin, centre=centre)
            for pin in pins
        ),
        turnings,
        (
            cranks_of(build).working,
            *quarter_workings(sheet, centre, build.unit),
            *(turning_working(way, build.unit) for turning in turnings for way in turning.ways),
        ),
    )


def _pin_line(
    build: BuildView,
    axle: AxleView,
    heights: HeightsView,
    sheet: QuarteredAxle,
    pin: Pin,
    centre: MeasuredLength,
) -> PinLine:
    found = next(one for one in sheet.pins if one.side is pin.side)
    # What a hundredth of height is worth just here: throw and axle taken as exact.
    lone = Pin(pin.side, pin.branch, MeasuredLength(pin.height.nm, TRIAL_U_NM), MeasuredLength(pin.throw.nm))
    each = pin_u_deg(lone, found.elevation_deg, MeasuredLength(centre.nm))
    casting = axle.at(pin.side.value) if pin.side is not Side.INSIDE else None
    typed_throw = show(pin.throw.nm, build.unit)
    return PinLine(
        side=pin.side.value,
        mark=casting.mark if casting else "inside crank",
        branch=pin.branch.value,
        height=_stood(heights)[pin.side.value].height,
        throw_words=throw_words(build, axle, pin.side.value)
        if casting
        else f"{typed_throw} as typed, taken as exact",
        elevation=f"{abs(found.from_level_deg):.2f} degrees {'above' if found.from_level_deg >= 0 else 'below'} level",
        sensitivity=f"{show(TRIAL_U_NM, build.unit)} of height is {each:.2f} degrees here",
    )


def loose_sides(axle: AxleView) -> tuple[str, ...]:
    """The sides whose wheels may be turned: the one that is not on yet, else either."""
    loose = tuple(side for side in SIDES if (one := axle.at(side)) and not one.has(Stage.PRESSED))
    return loose or SIDES


def _turnings(
    axle: AxleView, sheet: QuarteredAxle, turn_deg: float | None, pins: list[Pin], centre: MeasuredLength
) -> tuple[Turning, ...]:
    """For each angle the wheels that may be turned for it; the inside crank is part of the axle."""
    of, loose = {pin.side: pin for pin in pins}, loose_sides(axle)
    found = []
    for angle in sheet.angles:
        both = [side for side in (angle.ahead, angle.behind) if side.value in loose]
        to = turned_by(angle, turn_deg) if turn_deg is not None and angle is sheet.quarter else angle
        ways = tuple(correction(to, of[side], centre) for side in both)
        found.append(Turning(f"{angle.ahead} ahead of {angle.behind}", ways))
    return tuple(one for one in found if one.ways)


def loose_words(build: BuildView, axle: AxleView) -> str:
    """Which wheel is to be turned, and when."""
    assert axle.left is not None and axle.right is not None  # the caller has both wheels
    on = [one for one in (axle.left, axle.right) if one.has(Stage.PRESSED)]
    if len(on) == len(SIDES):
        return {
            "bond": "Both wheels are bonded on: a bond that has set must be broken before a wheel can turn.",
            "press": "Both wheels are pressed on: turning one means drawing it off and pressing it on again.",
            "shrink": "Both wheels are shrunk on: turning one means getting it off and shrinking it on again.",
        }[build.fit]
    when = {
        "bond": "before the compound sets",
        "press": "before it goes in at the press",
        "shrink": "before the heat is out of it",
    }[build.fit]
    if not on:
        return f"Neither wheel is ticked as on its axle: turn either, {when}."
    loose = axle.right if on[0] is axle.left else axle.left
    return f"{on[0].mark} is on its axle, so turn {loose.mark} on the {loose.side}, {when}."
