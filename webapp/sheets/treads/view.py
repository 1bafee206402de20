"""The sheet of treads: the profile to turn, what the group can reach, every wheel and every axle's gauges."""

from __future__ import annotations

from dataclasses import dataclass

from domain.lengths import show
from domain.treads.profile import Profile, ProfileFigures, TreadProfileError, profile
from domain.treads.table import FormAngles, Row, coordinates, form_angles
from domain.treads.wheel_gauges import contradictions, row_figures
from domain.treads.wheel_standard import WheelStandard
from domain.working import Working
from webapp.facts.axle_gauges import AxleGauges, axle_gauges
from webapp.facts.received import place_words
from webapp.facts.tread_figures import FigureLine, judge_wheel, rim_unfinished, standard_of
from webapp.facts.tread_groups import GroupView, groups_of, target_of
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView, CastingView
from webapp.sheets.treads.drawing import TyreSection, tyre_section
from webapp.sheets.treads.form import TableAsk


@dataclass(frozen=True, slots=True)
class ProfileSheet:
    """The profile with its picture, table and angles; what cannot be has its sentence instead."""

    profile: Profile | None
    trouble: str
    picture: TyreSection | None
    rows: tuple[Row, ...]
    table_field: str
    table_trouble: str
    angles: FormAngles | None
    cone_source: str
    edge_source: str
    below_drawing: bool


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
        return tuple(one.verdict.working for one in self.figures if one.verdict.working is not None)


def treads_sheet(build: BuildView, ask: TableAsk) -> TreadsSheet:
    """The whole sheet."""
    groups, standard = groups_of(build), standard_of(build)
    diameter = groups[0].target_nm if groups else build.nm("tread_diameter")
    return TreadsSheet(
        standard,
        profile_sheet(build, diameter, ask),
        groups,
        tuple(_wheel(build, groups, one) for one in _shown(build)),
        tuple(axle_gauges(build, axle) for axle in build.axles),
        contradictions(row_figures(standard), build.unit),
    )


def profile_sheet(build: BuildView, diameter_nm: int, ask: TableAsk) -> ProfileSheet:
    """The profile of the drawing at the diameter the group is turned to."""
    figures = work_figures(build)
    cone = figures.number("cone")
    wanted = ProfileFigures(
        diameter_nm,
        build.nm("tyre_width"),
        build.nm("flange_width"),
        build.nm("flange_depth"),
        build.nm("root_radius"),
        cone,
        figures.nm("edge_break"),
    )
    sources = figures.source("cone"), figures.source("edge_break")
    below = diameter_nm < build.nm("tread_diameter")
    try:
        made = profile(wanted, build.unit)
        angles = form_angles(cone, wanted.flange_face_deg)
    except TreadProfileError as error:
        return ProfileSheet(None, str(error), None, (), "", "", None, *sources, below)
    rows: tuple[Row, ...] = ()
    field = trouble = ""
    try:
        rows = coordinates(made, chord_nm=ask.chord_nm, step_nm=ask.step_nm, origin=ask.origin)
    except TreadProfileError as error:
        field, trouble = error.field, str(error)
    picture = tyre_section(made, build.unit)
    return ProfileSheet(made, "", picture, rows, field, trouble, angles, *sources, below)


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
        notes += [own.odd.words, *(own.odd.ways if casting.mark in own.odd.marks else ())]
    return CastingTread(figures, target, own, standard_of(build), tuple(notes))


def _shown(build: BuildView) -> list[CastingView]:
    """The wheels in their places, then spares that have a tread of their own."""
    placed = [wheel for axle in build.axles for wheel in axle.wheels]
    keys = {"tread", "flange_thickness", "flange_height", "root_radius"}
    return placed + [one for one in build.spares if keys & one.sizes.keys()]


def _wheel(build: BuildView, groups: tuple[GroupView, ...], casting: CastingView) -> WheelLine:
    figures = judge_wheel(build, casting, target_of(build, groups, casting))
    return WheelLine(casting, place_words(build, casting), figures)
