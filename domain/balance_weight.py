"""The cast-in or plated weight itself: what it weighs, whether it is over or under, and what to drill or fill."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from domain.balance_types import BalanceError, check_number
from domain.balance_words import DRILLING_CAUTION, LEAD_CAUTION, figure, mass
from domain.length import NM_PER_MM, Unit, show
from domain.working import Working

_GEOMETRY = "area and first moment of a circular segment: geometry"
_MOST_HOLES = 200  # more than that is a wrong size typed, not a job


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

    Formula: none, a look-up.
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


class Verdict(StrEnum):
    """How the weight as it is compares with the weight that is needed."""

    RIGHT = "right"
    OVER = "over"
    UNDER = "under"


@dataclass(frozen=True)
class Adjustment:
    """Over or under, and what puts it right.

    over_gmm: moment along the wanted direction less the moment needed, g mm; below 0 it is under.
    over_g: the same as a mass at the hole's distance.
    holes: how many to drill (over) or to drill and fill (under); 0 when it is right.
    one_hole_gmm: what one such hole takes away, or gains when filled.
    left_gmm: what is out of balance after that, across the wanted direction included.
    """

    verdict: Verdict
    over_gmm: float
    over_g: float
    holes: int
    one_hole_gmm: float
    left_gmm: float
    words: str
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]


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
    _check_segment(segment, of)
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


def judge_weight(
    needed_gmm: float,
    have_gmm: float,
    segment: Segment,
    base: Material,
    hole: Hole,
    fill: Material | None,
    unit: Unit,
    off_deg: float = 0.0,
) -> Adjustment:
    """Whether a weight is over or under, and how many holes to drill out, or to drill and fill.

    Formula: over = have cos(off) - needed; holes = |over| / moment of one, to the nearest; right within half a hole;
    left = sqrt((|over| - holes x one)^2 + (have sin(off))^2). Over: holes are left empty; under: they are filled.
    Parameters: `needed_gmm`, `have_gmm`, moments, g mm, 0 or more; `segment`, the weight that is drilled; `base`, what
    it is made of; `hole`, inside the segment and no deeper than it is thick; `fill`, heavier than the base, looked
    at only when the weight is under; `unit`; `off_deg`, how far the weight's middle line is from the wanted
    direction, degrees, above -90 and below 90.
    Returns: moments in g mm, mass in g.
    Raises: BalanceError with its sentence and field for a figure outside its limits.
    Source: derived here from first moments; no published source.

    >>> shape, hole = Segment(45_000_000, 18_000_000, 8_000_000), Hole(6_000_000, 8_000_000, 30_000_000)
    >>> done = judge_weight(2_500, 2_693.9, shape, material("iron"), hole, material("lead"), Unit.MM)
    >>> done.verdict.value, done.holes, round(done.left_gmm, 1)
    ('over', 4, 1.5)
    """
    _check_judging(needed_gmm, have_gmm, off_deg, segment, hole, base)
    over = have_gmm * math.cos(math.radians(off_deg)) - needed_gmm
    fill = None if over >= 0 else fill
    one = hole_moment_gmm(hole, base, fill)
    holes = math.floor(abs(over) / one + 0.5)
    if over < 0 and holes > 0 and fill is None:
        raise BalanceError(
            "fill", "The weight is under: choose a fill that is heavier than what is drilled out."
        )
    if holes > _MOST_HOLES:
        raise BalanceError("hole_diameter", f"It would take more than {_MOST_HOLES} holes: make them larger.")
    verdict = Verdict.RIGHT if holes == 0 else (Verdict.OVER if over > 0 else Verdict.UNDER)
    across = have_gmm * math.sin(math.radians(off_deg))
    left = math.hypot(abs(over) - holes * one, across)
    over_g = over / (hole.distance_nm / NM_PER_MM)
    words = _words(verdict, (over, over_g, holes, abs(across), left), hole, fill, unit)
    return Adjustment(
        verdict,
        over,
        over_g,
        holes,
        one,
        left,
        words,
        _cautions(verdict, holes, segment, hole, fill),
        _workings(
            (needed_gmm, have_gmm, off_deg), (over, one, holes, left), verdict, hole, (base, fill), unit
        ),
    )


def holes_in_a_row(segment: Segment, hole: Hole) -> int:
    """How many such holes fit side by side in one row along the chord, half a diameter of iron between and at the ends.

    Formula: n d + (n + 1) d / 2 <= 2 sqrt(R^2 - (b + d/2)^2)
    Parameters: `segment`, `hole`, nm.
    Returns: a count.
    Raises: nothing.
    Source: geometry; the iron left between is common practice, no source.

    >>> holes_in_a_row(Segment(45_000_000, 18_000_000, 8_000_000), Hole(6_000_000, 8_000_000, 30_000_000))
    6
    """
    top = hole.distance_nm + hole.diameter_nm / 2.0
    if top >= segment.outer_nm:
        return 0
    wide = 2.0 * math.sqrt(segment.outer_nm**2 - top**2)
    return max(0, math.floor((wide - hole.diameter_nm / 2.0) / (1.5 * hole.diameter_nm)))


def _check_segment(segment: Segment, of: Material) -> None:
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


def _check_judging(
    needed: float, have: float, off_deg: float, segment: Segment, hole: Hole, base: Material
) -> None:
    check_number("needed", needed, "moment needed", "2500 g mm", zero=True)
    check_number("have", have, "weight's own moment", "2694 g mm", zero=True)
    if not (math.isfinite(off_deg) and abs(off_deg) < 90.0):
        raise BalanceError("off", "The weight points the wrong way: its angle must be within 90 degrees.")
    _check_segment(segment, base)
    hole_moment_gmm(hole, base)  # its sizes must be above nothing
    radius = hole.diameter_nm / 2.0
    if hole.distance_nm - radius < segment.chord_nm or hole.distance_nm + radius > segment.outer_nm:
        raise BalanceError(
            "hole_distance",
            "The hole would run out of the weight: change its distance from the axle or its size.",
        )
    if hole.depth_nm > segment.thickness_nm:
        raise BalanceError("hole_depth", "The hole is deeper than the weight is thick: drill it less deep.")


def _words(
    verdict: Verdict,
    figures: tuple[float, float, int, float, float],
    hole: Hole,
    fill: Material | None,
    unit: Unit,
) -> str:
    over, over_g, holes, across, left = figures
    rest = f"{figure(left, 3)} g mm is left."
    if across > left / 2:
        rest += (
            f" Of that, {figure(across, 3)} g mm points across, because the weight is not in the wanted direction: holes on"
            " its middle line do not cure it."
        )
    if verdict is Verdict.RIGHT:
        return f"The weight is right to within half a hole: {rest}"
    at = f"{show(hole.distance_nm, unit)} from the axle"
    many = (
        f"{holes} hole{'s' if holes > 1 else ''} of {show(hole.diameter_nm, unit)},"
        f" {show(hole.depth_nm, unit)} deep, at that distance"
    )
    spread = ", spread evenly to both sides of its middle line" if holes > 1 else ""
    filled = "" if fill is None else f", and fill with {fill.name}"
    return (
        f"The weight is {verdict} by {figure(abs(over), 4)} g mm, which is {mass(abs(over_g), unit)} at {at}:"
        f" drill {many}{spread}{filled}. Then {rest}"
    )


def _cautions(
    verdict: Verdict, holes: int, segment: Segment, hole: Hole, fill: Material | None
) -> tuple[str, ...]:
    found = [] if verdict is Verdict.RIGHT else [DRILLING_CAUTION]
    room = holes_in_a_row(segment, hole)
    if holes > room:
        found.append(
            f"Only {room} of the {holes} holes fit in one row: make them larger or deeper, or give the others a"
            " distance of their own and work it out again."
        )
    if holes and fill is not None and fill.is_lead:
        found.append(LEAD_CAUTION)
    return tuple(found)


def _workings(
    moments: tuple[float, float, float],
    figures: tuple[float, float, int, float],
    verdict: Verdict,
    hole: Hole,
    materials: tuple[Material, Material | None],
    unit: Unit,
) -> tuple[Working, ...]:
    needed, have, off = moments
    over, one, holes, left = figures
    base, fill = materials
    size = f"d {show(hole.diameter_nm, unit)}, depth {show(hole.depth_nm, unit)}, {show(hole.distance_nm, unit)} away"
    density = f"{base.name} {base.density:g} g/cm3"
    sources = f"volume of a cylinder; density: {base.source}"
    if fill is not None:
        density += f", {fill.name} {fill.density:g} g/cm3"
        sources += f"; {fill.source}"
    return (
        Working(
            "over or under",
            "have x cos(off) - needed",
            f"{have:.1f} g mm x cos({off:g} degrees) - {needed:.1f} g mm",
            f"{over:+.1f} g mm",
            "first moments, derived here; no published source",
        ),
        Working(
            "one hole" if fill is None else "one hole, filled",
            "(pi/4) d^2 x depth x distance x " + ("density" if fill is None else "difference of densities"),
            f"{size}, {density}",
            f"{one:.2f} g mm",
            sources,
        ),
        Working(
            "holes",
            "|over or under| / one hole, to the nearest",
            f"{abs(over):.1f} g mm / {one:.2f} g mm",
            f"{holes} ({verdict.value}), {left:.2f} g mm left",
            "arithmetic",
        ),
    )
