"""The sheet of re-turning: the answer, the deciding wheel's worn profile over the drawn one, and each wheel's wear."""

from __future__ import annotations

from dataclasses import dataclass, replace

from domain.lengths import Unit, plain, show, show_in
from domain.returning.wear import full_size
from domain.returning.words import full_size_words, to_cut_nm
from domain.treads.flange import drawn_flange
from domain.treads.profile import Profile, profile
from domain.treads.wheel_standard import TreadError
from webapp.facts.facts import facts_of
from webapp.facts.returning import WornGroup, WornWheel, worn_group
from webapp.records.views import AxleView, BuildView
from webapp.sheets.returning.drawing import WornPicture, worn_picture


@dataclass(frozen=True, slots=True)
class ReturningSheet:
    """Everything on the sheet."""

    group: WornGroup
    picture: WornPicture | None
    picture_words: str
    # What the picture writes beside its lines: between the levels, at the worn one, at the drawn one.
    picture_texts: tuple[str, ...]
    # The first wheel with something still to be measured.
    todo: WornWheel | None
    diameter_text: str
    measure_at_text: str
    full_size_words: str
    cuts: dict[str, int]

    @property
    def ready(self) -> bool:
        """Whether the wheels can be taken back: every finished one is measured and judged."""
        return bool(self.group.wheels) and all(one.off is not None for one in self.group.wheels)


def returning_sheet(build: BuildView, axle: AxleView) -> ReturningSheet:
    """The whole sheet of an axle's group."""
    group = worn_group(build, axle)
    found, at = group.found, facts_of(build.of(axle)).treads.measure_at_nm
    picture, words, texts = _picture(build, group)
    return ReturningSheet(
        group=group,
        picture=picture,
        picture_words=words,
        picture_texts=texts,
        todo=next((one for one in group.wheels if one.wear is None), None),
        diameter_text=show_in(to_cut_nm(found.diameter_nm, build.unit), build.unit)
        if found and found.diameter_nm > 0
        else "",
        measure_at_text="" if at is None else plain(at, build.unit),
        full_size_words=full_size_words(full_size(build.nm("gauge")), build.unit),
        cuts={cut.mark: cut.radial_nm for cut in found.cuts} if found else {},
    )


def _picture(build: BuildView, group: WornGroup) -> tuple[WornPicture | None, str, tuple[str, ...]]:
    """Of the wheel that decides; None while none does, or where a profile cannot be drawn."""
    found, unit = group.found, build.unit
    decides = next((one for one in group.wheels if found and one.casting.mark in found.decided_by), None)
    if found is None or decides is None or decides.wear is None or found.diameter_nm <= 0:
        return None, "", ()
    treads = facts_of(build.of(decides.casting)).treads
    try:
        drawn = treads.profile(found.diameter_nm)
        worn = _worn_profile(drawn, decides, unit)
    except TreadError:
        return None, "", ()
    mark, off = decides.casting.mark, found.cuts[[one.mark for one in found.cuts].index(decides.casting.mark)]
    words = (
        f"The worn tyre of {mark}, its tread {show(decides.wear.tread.nm, unit)}, over the drawn profile at "
        f"{show(to_cut_nm(found.diameter_nm, unit), unit)}"
    )
    texts = (
        f"{show_in(off.radial_nm, unit)} off",
        f"{mark} as worn",
        f"as drawn, {show_in(to_cut_nm(found.diameter_nm, unit), unit)}",
    )
    return worn_picture(drawn, worn, decides.wear.hollow.nm), words, texts


def _worn_profile(drawn: Profile, wheel: WornWheel, unit: Unit) -> Profile:
    """The tyre as it was measured, cut off where the drawn one is; between what was measured it is as drawn."""
    wear, flange = wheel.wear, drawn_flange(drawn)
    assert wear is not None  # the wheel decides
    foot = drawn.gauge_point.radius_mm - drawn.segments[0].start.radius_mm
    deeper = (wear.tread.nm - drawn.figures.tread_diameter_nm) // 2
    figures = replace(
        drawn.figures,
        tread_diameter_nm=wear.tread.nm,
        flange_width_nm=wear.flange.nm + flange.less_nm(wear.above_nm),
        flange_depth_nm=wear.height.nm,
        rim_depth_nm=round(foot * 1_000_000) + deeper,
    )
    try:
        return profile(figures, unit)
    except TreadError:
        # A tip or root of the drawn radius has no room on what is left: the tip is rounded as far as it will go.
        return profile(replace(figures, flange_tip_radius_nm=None), unit)
