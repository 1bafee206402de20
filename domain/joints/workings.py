"""The workings behind a finding: each figure with its formula, its numbers and its source."""

from collections.abc import Iterator
from dataclasses import replace

from domain.joints import interference
from domain.joints.fit import Fit
from domain.joints.held import Bonded, Forced, JointState
from domain.joints.judge import Finding
from domain.joints.kinds import FitKind
from domain.joints.materials import MILD_STEEL
from domain.joints.roughness import smoothing_nm
from domain.joints.terms import ForcedJoint, default_range, floor2, gap_range, mm, table
from domain.joints.words import signed, worst_gap_words
from domain.lengths import Unit, show, show_in
from domain.measuring.iso286 import hole_class, shaft_class
from domain.working import Working

_LAME = "Lame; Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47"
_PRESSURE = "p = delta / { (d/Eh) [(D^2 + d^2)/(D^2 - d^2) + nuh] + (d/Es) (1 - nus) }"
_HOLLOW = "p = delta / { (d/Eh) [(D^2 + d^2)/(D^2 - d^2) + nuh] + (d/Es) [(d^2 + di^2)/(d^2 - di^2) - nus] }"
_HOOP = "hoop = p (D^2 + d^2)/(D^2 - d^2)"
_FACTOR = "factor = tensile strength / hoop stress (cut off, not rounded)"
_PUSH, _TORQUE = "F = mu pi d l p", "T = mu pi d^2 l p / 2"


def classes(fit: Fit) -> tuple[str | None, str | None]:
    """The ISO 286 classes of bore and seat; None where there is none."""
    joint = fit.joint
    return hole_class(joint.nominal_bore_nm, fit.bore_nm), shaft_class(joint.nominal_seat_nm, fit.seat_nm)


def size_workings(found: Finding) -> Iterator[Working]:
    """The workings of the fit as read; plugs give no size of the bore to class.

    What it holds is worked by the mean, with what holds it: a second torque here would be another's.
    """
    left_out = {"class of the bore"} if found.case.bore.plugs is not None else set()
    if found.carried is not None:
        left_out |= {"force held", "torque held"}
    where = f", at the {found.at_end}" if found.at_end else ""
    for one in fit_workings(found.fit, found.case.unit):
        if one.name not in left_out:
            yield replace(one, name=f"{one.name}{where}") if one.name == "clearance" else one


def fit_workings(fit: Fit, unit: Unit) -> Iterator[Working]:
    """The workings in the order they are worked: clearance, range, stress, grip, heating, classes."""
    yield Working(
        "clearance",
        "bore - seat (below zero: interference)",
        f"{show(fit.bore_nm, unit)} - {show(fit.seat_nm, unit)}",
        show(fit.clearance_nm, unit),
        "by definition",
    )
    yield _range_working(fit, unit)
    if fit.forced:
        yield from _stress_workings(fit, fit.forced.most_strained)
    if fit.grip:
        yield from _fit_grip_workings(fit, fit.grip)
    if fit.forced and fit.joint.kind is FitKind.SHRINK:
        yield _rise_working(fit)
    for part, name, nominal, size in (
        ("bore", classes(fit)[0], fit.joint.nominal_bore_nm, fit.bore_nm),
        ("seat", classes(fit)[1], fit.joint.nominal_seat_nm, fit.seat_nm),
    ):
        if name:
            numbers = f"{show(size, unit)} on a nominal {show(nominal, unit)}"
            yield Working(
                f"class of the {part}", "size inside the class's limits", numbers, name, "ISO 286-2:2010"
            )


def _range_working(fit: Fit, unit: Unit) -> Working:
    joint = fit.joint
    least, most = show(joint.least_nm, unit), show(joint.most_nm, unit)
    if fit.is_bond:
        gap = gap_range(joint)
        numbers = f"least {least}, most {most}, with care to {show(gap.limit_nm, unit)}"
        return Working(
            "gap wanted", "least <= bore - seat <= most", numbers, f"{least} to {most}", gap.source
        )
    usual = " to ".join(show(end, unit) for end in default_range(joint.kind, joint.nominal_seat_nm))
    return Working(
        "interference wanted",
        "least <= seat - bore <= most",
        f"least {least}, most {most}; the rule of thumb gives {usual}",
        f"{least} to {most}",
        str(table()[joint.kind.value]["source"]),
    )


def _stress_workings(fit: Fit, strained: JointState) -> Iterator[Working]:
    seat, boss = f"d {mm(fit.seat_nm):.3f} mm", f"D {mm(fit.joint.boss_diameter_nm):.3f} mm"
    one = fit.iron
    yield Working(
        "pressure",
        _formula(fit.joint.axle_bore_nm),
        f"delta {mm(-fit.clearance_nm):.4f} mm, {seat}, {boss}, {_axle(fit.joint.axle_bore_nm)},"
        f" Eh {one.young_high_gpa:g} GPa (the stiffest"
        f" {one.name}), nuh {one.poisson:g}, Es {MILD_STEEL.young_gpa:g} GPa, nus {MILD_STEEL.poisson:g}",
        f"{strained.pressure_mpa:.1f} MPa",
        f"{_LAME}; {one.name}: {one.source}",
    )
    numbers = f"p {strained.pressure_mpa:.1f} MPa, {seat}, {boss}"
    yield Working("hoop stress", _HOOP, numbers, f"{strained.hoop_mpa:.1f} MPa", _LAME)
    yield Working(
        "factor against cracking",
        _FACTOR,
        f"{one.tensile_low_mpa:.0f} MPa (the least of {one.name}) / {strained.hoop_mpa:.1f} MPa",
        f"{floor2(fit.factor or 0)}, wanted {fit.joint.factor_wanted:g}",
        f"strength: {one.source}; factor wanted: {fit.joint.factor_source}",
    )


def _fit_grip_workings(fit: Fit, grip: JointState) -> Iterator[Working]:
    typed = fit.joint.friction
    numbers = (
        f"mu {grip.friction:g}, d {mm(fit.seat_nm):.3f} mm, l {mm(fit.joint.boss_length_nm):.3f} mm,"
        f" p {grip.pressure_mpa:.1f} MPa at Eh {fit.iron.young_low_gpa:g} GPa (the softest {fit.iron.name})"
    )
    whose = typed.source if typed else table()[fit.joint.kind.value]["friction_source"]
    source = f"{_LAME}; friction: {whose}"
    yield Working("force held", _PUSH, numbers, f"{grip.axial_n:.0f} N", source)
    yield Working("torque held", _TORQUE, numbers, f"{grip.torque_nm:.1f} N m", source)


def _rise_working(fit: Fit) -> Working:
    rule, alpha = table()["shrink"], fit.iron.alpha_per_k
    seat, delta = mm(fit.seat_nm), mm(-fit.clearance_nm)
    room = seat * rule["assembly_clearance_per_diameter"]
    rise = interference.heating_k(delta, room, alpha, seat)
    return Working(
        "heat the wheel above the axle by",
        "rise = (delta + room) / (alpha d)",
        f"delta {delta:.4f} mm, room {room:.4f} mm, alpha {alpha:.3g} per K, d {seat:.3f} mm",
        f"{rise:.0f} K",
        f"thermal expansion; {rule['assembly_source']}; alpha: {fit.iron.source}",
    )


def held_workings(held: Forced | Bonded, unit: Unit) -> Iterator[Working]:
    """The workings of what holds it, in the order they are worked."""
    if isinstance(held, Bonded):
        return _bond_workings(held, unit)
    return _forced_workings(held, unit)


# --- a forced joint: interference, stress, pressing, grip, heating, what is safe ---


def _forced_workings(held: Forced, unit: Unit) -> Iterator[Working]:
    joint = held.joint
    corners = held.nominal, held.most_strained, held.least_grip
    yield _interference_working(held, corners, unit)
    yield from (_pressure_working(joint, state) for state in corners)
    for state in corners[:2]:
        numbers = f"p {state.pressure_mpa:.1f} MPa, {_sizes(joint)}"
        yield Working(f"hoop stress, {state.name}", _HOOP, numbers, f"{state.hoop_mpa:.1f} MPa", _LAME)
    low, high = held.most_strained.factor_low, held.most_strained.factor_high
    if low is not None and high is not None:
        yield _factor_working(joint, held.most_strained, low, high)
    if joint.kind is FitKind.PRESS:
        yield _pressing_working(joint, held.most_strained)
    grip, how = held.counted, "at least"
    if grip is held.measured:
        how = "as measured"
        worst = held.least_grip
        yield _grip_working(joint, worst, "torque held, at worst", _TORQUE, f"{worst.torque_nm:.1f} N m")
    yield _grip_working(joint, grip, f"force held, {how}", _PUSH, f"{grip.axial_n:.0f} N")
    yield _grip_working(joint, grip, f"torque held, {how}", _TORQUE, f"{grip.torque_nm:.1f} N m")
    if held.heat_to_c is not None:
        yield _heating_working(held, held.heat_to_c)
    yield _safe_working(held, unit)


def _interference_working(held: Forced, states: tuple[JointState, ...], unit: Unit) -> Working:
    joint, rough = held.joint, held.joint.roughness
    left = ", ".join(f"{state.name} {mm(state.interference_nm):.4f} mm" for state in states)
    return Working(
        "interference left to grip",
        "max(0, delta - k (RzA + RzI)), with delta - U for the grip; delta + U and no smoothing for the strain",
        f"delta {mm(held.interference_nm):.4f} mm, U {show(held.uncertainty_nm, unit)}, k {joint.edition.k:g}, RzA"
        f" {mm(rough.bore_rz_nm):.4f} mm, RzI {mm(rough.seat_rz_nm):.4f} mm (smoothing"
        f" {mm(smoothing_nm(rough, joint.edition)):.4f} mm)",
        left,
        f"{joint.edition.source}; U is expanded, k = 2; taking no smoothing for the strain is our caution",
    )


def _pressure_working(joint: ForcedJoint, state: JointState) -> Working:
    one, steel = joint.iron, joint.steel
    return Working(
        f"pressure, {state.name}",
        _formula(joint.axle_bore_nm),
        f"delta {mm(state.interference_nm):.4f} mm, {_sizes(joint)}, Eh {state.young_gpa:g} GPa, nuh"
        f" {one.poisson:g}, Es {steel.young_gpa:g} GPa, nus {steel.poisson:g}",
        f"{state.pressure_mpa:.1f} MPa",
        f"{_LAME}; {one.name}: {one.source}; {steel.name}: {steel.source}",
    )


def _factor_working(joint: ForcedJoint, strained: JointState, low: float, high: float) -> Working:
    one = joint.iron
    return Working(
        "factor against cracking, at worst",
        _FACTOR,
        f"{one.tensile_low_mpa:.0f} to {one.tensile_high_mpa:.0f} MPa ({one.name}) / {strained.hoop_mpa:.1f} MPa",
        f"{floor2(low)} to {floor2(high)}, judged by the lower; wanted {joint.factor_wanted:g}",
        f"strength: {one.source}; factor wanted: {joint.factor_source}",
    )


def _pressing_working(joint: ForcedJoint, strained: JointState) -> Working:
    capacity = joint.press_capacity_n
    gives = "not given" if capacity is None else f"{capacity:.0f} N"
    return Working(
        "pressing force, at most",
        _PUSH,
        f"mu {strained.friction:g} ({joint.friction.words}, the most), {_sizes(joint)}, p"
        f" {strained.pressure_mpa:.1f} MPa",
        f"{strained.axial_n:.0f} N; the press gives: {gives}",
        f"{_LAME}; friction: {joint.friction.source}",
    )


def _grip_working(joint: ForcedJoint, grip: JointState, name: str, formula: str, result: str) -> Working:
    return Working(
        name,
        formula,
        f"mu {grip.friction:g} ({joint.friction.words}, the least), {_sizes(joint)}, p"
        f" {grip.pressure_mpa:.1f} MPa at Eh {grip.young_gpa:g} GPa (the softest {joint.iron.name})",
        result,
        f"{_LAME}; friction: {joint.friction.source}",
    )


def _heating_working(held: Forced, heat_c: float) -> Working:
    joint = held.joint
    return Working(
        "heat the wheel to",
        "t = room + (delta + U + clearance) / (alpha d)",
        f"room {joint.room_c:g} C, delta + U {mm(held.most_strained.interference_nm):.4f} mm, clearance"
        f" {mm(joint.assembly_clearance_nm):.4f} mm, alpha {joint.iron.alpha_per_k:.3g} per K, {_sizes(joint)}",
        f"{heat_c:.0f} C",
        f"thermal expansion; alpha: {joint.iron.source}",
    )


def _safe_working(held: Forced, unit: Unit) -> Working:
    joint, one, safe = held.joint, held.joint.iron, held.safe_interference_nm
    return Working(
        "interference that would be safe",
        "delta at hoop = least strength / factor wanted, less U (cut off, not rounded)",
        f"{one.tensile_low_mpa:.0f} MPa / {joint.factor_wanted:g}, {_sizes(joint)}, Eh {one.young_high_gpa:g} GPa"
        f" (the stiffest {one.name}), U {show(held.uncertainty_nm, unit)}",
        "none" if safe is None else f"{safe // 100 / 10_000:.4f} mm",
        f"{_LAME}, turned round",
    )


def _sizes(joint: ForcedJoint) -> str:
    sizes = f"d {mm(joint.seat_nm):.3f} mm, D {mm(joint.boss_nm):.3f} mm, l {mm(joint.length_nm):.3f} mm"
    return f"{sizes}, {_axle(joint.axle_bore_nm)}"


def _formula(axle_bore_nm: int) -> str:
    return _HOLLOW if axle_bore_nm else _PRESSURE


def _axle(axle_bore_nm: int) -> str:
    return f"di {mm(axle_bore_nm):.3f} mm" if axle_bore_nm else "solid"


# --- a bond: the gap at its worst, each reduction, the force, the torque ---


def _bond_workings(held: Bonded, unit: Unit) -> Iterator[Working]:
    joint, sheet, gap = held.joint, held.joint.sheet, held.joint.sheet.gap
    ends = [signed(held.gap_nm + off, unit) for off in (-held.uncertainty_nm, held.uncertainty_nm)]
    words = worst_gap_words(held, unit)
    yield Working(
        "gap at worst",
        "gap - U to gap + U",
        f"gap {signed(held.gap_nm, unit)}, U {show_in(held.uncertainty_nm, unit)}; best {show_in(gap.least_nm, unit)} to"
        f" {show_in(gap.most_nm, unit)}, filled up to {show_in(gap.limit_nm, unit)}",
        f"{ends[0]} to {ends[1]}{': ' if words else ''}{words}",
        f"{gap.source}; U is expanded, k = 2",
    )
    before = sheet.shear_mpa
    for one, left in held.steps:
        yield Working(
            f"strength left after {one.key}",
            "shear x factor",
            f"{before:.2f} MPa x {one.factor:g} ({one.words})",
            f"{left:.2f} MPa",
            f"{one.source}; strength: {sheet.source}",
        )
        before = left
    seat, force = f"d {mm(joint.seat_nm):.3f} mm", held.full_force_n
    yield Working(
        "force held",
        "F = shear left x pi d l / safety",
        f"{before:.2f} MPa, {seat}, l {mm(joint.length_nm):.3f} mm, safety {sheet.safety:g}",
        f"{force:.0f} N",
        "shear stress times area, at the gap as measured; nothing is claimed where the gap or the heat does not serve",
    )
    yield Working(
        "torque held",
        "T = F d / 2",
        f"F {force:.0f} N, {seat}",
        f"{held.full_torque_nm:.1f} N m",
        "by definition of torque",
    )
