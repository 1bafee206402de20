"""Before the cut: the range to want of a fit, and the size to bore to."""

from __future__ import annotations

from domain.joints.fit_checks import known_iron
from domain.joints.fit_figures import default_range, table
from domain.joints.fit_types import FitError, FitKind, Joint
from domain.joints.fit_windows import inward, stood_interference_nm
from domain.lengths import Unit


def safe_interference_nm(seat_nm: int, boss_nm: int, iron_key: str, factor: float) -> int:
    """The most interference at which the boss keeps a factor against cracking.

    Formula: Lame turned round for the interference at which hoop stress = least tensile strength / factor, with
    the stiffest the iron may be.
    Parameters: `seat_nm`, `boss_nm`, diameters, nm, 0 < seat < boss; `iron_key`; `factor` > 0.
    Returns: nm on the diameter, 0 or more, rounded down.
    Raises: FitError for an unknown iron or a seat not smaller than the boss.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.

    >>> safe_interference_nm(15_000_000, 32_000_000, "en-gjl-150", 2.0)
    15136
    """
    if not 0 < seat_nm < boss_nm:
        raise FitError("The seat must be above zero and smaller than the boss, such as 19.05 mm in 38.1 mm.")
    return stood_interference_nm(seat_nm, boss_nm, known_iron(iron_key), factor)


def usual_range(kind: FitKind, nominal_nm: int, boss_nm: int, iron_key: str) -> tuple[int, int]:
    """The gap or interference to want when the drawing does not say, never more than the boss will stand.

    Formula: the rule of thumb of the fit, its most cut down to the interference that leaves a factor of 3; where
    that is below the rule's least, half of it to all of it.
    Parameters: `kind`; `nominal_nm`, `boss_nm`, diameters, nm, 0 < nominal < boss; `iron_key`.
    Returns: least and most, nm on the diameter: a gap for a bond, an interference for press and shrink.
    Raises: FitError for sizes out of order, an unknown iron, or a boss that stands no press fit at all.
    Source: Applied Science for Metal Workers, sections 453-454, and Lame as in Shigley 9th ed.; the half is
    common practice, no source.

    >>> usual_range(FitKind.BOND, 19_050_000, 38_100_000, "en-gjl-200")
    (20000, 50000)
    >>> least, most = usual_range(FitKind.PRESS, 19_050_000, 38_100_000, "en-gjl-200")
    >>> 0 < least < most < 19_050
    True
    """
    least, most = default_range(kind, nominal_nm)
    if kind is FitKind.BOND:
        return least, most
    safe = safe_interference_nm(nominal_nm, boss_nm, iron_key, table()["factor"]["caution_below"])
    if safe >= 2 * least:
        return least, min(most, safe)
    if safe < 2:
        raise FitError("This boss stands no press or shrink fit: bond it, or choose a larger boss.")
    return min(least, safe // 2), min(most, safe)


def bore_window(joint: Joint, seat_nm: int, unit: Unit) -> tuple[int, int] | None:
    """The sizes to bore to for a seat, closed in to figures that can be shown.

    Formula: seat + least to seat + most for a bond; seat - most to seat - least for press and shrink, the most
    cut down to what leaves the factor wanted.
    Parameters: `joint`, the drawing's; `seat_nm`, the seat, nm, 0 < seat < boss; `unit`, shown first.
    Returns: least and most, nm; None when no size that can be shown would serve.
    Raises: FitError for sizes out of order or an unknown iron.
    Source: as `safe_interference_nm`; the gap is the joint's own.

    >>> joint = Joint(FitKind.BOND, 19_050_000, 19_050_000, 38_100_000, 14_000_000, 20_000, 50_000, "en-gjl-200")
    >>> bore_window(joint, 19_050_000, Unit.MM)
    (19070000, 19100000)
    """
    if joint.kind is FitKind.BOND:
        low, high = inward(unit, seat_nm + joint.least_nm, seat_nm + joint.most_nm)
    else:
        safe = safe_interference_nm(seat_nm, joint.boss_diameter_nm, joint.iron_key, joint.factor_wanted)
        low, high = inward(unit, seat_nm - min(joint.most_nm, safe), seat_nm - joint.least_nm)
    return (low, high) if 0 < low <= high else None


def seat_window(joint: Joint, bore_nm: int, unit: Unit) -> tuple[int, int] | None:
    """The sizes to turn a seat to for a bore that is there already, closed in to figures that can be shown.

    Formula: bore - most to bore - least for a bond; bore + least to bore + most for press and shrink, the most cut
    down to what leaves the factor wanted at the larger seat.
    Parameters: `joint`, the drawing's; `bore_nm`, the bore, nm, 0 < bore < boss; `unit`, shown first.
    Returns: least and most, nm; None when no size that can be shown would serve.
    Raises: FitError for sizes out of order or an unknown iron.
    Source: as `safe_interference_nm`; the gap is the joint's own.

    >>> joint = Joint(FitKind.BOND, 19_050_000, 19_050_000, 38_100_000, 14_000_000, 20_000, 50_000, "en-gjl-200")
    >>> seat_window(joint, 19_090_000, Unit.MM)
    (19040000, 19070000)
    """
    if joint.kind is FitKind.BOND:
        low, high = inward(unit, bore_nm - joint.most_nm, bore_nm - joint.least_nm)
    else:
        largest = min(bore_nm + joint.most_nm, joint.boss_diameter_nm - 1)
        safe = safe_interference_nm(largest, joint.boss_diameter_nm, joint.iron_key, joint.factor_wanted)
        low, high = inward(unit, bore_nm + joint.least_nm, bore_nm + min(joint.most_nm, safe))
    return (low, high) if 0 < low <= high else None
