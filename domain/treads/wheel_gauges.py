"""Back to back, check gauge and wheel gauge of a wheel set, against its standard and its track."""

import math
from dataclasses import dataclass

from domain.lengths import NM_PER_INCH, Unit, show
from domain.lengths.fine import fine
from domain.measuring.decision import Conformity, Decision, decide
from domain.treads.judging import Measured
from domain.treads.wheel_standard import Figure, WheelStandard
from domain.working import Working

# Printed figures are rounded to 0.001 in; a sum of two may be that far from a third without contradicting it.
_ROUNDING_NM = NM_PER_INCH // 1000


class WheelGaugesError(ValueError):
    """Sizes no wheel set can have; its text is one sentence for the page, its field says where it was typed."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True)
class GaugeVerdict:
    """One gauge of a wheel set, nm: answer None where it is not to be judged, for want of parts or of limits."""

    name: str
    nm: int | None
    expanded_nm: int | None
    limits: Figure | None
    answer: Conformity | None
    words: str
    decision: Decision | None
    working: Working | None


@dataclass(frozen=True)
class WheelGauges:
    """The gauges of one wheel set, and its sideways room between the rails (None until both flanges are logged), nm."""

    back_to_back: GaugeVerdict
    wheel_gauge: GaugeVerdict
    check_gauges: tuple[GaugeVerdict, ...]
    clearance_nm: int | None
    clearance_words: str
    workings: tuple[Working, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class RowFigures:
    """The figures of one row that can contradict one another."""

    gauge_nm: int
    back_to_back: Figure
    tyre_width: Figure | None = None
    flange_width: Figure | None = None
    flange_depth: Figure | None = None
    root_radius: Figure | None = None
    wheel_gauge: Figure | None = None
    check_gauge: Figure | None = None


def row_figures(standard: WheelStandard) -> RowFigures:
    """The figures of a published row that can contradict one another.

    Parameters: `standard`, one row.
    Returns: its figures, nm.
    Source: the standard's own.

    >>> from domain.treads.wheel_standard import preset
    >>> row_figures(preset("ibls-5")).gauge_nm
    127000000
    """
    return RowFigures(
        standard.gauge_nm,
        standard.back_to_back,
        standard.tyre_width,
        standard.flange_width,
        standard.flange_depth,
        standard.root_radius,
        standard.wheel_gauge,
        standard.check_gauge,
    )


def contradictions(row: RowFigures, unit: Unit) -> tuple[str, ...]:
    """Where the figures of one row of a standard contradict one another: warnings, nothing is refused for them.

    Formula: check gauge = back to back + one flange, within 0.001 in of rounding where no limits are printed, or some
    size within the limits; back to back + 2 flanges <= most wheel gauge < track gauge; back to back < check gauge <
    track gauge; flange < tyre; least root radius <= flange depth; least <= most.
    Parameters: `row`, nm; `unit`, shown first.
    Returns: a sentence for each contradiction; empty when there is none.
    Source: geometry of a wheel set; the rounding is the documents' last decimal.

    >>> from domain.treads.wheel_standard import preset
    >>> contradictions(row_figures(preset("ibls-5")), Unit.INCH)
    ()
    >>> len(contradictions(row_figures(preset("ibls-7.25")), Unit.INCH))
    1
    """
    rules = (_limits_turned, _check_gauge_apart, _wheel_gauge_apart, _between_rails, _flange_apart)
    return tuple(sentence for rule in rules for sentence in rule(row, unit))


def wheel_gauges(
    standard: WheelStandard,
    back_to_back: Measured | None,
    flanges: tuple[Measured | None, Measured | None],
    unit: Unit,
) -> WheelGauges:
    """The three gauges of a wheel set from its logged parts, judged by the standard, and its room on the track.

    Formula: wheel gauge = B + f1 + f2; check gauge = B + f1, and B + f2; U by root sum of squares; sideways room =
    track gauge - wheel gauge.
    Parameters: `standard`, with its track gauge; `back_to_back` and the two `flanges`' thicknesses, nm, None while
    they are not logged; `unit`, shown first.
    Returns: the gauges, nm, each with its verdict where the standard prints limits, the room, and what in the standard's
    own row contradicts itself.
    Raises: WheelGaugesError, field `back_to_back`, `flange.1` or `flange.2`, for a size not above zero.
    Source: geometry; ISO 14253-1:2017; JCGM 100:2008 (GUM) 5.1.2.

    >>> from domain.treads.wheel_standard import preset
    >>> flange = Measured(3_100_000, 20_000)
    >>> found = wheel_gauges(preset("ibls-5"), Measured(119_200_000, 20_000), (flange, flange), Unit.MM)
    >>> found.wheel_gauge.nm, found.clearance_nm
    (125400000, 1600000)
    """
    _check_parts(back_to_back, flanges)
    one, two = flanges
    back = _gauge("back to back", "B", [back_to_back], standard.back_to_back, unit)
    wide = _gauge(
        "wheel gauge", "B + flange 1 + flange 2", [back_to_back, one, two], standard.wheel_gauge, unit
    )
    checks = tuple(
        _gauge(
            f"check gauge at flange {side}",
            f"B + flange {side}",
            [back_to_back, flange],
            standard.check_gauge,
            unit,
        )
        for side, flange in ((1, one), (2, two))
    )
    room = None if wide.nm is None else standard.gauge_nm - wide.nm
    workings = [gauge.working for gauge in (back, wide, *checks) if gauge.working is not None]
    workings += [gauge.decision.working for gauge in (back, wide, *checks) if gauge.decision is not None]
    if room is not None and wide.nm is not None:
        numbers = f"{show(standard.gauge_nm, unit)} - {show(wide.nm, unit)}"
        workings.append(
            Working("sideways room", "track gauge - wheel gauge", numbers, show(room, unit), "geometry")
        )
    words = _room_words(room, wide.expanded_nm or 0, standard, unit)
    warnings = contradictions(row_figures(standard), unit)
    return WheelGauges(back, wide, checks, room, words, tuple(workings), warnings)


def _gauge(
    name: str, formula: str, parts: list[Measured | None], limits: Figure | None, unit: Unit
) -> GaugeVerdict:
    known = [part for part in parts if part is not None]
    if len(known) < len(parts):
        missing = "the back to back" if parts[0] is None else "a flange's thickness"
        words = f"The {name} is not known yet: log {missing} first."
        return GaugeVerdict(name, None, None, limits, None, words, None, None)
    nm = sum(part.nm for part in known)
    expanded = math.ceil(math.hypot(*(part.expanded_nm for part in known)))
    numbers = " + ".join(fine(part.nm, unit) for part in known)
    working = Working(name, formula, numbers, f"{fine(nm, unit)}, U {fine(expanded, unit)}", "geometry")
    if limits is None:
        words = f"The {name} is {show(nm, unit)}; this standard prints none to compare it with."
        return GaugeVerdict(name, nm, expanded, None, None, words, None, working)
    if limits.low_nm is None and limits.high_nm is None:
        words = f"The {name} is {show(nm, unit)}; the standard prints {limits.words(unit)}, without limits."
        return GaugeVerdict(name, nm, expanded, limits, None, words, None, working)
    found = decide(nm, expanded, limits.low_nm, limits.high_nm, unit, name)
    words = f"{found.words} The standard asks for {limits.words(unit)}."
    return GaugeVerdict(name, nm, expanded, limits, found.answer, words, found, working)


def _room_words(room_nm: int | None, expanded_nm: int, standard: WheelStandard, unit: Unit) -> str:
    if room_nm is None:
        return "The room between the rails is not known yet: log the back to back and both flanges."
    if room_nm <= -expanded_nm and room_nm <= 0:
        return (
            f"The flanges do not go between the rails: they are {show(-room_nm, unit)} wider than the track's "
            f"{show(standard.gauge_nm, unit)}. Do not put this set on the track."
        )
    if room_nm <= expanded_nm:
        return (
            f"The flanges have {show(max(room_nm, 0), unit)} between the rails, no more than the measurement "
            "is good for: try the set on a piece of the track by hand."
        )
    words = f"The set has {show(room_nm, unit)} of sideways room between rails of {show(standard.gauge_nm, unit)}."
    wide = standard.wheel_gauge
    if wide is not None and wide.low_nm is not None and wide.high_nm is not None:
        least, most = standard.gauge_nm - wide.high_nm, standard.gauge_nm - wide.low_nm
        words += f" The standard's wheel gauge leaves {show(least, unit)} to {show(most, unit)}."
    return words


def _limits_turned(row: RowFigures, unit: Unit) -> list[str]:
    named = {
        "back to back": row.back_to_back,
        "tyre width": row.tyre_width,
        "flange width": row.flange_width,
        "root radius": row.root_radius,
        "wheel gauge": row.wheel_gauge,
        "check gauge": row.check_gauge,
    }
    return [
        f"The standard's {name} has its least above its most: {one.words(unit)}. Ask the track's owner which rules."
        for name, one in named.items()
        if one is not None and one.low_nm is not None and one.high_nm is not None and one.low_nm > one.high_nm
    ]


def _check_gauge_apart(row: RowFigures, unit: Unit) -> list[str]:
    check, flange = row.check_gauge, row.flange_width
    if check is None or flange is None:
        return []
    if (check.low_nm, check.high_nm) == (None, None):
        total = row.back_to_back.nm + flange.nm
        apart = abs(check.nm - total)
        if apart <= _ROUNDING_NM:
            return []
    else:
        total, apart = _out_of_reach(row.back_to_back, flange, check)
        if apart == 0:
            return []
    return [
        f"The standard contradicts itself by {show(apart, unit)}: back to back and flange together come to "
        f"{show(total, unit)}, its check gauge is {check.words(unit)}. Ask the track's owner which figure rules."
    ]


def _out_of_reach(back: Figure, flange: Figure, check: Figure) -> tuple[int, int]:
    """The sum of back to back and flange nearest the check gauge's limits, and how far it stays outside them, nm."""
    least = (back.nm if back.low_nm is None else back.low_nm) + (flange.low_nm or 0)
    if check.high_nm is not None and least > check.high_nm:
        return least, least - check.high_nm
    if back.high_nm is None or flange.high_nm is None or check.low_nm is None:
        return least, 0
    most = back.high_nm + flange.high_nm
    return most, max(0, check.low_nm - most)


def _wheel_gauge_apart(row: RowFigures, unit: Unit) -> list[str]:
    wide, flange, found = row.wheel_gauge, row.flange_width, []
    if wide is None:
        return []
    most = wide.nm if wide.high_nm is None else wide.high_nm
    if flange is not None and (total := row.back_to_back.nm + 2 * flange.nm) > most + _ROUNDING_NM:
        found.append(
            f"The standard contradicts itself by {show(total - most, unit)}: back to back and two flanges come to "
            f"{show(total, unit)}, its wheel gauge is at most {show(most, unit)}. Ask the track's owner which rules."
        )
    if most >= row.gauge_nm:
        found.append(
            f"The standard's wheel gauge of {show(most, unit)} leaves no room between rails of "
            f"{show(row.gauge_nm, unit)}. Ask the track's owner which rules."
        )
    return found


def _between_rails(row: RowFigures, unit: Unit) -> list[str]:
    back = row.back_to_back.nm
    found = []
    if back >= row.gauge_nm:
        found.append(
            f"The standard's back to back of {show(back, unit)} does not go between rails of "
            f"{show(row.gauge_nm, unit)}. Ask the track's owner which rules."
        )
    check = row.check_gauge
    if check is not None and not back < check.nm < row.gauge_nm:
        found.append(
            f"The standard's check gauge of {show(check.nm, unit)} should lie between its back to back of "
            f"{show(back, unit)} and its track gauge of {show(row.gauge_nm, unit)}. Ask the track's owner which rules."
        )
    return found


def _flange_apart(row: RowFigures, unit: Unit) -> list[str]:
    found = []
    if (
        row.flange_width is not None
        and row.tyre_width is not None
        and row.flange_width.nm >= row.tyre_width.nm
    ):
        found.append(
            f"The standard's flange of {show(row.flange_width.nm, unit)} is as wide as its tyre of "
            f"{show(row.tyre_width.nm, unit)}. Ask the track's owner which rules."
        )
    if (
        row.root_radius is not None
        and row.flange_depth is not None
        and row.root_radius.nm > row.flange_depth.nm
    ):
        found.append(
            f"The standard's least root radius of {show(row.root_radius.nm, unit)} is more than its flange is deep, "
            f"{show(row.flange_depth.nm, unit)}. Ask the track's owner which rules."
        )
    return found


def _check_parts(back: Measured | None, flanges: tuple[Measured | None, Measured | None]) -> None:
    named = {"back_to_back": back, "flange.1": flanges[0], "flange.2": flanges[1]}
    words = {"back_to_back": "back to back"}
    for field, part in named.items():
        if part is not None and (part.nm <= 0 or part.expanded_nm < 0):
            raise WheelGaugesError(
                field,
                f"The {words.get(field, 'flange thickness')} must be more than nothing and its U not below it: "
                "measure it again.",
            )
