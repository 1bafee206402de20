"""A build's joint figures and measured sizes, and the terms that the judge of joints is asked in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from domain.joints.bond import GapRange
from domain.joints.crankpin import PinCase
from domain.joints.demand import (
    CrankpinSizes,
    Drive,
    Pistons,
    SeatDemand,
    Turned,
    piston_thrust_n,
    seat_demand,
)
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
)
from domain.measuring.decision import Decision, decide, decide_ends
from domain.measuring.instruments import Instrument
from domain.measuring.plug_gauge import Interval
from domain.measuring.readings import summarise
from domain.measuring.uncertainty import COVERAGE, Budget
from webapp.facts.correcting import sized_again
from webapp.facts.work_figures import work_figures
from webapp.records.views import AxleView, BuildView, Measured
from webapp.typed.fields import Figures
from webapp.typed.joint_fields import JointDrawing
from webapp.typed.joint_figures import pin_kind, placeholders, read_figures

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
        crankpin_hole_nm=build.crank_nm("crankpin_hole"),
        throw_nm=build.crank_nm("throw"),
        fit_least_nm=build.nm("fit_least"),
        fit_most_nm=build.nm("fit_most"),
        least_seat_nm=min([*(one.nm("seat") for one in build.each_pattern), *_seats(build)]),
        coupled=tuple(axle.number for axle in build.whole.axles if axle.coupled),
    )


def _seats(build: BuildView) -> Iterator[int]:
    return (seat.mean_nm for axle in build.whole.axles for seat in axle.seats.values())


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
    seen = build if build.pattern else build.of(build.patterns[0])
    return _read(tuple(sorted(build.joint_texts.items())), drawing_of(seen))[0]


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
    joint = replace(
        joint,
        factor_wanted=figures.number("crack_factor"),
        factor_source=figures.source("crack_factor"),
        axle_bore_nm=figures.nm("axle_bore"),
    )
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
    """The figures the reserve hangs on, which are placeholders until they are typed."""
    return (*_LOADS, "shear") if build.fit == "bond" else _LOADS


def turned_of(build: BuildView, figures: Figures, axle: AxleView | None) -> Turned:
    """How an axle is turned: a spare is for the one that asks most, and so is each while none is said to be driven."""
    cranked = axle.coupled if axle else build.pattern is not None and build.pattern.cranked
    if not cranked:
        return Turned.CARRYING
    driven = figures.values["driven_axle"]
    if axle is not None and driven is not None and str(driven) != str(axle.number):
        return Turned.COUPLED
    return Turned.DRIVEN


def demand_of(
    build: BuildView, figures: Figures, axle: AxleView | None, throw: Measured | None
) -> SeatDemand:
    """What the seat of a wheel must carry; half the axle's load is on each wheel."""
    turned = turned_of(build, figures, axle)
    pistons = None
    if turned is not Turned.CARRYING:
        three = work_figures(build).chosen("cylinders") == "3"
        drive = Drive.THREE if three else Drive(figures.chosen("drive"))
        throw_nm = throw.mean_nm if throw else build.crank_nm("throw")
        pistons = Pistons(thrust_n(figures), throw_nm, figures.nm("rod"), drive)
    return _demand(
        turned,
        figures.number("load") / 2,
        build.nm("tread_diameter"),
        figures.number("adhesion"),
        pistons,
        max(1, sum(one.coupled for one in build.whole.axles)),
        adhesion_source=figures.source("adhesion"),
    )


def thrust_n(figures: Figures) -> float:
    """The push of one piston, N."""
    return piston_thrust_n(figures.nm("piston"), figures.number("pressure"))


def wanted_of(figures: Figures, kind: FitKind) -> tuple[float, str]:
    """The reserve wanted of a joint held this way, and who says so.

    A bond has its own taken off what it holds already: only what is wanted beyond that is asked again.
    """
    reserve, own = figures.number("reserve"), figures.number("bond_safety")
    if kind is not FitKind.BOND:
        return reserve, figures.source("reserve")
    if reserve > own:
        return reserve / own, f"{reserve:g} in all, {figures.source('reserve')}; {own:g} is taken off already"
    return 1.0, f"the bond's own safety is taken off what it holds already: {own:g}, its one reserve"


def pin_case(
    build: BuildView,
    figures: Figures,
    hole_nm: int | None = None,
    seat_nm: int | None = None,
    uncertainty_nm: int = 0,
) -> PinCase:
    """The crankpin of this build's figures, or of one wheel's hole and pin as measured, as its judge is told of it."""
    kind, boss, length = pin_kind(figures), figures.nm("pin_boss"), figures.nm("pin_length")
    seat = figures.nm("pin_seat") if seat_nm is None else seat_nm
    if kind is FitKind.BOND:
        holding: HeldBy = bonded_joint(figures, seat, length)
    else:
        holding = replace(forced_joint(build, figures, kind, seat, boss, length, None), axle_bore_nm=0)
    wanted, by_whom = wanted_of(figures, kind)
    invented = ["piston", "pressure", "pin_fit", "pin_boss", "pin_overhang"]
    invented += ["pin_seat"] if seat_nm is None else []
    return PinCase(
        hole_nm=figures.nm("pin_hole") if hole_nm is None else hole_nm,
        pin=CrankpinSizes(seat, length, figures.nm("pin_journal"), figures.nm("pin_overhang")),
        holding=holding,
        thrust_n=thrust_n(figures),
        bush_friction=figures.number("bush"),
        yield_mpa=figures.number("pin_yield"),
        wanted=wanted,
        bending_wanted=figures.number("reserve"),
        uncertainty_nm=uncertainty_nm,
        invented=placeholders(figures, *invented),
        friction_source=figures.source("bush"),
        wanted_source=by_whom,
        yield_source=figures.source("pin_yield"),
        unit=build.unit,
    )


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
        factor_source=figures.source("crack_factor"),
        assembly_clearance_nm=figures.nm("clearance") if kind is FitKind.SHRINK else 0,
        room_c=figures.number("room"),
        press_capacity_n=float(press) if isinstance(press, int | float) else None,
        wanted_nm=wanted_nm,
        axle_bore_nm=figures.nm("axle_bore"),
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
