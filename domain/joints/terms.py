"""What a joint is judged by: the drawing's wishes, what holds it, how surely its sizes are known, and the checks.

Lengths are whole nanometres on the diameter. A clearance is bore less seat; an interference is a clearance below zero.
"""

import math
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any

from domain.joints import bond
from domain.joints.friction import Friction
from domain.joints.kinds import FitError, FitKind
from domain.joints.materials import MILD_STEEL, Iron, Steel, iron
from domain.joints.roughness import DEFAULT_EDITION, Edition, Roughness
from domain.lengths import NM_PER_MM, Unit, show, show_in
from domain.measuring.plug_gauge import Interval
from domain.measuring.uncertainty import Budget


@dataclass(frozen=True)
class Joint:
    """What the drawing wants: least and most are the wanted gap (bond) or interference (press, shrink).

    factor_wanted: against cracking; factor_source: who wants it. gap: what the compound fills. friction: as typed; None
    for oiled surfaces, the least grip. axle_bore_nm: the hole through the axle, 0 where it is solid.
    """

    kind: FitKind
    nominal_bore_nm: int
    nominal_seat_nm: int
    boss_diameter_nm: int
    boss_length_nm: int
    least_nm: int
    most_nm: int
    iron_key: str
    factor_wanted: float = 2.0
    factor_source: str = field(default_factory=lambda: str(table()["factor"]["source"]))
    gap: bond.GapRange = bond.DEFAULT_GAP
    friction: Friction | None = None
    axle_bore_nm: int = 0

    @property
    def middle_nm(self) -> int:
        """The clearance in the middle of the wanted range; below zero for an interference."""
        middle = (self.least_nm + self.most_nm) // 2
        return middle if self.kind is FitKind.BOND else -middle


@dataclass(frozen=True)
class Size:
    """A bore or a seat as it is known: its middle and its expanded (k = 2) uncertainty, nm; None where not known.

    bound_nm: half of what plugs leave open. budget: how the uncertainty is made up. plugs: the limits that plugs give
    of a bore, each plug sized to plug_u_nm. ends_nm: the smallest and the largest of its readings, corrected; None of one
    reading alone. measured: not only drawn.
    """

    nm: int
    expanded_nm: int | None = None
    bound_nm: int = 0
    budget: Budget | None = None
    plugs: Interval | None = None
    plug_u_nm: int = 0
    ends_nm: tuple[int, int] | None = None
    measured: bool = True

    @property
    def spread_nm(self) -> int:
        """Largest less smallest reading."""
        return self.ends_nm[1] - self.ends_nm[0] if self.ends_nm else 0

    @property
    def alone_nm(self) -> int:
        """The expanded uncertainty of one of its readings by itself; nothing where none is known."""
        return self.budget.alone.expanded_nm if self.budget else 0

    @property
    def open_ended(self) -> bool:
        """Whether plugs leave one end open, so that there is no size at all."""
        return self.plugs is not None and None in (self.plugs.low_nm, self.plugs.high_nm)


def plugged(interval: Interval, plug_u_nm: int) -> Size:
    """A bore known by plugs: half of what they leave open is a bound, not a spread.

    >>> plugged(Interval(19_070_000, 19_091_000), 2_000).bound_nm
    10500
    """
    low, high = interval.low_nm, interval.high_nm
    if low is None or high is None:
        return Size(low or high or 0, 0, plugs=interval, plug_u_nm=plug_u_nm)
    return Size((low + high) // 2, 0, math.ceil((high - low) / 2), plugs=interval, plug_u_nm=plug_u_nm)


def uncertainty_nm(*sizes: Size) -> int:
    """The expanded uncertainty of a difference: root of the sum of squares, and bounds on top in full; nm."""
    return math.ceil(math.hypot(*(size.expanded_nm or 0 for size in sizes))) + sum(s.bound_nm for s in sizes)


@dataclass(frozen=True)
class ForcedJoint:
    """An axle or a pin to be forced into an iron boss.

    seat_nm, boss_nm, length_nm: seat diameter, smallest ring of sound metal round the bore, length gripped, nm.
    factor_wanted: strength over hoop stress, 1 or more; factor_source: who wants it. assembly_clearance_nm: shrink
    only, room while sliding on, nm. room_c: shop and axle, degrees C. press_capacity_n: what the press or vice gives, N;
    None where it is not known. wanted_nm: least and most interference the drawing wants, nm; None to leave it unjudged.
    axle_bore_nm: the hole through axle or pin, 0 where it is solid.
    """

    kind: FitKind
    seat_nm: int
    boss_nm: int
    length_nm: int
    iron: Iron
    friction: Friction
    steel: Steel = MILD_STEEL
    roughness: Roughness = field(default_factory=Roughness)
    edition: Edition = DEFAULT_EDITION
    factor_wanted: float = 2.0
    factor_source: str = field(default_factory=lambda: str(table()["factor"]["source"]))
    assembly_clearance_nm: int = 0
    room_c: float = 20.0
    press_capacity_n: float | None = None
    wanted_nm: tuple[int, int] | None = None
    axle_bore_nm: int = 0


@dataclass(frozen=True)
class Reduction:
    """One thing that takes strength off a bond: factor above 0 and up to 1; a placeholder until typed over."""

    key: str
    words: str
    factor: float
    source: str
    placeholder: bool = False


@cache
def _table(name: str) -> dict[str, Any]:
    return tomllib.loads(files("domain").joinpath("tables", f"{name}.toml").read_text(encoding="utf-8"))


def table() -> dict[str, dict[str, Any]]:
    """The table of fits, read once: lengths in nm, each figure beside its source.

    >>> table()["factor"]["wanted"]
    2.0
    """
    return _table("fits")


def heating_table() -> dict[str, Any]:
    """The figures on heating a wheel, read once: degrees C, each beside its source.

    >>> heating_table()["caution_above_c"]
    250.0
    """
    return _table("heating")


@cache
def placeholder_reductions() -> tuple[Reduction, ...]:
    """The reductions to begin with, each marked as a placeholder until the builder types the data sheet's own.

    >>> [(one.key, one.placeholder) for one in placeholder_reductions()][:2]
    [('gap', True), ('material', True)]
    """
    return tuple(Reduction(**row, placeholder=True) for row in _table("bond_reductions")["reduction"])


@dataclass(frozen=True)
class BondSheet:
    """A compound as its data sheet has it.

    shear_mpa: shear strength, MPa. gap: nm on the diameter. service_limit_c: hottest it stands, degrees C.
    safety: what the force is divided by, 1 or more. source: where the strength comes from.
    """

    shear_mpa: float
    gap: bond.GapRange = bond.DEFAULT_GAP
    reductions: tuple[Reduction, ...] = field(default_factory=placeholder_reductions)
    service_limit_c: float = _table("bond_reductions")["service_limit_c"]
    safety: float = bond.DEFAULT_SAFETY
    source: str = _table("bond_reductions")["strength_source"]


@dataclass(frozen=True)
class BondedJoint:
    """A seat bonded in a boss: seat diameter and bonded length, nm; hottest it will run, degrees C."""

    seat_nm: int
    length_nm: int
    sheet: BondSheet
    hottest_c: float = 40.0


HeldBy = ForcedJoint | BondedJoint
"""A seat in its bore is held by either."""


def mm(nm: int) -> float:
    """Nanometres as millimetres, for the formulas and the figures shown beside them.

    >>> mm(19_050_000)
    19.05
    """
    return nm / NM_PER_MM


def floor2(factor: float) -> str:
    """Two decimals, cut off: 1.999 must not read as the 2 it failed to reach.

    >>> floor2(1.999)
    '1.99'
    """
    return f"{math.floor(factor * 100) / 100:.2f}"


def default_range(kind: FitKind, nominal_nm: int) -> tuple[int, int]:
    """The gap or interference to want on a diameter when the drawing does not say.

    Formula: press 0.001 to 0.002 of the diameter; shrink 0.0005 to 0.001 of it; bond 0.02 to 0.05 mm of gap.
    nominal_nm: nominal diameter, nm, above 0.
    Returns: least and most, nm: a gap for a bond, an interference for press and shrink.
    Raises: FitError when the diameter is not above zero.
    Source: Applied Science for Metal Workers, sections 453-454 (press, shrink; half the shrink rule as its
    least is common practice, no source); bond from memory, verify.

    >>> default_range(FitKind.PRESS, 25_400_000)
    (25400, 50800)
    """
    if nominal_nm <= 0:
        raise FitError("The diameter must be above zero, such as 19.05 mm.")
    if kind is FitKind.BOND:
        return bond.DEFAULT_GAP.least_nm, bond.DEFAULT_GAP.most_nm
    rule = table()[kind.value]
    return round(nominal_nm * rule["least_per_diameter"]), round(nominal_nm * rule["most_per_diameter"])


def gap_range(joint: Joint) -> bond.GapRange:
    """The gap for a bonded axle: the joint's own for a bond, the compound's where bonding is a way out.

    Returns: least, most and limit, nm on the diameter; the limit is never below the most.

    >>> joint = Joint(FitKind.PRESS, 19_050_000, 19_050_000, 32_000_000, 14_000_000, 8_000, 15_000, "en-gjl-250")
    >>> gap_range(joint) == joint.gap
    True
    """
    gap = joint.gap
    if joint.kind is not FitKind.BOND:
        return gap
    return bond.GapRange(joint.least_nm, joint.most_nm, max(joint.most_nm, gap.limit_nm), gap.source)


def known_iron(key: str) -> Iron:
    """The iron of this key.

    Raises: FitError when no iron has it.

    >>> known_iron("en-gjl-250").key
    'en-gjl-250'
    """
    try:
        return iron(key)
    except ValueError as error:
        raise FitError(str(error)) from error


def check_seat(label: str, seat_nm: int) -> None:
    """Refuse a seat that is none. Raises: FitError."""
    if seat_nm <= 0:
        raise FitError(f"The {label} must be above zero, such as 19.05 mm.")


def check_fit(joint: Joint, sizes: Sequence[tuple[str, int]]) -> None:
    """Refuse a joint, or a bore or a seat on it, that cannot be judged.

    sizes: bore and seat with their names, nm. Raises: FitError.
    """
    drawn = (
        ("nominal bore", joint.nominal_bore_nm),
        ("nominal seat", joint.nominal_seat_nm),
        ("boss diameter", joint.boss_diameter_nm),
        ("length through the boss", joint.boss_length_nm),
        ("least wanted", joint.least_nm),
    )
    for name, size in (*sizes, *drawn):
        check_seat(name, size)
    for name, size in sizes:
        if size >= joint.boss_diameter_nm:
            boss = show(joint.boss_diameter_nm, Unit.MM)
            raise FitError(f"The {name}, {show(size, Unit.MM)}, must be smaller than the boss, {boss}.")
    if joint.most_nm < joint.least_nm:
        raise FitError("The most wanted must not be below the least wanted, such as 0.02 to 0.05 mm.")
    check_factor(joint.factor_wanted)
    check_axle_bore(joint.axle_bore_nm, dict(sizes)["seat"])


def check_axle_bore(axle_bore_nm: int, seat_nm: int) -> None:
    """Refuse a hole through the axle that leaves no axle. Raises: FitError."""
    if not 0 <= axle_bore_nm < seat_nm:
        raise FitError(
            f"The hole through the axle, {show(axle_bore_nm, Unit.MM)}, must be smaller than the seat,"
            f" {show(seat_nm, Unit.MM)}; 0 where it is solid."
        )


def check_factor(factor: float) -> None:
    """Refuse a factor against cracking below 1. Raises: FitError."""
    if not math.isfinite(factor) or factor < 1:
        raise FitError("The factor against cracking must be 1 or more, such as 2.")


def check_forced(joint: ForcedJoint, uncertainty: int) -> None:
    """Refuse a forced joint, or an uncertainty, that cannot be judged.

    joint: see ForcedJoint for units; uncertainty: nm, 0 or more.
    Raises: FitError, one sentence with an example of what is accepted.
    """
    if joint.kind is FitKind.BOND:
        raise FitError("A bond is not forced: choose press or shrink.")
    for name, size in (
        ("seat", joint.seat_nm),
        ("boss diameter", joint.boss_nm),
        ("length gripped", joint.length_nm),
    ):
        check_seat(name, size)
    if joint.boss_nm <= joint.seat_nm:
        seat, boss = show_in(joint.seat_nm, Unit.MM), show_in(joint.boss_nm, Unit.MM)
        raise FitError(f"The seat, {seat}, must be smaller than the boss, {boss}, such as 19.05 mm in 32 mm.")
    check_uncertainty(uncertainty)
    check_factor(joint.factor_wanted)
    check_axle_bore(joint.axle_bore_nm, joint.seat_nm)
    one = joint.iron
    for name, low, high, example in (
        ("tensile strength", one.tensile_low_mpa, one.tensile_high_mpa, "150 to 250 MPa"),
        ("stiffness E", one.young_low_gpa, one.young_high_gpa, "78 to 103 GPa"),
    ):
        if not (math.isfinite(high) and 0 < low <= high):
            raise FitError(
                f"The {name} of {one.name} must run from low to high above zero, such as {example}."
            )
    _check_work(joint)


def check_uncertainty(uncertainty: int) -> None:
    """Refuse an uncertainty below zero, nm. Raises: FitError."""
    if uncertainty < 0:
        raise FitError("The uncertainty must be zero or more, such as 0.004 mm.")


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


def check_gap_range(gap: bond.GapRange) -> None:
    """Refuse a gap range that is upside down.

    gap: nm on the diameter. Raises: FitError, one sentence with an example.

    >>> check_gap_range(bond.GapRange(50_000, 20_000, 100_000, "typed"))
    Traceback (most recent call last):
    ...
    domain.joints.kinds.FitError: The gap range is upside down: the least, 0.050 mm, is above the most, 0.020 mm; \
such as 0.02 to 0.05 mm, filling up to 0.10 mm.
    """
    if 0 < gap.least_nm <= gap.most_nm <= gap.limit_nm:
        return
    example = "such as 0.02 to 0.05 mm, filling up to 0.10 mm"
    least, most, limit = (show_in(end, Unit.MM) for end in (gap.least_nm, gap.most_nm, gap.limit_nm))
    if gap.least_nm <= 0:
        raise FitError(f"The least gap, {least}, must be above zero, {example}.")
    if gap.most_nm < gap.least_nm:
        raise FitError(
            f"The gap range is upside down: the least, {least}, is above the most, {most}; {example}."
        )
    raise FitError(
        f"The gap range is upside down: the most, {most}, is above what it can fill, {limit}; {example}."
    )


def check_bonded(joint: BondedJoint, uncertainty: int) -> None:
    """Refuse a bonded joint, or an uncertainty (nm), that cannot be judged. Raises: FitError."""
    check_gap_range(joint.sheet.gap)
    check_uncertainty(uncertainty)
    for name, degrees in (
        ("hottest running temperature", joint.hottest_c),
        ("compound's service temperature", joint.sheet.service_limit_c),
    ):
        if not math.isfinite(degrees):
            raise FitError(f"The {name} must be a number in degrees C, such as 60.")
