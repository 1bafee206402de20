"""A forced joint at the measured sizes and at the corners of everything that is not known of it.

Why corners are enough: pressure and hoop stress rise with interference and with the iron's stiffness, the factor
falls with them and rises with strength, and force and torque rise with pressure and friction. Each figure is
monotone in each doubt, so its extremes over the whole box of doubts lie at corners of the box.

Seat, boss and length are taken as they are: a few micrometres in them move the pressure by parts in a thousand.
"""

import math

from domain.joints import interference
from domain.joints.fit_case import mm
from domain.joints.forced_types import ForcedJoint, State
from domain.joints.roughness import effective_interference_nm
from domain.lengths import NM_PER_MM


def state_at(joint: ForcedJoint, name: str, effective_nm: int, young_gpa: float, friction: float) -> State:
    """The joint with its doubtful figures at these values.

    Formula: Lame; factor = tensile strength / hoop stress; F = mu pi d l p; T = mu pi d^2 l p / 2
    effective_nm: interference left after smoothing, nm, 0 or more.
    young_gpa: the iron's E, GPa, above 0. friction: coefficient, 0 or more.
    Returns: stresses in MPa, force in N, torque in N m.
    Raises: ValueError on a figure outside its limits.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.
    """
    seat, boss, length = mm(joint.seat_nm), mm(joint.boss_nm), mm(joint.length_nm)
    pressure = interference.pressure_mpa(
        seat,
        boss,
        mm(effective_nm),
        young_gpa,
        joint.iron.poisson,
        joint.steel.young_gpa,
        joint.steel.poisson,
    )
    hoop = interference.hoop_stress_mpa(pressure, seat, boss)
    return State(
        name,
        effective_nm,
        young_gpa,
        friction,
        pressure,
        hoop,
        joint.iron.tensile_low_mpa / hoop if hoop > 0 else None,
        joint.iron.tensile_high_mpa / hoop if hoop > 0 else None,
        interference.axial_force_n(pressure, seat, length, friction),
        interference.torque_nm(pressure, seat, length, friction),
    )


def nominal_state(joint: ForcedJoint, interference_nm: int) -> State:
    """The joint as measured: smoothed, with the middle of the iron's stiffness and of the friction.

    interference_nm: seat less bore, nm; below zero for a clearance.
    Returns: stresses in MPa, force in N, torque in N m.
    Source: as state_at; smoothing by the joint's edition of DIN 7190.
    """
    left = effective_interference_nm(interference_nm, joint.roughness, joint.edition)
    young = (joint.iron.young_low_gpa + joint.iron.young_high_gpa) / 2
    return state_at(joint, "as measured", left, young, joint.friction.middle)


def most_strained_state(joint: ForcedJoint, interference_nm: int, uncertainty_nm: int) -> State:
    """The corner that strains the boss and the press most.

    Formula: delta + U, nothing smoothed away, the stiffest iron, the most friction.
    No smoothing is counted: peaks that happen not to flatten must not crack a boss that was called safe.
    interference_nm: nm; uncertainty_nm: expanded (k = 2) uncertainty of the interference, nm, 0 or more.
    Returns: stresses in MPa, force in N, torque in N m.
    Source: as state_at.
    """
    most = max(0, interference_nm + uncertainty_nm)
    return state_at(joint, "most strained", most, joint.iron.young_high_gpa, joint.friction.most)


def least_grip_state(joint: ForcedJoint, interference_nm: int, uncertainty_nm: int) -> State:
    """The corner that grips least.

    Formula: delta - U, smoothed, the softest iron, the least friction.
    interference_nm: nm; uncertainty_nm: expanded (k = 2) uncertainty of the interference, nm, 0 or more.
    Returns: stresses in MPa, force in N, torque in N m.
    Source: as state_at; smoothing by the joint's edition of DIN 7190.
    """
    left = effective_interference_nm(interference_nm - uncertainty_nm, joint.roughness, joint.edition)
    return state_at(joint, "least grip", left, joint.iron.young_low_gpa, joint.friction.least)


def safe_interference_nm(joint: ForcedJoint, uncertainty_nm: int = 0) -> int | None:
    """The greatest measured interference that keeps the factor wanted at the most strained corner.

    Formula: delta = interference at a hoop stress of (least strength / factor wanted), less U
    uncertainty_nm: expanded (k = 2) uncertainty of the interference, nm, 0 or more.
    Returns: nm on the diameter; None when the uncertainty alone is more than the boss takes.
    Source: Lame turned round, Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.

    >>> from domain.joints.fit_types import FitKind
    >>> from domain.joints.friction import friction
    >>> from domain.joints.materials import iron
    >>> oiled, gjl = friction(FitKind.PRESS, "oiled"), iron("en-gjl-250")
    >>> joint = ForcedJoint(FitKind.PRESS, 15_000_000, 32_000_000, 14_000_000, gjl, oiled)
    >>> safe_interference_nm(joint), safe_interference_nm(joint, 4_000), safe_interference_nm(joint, 30_000)
    (22529, 18529, None)
    """
    highest = interference.interference_at_hoop_mm(
        joint.iron.tensile_low_mpa / joint.factor_wanted,
        mm(joint.seat_nm),
        mm(joint.boss_nm),
        joint.iron.young_high_gpa,
        joint.iron.poisson,
        joint.steel.young_gpa,
        joint.steel.poisson,
    )
    # One nanometre inside, so that rounding cannot put the factor a hair under the one wanted.
    safe = math.floor(highest * NM_PER_MM) - 1 - uncertainty_nm
    return safe if safe >= 0 else None


def heat_to_c(joint: ForcedJoint, interference_nm: int, uncertainty_nm: int) -> float:
    """How hot the wheel must be to slip on, with the axle at room temperature.

    Formula: t = room + (delta + U + assembly clearance) / (alpha d)
    No smoothing is counted: the peaks have to pass before they can flatten.
    interference_nm: nm; uncertainty_nm: expanded (k = 2) uncertainty of the interference, nm, 0 or more.
    Returns: degrees C; the room's own when nothing has to be opened.
    Raises: ValueError on a figure outside its limits.
    Source: thermal expansion; Shigley's Mechanical Engineering Design, 9th ed., section 7-8.

    >>> from domain.joints.fit_types import FitKind
    >>> from domain.joints.friction import friction
    >>> from domain.joints.materials import iron
    >>> dry, gjl = friction(FitKind.SHRINK, "degreased"), iron("en-gjl-250")
    >>> joint = ForcedJoint(FitKind.SHRINK, 15_000_000, 32_000_000, 14_000_000, gjl, dry, assembly_clearance_nm=15_000)
    >>> round(heat_to_c(joint, 10_000, 0), 1)
    178.7
    """
    most, room = mm(max(0, interference_nm + uncertainty_nm)), mm(joint.assembly_clearance_nm)
    return joint.room_c + interference.heating_k(most, room, joint.iron.alpha_per_k, mm(joint.seat_nm))
