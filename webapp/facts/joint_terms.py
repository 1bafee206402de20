"""A build's joint figures, and the domain's terms made of them."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from domain.joints.bond import GapRange
from domain.joints.bond_strength import BondSheet, Reduction, placeholder_reductions
from domain.joints.demand import demand_table, piston_thrust_n
from domain.joints.fit import FitError, FitKind
from domain.joints.fit_checks import known_iron
from domain.joints.fit_figures import table
from domain.joints.forced_joint import ForcedJoint
from domain.joints.friction import Friction, friction
from domain.joints.roughness import Roughness, edition
from domain.working import Working
from webapp.records.views import BuildView
from webapp.typed.joint_fields import JointDrawing, usual_factor
from webapp.typed.joint_figures import JointFigures, read_figures

_TABLED = {"adhesion": "adhesion", "service": "service_factor", "bush": "bush_friction"}
_DRY = {FitKind.PRESS: "dry", FitKind.SHRINK: "degreased"}


def drawing_of(build: BuildView) -> JointDrawing:
    """What the drawing says of the joints."""
    return JointDrawing(
        unit=build.unit,
        kind=FitKind(build.fit),
        gauge_nm=build.nm("gauge"),
        seat_nm=build.nm("seat"),
        boss_length_nm=build.nm("boss_length"),
        crankpin_hole_nm=build.nm("crankpin_hole"),
        fit_least_nm=build.nm("fit_least"),
        fit_most_nm=build.nm("fit_most"),
    )


@lru_cache(maxsize=64)
def _read(texts: tuple[tuple[str, str], ...], drawing: JointDrawing) -> tuple[JointFigures, str]:
    figures, errors = read_figures(dict(texts), drawing)
    return figures, next(iter(errors.values()), "")


def figures_of(build: BuildView) -> JointFigures:
    """The figures stored for a build, or FitError where they no longer agree with its drawing."""
    figures, wrong = _read(tuple(sorted(build.joint_texts.items())), drawing_of(build))
    if wrong:
        raise FitError(wrong)
    return figures


def cure_figures(build: BuildView) -> JointFigures:
    """The figures to take the cure times from: they depend on no drawing, and hold whatever the others say."""
    return _read(tuple(sorted(build.joint_texts.items())), drawing_of(build))[0]


def thrust_n(figures: JointFigures) -> float:
    """The push of one piston, N."""
    return piston_thrust_n(figures.nm("piston"), figures.number("pressure"))


def wanted_of(figures: JointFigures, kind: FitKind) -> tuple[float, str]:
    """The factor of safety wanted of a joint held this way, and who says so; a bond has its own taken off already."""
    if "factor" in figures.typed:
        return figures.number("factor"), figures.source("factor")
    usual = usual_factor(kind)
    return float(usual.text), usual.source


def sourced(working: Working, figures: JointFigures, wanted_source: str) -> Working:
    """A working whose figures are named by who gave them: the table's source stands only where nothing is typed."""
    source = working.source.replace(demand_table()["safety"]["source"], wanted_source)
    for key, row in _TABLED.items():
        source = source.replace(demand_table()[row]["source"], figures.source(key))
    if "crack_factor" in figures.typed:
        source = source.replace(table()["factor"]["source"], figures.source("crack_factor"))
    return replace(working, source=source)


def friction_of(figures: JointFigures, kind: FitKind) -> Friction:
    """The friction of the surfaces as they are when this fit is made."""
    return friction(kind, "oiled" if figures.chosen("friction") == "oiled" else _DRY[kind])


def forced_joint(
    build: BuildView,
    figures: JointFigures,
    kind: FitKind,
    seat_nm: int,
    boss_nm: int,
    length_nm: int,
    wanted_nm: tuple[int, int] | None,
) -> ForcedJoint:
    """A seat or a pin forced into this build's iron."""
    press = figures.values["press"]
    return ForcedJoint(
        kind=kind,
        seat_nm=seat_nm,
        boss_nm=boss_nm,
        length_nm=length_nm,
        iron=known_iron(build.iron),
        friction=friction_of(figures, kind),
        roughness=Roughness(figures.nm("bore_rz"), figures.nm("seat_rz")),
        edition=edition(figures.chosen("edition")),
        factor_wanted=figures.number("crack_factor"),
        assembly_clearance_nm=figures.nm("clearance") if kind is FitKind.SHRINK else 0,
        room_c=figures.number("room"),
        press_capacity_n=float(press) if isinstance(press, int | float) else None,
        wanted_nm=wanted_nm,
    )


def bond_sheet(figures: JointFigures) -> BondSheet:
    """The compound as typed, with placeholders where nothing is."""
    reductions = tuple(
        Reduction(
            one.key,
            one.words,
            figures.number(f"for_{one.key}"),
            figures.source(f"for_{one.key}"),
            placeholder=bool(figures.placeholders(f"for_{one.key}")),
        )
        for one in placeholder_reductions()
    )
    gap = GapRange(
        figures.nm("gap_least"), figures.nm("gap_most"), figures.nm("gap_limit"), figures.source("gap_most")
    )
    return BondSheet(
        shear_mpa=figures.number("shear"),
        gap=gap,
        reductions=reductions,
        service_limit_c=figures.number("service_limit"),
        safety=figures.number("bond_safety"),
        source=figures.source("shear"),
    )
