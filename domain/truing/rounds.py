"""Setting true round by round: is it getting better, and did the last move do what it should?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from domain.truing.setting import Advice

# Shares of a move, our own choice: a hand within three tenths is a good one, the rest wants a word.
_WRONG_BELOW = -0.5
_STUCK_BELOW = 0.3
_SHORT_BELOW = 0.7
_OVER_ABOVE = 1.3
_JUDGED_FROM_DIVISIONS = 2
_JUDGED_FROM_SHARE = 0.1


class Trend(StrEnum):
    """How the last move went."""

    FIRST = "first"
    DONE = "done"
    BETTER = "better"
    SHORT = "short"
    STUCK = "stuck"
    OVER = "over"
    WRONG_WAY = "wrong_way"
    NOT_MOVED = "not_moved"


# What a pair of jaws may have done amiss, the worst first.
AMISS = (Trend.WRONG_WAY, Trend.STUCK, Trend.OVER, Trend.SHORT)


@dataclass(frozen=True)
class PairShare:
    """How much of a move a pair of jaws made: 1 is all of it, below 0 the wrong way."""

    slacken: int
    tighten: int
    share: float
    trend: Trend


@dataclass(frozen=True)
class Convergence:
    """How the last move went, and how much of it each pair of jaws made."""

    trend: Trend
    shares: tuple[PairShare, ...]


def judge_rounds(rounds: Sequence[Advice]) -> Convergence:
    """Judge whether the rounds of setting true come together, and whether the last move went as told.

    Formula: share made by a pair of jaws = (offset before - offset after) / offset before; near 1 as told, under 0.7
    short, under 0.3 hardly moved, under -0.5 the wrong way (the offset about doubles), above 1.3 too far. Pairs moved by
    less than two divisions, or by less than a tenth of the other pair, are not judged: reading them is as coarse as that.
    Parameters: `rounds`, the advice of each round, oldest first, all on one surface with the jaws numbered alike.
    Raises: ValueError where there is no round.
    Source: shares derived here; their limits are our own choice, no published source.

    >>> from domain.lengths import Unit
    >>> from domain.truing.dial import Dial, from_jaws
    >>> from domain.truing.setting import Grip, Surface, advise
    >>> def at(high):
    ...     readings = from_jaws({1: high, 2: 0, 3: -high, 4: 0})
    ...     return advise(readings, Surface.OUTSIDE, Grip.ON_OUTSIDE, Dial(10_000, Unit.MM), 20_000)
    >>> judge_rounds([at(300_000), at(600_000)]).trend.value
    'wrong_way'
    """
    if not rounds:
        raise ValueError("there is no round to judge")
    shares = _shares(rounds[-2], rounds[-1]) if len(rounds) > 1 else ()
    return Convergence(_trend(rounds, shares), shares)


def _shares(before: Advice, after: Advice) -> tuple[PairShare, ...]:
    found = []
    largest = max((move.by_nm for move in before.moves), default=0)
    least = max(
        _JUDGED_FROM_DIVISIONS * max(before.dial.division_nm, after.dial.division_nm),
        _JUDGED_FROM_SHARE * largest,
    )
    for move in before.moves:
        axis = move.pair[0] - 1
        was, now = before.along_nm[axis], after.along_nm[axis]
        # `was` is not 0: a move is only told where its offset is half a division or more.
        share = (was - now) / was
        if move.by_nm >= least:
            found.append(PairShare(move.slacken, move.tighten, share, _pair_trend(share)))
    return tuple(found)


def _pair_trend(share: float) -> Trend:
    if share < _WRONG_BELOW:
        return Trend.WRONG_WAY
    if share < _STUCK_BELOW:
        return Trend.STUCK
    if share < _SHORT_BELOW:
        return Trend.SHORT
    return Trend.OVER if share > _OVER_ABOVE else Trend.BETTER


def _trend(rounds: Sequence[Advice], shares: Sequence[PairShare]) -> Trend:
    if len(rounds) == 1:
        return Trend.DONE if rounds[0].stop else Trend.FIRST
    if rounds[-1].stop:
        return Trend.DONE
    if not rounds[-2].moves:
        return Trend.NOT_MOVED
    # The worst of the two pairs is the one to speak of.
    for worst in AMISS:
        if any(one.trend is worst for one in shares):
            return worst
    return Trend.BETTER
