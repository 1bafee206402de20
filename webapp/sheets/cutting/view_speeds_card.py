"""One operation on the sheet of speeds: what to select for it, on which machine, and what it asks."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from domain.cutting.cut_sizes import DrawnWheel, MeasuredWheel, UsualCut, UsualCuts, usual_cut
from domain.cutting.operations import Operation, next_operation
from domain.cutting.plan import Conditions, Cut, CuttingPlan, WantedSpeed, plan, wanted_speed
from domain.cutting.speeds import CutKind, CuttingError, Tool
from domain.cutting.spindle import MachineKind, rpm_words
from domain.cutting.words import cautions, minutes_words, speed_words
from domain.lengths import Unit, show
from domain.working import Working
from webapp.records.machines import MachineView
from webapp.records.views import BuildView
from webapp.sheets.cutting.form_speeds import Tried

# Which of the form's boxes a refusal of the domain belongs to, where the two are called differently.
_BOX = {"length": "travel", "inner_diameter": "diameter"}


Fact = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class SpeedCard:
    """One operation: what to select, in words; trouble instead where it cannot be reckoned.

    `figure` is the spindle speed in large; `asks` names what is missing and where it is entered.
    """

    key: str
    words: str
    stage_words: str
    done: bool
    figure: str = ""
    headline: str = ""
    by_hand: bool = False
    trouble: str = ""
    trouble_box: str = ""
    asks: str = ""
    stop: bool = False
    # What, how much, and what is to be said of it.
    facts: tuple[Fact, ...] = ()
    graves: tuple[str, ...] = ()
    flags: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    workings: tuple[Working, ...] = ()


@dataclass(frozen=True, slots=True)
class Going:
    """What every operation of a sheet shares."""

    build: BuildView
    machines: Sequence[MachineView]
    tried: Tried
    tool: Tool
    conditions: Conditions
    drawn: DrawnWheel
    measured: MeasuredWheel
    usual: UsualCuts

    @property
    def unit(self) -> Unit:
        """The system to show first."""
        return self.build.unit


def speed_card(going: Going, one: Operation, ticked: Collection[str]) -> SpeedCard:
    """What to select for one operation."""
    blank = SpeedCard(one.key, one.words.capitalize(), one.stage.words, next_operation([one], ticked) is None)
    if one.kind is CutKind.HAND:
        return replace(blank, by_hand=True, cautions=cautions(one, MachineKind.LATHE))
    try:
        found = usual_cut(one, going.drawn, going.measured, going.usual)
        cut = _as_tried(found.cut, going.tried)
        machine, said = _machine(going, one)
        if machine is None:
            wanted = wanted_speed(cut, going.tool, going.build.iron, going.unit, going.conditions)
            return _without_machine(going, blank, one, found, cut, wanted)
        made = plan(cut, going.tool, going.build.iron, machine.tool, going.unit, going.conditions)
    except CuttingError as error:
        return replace(blank, trouble=str(error), trouble_box=_BOX.get(error.field, error.field))
    return _planned(going, blank, found, cut, machine, said, made)


def _as_tried(cut: Cut, tried: Tried) -> Cut:
    """The usual cut with the sizes that were tried for this operation."""
    if tried.op != cut.operation.key:
        return cut
    diameter = tried.diameter_nm or cut.diameter_nm
    inner = cut.inner_diameter_nm
    return Cut(
        cut.operation,
        diameter,
        None if inner is None or inner > diameter else inner,
        tried.travel_nm or cut.length_nm,
        tried.depth_nm or cut.depth_nm,
        tried.feed_nm or cut.feed_nm,
    )


def _machine(going: Going, one: Operation) -> tuple[MachineView | None, str]:
    """The machine tried where it can do this, else the first that can; with a word where it is another."""
    able = [view for kind in one.machines for view in going.machines if view.tool.kind is kind]
    tried = next((view for view in going.machines if view.id == going.tried.machine_id), None)
    if tried is not None and tried in able:
        return tried, ""
    if not able:
        return None, ""
    why = f"The {tried.tool.kind.words} tried cannot do this: reckoned for {able[0].name}." if tried else ""
    return able[0], why


def _without_machine(
    going: Going, blank: SpeedCard, one: Operation, found: UsualCut, cut: Cut, wanted: WantedSpeed
) -> SpeedCard:
    able = " or ".join(kind.words for kind in one.machines)
    return replace(
        blank,
        figure=f"{rpm_words(wanted.rpm)} at most",
        headline=wanted.words,
        asks=f"No {able} with its spindle speeds is on the workshop's list: add one, and the speed to select stands here.",
        facts=(_diameter(going, found, cut), ("Tool", going.tool.words, "")),
        flags=tuple(flag.words for flag in wanted.flags),
        cautions=cautions(one, one.machines[0]),
        workings=wanted.workings,
    )


def _diameter(going: Going, found: UsualCut, cut: Cut) -> Fact:
    words = found.size.words if cut.diameter_nm == found.size.nm else "as tried"
    return "Diameter", show(cut.diameter_nm, going.unit), words


def _planned(
    going: Going,
    blank: SpeedCard,
    found: UsualCut,
    cut: Cut,
    machine: MachineView,
    said: str,
    made: CuttingPlan,
) -> SpeedCard:
    no_speed = not made.low_enough
    return replace(
        blank,
        figure="No speed is low enough" if no_speed else f"{made.rpm:g} rpm",
        headline=f"{made.words} {said}".strip(),
        stop=made.stop,
        facts=_facts(going, found, cut, machine, made),
        graves=tuple(flag.words for flag in made.flags if flag.grave),
        flags=tuple(flag.words for flag in made.flags if not flag.grave),
        cautions=made.cautions,
        workings=made.workings,
    )


def _facts(
    going: Going, found: UsualCut, cut: Cut, machine: MachineView, made: CuttingPlan
) -> tuple[Fact, ...]:
    one, unit = cut.operation, going.unit
    rim = "Surface speed" if made.speed_at_boss is None else "Surface speed at the rim"
    facts = [
        ("Machine", machine.name, ""),
        _diameter(going, found, cut),
        (rim, speed_words(made.speed_at_rim.metres_a_minute, unit), ""),
    ]
    if made.speed_at_boss is not None:
        facts.append(("Surface speed at the boss", speed_words(made.speed_at_boss.metres_a_minute, unit), ""))
    facts.append(("Feed for each turn", show(made.feed_nm, unit), ""))
    if one.depth_words and cut.depth_nm is not None:
        facts.append((one.depth_words.capitalize(), show(cut.depth_nm, unit), ""))
    facts.append(("Time for one cut", *_time(cut, found, made)))
    facts.extend(_load(machine, made))
    return tuple(facts)


def _time(cut: Cut, found: UsualCut, made: CuttingPlan) -> tuple[str, str]:
    if made.minutes is None or cut.length_nm is None:
        return "not known", "type below how far the tool travels, and it stands here"
    words = found.travel_words if cut.length_nm == found.cut.length_nm else "over the travel tried"
    return minutes_words(made.minutes), words


def _load(machine: MachineView, made: CuttingPlan) -> tuple[Fact, ...]:
    if made.force_n is None or made.power_w is None:
        why = "for a drill or a reamer no published figures are held here"
        return (("Force and power", "not reckoned", why),)
    share = f"{machine.name} has no motor power on the workshop's list"
    if made.power_share is not None:
        share = f"{100 * made.power_share:.0f} % of its {machine.tool.motor_w:g} W"
    return (
        ("Cutting force", f"{made.force_n:.0f} N", "along the cut, for a sharp edge"),
        ("Power at the motor", f"{made.power_w:.0f} W", share),
    )
