"""Whether a weight is over or under, and what to drill or fill; or that holes cannot make it right."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from domain.balance.room import MOST_DRILLED, PITCH, drilled_share, holes_in_a_row, holes_in_rows
from domain.balance.types import BalanceError, check_number
from domain.balance.weight import Hole, Material, Segment, check_segment, hole_moment_gmm, segment_weight
from domain.balance.words import ADDED_CAUTION, DRILLING_CAUTION, LEAD_CAUTION, figure, mass
from domain.lengths import NM_PER_MM, Unit, show
from domain.working import Working

_MOST_HOLES = 200  # more than that is a wrong size typed, not a job


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
    holes: how many to drill (over) or to drill and fill (under); 0 when it is right or holes cannot make it so.
    possible: whether such holes make it right at all, False when they are too many for the weight.
    one_hole_gmm: what one such hole takes away, or gains when filled.
    left_gmm: what is out of balance after that, across the wanted direction included.
    """

    verdict: Verdict
    over_gmm: float
    over_g: float
    holes: int
    possible: bool
    one_hole_gmm: float
    left_gmm: float
    words: str
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]


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
    No holes are advised when they take out more than MOST_DRILLED of the weight or do not fit in rows.
    Parameters: `needed_gmm`, `have_gmm`, moments, g mm, 0 or more; `segment`, the weight that is drilled; `base`, what
    it is made of; `hole`, inside the segment and no deeper than it is thick; `fill`, heavier than the base, looked
    at only when the weight is under; `unit`; `off_deg`, how far the weight's middle line is from the wanted
    direction, degrees, above -90 and below 90.
    Returns: moments in g mm, mass in g.
    Raises: BalanceError with its sentence and field for a figure outside its limits.
    Source: derived here from first moments; no published source.

    >>> from domain.balance.weight import material
    >>> shape, hole = Segment(45_000_000, 18_000_000, 8_000_000), Hole(6_000_000, 8_000_000, 30_000_000)
    >>> done = judge_weight(2_500, 2_693.9, shape, material("iron"), hole, material("lead"), Unit.MM)
    >>> done.verdict.value, done.holes, round(done.left_gmm, 1)
    ('over', 4, 1.5)
    """
    _check_judging(needed_gmm, have_gmm, off_deg, segment, hole, base)
    over = have_gmm * math.cos(math.radians(off_deg)) - needed_gmm
    across = have_gmm * math.sin(math.radians(off_deg))
    fill = None if over >= 0 else fill
    one = hole_moment_gmm(hole, base, fill)
    wanted = math.floor(abs(over) / one + 0.5)
    if over < 0 and wanted > 0 and fill is None:
        raise BalanceError(
            "fill", "The weight is under: choose a fill that is heavier than what is drilled out."
        )
    verdict = Verdict.RIGHT if wanted == 0 else (Verdict.OVER if over > 0 else Verdict.UNDER)
    place = _place(wanted, segment, hole, base, unit)
    holes = wanted if place.possible else 0
    left = math.hypot(abs(over) - holes * one, across)
    over_g = over / (hole.distance_nm / NM_PER_MM)
    found = _Found(verdict, over, over_g, wanted, one, abs(across), left, fill)
    return Adjustment(
        verdict,
        over,
        over_g,
        holes,
        place.possible,
        one,
        left,
        _words(found, place, hole, unit) if place.possible else _no_holes(found, place, hole, unit),
        _cautions(found, place),
        _workings((needed_gmm, have_gmm, off_deg), found, place, hole, base, unit),
    )


@dataclass(frozen=True)
class _Found:
    """What is over or under and the holes it asks for, before it is known whether they find room."""

    verdict: Verdict
    over: float
    over_g: float
    wanted: int
    one: float
    across: float
    left: float
    fill: Material | None


@dataclass(frozen=True)
class _Place:
    """Whether the holes wanted find room: the share drilled out, and how many fit in one row and in all.

    room: None when so much would be drilled out that it was not looked for.
    """

    share: float
    in_row: int
    room: int | None
    possible: bool
    weight_g: float


def _place(wanted: int, segment: Segment, hole: Hole, base: Material, unit: Unit) -> _Place:
    weight = segment_weight(segment, base, unit).mass_g
    share = drilled_share(wanted, hole, weight / base.density * 1000.0)
    in_row = holes_in_a_row(segment, hole)
    if share > MOST_DRILLED:
        return _Place(share, in_row, None, False, weight)
    if wanted > _MOST_HOLES:
        raise BalanceError("hole_diameter", f"It would take more than {_MOST_HOLES} holes: make them larger.")
    room = holes_in_rows(segment, hole, max(wanted, 1))
    return _Place(share, in_row, room, wanted <= room or wanted == 0, weight)


def _check_judging(
    needed: float, have: float, off_deg: float, segment: Segment, hole: Hole, base: Material
) -> None:
    check_number("needed", needed, "moment needed", "2500 g mm", zero=True)
    check_number("have", have, "weight's own moment", "2694 g mm", zero=True)
    if not (math.isfinite(off_deg) and abs(off_deg) < 90.0):
        raise BalanceError("off", "The weight points the wrong way: its angle must be within 90 degrees.")
    check_segment(segment, base)
    hole_moment_gmm(hole, base)  # its sizes must be above nothing
    radius = hole.diameter_nm / 2.0
    if hole.distance_nm - radius < segment.chord_nm or hole.distance_nm + radius > segment.outer_nm:
        raise BalanceError(
            "hole_distance",
            "The hole would run out of the weight: change its distance from the axle or its size.",
        )
    if hole.depth_nm > segment.thickness_nm:
        raise BalanceError("hole_depth", "The hole is deeper than the weight is thick: drill it less deep.")


def _words(found: _Found, place: _Place, hole: Hole, unit: Unit) -> str:
    rest = f"{figure(found.left, 3)} g mm is left."
    if found.across > found.left / 2:
        rest += (
            f" Of that, {figure(found.across, 3)} g mm points across, because the weight is not in the wanted"
            " direction: holes on its middle line do not cure it."
        )
    if found.verdict is Verdict.RIGHT:
        return f"The weight is right to within half a hole: {rest}"
    holes = found.wanted
    many = (
        f"{holes} hole{'s' if holes > 1 else ''} of {show(hole.diameter_nm, unit)},"
        f" {show(hole.depth_nm, unit)} deep, at that distance"
    )
    spread = ", spread evenly to both sides of its middle line" if holes > 1 else ""
    if holes > place.in_row:
        rows = show(round(PITCH * hole.diameter_nm), unit)
        spread += f", in rows {rows} apart with as many holes beyond that distance as short of it"
    filled = "" if found.fill is None else f", and fill with {found.fill.name}"
    return f"The weight is {found.verdict} by {_by(found, hole, unit)}: drill {many}{spread}{filled}. Then {rest}"


def _by(found: _Found, hole: Hole, unit: Unit, which: str = "") -> str:
    at = f"{show(hole.distance_nm, unit)} from the axle"
    return f"{figure(abs(found.over), 4)} g mm{which}, which is {mass(abs(found.over_g), unit)} at {at}"


def _no_holes(found: _Found, place: _Place, hole: Hole, unit: Unit) -> str:
    """Plainly that holes will not do, and no number of them that could be taken for advice."""
    under = found.verdict is Verdict.UNDER
    how, short = ("drilling and filling", " short") if under else ("drilling", " over")
    words = f"This weight cannot be made right by {how}: it is {_by(found, hole, unit, short)}."
    if place.room is None:
        words += f" The holes would take out more than {100 * MOST_DRILLED:g} % of its {mass(place.weight_g, unit)}."
    elif place.room == 0:
        words += " There is no room for such a hole with half a diameter of iron around it."
    else:
        gain = figure(place.room * found.one, 4)
        words += f" There is room for only {place.room} such hole{'s' if place.room > 1 else ''}, worth {gain} g mm."
    if under:
        words += " Add a plate to it outside, or have a larger weight."
    else:
        words += " Take the weight itself down: face it thinner, or move its straight edge out."
    if found.across > found.left / 2:
        words += f" Besides, {figure(found.across, 3)} g mm points across the wanted direction."
    return words


def _cautions(found: _Found, place: _Place) -> tuple[str, ...]:
    if found.verdict is Verdict.RIGHT:
        return ()
    if not place.possible:
        return (ADDED_CAUTION,) if found.verdict is Verdict.UNDER else ()
    lead = found.fill is not None and found.fill.is_lead
    return (DRILLING_CAUTION, LEAD_CAUTION) if lead else (DRILLING_CAUTION,)


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
