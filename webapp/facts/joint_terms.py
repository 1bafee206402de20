"""A build's joint figures and measured sizes, and the terms that the judge of joints is asked in."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from domain.joints.bond import GapRange
from domain.joints.demand import SeatDemand, demand_table, piston_thrust_n, seat_demand
from domain.joints.friction import Friction, friction
from domain.joints.kinds import FitError, FitKind
from domain.joints.roughness import Roughness, edition
from domain.joints.terms import (
    BondedJoint,
    BondSheet,
    ForcedJoint,
    HeldBy,
    Joint,
    Reduction,
    Size,
    known_iron,
    placeholder_reductions,
    plugged,
    table,
)
from domain.measuring.decision import Decision, decide, decide_ends
from domain.measuring.instruments import Instrument
from domain.measuring.plug_gauge import Interval
from domain.measuring.readings import summarise
from domain.measuring.uncertainty import COVERAGE, Budget
from domain.working import Working
from webapp.facts.correcting import sized_again
from webapp.records.views import BuildView, Measured
from webapp.typed.fields import Figures
from webapp.typed.joint_fields import JointDrawing, usual_factor
from webapp.typed.joint_figures import placeholders, read_figures

_TABLED = {"adhesion": "adhesion", "service": "service_factor", "bush": "bush_friction"}
_SEVERAL = 2
_LOADS = ("load", "piston", "pressure")
# The same demand is made of every wheel of an axle.
_demand = lru_cache(maxsize=256)(seat_demand)
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
def _read(texts: tuple[tuple[str, str], ...], drawing: JointDrawing) -> tuple[Figures, str]:
    figures, errors = read_figures(dict(texts), drawing)
    return figures, next(iter(errors.values()), "")


def figures_of(build: BuildView) -> Figures:
    """The figures stored for a build, or FitError where they no longer agree with its drawing."""
    figures, wrong = _read(tuple(sorted(build.joint_texts.items())), drawing_of(build))
    if wrong:
        raise FitError(wrong)
    return figures


def cure_figures(build: BuildView) -> Figures:
    """The figures to take the cure times from: they depend on no drawing, and hold whatever the others say."""
    return _read(tuple(sorted(build.joint_texts.items())), drawing_of(build))[0]


def joint_of(build: BuildView) -> Joint:
    """The joint the drawing asks for; the compound's own sheet and the factor typed for the joints come before it."""
    joint = Joint(
        kind=FitKind(build.fit),
        nominal_bore_nm=build.nm("bore"),
        nominal_seat_nm=build.nm("seat"),
        boss_diameter_nm=build.nm("boss_diameter"),
        boss_length_nm=build.nm("boss_length"),
        least_nm=build.nm("fit_least"),
        most_nm=build.nm("fit_most"),
        iron_key=build.iron,
    )
    if not build.joint_texts:
        return joint
    try:
        figures = figures_of(build)
    except FitError:
        return joint  # the sheet of joints says what no longer agrees with the drawing
    joint = replace(joint, factor_wanted=figures.number("crack_factor"))
    if joint.kind is not FitKind.BOND:
        return (
            replace(joint, friction=friction_of(figures, joint.kind))
            if "friction" in figures.typed
            else joint
        )
    gap = GapRange(
        figures.nm("gap_least"), figures.nm("gap_most"), figures.nm("gap_limit"), figures.source("gap_limit")
    )
    return replace(joint, least_nm=gap.least_nm, most_nm=gap.most_nm, gap=gap)


def at_hand(build: BuildView) -> tuple[Instrument, ...]:
    """The instruments that may be suggested: those still in use."""
    return tuple(one for key, one in build.instruments.items() if key not in build.retired)


def budget_of(build: BuildView, measured: Measured) -> Budget | None:
    """How unsure a mean is; None for plug gauges and where no instrument of the list is named.

    When the instrument's figures were changed after logging, the U that was stored stands, in one piece.
    """
    if measured.by_plug or measured.expanded_nm is None:
        return None
    sized = sized_again(build, measured)
    if sized is not None and sized.budget is not None and measured.plug_one_nm is None:
        return sized.budget
    whole = measured.expanded_nm / COVERAGE
    return Budget(measured.mean_nm, len(measured.readings), whole, 0.0, 0.0, 0.0, None)


def size_of(build: BuildView, measured: Measured) -> Size:
    """A measured bore or seat as the judge is told of it."""
    if measured.by_plug:
        tool = build.instruments.get(measured.instrument_id) if measured.instrument_id else None
        return plugged(Interval(measured.low_nm, measured.high_nm), tool.expanded_nm if tool else 0)
    return Size(
        measured.mean_nm, measured.expanded_nm, budget=budget_of(build, measured), ends_nm=ends_nm(measured)
    )


def ends_nm(measured: Measured) -> tuple[int, int] | None:
    """The smallest and the largest reading, corrected as their mean was; None where there is but one."""
    if len(measured.readings) < _SEVERAL:
        return None
    read = summarise([reading.nm for reading in measured.readings])
    correction = measured.mean_nm - read.mean_nm
    return read.least_nm + correction, read.most_nm + correction


def decided(build: BuildView, measured: Measured, window: tuple[int, int]) -> Decision:
    """The verdict on a bore or a seat against the sizes that would serve, by its mean and by its ends.

    Of a measurement whose uncertainty is known.
    """
    budget, ends, what = budget_of(build, measured), ends_nm(measured), measured.kind
    assert budget is not None  # it was measured with an instrument of the list
    mean = decide(measured.mean_nm, measured.expanded_nm or 0, *window, build.unit, what)
    if ends is None:
        return mean
    return decide_ends(mean, ends, budget.alone.expanded_nm, window, build.unit, what)


def holding_keys(build: BuildView) -> tuple[str, ...]:
    """The figures the factor of safety hangs on, which are placeholders until they are typed."""
    return (*_LOADS, "shear") if build.fit == "bond" else _LOADS


def demand_of(build: BuildView, figures: Figures, coupled: bool, throw: Measured | None) -> SeatDemand:
    """What the seat of a wheel must carry; half the axle's load is on each wheel."""
    throw_nm = throw.mean_nm if throw else build.nm("throw")
    return _demand(
        figures.number("load") / 2,
        build.nm("tread_diameter"),
        figures.number("adhesion"),
        thrust_n(figures) if coupled else 0.0,
        throw_nm if coupled else 0,
        figures.number("service"),
    )


def thrust_n(figures: Figures) -> float:
    """The push of one piston, N."""
    return piston_thrust_n(figures.nm("piston"), figures.number("pressure"))


def wanted_of(figures: Figures, kind: FitKind) -> tuple[float, str]:
    """The factor of safety wanted of a joint held this way, and who says so; a bond has its own taken off already."""
    if "factor" in figures.typed:
        return figures.number("factor"), figures.source("factor")
    usual = usual_factor(kind)
    return float(usual.text), usual.source


def sourced(working: Working, figures: Figures, wanted_source: str) -> Working:
    """A working whose figures are named by who gave them: the table's source stands only where nothing is typed."""
    source = working.source.replace(demand_table()["safety"]["source"], wanted_source)
    for key, row in _TABLED.items():
        source = source.replace(demand_table()[row]["source"], figures.source(key))
    if "crack_factor" in figures.typed:
        source = source.replace(table()["factor"]["source"], figures.source("crack_factor"))
    return replace(working, source=source)


def friction_of(figures: Figures, kind: FitKind) -> Friction:
    """The friction of the surfaces as they are when this fit is made."""
    return friction(kind, "oiled" if figures.chosen("friction") == "oiled" else _DRY[kind])


def forced_joint(
    build: BuildView,
    figures: Figures,
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


def holding_of(build: BuildView, figures: Figures, seat_nm: int) -> HeldBy:
    """What holds a wheel on a seat of this size."""
    if build.fit == "bond":
        return bonded_joint(figures, seat_nm, build.nm("boss_length"))
    boss, length = build.nm("boss_diameter"), build.nm("boss_length")
    wanted = build.nm("fit_least"), build.nm("fit_most")
    return forced_joint(build, figures, FitKind(build.fit), seat_nm, boss, length, wanted)


def bonded_joint(figures: Figures, seat_nm: int, length_nm: int) -> BondedJoint:
    """A seat or a pin bonded over this length."""
    return BondedJoint(seat_nm, length_nm, bond_sheet(figures), figures.number("hottest"))


def bond_sheet(figures: Figures) -> BondSheet:
    """The compound as typed, with placeholders where nothing is."""
    reductions = tuple(
        Reduction(
            one.key,
            one.words,
            figures.number(f"for_{one.key}"),
            figures.source(f"for_{one.key}"),
            placeholder=bool(placeholders(figures, f"for_{one.key}")),
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
