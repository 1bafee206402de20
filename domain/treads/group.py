"""Coupled wheels as one group: what each can reach, the diameter all share, the odd ones, and what a difference costs."""

import math
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import combinations

from domain.lengths import NM_PER_INCH, Unit, show
from domain.lengths.fine import fine
from domain.measuring.decision import Conformity, Decision, decide
from domain.treads.judging import MeasuredSize
from domain.treads.wheel_standard import TreadError
from domain.working import Working

# Standard gauge, and how alike full-size drivers must be when turned: 49 CFR 230.112(a), 230.113(k).
FULL_SIZE_GAUGE_NM = 113 * NM_PER_INCH // 2
FULL_SIZE_MATCH_NM = 3 * NM_PER_INCH // 32
_ROUGH_SOURCE = "geometry of two circles; that a rough skin takes a least cut is common practice, no source"
_CFR = "49 CFR 230.112(a) and 230.113(k), same axle or same driving wheel base, 3/32 in, when turned or new"


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
    tolerance_nm: int
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
    tolerance_nm: int
    decision: Decision
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class ForcedSlip:
    """What two coupled wheels of unlike diameter must slip, nm of track.

    per_lap_least_nm when the larger rolls true, per_lap_most_nm when the smaller does; None without a lap.
    """

    apart_nm: int
    per_turn_nm: int
    per_lap_least_nm: int | None
    per_lap_most_nm: int | None
    workings: tuple[Working, ...]


def group_diameter(drawing_nm: int, wheels: Mapping[str, WheelTread], tolerance_nm: int, unit: Unit) -> Group:
    """The largest diameter all coupled wheels can reach, not above the drawing, and what each still has to lose.

    Formula: D = min(drawing, largest each can reach); cut on the radius = (present - D) / 2.
    Parameters: `drawing_nm` > 0; `wheels` by their marks, nm; `tolerance_nm` >= 0, how far apart the build allows treads
    to be, which a smaller group stays within on purpose: it is compared with the drop below the drawing; `unit`.
    Returns: the group's diameter, who decides, each wheel's remaining cut in the order given.
    Raises: TreadError, field `drawing`, `wheels`, `tolerance` or `wheel.<mark>`.
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
    cuts = tuple(
        RemainingCut(mark, (wheel.present_nm - diameter) // 2, mark in deciders)
        for mark, wheel in wheels.items()
    )
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
    return Group(diameter, below, deciders, following, cuts, tolerance_nm=tolerance_nm, workings=workings)


def spread(diameters: Mapping[str, MeasuredSize], tolerance_nm: int, unit: Unit) -> Spread:
    """Whether the treads of a group are as alike as the build asks.

    Formula: spread = largest - smallest; each pair's difference, U = sqrt(U1^2 + U2^2), against the tolerance with
    guard band 0.825 U; inside when all pairs are, outside when one is.
    Parameters: `diameters` by the wheels' marks, two or more, nm; `tolerance_nm` >= 0; `unit`, shown first.
    Returns: the spread and the answer; uncertainties are taken as independent, on the safe side with one instrument.
    Raises: TreadError, field `wheels`, `tolerance` or `wheel.<mark>`.
    Source: ISO 14253-1:2017; JCGM 100:2008 (GUM) 5.1.2.

    >>> two = {"A": MeasuredSize(127_000_000, 10_000), "B": MeasuredSize(126_970_000, 10_000)}
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
    return Spread(
        spread_nm=apart,
        largest=largest,
        smallest=smallest,
        answer=found.answer,
        first=first,
        second=second,
        tolerance_nm=tolerance_nm,
        decision=found,
        workings=workings,
    )


def full_size_match(gauge_nm: int, unit: Unit) -> tuple[int, Working]:
    """How alike full-size driving wheels must be when turned, scaled to a track gauge: for comparison only.

    Formula: 3/32 in * gauge / 56.5 in, on diameter.
    Source: 49 CFR 230.112(a) (same axle) and 230.113(k) (same driving wheel base); scaling by gauge is derived here and
    no rule for models: the track owner's own rules.

    >>> full_size_match(127_000_000, Unit.MM)[0]
    210730
    """
    if gauge_nm <= 0:
        raise TreadError("The track gauge must be more than nothing: type it, such as 5 in.", field="gauge")
    nm = FULL_SIZE_MATCH_NM * gauge_nm // FULL_SIZE_GAUGE_NM
    numbers = f"3/32 in * {show(gauge_nm, unit)} / 56.5 in"
    result = f"{show(nm, unit)}, a comparison and no rule for models"
    return nm, Working("full size, scaled by gauge", "3/32 in * gauge / 56.5 in", numbers, result, _CFR)


def forced_slip(first_nm: int, second_nm: int, lap_nm: int | None, unit: Unit) -> ForcedSlip:
    """What two coupled wheels of unlike diameter must slip on the rail.

    Formula: per turn pi |D1 - D2|; per lap L |D1 - D2| / D of the wheel that rolls true.
    Parameters: `first_nm`, `second_nm`, tread diameters > 0; `lap_nm`, length once round the track, > 0, None where it
    is not known; `unit`.
    Returns: slip per turn and per lap, nm; tread cones can even out part of it between two wheels of one
    axle, never between axles coupled by rods.
    Raises: TreadError, field `first`, `second` or `lap`.
    Source: geometry of rolling; no published source.

    >>> forced_slip(127_000_000, 126_900_000, 100_000_000_000, Unit.MM).per_turn_nm
    314159
    """
    for field, nm in (("first", first_nm), ("second", second_nm), ("lap", lap_nm)):
        if nm is not None and nm <= 0:
            raise TreadError(
                "A tread diameter and a lap of track are more than nothing: type them again.", field=field
            )
    apart, large, small = abs(first_nm - second_nm), max(first_nm, second_nm), min(first_nm, second_nm)
    turn = round(math.pi * apart)
    least = most = None
    workings = [
        Working("slip in a turn", "pi |D1 - D2|", f"pi * {fine(apart, unit)}", fine(turn, unit), "geometry")
    ]
    if lap_nm is not None:
        least, most = round(lap_nm * apart / large), round(lap_nm * apart / small)
        numbers = f"{show(lap_nm, unit)} * {fine(apart, unit)} / {show(large, unit)} to {show(small, unit)}"
        result = f"{show(least, unit)} to {show(most, unit)}"
        workings.append(Working("slip in a lap", "lap * |D1 - D2| / D", numbers, result, "geometry"))
    return ForcedSlip(apart, turn, least, most, tuple(workings))


def _pair(one: MeasuredSize, two: MeasuredSize, tolerance_nm: int, unit: Unit) -> Decision:
    expanded = math.ceil(math.hypot(one.expanded_nm, two.expanded_nm))
    return decide(
        value_nm=abs(one.nm - two.nm),
        expanded_nm=expanded,
        low_nm=None,
        high_nm=tolerance_nm,
        unit=unit,
        what="difference",
    )


def _weight(found: Decision) -> tuple[int, int]:
    """Worst first: shown outside, then in doubt, then inside; among those the one with the least in hand."""
    rank = {Conformity.OUTSIDE: 2, Conformity.CANNOT_TELL: 1, Conformity.INSIDE: 0}[found.answer]
    return rank, found.guard_nm - (found.margin_nm or 0)


def _cut_working(cut: RemainingCut, wheel: WheelTread, diameter_nm: int, unit: Unit) -> Working:
    numbers = f"({show(wheel.present_nm, unit)} - {show(diameter_nm, unit)}) / 2"
    return Working(
        f"cut left on {cut.mark}", "(present - group) / 2", numbers, show(cut.radial_nm, unit), "geometry"
    )


def _check_group(drawing_nm: int, wheels: Mapping[str, WheelTread], tolerance_nm: int, unit: Unit) -> None:
    if drawing_nm <= 0:
        raise TreadError("The drawing's tread diameter must be more than nothing: type it.", field="drawing")
    if not wheels:
        raise TreadError("There is no wheel in the group: log a rough or turned tread first.", field="wheels")
    if tolerance_nm < 0:
        raise TreadError(
            "The matching tolerance cannot be below nothing: type one, such as 0.05 mm.", field="tolerance"
        )
    for mark, wheel in wheels.items():
        if wheel.largest_nm <= 0:
            raise TreadError(
                f"{mark} has no metal left for a tread: leave it out of the group.", field=f"wheel.{mark}"
            )
        if wheel.largest_nm > wheel.present_nm:
            raise TreadError(
                f"{mark} cannot be turned to {show(wheel.largest_nm, unit)}: "
                f"it is only {show(wheel.present_nm, unit)} now.",
                field=f"wheel.{mark}",
            )


def _check_spread(diameters: Mapping[str, MeasuredSize], tolerance_nm: int) -> None:
    if len(diameters) < 2:
        raise TreadError("A spread needs two treads or more: log another diameter.", field="wheels")
    if tolerance_nm < 0:
        raise TreadError(
            "The matching tolerance cannot be below nothing: type one, such as 0.05 mm.", field="tolerance"
        )
    for mark, one in diameters.items():
        if one.nm <= 0 or one.expanded_nm < 0:
            raise TreadError(
                f"{mark}: a tread diameter is more than nothing, and U is not below it.",
                field=f"wheel.{mark}",
            )


@dataclass(frozen=True)
class OddOnes:
    """The few wheels of a group that fall short of what most of it is turned to already; nm.

    diameter_nm: what the group without them comes to; down_to_nm: what every wheel would be turned down to otherwise.
    others: how many the rest are; to_turn: the wheels that would have to be turned down.
    """

    marks: tuple[str, ...]
    diameter_nm: int
    down_to_nm: int
    others: int
    to_turn: tuple[str, ...]
    working: Working

    @property
    def again_first(self) -> bool:
        """Whether making the odd ones again touches fewer wheels than turning the others down.

        A wheel that is finished is not lightly touched again, so the way that touches fewer comes first.
        """
        return len(self.marks) < len(self.to_turn)


def odd_ones(
    drawing_nm: int,
    wheels: Mapping[str, WheelTread],
    turned: Collection[str],
    tolerance_nm: int,
    unit: Unit,
) -> OddOnes | None:
    """The wheels most of the group should not be judged by: they fall short of what the others are turned to already.

    Formula: with the k smallest left out the rest comes to D = min(drawing, largest each of them can reach); they are
    the odd ones where D - smallest > tolerance and at least max(2, k + 1) of the rest are turned to D within the
    tolerance, more than with any other k, and more than are alike with nobody left out.
    Parameters: `drawing_nm`, `wheels`, `tolerance_nm`, `unit` as in group_diameter; `turned`, the marks of the wheels
    whose tread is turned already, so that present_nm is the tread.
    Returns: None where there are none.
    Source: derived here; that a majority of finished wheels is left alone is common practice, no source.

    >>> good = WheelTread(127_000_000, 127_000_000)
    >>> found = odd_ones(127_000_000, {"A": good, "B": good, "C": WheelTread(126_400_000, 126_400_000)},
    ...     ("A", "B", "C"), 50_000, Unit.MM)
    >>> found.marks, found.diameter_nm
    (('C',), 127000000)
    """
    lowest = group_diameter(drawing_nm, wheels, tolerance_nm, unit).diameter_nm

    def alike(marks: Collection[str], diameter: int) -> int:
        done = [mark for mark in marks if mark in turned]
        return sum(abs(wheels[mark].present_nm - diameter) <= tolerance_nm for mark in done)

    most, best = alike(wheels, lowest), None
    for odd, rest, diameter in _without_smallest(drawing_nm, wheels):
        count = alike(rest, diameter)
        if diameter - lowest > tolerance_nm and count >= max(2, len(odd) + 1) and count > most:
            most, best = count, (odd, rest, diameter)
    return None if best is None else _odd_ones(wheels, *best, lowest, tolerance_nm, unit)


def _without_smallest(
    drawing_nm: int, wheels: Mapping[str, WheelTread]
) -> Iterator[tuple[tuple[str, ...], tuple[str, ...], int]]:
    """The wheels in two, those that reach least and the rest, at every step between them, with the rest's diameter."""
    for step in sorted({wheel.largest_nm for wheel in wheels.values()})[:-1]:
        odd = tuple(mark for mark, wheel in wheels.items() if wheel.largest_nm <= step)
        rest = tuple(mark for mark in wheels if mark not in odd)
        yield odd, rest, min([drawing_nm, *(wheels[mark].largest_nm for mark in rest)])


def _odd_ones(
    wheels: Mapping[str, WheelTread],
    odd: tuple[str, ...],
    rest: tuple[str, ...],
    diameter_nm: int,
    lowest_nm: int,
    tolerance_nm: int,
    unit: Unit,
) -> OddOnes:
    working = Working(
        "the odd ones out",
        "group without them - group with them",
        f"{show(diameter_nm, unit)} without {' and '.join(odd)}; {show(lowest_nm, unit)} with",
        f"{show(diameter_nm - lowest_nm, unit)} apart, more than the {show(tolerance_nm, unit)} allowed",
        "derived here; that finished wheels are left alone is common practice, no source",
    )
    to_turn = tuple(mark for mark, wheel in wheels.items() if wheel.present_nm - lowest_nm > tolerance_nm)
    return OddOnes(
        marks=odd,
        diameter_nm=diameter_nm,
        down_to_nm=lowest_nm,
        others=len(rest),
        to_turn=to_turn,
        working=working,
    )


class ReachBy(StrEnum):
    """What decides how large a tread a wheel can still be turned to; the value is how the page says it."""

    TREAD = "its tread as turned"
    FLANGE = "its flange as turned"
    RIM_FOR_FLANGE = "its rough rim, for the flange"
    RIM_AT_TREAD = "its rough rim at the tread"
    TAKEN_BACK = "what it was taken back to"


@dataclass(frozen=True)
class TreadReach:
    """The largest tread a wheel can be turned to, nm: what decides it, and the working."""

    nm: int
    decided_by: ReachBy
    working: Working

    def working_for(self, mark: str) -> Working:
        """The working with the wheel's mark in its name."""
        return replace(self.working, name=f"{self.working.name} of {mark}")


def tread_reach(
    flange_depth_nm: int,
    least_cut_nm: int,
    unit: Unit,
    *,
    rim_least_nm: int | None = None,
    rough_tread_nm: int | None = None,
    over_flange_nm: int | None = None,
    tread_nm: int | None = None,
    eccentricity_nm: int = 0,
) -> TreadReach | None:
    """The largest diameter at which the tread cleans up and the flange above it still has its depth.

    Formula: a turned tread reaches what it is; a turned flange leaves over flange - 2 depth; a rough rim leaves
    rim - 2 (e + cut) - 2 depth; a rough rim cast with a step leaves at the tread no more than step - 2 (e + cut); the
    least of what is known decides.
    Parameters: `flange_depth_nm` > 0, the drawing's; `least_cut_nm` >= 0, on the radius, that cleans up a rough skin;
    `eccentricity_nm` e >= 0, of the rough outside when the wheel is set true; `rim_least_nm` and `rough_tread_nm`, the
    smallest rough diameters, `over_flange_nm` and `tread_nm`, the turned ones, nm, None where not measured; `unit`.
    Returns: the reach, nm, which may come out below nothing on a rim far too small; None when nothing is measured.
    Raises: TreadError, field `wheels`, for a size not above zero or a cut or eccentricity below it.
    Source: geometry of two circles; the least cut is common practice, no source.

    >>> tread_reach(2_000_000, 500_000, Unit.MM, rim_least_nm=118_000_000, eccentricity_nm=300_000).nm
    112400000
    >>> tread_reach(2_000_000, 500_000, Unit.MM, rim_least_nm=118_000_000, over_flange_nm=114_000_000).nm
    110000000
    """
    sizes = (rim_least_nm, rough_tread_nm, over_flange_nm, tread_nm, flange_depth_nm)
    if any(nm is not None and nm <= 0 for nm in sizes) or min(least_cut_nm, eccentricity_nm) < 0:
        raise TreadError("A size of a rim must be more than nothing: measure it again.", field="wheels")
    if tread_nm is not None:
        shown = show(tread_nm, unit)
        working = Working("largest tread", "what it is turned to", f"tread {shown}", shown, "by definition")
        return TreadReach(tread_nm, ReachBy.TREAD, working)
    skin = 2 * (eccentricity_nm + least_cut_nm)
    off = f"2 * ({show(eccentricity_nm, unit)} + {show(least_cut_nm, unit)})"
    depth = f"2 * {show(flange_depth_nm, unit)}"
    found: list[tuple[int, ReachBy, Working]] = []

    def add(nm: int, by: ReachBy, formula: str, numbers: str, source: str) -> None:
        found.append((nm, by, Working("largest tread", formula, numbers, show(nm, unit), source)))

    if over_flange_nm is not None:
        numbers = f"{show(over_flange_nm, unit)} - {depth}"
        nm = over_flange_nm - 2 * flange_depth_nm
        add(nm, ReachBy.FLANGE, "over flange - 2 depth", numbers, "geometry")
    elif rim_least_nm is not None:
        numbers = f"{show(rim_least_nm, unit)} - {off} - {depth}"
        nm = rim_least_nm - skin - 2 * flange_depth_nm
        formula = "rough rim - 2 (eccentricity + least cut) - 2 depth"
        add(nm, ReachBy.RIM_FOR_FLANGE, formula, numbers, _ROUGH_SOURCE)
    if rough_tread_nm is not None:
        numbers = f"{show(rough_tread_nm, unit)} - {off}"
        formula = "rough tread - 2 (eccentricity + least cut)"
        add(rough_tread_nm - skin, ReachBy.RIM_AT_TREAD, formula, numbers, _ROUGH_SOURCE)
    if not found:
        return None
    return TreadReach(*min(found, key=lambda one: one[0]))
