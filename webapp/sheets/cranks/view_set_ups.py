"""How best to lay an axle in its vee blocks before its crankpins are measured."""

from __future__ import annotations

from dataclasses import dataclass

from domain.cranks.cylinders import Side
from domain.cranks.quartering import best_set_ups
from domain.cranks.quartering_types import Branch, Measured, SetUp
from domain.lengths import Length, show
from webapp.facts.quarter_angles import cranks_of, throw_of
from webapp.facts.quartering import TRIAL_U_NM, pin_sides
from webapp.records.heights import HeightsView
from webapp.records.views import AxleView, BuildView

_SHOWN = 3


@dataclass(frozen=True, slots=True)
class SetUpLine:
    """One way to lay the axle: each pin's side, where it stands, how far above or below the axle, and how high then."""

    pins: tuple[tuple[str, str, str, str], ...]
    uncertainty: str
    level: str


def set_ups(build: BuildView, axle: AxleView, heights: HeightsView | None) -> tuple[SetUp, ...]:
    """How best to lay the axle, heights counted from the axle's centre; empty where no way is good."""
    throws = {Side.RIGHT: throw_of(build, axle, "right"), Side.LEFT: throw_of(build, axle, "left")}
    if "inside" in pin_sides(build):
        inside = heights.inside_throw if heights and heights.inside_throw else None
        throws[Side.INSIDE] = Measured(inside.nm if inside else build.nm("throw"))
    unsure = (heights.expanded_nm if heights else None) or TRIAL_U_NM
    return best_set_ups(throws, Measured(0, unsure), cranks_of(build), unsure, build.unit)[:_SHOWN]


def set_up_lines(build: BuildView, ways: tuple[SetUp, ...], centre: Length | None) -> tuple[SetUpLine, ...]:
    """The set-ups in words; with the height of the axle known, how high each pin's centre then is."""
    return tuple(
        SetUpLine(
            tuple(_set_up_pin(build, pin, centre) for pin in way.pins),
            f"{way.expanded_deg:.3f} degrees",
            " and ".join(f"{abs(one):.0f}" for one in way.from_level_deg),
        )
        for way in ways
    )


def _set_up_pin(
    build: BuildView, pin: tuple[Side, Branch, int], centre: Length | None
) -> tuple[str, str, str, str]:
    side, branch, above_nm = pin
    where = "in front of the axle" if branch is Branch.FRONT else "behind the axle"
    way = f"{show(abs(above_nm), build.unit)} {'above' if above_nm >= 0 else 'below'} the axle's centre"
    return side.value, where, way, show(centre.nm + above_nm, build.unit) if centre else ""
