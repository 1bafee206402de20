"""Speeds and feeds: for each operation of a wheel's route what to select on the workshop's machines."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from domain.cutting.cut_sizes import DrawnWheel, MeasuredWheel, UsualCuts, rim_now
from domain.cutting.operations import Operation, next_operation, operations
from domain.cutting.plan import Conditions
from domain.cutting.reaming import ReamingError, drill_below
from domain.cutting.speeds import CuttingError, Factors, Tool, usual_factors
from domain.route.stages import Route
from webapp.facts.work_figures import work_figures
from webapp.records.machines import MachineView
from webapp.records.views import BuildView, CastingView
from webapp.records.workshop import DrillView
from webapp.sheets.cutting.form_speeds import Tried
from webapp.sheets.cutting.view_speeds_card import Going, SpeedCard, speed_card
from webapp.typed.work_figures import WorkFigures


@dataclass(frozen=True, slots=True)
class SpeedSheet:
    """The sheet of speeds of a casting, or of a build by its drawing."""

    cards: tuple[SpeedCard, ...]
    opened: str
    next: str
    all_done: bool
    tool_words: str
    tool_source: str
    iron: str
    chilled: bool
    chilled_by_receipt: bool
    factors_wrong: str = ""
    # Said where the rim was not measured yet.
    rim_words: str = ""


def operations_of(build: BuildView, casting: CastingView | None) -> tuple[Operation, ...]:
    """The operations of a casting's route, or of the build's coupled wheels."""
    if casting is not None:
        order = build.order_of(casting)
        return operations(order.route, coupled=order.coupled)
    return operations(Route(build.route), coupled=any(axle.coupled for axle in build.axles))


def speed_sheet(
    build: BuildView,
    casting: CastingView | None,
    machines: Sequence[MachineView],
    drills: Sequence[DrillView],
    tried: Tried,
) -> SpeedSheet:
    """Every operation of the route; the next one of the casting, or the one tried, is opened."""
    figures = work_figures(build)
    by_receipt = bool(casting and casting.receipt and casting.receipt.chill)
    chilled = by_receipt if tried.chilled is None else tried.chilled
    factors, wrong = _factors(figures)
    tool = tried.tool or Tool(figures.chosen("tool"))
    going = Going(
        build,
        machines,
        tried,
        tool,
        Conditions(interrupted=tried.interrupted, chilled=chilled, factors=factors),
        drawn_wheel(build),
        measured_wheel(casting),
        _usual_cuts(build, figures, drills),
    )
    found = operations_of(build, casting)
    ticked = _ticked(build, casting)
    first = next_operation(found, ticked)
    rim = rim_now(going.drawn, going.measured)
    opened = tried.op or (first.key if first else "")
    cards = [speed_card(going, one, ticked) for one in found]
    return SpeedSheet(
        # The one that is wanted now comes first; the others follow in the order of the route.
        tuple(sorted(cards, key=lambda card: card.key != opened)),
        opened=opened,
        next=first.key if first else "",
        all_done=first is None,
        tool_words=tool.words,
        tool_source="as tried here" if tried.tool else figures.source("tool"),
        iron=build.iron,
        chilled=chilled,
        chilled_by_receipt=by_receipt,
        factors_wrong=wrong,
        rim_words="" if rim.sure else rim.words,
    )


def drawn_wheel(build: BuildView) -> DrawnWheel:
    """The drawing's figures that a cut goes by."""
    return DrawnWheel(
        build.nm("tread_diameter"),
        build.nm("flange_depth"),
        build.nm("flange_width"),
        build.nm("tyre_width"),
        build.nm("root_radius"),
        build.nm("boss_diameter"),
        build.nm("boss_length"),
        build.nm("bore"),
        build.nm("crankpin_hole"),
    )


def measured_wheel(casting: CastingView | None) -> MeasuredWheel:
    """The sizes a casting has now, those that were measured."""
    sizes = casting.sizes if casting else {}
    return MeasuredWheel(
        *(
            sizes[key].nm if key in sizes else None
            for key in ("rim_most", "over_flange", "tread", "boss_height")
        )
    )


def _factors(figures: WorkFigures) -> tuple[Factors, str]:
    """The build's slowing factors; the usual ones, and why, where they cannot be worked with."""
    usual = usual_factors()
    typed = {"interrupted", "chilled"} & figures.typed
    source = "as typed for this build; forming: common practice, no source" if typed else usual.source
    try:
        return Factors(figures.number("interrupted"), figures.number("chilled"), usual.form, source), ""
    except CuttingError as error:
        return usual, f"{error} Until then the usual ones are reckoned with."


def _usual_cuts(build: BuildView, figures: WorkFigures, drills: Sequence[DrillView]) -> UsualCuts:
    return UsualCuts(
        figures.nm("rough_cut"),
        figures.nm("finish_cut"),
        figures.nm("rough_feed"),
        figures.nm("finish_feed"),
        _drill_nm(build, "bore", drills),
        _drill_nm(build, "crankpin_hole", drills),
    )


def _drill_nm(build: BuildView, hole: str, drills: Sequence[DrillView]) -> int | None:
    """The drill owned that goes before a reamer of this hole, or None."""
    try:
        found = drill_below(build.nm(hole), [view.drill for view in drills], build.unit).drill
    except ReamingError:
        return None  # a hole outside the chart: no stock for the reamer is known, so no drill either
    return found.nominal_nm if found else None


def _ticked(build: BuildView, casting: CastingView | None) -> Collection[str]:
    if casting is None:
        return frozenset()
    axle = build.axle(casting.axle_id)
    return casting.ticked | ({"quartered"} if axle is not None and axle.quartered else set())
