"""The sheet of treads: the profile to turn, what the group can reach, every wheel and every axle's gauges."""

from __future__ import annotations

from dataclasses import dataclass, replace

from domain.lengths import show
from domain.treads.profile import Profile, ProfileFigures, profile
from domain.treads.table import FormAngles, Row, coordinates, form_angles
from domain.treads.wheel_standard import TreadError, WheelStandard
from domain.treads.words import angles_words, dimension_words
from domain.working import Working
from webapp.facts.axle_gauges import AxleGauges, axle_gauges, standard_warnings
from webapp.facts.received import place_words
from webapp.facts.treads import (
    FigureLine,
    GroupView,
    groups_of,
    judge_wheel,
    rim_unfinished,
    standard_of,
    target_of,
)
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView, CastingView
from webapp.sheets.treads.drawing import TyreSection, tyre_section
from webapp.sheets.treads.form import TableAsk


@dataclass(frozen=True, slots=True)
class ProfileSheet:
    """The profile with its picture, table and angles; what cannot be has its sentence instead."""

    cone_source: str
    edge_source: str
    below_drawing: bool
    profile: Profile | None = None
    trouble: str = ""
    picture: TyreSection | None = None
    picture_words: str = ""
    rows: tuple[Row, ...] = ()
    table_trouble: str = ""
    angles: FormAngles | None = None
    angles_words: str = ""


@dataclass(frozen=True, slots=True)
class WheelLine:
    """One wheel on the sheet of all."""

    casting: CastingView
    where: str
    figures: tuple[FigureLine, ...]


@dataclass(frozen=True, slots=True)
class TreadsSheet:
    """Everything on the build's sheet of treads."""

    standard: WheelStandard
    profile: ProfileSheet
    groups: tuple[GroupView, ...]
    wheels: tuple[WheelLine, ...]
    axles: tuple[AxleGauges, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CastingTread:
    """One wheel's own sheet."""

    figures: tuple[FigureLine, ...]
    target_nm: int
    group: GroupView | None
    standard: WheelStandard
    notes: tuple[str, ...]

    @property
    def workings(self) -> tuple[Working, ...]:
        """How each answer came about."""
        return tuple(one.verdict.decision.working for one in self.figures if one.verdict.decision)


def treads_sheet(build: BuildView, ask: TableAsk) -> TreadsSheet:
    """The whole sheet."""
    groups, standard = groups_of(build), standard_of(build)
    diameter = groups[0].target_nm if groups else build.nm("tread_diameter")
    return TreadsSheet(
        standard=standard,
        profile=profile_sheet(build, diameter, ask),
        groups=groups,
        wheels=tuple(_wheel(build, groups, one) for one in _shown(build)),
        axles=tuple(axle_gauges(build, axle) for axle in build.axles),
        warnings=standard_warnings(build),
    )


def profile_sheet(build: BuildView, diameter_nm: int, ask: TableAsk) -> ProfileSheet:
    """The profile of the drawing at the diameter the group is turned to."""
    figures = work_figures(build)
    cone = figures.number("cone")
    wanted = ProfileFigures(
        tread_diameter_nm=diameter_nm,
        tyre_width_nm=build.nm("tyre_width"),
        flange_width_nm=build.nm("flange_width"),
        flange_depth_nm=build.nm("flange_depth"),
        root_radius_nm=build.nm("root_radius"),
        cone=cone,
        edge_break_nm=figures.nm("edge_break"),
    )
    blank = ProfileSheet(
        figures.source("cone"), figures.source("edge_break"), diameter_nm < build.nm("tread_diameter")
    )
    try:
        made = profile(wanted, build.unit)
        angles = form_angles(cone, wanted.flange_face_deg)
    except TreadError as error:
        return replace(blank, trouble=str(error))
    rows: tuple[Row, ...] = ()
    trouble = ""
    try:
        rows = coordinates(made, chord_nm=ask.chord_nm, step_nm=ask.step_nm, origin=ask.origin)
    except TreadError as error:
        trouble = str(error)
    sizes = "; ".join(dimension_words(one, build.unit) for one in made.dimensions)
    return replace(
        blank,
        profile=made,
        picture=tyre_section(made, build.unit),
        picture_words=f"Section through the tyre: {sizes}",
        rows=rows,
        table_trouble=trouble,
        angles=angles,
        angles_words=angles_words(angles),
    )


def casting_tread(build: BuildView, casting: CastingView) -> CastingTread:
    """One wheel judged."""
    groups = groups_of(build)
    target = target_of(build, groups, casting)
    figures = judge_wheel(build, casting, target)
    own = next((one for one in groups if any(wheel.id == casting.id for wheel in one.wheels)), None)
    bare = [one.name for one in figures if one.size is not None and one.size.expanded_nm is None]
    notes = []
    if bare:
        notes.append(
            f"Logged without an instrument of the workshop's list, so taken as exact: {', '.join(bare)}."
        )
    if rim_unfinished(build, casting):
        rim = show(casting.sizes["rim_height"].nm, build.unit)
        notes.append(f"The rim is {rim} as last logged, with its front not yet faced: no tyre's width yet.")
    if own is not None and own.odd is not None:
        notes += [own.odd_words, *(own.odd_ways if casting.mark in own.odd.marks else ())]
    return CastingTread(figures, target, own, standard_of(build), tuple(notes))


def _shown(build: BuildView) -> list[CastingView]:
    """The wheels in their places, then spares that have a tread of their own."""
    placed = [wheel for axle in build.axles for wheel in axle.wheels]
    keys = {"tread", "flange_thickness", "flange_height", "root_radius"}
    return placed + [one for one in build.spares if keys & one.sizes.keys()]


def _wheel(build: BuildView, groups: tuple[GroupView, ...], casting: CastingView) -> WheelLine:
    figures = judge_wheel(build, casting, target_of(build, groups, casting))
    return WheelLine(casting, place_words(build, casting), figures)
