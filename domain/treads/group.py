"""Coupled wheels as one group: the diameter all can reach, how alike they came out, and what a difference costs."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

from domain.lengths import NM_PER_INCH, Unit, show
from domain.lengths.fine import fine
from domain.measuring.decision import Conformity, Decision, decide
from domain.treads.judging import Measured
from domain.working import Working

# Standard gauge, and how alike full-size drivers must be when turned: 49 CFR 230.112(a), 230.113(k).
FULL_SIZE_GAUGE_NM = 113 * NM_PER_INCH // 2
FULL_SIZE_MATCH_NM = 3 * NM_PER_INCH // 32
_CFR = "49 CFR 230.112(a) and 230.113(k), same axle or same driving wheel base, 3/32 in, when turned or new"


class TreadGroupError(ValueError):
    """Diameters no group can have; its text is one sentence for the page, its field says which wheel or figure."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True)
class WheelTread:
    """One wheel's tread, nm: the diameter it has, and the largest finished diameter it can still be turned to.

    A finished wheel has both alike; a rough one reaches less than it has by its wobble and its least clean-up cut.
    """

    present_nm: int
    largest_nm: int


@dataclass(frozen=True)
class RemainingCut:
    """What is still to come off one wheel's tread on the radius, nm."""

    mark: str
    radial_nm: int
    decides: bool
    words: str


@dataclass(frozen=True)
class Group:
    """The diameter of a group, nm; decided_by is empty when the drawing decides.

    next_nm: what the group would reach if the wheels that decide were made again, capped by the drawing; None when the
    drawing decides already.
    """

    diameter_nm: int
    below_drawing_nm: int
    decided_by: tuple[str, ...]
    next_nm: int | None
    cuts: tuple[RemainingCut, ...]
    words: str
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class Spread:
    """How alike the treads of a group are; nm.

    answer: inside when every pair is shown to be within the tolerance, outside when one is shown not to be.
    first, second: the pair the answer hangs on, larger first.
    """

    spread_nm: int
    largest: str
    smallest: str
    answer: Conformity
    first: str
    second: str
    decision: Decision
    words: str
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class ForcedSlip:
    """What two coupled wheels of unlike diameter must slip, nm of track.

    per_lap_least_nm when the larger rolls true, per_lap_most_nm when the smaller does; None without a lap.
    """

    per_turn_nm: int
    per_lap_least_nm: int | None
    per_lap_most_nm: int | None
    words: str
    workings: tuple[Working, ...]


def group_diameter(drawing_nm: int, wheels: Mapping[str, WheelTread], tolerance_nm: int, unit: Unit) -> Group:
    """The largest diameter all coupled wheels can reach, not above the drawing, and what each still has to lose.

    Formula: D = min(drawing, largest each can reach); cut on the radius = (present - D) / 2.
    Parameters: `drawing_nm` > 0; `wheels` by their marks, nm; `tolerance_nm` >= 0, how far apart the build allows treads
    to be, which a smaller group stays within on purpose: it is compared with the drop below the drawing; `unit`.
    Returns: the group's diameter, who decides, each wheel's remaining cut in the order given.
    Raises: TreadGroupError, field `drawing`, `wheels`, `tolerance` or `wheel.<mark>`.
    Source: derived here from the rule that coupled wheels must match; no published source.

    >>> group_diameter(127_000_000, {"A": WheelTread(127_400_000, 127_200_000),
    ...     "B": WheelTread(127_100_000, 126_800_000)}, 50_000, Unit.MM).diameter_nm
    126800000
    """
    _check_group(drawing_nm, wheels, tolerance_nm, unit)
    diameter = min([drawing_nm, *(wheel.largest_nm for wheel in wheels.values())])
    below = drawing_nm - diameter
    deciders = tuple(mark for mark, wheel in wheels.items() if below and wheel.largest_nm == diameter)
    rest = [wheel.largest_nm for mark, wheel in wheels.items() if mark not in deciders]
    following = min([drawing_nm, *rest]) if below else None
    cuts = tuple(_cut(mark, wheel, diameter, mark in deciders, unit) for mark, wheel in wheels.items())
    reach = ", ".join(f"{mark} {show(wheel.largest_nm, unit)}" for mark, wheel in wheels.items())
    workings = (
        Working(
            "group diameter",
            "the least of the drawing and what each wheel can reach",
            f"drawing {show(drawing_nm, unit)}; {reach}",
            show(diameter, unit),
            "derived here from coupled wheels having to match; no published source",
        ),
        *(_cut_working(cut, wheels[cut.mark], diameter, unit) for cut in cuts),
    )
    words = _group_words(diameter, below, deciders, following, tolerance_nm, unit)
    return Group(diameter, below, deciders, following, cuts, words, workings)


def spread(diameters: Mapping[str, Measured], tolerance_nm: int, unit: Unit) -> Spread:
    """Whether the treads of a group are as alike as the build asks.

    Formula: spread = largest - smallest; each pair's difference, U = sqrt(U1^2 + U2^2), against the tolerance with
    guard band 0.825 U; inside when all pairs are, outside when one is.
    Parameters: `diameters` by the wheels' marks, two or more, nm; `tolerance_nm` >= 0; `unit`, shown first.
    Returns: the spread and the answer; uncertainties are taken as independent, on the safe side with one instrument.
    Raises: TreadGroupError, field `wheels`, `tolerance` or `wheel.<mark>`.
    Source: ISO 14253-1:2017; JCGM 100:2008 (GUM) 5.1.2.

    >>> two = {"A": Measured(127_000_000, 10_000), "B": Measured(126_970_000, 10_000)}
    >>> spread(two, 50_000, Unit.MM).answer.value
    'inside'
    """
    _check_spread(diameters, tolerance_nm)
    order = sorted(diameters, key=lambda mark: -diameters[mark].nm)
    pairs = [
        (one, two, _pair(diameters[one], diameters[two], tolerance_nm, unit))
        for one, two in combinations(order, 2)
    ]
    first, second, found = max(pairs, key=lambda pair: _weight(pair[2]))
    largest, smallest = order[0], order[-1]
    apart = diameters[largest].nm - diameters[smallest].nm
    numbers = (
        f"{largest} {fine(diameters[largest].nm, unit)} - {smallest} {fine(diameters[smallest].nm, unit)}"
    )
    workings = (
        Working("spread of the treads", "largest - smallest", numbers, fine(apart, unit), "by definition"),
        found.working,
    )
    words = f"{_apart_words(apart, largest, smallest, first, second, tolerance_nm, unit)} {found.words}"
    return Spread(apart, largest, smallest, found.answer, first, second, found, words, workings)


def full_size_match(gauge_nm: int, unit: Unit) -> tuple[int, Working]:
    """How alike full-size driving wheels must be when turned, scaled to a track gauge: for comparison only.

    Formula: 3/32 in * gauge / 56.5 in, on diameter.
    Parameters: `gauge_nm` > 0, the model's track gauge; `unit`, of the working.
    Returns: the difference of diameters, nm, rounded down, and its working.
    Raises: TreadGroupError, field `gauge`.
    Source: 49 CFR 230.112(a) (same axle) and 230.113(k) (same driving wheel base); scaling by gauge is derived here and
    no rule for models: the track owner's own rules.

    >>> full_size_match(127_000_000, Unit.MM)[0]
    210730
    """
    if gauge_nm <= 0:
        raise TreadGroupError("gauge", "The track gauge must be more than nothing: type it, such as 5 in.")
    nm = FULL_SIZE_MATCH_NM * gauge_nm // FULL_SIZE_GAUGE_NM
    numbers = f"3/32 in * {show(gauge_nm, unit)} / 56.5 in"
    result = f"{show(nm, unit)}, a comparison and no rule for models"
    return nm, Working("full size, scaled by gauge", "3/32 in * gauge / 56.5 in", numbers, result, _CFR)


def forced_slip(first_nm: int, second_nm: int, lap_nm: int | None, unit: Unit) -> ForcedSlip:
    """What two coupled wheels of unlike diameter must slip on the rail.

    Formula: per turn pi |D1 - D2|; per lap L |D1 - D2| / D of the wheel that rolls true.
    Parameters: `first_nm`, `second_nm`, tread diameters > 0; `lap_nm`, length once round the track, > 0, None where it
    is not known; `unit`.
    Returns: slip per turn and per lap, nm, and in words; tread cones can even out part of it between two wheels of one
    axle, never between axles coupled by rods.
    Raises: TreadGroupError, field `first`, `second` or `lap`.
    Source: geometry of rolling; no published source.

    >>> forced_slip(127_000_000, 126_900_000, 100_000_000_000, Unit.MM).per_turn_nm
    314159
    """
    for field, nm in (("first", first_nm), ("second", second_nm), ("lap", lap_nm)):
        if nm is not None and nm <= 0:
            raise TreadGroupError(
                field, "A tread diameter and a lap of track are more than nothing: type them again."
            )
    apart, large, small = abs(first_nm - second_nm), max(first_nm, second_nm), min(first_nm, second_nm)
    turn = round(math.pi * apart)
    least = most = None
    words = f"A difference of {show(apart, unit)} makes one of the two wheels slip {show(turn, unit)} at every turn"
    workings = [
        Working("slip in a turn", "pi |D1 - D2|", f"pi * {fine(apart, unit)}", fine(turn, unit), "geometry")
    ]
    if lap_nm is not None:
        least, most = round(lap_nm * apart / large), round(lap_nm * apart / small)
        words += f", about {show(most, unit)} in a lap"
        numbers = f"{show(lap_nm, unit)} * {fine(apart, unit)} / {show(large, unit)} to {show(small, unit)}"
        result = f"{show(least, unit)} to {show(most, unit)}"
        workings.append(Working("slip in a lap", "lap * |D1 - D2| / D", numbers, result, "geometry"))
    told = f"{words}." if apart else "Wheels of one diameter force no slip."
    return ForcedSlip(turn, least, most, told, tuple(workings))


def _apart_words(
    apart_nm: int, largest: str, smallest: str, first: str, second: str, tolerance_nm: int, unit: Unit
) -> str:
    allowed = f"{show(tolerance_nm, unit)} is allowed"
    if show(apart_nm, unit) == show(0, unit):
        return f"The treads measure alike; {allowed}."
    return (
        f"The treads are {show(apart_nm, unit)} apart on diameter: {largest} is the largest, {smallest} the smallest, "
        f"and {allowed}. {first} and {second} decide."
    )


def _pair(one: Measured, two: Measured, tolerance_nm: int, unit: Unit) -> Decision:
    expanded = math.ceil(math.hypot(one.expanded_nm, two.expanded_nm))
    return decide(abs(one.nm - two.nm), expanded, None, tolerance_nm, unit, "difference")


def _weight(found: Decision) -> tuple[int, int]:
    """Worst first: shown outside, then in doubt, then inside; among those the one with the least in hand."""
    rank = {Conformity.OUTSIDE: 2, Conformity.CANNOT_TELL: 1, Conformity.INSIDE: 0}[found.answer]
    return rank, found.guard_nm - (found.margin_nm or 0)


def _cut(mark: str, wheel: WheelTread, diameter_nm: int, decides: bool, unit: Unit) -> RemainingCut:
    radial = (wheel.present_nm - diameter_nm) // 2
    if radial:
        words = f"{mark}: {show(radial, unit)} still to come off the radius, {show(2 * radial, unit)} off the diameter."
    else:
        words = f"{mark}: at the group's diameter already, take nothing off."
    return RemainingCut(mark, radial, decides, words)


def _cut_working(cut: RemainingCut, wheel: WheelTread, diameter_nm: int, unit: Unit) -> Working:
    numbers = f"({show(wheel.present_nm, unit)} - {show(diameter_nm, unit)}) / 2"
    return Working(
        f"cut left on {cut.mark}", "(present - group) / 2", numbers, show(cut.radial_nm, unit), "geometry"
    )


def _group_words(
    diameter_nm: int,
    below_nm: int,
    deciders: tuple[str, ...],
    next_nm: int | None,
    tolerance_nm: int,
    unit: Unit,
) -> str:
    if not deciders or next_nm is None:
        return f"Turn all treads to the drawing's {show(diameter_nm, unit)}: every wheel can reach it."
    who = " and ".join(deciders)
    words = (
        f"Turn all treads to {show(diameter_nm, unit)}, {show(below_nm, unit)} below the drawing: "
        f"{who} can reach no more. Made again, the group would reach {show(next_nm, unit)}."
    )
    if below_nm <= tolerance_nm:
        words += (
            " That is no more than the treads may differ, so the others may also stay at the drawing;"
            " alike is better."
        )
    return words


def _check_group(drawing_nm: int, wheels: Mapping[str, WheelTread], tolerance_nm: int, unit: Unit) -> None:
    if drawing_nm <= 0:
        raise TreadGroupError("drawing", "The drawing's tread diameter must be more than nothing: type it.")
    if not wheels:
        raise TreadGroupError("wheels", "There is no wheel in the group: log a rough or turned tread first.")
    if tolerance_nm < 0:
        raise TreadGroupError(
            "tolerance", "The matching tolerance cannot be below nothing: type one, such as 0.05 mm."
        )
    for mark, wheel in wheels.items():
        if wheel.largest_nm <= 0:
            raise TreadGroupError(
                f"wheel.{mark}", f"{mark} has no metal left for a tread: leave it out of the group."
            )
        if wheel.largest_nm > wheel.present_nm:
            raise TreadGroupError(
                f"wheel.{mark}",
                f"{mark} cannot be turned to {show(wheel.largest_nm, unit)}: "
                f"it is only {show(wheel.present_nm, unit)} now.",
            )


def _check_spread(diameters: Mapping[str, Measured], tolerance_nm: int) -> None:
    if len(diameters) < 2:
        raise TreadGroupError("wheels", "A spread needs two treads or more: log another diameter.")
    if tolerance_nm < 0:
        raise TreadGroupError(
            "tolerance", "The matching tolerance cannot be below nothing: type one, such as 0.05 mm."
        )
    for mark, one in diameters.items():
        if one.nm <= 0 or one.expanded_nm < 0:
            raise TreadGroupError(
                f"wheel.{mark}", f"{mark}: a tread diameter is more than nothing, and U is not below it."
            )
