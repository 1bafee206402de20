"""What the sheet of re-turning says."""

from collections.abc import Mapping, Sequence

from domain.answer import Answer
from domain.lengths import Unit, show, show_small
from domain.returning.wear import Common, FullSize, ToTurn, WornBy


def _joined(words: Sequence[str]) -> str:
    return " and ".join(words) if len(words) < 3 else f"{', '.join(words[:-1])} and {words[-1]}"


def to_cut_nm(diameter_nm: int, unit: Unit) -> int:
    """A diameter to turn to: down to a tenth of a thou, or a hundredth of a millimetre, so never more than the metal allows.

    >>> to_cut_nm(125_953_000, Unit.INCH) == 49_587 * 2_540, to_cut_nm(125_957_000, Unit.MM)
    (True, 125950000)
    """
    step = 2_540 if unit is Unit.INCH else 10_000
    return diameter_nm // step * step


def common_words(found: Common, deepest: Mapping[str, ToTurn], unit: Unit) -> str:
    """The answer in a line: what the group can be turned to, who decides and why, and what is in the way.

    `deepest`: what each wheel asks for, by its mark.
    """
    first = found.decided_by[0]
    off = deepest[first]
    why = (
        f"{first}'s {off.by.value} takes the most, {show_small(off.off_nm, unit)} off the radius"
        if off.by is not WornBy.NOTHING
        else f"{first} is the smallest"
    )
    to = show(to_cut_nm(found.diameter_nm, unit), unit)
    if found.answer is Answer.NOT:
        lost = _joined(found.lost)
        ask = f"{lost} {'has' if len(found.lost) == 1 else 'have'} no metal left for it"
        return f"No good: {ask}. A new tyre or a new wheel is wanted."
    if found.left_nm is None:
        return f"Cannot tell: {why}, which leaves {to}, but nobody said how small the tread may be."
    if found.answer is Answer.CANNOT_TELL:
        return f"Cannot tell: {why}, which leaves {to}, too near the smallest allowed for these instruments."
    return f"Good: can be turned to {to}; {why}."


def so_far_words(found: Common, missing: Sequence[str], unit: Unit) -> str:
    """What the wheels that are measured come to, while others are not."""
    return (
        f"Still to be measured: {_joined(missing)}. So far {_joined(found.decided_by)} "
        f"{'decides' if len(found.decided_by) == 1 else 'decide'}: {show(to_cut_nm(found.diameter_nm, unit), unit)}."
    )


def taken_words(marks: Sequence[str], diameter_nm: int, unit: Unit) -> str:
    """That wheels are on their way to another life."""
    return f"Taken back: {_joined(marks)}, to be turned to {show(diameter_nm, unit)}."


def left_words(found: Common, unit: Unit) -> str:
    """What the rim has left then; with a wheel that is lost, what the others come to without it."""
    if found.lost:
        if found.without_nm is None:
            return ""
        return f"Without {_joined(found.lost)} the others can be turned to {show(to_cut_nm(found.without_nm, unit), unit)}."
    if found.left_nm is None or found.least_nm is None:
        return ""
    return (
        f"The rim then has {show_small(found.left_nm, unit)} left on the radius, down to the smallest allowed, "
        f"{show(found.least_nm, unit)}."
    )


def asks_words(off: ToTurn, unit: Unit) -> str:
    """What one wheel asks for."""
    if off.by is WornBy.NOTHING:
        return "whole as it is"
    sure = f", give or take {show_small(off.expanded_nm, unit)}" if off.expanded_nm else ""
    return f"{show_small(off.off_nm, unit)} for its {off.by.value}{sure}"


def short_words(short: Mapping[str, int], unit: Unit) -> str:
    """That a diameter leaves wheels that are not whole; empty where there are none."""
    if not short:
        return ""
    each = _joined([f"{mark} by {show_small(nm, unit)}" for mark, nm in short.items()])
    return f"At that diameter the profile does not come whole: {each} on the radius too little."


def thicker_words(by_nm: int, unit: Unit) -> str:
    """That a worn flange was read thicker than it was new."""
    return (
        f"That is {show_small(by_nm, unit)} thicker than the flange was there when new: metal does not grow. "
        "Measure it again, and look how far above the tread."
    )


def again_words(diameter_nm: int, taken_back_nm: int, decided_by: Sequence[str], unit: Unit) -> str:
    """What a group is turned to in its second life, and who came out smaller."""
    to = show(diameter_nm, unit)
    if diameter_nm == taken_back_nm:
        return f"Turn all treads to {to}, which the worn wheels were taken back to."
    lower = show_small(taken_back_nm - diameter_nm, unit)
    return (
        f"Turn all treads to {to}, {lower} below what the worn wheels were taken back to: {_joined(decided_by)} can reach"
        " no more."
    )


def back_moved_words(made_nm: int, now_nm: int, expanded_nm: int, unit: Unit) -> str:
    """That the back to back is not what it was made; empty where the instruments cannot tell it from that."""
    apart = now_nm - made_nm
    if abs(apart) <= expanded_nm:
        return ""
    wider = "wider" if apart > 0 else "narrower"
    return (
        f"The back to back is {show_small(abs(apart), unit)} {wider} than it was made: a wheel has moved on its seat. "
        "See to that joint before any metal comes off."
    )


def full_size_words(limits: FullSize, unit: Unit) -> str:
    """The full-size limits scaled by gauge, said to be no more than a hint."""
    return (
        "A hint only, and no rule for models: full-size wheels leave service (49 CFR 230.113), scaled by your gauge, with "
        f"a flange of {show(limits.flange_nm, unit)} or less, measured {show(limits.above_nm, unit)} above the tread, a "
        f"hollow of {show(limits.hollow_nm, unit)} or more, a flange lower than {show(limits.low_nm, unit)} or higher than "
        f"{show(limits.high_nm, unit)}, or a rim of less than {show(limits.rim_nm, unit)}."
    )
