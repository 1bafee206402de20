"""Refusing a forced joint that cannot be, before anything is worked out."""

import math
import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

from domain.joints.fit_types import FitError, FitKind
from domain.joints.forced_types import ForcedJoint
from domain.lengths import Unit, show_in


@cache
def heating_table() -> dict[str, Any]:
    """The figures on heating a wheel, read once: degrees C, each beside its source.

    >>> heating_table()["caution_above_c"]
    250.0
    """
    return tomllib.loads(files("domain").joinpath("tables", "heating.toml").read_text(encoding="utf-8"))


def check_forced(joint: ForcedJoint, uncertainty_nm: int) -> None:
    """Refuse a joint, or an uncertainty, that cannot be judged.

    joint: see ForcedJoint for units; uncertainty_nm: nm, 0 or more.
    Raises: FitError, one sentence with an example of what is accepted.
    """
    if joint.kind is FitKind.BOND:
        raise FitError("A bond is not forced: choose press or shrink.")
    for name, size in (
        ("seat", joint.seat_nm),
        ("boss diameter", joint.boss_nm),
        ("length gripped", joint.length_nm),
    ):
        if size <= 0:
            raise FitError(f"The {name} must be above zero, such as 19.05 mm.")
    if joint.boss_nm <= joint.seat_nm:
        seat, boss = show_in(joint.seat_nm, Unit.MM), show_in(joint.boss_nm, Unit.MM)
        raise FitError(f"The seat, {seat}, must be smaller than the boss, {boss}, such as 19.05 mm in 32 mm.")
    if uncertainty_nm < 0:
        raise FitError("The uncertainty must be zero or more, such as 0.004 mm.")
    if not math.isfinite(joint.factor_wanted) or joint.factor_wanted < 1:
        raise FitError("The factor against cracking must be 1 or more, such as 2.")
    _check_iron(joint)
    _check_work(joint)


def _check_iron(joint: ForcedJoint) -> None:
    one = joint.iron
    for name, low, high, unit in (
        ("tensile strength", one.tensile_low_mpa, one.tensile_high_mpa, "150 to 250 MPa"),
        ("stiffness E", one.young_low_gpa, one.young_high_gpa, "78 to 103 GPa"),
    ):
        if not (math.isfinite(high) and 0 < low <= high):
            raise FitError(f"The {name} of {one.name} must run from low to high above zero, such as {unit}.")


def _check_work(joint: ForcedJoint) -> None:
    capacity = joint.press_capacity_n
    if capacity is not None and not (math.isfinite(capacity) and capacity > 0):
        raise FitError("What the press gives must be above zero, such as 20000 N; leave it out if not known.")
    if joint.assembly_clearance_nm < 0:
        raise FitError("The room for sliding the wheel on must be zero or more, such as 0.02 mm.")
    if joint.wanted_nm is not None and not 0 < joint.wanted_nm[0] <= joint.wanted_nm[1]:
        raise FitError("The interference wanted must rise from above zero, such as 0.008 to 0.015 mm.")
    rule = heating_table()
    if not rule["coldest_room_c"] <= joint.room_c <= rule["hottest_room_c"]:
        raise FitError(
            f"A room at {joint.room_c:g} C is not likely: give it in C, not F, such as 20"
            f" (from {rule['coldest_room_c']:g} to {rule['hottest_room_c']:g})."
        )
