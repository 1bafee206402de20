"""The throws of a set together: whether they are alike, and which wheels stand out from the middle one."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from domain.answer import Answer
from domain.cranks.throws import ALIKE_NM, UNLIKE_NM
from domain.lengths import Unit, show
from domain.working import Working

# Throws further apart than the alike limit have at least one wheel half of it from the middle.
ODD_NM = ALIKE_NM // 2


@dataclass(frozen=True)
class MarkedThrow:
    """A wheel's mark and its throw, or how far that is from the middle throw, nm."""

    mark: str
    nm: int


@dataclass(frozen=True)
class ThrowsAlike:
    """What the throws of a set are worth together; `odd` holds how far each odd wheel is from the middle, nm."""

    answer: Answer
    spread_nm: int
    median_nm: int
    odd: tuple[MarkedThrow, ...]
    headline: str
    words: str
    working: Working


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


def odd_words(odd: Sequence[MarkedThrow], unit: Unit) -> str:
    """Which wheels differ, and by how much.

    Parameters: `odd`, as odd_throws() gives them; `unit`, shown first.
    Returns: words without a full stop, empty where none is odd.

    >>> odd_words([MarkedThrow("W1", 254_000), MarkedThrow("W6", -127_000)], Unit.MM)
    'W1 is 0.254 mm (0.0100 in) longer than its fellows, W6 0.127 mm (0.0050 in) shorter'
    """
    parts = [f"{show(abs(one.nm), unit)} {'longer' if one.nm > 0 else 'shorter'}" for one in odd]
    if not parts:
        return ""
    first = f"{odd[0].mark} is {parts[0]} than its fellows"
    return ", ".join([first, *(f"{one.mark} {part}" for one, part in zip(odd[1:], parts[1:], strict=True))])


def judge_alike(throws: Sequence[MarkedThrow], unit: Unit) -> ThrowsAlike:
    """Say whether all throws of a set are alike, and which wheels are odd.

    Formula: spread = most - least; up to 0.05 mm alike, up to 0.15 mm with care, more not.
    Parameters: `throws`, two or more, nm > 0; `unit`, shown first.
    Returns: the verdict; no wheel is odd while all are alike.
    Raises: ValueError for fewer than two throws or one not above zero.
    Source: the limits are common practice, no source.

    >>> judge_alike([MarkedThrow("W1", 28_829_000), MarkedThrow("W2", 28_575_000)], Unit.MM).headline
    'Not alike: the rods will bind'
    """
    if len(throws) < 2 or min(one.nm for one in throws) <= 0:
        raise ValueError("two throws above nothing are needed to be compared")
    values = [one.nm for one in throws]
    spread, middle = max(values) - min(values), round(statistics.median(values))
    answer = _answer(spread)
    odd = () if answer is Answer.SERVES else odd_throws(throws)
    said = odd_words(odd, unit)
    return ThrowsAlike(
        answer,
        spread,
        middle,
        odd,
        {
            Answer.SERVES: "Alike",
            Answer.CAUTION: "Not quite alike: take care",
            Answer.NOT: "Not alike: the rods will bind",
        }[answer],
        f"{said}." if said else "",
        Working(
            "throws against the middle one",
            "spread = most - least; off = throw - median",
            f"{len(values)} throws, median {show(middle, unit)}; alike up to {show(ALIKE_NM, unit)}, with care up to"
            f" {show(UNLIKE_NM, unit)}",
            show(spread, unit),
            "the limits are common practice, no source",
        ),
    )


def unlike(spread_nm: int) -> bool:
    """Whether throws so far apart are no longer alike.

    Formula: spread > 0.05 mm.
    Parameters: `spread_nm`, of the throws one side's rods join, nm, 0 or more.
    Returns: the answer.
    Source: common practice, no source.

    >>> unlike(50_000), unlike(50_001)
    (False, True)
    """
    return _answer(spread_nm) is not Answer.SERVES


def _answer(spread_nm: int) -> Answer:
    if spread_nm > UNLIKE_NM:
        return Answer.NOT
    return Answer.CAUTION if spread_nm > ALIKE_NM else Answer.SERVES
