"""What is measured of each wheel's tread and flange, and the standard they are judged by. Asks no database."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from domain.stock.sizes import Face
from domain.treads.judging import Limits, Measured, TreadAnswer, TreadFigure, TreadVerdict, judge_tyre
from domain.treads.own_standard import as_drawn
from domain.treads.wheel_standard import WheelStandard, preset
from webapp.facts.metal_sizes import is_as_came, is_ticked
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView, CastingView
from webapp.records.views import Measured as Size

# The key each figure is logged by; the rim's back to front is the width of the tyre.
KEYS: Mapping[TreadFigure, str] = {
    TreadFigure.FLANGE_WIDTH: "flange_thickness",
    TreadFigure.FLANGE_DEPTH: "flange_height",
    TreadFigure.TYRE_WIDTH: "rim_height",
    TreadFigure.ROOT_RADIUS: "root_radius",
    TreadFigure.TREAD_DIAMETER: "tread",
}
# The figure of the drawing that each is to come out as.
DRAWN: Mapping[TreadFigure, str] = {
    TreadFigure.FLANGE_WIDTH: "flange_width",
    TreadFigure.FLANGE_DEPTH: "flange_depth",
    TreadFigure.TYRE_WIDTH: "tyre_width",
    TreadFigure.ROOT_RADIUS: "root_radius",
    TreadFigure.TREAD_DIAMETER: "tread_diameter",
}
# How an answer looks in the house's own answer box.
LOOKS: Mapping[TreadAnswer, str] = {
    TreadAnswer.CONFORMS: "serves",
    TreadAnswer.CANNOT_TELL: "caution",
    TreadAnswer.DOES_NOT: "not",
    TreadAnswer.NOT_LOGGED: "open",
    TreadAnswer.NO_LIMIT: "open",
}


@dataclass(frozen=True, slots=True)
class FigureLine:
    """One figure of one wheel: the size that counts, if any, and what it is worth."""

    key: str
    size: Size | None
    verdict: TreadVerdict

    @property
    def name(self) -> str:
        """What it is called."""
        return self.verdict.figure.value

    @property
    def look(self) -> str:
        """How its answer looks."""
        return LOOKS[self.verdict.answer]


def standard_of(build: BuildView) -> WheelStandard:
    """The standard as this build's drawing uses it."""
    return as_drawn(preset(build.standard), {key: length.nm for key, length in build.dimensions.items()})


def size_of(build: BuildView, casting: CastingView, figure: TreadFigure) -> Size | None:
    """The size that counts."""
    if figure is TreadFigure.TYRE_WIDTH and rim_unfinished(build, casting):
        return None
    return casting.sizes.get(KEYS[figure])


def rim_unfinished(build: BuildView, casting: CastingView) -> bool:
    """Whether the rim is logged, but as it came or with its front still to be faced: that is no tyre's width yet."""
    size = casting.sizes.get("rim_height")
    if size is None or is_as_came(casting, Face.RIM_FRONT):
        return size is not None
    return size.nm > build.nm("tyre_width") and not is_ticked(casting, Face.RIM_FRONT)


def measured_of(size: Size | None) -> Measured | None:
    """A size with its U; one logged without an instrument is taken as exact, and the pages say so."""
    return None if size is None else Measured(size.nm, size.expanded_nm or 0)


def judge_wheel(build: BuildView, casting: CastingView, target_nm: int) -> tuple[FigureLine, ...]:
    """Every figure of one wheel; its tread is to be the group's diameter, give or take what treads may differ by."""
    sizes = {figure: size_of(build, casting, figure) for figure in TreadFigure}
    logged = {figure: found for figure, size in sizes.items() if (found := measured_of(size)) is not None}
    within = work_figures(build).nm("tread_match")
    own = {
        TreadFigure.TREAD_DIAMETER: Limits(
            target_nm - within, target_nm + within, "the group's diameter and how far treads may differ"
        )
    }
    verdicts = judge_tyre(standard_of(build), logged, build.unit, own)
    return tuple(FigureLine(KEYS[one.figure], sizes[one.figure], one) for one in verdicts)
