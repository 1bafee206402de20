"""The full report on a press or shrink fit: strain, press, grip and heat, as measured and at the worst corners.

Laws that hold, each of them tested: more interference gives more pressure and more hoop stress, in proportion; at
a given interference a wider boss is gripped harder (more pressure) yet strained less (less hoop stress at the
bore), since hoop = delta k / (a (k + nuh) + b) rises with k = (D^2 + d^2)/(D^2 - d^2), which falls as D grows;
pressure runs continuously to zero as the interference does.
"""

from domain.joints.fit_figures import table
from domain.joints.fit_types import FitKind
from domain.joints.forced_checks import check_forced
from domain.joints.forced_corners import (
    heat_to_c,
    least_grip_state,
    most_strained_state,
    nominal_state,
    safe_interference_nm,
)
from domain.joints.forced_types import ForcedFinding, ForcedJoint, ForcedReport, State
from domain.joints.forced_words import cautions, headline, reason
from domain.joints.forced_workings import workings
from domain.lengths import Unit

__all__ = ["ForcedFinding", "ForcedJoint", "ForcedReport", "State", "report_forced", "safe_interference_nm"]


def report_forced(
    joint: ForcedJoint, interference_nm: int, uncertainty_nm: int = 0, unit: Unit = Unit.MM
) -> ForcedReport:
    """Everything that forcing this seat into this boss does, as measured and at the worst corners.

    Formula: Lame. Strain: delta + U, nothing smoothed, stiffest iron, least strength. Grip: delta - U, smoothed
    by k (RzA + RzI), softest iron, least friction. Pressing force: the strain corner at the most friction.
    Not called safe below the factor wanted, nor where nothing may be left to grip as measured; where only U
    takes the grip away it cannot be told. With care below a factor of 3, above the interference wanted, or
    where the press may not be strong enough.
    interference_nm: seat less bore as measured, nm; below zero for a clearance.
    uncertainty_nm: its expanded (k = 2) uncertainty, nm, 0 or more.
    unit: the system to show first.
    Returns: the report; MPa, N, N m, degrees C, nm.
    Raises: FitError on a joint that cannot be, such as a seat not below the boss or a strength of zero.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47; DIN 7190 (smoothing); factor
    2 is a classroom figure, not a standard.

    >>> from domain.joints.friction import friction
    >>> from domain.joints.materials import iron
    >>> oiled, gjl = friction(FitKind.PRESS, "oiled"), iron("en-gjl-250")
    >>> joint = ForcedJoint(FitKind.PRESS, 15_000_000, 32_000_000, 14_000_000, gjl, oiled)
    >>> report = report_forced(joint, 10_000, 4_000)
    >>> report.answer, round(report.pressing_force_n), round(report.torque_nm, 2)
    (<Answer.SERVES: 'serves'>, 1967, 4.7)
    """
    check_forced(joint, uncertainty_nm)
    nominal = nominal_state(joint, interference_nm)
    strained = most_strained_state(joint, interference_nm, uncertainty_nm)
    grip = least_grip_state(joint, interference_nm, uncertainty_nm)
    is_press = joint.kind is FitKind.PRESS
    heat = None if is_press else heat_to_c(joint, interference_nm, uncertainty_nm)
    safe = safe_interference_nm(joint, uncertainty_nm)
    enough = _press_is_enough(joint, strained)
    measured = least_grip_state(joint, interference_nm, 0)
    finding = _find(joint, interference_nm, strained, grip, measured, enough)
    held = measured if finding is ForcedFinding.CANNOT_TELL else grip
    return ForcedReport(
        finding=finding,
        headline=headline(joint, finding, interference_nm, unit),
        reason=reason(joint, finding, strained, safe, unit, (interference_nm, uncertainty_nm)),
        nominal=nominal,
        most_strained=strained,
        least_grip=grip,
        factor=strained.factor_low,
        pressing_force_n=strained.axial_n if is_press else None,
        press_is_enough=enough,
        axial_n=grip.axial_n,
        torque_nm=grip.torque_nm,
        heat_to_c=heat,
        safe_interference_nm=safe,
        cautions=tuple(cautions(joint, strained, heat, enough)),
        workings=tuple(
            workings(
                joint, interference_nm, uncertainty_nm, (nominal, strained, grip, held), heat, safe, unit
            )
        ),
        axial_measured_n=measured.axial_n,
        torque_measured_nm=measured.torque_nm,
    )


def _press_is_enough(joint: ForcedJoint, strained: State) -> bool | None:
    if joint.kind is not FitKind.PRESS or joint.press_capacity_n is None:
        return None
    return strained.axial_n <= joint.press_capacity_n


def _find(
    joint: ForcedJoint,
    interference_nm: int,
    strained: State,
    grip: State,
    measured: State,
    enough: bool | None,
) -> ForcedFinding:
    """What judging comes to, in the order the bench needs it: what never serves first, then what needs care."""
    factor = strained.factor_low
    if interference_nm <= 0:
        return ForcedFinding.NO_GRIP
    if factor is not None and factor < joint.factor_wanted:
        return ForcedFinding.CRACKS
    if measured.interference_nm <= 0:
        return ForcedFinding.UNSURE_GRIP
    if joint.wanted_nm and interference_nm < joint.wanted_nm[0]:
        return ForcedFinding.LOOSE
    if grip.interference_nm <= 0:
        return ForcedFinding.CANNOT_TELL
    if joint.wanted_nm and interference_nm > joint.wanted_nm[1]:
        return ForcedFinding.TIGHT
    if enough is False:
        return ForcedFinding.WEAK_PRESS
    careful = table()["factor"]["caution_below"]
    return ForcedFinding.STRAINED if factor is not None and factor < careful else ForcedFinding.GOOD
