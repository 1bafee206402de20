"""Inside, outside, or cannot tell: the verdict on a measured size with its uncertainty."""

from collections.abc import Iterable
from dataclasses import replace

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
    "decide_ends",
    "decide_interval",
    "guard_band_nm",
    "worst_of",
]
_HIDES = "A mean hides taper and ovality, so the smallest and the largest reading are judged too."


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
    ('in limits', 25004950, 25016050)
    """
    check_limits(low_nm, high_nm)
    case = SizeCase(what, value_nm, expanded_nm, low_nm, high_nm, unit)
    answer = Conformity.CANNOT_TELL
    if case.margin_nm >= case.guard_nm:
        answer = Conformity.INSIDE
    elif -case.margin_nm > case.guard_nm:
        answer = Conformity.OUTSIDE
    said, working = decision_words(case, answer), decision_working(case, answer)
    return Decision(
        answer, said, case.margin_nm, case.guard_nm, *case.accept_nm, case.settles_nm, working, case=case
    )


def decide_ends(
    mean: Decision, ends_nm: tuple[int, int], alone_nm: int, limits_nm: tuple[int, int], unit: Unit, what: str
) -> Decision:
    """The verdict on a size by its mean, and by its smallest and its largest reading too.

    Formula: each end as decide() has it, one reading by itself; the worst of the three stands

    Args:
        mean: the verdict on the mean.
        ends_nm: the smallest and the largest reading, corrected, nm.
        alone_nm: expanded uncertainty of one of the readings by itself, nm, 0 or more.
        limits_nm: the least and the most allowed, nm.
        unit: the system the words are written in.
        what: what is measured, such as "bore".

    Returns:
        The decision that stands.

    Raises:
        DecisionError: U below 0, or limits the wrong way round.

    Source: ISO 14253-1:2017; that each place of a bore must be inside, not only its mean: ISO 14405-1:2016, from
    memory, verify.

    >>> limits = 25_000_000, 25_050_000
    >>> mean = decide(25_024_000, 6_000, *limits, Unit.MM, "bore")
    >>> decide_ends(mean, (25_015_000, 25_060_000), 6_000, limits, Unit.MM, "bore").answer
    <Conformity.OUTSIDE: 'outside'>
    """
    named = zip(("smallest", "largest"), ends_nm, strict=True)
    ends = [decide(nm, alone_nm, *limits_nm, unit, f"{what}'s {name} reading") for name, nm in named]
    return worst_of(mean, ends)


_SURENESS = {Conformity.INSIDE: 0, Conformity.CANNOT_TELL: 1, Conformity.OUTSIDE: 2}


def worst_of(mean: Decision, ends: Iterable[Decision]) -> Decision:
    """The verdict on the mean, unless the one on an end of the readings is worse.

    Formula: outside is worse than cannot tell, and that than inside; of equals the mean's stands
    """
    worst = max(ends, key=lambda one: _SURENESS[one.answer], default=mean)
    if _SURENESS[worst.answer] <= _SURENESS[mean.answer]:
        return mean
    return replace(worst, said=(_HIDES, *worst.said), of_end=True)


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
