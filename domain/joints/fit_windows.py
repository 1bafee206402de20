"""The sizes that would serve, closed in to figures that can be shown."""

import math

from domain.joints import interference
from domain.joints.fit_case import Case, mm
from domain.joints.fit_figures import table
from domain.joints.fit_judging import find, stress_of
from domain.joints.fit_types import Answer
from domain.joints.materials import MILD_STEEL, Iron
from domain.lengths import NM_PER_MM, Unit

# The last figure shown: a micrometre, or a tenth of a thou. Windows close in to it: any size shown serves.
_GRID_NM = {Unit.MM: 1_000, Unit.INCH: 2_540}


def wanted_clearances(case: Case, *seats_nm: int) -> tuple[int, int]:
    """Least and most clearance that serve on every seat given; the first is the greater when none does.

    A fit that serves with care is eased until no care is needed; one that does not serve, until it is safe.
    Returns: least and most, nm on the diameter, below zero for an interference.
    """
    joint = case.joint
    if case.is_bond:
        return joint.least_nm, joint.most_nm
    factor = joint.factor_wanted
    if find(case, stress_of(case)).answer is Answer.CAUTION:
        factor = max(factor, table()["factor"]["caution_below"])
    safe = min(highest_interference_nm(case, seat, factor) for seat in seats_nm)
    return -min(joint.most_nm, safe), -joint.least_nm


def highest_interference_nm(case: Case, seat_nm: int, factor: float) -> int:
    """The most interference that keeps the factor, in whole nm on the safe side.

    Formula: Lame turned round for the interference at which hoop stress = least tensile strength / factor.
    seat_nm: nm, above 0 and below the boss's diameter; factor: above 0.
    Returns: nm on the diameter, 0 or more.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.
    """
    return stood_interference_nm(seat_nm, case.joint.boss_diameter_nm, case.iron, factor)


def stood_interference_nm(seat_nm: int, boss_nm: int, iron: Iron, factor: float) -> int:
    """As `highest_interference_nm`, for sizes that are not under judgement yet.

    seat_nm, boss_nm: nm, 0 < seat < boss; factor: above 0; returns nm on the diameter, 0 or more.
    """
    highest = interference.interference_at_hoop_mm(
        iron.tensile_low_mpa / factor,
        mm(seat_nm),
        mm(boss_nm),
        iron.young_high_gpa,
        iron.poisson,
        MILD_STEEL.young_gpa,
        MILD_STEEL.poisson,
    )
    return max(0, math.floor(highest * NM_PER_MM) - 1)


def inward(unit: Unit, low: int, high: int) -> tuple[int, int]:
    """The window with its ends moved in to figures that can be shown; low is above high when none fits.

    low, high: nm; returns nm.

    >>> inward(Unit.MM, 19_070_300, 19_100_700)
    (19071000, 19100000)
    """
    grid = _GRID_NM[unit]
    return -(-low // grid) * grid, high // grid * grid


def at_least(unit: Unit, least: int, most: int) -> int:
    """The least to take off, rounded up to a figure that can be shown unless that would be too much.

    least, most: nm; returns nm.

    >>> at_least(Unit.MM, 20_300, 50_000), at_least(Unit.MM, 20_300, 20_900)
    (21000, 20300)
    """
    grid = _GRID_NM[unit]
    shown = -(-least // grid) * grid
    return shown if shown <= most else least
