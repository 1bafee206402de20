"""What the joint between wheel and axle, and that between crankpin and wheel, are asked to carry.

Forces newtons, torques newton metres, lengths whole nanometres.

The choice for a wheel's seat. The rail can turn a wheel only until it slips, so it asks at most
adhesion x load x tread radius of the seat. On the crank side the piston's thrust at the throw comes on top. The
torque through the seat is what rail and crank leave unbalanced on that wheel; which way each acts changes through
the turn, so the sum of the two sizes is asked for: statics cannot exceed it. The larger of the two alone would be
too little whenever they act the same way round. The service factor is put on the whole.

What is not judged: the side force of flange or curve on the seat, bending of axle or crankpin, the bearing
pressure that thrust puts on the crankpin's fit, the slant of the connecting rod (a few per cent),
and shocks beyond the service factor (water in a cylinder).
"""

import math
import tomllib
from dataclasses import dataclass
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


@dataclass(frozen=True)
class SeatDemand:
    """What a wheel's seat is asked to carry, N m: by slip, by the crank, and both with the service factor."""

    slip_torque_nm: float
    crank_torque_nm: float
    torque_nm: float
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class PinDemand:
    """What a crankpin's fit in its wheel is asked to carry: torque, N m, and push along the pin, N."""

    torque_nm: float
    axial_n: float
    not_judged: str
    workings: tuple[Working, ...]


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


def seat_demand(
    wheel_load_n: float,
    tread_diameter_nm: int,
    adhesion: float | None = None,
    thrust_n: float = 0.0,
    throw_nm: int = 0,
    service_factor: float | None = None,
    *,
    adhesion_source: str = "",
    service_source: str = "",
) -> SeatDemand:
    """The torque a wheel's seat must carry.

    Formula: T = service factor x (adhesion x load x tread radius + thrust x throw)
    wheel_load_n: load on this one wheel, N, 0 or more.
    tread_diameter_nm: nm, above 0.
    adhesion: above 0 and up to 1; the table's most (0.35) when None.
    thrust_n: piston thrust that comes to this wheel's crankpin, N; 0 where the wheel has no crank.
    throw_nm: axle centre to crankpin centre, nm, 0 or more.
    service_factor: 1 or more; the table's usual when None.
    adhesion_source, service_source: who gave them; the table where empty.
    Returns: the demand, N m, with its workings.
    Raises: ValueError on a figure outside its limits.
    Source: Coulomb friction and moments; adhesion from memory, verify; service factor common practice, no
    source. The sum is an upper bound: the module says why.

    >>> demand = seat_demand(250, 127_000_000, 0.35, 684.1, 28_575_000, 1.5)
    >>> round(demand.slip_torque_nm, 2), round(demand.crank_torque_nm, 2), round(demand.torque_nm, 2)
    (5.56, 19.55, 37.66)
    """
    figures = demand_table()
    adhesion = figures["adhesion"]["most"] if adhesion is None else adhesion
    factor = figures["service_factor"]["usual"] if service_factor is None else service_factor
    slip = slip_torque_nm(adhesion, wheel_load_n, tread_diameter_nm)
    _check_not_negative("piston thrust", thrust_n, "700 N")
    _check_not_negative("throw", throw_nm, "28.575 mm")
    _check_factor("service factor", factor)
    crank = thrust_n * mm(throw_nm) / 1000
    torque = factor * (slip + crank)
    workings = (
        Working(
            "torque at which the wheel slips",
            "T = adhesion x load x tread radius",
            f"{adhesion:g} x {wheel_load_n:g} N x {mm(tread_diameter_nm) / 2:.3f} mm",
            f"{slip:.2f} N m",
            f"Coulomb friction; adhesion: {adhesion_source or figures['adhesion']['source']}",
        ),
        Working(
            "torque of the crank",
            "T = piston thrust x throw",
            f"{thrust_n:g} N x {mm(throw_nm):.3f} mm",
            f"{crank:.2f} N m",
            "moment of a force; at the quarter, where the arm is the whole throw",
        ),
        Working(
            "torque the seat must carry",
            "service factor x (slip + crank)",
            f"{factor:g} x ({slip:.2f} + {crank:.2f}) N m",
            f"{torque:.2f} N m",
            "an upper bound: the two may act the same way round. Service factor:"
            f" {service_source or figures['service_factor']['source']}",
        ),
    )
    return SeatDemand(slip, crank, torque, workings)


def pin_demand(
    thrust_n: float,
    journal_diameter_nm: int,
    bush_friction: float | None = None,
    service_factor: float | None = None,
    *,
    friction_source: str = "",
    service_source: str = "",
) -> PinDemand:
    """What a crankpin's fit in its wheel must carry: the rod's bush dragging on it, round it and along it.

    Formula: T = service factor x friction x thrust x journal diameter / 2; F = service factor x friction x thrust
    A sliding bush can pass no more than friction x thrust to the pin whichever way it slides; both ways are
    asked for in full.
    thrust_n: piston thrust on the pin, N, 0 or more.
    journal_diameter_nm: where the rod's bush runs, nm, above 0.
    bush_friction: above 0 and up to 1; the table's when None.
    service_factor: 1 or more; the table's usual when None.
    friction_source, service_source: who gave them; the table where empty.
    Returns: the demand, N m and N, with what it leaves unjudged.
    Raises: ValueError on a figure outside its limits.
    Source: Coulomb friction; a dry bush's friction from memory, verify.

    >>> demand = pin_demand(684.1, 9_525_000, 0.3, 1.5)
    >>> round(demand.torque_nm, 3), round(demand.axial_n, 1)
    (1.466, 307.8)
    """
    figures = demand_table()
    friction = figures["bush_friction"]["usual"] if bush_friction is None else bush_friction
    factor = figures["service_factor"]["usual"] if service_factor is None else service_factor
    _check_not_negative("piston thrust", thrust_n, "700 N")
    _check_positive("crankpin's journal diameter", journal_diameter_nm, "9.525 mm")
    _check_range("friction of the bush", friction, 1, "0.3")
    _check_factor("service factor", factor)
    axial = factor * friction * thrust_n
    torque = axial * mm(journal_diameter_nm) / 2 / 1000
    by_whom = service_source or figures["service_factor"]["source"]
    source = f"Coulomb friction; {friction_source or figures['bush_friction']['source']}; factor: {by_whom}"
    numbers = f"{factor:g} x {friction:g} x {thrust_n:g} N"
    workings = (
        Working(
            "push along the crankpin", "service factor x friction x thrust", numbers, f"{axial:.0f} N", source
        ),
        Working(
            "torque on the crankpin",
            "service factor x friction x thrust x journal radius",
            f"{numbers} x {mm(journal_diameter_nm) / 2:.3f} mm",
            f"{torque:.2f} N m",
            source,
        ),
    )
    return PinDemand(torque, axial, PIN_NOT_JUDGED, workings)


PIN_NOT_JUDGED = (
    "Only turning and pulling out of the crankpin are judged here: not its bending, not the side pressure of the"
    " thrust in its hole, not a seized bush or a rod that binds."
)


def _check_positive(name: str, value: float, example: str) -> None:
    if not math.isfinite(value) or value <= 0:
        raise ValueError(f"The {name} must be above zero, such as {example}.")


def _check_not_negative(name: str, value: float, example: str) -> None:
    if not math.isfinite(value) or value < 0:
        raise ValueError(f"The {name} must be zero or more, such as {example}.")


def _check_range(name: str, value: float, most: float, example: str) -> None:
    if not 0 < value <= most:
        raise ValueError(f"The {name} must be above 0 and at most {most:g}, such as {example}.")


def _check_factor(name: str, value: float) -> None:
    if not math.isfinite(value) or value < 1:
        raise ValueError(f"The {name} must be 1 or more, such as 1.5.")
