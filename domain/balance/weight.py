"""The cast-in or plated weight itself: what it is made of, what it weighs, and what a hole takes from it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from domain.balance.types import BalanceError, check_number
from domain.balance.words import mass
from domain.lengths import NM_PER_MM, Unit, show
from domain.working import Working

_GEOMETRY = "area and first moment of a circular segment: geometry"


@dataclass(frozen=True)
class Material:
    """What a weight is made of or filled with; density in g/cm3."""

    key: str
    name: str
    density: float
    is_lead: bool
    source: str


MATERIALS = (
    Material("iron", "grey cast iron", 7.2, False, "usual handbook figure for grey iron, 7.0 to 7.3"),
    Material("steel", "mild steel plate", 7.85, False, "usual handbook figure"),
    Material("lead", "lead", 11.34, True, "density of lead at 20 C, handbooks of chemistry and physics"),
    Material("bismuth", "bismuth, lead-free", 9.78, False, "density of bismuth at 20 C, from memory, verify"),
    Material(
        "bismuth-tin",
        "bismuth-tin alloy 58/42, lead-free",
        8.56,
        False,
        "eutectic alloy, from memory, verify",
    ),
)


def material(key: str) -> Material:
    """The material with this key.

    Parameters: `key`, one of MATERIALS, such as "iron".
    Returns: the Material, density in g/cm3.
    Raises: BalanceError when none has the key.
    Source: each material's own `source`.

    >>> material("lead").density
    11.34
    """
    for one in MATERIALS:
        if one.key == key:
            return one
    known = ", ".join(one.name for one in MATERIALS)
    raise BalanceError("material", f"That material is not known: choose one of {known}.")


@dataclass(frozen=True)
class Segment:
    """A weight the shape of a disc's segment: everything between a chord and the rim, nm.

    added_share: the part of its volume that is there only for balance, above 0 up to 1. Spokes that run through a
    cast-in weight are balanced by their fellows on the other side and do not count.
    """

    outer_nm: int
    chord_nm: int
    thickness_nm: int
    added_share: float = 1.0


@dataclass(frozen=True)
class SegmentWeight:
    """What a segment weighs (g), how far its middle is from the axle (nm), and its first moment (g mm)."""

    mass_g: float
    middle_nm: int
    moment_gmm: float
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class Hole:
    """A hole to drill into the weight, nm; `distance_nm` from the axle, measured along the weight's middle line."""

    diameter_nm: int
    depth_nm: int
    distance_nm: int


def segment_weight(segment: Segment, of: Material, unit: Unit) -> SegmentWeight:
    """What a weight the shape of a segment weighs, and its first moment about the axle.

    Formula: area = R^2 acos(h / R) - h sqrt(R^2 - h^2); mass = area t rho; moment = t rho (2/3)(R^2 - h^2)^(3/2);
    middle = moment / mass; mass and moment times the added share
    Parameters: `segment`: R > h >= 0, t > 0, nm, added share above 0 up to 1; `of`, its material; `unit`, for the words.
    Returns: g, nm and g mm, with the workings.
    Raises: BalanceError with its sentence and field for a figure outside its limits.
    Source: geometry of the circular segment.

    >>> done = segment_weight(Segment(45_000_000, 18_000_000, 8_000_000), material("iron"), Unit.MM)
    >>> round(done.mass_g, 2), round(done.middle_nm / 1e6, 3)
    (92.46, 29.137)
    """
    check_segment(segment, of)
    outer, chord = segment.outer_nm / NM_PER_MM, segment.chord_nm / NM_PER_MM
    half = math.sqrt((outer - chord) * (outer + chord))
    # The same angle as acos(h / R), which for a thin sliver would lose all its figures.
    area = outer**2 * math.atan2(half, chord) - chord * half
    per_mm2 = segment.thickness_nm / NM_PER_MM * of.density / 1000.0 * segment.added_share
    grams, moment = area * per_mm2, 2.0 / 3.0 * half**3 * per_mm2
    middle = round(moment / grams * NM_PER_MM)
    sizes = f"R {show(segment.outer_nm, unit)}, h {show(segment.chord_nm, unit)}"
    made = f"t {show(segment.thickness_nm, unit)}, {of.name} {of.density:g} g/cm3"
    if segment.added_share < 1.0:
        made += f", {100 * segment.added_share:g} % of it there for balance"
    workings = (
        Working(
            "area of the weight", "R^2 acos(h/R) - h sqrt(R^2 - h^2)", sizes, f"{area:.2f} mm2", _GEOMETRY
        ),
        Working(
            "mass of the weight",
            "area x t x density",
            f"{area:.2f} mm2, {made}",
            mass(grams, unit),
            f"{_GEOMETRY}; density: {of.source}",
        ),
        Working(
            "first moment of the weight",
            "t x density x (2/3)(R^2 - h^2)^(3/2)",
            f"{sizes}, {made}",
            f"{moment:.1f} g mm, middle {show(middle, unit)} from the axle",
            f"{_GEOMETRY}; density: {of.source}",
        ),
    )
    return SegmentWeight(grams, middle, moment, workings)


def hole_moment_gmm(hole: Hole, base: Material, fill: Material | None = None) -> float:
    """What a hole takes from the weight's moment, or gains when it is filled.

    Formula: (pi / 4) d^2 depth x distance x (density of the base - density of the fill), without its sign
    Parameters: `hole`, nm, all above 0; `base`, what is drilled; `fill`, None for a hole left empty.
    Returns: g mm, taken away when empty, gained when filled.
    Raises: BalanceError for a size not above 0, or a fill that is not heavier than what is drilled out.
    Source: volume of a cylinder.

    >>> round(hole_moment_gmm(Hole(6_000_000, 8_000_000, 30_000_000), material("iron")), 2)
    48.86
    """
    check_number("hole_diameter", hole.diameter_nm, "hole's diameter", "6 mm")
    check_number("hole_depth", hole.depth_nm, "hole's depth", "8 mm")
    check_number("hole_distance", hole.distance_nm, "hole's distance from the axle", "30 mm")
    if fill is not None and fill.density <= base.density:
        raise BalanceError(
            "fill",
            f"A fill of {fill.name} is no heavier than the {base.name} that is drilled out: choose a heavier one.",
        )
    volume = math.pi / 4.0 * (hole.diameter_nm / NM_PER_MM) ** 2 * hole.depth_nm / NM_PER_MM
    gained = base.density if fill is None else fill.density - base.density
    return volume / 1000.0 * gained * hole.distance_nm / NM_PER_MM


def check_segment(segment: Segment, of: Material) -> None:
    """Refuse a weight that cannot be the segment of a disc.

    Formula: R > h >= 0, t > 0, 0 < added share <= 1
    Parameters: `segment`, nm; `of`, its material, density above 0.
    Raises: BalanceError with its sentence and field.
    Source: our own.

    >>> check_segment(Segment(45_000_000, 18_000_000, 8_000_000), material("iron"))
    """
    check_number("outer", segment.outer_nm, "weight's outside radius", "45 mm")
    check_number("chord", segment.chord_nm, "distance from the axle to the weight's flat", "18 mm", zero=True)
    check_number("thickness", segment.thickness_nm, "weight's thickness", "8 mm")
    check_number("density", of.density, "density", "7.2 g/cm3")
    if segment.chord_nm >= segment.outer_nm:
        raise BalanceError(
            "chord", "The weight's flat must be nearer to the axle than its outside: check both."
        )
    if not (math.isfinite(segment.added_share) and 0.0 < segment.added_share <= 1.0):
        raise BalanceError(
            "added_share", "The part that is there for balance must be above 0 and up to 100 %: type 80, say."
        )
