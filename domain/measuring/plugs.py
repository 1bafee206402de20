"""Distance between two holes, measured over or between plugs that stand in them."""

import math
from dataclasses import dataclass

from domain.lengths import Unit
from domain.lengths.fine import fine
from domain.working import Working

_SOURCE = "geometry of two plugs that fit their holes without shake"


class PlugsError(ValueError):
    """Sizes that cannot be two plugs in two holes; its text is one sentence for the page."""


@dataclass(frozen=True)
class CentreDistance:
    """Distance between the centres, nm, with the working."""

    nm: int
    working: Working


def centre_distance_over(over_nm: int, first_nm: int, second_nm: int, unit: Unit) -> CentreDistance:
    """Distance between two hole centres from the size over the outsides of two plugs.

    Formula: centre distance = over - (plug1 + plug2) / 2; a half nanometre goes up

    Args:
        over_nm: size over both plugs, nm; at least the two plugs side by side.
        first_nm: diameter of one plug, nm, above 0.
        second_nm: diameter of the other, nm, above 0.
        unit: the system the working is written in.

    Returns:
        The distance, nm, with the working.

    Raises:
        PlugsError: a plug without a size, or plugs larger together than the size over them.

    Source: geometry.

    >>> centre_distance_over(38_112_000, 19_050_000, 9_525_000, Unit.MM).nm
    23824500
    """
    _check_plugs(first_nm, second_nm)
    if over_nm < first_nm + second_nm:
        raise PlugsError(
            f"Over the plugs cannot be {fine(over_nm, unit)}: the two plugs alone are "
            f"{fine(first_nm + second_nm, unit)} side by side, so it must be at least that."
        )
    nm = (2 * over_nm - first_nm - second_nm + 1) // 2
    numbers = f"{fine(over_nm, unit)} - ({fine(first_nm, unit)} + {fine(second_nm, unit)}) / 2"
    working = Working("centre distance", "over plugs - (plug1 + plug2) / 2", numbers, fine(nm, unit), _SOURCE)
    return CentreDistance(nm, working)


def centre_distance_between(between_nm: int, first_nm: int, second_nm: int, unit: Unit) -> CentreDistance:
    """Distance between two hole centres from the gap between two plugs.

    Formula: centre distance = between + (plug1 + plug2) / 2; a half nanometre goes up

    Args:
        between_nm: gap between the plugs, nm, 0 or more.
        first_nm: diameter of one plug, nm, above 0.
        second_nm: diameter of the other, nm, above 0.
        unit: the system the working is written in.

    Returns:
        The distance, nm, with the working.

    Raises:
        PlugsError: a plug without a size, or a gap below 0.

    Source: geometry.

    >>> centre_distance_between(9_537_000, 19_050_000, 9_525_000, Unit.MM).nm
    23824500
    """
    _check_plugs(first_nm, second_nm)
    if between_nm < 0:
        raise PlugsError("The gap between the plugs cannot be below nothing: type one such as 9.537 mm.")
    nm = (2 * between_nm + first_nm + second_nm + 1) // 2
    numbers = f"{fine(between_nm, unit)} + ({fine(first_nm, unit)} + {fine(second_nm, unit)}) / 2"
    working = Working(
        "centre distance", "between plugs + (plug1 + plug2) / 2", numbers, fine(nm, unit), _SOURCE
    )
    return CentreDistance(nm, working)


def centre_distance_u_nm(measured_u_nm: float, first_u_nm: float, second_u_nm: float) -> float:
    """Uncertainty of a centre distance measured over or between plugs.

    Formula: u = sqrt(u_measured^2 + (u_plug1^2 + u_plug2^2) / 4); standard or expanded alike, all of one sort

    Args:
        measured_u_nm: uncertainty of the size over or between the plugs, nm, 0 or more.
        first_u_nm: uncertainty of one plug's diameter, nm, 0 or more.
        second_u_nm: uncertainty of the other's, nm, 0 or more.

    Returns:
        The uncertainty, nm, of the same sort; shake of a plug in its hole is not in it.

    Raises:
        PlugsError: an uncertainty below 0 or not finite.

    Source: JCGM 100:2008 (GUM) 5.1.2, independent inputs, sensitivities 1 and 1/2.

    >>> centre_distance_u_nm(3_000, 4_000, 4_000) == math.sqrt(17_000_000)
    True
    """
    parts = (measured_u_nm, first_u_nm, second_u_nm)
    if not all(math.isfinite(part) and part >= 0 for part in parts):
        raise PlugsError("An uncertainty cannot be below nothing: type one such as 0.006 mm.")
    return math.hypot(measured_u_nm, first_u_nm / 2, second_u_nm / 2)


def _check_plugs(first_nm: int, second_nm: int) -> None:
    if first_nm <= 0 or second_nm <= 0:
        raise PlugsError("A plug has no size: type its diameter, such as 19.05 mm.")
