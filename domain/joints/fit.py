"""A bore against its seat: does it serve the fit that is wanted, and if not, what helps with least work?

Lengths are whole nanometres on the diameter. A clearance is bore less seat; an interference is a clearance
below zero. Everything others need of a fit is imported from here; the other fit modules are its inside.
"""

from collections.abc import Sequence

from domain.joints.fit_case import Case
from domain.joints.fit_cautions import cautions_for
from domain.joints.fit_checks import check, known_iron
from domain.joints.fit_figures import default_range
from domain.joints.fit_judging import find, grip_of, stress_of
from domain.joints.fit_remedies import remedies_for
from domain.joints.fit_types import Answer, FitError, FitKind, FitVerdict, Joint, OtherSeat, Remedy
from domain.joints.fit_words import headline, reason
from domain.joints.fit_workings import workings_for
from domain.joints.iso286 import hole_class, shaft_class
from domain.lengths import Unit

__all__ = [
    "Answer",
    "FitError",
    "FitKind",
    "FitVerdict",
    "Joint",
    "OtherSeat",
    "Remedy",
    "default_range",
    "judge_fit",
]


def judge_fit(
    joint: Joint,
    bore_nm: int,
    seat_nm: int,
    unit: Unit,
    other_seats: Sequence[OtherSeat] = (),
    spread_nm: int = 0,
) -> FitVerdict:
    """Say whether a bore on a seat serves the joint, why, and what to do if it does not.

    Formula: clearance = bore - seat. A bond serves from least to most, with care up to the compound's limit.
    A press or shrink fit serves from least to most of interference while factor = strength / hoop stress
    (Lame) is 3 or more; with care down to the factor wanted, and above most; never below that factor. A size
    on a limit is inside it.
    bore_nm, seat_nm: measured (or drawn) diameters, nm, above 0 and below the boss's diameter.
    unit: the system to show first.
    other_seats: seats this casting could be tried on instead, sizes in nm.
    spread_nm: most less least of the bore's readings, nm, 0 or more.
    Returns: the verdict; stress in MPa for the stiffest the iron may be, against the least strength it may
    have; force in N and torque in N m for the softest.
    Raises: FitError when a size is not above zero or not below the boss, the range is out of order, or the
    iron is unknown.
    Source: Lame, Shigley 9th ed., eqs 7-39 to 7-47; factor 2 is a classroom figure, not a standard; gaps from
    memory, verify.

    >>> seat, boss, length = 19_050_000, 32_000_000, 14_000_000
    >>> joint = Joint(FitKind.BOND, seat, seat, boss, length, 20_000, 50_000, "en-gjl-250")
    >>> judge_fit(joint, 19_080_000, seat, Unit.MM).headline
    'Clearance 0.030 mm (0.0012 in): serves the bond'
    """
    check(joint, bore_nm, seat_nm, other_seats, spread_nm)
    case = Case(joint, known_iron(joint.iron_key), bore_nm, seat_nm, unit)
    stress = stress_of(case)
    finding = find(case, stress)
    answer = finding.answer
    force, torque = grip_of(case, stress, answer)
    remedies = tuple(remedies_for(case, finding, other_seats))
    classes = hole_class(joint.nominal_bore_nm, bore_nm), shaft_class(joint.nominal_seat_nm, seat_nm)
    return FitVerdict(
        answer=answer,
        headline=headline(case, finding),
        reason=reason(case, finding, stress),
        clearance_nm=case.clearance_nm,
        bore_class=classes[0],
        seat_class=classes[1],
        pressure_mpa=stress.pressure if stress else None,
        hoop_mpa=stress.hoop if stress else None,
        strength_mpa=stress.strength if stress else None,
        factor=stress.factor if stress else None,
        axial_force_n=force,
        torque_nm=torque,
        remedies=remedies,
        cautions=tuple(cautions_for(case, remedies, spread_nm)),
        workings=tuple(workings_for(case, stress, force, torque, classes)),
    )
