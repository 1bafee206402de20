"""The drilling jig for the crankpin holes: its plugs, the reading over them, and what their shake may cost."""

from collections.abc import Sequence
from dataclasses import dataclass

from domain.cranks.crankpin_hole import CrankpinError
from domain.cranks.throws import FAR_NM
from domain.lengths import NM_PER_MM, Unit, show, show_offset
from domain.lengths.fine import fine_both
from domain.measuring.plugs import CentreDistance, centre_distance_over
from domain.working import Working

# A locating plug slides into a reamed bore by hand without shake one can feel: common practice, no source.
LEAST_CLEARANCE_NM = NM_PER_MM * 5 // 1000
MOST_CLEARANCE_NM = NM_PER_MM * 15 // 1000


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
    words: str
    working: Working


@dataclass(frozen=True)
class JigReadings:
    """What must be read over and between the jig's two plugs for the drawing's throw, nm; None when they overlap."""

    over_nm: int
    between_nm: int | None
    words: str
    working: Working


@dataclass(frozen=True)
class JigThrow:
    """The throw a jig really has, nm, and how far it is from the drawing's."""

    throw_nm: int
    off_nm: int
    words: str
    workings: tuple[Working, ...]


def plug_for_bores(bores_nm: Sequence[int], unit: Unit) -> PlugSize:
    """How large to turn the jig's plug so that it enters every bore and shakes least.

    Formula: plug = smallest bore - 0.005 to 0.015 mm; shake = largest bore - least plug; throw error = shake / 2.
    Parameters: `bores_nm`, the bores (or crankpin holes) as measured, one or more, nm; `unit`, shown first.
    Returns: the sizes, nm.
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
    words = (
        f"Turn the plug {show(least, unit)} to {show(most, unit)}. In the largest bore it may shake by"
        f" {show(shake, unit)}, which can put a hole {show(error, unit)} out of its throw either way: push it to the"
        " same side each time."
    )
    working = Working(
        "plug of the jig",
        "smallest bore - clearance; shake = largest bore - least plug",
        f"smallest {show(min(bores_nm), unit)}, largest {show(max(bores_nm), unit)}, clearance"
        f" {show(LEAST_CLEARANCE_NM, unit)} to {show(MOST_CLEARANCE_NM, unit)}",
        f"{show(least, unit)} to {show(most, unit)}",
        "geometry; the clearance is common practice, no source",
    )
    return PlugSize(least, most, shake, error, words, working)


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
    words = f"Over the plugs it must read {fine_both(over, unit)}"
    words += f", between them {fine_both(between, unit)}." if between else "; between them there is no room."
    working = Working(
        "reading over the plugs",
        "over = throw + (plug1 + plug2) / 2; between = throw - (plug1 + plug2) / 2",
        f"throw {show(throw_nm, unit)}, plugs {show(bore_plug_nm, unit)} and {show(pin_plug_nm, unit)}",
        f"over {fine_both(over, unit)}",
        "geometry of two plugs that fit their holes without shake",
    )
    return JigReadings(over, between or None, words, working)


def jig_throw(over_nm: int, bore_plug_nm: int, pin_plug_nm: int, drawing_nm: int, unit: Unit) -> JigThrow:
    """The throw a jig or a wheel really has, from the reading over its plugs, beside the drawing's.

    Formula: r = over - (plug1 + plug2) / 2; off = r - drawing.
    Parameters: `over_nm`, the reading; `bore_plug_nm`, `pin_plug_nm`, the plugs; `drawing_nm` > 0; all nm; `unit`.
    Returns: throw and difference, nm.
    Raises: PlugsError for plugs that are larger than the reading over them, CrankpinError for no drawing throw.
    Source: geometry; that all alike matters more than exact is common practice, no source.

    >>> jig_throw(38_112_000, 19_050_000, 9_525_000, 23_812_500, Unit.MM).off_nm
    12000
    """
    if drawing_nm <= 0:
        raise CrankpinError("The drawing's throw must be more than nothing: type it, such as 22.225 mm.")
    found: CentreDistance = centre_distance_over(over_nm, bore_plug_nm, pin_plug_nm, unit)
    off = found.nm - drawing_nm
    if not drawing_nm < 2 * found.nm < 4 * drawing_nm:
        much = "more than twice" if off > 0 else "less than half of"
        name = "inches" if unit is Unit.INCH else "millimetres"
        words = (
            f"{show_offset(off, unit)} from the drawing, {much} its throw: was another unit meant? A number alone is in"
            f" {name}."
        )
    elif abs(off) > FAR_NM:
        words = f"{show_offset(off, unit)} from the drawing: measure again, or the jig is for another throw."
    else:
        words = (
            f"{show_offset(off, unit)} from the drawing. Drill every wheel of the build with this one jig: that all"
            " throws are alike matters more than that."
        )
    working = Working(
        "throw against the drawing",
        "throw - drawing",
        f"{show(found.nm, unit)} - {show(drawing_nm, unit)}",
        show_offset(off, unit),
        "by definition",
    )
    return JigThrow(found.nm, off, words, (found.working, working))
