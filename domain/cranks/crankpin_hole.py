"""Where the crankpin hole goes: as throw and angle, as figures for a read-out, and whether there is metal round it."""

import math
from dataclasses import dataclass

from domain.lengths import Unit, show, show_offset
from domain.working import Working

# Less metal than a quarter of the hole is a wall that breaks out: common practice, no source.
THIN_PART = 4


class CrankpinError(ValueError):
    """Figures no crankpin hole can be set out with; its text is one sentence for the page."""


@dataclass(frozen=True)
class Origin:
    """Where the read-out is at nothing, seen from the axle's centre along the machine's axes, nm.

    turned_deg: how far the read-out's X axis is turned anticlockwise from the wheel's own; 0 when they are alike.
    """

    x_nm: int = 0
    y_nm: int = 0
    turned_deg: float = 0.0


@dataclass(frozen=True)
class HolePosition:
    """The hole's centre, by throw and angle from the axle's centre and by the read-out, nm and degrees.

    angle_deg: anticlockwise from the wheel's X axis, 0 up to 360, as the face that is up is looked at.
    """

    throw_nm: int
    angle_deg: float
    x_nm: int
    y_nm: int
    words: str
    working: Working


@dataclass(frozen=True)
class HoleRoom:
    """The metal left between the hole and the bore, and between the hole and the far edge, nm."""

    inner_nm: int
    outer_nm: int
    thin: bool
    words: str
    working: Working


def hole_position(throw_nm: int, angle_deg: float, origin: Origin, unit: Unit) -> HolePosition:
    """Where the crankpin hole is by the read-out, from any origin and with axes turned against the wheel's.

    Formula: p = r (cos a, sin a) - origin; x = px cos t + py sin t, y = py cos t - px sin t; whole nanometres.
    Parameters: `throw_nm` > 0; `angle_deg`, of the middle of the crank boss, anticlockwise from the wheel's X axis;
    `origin`, of the read-out, nm from the axle's centre along the wheel's axes; `unit`, shown first.
    Returns: X and Y on the read-out, nm; the angle brought to 0 up to 360 degrees.
    Raises: CrankpinError for a throw not above zero or an angle that is not a number.
    Source: geometry.

    >>> at = hole_position(22_225_000, 90.0, Origin(-10_000_000, 0), Unit.MM)
    >>> at.x_nm, at.y_nm
    (10000000, 22225000)
    """
    if throw_nm <= 0:
        raise CrankpinError("The throw must be more than nothing: type it, such as 22.225 mm.")
    if not (math.isfinite(angle_deg) and math.isfinite(origin.turned_deg)):
        raise CrankpinError("An angle must be a number: type it in degrees, such as 30.")
    angle, turned = math.radians(angle_deg), math.radians(origin.turned_deg)
    px = throw_nm * math.cos(angle) - origin.x_nm
    py = throw_nm * math.sin(angle) - origin.y_nm
    x = round(px * math.cos(turned) + py * math.sin(turned))
    y = round(py * math.cos(turned) - px * math.sin(turned))
    working = Working(
        "crankpin hole by the read-out",
        "p = r (cos a, sin a) - origin; x = px cos t + py sin t; y = py cos t - px sin t",
        f"r {show(throw_nm, unit)}, a {angle_deg:.3f}, origin {show_offset(origin.x_nm, unit)},"
        f" {show_offset(origin.y_nm, unit)}, t {origin.turned_deg:.3f} degrees",
        f"X {show_offset(x, unit)}, Y {show_offset(y, unit)}",
        "geometry",
    )
    words = f"Move to X {show_offset(x, unit)}, Y {show_offset(y, unit)} on the read-out."
    return HolePosition(throw_nm, angle_deg % 360.0, x, y, words, working)


def boss_angle_deg(first_nm: tuple[int, int], second_nm: tuple[int, int]) -> float:
    """Which way the crank boss points, from one touch on each of its flanks, equally far out.

    Formula: the angle halfway between the two directions, anticlockwise from X, 0 up to 360.
    Parameters: `first_nm`, `second_nm`, X and Y of the touches from the axle's centre, nm; the finder's radius falls
    out as long as it is the same at both.
    Returns: degrees.
    Raises: CrankpinError for a touch on the axle's centre, touches opposite each other, or one that is more than a
    tenth further out than the other.
    Source: geometry, for a boss alike on both flanks; the tenth is common practice, no source.

    >>> boss_angle_deg((20_000_000, 7_000_000), (20_000_000, -7_000_000))
    0.0
    """
    out = [math.hypot(*first_nm), math.hypot(*second_nm)]
    if min(out) == 0:
        raise CrankpinError(
            "A touch on the axle's centre points nowhere: touch the flanks of the crank boss."
        )
    if max(out) > 1.1 * min(out):
        raise CrankpinError(
            "One flank was touched much further out than the other: touch both equally far out."
        )
    x = first_nm[0] / out[0] + second_nm[0] / out[1]
    y = first_nm[1] / out[0] + second_nm[1] / out[1]
    if math.hypot(x, y) < 0.02:
        raise CrankpinError("The two touches are opposite each other: touch both flanks of the crank boss.")
    return math.degrees(math.atan2(y, x)) % 360.0


def hole_room(
    throw_nm: int, hole_nm: int, bore_nm: int, reach_nm: int, unit: Unit, edge: str = "crank boss"
) -> HoleRoom:
    """The metal round the crankpin hole, towards the bore and towards the far edge.

    Formula: outer = reach - (r + hole / 2); inner = r - (hole + bore) / 2; thin below a quarter of the hole. Halves
    of a nanometre are cut off.
    Parameters: `throw_nm`; `hole_nm`, `bore_nm`, diameters, all > 0, nm; `reach_nm`, from the axle's centre to the far
    edge along the throw, nm; `edge`, what ends there: "crank boss", or "tread" with half the tread diameter.
    Returns: the two walls, nm.
    Raises: CrankpinError when the hole would break out of the edge or into the bore, or for a figure not above zero.
    Source: geometry; the quarter is common practice, no source.

    >>> hole_room(22_225_000, 9_525_000, 19_050_000, 30_000_000, Unit.MM).outer_nm
    3012500
    >>> hole_room(26_000_000, 9_525_000, 19_050_000, 30_000_000, Unit.MM)
    Traceback (most recent call last):
    domain.cranks.crankpin_hole.CrankpinError: The throw is larger than the crank boss allows: with this hole at most \
25.237 mm (0.9936 in), so check throw and boss.
    """
    if min(throw_nm, hole_nm, bore_nm, reach_nm) <= 0:
        raise CrankpinError(
            "Throw, hole, bore and boss must all be more than nothing: type each, such as 22.225 mm."
        )
    outer = (2 * reach_nm - 2 * throw_nm - hole_nm) // 2
    inner = (2 * throw_nm - hole_nm - bore_nm) // 2
    if outer <= 0:
        most = (2 * reach_nm - hole_nm) // 2
        if most <= 0:
            raise CrankpinError(
                f"The hole is larger than the {edge} allows at any throw: check both their sizes."
            )
        raise CrankpinError(
            f"The throw is larger than the {edge} allows: with this hole at most {_down(most, unit)},"
            f" so check throw and {edge.split()[-1]}."
        )
    if inner <= 0:
        raise CrankpinError(
            "The crankpin hole would run into the bore: the throw is from axle centre to crankpin centre, check it."
        )
    thin = min(outer, inner) * THIN_PART < hole_nm
    words = f"{show(inner, unit)} of metal is left towards the bore and {show(outer, unit)} outwards"
    words += ": that is thin, drill it well under size and bore it out." if thin else "."
    working = Working(
        "metal round the crankpin hole",
        "outer = reach - (throw + hole / 2); inner = throw - (hole + bore) / 2",
        f"throw {show(throw_nm, unit)}, hole {show(hole_nm, unit)}, bore {show(bore_nm, unit)}, reach of the {edge}"
        f" {show(reach_nm, unit)}",
        f"outer {show(outer, unit)}, inner {show(inner, unit)}",
        "geometry",
    )
    return HoleRoom(inner, outer, thin, words, working)


def _down(nm: int, unit: Unit) -> str:
    """A length that may not be exceeded, cut off at what the first system shows."""
    step = 1_000 if unit is Unit.MM else 2_540
    return show(nm // step * step, unit)
