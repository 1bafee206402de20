"""Before the reamer, with it and again: the stock to leave, the drill below, the speed, and which reamer gives the bore."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from domain.cutting.speeds import (
    M_PER_FOOT,
    CutKind,
    CuttingError,
    Tool,
    cutting_speed,
    most_reaming_feet,
    reaming_table,
)
from domain.cutting.spindle import rpm_from_feet
from domain.joints.fit import suiting_seat
from domain.joints.terms import Joint
from domain.lengths import NM_PER_INCH, Unit, show
from domain.measuring.readings import summarise
from domain.measuring.student import student_t, student_table
from domain.working import Working

_FEWEST = 2  # one bore shows no spread, so nothing can be expected of the next


@dataclass(frozen=True)
class Drill:
    """A drill that is owned."""

    name: str
    nominal_nm: int


@dataclass(frozen=True)
class ReamingStock:
    """What to leave for the reamer on the diameter, and the hole that leaves it; nm."""

    least_nm: int
    most_nm: int
    hole_low_nm: int
    hole_high_nm: int
    working: Working


@dataclass(frozen=True)
class DrillChoice:
    """The drill to use below the reamer of those owned, what it leaves (nm), and whether that is no more than the most."""

    stock: ReamingStock
    owned: bool
    drill: Drill | None = None
    leaves_nm: int | None = None
    within: bool = False


def _nm(inches: str) -> int:
    return int(Fraction(inches) * NM_PER_INCH)


def stock_for(finished_nm: int, unit: Unit, *, by_hand: bool = False) -> ReamingStock:
    """The stock to leave on the diameter for a machine reamer, or for a hand reamer.

    Formula: by the row of the chart that the hole falls in, for a hand reamer 0.002 to 0.005 in; hole before =
    finished - stock.
    finished_nm: the finished bore, nm, from 0.090 to 2.500 in; for a hand reamer above what it takes.
    Raises: CuttingError for a bore outside that.
    Source: a toolmaker's chart; US TM 1-420 leaves less, 0.005 to 0.010 in. By hand: common practice, from memory,
    verify.

    >>> stock_for(19_050_000, Unit.INCH).least_nm, stock_for(19_050_000, Unit.INCH).most_nm
    (254000, 406400)
    >>> stock_for(19_050_000, Unit.INCH, by_hand=True).most_nm
    127000
    """
    row, source = _hand_row(finished_nm, unit) if by_hand else _chart_row(finished_nm, unit)
    least, most = _nm(row["least"]), _nm(row["most"])
    low, high = finished_nm - most, finished_nm - least
    working = Working(
        "stock for the reamer",
        "hole before = finished bore - stock",
        f"{show(finished_nm, unit)} less {row['least']} to {row['most']} in",
        f"{show(low, unit)} to {show(high, unit)}",
        source,
    )
    return ReamingStock(least, most, low, high, working)


def _chart_row(finished_nm: int, unit: Unit) -> tuple[Mapping[str, str], str]:
    rule = reaming_table()["stock"]
    row = next((row for row in rule["rows"] if finished_nm <= _nm(row["upto"])), None)
    if finished_nm < _nm(rule["from"]) or row is None:
        raise CuttingError(
            f"The chart of reamer stock goes from {rule['from']} to {rule['rows'][-1]['upto']} in,"
            f" and this bore is {show(finished_nm, unit)}: bore it instead."
        )
    return row, rule["source"]


def _hand_row(finished_nm: int, unit: Unit) -> tuple[Mapping[str, str], str]:
    rule = reaming_table()["hand"]
    if finished_nm <= _nm(rule["most"]):
        raise CuttingError(
            f"A bore of {show(finished_nm, unit)} is smaller than what a hand reamer takes off: check the figure."
        )
    return rule, rule["source"]


def drill_below(
    finished_nm: int, drills: Sequence[Drill], unit: Unit, *, by_hand: bool = False
) -> DrillChoice:
    """The drill to use below the reamer: the largest owned that leaves at least the least stock.

    Formula: largest drill <= finished - least stock.
    finished_nm, by_hand: as for stock_for; drills: owned, nm, above 0, in any order.
    Raises: CuttingError as stock_for does, or for a drill not above zero.
    Source: stock_for; of two drills alike in size the one named first in order of names.

    >>> owned = [Drill("3/4 in", 19_050_000), Drill("18.75 mm", 18_750_000), Drill("18.5 mm", 18_500_000)]
    >>> drill_below(19_050_000, owned, Unit.MM).drill
    Drill(name='18.75 mm', nominal_nm=18750000)
    """
    stock = stock_for(finished_nm, unit, by_hand=by_hand)
    for drill in drills:
        if drill.nominal_nm <= 0:
            raise CuttingError(f"The drill {drill.name} must be above zero, such as 18.5 mm.")
    fitting = [drill for drill in drills if drill.nominal_nm <= stock.hole_high_nm]
    if not fitting:
        return DrillChoice(stock, owned=bool(drills))
    drill = min(fitting, key=lambda one: (-one.nominal_nm, one.name))
    leaves = finished_nm - drill.nominal_nm
    return DrillChoice(stock, True, drill, leaves, within=leaves <= stock.most_nm)


@dataclass(frozen=True)
class ReamingSpeed:
    """Turns a minute for a reamer, the most the chart gives it, and, where it is half of that, for a drill of its size."""

    ream_rpm: float
    most_rpm: float
    drill_rpm: float | None
    workings: tuple[Working, ...]


def reaming_speed(finished_nm: int, iron_key: str, unit: Unit, tool: Tool = Tool.HSS) -> ReamingSpeed:
    """How fast to turn a machine reamer in grey iron, by the one table of cutting_speed.

    Formula: rpm = 1000 V / (pi D), in metres a minute and millimetres, or rpm = 12 V / (pi D), in feet a minute
    and inches. Of high-speed steel V is half the drilling speed, and the chart's own reaming speed is the most; of
    carbide V is the chart's.
    finished_nm: reamed diameter D, nm, above 0; iron_key: a key of materials.irons(); tool: what the reamer is made of.
    Raises: CuttingError for a size not above zero, or an iron that has no row.
    Source: US TM 1-420 for the half; the surface speeds are from a toolmaker's published chart of reaming speeds,
    verify with your reamer's maker; 1 ft is 0.3048 m, international yard and pound agreement, 1959.

    >>> round(reaming_speed(25_400_000, "a48-20", Unit.INCH).ream_rpm)
    191
    """
    own = cutting_speed(tool, CutKind.REAM, iron_key)
    ream = rpm_from_feet(own.feet_a_minute, finished_nm)
    size = f"D {show(finished_nm, unit)}, {own.class_name} iron"

    def working(name: str, feet: float, source: str) -> Working:
        rpm = rpm_from_feet(feet, finished_nm)
        return Working(name, *_formula(feet, unit, size), f"{rpm:.1f} rpm", source)

    if tool is Tool.CARBIDE:
        return ReamingSpeed(ream, ream, None, (working("reaming speed", own.feet_a_minute, own.source),))
    rule = reaming_table()["speeds"]
    drill = cutting_speed(tool, CutKind.DRILL, iron_key)
    most = most_reaming_feet(iron_key)
    workings = (
        working("drilling speed", drill.feet_a_minute, drill.source),
        working("reaming speed", own.feet_a_minute, rule["half_source"]),
        working("most reaming speed", most, rule["source"]),
    )
    return ReamingSpeed(
        ream, rpm_from_feet(most, finished_nm), rpm_from_feet(drill.feet_a_minute, finished_nm), workings
    )


def _formula(feet_a_minute: float, unit: Unit, size: str) -> tuple[str, str]:
    """The formula in the system of the build, and its numbers; the chart's own figure stays beside a converted one."""
    if unit is Unit.INCH:
        return "rpm = 12 V / (pi D)", f"V {feet_a_minute:g} ft/min, {size}"
    metres = feet_a_minute * M_PER_FOOT
    return "rpm = 1000 V / (pi D)", f"V {metres:.2f} m/min ({feet_a_minute:g} ft/min), {size}"


@dataclass(frozen=True)
class Reamer:
    """A reamer that is owned: its marked size and the bores logged from it, nm on the diameter."""

    name: str
    nominal_nm: int
    bores_nm: tuple[int, ...] = ()


@dataclass(frozen=True)
class ReamerCut:
    """What a reamer cuts over (or, below zero, under) its marked size, nm; None where nothing is known yet.

    spread_nm: standard deviation of its bores; low_nm, high_nm: between them its next bore is expected, 95 times in a
    hundred.
    """

    count: int
    offset_nm: int | None = None
    spread_nm: float | None = None
    low_nm: int | None = None
    high_nm: int | None = None
    working: Working | None = None


class Way(StrEnum):
    """How to come to the finished bore; SUIT: ream, and turn a seat that is not turned yet to suit the hole."""

    REAM = "ream"
    TRY = "try"
    SUIT = "suit"
    BORE = "bore"


class Promise(StrEnum):
    """What is to be expected of a reamer for a bore; of one that cuts at the top limit, only if it cuts as marked."""

    UNDER = "under"
    OVER = "over"
    AS_MARKED = "as marked"
    UNKNOWN = "unknown"
    NOT_SURE = "not sure"
    INSIDE = "inside"

    @property
    def way(self) -> Way:
        """What to do with such a reamer."""
        if self is Promise.INSIDE:
            return Way.REAM
        return Way.BORE if self in (Promise.UNDER, Promise.OVER) else Way.TRY


@dataclass(frozen=True)
class Prospect:
    """One reamer against the bore wanted; `seat_nm`, where it cuts outside that: the seat to turn for its hole."""

    reamer: Reamer
    cut: ReamerCut
    promise: Promise
    seat_nm: tuple[int, int] | None = None

    @property
    def way(self) -> Way:
        """What to do with it."""
        return self.promise.way if self.seat_nm is None else Way.SUIT

    @property
    def middle_nm(self) -> int:
        """Where it is thought to cut: at its mean, or at its marked size when no bore is logged."""
        return self.reamer.nominal_nm + (self.cut.offset_nm or 0)


@dataclass(frozen=True)
class ReamerChoice:
    """What to do; the prospect to take, and every reamer's in the order given; limits in nm."""

    best: Prospect | None
    prospects: tuple[Prospect, ...]
    low_nm: int
    high_nm: int

    @property
    def way(self) -> Way:
        """How to come to the bore."""
        return self.best.way if self.best else Way.BORE

    @property
    def reamer(self) -> Reamer | None:
        """The reamer to take."""
        return self.best.reamer if self.best else None


def learn(reamer: Reamer, unit: Unit, resolution_nm: int = 1_000) -> ReamerCut:
    """What a reamer cuts, from the bores logged from it.

    Formula: offset = mean(bore) - nominal; s^2 = sum (bore - mean)^2 / (n - 1);
    next bore = mean +- t s sqrt(1 + 1/n), t Student's for n - 1 degrees of freedom (30 when there are more).
    s is never taken below resolution / sqrt 12: bores alike to the last figure may still differ by less.
    Nothing is supposed beforehand: with fewer than two bores nothing is expected.
    reamer: sizes in nm, above 0; bores taken at one speed and by one way of reaming, or the range means little.
    resolution_nm: the last figure of the instrument, nm, 0 or more.
    Returns: lengths in nm, the ends of the range moved out to whole nm.
    Raises: CuttingError for a size not above zero or a resolution below zero.
    Source: mean and standard deviation, JCGM 100:2008 (GUM) 4.2; t, its table G.2; resolution, its
    F.2.2.1; the range for one more bore is a prediction interval, ISO 16269-8.

    >>> cut = learn(Reamer("3/4 in", 19_050_000, (19_058_000, 19_061_000, 19_059_000)), Unit.MM)
    >>> cut.offset_nm, cut.low_nm, cut.high_nm
    (9333, 19051743, 19066924)
    """
    for size in (reamer.nominal_nm, *reamer.bores_nm):
        if size <= 0:
            raise CuttingError(f"The sizes of the reamer {reamer.name} must be above zero, such as 19.05 mm.")
    if resolution_nm < 0:
        raise CuttingError("The last figure of the instrument must be zero or more, such as 0.001 mm.")
    count = len(reamer.bores_nm)
    if count < _FEWEST:
        only = reamer.bores_nm[0] - reamer.nominal_nm if reamer.bores_nm else None
        return ReamerCut(count, only)
    mean = summarise(reamer.bores_nm).mean_nm
    total = sum(reamer.bores_nm)
    # n^2 times the sum of squares in whole numbers: differences of nanometre counts lose nothing on the way.
    squares = sum((count * bore - total) ** 2 for bore in reamer.bores_nm)
    spread = max(math.sqrt(squares / (count - 1)) / count, resolution_nm / math.sqrt(12))
    student = student_t(count)
    reach = student * spread * math.sqrt(1 + 1 / count)
    low, high = math.floor(total / count - reach), math.ceil(total / count + reach)
    working = Working(
        "what the reamer cuts",
        "mean +- t s sqrt(1 + 1/n)",
        f"n {count}, mean {show(mean, unit)}, s {spread / 1000:.1f} um, t {student:g}",
        f"{show(low, unit)} to {show(high, unit)}",
        student_table()["source"],
    )
    offset = mean - reamer.nominal_nm
    return ReamerCut(count, offset, spread, low_nm=low, high_nm=high, working=working)


def choose(
    reamers: Sequence[Reamer],
    low_nm: int,
    high_nm: int,
    unit: Unit,
    resolution_nm: int = 1_000,
    to_suit: Joint | None = None,
) -> ReamerChoice:
    """Which reamer gives a bore inside the limits, or the boring bar when none does.

    Formula: ream when low <= expected low and expected high <= high; of several, the one with most room to the
    nearer limit. Try in scrap first when only the mean (of the marked size, when no bore is logged) lies inside;
    of several, the one nearest to the middle. Else, with seats still to turn, ream and turn them to suit; of several,
    the one whose seat is nearest to the drawing's. Else bore. Ties go to the one first by name.
    reamers: owned; low_nm, high_nm: limits of the finished bore, nm, 0 < low <= high.
    resolution_nm: as for learn. to_suit: the joint as drawn where a seat is not turned yet, as for suiting_seat.
    Raises: CuttingError for limits out of order, or as learn does.
    Source: learn; the choice is our own.

    >>> owned = [Reamer("3/4 in", 19_050_000, (19_058_000, 19_060_000, 19_058_000)), Reamer("19 mm", 19_000_000)]
    >>> choose(owned, 19_050_000, 19_071_000, Unit.MM).reamer.name
    '3/4 in'
    >>> choose(owned, 19_070_000, 19_090_000, Unit.MM).way.value
    'bore'
    """
    if not 0 < low_nm <= high_nm:
        raise CuttingError("The limits of the bore must rise from above zero, such as 19.05 to 19.07 mm.")
    prospects = tuple(_prospect(one, low_nm, high_nm, unit, resolution_nm, to_suit) for one in reamers)
    for way in (Way.REAM, Way.TRY, Way.SUIT):
        found = [one for one in prospects if one.way is way]
        if found:
            best = min(found, key=lambda one: (-_room(one, low_nm, high_nm), one.reamer.name))
            return ReamerChoice(best, prospects, low_nm, high_nm)
    return ReamerChoice(None, prospects, low_nm, high_nm)


def _room(one: Prospect, low_nm: int, high_nm: int) -> int:
    """From what is expected to the nearer limit, nm; below zero outside the limits."""
    if one.way is Way.REAM and one.cut.low_nm is not None and one.cut.high_nm is not None:
        return min(one.cut.low_nm - low_nm, high_nm - one.cut.high_nm)
    return min(one.middle_nm - low_nm, high_nm - one.middle_nm)


def _prospect(
    reamer: Reamer, low_nm: int, high_nm: int, unit: Unit, resolution_nm: int, to_suit: Joint | None
) -> Prospect:
    found = Prospect(reamer, learn(reamer, unit, resolution_nm), Promise.UNKNOWN)
    found = replace(found, promise=_promise(found.cut, found.middle_nm, low_nm, high_nm))
    if to_suit is None or found.way is not Way.BORE:
        return found
    return replace(found, seat_nm=suiting_seat(to_suit, found.middle_nm, unit))


def _promise(cut: ReamerCut, middle_nm: int, low_nm: int, high_nm: int) -> Promise:
    if not low_nm <= middle_nm <= high_nm:
        return Promise.UNDER if middle_nm < low_nm else Promise.OVER
    if not cut.count and middle_nm == high_nm:
        return Promise.AS_MARKED
    if cut.low_nm is None or cut.high_nm is None:
        return Promise.UNKNOWN
    return Promise.INSIDE if low_nm <= cut.low_nm and cut.high_nm <= high_nm else Promise.NOT_SURE


# A reamer that is hurried opens a hole by a thou or two and no more: common practice, from memory, verify.
_OPENS_BY_NM = 50_800


@dataclass(frozen=True)
class ReamAgain:
    """A tight hole to be reamed again a little faster: what is wanting, nm, and the reamer with what it has cut."""

    wanting_nm: int
    reamer: Reamer | None = None
    offset_nm: int | None = None
    most_nm: int | None = None


def ream_again(bore_nm: int, low_nm: int, reamer: Reamer | None, unit: Unit) -> ReamAgain | None:
    """Whether a hole that came out tight may come to size when it is reamed again, a little faster.

    Formula: wanting = low - bore, from above 0 to 0.002 in; what the reamer has cut = mean and largest of its logged
    bores - its marked size.
    bore_nm: the hole; low_nm: the least that serves; nm, above 0. reamer: the one that cut it, None where not said.
    Returns: None where nothing is wanting, or more than that opens a hole by.
    Raises: CuttingError as learn does.
    Source: the quicker a reamer turns, the larger the hole: common practice; by how much: from memory, verify.

    >>> ream_again(19_060_000, 19_070_000, None, Unit.MM).wanting_nm
    10000
    """
    wanting = low_nm - bore_nm
    if not 0 < wanting <= _OPENS_BY_NM:
        return None
    if reamer is None or not reamer.bores_nm:
        return ReamAgain(wanting, reamer)
    return ReamAgain(wanting, reamer, learn(reamer, unit).offset_nm, max(reamer.bores_nm) - reamer.nominal_nm)
