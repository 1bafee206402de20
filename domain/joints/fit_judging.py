"""Judging one bore on one seat: what an interference does to the boss, what is found, and what it grips."""

from domain.joints import bond, interference
from domain.joints.fit_case import Case, Finding, Stress, mm
from domain.joints.fit_figures import gap_range, table
from domain.joints.fit_types import Answer
from domain.joints.materials import MILD_STEEL


def stress_of(case: Case) -> Stress | None:
    """What forcing this bore on this seat does to the boss; None where nothing is forced.

    Formula: Lame; factor = least tensile strength / hoop stress. E is only a range: the stiffest iron gives
    the worst pressure and hoop stress, the softest the surest grip.
    Returns: stresses in MPa.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.
    """
    if case.clearance_nm >= 0:
        return None
    seat, boss, delta = mm(case.seat_nm), mm(case.joint.boss_diameter_nm), mm(-case.clearance_nm)
    steel = MILD_STEEL.young_gpa, MILD_STEEL.poisson
    worst, sure = (
        interference.pressure_mpa(seat, boss, delta, young, case.iron.poisson, *steel)
        for young in (case.iron.young_high_gpa, case.iron.young_low_gpa)
    )
    hoop = interference.hoop_stress_mpa(worst, seat, boss)
    strength = case.iron.tensile_low_mpa
    return Stress(worst, hoop, strength, strength / hoop, sure)


def find(case: Case, stress: Stress | None) -> Finding:
    """What judging comes to: a bond by its gap alone, a press or shrink fit by its stress, then its range."""
    return _find_bond(case) if case.is_bond else _find_forced(case, stress)


def _find_bond(case: Case) -> Finding:
    return {
        bond.GapFit.TOO_SMALL: Finding.WIPED,
        bond.GapFit.BEST: Finding.GOOD,
        bond.GapFit.WIDE: Finding.WIDE,
        bond.GapFit.TOO_WIDE: Finding.TOO_WIDE,
    }[bond.judge_gap(case.clearance_nm, gap_range(case.joint))]


def _find_forced(case: Case, stress: Stress | None) -> Finding:
    if stress is None:
        return Finding.NO_GRIP
    if stress.factor < case.joint.factor_wanted:
        return Finding.CRACKS
    if -case.clearance_nm < case.joint.least_nm:
        return Finding.LOOSE
    if -case.clearance_nm > case.joint.most_nm:
        return Finding.TIGHT
    return Finding.STRAINED if stress.factor < table()["factor"]["caution_below"] else Finding.GOOD


def grip_of(case: Case, stress: Stress | None, answer: Answer) -> tuple[float | None, float | None]:
    """The axial force and torque the joint holds; none for a bond until its shear strength is typed.

    Formula: bond, F = shear pi d l x reductions / safety and T = F d / 2; forced, F = mu pi d l p and
    T = mu pi d^2 l p / 2 at the surest pressure.
    Returns: force in N and torque in N m, both None where nothing is claimed to hold.
    """
    seat, length = mm(case.seat_nm), mm(case.joint.boss_length_nm)
    if case.is_bond:
        compound = case.joint.compound
        if compound.shear_mpa is None or answer is Answer.NOT:
            return None, None
        force = bond.bond_force_n(compound.shear_mpa, seat, length, compound.reductions, compound.safety)
        return force, bond.bond_torque_nm(force, seat)
    if stress is None:
        return None, None
    grip = (stress.sure_pressure, seat, length, table()[case.joint.kind.value]["friction"])
    return interference.axial_force_n(*grip), interference.torque_nm(*grip)
