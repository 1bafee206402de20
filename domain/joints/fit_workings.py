"""The workings behind a verdict: each figure with its formula, its numbers and its source."""

from collections.abc import Iterator

from domain.joints import interference
from domain.joints.fit_case import Case, Stress, mm
from domain.joints.fit_figures import default_range, gap_range, table
from domain.joints.fit_types import FitKind
from domain.joints.fit_words import floor2
from domain.joints.materials import MILD_STEEL
from domain.working import Working

_LAME = "Lame; Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47"


def workings_for(
    case: Case,
    stress: Stress | None,
    force: float | None,
    torque: float | None,
    classes: tuple[str | None, str | None],
) -> Iterator[Working]:
    """The workings in the order they are worked: clearance, range, stress, grip, heating, classes.

    force: N; torque: N m; classes: those of the bore and of the seat, None where there is none.
    """
    yield Working(
        "clearance",
        "bore - seat (below zero: interference)",
        f"{case.show(case.bore_nm)} - {case.show(case.seat_nm)}",
        case.show(case.clearance_nm),
        "by definition",
    )
    yield _range_working(case)
    if stress:
        yield from _stress_workings(case, stress)
    if force is not None and torque is not None:
        yield from _grip_workings(case, stress, force, torque)
    if stress and case.joint.kind is FitKind.SHRINK:
        yield _heating_working(case)
    yield from _class_workings(case, classes)


def _class_workings(case: Case, classes: tuple[str | None, str | None]) -> Iterator[Working]:
    for part, name, nominal, size in (
        ("bore", classes[0], case.joint.nominal_bore_nm, case.bore_nm),
        ("seat", classes[1], case.joint.nominal_seat_nm, case.seat_nm),
    ):
        if name:
            numbers = f"{case.show(size)} on a nominal {case.show(nominal)}"
            yield Working(
                f"class of the {part}", "size inside the class's limits", numbers, name, "ISO 286-2:2010"
            )


def _range_working(case: Case) -> Working:
    joint = case.joint
    least, most = case.show(joint.least_nm), case.show(joint.most_nm)
    if case.is_bond:
        gap = gap_range(joint)
        numbers = f"least {least}, most {most}, with care to {case.show(gap.limit_nm)}"
        return Working(
            "gap wanted", "least <= bore - seat <= most", numbers, f"{least} to {most}", gap.source
        )
    usual = default_range(joint.kind, joint.nominal_seat_nm)
    numbers = (
        f"least {least}, most {most}; the rule of thumb gives {case.show(usual[0])} to {case.show(usual[1])}"
    )
    source = str(table()[joint.kind.value]["source"])
    return Working(
        "interference wanted", "least <= seat - bore <= most", numbers, f"{least} to {most}", source
    )


def _stress_workings(case: Case, stress: Stress) -> Iterator[Working]:
    seat, boss = f"d {mm(case.seat_nm):.3f} mm", f"D {mm(case.joint.boss_diameter_nm):.3f} mm"
    one = case.iron
    yield Working(
        "pressure",
        "p = delta / { (d/Eh) [(D^2 + d^2)/(D^2 - d^2) + nuh] + (d/Es) (1 - nus) }",
        f"delta {mm(-case.clearance_nm):.4f} mm, {seat}, {boss}, Eh {one.young_high_gpa:g} GPa (the stiffest"
        f" {one.name}), nuh {one.poisson:g}, Es {MILD_STEEL.young_gpa:g} GPa, nus {MILD_STEEL.poisson:g}",
        f"{stress.pressure:.1f} MPa",
        f"{_LAME}; {one.name}: {one.source}",
    )
    yield Working(
        "hoop stress",
        "hoop = p (D^2 + d^2)/(D^2 - d^2)",
        f"p {stress.pressure:.1f} MPa, {seat}, {boss}",
        f"{stress.hoop:.1f} MPa",
        _LAME,
    )
    yield Working(
        "factor against cracking",
        "factor = tensile strength / hoop stress (cut off, not rounded)",
        f"{stress.strength:.0f} MPa (the least of {one.name}) / {stress.hoop:.1f} MPa",
        f"{floor2(stress.factor)}, wanted {case.joint.factor_wanted:g}",
        f"strength: {one.source}; factor wanted: {table()['factor']['source']}",
    )


def _grip_workings(case: Case, stress: Stress | None, force: float, torque: float) -> Iterator[Working]:
    seat, length = f"d {mm(case.seat_nm):.3f} mm", f"l {mm(case.joint.boss_length_nm):.3f} mm"
    compound = case.joint.compound
    if case.is_bond:
        reductions = " x ".join(f"{one:g}" for one in compound.reductions) or "none"
        numbers = (
            f"shear {compound.shear_mpa:g} MPa, {seat}, {length}, reductions {reductions},"
            f" safety {compound.safety:g}"
        )
        source = "shear stress times area; the strength is the data sheet's and does not predict service"
        yield Working(
            "force held", "F = shear pi d l x reductions / safety", numbers, f"{force:.0f} N", source
        )
        yield Working("torque held", "T = F d / 2", f"F {force:.0f} N, {seat}", f"{torque:.1f} N m", source)
    elif stress:
        rule = table()[case.joint.kind.value]
        numbers = (
            f"mu {rule['friction']:g}, {seat}, {length}, p {stress.sure_pressure:.1f} MPa at Eh"
            f" {case.iron.young_low_gpa:g} GPa (the softest {case.iron.name})"
        )
        source = f"{_LAME}; friction: {rule['friction_source']}"
        yield Working("force held", "F = mu pi d l p", numbers, f"{force:.0f} N", source)
        yield Working("torque held", "T = mu pi d^2 l p / 2", numbers, f"{torque:.1f} N m", source)


def _heating_working(case: Case) -> Working:
    rule, alpha = table()["shrink"], case.iron.alpha_per_k
    seat, delta = mm(case.seat_nm), mm(-case.clearance_nm)
    room = seat * rule["assembly_clearance_per_diameter"]
    rise = interference.heating_k(delta, room, alpha, seat)
    return Working(
        "heat the wheel above the axle by",
        "rise = (delta + room) / (alpha d)",
        f"delta {delta:.4f} mm, room {room:.4f} mm, alpha {alpha:.3g} per K, d {seat:.3f} mm",
        f"{rise:.0f} K",
        f"thermal expansion; {rule['assembly_source']}; alpha: {case.iron.source}",
    )
