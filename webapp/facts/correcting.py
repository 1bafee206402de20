"""From readings as typed to the corrected mean: zero offset, temperature, plugs, and how unsure the mean is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from domain.joints.materials import MILD_STEEL, iron
from domain.lengths import Unit
from domain.lengths.fine import fine
from domain.measuring.instruments import Instrument, InstrumentError, InstrumentKind, Reach, corrected
from domain.measuring.plugs import PlugsError, centre_distance_over, centre_distance_u_nm
from domain.measuring.readings import summarise
from domain.measuring.thermal import ThermalError, Warmth, corrected_to_20_c
from domain.measuring.uncertainty import Budget, UncertaintyError, budget_of_mean, combined_nm, expanded_nm
from domain.working import Working
from webapp.records.views import BuildView, Measured

STEEL_PER_K = MILD_STEEL.alpha_per_k
# Standard uncertainties of the temperatures, K: of one that was read, and of a workshop where none was read and
# work and gauge have lain side by side. Common practice, no source.
READ_U_K, ROOM_U_K = 1.0, 5.0


@dataclass(frozen=True, slots=True)
class Taken:
    """How a size was taken: the readings in the order taken and all that corrects them."""

    readings_nm: tuple[int, ...]
    instrument: Instrument | None
    work_dc: int | None
    gauge_dc: int | None
    alpha_per_k: float
    plugs_nm: tuple[int, int] | None


@dataclass(frozen=True, slots=True)
class Sized:
    """What came of it: each reading corrected, their mean (between centres where it was over plugs), U, and what was
    added to the mean of the readings as typed."""

    sizes_nm: tuple[int, ...]
    mean_nm: int
    budget: Budget | None
    expanded_nm: int | None
    correction_nm: int
    workings: tuple[Working, ...]


def tools_for(build: BuildView, reach: Reach | None = None, *, plugs: bool = False) -> list[tuple[int, str]]:
    """The instruments in use that give a value, by id and name; those that reach it, and plug gauges too where asked."""
    return [
        (own, tool.name)
        for own, tool in build.instruments.items()
        if own not in build.retired
        and (reach is None or tool.measures(reach))
        and (plugs or tool.kind is InstrumentKind.VALUE)
    ]


def alpha_of(build: BuildView, kind: str) -> float:
    """The expansion of what is measured: the wheel's iron, or the steel of an axle or a tyre."""
    return STEEL_PER_K if kind in ("seat", "tyre_inside") else iron(build.iron).alpha_per_k


def taken_of(build: BuildView, measured: Measured) -> Taken:
    """How a stored measurement was taken, with its instrument's figures as they are now."""
    tool = build.instruments.get(measured.instrument_id) if measured.instrument_id else None
    one, two = measured.plug_one_nm, measured.plug_two_nm
    return Taken(
        tuple(reading.nm for reading in measured.readings),
        tool if tool is not None and tool.kind is InstrumentKind.VALUE else None,
        measured.work_dc,
        measured.gauge_dc,
        alpha_of(build, measured.kind),
        (one, two) if one is not None and two is not None else None,
    )


def sized_again(build: BuildView, measured: Measured) -> Sized | None:
    """A stored measurement worked out again; None when its instrument's figures no longer give what was stored."""
    try:
        sized = size_up(taken_of(build, measured), build.unit)
    except (InstrumentError, ThermalError, PlugsError, UncertaintyError):
        return None  # the figures of the instrument were changed to ones these readings cannot have
    same = (sized.mean_nm, sized.expanded_nm) == (measured.mean_nm, measured.expanded_nm)
    return sized if same else None


@lru_cache(maxsize=512)
def size_up(taken: Taken, unit: Unit) -> Sized:
    """Correct the readings and say how unsure their mean is.

    Raises: InstrumentError, ThermalError, PlugsError, UncertaintyError, each with a sentence for the page.
    """
    workings: list[Working] = []
    sizes = [_without_zero(nm, taken.instrument) for nm in taken.readings_nm]
    if taken.instrument is not None and taken.instrument.zero_offset_nm:
        workings.append(_zero_working(taken.readings_nm, sizes, taken.instrument, unit))
    warmths = _warmths(taken)
    if warmths is not None:
        workings.append(corrected_to_20_c(summarise(sizes).mean_nm, *warmths, unit).working)
        sizes = [corrected_to_20_c(nm, *warmths, unit).nm for nm in sizes]
    mean = summarise(sizes).mean_nm
    correction = mean - summarise(taken.readings_nm).mean_nm
    workings.append(_mean_working(sizes, mean, unit))
    budget = _budget(taken, sizes)
    expanded = budget.expanded_nm if budget else None
    if budget:
        workings.append(budget.working(unit))
    if taken.plugs_nm is not None:
        centres = centre_distance_over(mean, *taken.plugs_nm, unit)
        mean = centres.nm
        workings.append(centres.working)
        if budget:
            # Each plug was measured too, as unsurely as one reading of the same instrument.
            plug = combined_nm([budget.instrument_nm, budget.resolution_nm])
            expanded = expanded_nm(centre_distance_u_nm(budget.standard_nm, plug, plug))
            workings.append(_centres_u_working(budget, plug, expanded, unit))
    return Sized(tuple(sizes), mean, budget, expanded, correction, tuple(workings))


def _without_zero(nm: int, instrument: Instrument | None) -> int:
    size = corrected(nm, instrument) if instrument is not None else nm
    if size <= 0 and instrument is not None:
        raise InstrumentError(
            f"With the zero offset of the {instrument.name} taken off nothing is left: check the reading, or the "
            "offset in the workshop's list."
        )
    return size


def _warmths(taken: Taken) -> tuple[Warmth, Warmth] | None:
    if taken.work_dc is None or taken.gauge_dc is None:
        return None
    gauge = taken.instrument.alpha_per_k if taken.instrument else STEEL_PER_K
    return Warmth(taken.work_dc / 10, taken.alpha_per_k), Warmth(taken.gauge_dc / 10, gauge)


def _budget(taken: Taken, sizes: list[int]) -> Budget | None:
    if taken.instrument is None:
        return None
    gauge = taken.instrument.alpha_per_k
    if _warmths(taken) is None:
        return budget_of_mean(sizes, taken.instrument, taken.alpha_per_k - gauge, ROOM_U_K)
    # Two temperatures, each read by itself: their parts add as squares, so the expansions may first.
    return budget_of_mean(sizes, taken.instrument, math.hypot(taken.alpha_per_k, gauge), READ_U_K)


def temperature_words(taken: Taken) -> str:
    """What the budget takes the temperatures to be."""
    if _warmths(taken) is None:
        return (
            f"No temperature is logged: work and gauge are taken to be alike, within {ROOM_U_K:g} C or so of 20"
            " (common practice, no source)."
        )
    return f"Each temperature is taken to be read to {READ_U_K:g} C or so (common practice, no source)."


def _zero_working(raw: tuple[int, ...], sizes: list[int], instrument: Instrument, unit: Unit) -> Working:
    offset = fine(instrument.zero_offset_nm, unit)
    return Working(
        "zero offset",
        "size = reading - zero offset",
        f"{', '.join(fine(nm, unit) for nm in raw)}; zero offset of the {instrument.name} {offset}",
        ", ".join(fine(nm, unit) for nm in sizes),
        "by definition; the offset is the workshop's own figure",
    )


def _mean_working(sizes: list[int], mean: int, unit: Unit) -> Working:
    numbers = f"({' + '.join(fine(nm, unit) for nm in sizes)}) / {len(sizes)}"
    return Working(
        "mean", "sum of the corrected readings / count", numbers, fine(mean, unit), "by definition"
    )


def _centres_u_working(budget: Budget, plug: float, expanded: int, unit: Unit) -> Working:
    return Working(
        "expanded uncertainty of the centre distance",
        "U = 2 sqrt(u_over^2 + (u_plug1^2 + u_plug2^2) / 4)",
        f"u over {fine(round(budget.standard_nm), unit)}, u of each plug {fine(round(plug), unit)},"
        " taken as one reading of the same instrument",
        fine(expanded, unit),
        "JCGM 100:2008 (GUM) 5.1.2; shake of a plug in its hole is not in it",
    )
