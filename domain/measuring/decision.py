"""Inside, outside, or cannot tell: the verdict on a measured size with its uncertainty."""

from domain.lengths import Unit
from domain.measuring.decision_types import (
    Conformity,
    Decision,
    DecisionError,
    SizeCase,
    check_limits,
    guard_band_nm,
)
from domain.measuring.decision_words import decision_words, decision_working, interval_words, interval_working
from domain.measuring.plug_gauge import Interval

__all__ = [
    "Conformity",
    "Decision",
    "DecisionError",
    "decide",
    "decide_interval",
    "guard_band_nm",
]


def decide(
    value_nm: int, expanded_nm: int, low_nm: int | None, high_nm: int | None, unit: Unit, what: str = "size"
) -> Decision:
    """Whether a measured size is inside its limits, outside them, or neither can be shown.

    Formula: inside if low + g <= value <= high - g; outside if value < low - g or value > high + g;
    else cannot tell; g = 0.825 U

    The factor 1.65 looks at one limit at a time: with limits less than about 5 u apart, a size in the middle
    is shown to be inside less surely than 95 %.

    Args:
        value_nm: the measured size, nm.
        expanded_nm: its expanded uncertainty U (k = 2), nm, 0 or more.
        low_nm: the least allowed, nm; None for no lower limit.
        high_nm: the most allowed, nm; None for no upper limit; not both None.
        unit: the system the words are written in.
        what: what is measured, for the words, such as "bore".

    Returns:
        The decision, nm.

    Raises:
        DecisionError: U below 0, no limit, or limits the wrong way round.

    Source: ISO 14253-1:2017.

    >>> one = decide(25_010_000, 6_000, 25_000_000, 25_021_000, Unit.MM, "bore")
    >>> one.answer.words, one.accept_low_nm, one.accept_high_nm
    ('inside the limits', 25004950, 25016050)
    """
    check_limits(low_nm, high_nm)
    case = SizeCase(what, value_nm, expanded_nm, low_nm, high_nm, unit)
    answer = Conformity.CANNOT_TELL
    if case.margin_nm >= case.guard_nm:
        answer = Conformity.INSIDE
    elif -case.margin_nm > case.guard_nm:
        answer = Conformity.OUTSIDE
    said, working = decision_words(case, answer), decision_working(case, answer)
    return Decision(answer, said, case.margin_nm, case.guard_nm, *case.accept_nm, case.settles_nm, working)


def decide_interval(
    interval: Interval, low_nm: int | None, high_nm: int | None, unit: Unit, expanded_nm: int = 0
) -> Decision:
    """What plug gauges show of a bore: the plugs decide, and the answer is only as sure as their sizes.

    Formula: inside if the interval lies within the limits; outside if it lies beyond one; else cannot tell

    No guard band is taken off: plugs made at the limits could then never accept a bore. The words say by how
    much the plugs' own sizes may deceive instead.

    Args:
        interval: between which sizes the bore lies, nm.
        low_nm: the least allowed, nm; None for no lower limit.
        high_nm: the most allowed, nm; None for no upper limit; not both None.
        unit: the system the words are written in.
        expanded_nm: expanded uncertainty of a plug's size, nm, 0 or more.

    Returns:
        The decision; guard band 0, and no U that would settle it.

    Raises:
        DecisionError: U below 0, no limit, or limits the wrong way round.

    Source: by definition; that limit gauges decide as they are sized is common practice, no source.

    >>> decide_interval(Interval(25_000_000, 25_021_000), 25_000_000, 25_021_000, Unit.MM).answer
    <Conformity.INSIDE: 'inside'>
    """
    check_limits(low_nm, high_nm)
    guard_band_nm(expanded_nm)  # refuses a U below nothing
    # A plug that goes in is smaller than the bore, so a plug at the very limit already decides.
    room = [_less(interval.low_nm, low_nm), _less(high_nm, interval.high_nm)]
    beyond = [_less(interval.low_nm, high_nm), _less(low_nm, interval.high_nm)]
    asked = [side for side, limit in zip(room, (low_nm, high_nm), strict=True) if limit is not None]
    known = [side for side in asked if side is not None]
    past = max((side for side in beyond if side is not None), default=-1)
    answer, margin = Conformity.CANNOT_TELL, None
    if past >= 0:
        answer, margin = Conformity.OUTSIDE, -past
    elif len(known) == len(asked) and min(known) >= 0:
        answer, margin = Conformity.INSIDE, min(known)
    said = interval_words(answer, interval, expanded_nm, unit)
    working = interval_working(answer, interval, (low_nm, high_nm), expanded_nm, unit)
    return Decision(answer, said, margin, 0, low_nm, high_nm, None, working)


def _less(larger: int | None, smaller: int | None) -> int | None:
    return None if larger is None or smaller is None else larger - smaller
