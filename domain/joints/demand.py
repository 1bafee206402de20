"""What the joint between wheel and axle, and that between crankpin and wheel, are asked to carry.

Forces newtons, torques newton metres, lengths whole nanometres, stresses MPa.

The choice for a wheel's seat, derived here, with no published source. M is the most torque of the piston of one side; F
is what the coupled wheels of the other side can put on their rails before they slip. A driven axle may have to pass all
of M: with slack or missing rods and greasy rails nothing else takes it. Another coupled axle passes at most the smaller of
M and (M + F)/2. Inside cylinders drive the axle itself, so their torques add. A carrying axle is turned by its own wheel.
These are what statics asks; the one reserve against slipping is asked on top, and only once.

What is not judged: the side force of flange or curve on the seat, bending of the axle, and what voids any bound: water
trapped in a cylinder, a locked wheel, rods that bind.
"""

import math
import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from domain.joints.terms import mm
from domain.working import Working


@cache
def demand_table() -> dict[str, dict[str, Any]]:
    """The figures to begin with, read once, each beside its source.

    >>> demand_table()["adhesion"]["most"]
    0.35
    """
    return tomllib.loads(files("domain").joinpath("tables", "demand.toml").read_text(encoding="utf-8"))


DERIVED = "derived here, no published source"


class Turned(StrEnum):
    """How an axle is turned: by the pistons, by coupling rods, or by its own wheels on the rail."""

    DRIVEN = "driven"
    COUPLED = "coupled"
    CARRYING = "carrying"


class Drive(StrEnum):
    """Where the cylinders are: outside, two inside on a crank axle, or three in all."""

    OUTSIDE = "outside"
    INSIDE = "inside"
    THREE = "three"

    @property
    def times(self) -> float:
        """How many times one piston's torque may come into the driven axle at once.

        >>> round(Drive.INSIDE.times, 2), Drive.THREE.times
        (1.41, 2.0)
        """
        return float(demand_table()["drive"][self.value])


@dataclass(frozen=True)
class Pistons:
    """What turns the driven axle: one piston's thrust, N; throw and connecting rod, nm; where the cylinders are."""

    thrust_n: float
    throw_nm: int
    rod_nm: int
    drive: Drive = Drive.OUTSIDE


@dataclass(frozen=True)
class SeatDemand:
    """What a wheel's seat is asked to carry, N m, and both bounds behind it.

    piston_nm: M, all that the pistons may send through. shared_nm: (M + F)/2, with rails_nm, F, what the coupled wheels of
    the other side can put on their rails. Of a carrying axle M and F are 0 and its own wheel's slip is asked.
    """

    turned: Turned
    piston_nm: float
    rails_nm: float
    torque_nm: float
    workings: tuple[Working, ...]

    @property
    def shared_nm(self) -> float:
        """(M + F)/2, N m."""
        return (self.piston_nm + self.rails_nm) / 2


@dataclass(frozen=True)
class PinDemand:
    """What a crankpin's fit in its wheel is asked to carry.

    torque_nm: round it, N m. axial_n: along it, N. root_mpa: bending stress where the journal begins; seat_mpa: bending
    stress in the hole; side_mpa: the most pressure of the pin on the hole's side, at its mouth.
    """

    torque_nm: float
    axial_n: float
    root_mpa: float
    seat_mpa: float
    side_mpa: float
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class CrankpinSizes:
    """A crankpin: its diameter and length in the hole and its journal's diameter, nm; overhang, nm, from the wheel's face
    to the middle of the connecting rod's bush."""

    seat_nm: int
    length_nm: int
    journal_nm: int
    overhang_nm: int


def slip_torque_nm(adhesion: float, wheel_load_n: float, tread_diameter_nm: int) -> float:
    """The torque at which a wheel slips on the rail.

    Formula: T = adhesion x load x tread radius
    adhesion: coefficient, above 0 and up to 1, 0.25 to 0.35 on a dry rail.
    wheel_load_n: load on this one wheel, N, 0 or more.
    tread_diameter_nm: nm, above 0.
    Returns: torque, N m.
    Raises: ValueError on a figure outside its limits.
    Source: Coulomb friction; adhesion from memory, verify.

    >>> slip_torque_nm(0.35, 250, 127_000_000)
    5.55625
    """
    _check_range("adhesion", adhesion, 1, "0.35")
    _check_not_negative("load on the wheel", wheel_load_n, "250 N")
    _check_positive("tread diameter", tread_diameter_nm, "127 mm")
    return adhesion * wheel_load_n * mm(tread_diameter_nm) / 2 / 1000


def piston_thrust_n(piston_diameter_nm: int, pressure_mpa: float) -> float:
    """The push of a piston at a pressure, the rod's own area left in.

    Formula: P = pressure x pi D^2 / 4
    piston_diameter_nm: nm, above 0.
    pressure_mpa: gauge pressure, MPa (1 bar is 0.1, 100 psi is 0.69), 0 or more.
    Returns: thrust, N.
    Raises: ValueError on a figure outside its limits.
    Source: pressure times area.

    >>> round(piston_thrust_n(38_100_000, 0.6), 1)
    684.1
    """
    _check_positive("piston diameter", piston_diameter_nm, "38.1 mm")
    _check_not_negative("pressure", pressure_mpa, "0.6 MPa")
    return pressure_mpa * math.pi * mm(piston_diameter_nm) ** 2 / 4


def piston_torque_nm(pistons: Pistons) -> float:
    """The most torque that the pistons send into one axle at once.

    Formula: M = thrust x throw x (1 + throw / rod length), times 1 outside, 1.41 for two inside at 90 degrees, 2 for three
    at 120. The slant of the rod adds about throw / rod length.
    Returns: torque, N m.
    Raises: ValueError on a figure outside its limits, or a rod not longer than the throw.
    Source: moments; the addition for the slant is derived here, no published source.

    >>> round(piston_torque_nm(Pistons(684.1, 28_575_000, 142_875_000)), 2)
    23.46
    """
    _check_not_negative("piston thrust", pistons.thrust_n, "700 N")
    _check_not_negative("throw", pistons.throw_nm, "28.575 mm")
    _check_positive("connecting rod's length", pistons.rod_nm, "150 mm")
    if pistons.rod_nm <= pistons.throw_nm:
        raise ValueError("The connecting rod must be longer than the throw, such as 150 mm on 28.575 mm.")
    slant = 1 + pistons.throw_nm / pistons.rod_nm
    return pistons.drive.times * pistons.thrust_n * mm(pistons.throw_nm) / 1000 * slant


def seat_demand(
    turned: Turned,
    wheel_load_n: float,
    tread_diameter_nm: int,
    adhesion: float | None = None,
    pistons: Pistons | None = None,
    coupled_axles: int = 1,
    *,
    adhesion_source: str = "",
) -> SeatDemand:
    """The torque a wheel's seat must carry, without reserve.

    Formula: driven M; coupled the smaller of M and (M + F)/2; carrying adhesion x load x tread radius. M as
    piston_torque_nm, F = coupled axles x adhesion x load x tread radius
    wheel_load_n: load on one wheel, N, 0 or more. tread_diameter_nm: nm, above 0.
    adhesion: above 0 and up to 1; the table's most (0.35) when None; adhesion_source: who gave it, the table where empty.
    pistons: what turns the engine; not asked for of a carrying axle.
    coupled_axles: how many axles are coupled, the driven one counted, 1 or more.
    Returns: the demand, N m, with its workings.
    Raises: ValueError on a figure outside its limits.
    Source: derived here, no published source; adhesion from memory, verify.

    >>> pistons = Pistons(596.667, 25_000_000, 125_000_000)
    >>> demand = seat_demand(Turned.COUPLED, 120, 130_000_000, 0.35, pistons, 3)
    >>> round(demand.piston_nm, 1), round(demand.rails_nm, 2), round(demand.torque_nm, 1)
    (17.9, 8.19, 13.0)
    """
    table = demand_table()["adhesion"]
    adhesion = table["most"] if adhesion is None else adhesion
    slip = slip_torque_nm(adhesion, wheel_load_n, tread_diameter_nm)
    source = f"{DERIVED}; adhesion: {adhesion_source or table['source']}"
    numbers = f"{adhesion:g} x {wheel_load_n:g} N x {mm(tread_diameter_nm) / 2:.3f} mm"
    if turned is Turned.CARRYING:
        own = Working(
            "torque the seat must carry",
            "T = adhesion x load x tread radius, where its own wheel slips",
            numbers,
            f"{slip:.2f} N m",
            source,
        )
        return SeatDemand(turned, 0.0, 0.0, slip, (own,))
    if pistons is None:
        raise ValueError(
            "The pistons that turn a coupled axle must be given, such as 700 N on a throw of 28 mm."
        )
    if coupled_axles < 1:
        raise ValueError("At least one axle must be coupled, such as 3.")
    piston, rails = piston_torque_nm(pistons), coupled_axles * slip
    shared = (piston + rails) / 2
    torque = piston if turned is Turned.DRIVEN else min(piston, shared)
    return SeatDemand(
        turned,
        piston,
        rails,
        torque,
        (
            _piston_working(pistons, piston),
            Working(
                "F, what the coupled wheels of the other side can put on their rails",
                "F = coupled axles x adhesion x load x tread radius",
                f"{coupled_axles} x {numbers}",
                f"{rails:.2f} N m",
                source,
            ),
            _bound_working(turned, piston, rails, torque),
        ),
    )


def _piston_working(pistons: Pistons, torque_nm: float) -> Working:
    times = {
        Drive.OUTSIDE: "",
        Drive.INSIDE: "1.41 (two inside, 90 degrees apart) x ",
        Drive.THREE: "2 (three, 120 degrees apart) x ",
    }[pistons.drive]
    throw = f"{mm(pistons.throw_nm):.3f}"
    return Working(
        "M, torque of the pistons",
        "M = thrust x throw x (1 + throw / rod length); torques of inside cylinders add",
        f"{times}{pistons.thrust_n:.1f} N x {throw} mm x (1 + {throw} / {mm(pistons.rod_nm):.3f})",
        f"{torque_nm:.2f} N m",
        DERIVED,
    )


def _bound_working(turned: Turned, piston: float, rails: float, torque: float) -> Working:
    formula = {
        Turned.DRIVEN: "a driven axle: M, for with slack or missing rods and greasy rails all of it can cross",
        Turned.COUPLED: "a coupled axle: the smaller of M and (M + F)/2",
    }[turned]
    return Working(
        "torque the seat must carry",
        formula,
        f"M {piston:.2f} N m; (M + F)/2 = ({piston:.2f} + {rails:.2f}) / 2 = {(piston + rails) / 2:.2f} N m",
        f"{torque:.2f} N m",
        DERIVED,
    )


def pin_demand(
    thrust_n: float, pin: CrankpinSizes, bush_friction: float | None = None, *, friction_source: str = ""
) -> PinDemand:
    """What a crankpin and its fit in the wheel must carry: the thrust across it, and its bush dragging on it.

    Formula: bending at the root thrust x overhang on the journal; in the hole thrust x (overhang + half the seat) on the
    seat; stress 32 M / (pi d^3). Side pressure thrust / (d l) + 6 M / (d l^2), a straight line along the hole.
    Round it friction x thrust x journal radius, along it friction x thrust: a sliding bush can pass no more whichever way
    it slides, and both are asked for in full.
    thrust_n: piston thrust on the pin, N, 0 or more. pin: sizes in nm, above 0; an overhang of 0 or more.
    bush_friction: above 0 and up to 1; the table's when None; friction_source: who gave it, the table where empty.
    Returns: the demand without reserve, N m, N and MPa.
    Raises: ValueError on a figure outside its limits.
    Source: bending of a round bar, Shigley 9th ed., eq 3-24; side pressure as of a pin in a socket, from memory, verify;
    Coulomb friction, a dry bush's from memory, verify.

    >>> demand = pin_demand(600, CrankpinSizes(10_000_000, 15_000_000, 10_000_000, 12_000_000), 0.3)
    >>> round(demand.root_mpa, 2), round(demand.seat_mpa, 2), round(demand.side_mpa, 1)
    (73.34, 119.18, 35.2)
    """
    table = demand_table()["bush_friction"]
    friction = table["usual"] if bush_friction is None else bush_friction
    _check_not_negative("piston thrust", thrust_n, "700 N")
    for name, size, example in (
        ("crankpin's journal diameter", pin.journal_nm, "9.525 mm"),
        ("crankpin's diameter in its hole", pin.seat_nm, "9.525 mm"),
        ("length of the crankpin in its hole", pin.length_nm, "14 mm"),
    ):
        _check_positive(name, size, example)
    _check_not_negative("overhang of the crankpin", pin.overhang_nm, "9 mm")
    _check_range("friction of the bush", friction, 1, "0.3")
    axial = friction * thrust_n
    torque = axial * mm(pin.journal_nm) / 2 / 1000
    arm, length, seat = mm(pin.overhang_nm) + mm(pin.length_nm) / 2, mm(pin.length_nm), mm(pin.seat_nm)
    root = _bending_mpa(thrust_n * mm(pin.overhang_nm), mm(pin.journal_nm))
    inside = _bending_mpa(thrust_n * arm, seat)
    side = thrust_n / (seat * length) + 6 * thrust_n * arm / (seat * length**2)
    drag = f"{friction:g} x {thrust_n:.1f} N"
    source = f"Coulomb friction; {friction_source or table['source']}"
    workings = (
        Working("push along the crankpin", "friction x thrust", drag, f"{axial:.0f} N", source),
        Working(
            "torque on the crankpin",
            "friction x thrust x journal radius",
            f"{drag} x {mm(pin.journal_nm) / 2:.3f} mm",
            f"{torque:.2f} N m",
            source,
        ),
        Working(
            "bending stress at the root of the journal",
            "32 thrust x overhang / (pi d^3)",
            f"{thrust_n:.1f} N x {mm(pin.overhang_nm):.3f} mm, d {mm(pin.journal_nm):.3f} mm",
            f"{root:.0f} MPa",
            _BENDING,
        ),
        Working(
            "bending stress in the hole",
            "32 thrust x (overhang + half the seat) / (pi d^3)",
            f"{thrust_n:.1f} N x ({mm(pin.overhang_nm):.3f} + {length:.3f} / 2) mm, d {seat:.3f} mm",
            f"{inside:.0f} MPa",
            _BENDING,
        ),
        Working(
            "side pressure at the mouth of the hole",
            "thrust / (d l) + 6 thrust x (overhang + half the seat) / (d l^2)",
            f"{thrust_n:.1f} N, arm {arm:.3f} mm, d {seat:.3f} mm, l {length:.3f} mm",
            f"{side:.1f} MPa",
            "a straight line of pressure along the hole, as of a pin in a socket: from memory, verify",
        ),
    )
    return PinDemand(torque, axial, root, inside, side, workings)


_BENDING = "bending of a round bar; Shigley's Mechanical Engineering Design, 9th ed., eq 3-24"


def _bending_mpa(moment_nmm: float, diameter_mm: float) -> float:
    return 32 * moment_nmm / (math.pi * diameter_mm**3)


def _check_positive(name: str, value: float, example: str) -> None:
    if not math.isfinite(value) or value <= 0:
        raise ValueError(f"The {name} must be above zero, such as {example}.")


def _check_not_negative(name: str, value: float, example: str) -> None:
    if not math.isfinite(value) or value < 0:
        raise ValueError(f"The {name} must be zero or more, such as {example}.")


def _check_range(name: str, value: float, most: float, example: str) -> None:
    if not 0 < value <= most:
        raise ValueError(f"The {name} must be above 0 and at most {most:g}, such as {example}.")
