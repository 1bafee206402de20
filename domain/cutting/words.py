"""What is said in the cutting room: figures in words, what was found of a cut, a reamer, strokes or a swing, cautions."""

import math
from dataclasses import dataclass

from domain.cutting.operations import Operation
from domain.cutting.reaming import (
    DrillChoice,
    Promise,
    Prospect,
    ReamAgain,
    ReamerChoice,
    ReamerCut,
    ReamingSpeed,
    ReamingStock,
    Way,
)
from domain.cutting.speeds import M_PER_FOOT, CutKind, IronForce, Tool, Tools, cutting_table
from domain.cutting.spindle import FacingSpeeds, MachineKind, MachineTool, Pick
from domain.cutting.strokes import StrokePlan
from domain.cutting.swing import Furthest, Swing, SwingAnswer, SwingLimit
from domain.joints.fit import inward
from domain.lengths import Unit, show, show_offset
from domain.lengths.loads import both_loads

STROKES_FIRST = "Lathe isolated at the wall, chuck key out. New to it? First practise on a spoiled casting."
STROKES_CAUTIONS = (
    "Power off at the wall, not at the switch: the chuck is rocked by hand and must not be able to start.",
    "Chuck key out before the first stroke, and out again each time it has been used.",
    "The wheel is heavier on one side: hold the chuck, or block it, while you wind the feed or measure, so that"
    " it cannot swing round.",
    "Pull by the chuck's body and keep hands off the casting: its edges are sharp, and the tool is close. Stop"
    " short of the balance weight.",
    "Go back with the tool clear of the metal, and stand clear of its way.",
    "Iron dust: wear eye protection, do not breathe it, and brush it off; do not blow it.",
    "A bright hard spot that the tool skates over is chilled iron: stop, and do not force the tool.",
    "A figure here is advice: you decide, and where you are unsure ask somebody competent.",
)
SWING_CAUTIONS = (
    "Chuck key out before anything turns.",
    "Turn it by hand through one whole turn before power, with the saddle where the cut will be.",
    "Over the cross-slide there is less room than over the bed: see that the saddle and the tool clear the work.",
    "No jaw may stand further out of the chuck's body than its maker allows: as a rule no more than one third of"
    " its length.",
    "An answer here goes by what was typed: measure, look, and decide yourself.",
)
_KEY_OUT = "Chuck key out, and a hand turn clear of the bed before the power."
_REAMING_BY_HAND = (
    "Iron is reamed dry (Applied Science for Metal Workers, section 313); keep its dust off the bed and out of"
    " your lungs.",
    "Never turn a reamer backwards, and draw it out standing still or still turning forwards"
    " (common practice, no source).",
    "A drill cuts over its own size too: measure what it left before the reamer goes in.",
)
_REAMING = (
    "Keep the spindle slow: the same reamer opens a hole further when it is hurried"
    " (common practice, no source).",
    *_REAMING_BY_HAND,
)
REAMING_CAUTIONS = (*_REAMING, _KEY_OUT)
_WRENCH_CAUTION = "Switch off at the wall and take the chuck key out before a wrench goes on the reamer."
HAND_REAMING_CAUTIONS = (_WRENCH_CAUTION, *_REAMING_BY_HAND)
_LATHE_CAUTIONS = (
    "Take the chuck key out before the power goes on, every time.",
    "Turn the work a full turn by hand, clear of the bed, the saddle and the tool, before the power.",
    "A wheel with a crank boss or a weight is out of balance: begin slower, and go down a speed if the lathe shakes.",
)
_DRILL_CAUTIONS = (
    "Take the chuck key out before the power goes on, every time.",
    "Clamp the wheel and its jig: never hold them by hand under a drill.",
)
_IRON_CAUTIONS = (
    "Iron dust: wear a mask and eye protection, keep it off the bed, and never blow it about.",
    "A glassy or hard patch may be chill: stop, look at the edge, and slow down before going on.",
    "These figures advise: the machine's and the tool's makers come first, and where there is doubt"
    " ask a competent person.",
)
_HAND_CAUTION = "Switch off at the wall before the chuck is rocked by hand: the motor must not turn it."


def speed_words(metres_a_minute: float, unit: Unit) -> str:
    """A surface speed in both systems, the given one first.

    >>> speed_words(24.384, Unit.INCH)
    '80 ft/min (24.4 m/min)'
    """
    metres, feet = f"{metres_a_minute:.1f} m/min", f"{metres_a_minute / M_PER_FOOT:.0f} ft/min"
    return both_loads(metres, feet, unit)


def minutes_words(minutes: float) -> str:
    """A time in minutes and seconds, rounded up to a second.

    >>> minutes_words(2.51)
    '2 min 31 s'
    """
    # A billionth of a second over is the float's doing, not the lathe's.
    whole, seconds = divmod(math.ceil(minutes * 60 - 1e-9), 60)
    return f"{whole} min {seconds} s"


def ceiling_words(rpm: float) -> str:
    """What to select where no machine is known."""
    return f"Select the nearest spindle speed not above {rpm_words(rpm)}."


def select_words(rpm: float, feed_nm: int, minutes: float | None, unit: Unit, *, low_enough: bool) -> str:
    """What to select on a machine for a cut, and how long it takes; minutes are None where the travel is not known.

    >>> select_words(60, 203_200, 3.125, Unit.MM, low_enough=True)
    'Select 60 rpm and feed 0.203 mm (0.0080 in) a turn: 3 min 8 s for the cut.'
    """
    time = "" if minutes is None else f": {minutes_words(minutes)} for the cut"
    feed = f"feed {show(feed_nm, unit)} a turn{time}."
    if low_enough:
        return f"Select {rpm:g} rpm and {feed}"
    return f"No speed is low enough; at the slowest, {rpm:g} rpm, it would be {feed}"


def rpm_words(rpm: float) -> str:
    """A spindle speed cut off at a tenth, never rounded up: it is a ceiling.

    >>> rpm_words(71.89)
    '71.8 rpm'
    """
    return f"{math.floor(rpm * 10) / 10:.1f} rpm"


@dataclass(frozen=True)
class Flag:
    """One warning about a cut; `grave` when the cut must not be taken as it stands."""

    key: str
    words: str
    grave: bool = False


def cautions(operation: Operation, machine: MachineKind) -> tuple[str, ...]:
    """The cautions to show beside an operation.

    Source: common practice, no source.

    >>> from domain.cutting.operations import operation
    >>> cautions(operation("face_back"), MachineKind.LATHE)[0]
    'Take the chuck key out before the power goes on, every time.'
    """
    if operation.kind is CutKind.HAND:
        return (_HAND_CAUTION, *_IRON_CAUTIONS)
    if operation.kind is CutKind.HAND_REAM:
        return (*HAND_REAMING_CAUTIONS, *_IRON_CAUTIONS)
    first = _LATHE_CAUTIONS if machine is MachineKind.LATHE else _DRILL_CAUTIONS
    # Without the reamer's own word on the chuck key, which is said already.
    reaming = _REAMING if operation.kind is CutKind.REAM else ()
    return (*first, *reaming, *_IRON_CAUTIONS)


def tools_words(tools: Tools, turning_source: str) -> str:
    """What a shop turns, drills and reams with; whose word the turning tools are stands behind them.

    >>> tools_words(Tools(turning=Tool.CARBIDE), "as typed")
    'carbide turning tools (as typed), high-speed steel drills and reamers'
    """
    turning = f"{tools.turning.words} turning tools ({turning_source})"
    if tools.hand_reamers:
        return f"{turning}, {tools.drill.words} drills, hand reamers"
    if tools.drill is tools.reamer:
        return f"{turning}, {tools.drill.words} drills and reamers"
    return f"{turning}, {tools.drill.words} drills, {tools.reamer.words} reamers"


def by_hand_words(kind: CutKind) -> str:
    """How a cut without a spindle speed is made; empty for one that has a speed.

    Source: common practice, no source.

    >>> by_hand_words(CutKind.HAND_REAM)[:19]
    'Turned by a wrench,'
    """
    return {
        CutKind.HAND: (
            "Faced in strokes, the lathe isolated and the chuck rocked by hand: there is no spindle speed."
        ),
        CutKind.HAND_REAM: (
            "Turned by a wrench, the lathe isolated, the reamer's end held in line by the tailstock's centre: there"
            " is no spindle speed."
        ),
    }.get(kind, "")


def speed_flags(
    pick: Pick, unslowed_rpm: float, carbide_rpm: float | None, kind: CutKind, machine: MachineTool
) -> tuple[Flag, ...]:
    """What to say, and what to do, where no spindle speed is low enough; nothing where one is.

    Parameters: `pick`; `unslowed_rpm`, what would be wanted without the slowing factors, rpm; `carbide_rpm`, what
    carbide would want, rpm, None where carbide is already used; `kind`, the kind of cut; `machine`.

    >>> speed_flags(Pick(60, 71.9, True, 0.0), 71.9, None, CutKind.TURN, MachineTool("A", MachineKind.LATHE, (60,)))
    ()
    """
    if pick.low_enough:
        return ()
    over = math.ceil(pick.over_percent)
    words = (
        f"No spindle speed is low enough: the slowest is {pick.rpm:g} rpm and {rpm_words(pick.wanted_rpm)} is wanted,"
        f" so enter the back-gear speeds if there are any, or use another machine; a lighter cut does not slow the"
        f" surface."
    )
    found = [Flag("too_fast", words, grave=True)]
    # Not of a reamer: the quicker it turns, the larger the hole.
    if carbide_rpm is not None and carbide_rpm >= pick.rpm and kind is not CutKind.REAM:
        words = f"With carbide {rpm_words(carbide_rpm)} may be used, so {pick.rpm:g} rpm will do."
        found.append(Flag("carbide_instead", words))
    elif machine.kind is MachineKind.LATHE and kind.single_edge:
        words = (
            "With no slower lathe to hand, take light cuts with the power off and the spindle turned by hand."
        )
        found.append(Flag("turn_by_hand", words))
    if unslowed_rpm >= pick.rpm:
        words = (
            f"Only the slowing factors rule {pick.rpm:g} rpm out: without them {rpm_words(unslowed_rpm)} would be"
            f" wanted. They are common practice, not a published limit."
        )
        found.append(Flag("factors_decide", words))
    words = (
        f"At {pick.rpm:g} rpm the edge passes {over} % faster than it should: it will dull early, how early is not"
        f" reckoned here, so look at the edge after each short cut."
    )
    found.append(Flag("over_speed", words))
    return tuple(found)


def condition_flags(
    operation: Operation, *, interrupted: bool, chilled: bool, tool: Tool
) -> tuple[Flag, ...]:
    """What to say of a cut that is interrupted, or that meets chilled skin.

    Source: common practice, no source.

    >>> from domain.cutting.operations import operation
    >>> [f.key for f in condition_flags(operation("face_back"), interrupted=False, chilled=True, tool=Tool.HSS)]
    ['chilled']
    """
    found = []
    if interrupted:
        by = operation.interrupted_by or "a gap in the iron"
        edge = " Carbide chips where it strikes: use a tough grade." if tool is Tool.CARBIDE else ""
        words = f"The cut is broken by {by}, so the speed is slowed: common practice, no source.{edge}"
        found.append(Flag("interrupted", words))
    if chilled:
        words = "Chilled skin: the speed is slowed (common practice, no source)."
        if operation.kind.single_edge:
            words += " Set the first cut deep enough to get the edge under the skin rather than rub on it."
        found.append(Flag("chilled", words))
    return tuple(found)


def feed_flags(
    feed_nm: int, wanted_nm: int, finishing_nm: int, *, finishing: bool, unit: Unit
) -> tuple[Flag, ...]:
    """What to say where the machine cannot feed as finely as is wanted.

    >>> [f.key for f in feed_flags(150_000, 101_600, 101_600, finishing=True, unit=Unit.MM)]
    ['feed_raised', 'coarse_finish']
    """
    found = []
    if feed_nm > wanted_nm:
        words = (
            f"The machine's smallest feed is {show(feed_nm, unit)} a turn, more than the {show(wanted_nm, unit)}"
            f" wanted: reckoned with the machine's."
        )
        found.append(Flag("feed_raised", words))
    if finishing and feed_nm > finishing_nm:
        words = (
            f"That is a coarse feed for a finishing cut, where about {show(finishing_nm, unit)} a turn is usual:"
            f" feed by hand, or expect a rougher face."
        )
        found.append(Flag("coarse_finish", words))
    return tuple(found)


def power_flags(
    operation: Operation, power_w: float | None, machine: MachineTool, deepest_nm: int | None, unit: Unit
) -> tuple[Flag, ...]:
    """What to say where the cut asks more than the motor has.

    Formula: power / motor above 1.
    Parameters: `operation`; `power_w`, needed at the motor, W, or None; `machine`; `deepest_nm`, the deepest cut
    that fits, nm, or None; `unit`, to show first.

    >>> from domain.cutting.operations import operation
    >>> lathe = MachineTool("A", MachineKind.LATHE, (60,), 370)
    >>> power_flags(operation("face_back"), 400.0, lathe, 1_000_000, Unit.MM)[0].grave
    True
    """
    if power_w is None or machine.motor_w is None or deepest_nm is None or power_w <= machine.motor_w:
        return ()
    limit = "use no longer an edge" if operation.kind is CutKind.FORM else "go no deeper"
    words = (
        f"The cut asks {power_w:.1f} W of a motor of {machine.motor_w:g} W: {limit} than"
        f" {show(deepest_nm - deepest_nm % 10_000, unit)} at this feed, and less if the belt slips."
    )
    return (Flag("power", words, grave=True),)


def chilled_force_flag(iron: IronForce) -> Flag:
    """That the force shown is for sound grey iron, and a chilled skin asks several times as much."""
    table = cutting_table()["force"]
    words = (
        f"Force and power are for sound grey iron: a chilled skin resists several times as much"
        f" ({table['chilled_kc1']:g} against {iron.kc1:g} N/mm2; {table['chilled_source']})."
    )
    return Flag("chilled_force", words)


def slowing_flag(speeds: FacingSpeeds, unit: Unit) -> Flag:
    """That a facing cut slows towards the middle, with both speeds."""
    rim, boss = speed_words(speeds.rim.metres_a_minute, unit), speed_words(speeds.boss.metres_a_minute, unit)
    return Flag(
        "slows", f"At one spindle speed the cut slows towards the middle: {rim} outside, {boss} inside."
    )


def strokes_words(plan: StrokePlan, unit: Unit) -> str:
    """A facing by hand strokes.

    >>> from domain.cutting.strokes import DEFAULT_FEED_NM, strokes
    >>> strokes_words(strokes(8_000_000, DEFAULT_FEED_NM, 1_000_000, 400_000, Unit.MM), Unit.MM)
    '237 strokes: 3 passes of 79 strokes, each 0.333 mm (0.0131 in) deep.'
    """
    cut = show(plan.cut_nm, unit)
    if plan.passes == 1:
        return f"{_strokes(plan.strokes)} in one pass, {cut} deep."
    return f"{_strokes(plan.strokes)}: {plan.passes} passes of {_strokes(plan.strokes_per_pass)}, each {cut} deep."


def facing_ways(feed_nm: int, unit: Unit) -> tuple[tuple[str, str], ...]:
    """The ways to face a crank boss that the tool cannot go round: each by its name, and how it is done.

    Source: common practice, no source.

    >>> [name for name, _ in facing_ways(101_600, Unit.INCH)][0]
    'By hand'
    """
    return (
        (
            "By hand",
            "lathe isolated. Rock the chuck through the arc that is clear of the weight, and feed the tool"
            f" {show(feed_nm, unit)} across between strokes.",
        ),
        (
            "In the slowest back gear, for the practised",
            "against a saddle stop. Draw the saddle back before the weight comes round and push it in again after"
            " it, every turn: a missed beat breaks the tool. As many turns as strokes; count none of them here.",
        ),
        ("Milled", "where a miller takes the wheel: nothing to count."),
    )


def _strokes(count: int) -> str:
    return f"{count} stroke{'' if count == 1 else 's'}"


_SWINGS = {
    SwingAnswer.YES: ("It swings", ""),
    SwingAnswer.NO: (
        "It does not swing",
        " Do not mount it: turn the jaws round, grip elsewhere, or take another chuck or lathe.",
    ),
    SwingAnswer.ONLY_IN_GAP: ("It swings only in the gap", " Take the gap piece out first."),
}


def swing_words(swing: Swing, unit: Unit) -> str:
    """Whether it swings, what stands out furthest, and by how much."""
    start, tail = _SWINGS[swing.answer]
    stands = "stand" if swing.furthest is Furthest.JAWS else "stands"
    radius = show(swing.largest_radius_nm, unit)
    hand = " Barely: turn it by hand first." if swing.barely else ""
    return (
        f"{start}: {swing.furthest} {stands} out furthest, {radius} from the axis, {_room_words(swing, unit)}."
        f"{tail}{hand}"
    )


def _room_words(swing: Swing, unit: Unit) -> str:
    over = show(abs(swing.over_bed_nm), unit)
    if swing.answer is SwingAnswer.YES:
        return f"{over} clear of the bed"
    bed = f"{over} too far for the bed" if swing.over_bed_nm else "where the bed begins: it touches"
    gap = show(abs(swing.clearance_nm), unit)
    if swing.answer is SwingAnswer.ONLY_IN_GAP:
        return f"{bed}, but {gap} clear of the gap's floor"
    return {
        SwingLimit.BED: bed,
        SwingLimit.GAP_BEFORE_CHUCK: f"{bed}, and the gap ends before the chuck's face",
        SwingLimit.GAP_LENGTH: f"{bed}, and the gap is {show(swing.gap_short_nm, unit)} too short for it",
        SwingLimit.GAP_FLOOR: f"{gap} too far for the gap too"
        if swing.clearance_nm
        else "where the gap's floor begins: it touches",
    }[swing.decides]


def swing_cautions(swing: Swing) -> tuple[str, ...]:
    """The cautions beside an answer, its own first."""
    barely = "It clears by less than 2 mm: a jaw moved to set the work true can take that up. Turn it by hand again then."
    too_far = "More than one third of a jaw stands out of the chuck's body: turn the jaws round or take a larger chuck."
    mine = ((barely, swing.barely), (too_far, swing.jaws_too_far_out))
    return (*(words for words, so in mine if so), *SWING_CAUTIONS)


def stock_words(stock: ReamingStock, unit: Unit) -> str:
    """What to leave for the reamer.

    >>> from domain.cutting.reaming import stock_for
    >>> stock_words(stock_for(19_050_000, Unit.INCH), Unit.INCH)[:63]
    'Leave 0.0100 in (0.254 mm) to 0.0160 in (0.406 mm) for the ream'
    """
    return (
        f"Leave {show(stock.least_nm, unit)} to {show(stock.most_nm, unit)} for the reamer:"
        f" a hole of {show(stock.hole_low_nm, unit)} to {show(stock.hole_high_nm, unit)}."
    )


def drill_words(choice: DrillChoice, unit: Unit) -> str:
    """Which drill goes before the reamer, and what to do where none leaves the right stock."""
    stock = choice.stock
    hole = f"to between {show(stock.hole_low_nm, unit)} and {show(stock.hole_high_nm, unit)}"
    if choice.drill is None or choice.leaves_nm is None:
        why = (
            "none of the drills owned leaves enough for the reamer" if choice.owned else "no drill is listed"
        )
        return f"Bore it {hole} with a boring bar before reaming: {why}."
    leaves = show(choice.leaves_nm, unit)
    if choice.within:
        return f"Drill {choice.drill.name}: it leaves {leaves} for the reamer."
    return (
        f"Drill {choice.drill.name}, then bore {hole} before reaming: the drill leaves {leaves}, more than the reamer"
        f" should take."
    )


def reaming_speed_words(speed: ReamingSpeed) -> str:
    """How slowly to turn the reamer."""
    # Cut off, not rounded: an advised speed is a ceiling.
    ream, most = math.floor(speed.ream_rpm), math.floor(speed.most_rpm)
    if speed.drill_rpm is None:
        return f"Turn the reamer at no more than {ream} rpm."
    drill = math.floor(speed.drill_rpm)
    return f"Turn the reamer at about {ream} rpm, half of the {drill} for a drill of its size, and never above {most}."


def reamer_words(cut: ReamerCut, unit: Unit) -> str:
    """What a reamer cuts, as far as it is known."""
    if cut.offset_nm is None:
        return "Nothing is known of its cut: no bore is logged from it."
    offset = show_offset(cut.offset_nm, unit)
    if cut.low_nm is None or cut.high_nm is None:
        return f"One bore is logged, {offset} on its marked size: a second is needed before a range can be expected."
    return (
        f"Cuts {offset} on its marked size in {cut.count} bores;"
        f" the next is expected between {show(cut.low_nm, unit)} and {show(cut.high_nm, unit)}."
    )


def prospect_words(one: Prospect, unit: Unit) -> str:
    """What is to be expected of a reamer for the bore wanted."""
    cut = reamer_words(one.cut, unit)
    if one.way in (Way.BORE, Way.SUIT):
        known = "It cuts" if one.cut.count else "Its marked size is"
        suits = "" if one.seat_nm is None else f" A seat turned {_between(one.seat_nm, unit)} suits it."
        return f"{known} {one.promise} the limits, at {show(one.middle_nm, unit)}.{suits}"
    return {
        Promise.AS_MARKED: "It may do, but only if it cuts no larger than marked: that is the largest allowed. ",
        Promise.UNKNOWN: "It may do. ",
        Promise.NOT_SURE: "It cuts in limits on the whole, not surely. ",
        Promise.INSIDE: "",
    }[one.promise] + cut


def _between(window: tuple[int, int], unit: Unit) -> str:
    low, high = (show(nm, unit) for nm in window)
    return f"to {low}" if low == high else f"to between {low} and {high}"


def ream_again_words(found: ReamAgain, unit: Unit, most_rpm: float) -> str:
    """To ream a tight hole again, with what the reamer has cut so far; most_rpm, above 0: the most a chart gives it.

    >>> from domain.cutting.reaming import ream_again
    >>> ream_again_words(ream_again(19_060_000, 19_070_000, None, Unit.MM), Unit.MM, 279.6)[:69]
    'If it was reamed, ream it again a little faster, never above 279 rpm:'
    """
    faster = (
        f"a little faster, never above {math.floor(most_rpm)} rpm: {show(found.wanting_nm, unit)} is wanting."
    )
    if found.reamer is None:
        return f"If it was reamed, ream it again {faster} Gauge it after each go."
    grows = ""
    if found.offset_nm is not None and found.most_nm is not None:
        bores = len(found.reamer.bores_nm)
        grows = f" So far it has cut {show_offset(found.offset_nm, unit)} on its marked size in"
        grows += f" {bores} bores, at most {show_offset(found.most_nm, unit)}." if bores > 1 else " one bore."
    return f"Ream it again with {found.reamer.name}, {faster}{grows} Gauge it after each go."


def choice_words(choice: ReamerChoice, unit: Unit) -> str:
    """Ream, try, ream and turn the seat to suit, or bore."""
    if choice.best is not None:
        name = choice.best.reamer.name
        if choice.way is Way.REAM:
            return f"Ream with {name}: its next bore is expected in limits."
        if choice.best.seat_nm is not None:
            hole = show(choice.best.middle_nm, unit)
            return (
                f"Ream with {name}, measure the hole, and turn its seat to suit:"
                f" {_between(choice.best.seat_nm, unit)} for a hole of {hole}."
            )
        return f"Try {name} in scrap iron first. {prospect_words(choice.best, unit)}"
    low, high = inward(unit, choice.low_nm, choice.high_nm)
    if low > high:  # limits closer than can be shown
        low, high = choice.low_nm, choice.high_nm
    why = "no reamer owned cuts that" if choice.prospects else "no reamer is listed"
    return f"Use the boring bar, to between {show(low, unit)} and {show(high, unit)}: {why}."
