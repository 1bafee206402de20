"""What is said about a cut: warnings that belong to it, the usual cautions, and its figures in words."""

import math
from dataclasses import dataclass

from domain.cutting.force import IronForce
from domain.cutting.operations import Operation
from domain.cutting.reaming import CAUTIONS as REAMING_CAUTIONS
from domain.cutting.speeds import M_PER_FOOT, CutKind, Tool, cutting_table
from domain.cutting.spindle import FacingSpeeds, MachineKind, MachineTool, Pick, rpm_words
from domain.lengths import Unit, show


@dataclass(frozen=True)
class Flag:
    """One warning about a cut; `grave` when the cut must not be taken as it stands."""

    key: str
    words: str
    grave: bool = False


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
_HAND_CAUTION = "Switch off at the wall before working the saddle by hand strokes: the spindle must not turn."


def cautions(operation: Operation, machine: MachineKind) -> tuple[str, ...]:
    """The cautions to show beside an operation.

    Parameters: `operation`; `machine`, lathe or drilling machine.
    Returns: sentences (no unit).
    Source: common practice, no source.

    >>> from domain.cutting.operations import operation
    >>> cautions(operation("face_back"), MachineKind.LATHE)[0]
    'Take the chuck key out before the power goes on, every time.'
    """
    if operation.kind is CutKind.HAND:
        return (_HAND_CAUTION, *_IRON_CAUTIONS)
    first = _LATHE_CAUTIONS if machine is MachineKind.LATHE else _DRILL_CAUTIONS
    # The last of the reamer's own cautions is the chuck key, already said.
    reaming = REAMING_CAUTIONS[:-1] if operation.kind is CutKind.REAM else ()
    return (*first, *reaming, *_IRON_CAUTIONS)


def speed_flags(
    pick: Pick, unslowed_rpm: float, carbide_rpm: float | None, kind: CutKind, machine: MachineTool
) -> tuple[Flag, ...]:
    """What to say, and what to do, where no spindle speed is low enough; nothing where one is.

    Formula: none, comparisons with the slowest speed.
    Parameters: `pick`; `unslowed_rpm`, what would be wanted without the slowing factors, rpm; `carbide_rpm`, what
    carbide would want, rpm, None where carbide is already used; `kind`, the kind of cut; `machine`.
    Returns: flags.
    Source: our own.

    >>> speed_flags(Pick(60, 71.9, True, 0.0, ""), 71.9, None, CutKind.TURN, MachineTool("A", MachineKind.LATHE, (60,)))
    ()
    """
    if pick.low_enough:
        return ()
    over = math.ceil(pick.over_percent)
    found = [Flag("too_fast", pick.words, grave=True)]
    if carbide_rpm is not None and carbide_rpm >= pick.rpm:
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

    Parameters: `operation`; `interrupted` and `chilled`, whether it is; `tool`.
    Returns: flags.
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

    Parameters: `feed_nm`, the feed the cut gets; `wanted_nm`, the feed wanted; `finishing_nm`, a fine enough
    finishing feed; each nm a turn; `finishing`, whether this is the finishing cut; `unit`, to show first.
    Returns: flags.
    Source: our own.

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
    Returns: flags.
    Source: our own.

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


def speed_words(metres_a_minute: float, unit: Unit) -> str:
    """A surface speed in both systems, the given one first.

    >>> speed_words(24.384, Unit.INCH)
    '80 ft/min (24.4 m/min)'
    """
    metres, feet = f"{metres_a_minute:.1f} m/min", f"{metres_a_minute / M_PER_FOOT:.0f} ft/min"
    return f"{feet} ({metres})" if unit is Unit.INCH else f"{metres} ({feet})"


def minutes_words(minutes: float) -> str:
    """A time in minutes and seconds, rounded up to a second.

    >>> minutes_words(2.51)
    '2 min 31 s'
    """
    # A billionth of a second over is the float's doing, not the lathe's.
    whole, seconds = divmod(math.ceil(minutes * 60 - 1e-9), 60)
    return f"{whole} min {seconds} s"
