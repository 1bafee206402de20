"""The open time of the compound on an axle's second wheel: since when it is on, and until when it may be turned."""

from __future__ import annotations

from dataclasses import dataclass

from domain.joints.open_time import OpenTime, open_time
from domain.route.stages import COMPOUND_ON
from webapp.facts.before_tick import second_to_fix
from webapp.facts.joint_terms import cure_figures
from webapp.records.views import AxleView, BuildView, CastingView, Stamp


@dataclass(frozen=True, slots=True)
class WetWheel:
    """The wheel that is bonded on as its axle is quartered; no clock while its compound is not on."""

    wheel: CastingView
    minutes: float
    source: str
    began: Stamp | None
    clock: OpenTime | None


def wet_wheel(build: BuildView, axle: AxleView) -> WetWheel | None:
    """The second wheel of a bonded axle; None where no wheel waits for its compound."""
    wheel = second_to_fix(axle) if build.fit == "bond" else None
    if wheel is None:
        return None
    figures, began = cure_figures(build), wheel.ticks.get(COMPOUND_ON)
    minutes = figures.number("open_time")
    clock = open_time(began.at, minutes) if began else None
    return WetWheel(wheel, minutes, figures.source("open_time"), began, clock)
