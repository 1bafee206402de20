"""An axle set again for the rods: by which height of a pin, and why its quartering sheet gives another turn."""

from __future__ import annotations

from dataclasses import replace

from domain.cranks.quartering_correction import correction
from domain.cranks.quartering_types import QuarterAngle, QuarteringError
from domain.cranks.quartering_words import degrees
from domain.measuring.decision_types import Conformity
from domain.rods.correcting import Correction, frees_all
from domain.rods.judging import RodEngine
from webapp.facts.quarter_angles import cranks_of
from webapp.facts.quartering import loose_sides, measured_sheet, pins_of
from webapp.records.heights import HeightsView
from webapp.records.views import AxleView, BuildView


def setting_words(
    build: BuildView, axle: AxleView, heights: HeightsView | None, engine: RodEngine, here: Correction
) -> tuple[str, ...]:
    """How to set the axle by the height of a pin, and how that stands to its own sheet; nothing without heights."""
    if heights is None:
        return ()
    try:
        quarter = measured_sheet(build, axle, heights).quarter
    except QuarteringError:
        # Its heights count for nothing: that stands among what is missing.
        return ()
    height = _by_height(build, axle, heights, quarter, here)
    # An axle that its own sheet calls right has no other turn there to be weighed against this one.
    right = quarter.answer is Conformity.INSIDE
    why = "" if right else _beside_its_own_sheet(build, axle, engine, here)
    return (height, why) if why else (height,)


def _by_height(
    build: BuildView, axle: AxleView, heights: HeightsView, quarter: QuarterAngle, here: Correction
) -> str:
    """The same turn as the height a pin must come to, with the axle as it lay when it was measured."""
    pins, centre = pins_of(build, axle, heights)
    loose = loose_sides(axle)
    pin = next(one for one in pins if one.side.value == ("right" if "right" in loose else loose[0]))
    # The rods want the axle's angle changed by the turn: as far as that it departs from what they want.
    return correction(replace(quarter, departure_deg=-here.turn_deg), pin, centre, build.unit).words


def _beside_its_own_sheet(build: BuildView, axle: AxleView, engine: RodEngine, here: Correction) -> str:
    """Why the axle's quartering sheet gives another turn, and whether that one would serve the rods too."""
    cranks = cranks_of(build)
    wanted = cranks.ahead_deg(*cranks.pairs()[0])
    turn = wanted - engine.axles[here.number - 1].quarter_deg
    if degrees(abs(turn)) == degrees(abs(here.turn_deg)):
        return ""
    frees = frees_all(engine, replace(here, turn_deg=turn))
    serves = {True: "the rods go round by that too", False: "by that alone they do not go round"}
    return (
        f"The rods ask only that the axles agree, so this brings axle {axle.number} to its fellows; its quartering sheet"
        f" brings it to the {wanted:g} degrees wanted, a change of {turn:+.3f} degrees"
        f"{'' if frees is None else ': ' + serves[frees]}."
    )
