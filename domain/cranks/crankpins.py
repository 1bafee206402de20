"""Where the crankpin hole goes and whether there is metal round it, and the drilling jig with its plugs."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from domain.cranks.throws import FAR_NM
from domain.errors import TradeError
from domain.lengths import NM_PER_MM, Unit, show, show_offset
from domain.lengths.fine import fine_both
from domain.measuring.plugs import CentreDistance, centre_distance_over
from domain.working import Working

# Less metal than a quarter of the hole is a wall that breaks out: common practice, no source.
THIN_PART = 4
# A locating plug slides into a reamed bore by hand without shake one can feel: common practice, no source.
LEAST_CLEARANCE_NM = NM_PER_MM * 5 // 1000
MOST_CLEARANCE_NM = NM_PER_MM * 15 // 1000


class CrankpinError(TradeError):
    """Figures no crankpin hole can be set out with."""


class Edge(StrEnum):
    """What ends the metal beyond the hole."""

    CRANK_BOSS = "crank boss"
    TREAD = "tread"
    CENTRE = "wheel centre"


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
    working: Working


@dataclass(frozen=True)
class HoleRoom:
    """The metal left between the hole and the bore, and between the hole and the far edge, nm."""

    inner_nm: int
    outer_nm: int
    thin: bool
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
    return HolePosition(throw_nm, angle_deg % 360.0, x, y, working)


def boss_angle_deg(first_nm: tuple[int, int], second_nm: tuple[int, int]) -> float:
    """Which way the crank boss points, from one touch on each of its flanks, equally far out.

    Formula: the angle halfway between the two directions, anticlockwise from X, 0 up to 360.
    Parameters: `first_nm`, `second_nm`, X and Y of the touches from the axle's centre, nm; the finder's radius falls
    out as long as it is the same at both.
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
    throw_nm: int,
    hole_nm: int,
    bore_nm: int,
    reach_nm: int,
    unit: Unit,
    edge: Edge = Edge.CRANK_BOSS,
) -> HoleRoom:
    """The metal round the crankpin hole, towards the bore and towards the far edge.

    Formula: outer = reach - (r + hole / 2); inner = r - (hole + bore) / 2; thin below a quarter of the hole. Halves
    of a nanometre are cut off.
    Parameters: `throw_nm`; `hole_nm`, `bore_nm`, diameters, all > 0, nm; `reach_nm`, from the axle's centre to the far
    edge along the throw, nm; `edge`, what ends there: with the tread, or the centre inside a tyre, half its diameter.
    Raises: CrankpinError when the hole would break out of the edge or into the bore, or for a figure not above zero.
    Source: geometry; the quarter is common practice, no source.

    >>> hole_room(22_225_000, 9_525_000, 19_050_000, 30_000_000, Unit.MM).outer_nm
    3012500
    >>> hole_room(26_000_000, 9_525_000, 19_050_000, 30_000_000, Unit.MM)
    Traceback (most recent call last):
    domain.cranks.crankpins.CrankpinError: The throw is larger than the crank boss allows: with this hole at most \
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
            f" so check throw and {'boss' if edge is Edge.CRANK_BOSS else edge}."
        )
    if inner <= 0:
        raise CrankpinError(
            "The crankpin hole would run into the bore: the throw is from axle centre to crankpin centre, check it."
        )
    thin = min(outer, inner) * THIN_PART < hole_nm
    working = Working(
        "metal round the crankpin hole",
        "outer = reach - (throw + hole / 2); inner = throw - (hole + bore) / 2",
        f"throw {show(throw_nm, unit)}, hole {show(hole_nm, unit)}, bore {show(bore_nm, unit)}, reach of the {edge}"
        f" {show(reach_nm, unit)}",
        f"outer {show(outer, unit)}, inner {show(inner, unit)}",
        "geometry",
    )
    return HoleRoom(inner, outer, thin, working)


def _down(nm: int, unit: Unit) -> str:
    """A length that may not be exceeded, cut off at what the first system shows."""
    step = 1_000 if unit is Unit.MM else 2_540
    return show(nm // step * step, unit)


class JigThrowKind(StrEnum):
    """What a throw read over the plugs is worth: no such throw at all, one for another drawing, or as near as may be."""

    OTHER_UNIT = "another unit"
    FAR = "far"
    NEAR = "near"


@dataclass(frozen=True)
class PlugSize:
    """A plug to turn for the bores there are: between which sizes, and the throw its shake may cost, nm.

    shake_nm: the most the plug at its least size can move in the largest bore, on the diameter.
    throw_error_nm: half of it, either way.
    """

    least_nm: int
    most_nm: int
    shake_nm: int
    throw_error_nm: int
    working: Working


@dataclass(frozen=True)
class JigReadings:
    """What must be read over and between the jig's two plugs for the drawing's throw, nm; None when they overlap."""

    over_nm: int
    between_nm: int | None
    working: Working


@dataclass(frozen=True)
class JigThrow:
    """The throw a jig really has, nm, how far it is from the drawing's, and what that makes of it."""

    throw_nm: int
    off_nm: int
    kind: JigThrowKind
    workings: tuple[Working, ...]


def plug_for_bores(bores_nm: Sequence[int], unit: Unit) -> PlugSize:
    """How large to turn the jig's plug so that it enters every bore and shakes least.

    Formula: plug = smallest bore - 0.005 to 0.015 mm; shake = largest bore - least plug; throw error = shake / 2.
    Parameters: `bores_nm`, the bores (or crankpin holes) as measured, one or more, nm; `unit`, shown first.
    Raises: CrankpinError for no bore, or one not above the clearance.
    Source: geometry; the clearance is common practice, no source.

    >>> plug = plug_for_bores([19_062_000, 19_068_000], Unit.MM)
    >>> plug.least_nm, plug.most_nm, plug.throw_error_nm
    (19047000, 19057000, 10500)
    """
    if not bores_nm or min(bores_nm) <= MOST_CLEARANCE_NM:
        raise CrankpinError("There is no bore to fit the plug to yet: log at least one, such as 19.05 mm.")
    least, most = min(bores_nm) - MOST_CLEARANCE_NM, min(bores_nm) - LEAST_CLEARANCE_NM
    shake = max(bores_nm) - least
    error = -(-shake // 2)
    working = Working(
        "plug of the jig",
        "smallest bore - clearance; shake = largest bore - least plug",
        f"smallest {show(min(bores_nm), unit)}, largest {show(max(bores_nm), unit)}, clearance"
        f" {show(LEAST_CLEARANCE_NM, unit)} to {show(MOST_CLEARANCE_NM, unit)}",
        f"{show(least, unit)} to {show(most, unit)}",
        "geometry; the clearance is common practice, no source",
    )
    return PlugSize(least, most, shake, error, working)


def jig_readings(throw_nm: int, bore_plug_nm: int, pin_plug_nm: int, unit: Unit) -> JigReadings:
    """What a micrometer must read over the two plugs, and gauges between them, for the drawing's throw.

    Formula: over = r + (plug1 + plug2) / 2; between = r - (plug1 + plug2) / 2; half nanometres go up.
    Parameters: `throw_nm`; `bore_plug_nm`, the plug for the bore; `pin_plug_nm`, the one in the drill bush or the
    crankpin hole; all > 0, nm; `unit`, shown first.
    Returns: the readings, nm; nothing between plugs that would touch or overlap.
    Raises: CrankpinError for a size not above zero, or plugs that overlap so far that neither is beside the other.
    Source: geometry.

    >>> jig_readings(23_824_500, 19_050_000, 9_525_000, Unit.MM).over_nm
    38112000
    """
    if min(throw_nm, bore_plug_nm, pin_plug_nm) <= 0:
        raise CrankpinError("Throw and plugs must all be more than nothing: type each, such as 19.05 mm.")
    plugs = bore_plug_nm + pin_plug_nm
    between = (2 * throw_nm - plugs + 1) // 2
    if between < 0:
        raise CrankpinError(
            f"The two plugs cannot stand {show(throw_nm, unit)} apart, they would overlap: take smaller plugs or check"
            " the throw."
        )
    over = (2 * throw_nm + plugs + 1) // 2
    working = Working(
        "reading over the plugs",
        "over = throw + (plug1 + plug2) / 2; between = throw - (plug1 + plug2) / 2",
        f"throw {show(throw_nm, unit)}, plugs {show(bore_plug_nm, unit)} and {show(pin_plug_nm, unit)}",
        f"over {fine_both(over, unit)}",
        "geometry of two plugs that fit their holes without shake",
    )
    return JigReadings(over, between or None, working)


def jig_throw(over_nm: int, bore_plug_nm: int, pin_plug_nm: int, drawing_nm: int, unit: Unit) -> JigThrow:
    """The throw a jig or a wheel really has, from the reading over its plugs, beside the drawing's.

    Formula: r = over - (plug1 + plug2) / 2; off = r - drawing.
    Parameters: `over_nm`, the reading; `bore_plug_nm`, `pin_plug_nm`, the plugs; `drawing_nm` > 0; all nm; `unit`.
    Raises: PlugsError for plugs that are larger than the reading over them, CrankpinError for no drawing throw.
    Source: geometry; that all alike matters more than exact is common practice, no source.

    >>> jig_throw(38_112_000, 19_050_000, 9_525_000, 23_812_500, Unit.MM).off_nm
    12000
    """
    if drawing_nm <= 0:
        raise CrankpinError("The drawing's throw must be more than nothing: type it, such as 22.225 mm.")
    found: CentreDistance = centre_distance_over(over_nm, bore_plug_nm, pin_plug_nm, unit)
    off = found.nm - drawing_nm
    kind = JigThrowKind.FAR if abs(off) > FAR_NM else JigThrowKind.NEAR
    if not drawing_nm < 2 * found.nm < 4 * drawing_nm:
        kind = JigThrowKind.OTHER_UNIT
    working = Working(
        "throw against the drawing",
        "throw - drawing",
        f"{show(found.nm, unit)} - {show(drawing_nm, unit)}",
        show_offset(off, unit),
        "by definition",
    )
    return JigThrow(found.nm, off, kind, (found.working, working))
