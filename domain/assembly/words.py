"""What the card of an axle says."""

from collections.abc import Sequence

from domain.assembly.running import RunOut
from domain.assembly.shoulders import ShouldersFinding
from domain.lengths import Unit, show, show_small
from domain.measuring.decision import Conformity

_BEGINS = {
    Conformity.INSIDE: "Good",
    Conformity.OUTSIDE: "No good",
    Conformity.CANNOT_TELL: "Cannot tell",
}


def wanted_words(found: ShouldersFinding, unit: Unit) -> str:
    """What is wanted over the shoulders; empty where the standard says nothing.

    >>> wanted_words(ShouldersFinding((119_000_000, None), None, None, None, ()), Unit.MM)
    'at least 119.000 mm (4.6850 in)'
    """
    low, high = (None if nm is None else show(nm, unit) for nm in found.wanted)
    if low and high:
        return f"{low} to {high}"
    return f"at least {low}" if low else f"at most {high}" if high else ""


def shoulders_words(found: ShouldersFinding, unit: Unit) -> str:
    """The answer on the shoulders in a line.

    >>> shoulders_words(ShouldersFinding((119_000_000, 119_500_000), None, None, None, ()), Unit.MM)
    'Over the shoulders: 119.000 mm (4.6850 in) to 119.500 mm (4.7047 in) is wanted'
    """
    if found.back is None:
        wanted = wanted_words(found, unit)
        return f"Over the shoulders: {wanted} is wanted" if wanted else "Over the shoulders: not measured yet"
    comes = f"back to back comes to {show(found.back.nm, unit)}"
    if found.decision is None:
        return f"No limit to judge it by: {comes}"
    beyond = ""
    if found.decision.answer is Conformity.OUTSIDE:
        side = "over" if found.off_nm > 0 else "under"
        beyond = f", {show_small(-(found.decision.margin_nm or 0), unit)} {side}"
    return f"{_BEGINS[found.decision.answer]}: {comes}{beyond}"


def shoulders_remedy(found: ShouldersFinding, unit: Unit) -> str:
    """What puts the shoulders right where they are no good; common practice, no source.

    >>> shoulders_remedy(ShouldersFinding((None, None), None, None, None, ()), Unit.MM)
    ''
    """
    if not found.off_nm:
        return ""
    by = show_small(abs(found.off_nm), unit)
    if found.off_nm > 0:
        return f"Take {by} off between the shoulders, before a wheel goes on."
    return f"{by} must go between: a washer behind a boss, or wheels set off their shoulders to a gauge."


def run_out_words(found: RunOut, unit: Unit) -> str:
    """The answer on the run-out in a line, by the one figure that the dial reads.

    >>> from domain.assembly.running import judge_run_out
    >>> from domain.treads.judging import MeasuredSize
    >>> run_out_words(judge_run_out(MeasuredSize(40_000, 0), 25_000, Unit.MM), Unit.MM)
    'No good: run-out 0.040 mm (0.0016 in), the full reading of the dial; 0.025 mm (0.0010 in) is allowed'
    """
    read, most = (show_small(nm, unit) for nm in (found.swing.nm, found.most_nm))
    return (
        f"{_BEGINS[found.decision.answer]}: run-out {read}, the full reading of the dial; {most} is allowed"
    )


def cannot_be_words(back_nm: int, gauge_nm: int, unit: Unit) -> str:
    """Why a length over the shoulders cannot be: the wheels would stand on the rails or outside them."""
    return (
        f"With that the wheels would be {show(back_nm, unit)} back to back, no less than the track's gauge,"
        f" {show(gauge_nm, unit)}: measure between the faces that the bosses sit against, and look at the unit."
    )


def journal_words(seat_nm: int, unit: Unit) -> str:
    """Why a journal outside the wheels cannot be that large."""
    return f"A journal outside the wheels must be no larger than the seat, {show(seat_nm, unit)}: the wheel goes on over it."


def width_words(over_nm: int, room_nm: int, unit: Unit) -> str:
    """Why a thing cannot be that wide."""
    return (
        f"With that all on the list are {show_small(over_nm, unit)} wider than the room between the shoulders,"
        f" {show(room_nm, unit)}."
    )


def listed(names: Sequence[str]) -> str:
    """Names one after the other.

    >>> listed(["Gear", "Pump drive", "Left spacer"])
    'Gear, Pump drive and Left spacer'
    """
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def open_words(axle: int, second: str, names: Sequence[str]) -> str:
    """What is asked before the second wheel is fixed while things are still to go on; empty where none is.

    >>> open_words(2, "W4", ["Left axlebox", "Gear"])[:41]
    'Not on axle 2 yet: Left axlebox and Gear.'
    """
    if not names:
        return ""
    they = "it" if len(names) == 1 else "they"
    return (
        f"Not on axle {axle} yet: {listed(names)}. Once {second} is fixed {they} can go on no more: that is not undone"
        " without heat or a puller."
    )


def count_words(second: str, still: int, of: int) -> str:
    """The list in a line, while things are still to go on before the second wheel.

    >>> count_words("W4", 2, 5)
    'Before W4 goes on: 2 of 5 still to go on the axle'
    """
    return f"Before {second} goes on: {still} of {of} still to go on the axle"
