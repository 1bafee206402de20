"""From heights as typed to heights of centres: half a diameter taken off, the instrument's zero, and how sure they are."""

from __future__ import annotations

from datetime import datetime

from domain.cranks.quartering import MeasuredLength, QuarteringError, centre_height
from domain.lengths import Length
from domain.measuring.instruments import Instrument, InstrumentKind, Reach, corrected
from domain.measuring.uncertainty import budget_of_mean
from webapp.facts.correcting import ROOM_U_K, STEEL_PER_K
from webapp.records.heights import HeightsView, PinHeight
from webapp.records.views import AxleView, BuildView
from webapp.typed.heights import HeightsTyped, HeightTyped


def tools_for_heights(build: BuildView) -> list[tuple[int, str]]:
    """The instruments a height may be measured with."""
    return [(own, tool.name) for own, tool in build.instruments.items() if _usable(build, own, tool)]


def _usable(build: BuildView, own: int, tool: Instrument) -> bool:
    return own not in build.retired and tool.kind is InstrumentKind.VALUE and tool.measures(Reach.OUTSIDE)


def heights_view(
    build: BuildView, axle: AxleView, typed: HeightsTyped, who: str, at: datetime
) -> HeightsView:
    """What was typed as heights of centres, with the U of the least sure of them.

    Raises: QuarteringError, InstrumentError, UncertaintyError, each with a sentence for the page.
    """
    tool = None
    if typed.instrument_id is not None:
        tool = build.instruments.get(typed.instrument_id)
        if tool is None or not _usable(build, typed.instrument_id, tool):
            raise QuarteringError(
                "That instrument is not in the workshop's list for this any more: choose another.",
                field="instrument_id",
            )
    every = {"axle": typed.axle, **typed.pins}
    found = {name: _centre(name, one, tool, typed.expanded_nm) for name, one in every.items()}
    unsure = [one.expanded_nm for one in found.values()]
    said = tool is not None or typed.expanded_nm is not None
    heights = {name: Length(found[name].nm, every[name].text(build.unit)) for name in every}
    pins = {side: PinHeight(heights[side], typed.branches[side].value) for side in typed.pins}
    return HeightsView(
        id=0,
        axle_id=axle.id,
        centre=heights["axle"],
        left=pins["left"],
        right=pins["right"],
        inside=pins.get("inside"),
        inside_throw=typed.inside_throw,
        expanded_nm=max(unsure) if said else None,
        instrument_id=typed.instrument_id,
        who=who,
        at=at,
    )


def _centre(name: str, one: HeightTyped, tool: Instrument | None, expanded_nm: int | None) -> MeasuredLength:
    # The diameter may be of another gauge: the zero offset is taken off the height alone.
    nm = one.height.nm if tool is None else corrected(one.height.nm, tool)
    unsure = expanded_nm or 0
    if tool is not None:
        unsure = budget_of_mean([one.height.nm], tool, STEEL_PER_K - tool.alpha_per_k, ROOM_U_K).expanded_nm
    if one.diameter is None:
        return MeasuredLength(nm, unsure)
    try:
        return centre_height(MeasuredLength(nm, unsure), MeasuredLength(one.diameter.nm, unsure))
    except QuarteringError as error:
        raise QuarteringError(str(error), field=name) from error
