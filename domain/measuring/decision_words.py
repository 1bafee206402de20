"""The words and the working of a verdict."""

from domain.lengths import Unit, show_small
from domain.lengths.fine import fine
from domain.measuring.decision_types import Conformity, SizeCase, largest_u_nm, span
from domain.measuring.plug_gauge import Interval
from domain.working import Working

_SOURCE = "ISO 14253-1:2017, guard band 1.65 u on the side of each limit"
_FORMULA = "g = 0.825 U; inside: low + g <= value <= high - g; outside: value < low - g or value > high + g"


def decision_words(case: SizeCase, answer: Conformity) -> tuple[str, ...]:
    """The verdict on a measured size in one to three sentences.

    Args:
        case: the size, its U and its limits, nm.
        answer: what came of it.

    Returns:
        The sentences.

    Source: ISO 14253-1:2017 for the three answers.

    >>> case = SizeCase("bore", 25_024_000, 6_000, 25_000_000, 25_021_000, Unit.MM)
    >>> print(*decision_words(case, Conformity.CANNOT_TELL))
    Cannot tell with this instrument: the bore is 0.003 mm (0.0001 in) above the most allowed, and it \
takes 0.005 mm (0.0002 in) to be sure. Give or take 0.003 mm (0.0001 in) or less would settle it.
    """
    # The guard band by its own name belongs to the working; a size taken as exact has none.
    sure = f", and it takes {show_small(case.guard_nm, case.unit)} to be sure" if case.guard_nm else ""
    found = f"{_place(case)}{sure}."
    if answer is Conformity.INSIDE:
        return (f"The {case.what} is in limits: {found}",)
    if answer is Conformity.OUTSIDE:
        return (f"The {case.what} is {'under' if case.nearer_is_low else 'over'}: {found}",)
    first = f"Cannot tell with this instrument: the {case.what} is {found}"
    return first, _settling(case), *_never_inside(case)


def decision_working(case: SizeCase, answer: Conformity) -> Working:
    """The working of a verdict on a measured size.

    Formula: g = 0.825 U, taken off inside and added outside each limit

    Args:
        case: the size, its U and its limits, nm.
        answer: what came of it.

    Returns:
        The working.

    Source: ISO 14253-1:2017.

    >>> case = SizeCase("bore", 25_010_000, 6_000, 25_000_000, 25_021_000, Unit.MM)
    >>> decision_working(case, Conformity.INSIDE).result
    'inside may be said 25.00495 mm to 25.01605 mm: in limits'
    """
    unit = case.unit
    numbers = (
        f"{case.what} {fine(case.value_nm, unit)}, limits {span((case.low_nm, case.high_nm), unit)},"
        f" U {fine(case.expanded_nm, unit)}, g {fine(case.guard_nm, unit)}"
    )
    zone = (
        "inside can never be said"
        if _never_inside(case)
        else f"inside may be said {span(case.accept_nm, unit)}"
    )
    return Working("verdict", _FORMULA, numbers, f"{zone}: {answer.words}", _SOURCE)


def interval_words(answer: Conformity, interval: Interval, expanded_nm: int, unit: Unit) -> tuple[str, ...]:
    """The verdict of plug gauges in two sentences.

    Args:
        answer: what came of it.
        interval: between which sizes the bore lies, nm.
        expanded_nm: expanded uncertainty of a plug's size, nm; 0 when it is not known.
        unit: the system the words are written in.

    Returns:
        The sentences.

    >>> print(*interval_words(Conformity.INSIDE, Interval(25_000_000, 25_021_000), 2_000, Unit.MM))
    The bore is between 25.000 mm and 25.021 mm: in limits. That is only as sure as the plugs' own sizes, \
each to 0.002 mm (0.0001 in).
    """
    if answer is Conformity.CANNOT_TELL:
        return (
            f"Cannot tell with these plugs: the bore is {interval.words(unit)}.",
            "Use plugs at the limits or measure a value.",
        )
    each = f", each to {show_small(expanded_nm, unit)}" if expanded_nm else ""
    return (
        f"The bore is {interval.words(unit)}: {answer.words}.",
        f"That is only as sure as the plugs' own sizes{each}.",
    )


def interval_working(
    answer: Conformity,
    interval: Interval,
    limits_nm: tuple[int | None, int | None],
    expanded_nm: int,
    unit: Unit,
) -> Working:
    """The working of plug gauges' verdict.

    Formula: inside: the interval lies within the limits; outside: it lies beyond one

    Args:
        answer: what came of it.
        interval: between which sizes the bore lies, nm.
        limits_nm: least and most allowed, nm; at most one None.
        expanded_nm: expanded uncertainty of a plug's size, nm; 0 when it is not known.
        unit: the system the working is written in.

    Returns:
        The working.

    Source: by definition.

    >>> between = Interval(25_000_000, None)
    >>> interval_working(Conformity.CANNOT_TELL, between, (25_000_000, 25_021_000), 0, Unit.MM).result
    'cannot tell with these plugs'
    """
    numbers = f"bore {interval.words(unit)}, limits {span(limits_nm, unit)}"
    said = "cannot tell with these plugs" if answer is Conformity.CANNOT_TELL else answer.words
    source = f"the plugs' sizes, each to {fine(expanded_nm, unit)}" if expanded_nm else "the plugs' sizes"
    formula = "inside: the interval lies within the limits; outside: it lies beyond one"
    return Working("verdict of the plugs", formula, numbers, said, source)


def _place(case: SizeCase) -> str:
    """Where the size lies from the nearer limit."""
    if case.margin_nm == 0:
        return f"exactly on the {'least' if case.nearer_is_low else 'most'} allowed"
    away = show_small(abs(case.margin_nm), case.unit)
    above = case.nearer_is_low == (case.margin_nm > 0)
    return f"{away} {'above' if above else 'below'} the {'least' if case.nearer_is_low else 'most'} allowed"


def _settling(case: SizeCase) -> str:
    """What U would settle it; on the limit itself none does."""
    if case.settles_nm == 0:
        return "So near a limit no instrument settles it."
    return f"Give or take {_at_most(case.settles_nm, case.unit)} would settle it."


def _never_inside(case: SizeCase) -> list[str]:
    """A sentence when the guard bands leave no room between the limits."""
    low, high = case.accept_nm
    if low is None or high is None or low <= high or case.low_nm is None or case.high_nm is None:
        return []
    most = largest_u_nm((case.high_nm - case.low_nm) // 2)
    return [
        f"With give or take {show_small(case.expanded_nm, case.unit)} no {case.what} can ever be called in limits:"
        f" that takes {_at_most(most, case.unit)}."
    ]


def _at_most(nm: int, unit: Unit) -> str:
    """A U that may not be exceeded, cut off in the last figure shown."""
    step = 1_000 if unit is Unit.MM else 2_540
    if nm < step:
        return f"less than {show_small(step, unit)}"
    return f"{show_small(nm // step * step, unit)} or less"
