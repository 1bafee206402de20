"""The quartering work sheet: from heights over a surface plate to the angle between the cranks, and its worth.

The axle lies in vee blocks. Branches and directions are those of domain/cylinders.py: "front" is towards the leading
end of the engine, on the right when the right-hand wheel is looked at.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import product

from domain.cranks.cylinders import Cranks, Side
from domain.cranks.quartering_types import (
    STEEPEST_DEG,
    AxleSheet,
    Branch,
    CentreHeight,
    Measured,
    Pin,
    PinAngle,
    QuarterAngle,
    QuarteringError,
    SetUp,
    angle_u_deg,
    elevation_deg,
    height_nm,
    pin_u_deg,
    wrapped_deg,
)
from domain.cranks.quartering_words import (
    angle_workings,
    pin_working,
    quarter_words,
    too_far,
    too_steep,
    wrong_branches,
)
from domain.lengths import Unit, show
from domain.measuring.decision_types import Conformity
from domain.working import Working

# A set this far from the drawing is a misnamed branch, not a wheel slipped: common practice, no source.
NEAR_DEG = 20.0
_GUARD = 0.825  # 1.65 u of U = 2 u: ISO 14253-1:2017


def centre_height(over: Measured, diameter: Measured, unit: Unit) -> CentreHeight:
    """The height of an axle's or a pin's centre from the height over its top.

    Formula: centre = over - diameter / 2; U^2 = U_over^2 + (U_diameter / 2)^2, both rounded up to whole nanometres.
    Parameters: `over`, height over the top above the plate, `diameter`, of axle or pin, both nm with U; `unit`.
    Returns: the height of the centre with its U, nm, and the working.
    Raises: QuarteringError for a diameter not above zero, a height not above the radius, or U below zero.
    Source: geometry; JCGM 100:2008 (GUM) 5.1.2.

    >>> centre_height(Measured(69_525_000, 6_000), Measured(19_050_000, 4_000), Unit.MM).height
    Measured(nm=60000000, expanded_nm=6325)
    """
    _check_u(over, diameter)
    if diameter.nm <= 0:
        raise QuarteringError("The diameter must be more than nothing: type one such as 19.05 mm.")
    if 2 * over.nm <= diameter.nm:
        raise QuarteringError("The height over the top must be more than half the diameter: read it again.")
    nm = (2 * over.nm - diameter.nm + 1) // 2
    height = Measured(nm, math.ceil(math.hypot(over.expanded_nm, diameter.expanded_nm / 2)))
    numbers = f"{show(over.nm, unit)} - {show(diameter.nm, unit)} / 2"
    return CentreHeight(
        height, Working("height of the centre", "over - diameter / 2", numbers, show(nm, unit), "geometry")
    )


def measure_axle(
    pins: Sequence[Pin], centre: Measured, cranks: Cranks, tolerance_deg: float, unit: Unit
) -> AxleSheet:
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
    >>> right = Pin(Side.RIGHT, Branch.FRONT, Measured(75_800_000, 10_000), Measured(22_225_000, 10_000))
    >>> left = Pin(Side.LEFT, Branch.REAR, Measured(75_620_000, 10_000), Measured(22_225_000, 10_000))
    >>> sheet = measure_axle([right, left], Measured(60_000_000), crank_angles(2, Side.RIGHT), 0.1, Unit.MM)
    >>> round(sheet.quarter.angle_deg, 4), round(sheet.quarter.expanded_deg, 4), sheet.quarter.answer.value
    (90.0378, 0.0631, 'inside')
    """
    given = {pin.side: pin for pin in pins}
    _check_axle(pins, given, centre, cranks, tolerance_deg)
    angles = {pin.side: _pin_angle(pin, given, centre, cranks, unit) for pin in pins}
    pairs = [(one, two) for one, two in cranks.pairs() if one in given and two in given]
    return AxleSheet(
        tuple(angles[pin.side] for pin in pins),
        tuple(_judge(given[one], given[two], centre, cranks, tolerance_deg) for one, two in pairs),
    )


def _pin_angle(pin: Pin, given: Mapping[Side, Pin], centre: Measured, cranks: Cranks, unit: Unit) -> PinAngle:
    if abs(pin.height.nm - centre.nm) > pin.throw.nm:
        raise too_far(pin, centre, unit)
    elevation = elevation_deg(pin.height.nm, centre.nm, pin.throw.nm, pin.branch)
    level = elevation if pin.branch is Branch.FRONT else 180.0 - elevation
    if abs(level) > STEEPEST_DEG:
        throws = {side: one.throw for side, one in given.items()}
        ways = best_set_ups(
            throws, centre, cranks, max(one.height.expanded_nm for one in given.values()), unit
        )
        raise too_steep(pin, level, ways[0] if ways else None)
    working = pin_working(pin, elevation, centre, unit)
    return PinAngle(pin.side, elevation, level, pin_u_deg(pin, elevation, centre), working)


def _elevation(pin: Pin, centre: Measured, branch: Branch | None = None) -> float:
    return elevation_deg(pin.height.nm, centre.nm, pin.throw.nm, branch or pin.branch)


def _judge(ahead: Pin, behind: Pin, centre: Measured, cranks: Cranks, tolerance: float) -> QuarterAngle:
    wanted = cranks.ahead_deg(ahead.side, behind.side)
    elevations = (_elevation(ahead, centre), _elevation(behind, centre))
    angle = (elevations[1] - elevations[0]) % 360.0
    if not _near(angle, wanted):
        raise wrong_branches(ahead, behind, angle, wanted, _would_do(ahead, behind, centre, wanted))
    departure = wrapped_deg(angle - wanted)
    expanded = angle_u_deg(ahead, behind, elevations, centre)
    lead_right = angle <= 180.0
    answer = judge_departure(departure, expanded, tolerance) if lead_right else Conformity.OUTSIDE
    sides = (ahead.side, behind.side)
    return QuarterAngle(
        *sides,
        angle_deg=angle,
        wanted_deg=wanted,
        departure_deg=departure,
        expanded_deg=expanded,
        tolerance_deg=tolerance,
        settles_deg=abs(abs(departure) - tolerance) / _GUARD,
        lead_right=lead_right,
        answer=answer,
        words=quarter_words(*sides, angle, departure, expanded, tolerance, answer),
        workings=angle_workings(sides, elevations, angle, expanded, wanted),
    )


def judge_departure(departure_deg: float, expanded_deg: float, tolerance_deg: float) -> Conformity:
    """Whether an angle that is off by so much is within its tolerance.

    Formula: inside when |d| + 0.825 U <= tolerance; outside when |d| - 0.825 U > tolerance; else cannot tell.
    Parameters: `departure_deg`; `expanded_deg`, U (k = 2), 0 or more; `tolerance_deg`, either way, 0 or more.
    Returns: the answer.
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


def _would_do(ahead: Pin, behind: Pin, centre: Measured, wanted: float) -> list[tuple[Branch, Branch]]:
    ways = []
    for one, two in product(Branch, repeat=2):
        angle = (_elevation(behind, centre, two) - _elevation(ahead, centre, one)) % 360.0
        if abs(wrapped_deg(angle - wanted)) <= NEAR_DEG:
            ways.append((one, two))
    return ways


def best_set_ups(
    throws: Mapping[Side, Measured], centre: Measured, cranks: Cranks, height_u_nm: int, unit: Unit
) -> tuple[SetUp, ...]:
    """How high to lay the pins so that the angles come out surest; the best way first.

    Formula: the axle is rolled round by whole degrees; of each way to lay it (which pins in front, which above) the
    position whose largest U, of any two pins, is least. With each pin 45 degrees from level h = hc +- r sin 45.
    Parameters: `throws`, of the pins to be read, nm with U, > 0; `centre`, the axle's height, nm with U; `cranks`;
    `height_u_nm`, U of a pin's height, nm, 0 or more; `unit`.
    Returns: heights of the pins' centres, nm, and U, degrees; equally good ones as they come when the first pin is
    rolled from level in front over the top. A pin never stands past 75 degrees.
    Raises: QuarteringError for a throw not above zero or U below zero.
    Source: derived here from the uncertainty's sensitivities; no published source. Both pins on one branch, one up
    and one down, is the surest when the axle's own height is unsure: its error then goes out of the difference.

    >>> from domain.cranks.cylinders import crank_angles
    >>> throws = {Side.RIGHT: Measured(22_225_000), Side.LEFT: Measured(22_225_000)}
    >>> found = best_set_ups(throws, Measured(60_000_000), crank_angles(2, Side.RIGHT), 10_000, Unit.MM)
    >>> found[0].from_level_deg, found[0].pins[0][2]
    ((45.0, 45.0), 75715448)
    """
    _check_u(*throws.values(), centre, Measured(0, height_u_nm))
    if any(throw.nm <= 0 for throw in throws.values()):
        raise QuarteringError("A throw must be more than nothing: type one such as 22.225 mm.")
    first = next(iter(throws))
    known = height_u_nm or centre.expanded_nm or any(throw.expanded_nm for throw in throws.values())
    u_nm = height_u_nm if known else 1  # with no U typed the position must still come out of how heights tell
    best: dict[tuple[tuple[Branch, bool], ...], SetUp] = {}
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
            best[way] = _set_up(pins, levels, worst, unit)
    ways = sorted(best.values(), key=lambda one: float(f"{one.expanded_deg:.6g}"))
    return tuple(ways) if known else tuple(replace(one, expanded_deg=0.0) for one in ways)


def _laid(side: Side, elevation: float, throw: Measured, centre: Measured, height_u_nm: int) -> Pin:
    branch = Branch.FRONT if math.cos(math.radians(elevation)) >= 0.0 else Branch.REAR
    return Pin(side, branch, Measured(height_nm(elevation, centre.nm, throw.nm), height_u_nm), throw)


def _from_level(elevation: float) -> float:
    turned = wrapped_deg(elevation)
    return turned if abs(turned) <= 90.0 else wrapped_deg(180.0 - turned)


def _worst_u(pins: Sequence[Pin], elevations: Mapping[Side, float], centre: Measured) -> float:
    return max(
        angle_u_deg(one, two, (elevations[one.side], elevations[two.side]), centre)
        for at, one in enumerate(pins)
        for two in pins[at + 1 :]
    )


def _set_up(pins: Sequence[Pin], levels: tuple[float, ...], worst: float, unit: Unit) -> SetUp:
    where = {Branch.FRONT: "in front", Branch.REAR: "behind"}
    words = " and ".join(
        f"the {pin.side} pin is {where[pin.branch]} with its centre at {show(pin.height.nm, unit)}"
        for pin in pins
    )
    return SetUp(tuple((pin.side, pin.branch, pin.height.nm) for pin in pins), levels, worst, words)


def _check_u(*sizes: Measured) -> None:
    if any(size.expanded_nm < 0 for size in sizes):
        raise QuarteringError("An uncertainty cannot be below nothing: type one such as 0.010 mm.")


def _check_axle(
    pins: Sequence[Pin], given: Mapping[Side, Pin], centre: Measured, cranks: Cranks, tolerance: float
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
