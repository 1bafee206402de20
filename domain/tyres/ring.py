"""A steel tyre on an iron wheel centre: the thick-ring sums of the joints, the steel outside and the iron inside.

Lengths are whole nanometres on the diameter, stresses MPa, E in GPa, torques N m, temperatures degrees C.

What is not known goes to the side that is worse. The centre is at most as stiff as a solid disc, which strains the tyre
most, and at least as stiff as its bare rim, which grips least and is itself pressed most: spokes or a web hold it up by
something between. Pressure and both stresses rise in proportion to the interference; at one interference a tyre that
is turned thinner grips less and is strained more.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any

from domain.joints import interference
from domain.joints.friction import Friction
from domain.joints.kinds import FitError, FitKind
from domain.joints.materials import MILD_STEEL, Iron, Steel
from domain.joints.roughness import DEFAULT_EDITION, Edition, Roughness, effective_interference_nm
from domain.joints.terms import default_range, mm
from domain.joints.terms import table as fits_table
from domain.lengths import NM_PER_MM, Unit, show


@cache
def table() -> dict[str, dict[str, Any]]:
    """The table of tyres, read once; each figure beside its source.

    >>> table()["factor"]["wanted"]
    1.25
    """
    return tomllib.loads(files("domain").joinpath("tables", "tyres.toml").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class MetalStrength:
    """What is asked of the metal, each with who says so.

    yield_mpa: of the tyre's steel. factor_wanted: yield over hoop stress, 1 or more. crush_wanted: what the iron stands
    pressed over what presses it, 1 or more. hottest_c: the most the tyre may be heated to.
    """

    yield_mpa: float
    factor_wanted: float
    crush_wanted: float
    hottest_c: float
    yield_source: str = ""
    factor_source: str = ""
    crush_source: str = ""
    hottest_source: str = ""


@dataclass(frozen=True)
class Tyre:
    """A tyre and its wheel centre, nm on the diameter.

    inside_nm: of the tyre, the outside of the centre. outside_nm: the smallest ring of metal once the tread is turned.
    rough_nm: the largest ring it may be as it is shrunk on. hole_nm: inside of the centre's rim, 0 where it is solid.
    width_nm: how much of the centre it grips.
    """

    inside_nm: int
    outside_nm: int
    rough_nm: int
    hole_nm: int
    width_nm: int
    iron: Iron
    friction: Friction
    steel: Steel = MILD_STEEL
    roughness: Roughness = field(default_factory=Roughness)
    edition: Edition = DEFAULT_EDITION
    room_c: float = 20.0


@dataclass(frozen=True)
class RingState:
    """A shrunk tyre with every doubtful figure at one value.

    interference_nm: what strains or grips, nm. hoop_mpa: the greatest tension in the tyre, at its inside. centre_mpa: the
    greatest pressure stress in the centre, at the inside of its rim.
    """

    name: str
    interference_nm: int
    pressure_mpa: float
    hoop_mpa: float
    centre_mpa: float
    torque_nm: float


def pressed_ring_mpa(pressure: float, outside_mm: float, hole_mm: float = 0.0) -> float:
    """The greatest compression in a ring or a disc that is pressed from outside.

    Formula: 2 p d^2 / (d^2 - di^2) round the hole; p everywhere in a solid disc
    pressure: MPa, 0 or more. outside_mm, hole_mm: diameters d and di, mm, di below d.
    Returns: MPa, compression positive.
    Raises: ValueError on a negative pressure or a hole that leaves no ring.
    Source: Lame, Shigley's Mechanical Engineering Design, 9th ed., eq. 3-49 with the pressure outside only.

    >>> pressed_ring_mpa(10, 100, 80), pressed_ring_mpa(10, 100)
    (55.55555555555556, 10)
    """
    if not math.isfinite(pressure) or pressure < 0:
        raise ValueError(f"The pressure must be zero or more, such as 12 MPa, not {pressure}.")
    if not 0 <= hole_mm < outside_mm:
        raise ValueError(f"The hole ({hole_mm} mm) must be smaller than the ring ({outside_mm} mm).")
    if hole_mm == 0:
        return pressure
    return 2 * pressure * outside_mm**2 / ((outside_mm - hole_mm) * (outside_mm + hole_mm))


def smallest_ring_nm(tread_nm: int, width_nm: int, cone: float | None) -> int:
    """The tread's diameter at its front edge, where a coned tyre is thinnest; the flange is not counted.

    tread_nm: at the middle of the tread; width_nm: of the whole tyre; cone: N of 1 in N, None
    for a straight tread. Returns: nm, rounded down. Source: geometry.

    >>> smallest_ring_nm(130_000_000, 14_000_000, 20.0)
    129300000
    """
    return tread_nm if cone is None else math.floor(tread_nm - width_nm / cone)


def usual_interference(inside_nm: int) -> tuple[int, int]:
    """The interference to want on a tyre when the drawing does not say: half to the whole of the rule of thumb.

    Formula: 0.0005 to 0.001 of the diameter. inside_nm: above 0.
    Returns: least and most, nm.
    Source: Applied Science for Metal Workers, sections 453-454: 0.001 in per inch; the half is common practice, no source.

    >>> usual_interference(101_600_000)
    (50800, 101600)
    """
    return default_range(FitKind.SHRINK, inside_nm)


def drawn_tyre(
    nm: Mapping[str, int], cone: float | None, iron: Iron, friction: Friction, turned_nm: int | None = None
) -> Tyre:
    """A tyre by its drawing's figures, and as thin as its tread was turned where that is thinner.

    nm: the figures by key, as domain/drawing.py names them. cone: N of 1 in N, None for a straight tread.
    """
    drawn = nm["tread_diameter"]
    tread = drawn if turned_nm is None else min(drawn, turned_nm)
    return Tyre(
        inside_nm=nm["tyre_inside"],
        outside_nm=smallest_ring_nm(tread, nm["tyre_width"], cone),
        rough_nm=drawn + 2 * nm["flange_depth"],
        hole_nm=nm["rim_inside"],
        width_nm=nm["tyre_width"],
        iron=iron,
        friction=friction,
    )


def check(tyre: Tyre) -> None:
    """Refuse a tyre that cannot be. Raises: FitError, one sentence."""
    for name, nm in (("tyre's inside", tyre.inside_nm), ("tyre's width", tyre.width_nm)):
        if nm <= 0:
            raise FitError(f"The {name} must be above zero.")
    inside, outside = (show(nm, Unit.MM) for nm in (tyre.inside_nm, tyre.outside_nm))
    if tyre.outside_nm <= tyre.inside_nm:
        raise FitError(f"No tyre is left: its tread is turned to {outside} over an inside of {inside}.")
    if tyre.rough_nm < tyre.outside_nm:
        raise FitError("A tyre is no smaller as it is shrunk on than once it is turned.")
    if not 0 <= tyre.hole_nm < tyre.inside_nm:
        raise FitError("The inside of the rim must be smaller than the wheel centre.")


def state_at(
    tyre: Tyre,
    name: str,
    interference_nm: int,
    *,
    outside_nm: int,
    hole_nm: int,
    young_gpa: float,
    friction: float,
) -> RingState:
    """The tyre with its doubtful figures at these values.

    Formula: Lame, the steel as the hub and the iron as the shaft; T = mu pi d^2 l p / 2
    interference_nm: nm, 0 or more. young_gpa: the iron's E. Raises: ValueError on a figure outside its limits.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.
    """
    seat, outside, hole = mm(tyre.inside_nm), mm(outside_nm), mm(hole_nm)
    steel, iron = (tyre.steel.young_gpa, tyre.steel.poisson), (young_gpa, tyre.iron.poisson)
    pressure = interference.pressure_mpa(seat, outside, mm(interference_nm), *steel, *iron, hole)
    return RingState(
        name,
        interference_nm,
        pressure,
        interference.hoop_stress_mpa(pressure, seat, outside),
        pressed_ring_mpa(pressure, seat, hole),
        interference.torque_nm(pressure, seat, mm(tyre.width_nm), friction),
    )


def most_strained(tyre: Tyre, interference_nm: int) -> RingState:
    """The tyre strained most: turned to its thinnest, round a solid disc of the stiffest iron, nothing smoothed."""
    return state_at(
        tyre,
        "tyre most strained",
        max(0, interference_nm),
        outside_nm=tyre.outside_nm,
        hole_nm=0,
        young_gpa=tyre.iron.young_high_gpa,
        friction=tyre.friction.most,
    )


def most_pressed(tyre: Tyre, interference_nm: int) -> RingState:
    """The centre pressed most: by the tyre as thick as it is shrunk on, its bare rim alone, nothing smoothed."""
    return state_at(
        tyre,
        "centre most pressed",
        max(0, interference_nm),
        outside_nm=tyre.rough_nm,
        hole_nm=tyre.hole_nm,
        young_gpa=tyre.iron.young_high_gpa,
        friction=tyre.friction.most,
    )


def least_grip(tyre: Tyre, interference_nm: int, *, turned: bool = True) -> RingState:
    """The tyre gripping least: smoothed, a bare rim of the softest iron, the least friction; as turned or as shrunk on."""
    return state_at(
        tyre,
        "grips least" if turned else "grips least as shrunk on",
        effective_interference_nm(max(0, interference_nm), tyre.roughness, tyre.edition),
        outside_nm=tyre.outside_nm if turned else tyre.rough_nm,
        hole_nm=tyre.hole_nm,
        young_gpa=tyre.iron.young_low_gpa,
        friction=tyre.friction.least,
    )


def clearance_nm(tyre: Tyre) -> int:
    """The room wanted while a tyre drops on, nm on the diameter: the joints' own rule."""
    share: float = fits_table()["shrink"]["assembly_clearance_per_diameter"]
    return round(tyre.inside_nm * share)


def heat_to_c(tyre: Tyre, interference_nm: int) -> float:
    """How hot the tyre must be to drop on the centre at room temperature.

    Formula: t = room + (delta + room to drop on) / (alpha d), alpha the steel's
    interference_nm: the most it may be, nm. Returns: degrees C.
    Source: thermal expansion; Shigley's Mechanical Engineering Design, 9th ed., section 7-8.

    >>> from domain.joints.friction import friction
    >>> from domain.joints.materials import iron
    >>> one = Tyre(100_000_000, 114_000_000, 120_000_000, 84_000_000, 14_000_000, iron("en-gjl-200"),
    ...     friction(FitKind.SHRINK, "degreased"))
    >>> round(heat_to_c(one, 100_000))
    194
    """
    rise = interference.heating_k(
        mm(max(0, interference_nm)), mm(clearance_nm(tyre)), tyre.steel.alpha_per_k, mm(tyre.inside_nm)
    )
    return tyre.room_c + rise


def stood_interference_nm(tyre: Tyre, strength: MetalStrength) -> int:
    """The most interference at which the tyre keeps its factor against yielding, rounded down.

    Formula: the stress is in proportion to the interference. Returns: nm, 0 or more.
    Raises: FitError on a tyre that cannot be.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.
    """
    check(tyre)
    per_mm = most_strained(tyre, NM_PER_MM).hoop_mpa
    return max(0, math.floor(strength.yield_mpa / strength.factor_wanted / per_mm * NM_PER_MM) - 1)


def crushing_mpa(iron: Iron) -> float:
    """What an iron stands in being pressed, MPa: the table's share of the least it stands in being pulled.

    >>> from domain.joints.materials import iron
    >>> crushing_mpa(iron("en-gjl-200"))
    600.0
    """
    return float(iron.tensile_low_mpa * table()["crushing"]["per_tensile"])
