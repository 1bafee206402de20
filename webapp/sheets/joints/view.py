"""The sheet of a build's joints: its form, every wheel on its seat, and the crankpins."""

from __future__ import annotations

from dataclasses import dataclass

from domain.answer import Answer, worst
from domain.joints import words
from domain.joints.crankpin import judge_pin
from domain.joints.workings import held_workings
from domain.lengths import parse_length, plain, show
from domain.lengths.loads import show_force, show_torque
from domain.route.stages import Stage
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.facts.joint_terms import drawing_of, figures_of, holding_keys, pin_case
from webapp.facts.wheel_joint import WheelJoint
from webapp.records.views import SIDES, AxleView, BuildView, CastingView
from webapp.typed.fields import Figures, Usual
from webapp.typed.joint_fields import BOND, CARRY, FIELDS, FORCED, GROUPS, JointField
from webapp.typed.joint_figures import placeholders, read_figures
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
    """Everything the sheet shows; `wrong` says which stored figure no longer agrees with the drawing.

    narrow: the fits that are none to aim for, with the wheels they are meant for, said before all else.
    """

    narrow: tuple[str, ...]
    groups: tuple[FieldGroup, ...]
    rows: tuple[JointRow, ...]
    look: str
    said: str
    invented: tuple[str, ...]
    pin: PinReport | None
    wrong: Errors
    no_bound: str = words.NO_BOUND


def joint_sheet(build: BuildView) -> JointSheet:
    """The sheet of a build's joints."""
    figures, wrong = read_figures(build.joint_texts, drawing_of(build))
    rows = tuple(_row(build, axle, side) for axle in build.axles for side in SIDES)
    answers = {row.casting.mark: row.joint.answer for row in rows if row.casting and row.joint}
    coupled = any(axle.coupled for axle in build.axles)
    return JointSheet(
        narrow=_narrow(build),
        groups=tuple(_group(build, key, figures) for key in GROUPS),
        rows=rows,
        look=worst(*answers.values()).look if answers else "open",
        said=words.set_words(answers),
        invented=placeholders(figures, *holding_keys(build)),
        pin=pin_report(build) if coupled and not wrong else None,
        wrong=wrong,
    )


def _narrow(build: BuildView) -> tuple[str, ...]:
    found: dict[str, list[str]] = {}
    for wheel in (one for axle in build.axles for one in axle.wheels if not one.has(Stage.PRESSED)):
        joints = facts_of(build).joints
        said = joints.too_narrow(wheel) or joints.never_holds(wheel)
        if said:
            found.setdefault(said, []).append(wheel.mark)
    return tuple(f"{', '.join(marks)}: {said}" for said, marks in found.items())


def _row(build: BuildView, axle: AxleView, side: str) -> JointRow:
    casting = axle.at(side)
    return JointRow(axle, side, casting, facts_of(build.of(axle)).joints.of(casting) if casting else None)


def _group(build: BuildView, group: str, figures: Figures) -> FieldGroup:
    own = BOND if build.fit == "bond" else FORCED
    fields = [field for field in FIELDS if field.group == group]
    lines = tuple(
        FieldLine(
            field.key,
            field.words,
            _options(field, build),
            _hint(field, figures.usuals[field.key], build),
            figures.usuals[field.key].placeholder,
        )
        for field in fields
    )
    return FieldGroup(group, GROUPS[group], lines, group in (CARRY, own))


def _options(field: JointField, build: BuildView) -> tuple[tuple[str, str], ...]:
    """The choices of a field; of the axles, those that have cranks."""
    if field.key != "driven_axle":
        return field.options
    coupled = drawing_of(build).coupled
    return tuple(one for one in field.options if int(one[0]) in coupled)


def _hint(field: JointField, usual: Usual, build: BuildView) -> str:
    text = dict(field.options).get(usual.text, usual.text)
    if not text:
        return f"Empty means {usual.source}."
    if field.kind is None and not field.options and not text.endswith("um"):
        nm = parse_length(text, build.unit).nm
        text = show(nm, build.unit) if nm >= _SMALLEST_SHOWN_NM else text if nm else plain(nm, build.unit)
    return f"Empty means {text}: {usual.source}."


def pin_report(build: BuildView) -> PinReport:
    """The crankpin of this build's figures, as its one judge finds it."""
    figures, unit = figures_of(build), build.unit
    found = judge_pin(pin_case(build, figures))
    held, demand, invented = found.held, found.demand, found.case.invented
    cautions = [f"Placeholders, not your engine's figures: {', '.join(invented)}."] if invented else []
    headline = words.held_headline(held, unit)
    sums = (*held_workings(held, unit), *demand.workings, *(one.working for one in found.factors))
    exact = "Hole and pin are taken as typed, with no uncertainty."
    return PinReport(
        answer=found.answer,
        headline=f"By placeholder figures: {headline}" if invented else headline,
        reason=words.held_reason(held, unit),
        size_words=words.held_size(held, unit),
        capacity_words=f"{show_torque(held.counted_nm, unit)} and {show_force(held.counted_n, unit)}, at least",
        demand_words=f"{show_torque(demand.torque_nm, unit)} and {show_force(demand.axial_n, unit)} along the pin",
        factors=(*(one.words for one in found.factors), words.pin_side(found)),
        making=words.making(held, unit),
        cautions=(*cautions, exact, *words.held_cautions(held, unit)),
        workings=sums,
        not_judged=words.PIN_NOT_JUDGED,
    )
