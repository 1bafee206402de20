"""The angle between an axle's cranks, from the heights logged for the wheels now on it."""

from __future__ import annotations

from dataclasses import replace

from domain.cranks.cylinders import Cranks, Side, crank_angles
from domain.cranks.quartering import measure_axle
from domain.cranks.quartering_types import AxleSheet, Branch, Measured, Pin, QuarteringError
from domain.route.stages import CRANKPIN_HOLE, Stage
from webapp.facts.work_figures import work_figures
from webapp.records.heights import HeightsView, PinHeight
from webapp.records.views import AxleView, BuildView, CastingView

_UDEG = 1_000_000
# The small step that says a wheel has its crankpin hole.


class HeightsGone(QuarteringError):
    """Heights that were true of the axle once and are not any more; its text is one sentence for the page."""


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
    three, drawn = work_figures(build).chosen("cylinders") == "3", build.quarter_angle
    if three and drawn != "120":
        return (
            "Cuts and allowances say three cylinders, which stand 120 degrees apart; the drawing says"
            f" {drawn}: change one of the two."
        )
    if not three and drawn == "120":
        return (
            "Cuts and allowances say two cylinders; the drawing says 120 degrees, as three cylinders stand:"
            " change one of the two, if that is not meant."
        )
    return ""


def no_angle_words(build: BuildView, error: QuarteringError) -> str:
    """Why heights give no angle; while three cylinders and the drawing disagree the heights are not to blame."""
    # Two cylinders are judged by the drawing's own angle, whatever it is: there the heights are to blame.
    three = work_figures(build).chosen("cylinders") == "3"
    if isinstance(error, HeightsGone) or not three or not cylinders_conflict(build):
        return str(error)
    return "Not judged while cylinders and drawing do not agree: put that right first, before any height is read again."


def throw_of(build: BuildView, axle: AxleView, side: str) -> Measured:
    """The throw at one end of an axle: measured if logged, else the drawing's, taken as exact."""
    casting = axle.at(side)
    if casting is None or casting.throw is None:
        return Measured(build.nm("throw"))
    return Measured(casting.throw.mean_nm, casting.throw.expanded_nm or 0)


def off_axle(build: BuildView, axle: AxleView) -> tuple[CastingView, ...]:
    """The wheels that must be got on their axle before its heights can mean anything.

    With a bond, quartering and fixing are one job: the second wheel counts as on its axle while it stands there wet,
    if it is bored and has its crankpin hole.
    """
    off = tuple(one for one in axle.wheels if not one.has(Stage.PRESSED))
    if build.fit == "bond" and len(off) == 1 and len(axle.wheels) > 1:
        only = off[0]
        ready = only.has(Stage.BORED) and (only.throw is not None or CRANKPIN_HOLE in only.ticked)
        return () if ready else off
    return off


def off_axle_words(build: BuildView, axle: AxleView) -> str:
    """Which wheel is not on its axle yet, and what to do; empty where the heights can be measured."""
    off = off_axle(build, axle)
    if not off:
        return ""
    marks = " and ".join(one.mark for one in off)
    words = f"{marks} {'is' if len(off) == 1 else 'are'} not on axle {axle.number} yet:"
    if len(off) == 1 and build.fit == "bond":
        lacking = (
            "bore it first" if not off[0].has(Stage.BORED) else "drill its crankpin hole and log its throw"
        )
        return f"{words} {lacking}; then it can be quartered and bonded on in one go."
    if build.fit == "bond":
        return f"{words} bond the first wheel on and tick it “Pressed”; the second is quartered as it is bonded on."
    return f"{words} the heights of its crankpins can be measured when both wheels are ticked “Pressed”."


def heights_gone(build: BuildView, axle: AxleView, heights: HeightsView) -> str:
    """Why heights logged for these two wheels count no more, or an empty text.

    A wheel taken off and put on again does not stand as it stood, however well it was measured before.
    """
    off = off_axle_words(build, axle)
    if off:
        return f"Heights are logged, but {off}"
    later = [
        one.mark
        for one in axle.wheels
        if one.has(Stage.PRESSED) and one.ticks[Stage.PRESSED.value].at > heights.at
    ]
    if not later:
        return ""
    were = "was" if len(later) == 1 else "were"
    return f"Measured before {' and '.join(later)} {were} last ticked “Pressed”: measure again."


def quarter_angle_of(build: BuildView, axle: AxleView, heights: HeightsView | None) -> AxleSheet | None:
    """The axle as measured, None without heights; raises QuarteringError for heights that no axle can have.

    Raises: HeightsGone for heights measured before a wheel was put on its axle as it now stands.
    """
    if heights is None:
        return None
    gone = heights_gone(build, axle, heights)
    if gone:
        raise HeightsGone(gone)
    cranks = cranks_of(build)
    expanded = heights.expanded_nm or 0
    pins = [
        _pin(Side.RIGHT, heights.right, throw_of(build, axle, "right"), expanded),
        _pin(Side.LEFT, heights.left, throw_of(build, axle, "left"), expanded),
    ]
    # An inside crank read while the engine had three cylinders counts for nothing once it has two.
    if heights.inside is not None and heights.inside_throw is not None and Side.INSIDE in cranks.sides:
        pins.append(_pin(Side.INSIDE, heights.inside, Measured(heights.inside_throw.nm), expanded))
    within = work_figures(build).number("quarter_within")
    return measure_axle(pins, Measured(heights.centre.nm, expanded), cranks, within, build.unit)


def _pin(side: Side, height: PinHeight, throw: Measured, expanded_nm: int) -> Pin:
    return Pin(side, Branch(height.branch), Measured(height.height.nm, expanded_nm), throw)
