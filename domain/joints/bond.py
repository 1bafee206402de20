"""A wheel held by an anaerobic retaining compound in a small gap."""

import math
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from importlib.resources import files


class GapFit(StrEnum):
    """What the compound makes of a gap."""

    TOO_SMALL = "too small"
    BEST = "best"
    WIDE = "wide"
    TOO_WIDE = "too wide"


@dataclass(frozen=True)
class GapRange:
    """The gap a compound fills, on the diameter, nm: best from least to most, and the limit it can fill."""

    least_nm: int
    most_nm: int
    limit_nm: int
    source: str


def _table() -> tuple[GapRange, float]:
    row = tomllib.loads(files("domain").joinpath("tables", "fits.toml").read_text(encoding="utf-8"))["bond"]
    return GapRange(row["least_nm"], row["most_nm"], row["limit_nm"], row["source"]), float(row["safety"])


DEFAULT_GAP, DEFAULT_SAFETY = _table()


def judge_gap(gap_nm: int, gap: GapRange = DEFAULT_GAP) -> GapFit:
    """Whether the compound fills this gap; a gap exactly on a limit belongs to the better side.

    Formula: too small < least <= best <= most < wide <= limit < too wide
    gap_nm: bore less seat on the diameter, nm; negative when they interfere.
    gap: the compound's range, nm.
    Returns: the judgement.
    Raises: ValueError when the range is not in order (0 < least <= most <= limit).
    Source: the compound's data sheet; the default range is from memory, verify.

    >>> judge_gap(20_000)
    <GapFit.BEST: 'best'>
    """
    if not 0 < gap.least_nm <= gap.most_nm <= gap.limit_nm:
        raise ValueError("The gap range must rise from above zero, such as 0.02, 0.05 and 0.10 mm.")
    if gap_nm < gap.least_nm:
        return GapFit.TOO_SMALL
    if gap_nm <= gap.most_nm:
        return GapFit.BEST
    return GapFit.WIDE if gap_nm <= gap.limit_nm else GapFit.TOO_WIDE


def bond_force_n(
    shear_mpa: float, seat_mm: float, length_mm: float, reductions: Sequence[float], safety: float
) -> float:
    """The push along the axle that a bond holds.

    Formula: F = shear x pi d l x product of reductions / safety
    shear_mpa: shear strength on the compound's data sheet, MPa, above 0.
    seat_mm, length_mm: seat diameter d and bonded length l, mm, above 0.
    reductions: factors above 0 and up to 1 for gap, material, temperature, ageing; may be empty.
    safety: 1 or more.
    Returns: force, N.
    Raises: ValueError on a figure outside its limits.
    Source: shear stress times area; strength by ASTM D4562 or ISO 10123, which does not predict
    service.

    >>> round(bond_force_n(15, 15, 14, [0.8, 0.9], 2), 1)
    3562.6
    """
    for name, value in (("shear strength", shear_mpa), ("seat diameter", seat_mm), ("length", length_mm)):
        if not math.isfinite(value) or value <= 0:
            raise ValueError(f"The {name} must be a number above zero, such as 15, not {value}.")
    for value in reductions:
        if not 0 < value <= 1:
            raise ValueError(f"Each reduction must be above 0 and at most 1, such as 0.8, not {value}.")
    if not math.isfinite(safety) or safety < 1:
        raise ValueError(f"The safety must be 1 or more, such as 2, not {safety}.")
    return shear_mpa * math.pi * seat_mm * length_mm * math.prod(reductions) / safety


def bond_torque_nm(force_n: float, seat_mm: float) -> float:
    """The torque that a bond holds.

    Formula: T = F d / 2
    force_n: force of bond_force_n, N, 0 or more.
    seat_mm: seat diameter d, mm, above 0.
    Returns: torque, N m.
    Raises: ValueError on a figure outside its limits.
    Source: by definition of torque.

    >>> bond_torque_nm(3000, 15)
    22.5
    """
    if not math.isfinite(force_n) or force_n < 0:
        raise ValueError(f"The force must be zero or more, such as 3000, not {force_n}.")
    if not math.isfinite(seat_mm) or seat_mm <= 0:
        raise ValueError(f"The seat diameter must be a number above zero, such as 15, not {seat_mm}.")
    return force_n * seat_mm / 2 / 1000
