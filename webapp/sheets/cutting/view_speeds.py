"""Speeds and feeds: for each operation of a wheel's route what to select, on which machine, and what it asks."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from domain.cutting.operations import (
    Cut,
    DrawnWheel,
    MeasuredWheel,
    Operation,
    UsualCut,
    UsualCuts,
    next_operation,
    operations,
    rim_now,
    usual_cut,
)
from domain.cutting.plan import Conditions, CuttingPlan, WantedSpeed, plan, wanted_speed
from domain.cutting.reaming import drill_below
from domain.cutting.speeds import CuttingError, Tools
from domain.cutting.spindle import MachineKind
from domain.cutting.words import (
    by_hand_words,
    cautions,
    ceiling_words,
    minutes_words,
    rpm_words,
    select_words,
    speed_words,
    tools_words,
)
from domain.lengths import Unit, shortest, show
from domain.lengths.loads import show_force
from domain.repeating.settings import TASKS, Setting
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.facts.metal import MostCut, most_cuts
from webapp.facts.metal_sizes import terms_of
from webapp.facts.reaming import chill_seen, factors_of, tools_of
from webapp.facts.work_figures import work_figures
from webapp.records.machines import MachineView
from webapp.records.views import BuildView, CastingView
from webapp.sheets.cutting.form_speeds import Tried
from webapp.typed.fields import Figures

# The figures of a drawing and of a casting that a cut goes by, by their keys.
_DRAWN = (
    "tread_diameter",
    "flange_depth",
    "flange_width",
    "tyre_width",
    "root_radius",
    "boss_diameter",
    "boss_length",
    "bore",
    "crankpin_hole",
)
_MEASURED = ("rim_most", "over_flange", "tread", "boss_height")
# Which of the form's boxes a refusal of the domain belongs to, where the two are called differently.
_BOX = {"length": "travel", "inner_diameter": "diameter"}
Fact = tuple[str, str, str]
# Where the metal left says nothing of a cut.
_ANY = MostCut(None)


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
    by_hand: str = ""
    # The edge, the machine it is reckoned for, the feed for each turn and the depth; empty where there is none.
    tool: str = ""
    machine: str = ""
    feed: str = ""
    depth: str = ""
    # Why no cut may be taken now, where the metal left says so.
    held: str = ""
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
    # What there is to be set, as it would be typed.
    proposed: Mapping[Setting, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Going:
    """What every operation of a sheet shares."""

    build: BuildView
    machines: Sequence[MachineView]
    tried: Tried
    tools: Tools
    conditions: Conditions
    drawn: DrawnWheel
    measured: MeasuredWheel
    usual: UsualCuts
    # What the metal left allows each operation; empty without a casting.
    most: Mapping[str, MostCut]

    @property
    def unit(self) -> Unit:
        """The system to show first."""
        return self.build.unit


@dataclass(frozen=True, slots=True)
class SpeedSheet:
    """The sheet of speeds of a casting, or of a build by its drawing."""

    cards: tuple[SpeedCard, ...]
    opened: str
    next: str
    all_done: bool
    tools_words: str
    iron: str
    chilled: bool
    chilled_by_receipt: bool
    factors_wrong: str = ""
    # Said where the rim was not measured yet.
    rim_words: str = ""


def operations_of(build: BuildView, casting: CastingView | None) -> tuple[Operation, ...]:
    """The operations of a casting's route, or of the build's coupled wheels."""
    if casting is not None:
        order = build.order_of(casting)
        route, coupled = order.route, order.coupled
    else:
        route, coupled = build.route_now, any(axle.coupled for axle in build.axles)
    return operations(route, coupled=coupled, hand_reamers=tools_of(build).hand_reamers)


def speed_sheet(
    build: BuildView,
    casting: CastingView | None,
    machines: Sequence[MachineView],
    tried: Tried,
) -> SpeedSheet:
    """Every operation of the route; the next one of the casting, or the one tried, is opened."""
    figures = work_figures(build)
    by_receipt = chill_seen(casting)
    chilled = by_receipt if tried.chilled is None else tried.chilled
    factors, wrong = factors_of(build)
    tools = tools_of(build, tried.tool)
    going = Going(
        build,
        machines,
        tried,
        tools,
        conditions=Conditions(interrupted=tried.interrupted, chilled=chilled, factors=factors),
        drawn=drawn_wheel(build),
        measured=measured_wheel(casting),
        usual=_usual_cuts(build, figures, casting),
        most=most_cuts(build, casting) if casting else {},
    )
    found = operations_of(build, casting)
    ticked = _ticked(build, casting)
    first = next_operation(found, ticked)
    rim = rim_now(going.drawn, going.measured)
    opened = tried.op or (first.key if first else "")
    cards = [speed_card(going, one, ticked) for one in found]
    return SpeedSheet(
        # The one that is wanted now comes first; the others follow in the order of the route.
        tuple(sorted(cards, key=lambda card: card.key != opened)),
        opened=opened,
        next=first.key if first else "",
        all_done=first is None,
        tools_words=tools_words(tools, "as tried here" if tried.tool else figures.source("tool")),
        iron=build.iron,
        chilled=chilled,
        chilled_by_receipt=by_receipt,
        factors_wrong=wrong,
        rim_words="" if rim.sure else rim.words,
    )


def drawn_wheel(build: BuildView) -> DrawnWheel:
    """The drawing's figures that a cut goes by."""
    centre = terms_of(build).finished.centre_nm
    return DrawnWheel(**{f"{key}_nm": build.crank_nm(key) for key in _DRAWN}, centre_nm=centre)


def measured_wheel(casting: CastingView | None) -> MeasuredWheel:
    """The sizes a casting has now, those that were measured."""
    sizes = casting.sizes if casting else {}
    return MeasuredWheel(**{f"{key}_nm": sizes[key].nm for key in _MEASURED if key in sizes})


def _usual_cuts(build: BuildView, figures: Figures, casting: CastingView | None) -> UsualCuts:
    reaming = facts_of(build).reaming
    # A bar is set for the one wheel: by its own seat, once that is measured.
    own = reaming.for_wheel(casting) if casting else reaming
    return UsualCuts(
        figures.nm("rough_cut"),
        figures.nm("finish_cut"),
        figures.nm("rough_feed"),
        figures.nm("finish_feed"),
        bore_drill_nm=reaming.drill_nm,
        crankpin_drill_nm=_crankpin_drill_nm(build),
        bore_reamer=reaming.size,
        bore_bar=own.middle if own.possible else None,
    )


def _crankpin_drill_nm(build: BuildView) -> int | None:
    """The drill owned that goes before a reamer of the crankpin hole, or None."""
    by_hand = facts_of(build).reaming.tools.hand_reamers
    owned = [view.drill for view in build.drills]
    try:
        found = drill_below(build.crank_nm("crankpin_hole"), owned, build.unit, by_hand=by_hand).drill
    except CuttingError:
        return None  # a hole outside the chart: no stock for the reamer is known, so no drill either
    return found.nominal_nm if found else None


def _ticked(build: BuildView, casting: CastingView | None) -> Collection[str]:
    if casting is None:
        return frozenset()
    axle = build.axle(casting.axle_id)
    return casting.ticked | ({"quartered"} if axle is not None and axle.quartered else set())


def speed_card(going: Going, one: Operation, ticked: Collection[str]) -> SpeedCard:
    """What to select for one operation."""
    most = going.most.get(one.key, _ANY)
    done = next_operation([one], ticked) is None
    blank = SpeedCard(one.key, one.words.capitalize(), one.stage.words, done, held=most.words)
    if one.kind.by_hand:
        return replace(blank, by_hand=by_hand_words(one.kind), cautions=cautions(one, MachineKind.LATHE))
    try:
        found = usual_cut(one, going.drawn, going.measured, going.usual)
        cut = _as_tried(_no_deeper(found.cut, most), going.tried)
        machine, said = _machine(going, one)
        if machine is None:
            wanted = wanted_speed(
                cut, going.tools.of(one.kind), going.build.iron, going.unit, going.conditions
            )
            return _without_machine(going, blank, found, cut, wanted)
        tool = going.tools.of(one.kind)
        made = plan(cut, tool, going.build.iron, machine.tool, going.unit, conditions=going.conditions)
    except CuttingError as error:
        return replace(blank, trouble=str(error), trouble_box=_BOX.get(error.field, error.field))
    card = replace(_planned(blank, cut, machine, made, going.unit), tool=tool.words)
    facts = _facts(going, found, cut, machine, made)
    proposed = _proposed(going, cut, made) if made.low_enough else {}
    return replace(card, headline=f"{card.headline} {said}".strip(), facts=facts, proposed=proposed)


def _proposed(going: Going, cut: Cut, made: CuttingPlan) -> dict[Setting, str]:
    """What is to be set by this plan: speed, feed, and the reamer of the bore or what a turning tool is made of."""
    one, reaming = cut.operation, facts_of(going.build).reaming
    texts = {Setting.SPINDLE: f"{made.rpm:g} rpm", Setting.FEED: f"{shortest(made.feed_nm, going.unit)}/rev"}
    if one.kind.single_edge:
        texts[Setting.TOOL] = going.tools.of(one.kind).words
    if one.key == "ream_bore" and reaming.possible and reaming.choice.reamer is not None:
        texts[Setting.REAMER] = reaming.choice.reamer.name
    return {key: text for key, text in texts.items() if key in TASKS[one.key].settings}


def _no_deeper(cut: Cut, most: MostCut) -> Cut:
    """The usual cut, but no deeper than the metal left allows."""
    if most.depth_nm is None or cut.depth_nm is None or cut.depth_nm <= most.depth_nm:
        return cut
    return replace(cut, depth_nm=most.depth_nm)


def _as_tried(cut: Cut, tried: Tried) -> Cut:
    """The usual cut with the sizes that were tried for this operation."""
    if tried.op != cut.operation.key:
        return cut
    diameter = tried.diameter_nm or cut.diameter_nm
    inner = cut.inner_diameter_nm
    return Cut(
        cut.operation,
        diameter,
        inner_diameter_nm=None if inner is None or inner > diameter else inner,
        length_nm=tried.travel_nm or cut.length_nm,
        depth_nm=tried.depth_nm or cut.depth_nm,
        feed_nm=tried.feed_nm or cut.feed_nm,
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
    going: Going, blank: SpeedCard, found: UsualCut, cut: Cut, wanted: WantedSpeed
) -> SpeedCard:
    one = cut.operation
    able = " or ".join(kind.words for kind in one.machines)
    return replace(
        blank,
        figure=f"{rpm_words(wanted.rpm)} at most",
        headline=ceiling_words(wanted.rpm),
        tool=going.tools.of(one.kind).words,
        asks=f"No {able} with its spindle speeds is on the workshop's list: add one, and the speed to select stands here.",
        facts=(_diameter(going, found, cut), ("Tool", going.tools.of(one.kind).words, "")),
        flags=tuple(flag.words for flag in wanted.flags),
        cautions=cautions(one, one.machines[0]),
        workings=wanted.workings,
    )


def _diameter(going: Going, found: UsualCut, cut: Cut) -> Fact:
    words = found.size.words if cut.diameter_nm == found.size.nm else "as tried"
    return "Diameter", show(cut.diameter_nm, going.unit), words


def _planned(card: SpeedCard, cut: Cut, machine: MachineView, made: CuttingPlan, unit: Unit) -> SpeedCard:
    return replace(
        card,
        machine=machine.name,
        feed=show(made.feed_nm, unit),
        depth=show(cut.depth_nm, unit) if cut.operation.depth_words and cut.depth_nm is not None else "",
        figure=f"{made.rpm:g} rpm" if made.low_enough else "No speed is low enough",
        headline=select_words(made.rpm, made.feed_nm, made.minutes, unit, low_enough=made.low_enough),
        stop=made.stop,
        graves=tuple(flag.words for flag in made.flags if flag.grave),
        flags=tuple(flag.words for flag in made.flags if not flag.grave),
        cautions=cautions(cut.operation, machine.tool.kind),
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
        held = going.most.get(one.key, _ANY).words
        facts.append((one.depth_words.capitalize(), show(cut.depth_nm, unit), held))
    facts.append(("Time for one cut", *_time(cut, found, made)))
    facts.extend(_load(machine, made, going.build.unit))
    return tuple(facts)


def _time(cut: Cut, found: UsualCut, made: CuttingPlan) -> tuple[str, str]:
    if made.minutes is None or cut.length_nm is None:
        return "not known", "type below how far the tool travels, and it stands here"
    words = found.travel_words if cut.length_nm == found.cut.length_nm else "over the travel tried"
    return minutes_words(made.minutes), words


def _load(machine: MachineView, made: CuttingPlan, unit: Unit) -> tuple[Fact, ...]:
    if made.force_n is None or made.power_w is None:
        why = "for a drill or a reamer no published figures are held here"
        return (("Force and power", "not reckoned", why),)
    share = f"{machine.name} has no motor power on the workshop's list"
    if made.power_share is not None:
        share = f"{100 * made.power_share:.0f} % of its {machine.tool.motor_w:g} W"
    return (
        ("Cutting force", show_force(made.force_n, unit), "along the cut, for a sharp edge"),
        ("Power at the motor", f"{made.power_w:.0f} W", share),
    )
