"""What the balance of an axle is worked out from: the build's figures, those that are missing, and the cranks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from domain.balance.axle import (
    Balance,
    BalanceCase,
    balance_axle,
    crank_lines,
    nearer_than_wheels,
    planes,
    weight_planes,
    wheel_load,
)
from domain.balance.figures import BalanceError
from domain.balance.weight import Hole, Material, SegmentWeight, WeightSegment, material, segment_weight
from domain.balance.words import narrow_words
from domain.cranks.cylinders import Cranks, CylindersError, Side, crank_angles
from domain.working import Working
from webapp.facts.joint_terms import cure_figures
from webapp.records.views import BuildView
from webapp.sheets.balance.form import DRIVEN, OTHER
from webapp.typed.fields import Figures
from webapp.typed.work_fields import BY_KEY

# Which of the form's boxes a refusal of the domain belongs to, where the two are called differently.
_BOX = {
    "share": "balanced_share",
    "speed": "track_speed",
    "plane": "cylinder_planes",
    "planes": "weight_planes",
    "outer": "weight_outer",
    "chord": "weight_chord",
    "thickness": "weight_thickness",
    "added_share": "weight_added",
    "material": "weight_material",
    "fill": "hole_fill",
}
ROTATING = {DRIVEN: "rotating", OTHER: "rotating_coupled"}
NEEDED = ("reciprocating", "cylinder_planes", "track_speed")
SIZES = ("weight_outer", "weight_chord", "weight_thickness")
HOLE = ("hole_diameter", "hole_depth")


@dataclass(frozen=True, slots=True)
class BalanceTrouble:
    """What the figures cannot be: the form's box, empty where none is at fault, and the sentence."""

    box: str
    words: str


@dataclass(frozen=True, slots=True)
class BalanceNote:
    """What to look at again: the form's box, empty for the figures of cylinders and quartering, and the sentence."""

    box: str
    words: str


@dataclass(frozen=True, slots=True)
class Cast:
    """The weight as it is cast, and the hole it would be corrected by."""

    segment: WeightSegment
    of: Material
    weight: SegmentWeight
    hole: Hole | None
    fill: Material


def trouble_of(error: BalanceError) -> BalanceTrouble:
    box = _BOX.get(error.field, error.field)
    return BalanceTrouble(box if box in BY_KEY else "", str(error))


def missing_of(figures: Figures, keys: Iterable[str]) -> tuple[tuple[str, str], ...]:
    return tuple((key, BY_KEY[key].words) for key in keys if figures.perhaps(key) is None)


def cranks_of(build: BuildView, figures: Figures, troubles: list[BalanceTrouble]) -> Cranks | None:
    if not any(axle.coupled for axle in build.axles):
        troubles.append(
            BalanceTrouble("", "This build has no coupled axle, so there is no crank to balance.")
        )
        return None
    count = int(figures.chosen("cylinders"))
    slopes = {Side.INSIDE: figures.number("inside_slope")} if count == 3 else {}
    try:
        return crank_angles(count, Side(build.lead), slopes)
    except CylindersError as error:
        troubles.append(BalanceTrouble("", str(error)))
        return None


def notes_of(build: BuildView, figures: Figures, cranks: Cranks | None) -> tuple[BalanceNote, ...]:
    """What does not stop the sheet but is worth another look."""
    if cranks is None:
        return ()
    notes = []
    other = Side.LEFT if cranks.lead is Side.RIGHT else Side.RIGHT
    ahead = cranks.ahead_deg(cranks.lead, other)
    if round(ahead * 1_000_000) != build.quarter_angle_udeg:
        count = "two" if len(cranks.sides) == 2 else "three"
        notes.append(
            f"The drawing says {build.quarter_angle} degrees between the outside cranks, but this sheet reckons with"
            f" the {ahead:g} degrees of {count} cylinders: make the drawing and the number of cylinders agree."
        )
    return (*(BalanceNote("", words) for words in notes), *_narrow(build, figures))


def _narrow(build: BuildView, figures: Figures) -> tuple[BalanceNote, ...]:
    if figures.perhaps("cylinder_planes") is None:
        return ()
    apart = figures.nm("cylinder_planes")
    faces = nearer_than_wheels(apart, build.nm("back_to_back"), build.nm("tyre_width"))
    return () if faces is None else (BalanceNote("cylinder_planes", narrow_words(apart, faces, build.unit)),)


def cast_of(figures: Figures, build: BuildView, troubles: list[BalanceTrouble]) -> Cast | None:
    if missing_of(figures, SIZES):
        return None
    outer, chord, thick = (figures.nm(key) for key in SIZES)
    segment = WeightSegment(outer, chord, thick, figures.number("weight_added"))
    of, fill = material(figures.chosen("weight_material")), material(figures.chosen("hole_fill"))
    try:
        weight = segment_weight(segment, of, build.unit)
    except BalanceError as error:
        troubles.append(trouble_of(error))
        return None
    hole = None
    if not missing_of(figures, HOLE):
        given = figures.perhaps("hole_distance")
        where = weight.middle_nm if given is None else figures.nm("hole_distance")
        hole = Hole(figures.nm("hole_diameter"), figures.nm("hole_depth"), where)
    return Cast(segment, of, weight, hole, fill)


def worked(
    build: BuildView, figures: Figures, cranks: Cranks, cast: Cast | None, axle: str
) -> tuple[BalanceCase, Balance, tuple[Working, ...]]:
    before: list[Working] = []
    apart = figures.perhaps("weight_planes")
    if apart is None:
        apart, working = weight_planes(build.nm("back_to_back"), build.nm("tyre_width"), build.unit)
        before.append(working)
    wheels = planes(int(apart))
    lines = crank_lines(
        cranks,
        planes(figures.nm("cylinder_planes")),
        build.crank_nm("throw"),
        figures.number(ROTATING[axle]),
        figures.number("reciprocating"),
    )
    if axle == OTHER:
        # The inside crank is on the driven axle alone; only the others' share of what goes to and fro reaches here.
        lines = tuple(replace(one, rotating_g=0.0) if one.side is Side.INSIDE else one for one in lines)
    radius = figures.perhaps("balance_radius")
    if radius is None:
        assert cast is not None  # one of the two is there, or it would be missing
        radius = cast.weight.middle_nm
    sharing = figures.values["axles_sharing"]
    case = BalanceCase(
        lines,
        share=figures.number("balanced_share"),
        left_plane_nm=wheels[Side.LEFT],
        right_plane_nm=wheels[Side.RIGHT],
        radius_nm=int(radius),
        speed_m_s=figures.number("track_speed"),
        tread_diameter_nm=build.nm("tread_diameter"),
        wheel_load_n=_load(build, figures, before),
        axles_sharing=int(sharing) if sharing else sum(axle.coupled for axle in build.axles),
        matters_from=figures.number("matters_from"),
    )
    return case, balance_axle(case, build.unit), tuple(before)


def _load(build: BuildView, figures: Figures, before: list[Working]) -> float | None:
    """As typed here, else half of what was typed for the joints; a placeholder is no load."""
    own = figures.perhaps("wheel_load")
    if own is not None:
        return own
    joints = cure_figures(build)
    typed = joints.values.get("load") if "load" in joints.typed else None
    if not isinstance(typed, int | float) or typed <= 0:
        return None
    load, working = wheel_load(typed)
    before.append(working)
    return load
