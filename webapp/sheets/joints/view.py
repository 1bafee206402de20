"""The sheet of a build's joints: its form, every wheel on its seat, and the crankpins."""

from __future__ import annotations

from dataclasses import dataclass

from domain.answer import Answer, worst
from domain.joints import words
from domain.joints.demand import pin_demand
from domain.joints.held import hold
from domain.joints.kinds import FitKind
from domain.joints.safety import factor_of_safety
from domain.joints.workings import held_workings
from domain.lengths import parse_length, show
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.facts.joint_terms import (
    bonded_joint,
    drawing_of,
    figures_of,
    forced_joint,
    holding_keys,
    thrust_n,
    wanted_of,
)
from webapp.facts.wheel_joint import WheelJoint
from webapp.records.views import SIDES, AxleView, BuildView, CastingView
from webapp.typed.fields import Figures, Usual
from webapp.typed.joint_fields import BOND, CARRY, FIELDS, FORCED, GROUPS, JointField
from webapp.typed.joint_figures import pin_kind, placeholders, read_figures
from webapp.typed.texts import Errors

_SMALLEST_SHOWN_NM = 1_000


@dataclass(frozen=True, slots=True)
class FieldLine:
    """One field of the form, and what an empty one means."""

    key: str
    words: str
    options: tuple[tuple[str, str], ...]
    hint: str
    placeholder: bool


@dataclass(frozen=True, slots=True)
class FieldGroup:
    """Fields that belong together; `used` where this build's own joints are judged by them."""

    key: str
    words: str
    lines: tuple[FieldLine, ...]
    used: bool


@dataclass(frozen=True, slots=True)
class JointRow:
    """A place, its wheel, and what its joint holds."""

    axle: AxleView
    side: str
    casting: CastingView | None
    joint: WheelJoint | None


@dataclass(frozen=True, slots=True)
class PinReport:
    """The crankpin's fit in its wheel: what it holds, what it must carry, and what is not judged."""

    answer: Answer
    headline: str
    reason: str
    size_words: str
    capacity_words: str
    demand_words: str
    factors: tuple[str, ...]
    making: tuple[str, ...]
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]
    not_judged: str


@dataclass(frozen=True, slots=True)
class JointSheet:
    """Everything the sheet shows; `wrong` says which stored figure no longer agrees with the drawing."""

    groups: tuple[FieldGroup, ...]
    rows: tuple[JointRow, ...]
    failing: tuple[str, ...]
    invented: tuple[str, ...]
    pin: PinReport | None
    wrong: Errors


def joint_sheet(build: BuildView) -> JointSheet:
    """The sheet of a build's joints."""
    figures, wrong = read_figures(build.joint_texts, drawing_of(build))
    rows = tuple(_row(build, axle, side) for axle in build.axles for side in SIDES)
    failing = tuple(
        row.casting.mark for row in rows if row.casting and row.joint and row.joint.answer is Answer.NOT
    )
    coupled = any(axle.coupled for axle in build.axles)
    return JointSheet(
        groups=tuple(_group(build, key, figures) for key in GROUPS),
        rows=rows,
        failing=failing,
        invented=placeholders(figures, *holding_keys(build)),
        pin=pin_report(build) if coupled and not wrong else None,
        wrong=wrong,
    )


def _row(build: BuildView, axle: AxleView, side: str) -> JointRow:
    casting = axle.at(side)
    return JointRow(axle, side, casting, facts_of(build).joints.of(casting) if casting else None)


def _group(build: BuildView, group: str, figures: Figures) -> FieldGroup:
    own = BOND if build.fit == "bond" else FORCED
    fields = [field for field in FIELDS if field.group == group]
    lines = tuple(
        FieldLine(
            field.key,
            field.words,
            field.options,
            _hint(field, figures.usuals[field.key], build),
            figures.usuals[field.key].placeholder,
        )
        for field in fields
    )
    return FieldGroup(group, GROUPS[group], lines, group in (CARRY, own))


def _hint(field: JointField, usual: Usual, build: BuildView) -> str:
    text = dict(field.options).get(usual.text, usual.text)
    if field.kind is None and not field.options and not text.endswith("um"):
        nm = parse_length(text, build.unit).nm
        text = show(nm, build.unit) if nm >= _SMALLEST_SHOWN_NM else text
    if not text:
        return f"Empty means {usual.source}."
    return f"Empty means {text}: {usual.source}."


def pin_report(build: BuildView) -> PinReport:
    """The crankpin of this build's figures, as the same sums have it that judge the seats."""
    figures = figures_of(build)
    kind, hole, pin = pin_kind(figures), figures.nm("pin_hole"), figures.nm("pin_seat")
    boss, length = figures.nm("pin_boss"), figures.nm("pin_length")
    if kind is FitKind.BOND:
        held = hold(bonded_joint(figures, pin, length), hole, pin, 0)
    else:
        held = hold(forced_joint(build, figures, kind, pin, boss, length, None), hole, pin, 0)
    demand = pin_demand(
        thrust_n(figures),
        figures.nm("pin_journal"),
        figures.number("bush"),
        figures.number("service"),
        friction_source=figures.source("bush"),
        service_source=figures.source("service"),
    )
    wanted, by_whom = wanted_of(figures, kind)
    factors = (
        factor_of_safety(held.counted_nm, demand.torque_nm, wanted, wanted_source=by_whom),
        factor_of_safety(held.counted_n, demand.axial_n, wanted, "N", by_whom),
    )
    invented = placeholders(figures, "piston", "pressure", "pin_fit", "pin_seat", "pin_boss")
    cautions = [f"Placeholders, not your engine's figures: {', '.join(invented)}."] if invented else []
    answer = worst(held.kind.answer, *(one.answer for one in factors))
    if invented and answer is Answer.NOT:
        answer = Answer.CAUTION  # as for the seats: no invented figure condemns a pin
    unit, headline = build.unit, words.held_headline(held, build.unit)
    exact = "Hole and pin are taken as typed, with no uncertainty."
    return PinReport(
        answer=answer,
        headline=f"By placeholder figures: {headline}" if invented else headline,
        reason=words.held_reason(held, unit),
        size_words=words.held_size(held, unit),
        capacity_words=f"{held.counted_nm:.1f} N m and {held.counted_n:.0f} N, at least",
        demand_words=f"{demand.torque_nm:.1f} N m and {demand.axial_n:.0f} N along the pin",
        factors=tuple(one.words for one in factors),
        making=words.making(held, unit),
        cautions=(*cautions, exact, *words.held_cautions(held, unit)),
        workings=(*held_workings(held, unit), *demand.workings, *(one.working for one in factors)),
        not_judged=demand.not_judged,
    )
