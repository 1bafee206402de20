"""What the heights of an axle's crankpins say: the angles, and how its wheels must be turned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from domain.cranks.cylinders import Side
from domain.cranks.quartering_correction import Correction, correction
from domain.cranks.quartering_types import (
    AxleSheet,
    Branch,
    Measured,
    Pin,
    QuarterAngle,
    pin_u_deg,
)
from domain.lengths import Length, show
from domain.route.stages import Stage
from domain.working import Working
from webapp.facts.quarter_angles import cranks_of, cylinders_conflict, quarter_angle_of, throw_of
from webapp.facts.work_figures import work_figures
from webapp.records.heights import HeightsView, PinHeight
from webapp.records.views import SIDES, AxleView, BuildView

# How sure a height is taken to be while nothing is said: only to tell set-ups apart. Common practice, no source.
TRIAL_U_NM = 10_000


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
    ways: tuple[Correction, ...]


@dataclass(frozen=True, slots=True)
class QuarterResult:
    """What the stored heights say."""

    heights: HeightsView
    sheet: AxleSheet
    pins: tuple[PinLine, ...]
    turnings: tuple[Turning, ...]
    workings: tuple[Working, ...]

    @property
    def quarter(self) -> QuarterAngle:
        """The angle between the outside two."""
        return self.sheet.quarter


def pin_sides(build: BuildView) -> tuple[str, ...]:
    """The pins whose heights are asked for."""
    return (
        ("right", "left", "inside") if work_figures(build).chosen("cylinders") == "3" else ("right", "left")
    )


def throw_words(build: BuildView, axle: AxleView, side: str) -> str:
    """The throw a pin is taken to have, and where that figure is from."""
    throw, casting = throw_of(build, axle, side), axle.at(side)
    shown = show(throw.nm, build.unit)
    if casting is None or casting.throw is None:
        return f"{shown} by the drawing, taken as exact: no throw is logged"
    if casting.throw.expanded_nm is None:
        return f"{shown} as logged, taken as exact: no listed instrument was given with it"
    return f"{shown} as logged, sure to {show(throw.expanded_nm, build.unit)}"


def pins_of(build: BuildView, axle: AxleView, heights: HeightsView) -> tuple[list[Pin], Measured]:
    """The pins as they stood, with their throws, and the height of the axle."""
    unsure = heights.expanded_nm or 0
    throws = {
        "right": throw_of(build, axle, "right"),
        "left": throw_of(build, axle, "left"),
        "inside": Measured((heights.inside_throw or Length(build.nm("throw"), "")).nm),
    }
    pins = [
        Pin(Side(side), Branch(one.branch), Measured(one.height.nm, unsure), throws[side])
        for side, one in _stood(heights).items()
        if side in pin_sides(build)
    ]
    return pins, Measured(heights.centre.nm, unsure)


def _stood(heights: HeightsView) -> dict[str, PinHeight]:
    found = {"right": heights.right, "left": heights.left, "inside": heights.inside}
    return {side: one for side, one in found.items() if one is not None}


def measured_sheet(build: BuildView, axle: AxleView, heights: HeightsView) -> AxleSheet:
    """The angles these heights give; raises QuarteringError where they can give none."""
    sheet = quarter_angle_of(build, axle, heights)
    assert sheet is not None  # there are heights
    return sheet


def quarter_result(build: BuildView, axle: AxleView, heights: HeightsView) -> QuarterResult:
    """Everything the sheet tells of the stored heights; raises QuarteringError where they give no angle."""
    pins, centre = pins_of(build, axle, heights)
    sheet = measured_sheet(build, axle, heights)
    turnings = _turnings(build, axle, sheet, pins, centre)
    return QuarterResult(
        heights,
        sheet,
        tuple(_pin_line(build, axle, heights, sheet, pin, centre) for pin in pins),
        turnings,
        (
            cranks_of(build).working,
            *(one.working for one in sheet.pins),
            *(working for angle in sheet.angles for working in angle.workings),
            *(way.working for turning in turnings for way in turning.ways),
        ),
    )


def _pin_line(
    build: BuildView, axle: AxleView, heights: HeightsView, sheet: AxleSheet, pin: Pin, centre: Measured
) -> PinLine:
    found = next(one for one in sheet.pins if one.side is pin.side)
    # What a hundredth of height is worth just here: throw and axle taken as exact.
    lone = Pin(pin.side, pin.branch, Measured(pin.height.nm, TRIAL_U_NM), Measured(pin.throw.nm))
    each = pin_u_deg(lone, found.elevation_deg, Measured(centre.nm))
    casting = axle.at(pin.side.value) if pin.side is not Side.INSIDE else None
    typed_throw = show(pin.throw.nm, build.unit)
    return PinLine(
        pin.side.value,
        casting.mark if casting else "inside crank",
        pin.branch.value,
        _stood(heights)[pin.side.value].height,
        throw_words(build, axle, pin.side.value) if casting else f"{typed_throw} as typed, taken as exact",
        f"{abs(found.from_level_deg):.3f} degrees {'above' if found.from_level_deg >= 0 else 'below'} level",
        f"{show(TRIAL_U_NM, build.unit)} of height is {each:.4f} degrees here",
    )


def loose_sides(axle: AxleView) -> tuple[str, ...]:
    """The sides whose wheels may be turned: the one that is not on yet, else either."""
    loose = tuple(side for side in SIDES if (one := axle.at(side)) and not one.has(Stage.PRESSED))
    return loose or SIDES


def _turnings(
    build: BuildView, axle: AxleView, sheet: AxleSheet, pins: list[Pin], centre: Measured
) -> tuple[Turning, ...]:
    """For each angle the wheels that may be turned for it; the inside crank is part of the axle."""
    of, loose = {pin.side: pin for pin in pins}, loose_sides(axle)
    found = []
    for angle in sheet.angles:
        both = [side for side in (angle.ahead, angle.behind) if side.value in loose]
        ways = tuple(correction(angle, of[side], centre, build.unit) for side in both)
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


def angles_wanted(build: BuildView) -> Mapping[str, str]:
    """The wanted angles in words, and what to look at where cylinders and drawing disagree."""
    return {"words": cranks_of(build).words, "odd": cylinders_conflict(build)}
