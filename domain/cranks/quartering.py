"""The quartering work sheet: from heights over a surface plate to the angle between the cranks, and how to set it.

The axle lies in vee blocks. Branches and directions are those of domain/cranks/cylinders.py: "front" is towards the
leading end of the engine, on the right when the right-hand wheel is looked at.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import product

from domain.cranks.cylinders import Cranks, Side
from domain.errors import TradeError
from domain.lengths import Unit, show
from domain.measuring.decision_types import Conformity

# Nearer to the top or the bottom a height tells next to nothing: common practice, no source.
STEEPEST_DEG = 75.0
# A set this far from the drawing is a misnamed branch, not a wheel slipped: common practice, no source.
NEAR_DEG = 20.0
_GUARD = 0.825  # 1.65 u of U = 2 u: ISO 14253-1:2017


class QuarteringError(TradeError):
    """Heights no angle can be worked out from.

    field: the side whose height is at fault, "branches" where the branches are, empty where it is none of them alone.
    """


class Branch(StrEnum):
    """On which side of the axle a pin stands: towards the leading end of the engine, or away from it."""

    FRONT = "front"
    REAR = "rear"


@dataclass(frozen=True)
class MeasuredLength:
    """A length with its expanded uncertainty U (k = 2), both nm."""

    nm: int
    expanded_nm: int = 0


@dataclass(frozen=True)
class Pin:
    """One crankpin as the axle lies in its vee blocks: its side, its branch, its centre's height and its throw."""

    side: Side
    branch: Branch
    height: MeasuredLength
    throw: MeasuredLength


@dataclass(frozen=True)
class PinAngle:
    """Where a pin points, degrees.

    elevation_deg: up from level, 0 towards the leading end, 180 towards the trailing end.
    from_level_deg: up from the nearer level, below 0 when the pin is under the axle.
    expanded_deg: its own U, the axle's height included.
    """

    pin: Pin
    elevation_deg: float
    from_level_deg: float
    expanded_deg: float

    @property
    def side(self) -> Side:
        """Which pin it is."""
        return self.pin.side


@dataclass(frozen=True)
class QuarterAngle:
    """The angle between two cranks against the drawing, degrees.

    ahead, behind: the crank the drawing wants ahead, and the one behind it; elevations_deg: where their pins point.
    angle_deg: how far it is ahead, 0 up to 360; past 180 it is the other that is ahead.
    departure_deg: angle less wanted, above -180 and up to 180. expanded_deg: U (k = 2) of the angle.
    settles_deg: the largest U with which this angle would get an answer.
    """

    ahead: Side
    behind: Side
    elevations_deg: tuple[float, float]
    angle_deg: float
    wanted_deg: float
    departure_deg: float
    expanded_deg: float
    tolerance_deg: float
    settles_deg: float
    answer: Conformity

    @property
    def lead_right(self) -> bool:
        """Whether the crank that should be ahead is ahead."""
        return self.angle_deg <= 180.0


@dataclass(frozen=True)
class QuarteredAxle:
    """One axle as measured: where each pin points and the angle of each two cranks; `quarter` is the outside two's."""

    pins: tuple[PinAngle, ...]
    angles: tuple[QuarterAngle, ...]

    @property
    def quarter(self) -> QuarterAngle:
        """The angle of the outside two."""
        return self.angles[0]


@dataclass(frozen=True)
class VeeBlockSetUp:
    """One way to lay the axle: where each pin stands, how high its centre is, and the largest U that comes of it."""

    pins: tuple[tuple[Side, Branch, int], ...]
    from_level_deg: tuple[float, ...]
    expanded_deg: float


def elevation_deg(height_nm: int, centre_nm: int, throw_nm: int, branch: Branch) -> float:
    """Which way a pin points, from its height.

    Formula: phi = asin((h - hc) / r); elevation = phi in front of the axle, 180 - phi behind it.
    Parameters: `height_nm`, `centre_nm`, heights of pin and axle, nm; `throw_nm` > 0; |h - hc| <= r; `branch`.
    Returns: degrees, -90 to 270.
    Raises: ValueError when |h - hc| is more than the throw.
    Source: geometry.

    >>> round(elevation_deg(75_620_000, 60_000_000, 22_225_000, Branch.REAR), 4)
    135.3469
    """
    phi = math.degrees(math.asin((height_nm - centre_nm) / throw_nm))
    return phi if branch is Branch.FRONT else 180.0 - phi


def height_nm(elevation: float, centre_nm: int, throw_nm: int) -> int:
    """How high a pin's centre is that points this way.

    Formula: h = hc + r sin(elevation), rounded to whole nanometres.
    Parameters: `elevation`, degrees; `centre_nm`, the axle's height, `throw_nm`, nm.
    Source: geometry.

    >>> height_nm(90.0, 60_000_000, 22_225_000)
    82225000
    """
    return centre_nm + round(throw_nm * math.sin(math.radians(elevation)))


def pin_to_set(pin: Pin, centre_nm: int, other: Side, throw_nm: int, cranks: Cranks) -> tuple[Branch, int]:
    """Where another pin must stand for the angle that is wanted, with this pin where it is.

    Formula: e' = e + the wanted angle between the two; h' = hc + r' sin e'; in front where cos e' is not below 0.
    Parameters: `pin`, measured; `centre_nm`, the axle's height, nm; `other`, the pin to be set; `throw_nm`, its throw.
    Returns: on which side of the axle it stands, and the height of its centre, nm.
    Raises: QuarteringError when this pin is higher or lower than its throw reaches.
    Source: geometry.

    >>> from domain.cranks.cylinders import crank_angles
    >>> right = Pin(Side.RIGHT, Branch.REAR, MeasuredLength(79_798_990), MeasuredLength(28_000_000))
    >>> pin_to_set(right, 60_000_000, Side.LEFT, 28_000_000, crank_angles(2, Side.RIGHT))
    (<Branch.REAR: 'rear'>, 40201010)
    """
    if abs(pin.height.nm - centre_nm) > pin.throw.nm:
        raise QuarteringError("That pin is further from the axle's height than its throw: read both again.")
    at = elevation_deg(pin.height.nm, centre_nm, pin.throw.nm, pin.branch) + cranks.ahead_deg(pin.side, other)
    branch = Branch.FRONT if math.cos(math.radians(at)) >= 0.0 else Branch.REAR
    return branch, height_nm(at, centre_nm, throw_nm)


def angle_u_deg(ahead: Pin, behind: Pin, elevations: tuple[float, float], centre: MeasuredLength) -> float:
    """The expanded uncertainty of the angle between two cranks.

    Formula: de/dh = 1/(r cos e), de/dhc = -1/(r cos e), de/dr = -tan e / r; the axle's height is in both pins, so that
    part is |1/(r1 cos e1) - 1/(r2 cos e2)| U_hc; all parts added as squares.
    Parameters: `ahead`, `behind`, the pins, their U in nm; `elevations`, theirs, degrees, not 90 or 270; `centre`.
    Source: JCGM 100:2008 (GUM) 5.1.2, inputs independent; the sensitivities are derived here.

    >>> pin = Pin(Side.RIGHT, Branch.FRONT, MeasuredLength(75_800_000, 10_000), MeasuredLength(22_225_000))
    >>> still = Pin(Side.LEFT, Branch.REAR, MeasuredLength(75_620_000), MeasuredLength(22_225_000))
    >>> round(angle_u_deg(pin, still, (45.309, 135.347), MeasuredLength(60_000_000)), 4)
    0.0367
    """
    slopes = [_slope(pin, at) for pin, at in zip((ahead, behind), elevations, strict=True)]
    parts = [(slopes[0] - slopes[1]) * centre.expanded_nm]
    for pin, at, slope in zip((ahead, behind), elevations, slopes, strict=True):
        parts.append(slope * pin.height.expanded_nm)
        parts.append(math.tan(math.radians(at)) / pin.throw.nm * pin.throw.expanded_nm)
    return math.degrees(math.hypot(*parts))


def pin_u_deg(pin: Pin, elevation: float, centre: MeasuredLength) -> float:
    """The expanded uncertainty of where one pin points.

    Formula: as angle_u_deg(), with the axle's height as one more independent part.
    Parameters: `pin`, its U in nm; `elevation`, degrees, not 90 or 270; `centre`, the axle's height.
    Source: JCGM 100:2008 (GUM) 5.1.2; the sensitivities are derived here.

    >>> pin = Pin(Side.RIGHT, Branch.FRONT, MeasuredLength(60_000_000, 3_000), MeasuredLength(20_000_000))
    >>> round(math.radians(pin_u_deg(pin, 0.0, MeasuredLength(60_000_000, 4_000))) * 20_000_000)
    5000
    """
    slope = _slope(pin, elevation)
    throw = math.tan(math.radians(elevation)) / pin.throw.nm * pin.throw.expanded_nm
    return math.degrees(math.hypot(slope * pin.height.expanded_nm, slope * centre.expanded_nm, throw))


def _slope(pin: Pin, elevation: float) -> float:
    """How much the elevation changes with the pin's height, radians per nm; below 0 behind the axle."""
    return 1.0 / (pin.throw.nm * math.cos(math.radians(elevation)))


def wrapped_deg(angle: float) -> float:
    """An angle brought above -180 and up to 180 degrees.

    Formula: angle + n 360.

    >>> wrapped_deg(270.0), wrapped_deg(-180.0)
    (-90.0, 180.0)
    """
    turned = math.fmod(angle, 360.0)
    if turned > 180.0:
        return turned - 360.0
    return turned + 360.0 if turned <= -180.0 else turned


def centre_height(over: MeasuredLength, diameter: MeasuredLength) -> MeasuredLength:
    """The height of an axle's or a pin's centre from the height over its top.

    Formula: centre = over - diameter / 2; U^2 = U_over^2 + (U_diameter / 2)^2, both rounded up to whole nanometres.
    Raises: QuarteringError for a diameter not above zero, a height not above the radius, or U below zero.
    Source: geometry; JCGM 100:2008 (GUM) 5.1.2.

    >>> centre_height(MeasuredLength(69_525_000, 6_000), MeasuredLength(19_050_000, 4_000))
    MeasuredLength(nm=60000000, expanded_nm=6325)
    """
    _check_u(over, diameter)
    if diameter.nm <= 0:
        raise QuarteringError("The diameter must be more than nothing: type one such as 19.05 mm.")
    if 2 * over.nm <= diameter.nm:
        raise QuarteringError("The height over the top must be more than half the diameter: read it again.")
    nm = (2 * over.nm - diameter.nm + 1) // 2
    return MeasuredLength(nm, math.ceil(math.hypot(over.expanded_nm, diameter.expanded_nm / 2)))


def measure_axle(
    pins: Sequence[Pin], centre: MeasuredLength, cranks: Cranks, tolerance_deg: float, unit: Unit
) -> QuarteredAxle:
    """The angle between each two cranks of an axle against the drawing, from the heights of their pins.

    Formula: e = asin((h - hc) / r) in front, 180 - asin((h - hc) / r) behind; angle = e_behind - e_ahead, 0 up to 360;
    inside when |angle - wanted| + g <= tolerance, outside when |angle - wanted| - g > tolerance, else cannot tell;
    g = 0.825 U. A wrong lead is outside whatever the tolerance.
    Parameters: `pins`, those of the axle that carry a crank, two or more, each once; heights and throws in nm with U,
    throw > 0; `centre`, height of the axle's centre, nm with U; `cranks`, wanted; `tolerance_deg` > 0; `unit`.
    Returns: degrees; the outside two first.
    Raises: QuarteringError with its sentence: heights above the throw, a pin past 75 degrees from level, branches on
    which the pins are nowhere near the wanted angle, a pin missing or twice, a figure not above zero.
    Source: geometry; ISO 14253-1:2017 for the verdict.

    >>> from domain.cranks.cylinders import crank_angles
    >>> right = Pin(Side.RIGHT, Branch.FRONT, MeasuredLength(75_800_000, 10_000), MeasuredLength(22_225_000, 10_000))
    >>> left = Pin(Side.LEFT, Branch.REAR, MeasuredLength(75_620_000, 10_000), MeasuredLength(22_225_000, 10_000))
    >>> sheet = measure_axle([right, left], MeasuredLength(60_000_000), crank_angles(2, Side.RIGHT), 0.1, Unit.MM)
    >>> round(sheet.quarter.angle_deg, 4), round(sheet.quarter.expanded_deg, 4), sheet.quarter.answer.value
    (90.0378, 0.0631, 'inside')
    """
    given = {pin.side: pin for pin in pins}
    _check_axle(pins, given, centre, cranks, tolerance_deg)
    angles = {pin.side: _pin_angle(pin, given, centre, cranks, unit) for pin in pins}
    pairs = [(one, two) for one, two in cranks.pairs() if one in given and two in given]
    return QuarteredAxle(
        tuple(angles[pin.side] for pin in pins),
        tuple(_judge(given[one], given[two], centre, cranks, tolerance_deg) for one, two in pairs),
    )


def _pin_angle(
    pin: Pin, given: Mapping[Side, Pin], centre: MeasuredLength, cranks: Cranks, unit: Unit
) -> PinAngle:
    if abs(pin.height.nm - centre.nm) > pin.throw.nm:
        raise _too_far(pin, centre, unit)
    elevation = _elevation(pin, centre)
    level = elevation if pin.branch is Branch.FRONT else 180.0 - elevation
    if abs(level) > STEEPEST_DEG:
        throws = {side: one.throw for side, one in given.items()}
        unsure = max(one.height.expanded_nm for one in given.values())
        raise _too_steep(pin, level, best_set_ups(throws, centre, cranks, unsure), unit)
    return PinAngle(pin, elevation, level, pin_u_deg(pin, elevation, centre))


def _elevation(pin: Pin, centre: MeasuredLength, branch: Branch | None = None) -> float:
    return elevation_deg(pin.height.nm, centre.nm, pin.throw.nm, branch or pin.branch)


def _judge(ahead: Pin, behind: Pin, centre: MeasuredLength, cranks: Cranks, tolerance: float) -> QuarterAngle:
    wanted = cranks.ahead_deg(ahead.side, behind.side)
    elevations = (_elevation(ahead, centre), _elevation(behind, centre))
    angle = (elevations[1] - elevations[0]) % 360.0
    if not _near(angle, wanted):
        raise _wrong_branches(ahead, behind, angle, wanted, centre)
    departure = wrapped_deg(angle - wanted)
    expanded = angle_u_deg(ahead, behind, elevations, centre)
    # A wrong lead is outside whatever the tolerance.
    answer = Conformity.OUTSIDE if angle > 180.0 else judge_departure(departure, expanded, tolerance)
    return QuarterAngle(
        ahead=ahead.side,
        behind=behind.side,
        elevations_deg=elevations,
        angle_deg=angle,
        wanted_deg=wanted,
        departure_deg=departure,
        expanded_deg=expanded,
        tolerance_deg=tolerance,
        settles_deg=abs(abs(departure) - tolerance) / _GUARD,
        answer=answer,
    )


def judge_departure(departure_deg: float, expanded_deg: float, tolerance_deg: float) -> Conformity:
    """Whether an angle that is off by so much is within its tolerance.

    Formula: inside when |d| + 0.825 U <= tolerance; outside when |d| - 0.825 U > tolerance; else cannot tell.
    Parameters: `departure_deg`; `expanded_deg`, U (k = 2), 0 or more; `tolerance_deg`, either way, 0 or more.
    Source: ISO 14253-1:2017.

    >>> judge_departure(-0.04, 0.05, 0.1).value, judge_departure(0.08, 0.05, 0.1).value
    ('inside', 'cannot tell')
    """
    guard = _GUARD * expanded_deg
    if abs(departure_deg) + guard <= tolerance_deg:
        return Conformity.INSIDE
    return Conformity.OUTSIDE if abs(departure_deg) - guard > tolerance_deg else Conformity.CANNOT_TELL


def _near(angle: float, wanted: float) -> bool:
    """Near the wanted angle with either crank ahead: a wrong lead is another fault, told apart in the verdict."""
    return min(abs(wrapped_deg(angle - wanted)), abs(wrapped_deg(angle + wanted))) <= NEAR_DEG


def _too_far(pin: Pin, centre: MeasuredLength, unit: Unit) -> QuarteringError:
    off = pin.height.nm - centre.nm
    return QuarteringError(
        f"The {pin.side} pin is {show(abs(off), unit)} {'above' if off > 0 else 'below'} the axle, more than its throw"
        f" of {show(pin.throw.nm, unit)}: read both heights again, and take half the diameter off a height over a pin"
        " or over the axle.",
        field=pin.side.value,
    )


def _too_steep(pin: Pin, from_level: float, ways: Sequence[VeeBlockSetUp], unit: Unit) -> QuarteringError:
    do = "roll the axle nearer to level and read"
    if ways:
        where = {Branch.FRONT: "in front", Branch.REAR: "behind"}
        pins = (
            f"the {side} pin is {where[branch]} with its centre at {show(nm, unit)}"
            for side, branch, nm in ways[0].pins
        )
        do = f"roll the axle until {' and '.join(pins)}, and read again"
    return QuarteringError(
        f"The {pin.side} pin stands {abs(from_level):.1f} degrees from level, past {STEEPEST_DEG:.0f},"
        f" where a height tells next to nothing: {do}.",
        field=pin.side.value,
    )


def _wrong_branches(
    ahead: Pin, behind: Pin, angle: float, wanted: float, centre: MeasuredLength
) -> QuarteringError:
    """The refusal of branches on which the pins cannot be anywhere near the wanted angle, and those that would do."""
    place = {Branch.FRONT: "in front of", Branch.REAR: "behind"}
    if ahead.branch is behind.branch:
        words = f"Both pins cannot be {place[ahead.branch]} the axle: at these heights they would be"
    else:
        words = (
            f"The {ahead.side} pin cannot be {place[ahead.branch]} the axle and the {behind.side} one"
            f" {place[behind.branch]} it: at these heights they would be"
        )
    words += f" {min(angle, 360.0 - angle):.1f} degrees apart and not near {wanted:.0f}."
    ways = []
    for one, two in product(Branch, repeat=2):
        there = (_elevation(behind, centre, two) - _elevation(ahead, centre, one)) % 360.0
        if abs(wrapped_deg(there - wanted)) <= NEAR_DEG:
            ways.append(
                f"the {ahead.side} one is {place[one]} the axle and the {behind.side} one {place[two]} it"
            )
    look = (
        f"Look whether {' or '.join(ways)}."
        if ways
        else "On neither branch would they be: read the heights again, and look whether they were read over the pins:"
        " half a pin's diameter is then to be taken off."
    )
    return QuarteringError(f"{words} {look}", field="branches")


def best_set_ups(
    throws: Mapping[Side, MeasuredLength], centre: MeasuredLength, cranks: Cranks, height_u_nm: int
) -> tuple[VeeBlockSetUp, ...]:
    """How high to lay the pins so that the angles come out surest; the best way first.

    Formula: the axle is rolled round by whole degrees; of each way to lay it (which pins in front, which above) the
    position whose largest U, of any two pins, is least. With each pin 45 degrees from level h = hc +- r sin 45.
    Parameters: `throws`, of the pins to be read, nm with U, > 0; `centre`, the axle's height, nm with U; `cranks`;
    `height_u_nm`, U of a pin's height, nm, 0 or more.
    Returns: heights of the pins' centres, nm, and U, degrees; equally good ones as they come when the first pin is
    rolled from level in front over the top. A pin never stands past 75 degrees.
    Raises: QuarteringError for a throw not above zero or U below zero.
    Source: derived here from the uncertainty's sensitivities; no published source. Both pins on one branch, one up
    and one down, is the surest when the axle's own height is unsure: its error then goes out of the difference.

    >>> from domain.cranks.cylinders import crank_angles
    >>> throws = {Side.RIGHT: MeasuredLength(22_225_000), Side.LEFT: MeasuredLength(22_225_000)}
    >>> found = best_set_ups(throws, MeasuredLength(60_000_000), crank_angles(2, Side.RIGHT), 10_000)
    >>> found[0].from_level_deg, found[0].pins[0][2]
    ((45.0, 45.0), 75715448)
    """
    _check_u(*throws.values(), centre, MeasuredLength(0, height_u_nm))
    if any(throw.nm <= 0 for throw in throws.values()):
        raise QuarteringError("A throw must be more than nothing: type one such as 22.225 mm.")
    first = next(iter(throws))
    known = height_u_nm or centre.expanded_nm or any(throw.expanded_nm for throw in throws.values())
    u_nm = height_u_nm if known else 1  # with no U typed the position must still come out of how heights tell
    best: dict[tuple[tuple[Branch, bool], ...], VeeBlockSetUp] = {}
    for turned in range(360):
        elevations = {side: (turned + cranks.ahead_deg(first, side)) % 360.0 for side in throws}
        pins = [_laid(side, elevations[side], throw, centre, u_nm) for side, throw in throws.items()]
        levels = tuple(_from_level(elevations[pin.side]) for pin in pins)
        if max(abs(level) for level in levels) > STEEPEST_DEG:
            continue
        worst = _worst_u(pins, elevations, centre)
        way = tuple((pin.branch, level >= 0.0) for pin, level in zip(pins, levels, strict=True))
        # Rounding must not choose between positions that are alike.
        if way not in best or worst < best[way].expanded_deg * (1 - 1e-9):
            laid = tuple((pin.side, pin.branch, pin.height.nm) for pin in pins)
            best[way] = VeeBlockSetUp(laid, levels, worst)
    ways = sorted(best.values(), key=lambda one: float(f"{one.expanded_deg:.6g}"))
    return tuple(ways) if known else tuple(replace(one, expanded_deg=0.0) for one in ways)


def _laid(
    side: Side, elevation: float, throw: MeasuredLength, centre: MeasuredLength, height_u_nm: int
) -> Pin:
    branch = Branch.FRONT if math.cos(math.radians(elevation)) >= 0.0 else Branch.REAR
    return Pin(side, branch, MeasuredLength(height_nm(elevation, centre.nm, throw.nm), height_u_nm), throw)


def _from_level(elevation: float) -> float:
    turned = wrapped_deg(elevation)
    return turned if abs(turned) <= 90.0 else wrapped_deg(180.0 - turned)


def _worst_u(pins: Sequence[Pin], elevations: Mapping[Side, float], centre: MeasuredLength) -> float:
    return max(
        angle_u_deg(one, two, (elevations[one.side], elevations[two.side]), centre)
        for at, one in enumerate(pins)
        for two in pins[at + 1 :]
    )


def _check_u(*sizes: MeasuredLength) -> None:
    if any(size.expanded_nm < 0 for size in sizes):
        raise QuarteringError("An uncertainty cannot be below nothing: type one such as 0.010 mm.")


def _check_axle(
    pins: Sequence[Pin], given: Mapping[Side, Pin], centre: MeasuredLength, cranks: Cranks, tolerance: float
) -> None:
    if len(given) != len(pins):
        raise QuarteringError("The same side's pin is given twice: give each pin once.")
    if len(pins) < 2:
        raise QuarteringError("An angle needs two pins: read the height of the other one too.")
    if not set(given) <= set(cranks.sides):
        raise QuarteringError("An engine with two cylinders has no inside crank: leave it out.")
    if any(pin.throw.nm <= 0 for pin in pins):
        raise QuarteringError("A throw must be more than nothing: type one such as 22.225 mm.")
    if centre.nm <= 0 or any(pin.height.nm <= 0 for pin in pins):
        raise QuarteringError("A height must be above the plate: read it again, such as 75.80 mm.")
    if not (math.isfinite(tolerance) and tolerance > 0):
        raise QuarteringError("The tolerance must be more than nothing: type one such as 0.1 degrees.")
    _check_u(centre, *(size for pin in pins for size in (pin.height, pin.throw)))


@dataclass(frozen=True)
class WheelTurn:
    """How to turn one wheel while the axle and the other wheel stay as they lie.

    turn_deg: how far, 0 or more. arc_nm: that much at the pin, nm. forwards: as in running forwards.
    clockwise: as seen from `seen_from`, LEFT or RIGHT, standing outside the wheel and looking at it.
    height_now_nm, height_then_nm: the pin's centre before and after, axle not moved, nm; the second does not serve
    to set by (`height_serves` False) when the pin would then stand past 75 degrees from level.
    now_deg, then_deg: where the pin points before and after.
    worth_it: False when the departure is no more than the uncertainty: measure better before turning.
    """

    side: Side
    turn_deg: float
    arc_nm: int
    forwards: bool
    seen_from: Side
    clockwise: bool
    height_now_nm: int
    height_then_nm: int
    height_serves: bool
    worth_it: bool
    throw_nm: int
    now_deg: float
    then_deg: float


def turned_by(quarter: QuarterAngle, turn_deg: float) -> QuarterAngle:
    """The angle as it counts where it is to change by `turn_deg`, degrees, and not to the drawing's.

    Formula: departure = - turn.
    """
    return replace(quarter, departure_deg=-turn_deg)


def correction(quarter: QuarterAngle, pin: Pin, centre: MeasuredLength) -> WheelTurn:
    """Which way and how far to turn this pin's wheel so that the angle comes out as wanted.

    Formula: turn = |departure|; the crank ahead goes back when it is too far ahead, the crank behind goes forward;
    at the pin r x turn in radians; height after = hc + r sin(elevation after). Forwards is clockwise seen from the
    right-hand side and anticlockwise seen from the left.
    Parameters: `quarter`, the angle as measured; `pin`, the one to be turned, as it was measured (an inside crank is
    looked at from the right); `centre`, the axle's height, nm.
    Raises: QuarteringError when the pin is neither of the two.
    Source: geometry.

    >>> from domain.cranks.cylinders import crank_angles
    >>> right = Pin(Side.RIGHT, Branch.FRONT, MeasuredLength(75_800_000), MeasuredLength(22_225_000))
    >>> left = Pin(Side.LEFT, Branch.REAR, MeasuredLength(75_620_000), MeasuredLength(22_225_000))
    >>> hc = MeasuredLength(60_000_000)
    >>> quarter = measure_axle([right, left], hc, crank_angles(2, Side.RIGHT), 0.1, Unit.MM).quarter
    >>> found = correction(quarter, left, hc)
    >>> round(found.turn_deg, 4), found.arc_nm, found.clockwise, found.height_then_nm
    (0.0378, 14679, False, 75630439)
    """
    if pin.side not in (quarter.ahead, quarter.behind):
        raise QuarteringError(f"The {pin.side} pin is not one of the two measured: choose one of them.")
    turn = abs(quarter.departure_deg)
    forwards = (quarter.departure_deg > 0) is (pin.side is quarter.behind)
    now = elevation_deg(pin.height.nm, centre.nm, pin.throw.nm, pin.branch)
    then = now - turn if forwards else now + turn
    seen_from = Side.LEFT if pin.side is Side.LEFT else Side.RIGHT
    return WheelTurn(
        side=pin.side,
        turn_deg=turn,
        arc_nm=round(pin.throw.nm * math.radians(turn)),
        forwards=forwards,
        seen_from=seen_from,
        clockwise=forwards is (seen_from is Side.RIGHT),
        height_now_nm=pin.height.nm,
        height_then_nm=height_nm(then, centre.nm, pin.throw.nm),
        height_serves=abs(math.cos(math.radians(then))) >= math.cos(math.radians(STEEPEST_DEG)),
        worth_it=turn > quarter.expanded_deg,
        throw_nm=pin.throw.nm,
        now_deg=now,
        then_deg=then,
    )
