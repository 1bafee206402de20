"""What holds a seat in its bore: a forced joint at the corners of what is not known, and a bonded one at its gap.

Figures only: `words` says them, `workings` shows how they came about.

Why corners are enough: pressure and hoop stress rise with interference and with the iron's stiffness, the factor
falls with them and rises with strength, and force and torque rise with pressure and friction. Each figure is
monotone in each doubt, so its extremes over the whole box of doubts lie at corners of the box.
Seat, boss and length are taken as they are: a few micrometres in them move the pressure by parts in a thousand.

Laws that hold, each of them tested: more interference gives more pressure and more hoop stress, in proportion; at
a given interference a wider boss is gripped harder (more pressure) yet strained less (less hoop stress at the
bore), since hoop = delta k / (a (k + nuh) + b) rises with k = (D^2 + d^2)/(D^2 - d^2), which falls as D grows;
pressure runs continuously to zero as the interference does.
"""

import math
from dataclasses import dataclass

from domain.answer import Answer, worst
from domain.joints import interference
from domain.joints.bond import GapFit, bond_force_n, bond_torque_nm, judge_gap
from domain.joints.kinds import FitError, FitKind, Kind
from domain.joints.materials import Iron, Steel
from domain.joints.roughness import effective_interference_nm, smoothing_nm
from domain.joints.terms import (
    BondedJoint,
    ForcedJoint,
    HeldBy,
    Reduction,
    check_bonded,
    check_forced,
    mm,
    table,
)
from domain.lengths import NM_PER_MM

GAP_KINDS = {
    GapFit.TOO_SMALL: Kind.WIPED,
    GapFit.BEST: Kind.GOOD,
    GapFit.WIDE: Kind.WIDE,
    GapFit.TOO_WIDE: Kind.TOO_WIDE,
}


@dataclass(frozen=True)
class JointState:
    """A forced joint with every doubtful figure at one value.

    interference_nm: what is left after smoothing, nm. Stresses in MPa, E in GPa, force in N, torque in N m.
    factor_low, factor_high: against the bottom and the top of the iron's tensile range; None without stress.
    """

    name: str
    interference_nm: int
    young_gpa: float
    friction: float
    pressure_mpa: float
    hoop_mpa: float
    factor_low: float | None
    factor_high: float | None
    axial_n: float
    torque_nm: float


@dataclass(frozen=True)
class Forced:
    """What a forced joint does at the sizes as measured and at the worst corners of what is not known.

    interference_nm, uncertainty_nm: seat less bore as measured, and its U, nm. nominal: in the middle of all doubts;
    most_strained: most interference, stiffest iron, most friction; least_grip: the other way round; measured: the
    least grip with U left out. heat_to_c: degrees C; None for press. press_is_enough: None when it is not known.
    safe_interference_nm: the greatest measured interference that keeps the factor wanted whatever the uncertainty
    hides, nm; None when the uncertainty alone is too much.
    """

    joint: ForcedJoint
    interference_nm: int
    uncertainty_nm: int
    kind: Kind
    nominal: JointState
    most_strained: JointState
    least_grip: JointState
    measured: JointState
    heat_to_c: float | None
    press_is_enough: bool | None
    safe_interference_nm: int | None

    @property
    def factor(self) -> float | None:
        """Least strength over greatest hoop stress; None when nothing can be strained."""
        return self.most_strained.factor_low

    @property
    def good_interference_nm(self) -> int | None:
        """The greatest measured interference that wants no care against cracking, nm; None where there is none."""
        joint, careful = self.joint, careful_factor()
        if self.safe_interference_nm is None or joint.factor_wanted >= careful:
            return None
        stood = stood_interference_nm(
            joint.seat_nm, joint.boss_nm, joint.iron, joint.steel, careful, joint.axle_bore_nm
        )
        return stood - self.uncertainty_nm if stood > self.uncertainty_nm else None

    @property
    def pressing_force_n(self) -> float | None:
        """The greatest force that pressing takes, N; None for shrink."""
        return self.most_strained.axial_n if self.joint.kind is FitKind.PRESS else None

    @property
    def counted(self) -> JointState:
        """The corner whose grip is counted on: where U alone takes the grip away, that of the sizes as measured."""
        return self.measured if self.kind is Kind.GRIP_NOT_TOLD else self.least_grip

    @property
    def counted_nm(self) -> float:
        """The torque counted on, N m."""
        return self.counted.torque_nm

    @property
    def counted_n(self) -> float:
        """The push along the axle counted on, N."""
        return self.counted.axial_n

    @property
    def as_measured_nm(self) -> float:
        """The torque held at the sizes as measured, U left out, N m."""
        return self.measured.torque_nm


@dataclass(frozen=True)
class Bonded:
    """What a bond can be relied on for.

    gap_nm, uncertainty_nm: bore less seat as measured, and its U, nm. fits: of the gap as measured, less U, and with U.
    steps: each reduction with the strength left after it, MPa. full_force_n: after safety, at the gap as measured,
    whether it serves or not, N.
    """

    joint: BondedJoint
    gap_nm: int
    uncertainty_nm: int
    kind: Kind
    fits: tuple[GapFit, GapFit, GapFit]
    steps: tuple[tuple[Reduction, float], ...]
    full_force_n: float

    @property
    def shear_mpa(self) -> float:
        """The strength left after every reduction, before safety, MPa."""
        return self.steps[-1][1] if self.steps else self.joint.sheet.shear_mpa

    @property
    def full_torque_nm(self) -> float:
        """The torque of the full force, N m."""
        return bond_torque_nm(self.full_force_n, mm(self.joint.seat_nm))

    @property
    def counted_n(self) -> float:
        """The push counted on, N; nothing where the bond does not serve."""
        return self.full_force_n if self.kind.answer is not Answer.NOT else 0.0

    @property
    def counted_nm(self) -> float:
        """The torque counted on, N m; nothing where the bond does not serve."""
        return self.full_torque_nm if self.kind.answer is not Answer.NOT else 0.0

    @property
    def as_measured_nm(self) -> float:
        """The same: U takes nothing off a bond but its answer."""
        return self.counted_nm


def state_at(
    joint: ForcedJoint, name: str, effective_nm: int, young_gpa: float, friction: float
) -> JointState:
    """The joint with its doubtful figures at these values.

    Formula: Lame; factor = tensile strength / hoop stress; F = mu pi d l p; T = mu pi d^2 l p / 2
    effective_nm: interference left after smoothing, nm, 0 or more.
    young_gpa: the iron's E, GPa, above 0. friction: coefficient, 0 or more.
    Returns: stresses in MPa, force in N, torque in N m.
    Raises: ValueError on a figure outside its limits.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.
    """
    seat, boss, length = mm(joint.seat_nm), mm(joint.boss_nm), mm(joint.length_nm)
    steel = joint.steel.young_gpa, joint.steel.poisson, mm(joint.axle_bore_nm)
    pressure = interference.pressure_mpa(seat, boss, mm(effective_nm), young_gpa, joint.iron.poisson, *steel)
    hoop = interference.hoop_stress_mpa(pressure, seat, boss)
    return JointState(
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


def _least_grip(joint: ForcedJoint, interference_nm: int) -> JointState:
    """Smoothed, the softest iron, the least friction."""
    left = effective_interference_nm(interference_nm, joint.roughness, joint.edition)
    return state_at(joint, "least grip", left, joint.iron.young_low_gpa, joint.friction.least)


def stood_interference_nm(
    seat_nm: int, boss_nm: int, iron: Iron, steel: Steel, factor: float, axle_bore_nm: int = 0
) -> int:
    """The most interference at which a boss keeps a factor against cracking, in whole nm on the safe side.

    Formula: Lame turned round for the interference at which hoop stress = least tensile strength / factor, with the
    stiffest the iron may be.
    seat_nm, boss_nm: nm, 0 < seat < boss; factor: above 0; axle_bore_nm: the hole through the axle, nm, below the seat.
    Returns: nm on the diameter; below zero where not even a nanometre is safe.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.
    """
    highest = interference.interference_at_hoop_mm(
        iron.tensile_low_mpa / factor,
        mm(seat_nm),
        mm(boss_nm),
        iron.young_high_gpa,
        iron.poisson,
        steel.young_gpa,
        steel.poisson,
        mm(axle_bore_nm),
    )
    # One nanometre inside, so that rounding cannot put the factor a hair under the one wanted.
    return math.floor(highest * NM_PER_MM) - 1


def safe_interference_nm(joint: ForcedJoint, uncertainty_nm: int = 0) -> int | None:
    """The greatest measured interference that keeps the factor wanted at the most strained corner.

    Formula: delta = interference at a hoop stress of (least strength / factor wanted), less U
    uncertainty_nm: expanded (k = 2) uncertainty of the interference, nm, 0 or more.
    Returns: nm on the diameter; None when the uncertainty alone is more than the boss takes.
    Source: as `stood_interference_nm`.

    >>> from domain.joints.friction import friction
    >>> from domain.joints.materials import iron
    >>> oiled, gjl = friction(FitKind.PRESS, "oiled"), iron("en-gjl-250")
    >>> joint = ForcedJoint(FitKind.PRESS, 15_000_000, 32_000_000, 14_000_000, gjl, oiled)
    >>> safe_interference_nm(joint), safe_interference_nm(joint, 4_000), safe_interference_nm(joint, 30_000)
    (22529, 18529, None)
    """
    stood = stood_interference_nm(
        joint.seat_nm, joint.boss_nm, joint.iron, joint.steel, joint.factor_wanted, joint.axle_bore_nm
    )
    return stood - uncertainty_nm if stood >= uncertainty_nm else None


def gripping_interference_nm(joint: ForcedJoint, torque_nm: float) -> int:
    """The least interference that holds a torque once it is smoothed, with the softest iron and the least friction.

    Formula: delta = smoothing + torque / (torque held by each unit of interference left)
    torque_nm: N m, 0 or more.
    Returns: nm on the diameter, above 0, rounded up.
    Source: as `state_at`; Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47; DIN 7190 (smoothing).

    >>> from domain.joints.friction import friction
    >>> from domain.joints.materials import iron
    >>> oiled, gjl = friction(FitKind.PRESS, "oiled"), iron("en-gjl-250")
    >>> joint = ForcedJoint(FitKind.PRESS, 15_000_000, 32_000_000, 14_000_000, gjl, oiled)
    >>> gripping_interference_nm(joint, 4.7)
    5996
    """
    per_mm = state_at(joint, "one", NM_PER_MM, joint.iron.young_low_gpa, joint.friction.least).torque_nm
    return smoothing_nm(joint.roughness, joint.edition) + math.ceil(torque_nm / per_mm * NM_PER_MM) + 1


def heat_to_c(joint: ForcedJoint, interference_nm: int, uncertainty_nm: int) -> float:
    """How hot the wheel must be to slip on, with the axle at room temperature.

    Formula: t = room + (delta + U + assembly clearance) / (alpha d)
    No smoothing is counted: the peaks have to pass before they can flatten.
    interference_nm: nm; uncertainty_nm: expanded (k = 2) uncertainty of the interference, nm, 0 or more.
    Returns: degrees C; the room's own when nothing has to be opened.
    Raises: ValueError on a figure outside its limits.
    Source: thermal expansion; Shigley's Mechanical Engineering Design, 9th ed., section 7-8.

    >>> from domain.joints.friction import friction
    >>> from domain.joints.materials import iron
    >>> dry, gjl = friction(FitKind.SHRINK, "degreased"), iron("en-gjl-250")
    >>> joint = ForcedJoint(FitKind.SHRINK, 15_000_000, 32_000_000, 14_000_000, gjl, dry, assembly_clearance_nm=15_000)
    >>> round(heat_to_c(joint, 10_000, 0), 1)
    178.7
    """
    most, room = mm(max(0, interference_nm + uncertainty_nm)), mm(joint.assembly_clearance_nm)
    return joint.room_c + interference.heating_k(most, room, joint.iron.alpha_per_k, mm(joint.seat_nm))


def force(joint: ForcedJoint, interference_nm: int, uncertainty_nm: int = 0) -> Forced:
    """Everything that forcing this seat into this boss does, as measured and at the worst corners.

    Formula: Lame. Strain: delta + U, nothing smoothed, stiffest iron, least strength: peaks that happen not to flatten
    must not crack a boss that was called safe. Grip: delta - U, smoothed by k (RzA + RzI), softest iron, least friction.
    Pressing force: the strain corner at the most friction.
    Not called safe below the factor wanted, nor where nothing may be left to grip as measured; where only U
    takes the grip away it cannot be told. With care below a factor of 3, above the interference wanted, or
    where the press may not be strong enough.
    interference_nm: seat less bore as measured, nm; below zero for a clearance.
    uncertainty_nm: its expanded (k = 2) uncertainty, nm, 0 or more.
    Returns: MPa, N, N m, degrees C, nm.
    Raises: FitError on a joint that cannot be, such as a seat not below the boss or a strength of zero.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47; DIN 7190 (smoothing); factor
    2 is a classroom figure, not a standard.

    >>> from domain.joints.friction import friction
    >>> from domain.joints.materials import iron
    >>> oiled, gjl = friction(FitKind.PRESS, "oiled"), iron("en-gjl-250")
    >>> joint = ForcedJoint(FitKind.PRESS, 15_000_000, 32_000_000, 14_000_000, gjl, oiled)
    >>> found = force(joint, 10_000, 4_000)
    >>> found.kind, round(found.most_strained.axial_n), round(found.least_grip.torque_nm, 2)
    (<Kind.GOOD: 'good'>, 1967, 4.7)
    """
    check_forced(joint, uncertainty_nm)
    one, most = joint.iron, max(0, interference_nm + uncertainty_nm)
    strained = state_at(joint, "most strained", most, one.young_high_gpa, joint.friction.most)
    grip, measured = _least_grip(joint, interference_nm - uncertainty_nm), _least_grip(joint, interference_nm)
    press = joint.kind is FitKind.PRESS
    enough = None
    if press and joint.press_capacity_n is not None:
        enough = strained.axial_n <= joint.press_capacity_n
    left = effective_interference_nm(interference_nm, joint.roughness, joint.edition)
    middle = (one.young_low_gpa + one.young_high_gpa) / 2
    return Forced(
        joint,
        interference_nm,
        uncertainty_nm,
        _forced_kind(joint, interference_nm, strained, grip, measured, enough),
        state_at(joint, "as measured", left, middle, joint.friction.middle),
        strained,
        grip,
        measured,
        None if press else heat_to_c(joint, interference_nm, uncertainty_nm),
        enough,
        safe_interference_nm(joint, uncertainty_nm),
    )


def _forced_kind(
    joint: ForcedJoint,
    interference_nm: int,
    strained: JointState,
    grip: JointState,
    measured: JointState,
    enough: bool | None,
) -> Kind:
    """What it comes to, in the order the bench needs it: what never serves first, then what needs care."""
    factor, wanted = strained.factor_low, joint.wanted_nm
    if interference_nm <= 0:
        return Kind.NO_GRIP
    if factor is not None and factor < joint.factor_wanted:
        return Kind.CRACKS
    if measured.interference_nm <= 0:
        return Kind.MAY_NOT_GRIP
    if wanted and interference_nm < wanted[0]:
        return Kind.LOOSE
    if grip.interference_nm <= 0:
        return Kind.GRIP_NOT_TOLD
    if wanted and interference_nm > wanted[1]:
        return Kind.TIGHT
    if enough is False:
        return Kind.WEAK_PRESS
    return Kind.STRAINED if factor is not None and factor < careful_factor() else Kind.GOOD


def careful_factor() -> float:
    """The factor against cracking below which a boss that is safe is still to be fitted with care."""
    return float(table()["factor"]["caution_below"])


def glue(joint: BondedJoint, gap_nm: int, uncertainty_nm: int = 0) -> Bonded:
    """What a bonded joint holds, with each reduction shown, and whether its gap and its heat serve.

    Formula: F = shear x pi d l x product of reductions / safety; T = F d / 2. A gap that does not serve as measured,
    or a joint running hotter than the compound serves, does not serve. One that serves as measured serves with
    care where gap - U or gap + U is worse: where nothing is claimed there, it cannot be told.
    joint: see BondedJoint for units.
    gap_nm: bore less seat as measured, nm; below zero when they interfere.
    uncertainty_nm: its expanded (k = 2) uncertainty, nm, 0 or more.
    Returns: MPa, N, N m.
    Raises: FitError on a size, strength, reduction or range outside its limits.
    Source: shear stress times area; strength by ASTM D4562 or ISO 10123, which does not predict service.

    >>> from domain.joints.terms import BondSheet
    >>> sheet = BondSheet(25.0, reductions=(Reduction("gap", "for the gap", 0.8, "data sheet"),))
    >>> found = glue(BondedJoint(15_000_000, 14_000_000, sheet), 30_000)
    >>> found.kind, round(found.counted_n, 1), round(found.counted_nm, 2)
    (<Kind.GOOD: 'good'>, 6597.3, 49.48)
    """
    check_bonded(joint, uncertainty_nm)
    sheet, left, steps = joint.sheet, joint.sheet.shear_mpa, []
    for one in sheet.reductions:
        left *= one.factor
        steps.append((one, left))
    factors = [one.factor for one in sheet.reductions]
    try:
        held = bond_force_n(sheet.shear_mpa, mm(joint.seat_nm), mm(joint.length_nm), factors, sheet.safety)
    except ValueError as error:
        raise FitError(str(error)) from error
    as_measured, less, more = (
        judge_gap(gap_nm + off, sheet.gap) for off in (0, -uncertainty_nm, uncertainty_nm)
    )
    fits = as_measured, less, more
    return Bonded(joint, gap_nm, uncertainty_nm, _bonded_kind(joint, fits), fits, tuple(steps), held)


def _bonded_kind(joint: BondedJoint, fits: tuple[GapFit, GapFit, GapFit]) -> Kind:
    measured, *ends = (GAP_KINDS[one] for one in fits)
    answer = worst(*(one.answer for one in (measured, *ends)))
    if measured.answer is Answer.NOT:
        return measured
    if joint.hottest_c > joint.sheet.service_limit_c:
        return Kind.TOO_HOT
    if answer is Answer.NOT:
        return Kind.GAP_NOT_TOLD
    return Kind.GOOD if answer is Answer.SERVES else Kind.WIDE


def hold(holding: HeldBy, bore_nm: int, seat_nm: int, uncertainty_nm: int) -> Forced | Bonded:
    """What holds this seat in this bore does, whatever it is; nm."""
    if isinstance(holding, BondedJoint):
        return glue(holding, bore_nm - seat_nm, uncertainty_nm)
    return force(holding, seat_nm - bore_nm, uncertainty_nm)
