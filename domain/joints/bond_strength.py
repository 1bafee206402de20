"""What a bonded joint can be relied on for: the data sheet's shear strength, less each reduction, one by one."""

import math

from domain.joints.bond import GapFit, GapRange, bond_force_n, bond_torque_nm, judge_gap
from domain.joints.bond_types import BondedJoint, BondReport, BondSheet, Reduction, placeholder_reductions
from domain.joints.bond_words import bond_reasons, bond_workings, gap_working
from domain.joints.fit_case import mm
from domain.joints.fit_types import Answer, FitError
from domain.lengths import Unit, show_in

__all__ = [
    "BondReport",
    "BondSheet",
    "BondedJoint",
    "Reduction",
    "check_gap_range",
    "placeholder_reductions",
    "report_bond",
]

# From the best to the worst.
_ANSWERS = {
    GapFit.BEST: Answer.SERVES,
    GapFit.WIDE: Answer.CAUTION,
    GapFit.TOO_SMALL: Answer.NOT,
    GapFit.TOO_WIDE: Answer.NOT,
}
_WORSE = (Answer.SERVES, Answer.CAUTION, Answer.NOT)


def check_gap_range(gap: GapRange) -> None:
    """Refuse a gap range that is upside down.

    gap: nm on the diameter. Raises: FitError, one sentence with an example.

    >>> check_gap_range(GapRange(50_000, 20_000, 100_000, "typed"))
    Traceback (most recent call last):
    ...
    domain.joints.fit_types.FitError: The gap range is upside down: the least, 0.050 mm, is above the most, 0.020 mm; \
such as 0.02 to 0.05 mm, filling up to 0.10 mm.
    """
    example = "such as 0.02 to 0.05 mm, filling up to 0.10 mm"
    least, most, limit = (show_in(end, Unit.MM) for end in (gap.least_nm, gap.most_nm, gap.limit_nm))
    if gap.least_nm <= 0:
        raise FitError(f"The least gap, {least}, must be above zero, {example}.")
    if gap.most_nm < gap.least_nm:
        raise FitError(
            f"The gap range is upside down: the least, {least}, is above the most, {most}; {example}."
        )
    if gap.limit_nm < gap.most_nm:
        raise FitError(
            f"The gap range is upside down: the most, {most}, is above what it can fill, {limit}; {example}."
        )


def report_bond(joint: BondedJoint, gap_nm: int, uncertainty_nm: int = 0, unit: Unit = Unit.MM) -> BondReport:
    """What a bonded joint holds, with each reduction shown, and whether its gap and its heat serve.

    Formula: F = shear x pi d l x product of reductions / safety; T = F d / 2. A gap that does not serve as measured,
    or a joint running hotter than the compound serves, does not serve. One that serves as measured serves with
    care where gap - U or gap + U is worse: where nothing is claimed there, it cannot be told.
    joint: see BondedJoint for units.
    gap_nm: bore less seat as measured, nm; below zero when they interfere.
    uncertainty_nm: its expanded (k = 2) uncertainty, nm, 0 or more.
    unit: the system to show first.
    Returns: the report; MPa, N, N m.
    Raises: FitError on a size, strength, reduction or range outside its limits.
    Source: shear stress times area; strength by ASTM D4562 or ISO 10123, which does not predict service.

    >>> sheet = BondSheet(25.0, reductions=(Reduction("gap", "for the gap", 0.8, "data sheet"),))
    >>> report = report_bond(BondedJoint(15_000_000, 14_000_000, sheet), 30_000)
    >>> report.answer, round(report.force_n, 1), round(report.torque_nm, 2)
    (<Answer.SERVES: 'serves'>, 6597.3, 49.48)
    """
    sheet = joint.sheet
    _check(joint, uncertainty_nm)
    fits = tuple(judge_gap(gap_nm + off, sheet.gap) for off in (0, -uncertainty_nm, uncertainty_nm))
    measured, worst = _ANSWERS[fits[0]], max((_ANSWERS[one] for one in fits), key=_WORSE.index)
    answer = measured if worst is measured else Answer.CAUTION
    if Answer.NOT is measured or joint.hottest_c > sheet.service_limit_c:
        answer = Answer.NOT
    steps = _steps(sheet)
    force, torque = _held(joint)
    return BondReport(
        answer=answer,
        gap_fit=fits[0],
        shear_mpa=steps[-1][1] if steps else sheet.shear_mpa,
        steps=steps,
        force_n=0.0 if answer is Answer.NOT else force,
        torque_nm=0.0 if answer is Answer.NOT else torque,
        reasons=tuple(bond_reasons(joint, gap_nm, uncertainty_nm, fits, unit)),
        workings=(
            gap_working(joint, gap_nm, uncertainty_nm, fits, unit),
            *bond_workings(joint, steps, force, torque),
        ),
        cannot_tell=answer is Answer.CAUTION and worst is Answer.NOT,
    )


def _check(joint: BondedJoint, uncertainty_nm: int) -> None:
    check_gap_range(joint.sheet.gap)
    if uncertainty_nm < 0:
        raise FitError("The uncertainty must be zero or more, such as 0.004 mm.")
    for name, degrees in (
        ("hottest running temperature", joint.hottest_c),
        ("compound's service temperature", joint.sheet.service_limit_c),
    ):
        if not math.isfinite(degrees):
            raise FitError(f"The {name} must be a number in degrees C, such as 60.")


def _steps(sheet: BondSheet) -> tuple[tuple[Reduction, float], ...]:
    left, steps = sheet.shear_mpa, []
    for one in sheet.reductions:
        left *= one.factor
        steps.append((one, left))
    return tuple(steps)


def _held(joint: BondedJoint) -> tuple[float, float]:
    sheet, seat = joint.sheet, mm(joint.seat_nm)
    factors = [one.factor for one in sheet.reductions]
    try:
        force = bond_force_n(sheet.shear_mpa, seat, mm(joint.length_nm), factors, sheet.safety)
    except ValueError as error:
        raise FitError(str(error)) from error
    return force, bond_torque_nm(force, seat)
