"""The cast-in or plated weight: what it weighs, whether it is over or under, and what holes do to it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from domain.balance.figures import BalanceError, check_number, mass
from domain.lengths import NM_PER_MM, Unit, show
from domain.working import Working

_GEOMETRY = "area and first moment of a circular segment: geometry"
# Above this share of the weight's volume drilling is no correction any more: common practice, no source.
MOST_DRILLED: Final = 0.5
# From row to row in diameters, half a diameter of iron between: common practice, no source.
PITCH: Final = 1.5
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
    Material("iron", "grey cast iron", 7.2, False, "grey iron, 7.0 to 7.3, from memory, verify"),
    Material("steel", "mild steel plate", 7.85, False, "plain steel, from memory, verify"),
    Material("lead", "lead", 11.34, True, "density of lead at 20 C, from memory, verify"),
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

    Source: each material's own `source`.

    >>> material("lead").density
    11.34
    """
    for one in MATERIALS:
        if one.key == key:
            return one
    known = ", ".join(one.name for one in MATERIALS)
    raise BalanceError(
        f"That material is not known: choose one of {known}.",
        field="material",
    )


@dataclass(frozen=True)
class WeightSegment:
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


def segment_weight(segment: WeightSegment, of: Material, unit: Unit) -> SegmentWeight:
    """What a weight the shape of a segment weighs, and its first moment about the axle.

    Formula: area = R^2 acos(h / R) - h sqrt(R^2 - h^2); mass = area t rho; moment = t rho (2/3)(R^2 - h^2)^(3/2);
    middle = moment / mass; mass and moment times the added share
    Parameters: `segment`: R > h >= 0, t > 0, nm, added share above 0 up to 1; `of`, its material; `unit`, for the words.
    Source: geometry of the circular segment.

    >>> done = segment_weight(WeightSegment(45_000_000, 18_000_000, 8_000_000), material("iron"), Unit.MM)
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
            f"A fill of {fill.name} is no heavier than the {base.name} that is drilled out: choose a heavier one.",
            field="fill",
        )
    volume = math.pi / 4.0 * (hole.diameter_nm / NM_PER_MM) ** 2 * hole.depth_nm / NM_PER_MM
    gained = base.density if fill is None else fill.density - base.density
    return volume / 1000.0 * gained * hole.distance_nm / NM_PER_MM


def check_segment(segment: WeightSegment, of: Material) -> None:
    """Refuse a weight that cannot be the segment of a disc.

    Formula: R > h >= 0, t > 0, 0 < added share <= 1

    >>> check_segment(WeightSegment(45_000_000, 18_000_000, 8_000_000), material("iron"))
    """
    check_number("outer", segment.outer_nm, "weight's outside radius", "45 mm")
    check_number("chord", segment.chord_nm, "distance from the axle to the weight's flat", "18 mm", zero=True)
    check_number("thickness", segment.thickness_nm, "weight's thickness", "8 mm")
    check_number("density", of.density, "density", "7.2 g/cm3")
    if segment.chord_nm >= segment.outer_nm:
        raise BalanceError(
            "The weight's flat must be nearer to the axle than its outside: check both.",
            field="chord",
        )
    if not (math.isfinite(segment.added_share) and 0.0 < segment.added_share <= 1.0):
        raise BalanceError(
            "The part that is there for balance must be above 0 and up to 100 %: type 80, say.",
            field="added_share",
        )


def holes_in_a_row(segment: WeightSegment, hole: Hole) -> int:
    """How many such holes fit side by side in one row along the chord, half a diameter of iron between and at the ends.

    Formula: n d + (n + 1) d / 2 <= 2 sqrt(R^2 - (b + d/2)^2)
    Source: geometry; the iron left between is common practice, no source.

    >>> holes_in_a_row(WeightSegment(45_000_000, 18_000_000, 8_000_000), Hole(6_000_000, 8_000_000, 30_000_000))
    6
    """
    top = hole.distance_nm + hole.diameter_nm / 2.0
    if top >= segment.outer_nm:
        return 0
    wide = 2.0 * math.sqrt(segment.outer_nm**2 - top**2)
    return max(0, math.floor((wide - hole.diameter_nm / 2.0) / (1.5 * hole.diameter_nm)))


def holes_in_rows(segment: WeightSegment, hole: Hole, enough: int) -> int:
    """How many such holes fit in rows whose mean distance from the axle is still the hole's own.

    Formula: n(b) + 2 sum n(b + 1.5 k d), k = 1, 2, ...: to every row beyond b belongs one of as many holes as far
    short of b, which is the wider place, as long as b - 1.5 k d - d >= h
    Parameters: `segment`, `hole`, nm; `enough`, the count from which on no more are looked for, 1 or more.
    Returns: a count; once it is `enough` or more there may be room for more still.
    Source: geometry; the iron left between is common practice, no source.

    >>> shape, hole = WeightSegment(45_000_000, 18_000_000, 8_000_000), Hole(3_000_000, 8_000_000, 30_000_000)
    >>> holes_in_a_row(shape, hole), holes_in_rows(shape, hole, 100)
    (13, 51)
    """
    total, row = holes_in_a_row(segment, hole), 1
    while 0 < total < enough:
        away = round(PITCH * row * hole.diameter_nm)
        beyond = holes_in_a_row(segment, Hole(hole.diameter_nm, hole.depth_nm, hole.distance_nm + away))
        if beyond == 0 or hole.distance_nm - away - hole.diameter_nm < segment.chord_nm:
            break
        total += 2 * beyond
        row += 1
    return total


def drilled_share(holes: int, hole: Hole, segment_mm3: float) -> float:
    """What share of a weight's volume so many holes take out.

    Formula: n (pi / 4) d^2 depth / volume
    Parameters: `holes`, a count; `hole`, nm; `segment_mm3`, what of the weight is there for balance, above 0.
    Returns: a share, above 1 for more than there is.
    Source: volume of a cylinder.

    >>> round(drilled_share(10, Hole(6_000_000, 8_000_000, 30_000_000), 4523.9), 3)
    0.5
    """
    volume = math.pi / 4.0 * (hole.diameter_nm / NM_PER_MM) ** 2 * hole.depth_nm / NM_PER_MM
    return holes * volume / segment_mm3


class Verdict(StrEnum):
    """How the weight as it is compares with the weight that is needed."""

    RIGHT = "right"
    OVER = "over"
    UNDER = "under"


@dataclass(frozen=True)
class Adjustment:
    """Over or under, and what puts it right.

    over_gmm: moment along the wanted direction less the moment needed, g mm; below 0 it is under.
    over_g: the same as a mass at the hole's distance. across_gmm: what of it points across the wanted direction.
    wanted: how many holes that asks for; holes: how many to drill (over) or to drill and fill (under); 0 when it is
    right or holes cannot make it so.
    possible: whether such holes make it right at all, False when they are too many for the weight of weight_g.
    one_hole_gmm: what one such hole takes away, or gains when filled with `fill`.
    left_gmm: what is out of balance after that, across the wanted direction included.
    in_row: how many fit in one row; room: in all, None when so much would be drilled out that it was not looked for.
    """

    verdict: Verdict
    hole: Hole
    fill: Material | None
    over_gmm: float
    over_g: float
    across_gmm: float
    wanted: int
    holes: int
    possible: bool
    one_hole_gmm: float
    left_gmm: float
    in_row: int
    room: int | None
    weight_g: float
    workings: tuple[Working, ...]


def judge_weight(
    needed_gmm: float,
    have_gmm: float,
    segment: WeightSegment,
    base: Material,
    hole: Hole,
    fill: Material | None,
    unit: Unit,
    off_deg: float = 0.0,
) -> Adjustment:
    """Whether a weight is over or under, and how many holes to drill out, or to drill and fill.

    Formula: over = have cos(off) - needed; holes = |over| / moment of one, to the nearest; right within half a hole;
    left = sqrt((|over| - holes x one)^2 + (have sin(off))^2). Over: holes are left empty; under: they are filled.
    No holes are advised when they take out more than MOST_DRILLED of the weight or do not fit in rows.
    Parameters: `needed_gmm`, `have_gmm`, moments, g mm, 0 or more; `segment`, the weight that is drilled; `base`, what
    it is made of; `hole`, inside the segment and no deeper than it is thick; `fill`, heavier than the base, looked
    at only when the weight is under; `unit`; `off_deg`, how far the weight's middle line is from the wanted
    direction, degrees, above -90 and below 90.
    Source: derived here from first moments; no published source.

    >>> shape, hole = WeightSegment(45_000_000, 18_000_000, 8_000_000), Hole(6_000_000, 8_000_000, 30_000_000)
    >>> done = judge_weight(2_500, 2_693.9, shape, material("iron"), hole, material("lead"), Unit.MM)
    >>> done.verdict.value, done.holes, round(done.left_gmm, 1)
    ('over', 4, 1.5)
    """
    _check_judging(needed=needed_gmm, have=have_gmm, off_deg=off_deg, segment=segment, hole=hole, base=base)
    over = have_gmm * math.cos(math.radians(off_deg)) - needed_gmm
    across = have_gmm * math.sin(math.radians(off_deg))
    fill = None if over >= 0 else fill
    one = hole_moment_gmm(hole, base, fill)
    wanted = math.floor(abs(over) / one + 0.5)
    if over < 0 and wanted > 0 and fill is None:
        raise BalanceError(
            "The weight is under: choose a fill that is heavier than what is drilled out.",
            field="fill",
        )
    verdict = Verdict.RIGHT if wanted == 0 else (Verdict.OVER if over > 0 else Verdict.UNDER)
    place = _place(wanted, segment, hole, base, unit)
    holes = wanted if place.possible else 0
    left = math.hypot(abs(over) - holes * one, across)
    return Adjustment(
        verdict=verdict,
        hole=hole,
        fill=fill,
        over_gmm=over,
        over_g=over / (hole.distance_nm / NM_PER_MM),
        across_gmm=abs(across),
        wanted=wanted,
        holes=holes,
        possible=place.possible,
        one_hole_gmm=one,
        left_gmm=left,
        in_row=place.in_row,
        room=place.room,
        weight_g=place.weight_g,
        workings=_workings(
            moments=(needed_gmm, have_gmm, off_deg),
            found=_Found(verdict=verdict, over=over, wanted=wanted, one=one, left=left, fill=fill),
            place=place,
            hole=hole,
            base=base,
            unit=unit,
        ),
    )


@dataclass(frozen=True)
class _Found:
    """What is over or under and the holes it asks for, before it is known whether they find room."""

    verdict: Verdict
    over: float
    wanted: int
    one: float
    left: float
    fill: Material | None


@dataclass(frozen=True)
class _Place:
    """Whether the holes wanted find room: the share drilled out, and how many fit in one row and in all."""

    share: float
    in_row: int
    room: int | None
    possible: bool
    weight_g: float


def _place(wanted: int, segment: WeightSegment, hole: Hole, base: Material, unit: Unit) -> _Place:
    weight = segment_weight(segment, base, unit).mass_g
    share = drilled_share(wanted, hole, weight / base.density * 1000.0)
    in_row = holes_in_a_row(segment, hole)
    if share > MOST_DRILLED:
        return _Place(share, in_row, None, False, weight)
    if wanted > _MOST_HOLES:
        raise BalanceError(
            f"It would take more than {_MOST_HOLES} holes: make them larger.",
            field="hole_diameter",
        )
    room = holes_in_rows(segment, hole, max(wanted, 1))
    return _Place(share, in_row, room, wanted <= room or wanted == 0, weight)


def _check_judging(
    needed: float, have: float, off_deg: float, segment: WeightSegment, hole: Hole, base: Material
) -> None:
    check_number("needed", needed, "moment needed", "2500 g mm", zero=True)
    check_number("have", have, "weight's own moment", "2694 g mm", zero=True)
    if not (math.isfinite(off_deg) and abs(off_deg) < 90.0):
        raise BalanceError(
            "The weight points the wrong way: its angle must be within 90 degrees.",
            field="off",
        )
    check_segment(segment, base)
    hole_moment_gmm(hole, base)  # its sizes must be above nothing
    radius = hole.diameter_nm / 2.0
    if hole.distance_nm - radius < segment.chord_nm or hole.distance_nm + radius > segment.outer_nm:
        raise BalanceError(
            "The hole would run out of the weight: change its distance from the axle or its size.",
            field="hole_distance",
        )
    if hole.depth_nm > segment.thickness_nm:
        raise BalanceError(
            "The hole is deeper than the weight is thick: drill it less deep.",
            field="hole_depth",
        )


def _workings(
    moments: tuple[float, float, float], found: _Found, place: _Place, hole: Hole, base: Material, unit: Unit
) -> tuple[Working, ...]:
    needed, have, off = moments
    fill = found.fill
    size = f"d {show(hole.diameter_nm, unit)}, depth {show(hole.depth_nm, unit)}, {show(hole.distance_nm, unit)} away"
    density = f"{base.name} {base.density:g} g/cm3"
    sources = f"volume of a cylinder; density: {base.source}"
    if fill is not None:
        density += f", {fill.name} {fill.density:g} g/cm3"
        sources += f"; {fill.source}"
    over_working = Working(
        "over or under",
        "have x cos(off) - needed",
        f"{have:.1f} g mm x cos({off:g} degrees) - {needed:.1f} g mm",
        f"{found.over:+.1f} g mm",
        "first moments, derived here; no published source",
    )
    one_working = Working(
        "one hole" if fill is None else "one hole, filled",
        "(pi/4) d^2 x depth x distance x " + ("density" if fill is None else "difference of densities"),
        f"{size}, {density}",
        f"{found.one:.2f} g mm",
        sources,
    )
    return (over_working, one_working, *_room_workings(found, place, size, unit))


def _room_workings(found: _Found, place: _Place, size: str, unit: Unit) -> tuple[Working, ...]:
    if found.verdict is Verdict.RIGHT or place.possible:
        result = f"{found.wanted} ({found.verdict.value}), {found.left:.2f} g mm left"
    else:
        result = "more than the weight has room for: none are advised"
    found_holes = Working(
        "holes",
        "|over or under| / one hole, to the nearest",
        f"{abs(found.over):.1f} g mm / {found.one:.2f} g mm",
        result,
        "arithmetic",
    )
    if found.verdict is Verdict.RIGHT:
        return (found_holes,)
    drilled = Working(
        "share drilled out",
        f"holes x (pi/4) d^2 x depth / volume of the weight, up to {100 * MOST_DRILLED:g} %",
        f"{size}; weight {mass(place.weight_g, unit)}",
        f"{100 * place.share:.0f} %",
        f"volume of a cylinder; {100 * MOST_DRILLED:g} % is common practice, no source",
    )
    if place.room is None:
        return (found_holes, drilled)
    room = Working(
        "room for the holes",
        "one row of n, n d + (n + 1) d/2 <= its width, and rows 1.5 d apart in pairs beyond it and short of it",
        size,
        f"{place.in_row} in one row, {'enough' if place.possible else f'{place.room} in all'}"
        f"{' in all' if place.possible and found.wanted > place.in_row else ''}",
        "geometry; half a diameter of iron between the holes is common practice, no source",
    )
    return (found_holes, drilled, room)
