"""The angle between an axle's cranks, from the heights logged for the wheels now on it."""

from __future__ import annotations

from dataclasses import replace

from domain.cylinders import Cranks, Side, crank_angles
from domain.quartering import measure_axle
from domain.quartering_types import AxleSheet, Branch, Measured, Pin
from webapp.queries.heights import HeightsView, PinHeight
from webapp.queries.views import AxleView, BuildView
from webapp.queries.work_figures import work_figures

_UDEG = 1_000_000


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


def throw_of(build: BuildView, axle: AxleView, side: str) -> Measured:
    """The throw at one end of an axle: measured if logged, else the drawing's, taken as exact."""
    casting = axle.at(side)
    if casting is None or casting.throw is None:
        return Measured(build.nm("throw"))
    return Measured(casting.throw.mean_nm, casting.throw.expanded_nm or 0)


def quarter_angle_of(build: BuildView, axle: AxleView, heights: HeightsView | None) -> AxleSheet | None:
    """The axle as measured, None without heights; raises QuarteringError for heights that no axle can have."""
    if heights is None:
        return None
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
