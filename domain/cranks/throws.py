"""A crank throw against the drawing and its fellows, and all throws of a set: all alike matters more than exact."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from domain.answer import Answer
from domain.lengths import NM_PER_MM, Unit, show
from domain.working import Working

# Common practice, no source: throws drilled with one jig agree within a few hundredths.
ALIKE_NM = NM_PER_MM // 20
UNLIKE_NM = 3 * NM_PER_MM // 20
# A throw this far from the drawing is a misreading or a wrong jig. Common practice, no source.
FAR_NM = NM_PER_MM // 2
# Throws further apart than the alike limit have at least one wheel half of it from the middle.
ODD_NM = ALIKE_NM // 2


@dataclass(frozen=True)
class ThrowVerdict:
    """What a throw is worth beside its fellows."""

    answer: Answer
    headline: str
    reason: str
    working: Working


def judge_throw(throw_nm: int, drawing_nm: int, fellows_nm: Sequence[int], unit: Unit) -> ThrowVerdict:
    """Say whether a throw agrees with the drawing and with the other throws of the build.

    Formula: difference = largest |throw - fellow|; up to 0.05 mm alike, up to 0.15 mm with care, more not; more than
    0.5 mm off the drawing never serves. Two cranks r1, r2 on a rod of the right length ask for a summed diametral
    clearance of at least 2 |r1 - r2| in its bushes.
    Parameters: `throw_nm`, `drawing_nm` > 0, nm; `fellows_nm`, the build's other throws logged, nm; `unit`, shown first.
    Raises: ValueError for a size not above zero.
    Source: the clearance is geometry (the pins' distance runs from C - |r1 - r2| to C + |r1 - r2|); the limits are
    common practice, no source.

    >>> judge_throw(22_230_000, 22_225_000, [22_240_000], Unit.MM).headline
    'Alike: within 0.010 mm (0.0004 in) of its fellows'
    """
    if min(throw_nm, drawing_nm, *fellows_nm) <= 0:
        raise ValueError("a throw is more than nothing")
    off = abs(throw_nm - drawing_nm)
    apart = max((abs(throw_nm - other) for other in fellows_nm), default=0)
    return ThrowVerdict(
        _answer(off, apart),
        _headline(off, apart, bool(fellows_nm), unit),
        _reason(off, apart, unit),
        _working(apart, off, unit),
    )


def _answer(off_nm: int, apart_nm: int) -> Answer:
    if off_nm > FAR_NM or apart_nm > UNLIKE_NM:
        return Answer.NOT
    return Answer.CAUTION if apart_nm > ALIKE_NM else Answer.SERVES


def _headline(off_nm: int, apart_nm: int, has_fellows: bool, unit: Unit) -> str:
    if off_nm > FAR_NM:
        return f"{show(off_nm, unit)} away from the drawing: measure again before going on"
    if not has_fellows:
        return f"The first throw logged: {show(off_nm, unit)} away from the drawing"
    if apart_nm > UNLIKE_NM:
        return f"Not alike: {show(apart_nm, unit)} away from a fellow, the rods will bind"
    if apart_nm > ALIKE_NM:
        return f"{show(apart_nm, unit)} away from a fellow: take care"
    return f"Alike: within {show(apart_nm, unit)} of its fellows"


def _reason(off_nm: int, apart_nm: int, unit: Unit) -> str:
    words = f"The drawing is {show(off_nm, unit)} away; that all throws of a build are alike matters more than that."
    if apart_nm:
        play = show(2 * apart_nm, unit)
        words += f" A rod between the two that differ most needs {play} of play in its two bushes together."
    return words


def _working(apart_nm: int, off_nm: int, unit: Unit) -> Working:
    return Working(
        name="throw against its fellows",
        formula="largest |r - r of a fellow|; play of two bushes = 2 |r1 - r2|",
        numbers=f"apart {show(apart_nm, unit)}, from the drawing {show(off_nm, unit)}; alike up to {show(ALIKE_NM, unit)}, "
        f"with care up to {show(UNLIKE_NM, unit)}",
        result=show(apart_nm, unit),
        source="geometry of two cranks and a rod; the limits are common practice, no source",
    )


@dataclass(frozen=True)
class MarkedThrow:
    """A wheel's mark and its throw, or how far that is from the middle throw, nm."""

    mark: str
    nm: int


@dataclass(frozen=True)
class ThrowsAlike:
    """What the throws of a set are worth together; `odd` holds how far each odd wheel is from the middle, nm."""

    answer: Answer
    count: int
    spread_nm: int
    median_nm: int
    odd: tuple[MarkedThrow, ...]


def odd_throws(throws: Sequence[MarkedThrow], least_nm: int = ODD_NM) -> tuple[MarkedThrow, ...]:
    """The wheels whose throw is off the middle one, the furthest first.

    Formula: off = throw - median of the set, rounded to a nanometre.
    Parameters: `throws`, nm > 0, may be empty; `least_nm` > 0, from how far off a wheel counts.
    Returns: marks with nm, above 0 where longer.
    Source: the median is by definition; the limit is half of that for alike throws, common practice, no source.

    >>> odd_throws([MarkedThrow("W1", 28_829_000), MarkedThrow("W2", 28_575_000), MarkedThrow("W3", 28_575_000)])
    (MarkedThrow(mark='W1', nm=254000),)
    """
    if not throws:
        return ()
    middle = round(statistics.median(one.nm for one in throws))
    off = [MarkedThrow(one.mark, one.nm - middle) for one in throws]
    return tuple(
        sorted((one for one in off if abs(one.nm) >= least_nm), key=lambda one: (-abs(one.nm), one.mark))
    )


def odd_from(apart_nm: int) -> int:
    """From how far off the middle a wheel counts as odd, where two throws that lie so far apart do harm.

    Formula: half of the lesser of the difference and the alike limit, 0.05 mm: one of the two is always that far off.
    Parameters: `apart_nm` > 0, the difference of two throws, nm.
    Returns: nm, 1 or more.
    Source: geometry; the limit is common practice, no source.

    >>> odd_from(254_000), odd_from(20_000)
    (25000, 10000)
    """
    return max(1, min(ALIKE_NM, apart_nm) // 2)


def judge_alike(throws: Sequence[MarkedThrow]) -> ThrowsAlike:
    """Say whether all throws of a set are alike, and which wheels are odd.

    Formula: spread = most - least; up to 0.05 mm alike, up to 0.15 mm with care, more not.
    Parameters: `throws`, two or more, nm > 0.
    Returns: the verdict; no wheel is odd while all are alike.
    Raises: ValueError for fewer than two throws or one not above zero.
    Source: the limits are common practice, no source.

    >>> judge_alike([MarkedThrow("W1", 28_829_000), MarkedThrow("W2", 28_575_000)]).answer.value
    'not'
    """
    if len(throws) < 2 or min(one.nm for one in throws) <= 0:
        raise ValueError("two throws above nothing are needed to be compared")
    values = [one.nm for one in throws]
    spread, middle = max(values) - min(values), round(statistics.median(values))
    answer = _answer_alike(spread)
    odd = () if answer is Answer.SERVES else odd_throws(throws)
    return ThrowsAlike(answer, len(values), spread, middle, odd)


def unlike(spread_nm: int) -> bool:
    """Whether throws so far apart are no longer alike.

    Formula: spread > 0.05 mm.
    Parameters: `spread_nm`, of the throws one side's rods join, nm, 0 or more.
    Source: common practice, no source.

    >>> unlike(50_000), unlike(50_001)
    (False, True)
    """
    return _answer_alike(spread_nm) is not Answer.SERVES


def _answer_alike(spread_nm: int) -> Answer:
    if spread_nm > UNLIKE_NM:
        return Answer.NOT
    return Answer.CAUTION if spread_nm > ALIKE_NM else Answer.SERVES
