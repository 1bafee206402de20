"""Setting true round by round: is it getting better, and did the last move do what it should?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import show
from domain.truing.types import Advice, Stop

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


@dataclass(frozen=True)
class PairShare:
    """How much of a move a pair of jaws made: 1 is all of it, below 0 the wrong way."""

    slacken: int
    tighten: int
    share: float
    trend: Trend


@dataclass(frozen=True)
class Convergence:
    """Swing and eccentricity of each round, nm, how the last move went, and what to do about it."""

    tirs_nm: tuple[int, ...]
    eccentricities_nm: tuple[int, ...]
    trend: Trend
    converging: bool
    shares: tuple[PairShare, ...]
    words: tuple[str, ...]


def judge_rounds(rounds: Sequence[Advice]) -> Convergence:
    """Judge whether the rounds of setting true come together, and whether the last move went as told.

    Formula: share made by a pair of jaws = (offset before - offset after) / offset before; near 1 as told, under 0.7
    short, under 0.3 hardly moved, under -0.5 the wrong way (the offset about doubles), above 1.3 too far. Pairs moved by
    less than two divisions, or by less than a tenth of the other pair, are not judged: reading them is as coarse as that.
    Parameters: `rounds`, the advice of each round, oldest first, all on one surface with the jaws numbered alike.
    Returns: Convergence, lengths in nm.
    Raises: ValueError where there is no round.
    Source: shares derived here; their limits are our own choice, no published source.

    >>> from domain.truing.dial_readings import from_jaws
    >>> from domain.lengths import Unit
    >>> from domain.truing.judging import advise
    >>> from domain.truing.types import Dial, Grip, Surface
    >>> def at(high):
    ...     readings = from_jaws({1: high, 2: 0, 3: -high, 4: 0})
    ...     return advise(readings, Surface.OUTSIDE, Grip.ON_OUTSIDE, Dial(10_000, Unit.MM), 20_000)
    >>> judge_rounds([at(300_000), at(600_000)]).trend.value
    'wrong_way'
    """
    if not rounds:
        raise ValueError("there is no round to judge")
    last = rounds[-1]
    shares = _shares(rounds[-2], last) if len(rounds) > 1 else ()
    trend = _trend(rounds, shares)
    return Convergence(
        tirs_nm=tuple(one.tir_nm for one in rounds),
        eccentricities_nm=tuple(one.eccentricity_nm for one in rounds),
        trend=trend,
        converging=len(rounds) > 1
        and (last.stop or last.eccentricity_nm < rounds[-2].eccentricity_nm)
        and trend is not Trend.WRONG_WAY,
        shares=shares,
        words=_words(rounds, trend, shares),
    )


def _shares(before: Advice, after: Advice) -> tuple[PairShare, ...]:
    found = []
    largest = max((move.by_nm for move in before.moves), default=0)
    least = max(
        _JUDGED_FROM_DIVISIONS * max(before.division_nm, after.division_nm), _JUDGED_FROM_SHARE * largest
    )
    for move in before.moves:
        axis = min(move.slacken, move.tighten) - 1
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
    for worst in (Trend.WRONG_WAY, Trend.STUCK, Trend.OVER, Trend.SHORT):
        if any(one.trend is worst for one in shares):
            return worst
    return Trend.BETTER


def _words(rounds: Sequence[Advice], trend: Trend, shares: Sequence[PairShare]) -> tuple[str, ...]:
    unit = rounds[-1].unit
    said = [
        f"Round {number}: the dial swings {show(one.tir_nm, unit)}." for number, one in enumerate(rounds, 1)
    ]
    if trend is Trend.DONE:
        return (*said, _DONE[rounds[-1].stop_reason])
    if trend in _GENERAL:
        return (*said, _GENERAL[trend])
    # Every pair that went amiss is named, the worst first.
    order = [Trend.WRONG_WAY, Trend.STUCK, Trend.OVER, Trend.SHORT]
    amiss = sorted((one for one in shares if one.trend in order), key=lambda one: order.index(one.trend))
    return (*said, *(_pair_words(one) for one in amiss))


_DONE: dict[Stop | None, str] = {
    Stop.TRUE: "It runs true: stop here.",
    Stop.SHAPE: "The middle is right: what is left is the casting's own shape, so stop here.",
    Stop.ROUGHNESS: "What is left cannot be told from the casting's roughness: stop here.",
    Stop.DIAL: "What is left is less than the dial can show: stop here.",
}
_GENERAL = {
    Trend.FIRST: "Make the moves, then read all the spots again to see whether they did what they should.",
    Trend.BETTER: "It is coming true: make the next moves.",
    Trend.NOT_MOVED: "The last round asked for no move, yet it is off now: the work has slipped or was knocked."
    " See that all four jaws are tight, then read again.",
}


def _pair_words(one: PairShare) -> str:
    low, high = sorted((one.slacken, one.tighten))
    pair = f"jaws {low} and {high}"
    if one.trend is Trend.WRONG_WAY:
        return (
            f"The last move of {pair} went the wrong way: the dial may count the other way, or the wrong jaw was slackened."
            " Push the plunger in with a finger: if the figure falls, say so on this sheet; then read again."
        )
    if one.trend is Trend.STUCK:
        return (
            f"The last move of {pair} hardly moved the work: it may have sprung back, or jaw {one.slacken} was not"
            f" slackened enough. Slacken jaw {one.slacken} a little more before you tighten jaw {one.tighten}."
        )
    if one.trend is Trend.SHORT:
        return (
            f"The last move of {pair} made only about {_tenths(one.share)} of what was asked: work or jaw springs."
            " Read the dial with both jaws tight, not while winding."
        )
    return (
        f"The last move of {pair} went too far, about {_tenths(one.share)} of what was asked:"
        " wind more slowly and watch the dial at the jaw that is named."
    )


def _tenths(share: float) -> str:
    return f"{round(share * 10)} tenths"
