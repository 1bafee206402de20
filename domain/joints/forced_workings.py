"""The workings behind the report on a forced joint: each figure with its formula, numbers and source."""

from collections.abc import Iterator, Sequence

from domain.joints.fit_case import mm
from domain.joints.fit_figures import table
from domain.joints.fit_types import FitKind
from domain.joints.fit_words import floor2
from domain.joints.forced_types import ForcedJoint, State
from domain.joints.roughness import smoothing_nm
from domain.lengths import Unit, show
from domain.working import Working

_LAME = "Lame; Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47"


def workings(
    joint: ForcedJoint,
    interference_nm: int,
    uncertainty_nm: int,
    states: tuple[State, State, State, State],
    heat_c: float | None,
    safe_nm: int | None,
    unit: Unit,
) -> Iterator[Working]:
    """The workings in the order they are worked: interference, stress, pressing, grip, heating, what is safe.

    states: as measured, most strained, least grip, and that whose force and torque are shown.
    interference_nm, uncertainty_nm, safe_nm: nm; heat_c: C.
    """
    *corners, held = states
    nominal, strained, grip = corners
    yield _interference_working(joint, interference_nm, uncertainty_nm, corners, unit)
    yield from (_pressure_working(joint, state) for state in corners)
    yield from (_hoop_working(joint, state) for state in (nominal, strained))
    if strained.factor_low is not None and strained.factor_high is not None:
        yield _factor_working(joint, strained, strained.factor_low, strained.factor_high)
    if joint.kind is FitKind.PRESS:
        yield _pressing_working(joint, strained)
    how = "at least"
    if held is not grip:
        how = "as measured"
        yield _grip_working(
            joint, grip, "torque held, at worst", "T = mu pi d^2 l p / 2", f"{grip.torque_nm:.1f} N m"
        )
    yield _grip_working(joint, held, f"force held, {how}", "F = mu pi d l p", f"{held.axial_n:.0f} N")
    yield _grip_working(
        joint, held, f"torque held, {how}", "T = mu pi d^2 l p / 2", f"{held.torque_nm:.1f} N m"
    )
    if heat_c is not None:
        yield _heating_working(joint, strained, heat_c)
    yield _safe_working(joint, uncertainty_nm, safe_nm, unit)


def _interference_working(
    joint: ForcedJoint,
    interference_nm: int,
    uncertainty_nm: int,
    states: Sequence[State],
    unit: Unit,
) -> Working:
    rough = joint.roughness
    left = ", ".join(f"{state.name} {mm(state.interference_nm):.4f} mm" for state in states)
    return Working(
        "interference left to grip",
        "max(0, delta - k (RzA + RzI)), with delta - U for the grip; delta + U and no smoothing for the strain",
        f"delta {mm(interference_nm):.4f} mm, U {show(uncertainty_nm, unit)}, k {joint.edition.k:g}, RzA"
        f" {mm(rough.bore_rz_nm):.4f} mm, RzI {mm(rough.seat_rz_nm):.4f} mm (smoothing"
        f" {mm(smoothing_nm(rough, joint.edition)):.4f} mm)",
        left,
        f"{joint.edition.source}; U is expanded, k = 2; taking no smoothing for the strain is our caution",
    )


def _pressure_working(joint: ForcedJoint, state: State) -> Working:
    one, steel = joint.iron, joint.steel
    return Working(
        f"pressure, {state.name}",
        "p = delta / { (d/Eh) [(D^2 + d^2)/(D^2 - d^2) + nuh] + (d/Es) (1 - nus) }",
        f"delta {mm(state.interference_nm):.4f} mm, {_sizes(joint)}, Eh {state.young_gpa:g} GPa, nuh"
        f" {one.poisson:g}, Es {steel.young_gpa:g} GPa, nus {steel.poisson:g}",
        f"{state.pressure_mpa:.1f} MPa",
        f"{_LAME}; {one.name}: {one.source}; {steel.name}: {steel.source}",
    )


def _hoop_working(joint: ForcedJoint, state: State) -> Working:
    return Working(
        f"hoop stress, {state.name}",
        "hoop = p (D^2 + d^2)/(D^2 - d^2)",
        f"p {state.pressure_mpa:.1f} MPa, {_sizes(joint)}",
        f"{state.hoop_mpa:.1f} MPa",
        _LAME,
    )


def _factor_working(joint: ForcedJoint, strained: State, low: float, high: float) -> Working:
    one = joint.iron
    return Working(
        "factor against cracking, at worst",
        "factor = tensile strength / hoop stress (cut off, not rounded)",
        f"{one.tensile_low_mpa:.0f} to {one.tensile_high_mpa:.0f} MPa ({one.name}) / {strained.hoop_mpa:.1f} MPa",
        f"{floor2(low)} to {floor2(high)}, judged by the lower; wanted {joint.factor_wanted:g}",
        f"strength: {one.source}; factor wanted: {table()['factor']['source']}",
    )


def _pressing_working(joint: ForcedJoint, strained: State) -> Working:
    capacity = joint.press_capacity_n
    gives = "not given" if capacity is None else f"{capacity:.0f} N"
    return Working(
        "pressing force, at most",
        "F = mu pi d l p",
        f"mu {strained.friction:g} ({joint.friction.words}, the most), {_sizes(joint)}, p"
        f" {strained.pressure_mpa:.1f} MPa",
        f"{strained.axial_n:.0f} N; the press gives: {gives}",
        f"{_LAME}; friction: {joint.friction.source}",
    )


def _grip_working(joint: ForcedJoint, grip: State, name: str, formula: str, result: str) -> Working:
    return Working(
        name,
        formula,
        f"mu {grip.friction:g} ({joint.friction.words}, the least), {_sizes(joint)}, p"
        f" {grip.pressure_mpa:.1f} MPa at Eh {grip.young_gpa:g} GPa (the softest {joint.iron.name})",
        result,
        f"{_LAME}; friction: {joint.friction.source}",
    )


def _heating_working(joint: ForcedJoint, strained: State, heat_c: float) -> Working:
    return Working(
        "heat the wheel to",
        "t = room + (delta + U + clearance) / (alpha d)",
        f"room {joint.room_c:g} C, delta + U {mm(strained.interference_nm):.4f} mm, clearance"
        f" {mm(joint.assembly_clearance_nm):.4f} mm, alpha {joint.iron.alpha_per_k:.3g} per K, {_sizes(joint)}",
        f"{heat_c:.0f} C",
        f"thermal expansion; alpha: {joint.iron.source}",
    )


def _safe_working(joint: ForcedJoint, uncertainty_nm: int, safe_nm: int | None, unit: Unit) -> Working:
    one = joint.iron
    return Working(
        "interference that would be safe",
        "delta at hoop = least strength / factor wanted, less U (cut off, not rounded)",
        f"{one.tensile_low_mpa:.0f} MPa / {joint.factor_wanted:g}, {_sizes(joint)}, Eh {one.young_high_gpa:g} GPa"
        f" (the stiffest {one.name}), U {show(uncertainty_nm, unit)}",
        "none" if safe_nm is None else f"{safe_nm // 100 / 10_000:.4f} mm",
        f"{_LAME}, turned round",
    )


def _sizes(joint: ForcedJoint) -> str:
    return f"d {mm(joint.seat_nm):.3f} mm, D {mm(joint.boss_nm):.3f} mm, l {mm(joint.length_nm):.3f} mm"
