"""From heights as typed to heights of centres: half a diameter taken off, the instrument's zero, and how sure they are."""

from __future__ import annotations

from datetime import datetime

from domain.cranks.cylinders import Side
from domain.cranks.quartering import Branch, MeasuredLength, Pin, QuarteringError, centre_height, pin_to_set
from domain.lengths import Length, show
from domain.measuring.instruments import Instrument, Reach, corrected
from domain.measuring.uncertainty import budget_of_mean
from webapp.facts.correcting import ROOM_U_K, STEEL_PER_K, tools_for
from webapp.facts.facts import facts_of
from webapp.facts.quartering import cranks_of, throw_of
from webapp.records.heights import HeightsView, PinHeight
from webapp.records.views import SIDES, AxleView, BuildView
from webapp.typed.heights import HeightsSoFar, HeightsTyped, HeightTyped


def heights_view(
    build: BuildView, axle: AxleView, typed: HeightsTyped, who: str, at: datetime
) -> HeightsView:
    """What was typed as heights of centres, with the U of the least sure of them.

    Raises: QuarteringError, InstrumentError, UncertaintyError, each with a sentence for the page.
    """
    tool = None
    if typed.instrument_id is not None:
        tool = build.instruments.get(typed.instrument_id)
        if tool is None or typed.instrument_id not in dict(tools_for(build, Reach.OUTSIDE)):
            raise QuarteringError(
                "That instrument is not in the workshop's list for this any more: choose another.",
                field="instrument_id",
            )
    every = {"axle": typed.axle, **typed.pins}
    found = {name: centre_of(name, one, tool, typed.expanded_nm) for name, one in every.items()}
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


def to_set(build: BuildView, axle: AxleView, typed: HeightsSoFar) -> tuple[str, ...]:
    """To what each pin that is not read yet must be set, as the instrument shows it; empty while that cannot be told.

    With one pin read the other follows from it. With none both stand as the axle is best laid.
    Raises: QuarteringError, InstrumentError, UncertaintyError for what is only half typed.
    """
    tool = build.instruments.get(typed.instrument_id) if typed.instrument_id else None
    if typed.axle is None or len(typed.pins) == len(SIDES) or len(typed.branches) < len(SIDES):
        return ()
    centre = centre_of("axle", typed.axle, tool, None).nm
    wanted: dict[str, tuple[Branch, int]] = {}
    for side, one in typed.pins.items():
        other = SIDES[1 - SIDES.index(side)]
        pin = Pin(
            Side(side), typed.branches[side], centre_of(side, one, tool, None), throw_of(build, axle, side)
        )
        throw = throw_of(build, axle, other).nm
        wanted[other] = pin_to_set(pin, centre, Side(other), throw, cranks_of(build))
    if not typed.pins:
        for way in facts_of(build).quartering.set_ups(axle):
            if {side.value: branch for side, branch, _ in way.pins} == typed.branches:
                wanted = {side.value: (branch, centre + above) for side, branch, above in way.pins}
                break
    return tuple(_set_words(build, side, *wanted[side], typed.across, tool) for side in wanted)


def _set_words(
    build: BuildView,
    side: str,
    branch: Branch,
    centre_nm: int,
    across: Length | None,
    tool: Instrument | None,
) -> str:
    shown = shown_nm(centre_nm, across, tool)
    where = "in front of" if branch is Branch.FRONT else "behind"
    what = "over its top" if across else "to its centre"
    return f"Set the {side} pin, {where} the axle, to {show(shown, build.unit)} {what}"


def shown_nm(centre_nm: int, across: Length | None, tool: Instrument | None) -> int:
    """What an instrument shows at a height: over a diameter half of that more, and its zero offset."""
    return centre_nm + (across.nm // 2 if across else 0) + (tool.zero_offset_nm if tool else 0)


def centre_of(
    name: str, one: HeightTyped, tool: Instrument | None, expanded_nm: int | None
) -> MeasuredLength:
    """The height of a centre and its U, from one as typed; raises QuarteringError with `name` as its field."""
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
