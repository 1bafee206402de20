"""The spread of what was made about what was aimed at, the chance that the next one comes good, and where to aim."""

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from domain.measuring.student import student_chance, student_within

# Fewer say nothing of a hand: our own rule, no source.
FEWEST = 5
# How often one of a sample without a slip may be called one: our own choice.
_SLIP_CHANCE = 0.01


@dataclass(frozen=True)
class Hand:
    """What is made beside what was aimed at, nm.

    count: how many were made, FEWEST or more. off_nm: how far they are from the middle of what was aimed at, all in
    all, above 0 where larger. spread_nm: their standard deviation, above 0.
    """

    count: int
    off_nm: float
    spread_nm: float

    @property
    def next_spread_nm(self) -> float:
        """The scale of the next one's departure about off_nm: its own spread, and that of the mean of so few.

        >>> round(Hand(8, 0, 3_000).next_spread_nm)
        3182
        """
        return self.spread_nm * math.sqrt(1 + 1 / self.count)


def hand_of(departures_nm: Sequence[float], step_nm: float) -> Hand | None:
    """The hand that made these departures (made less the middle of what was aimed at); None for fewer than FEWEST.

    Formula: mean and standard deviation (n - 1); readings that all agree are still no surer than the step they are
    written to, so the spread is at least step / sqrt(12).
    Parameters: `departures_nm`, any sign, nm; `step_nm`, the last figure that is shown, above 0.
    Source: normal sample, any textbook of statistics; the least spread is JCGM 100:2008 (GUM), F.2.2.1.

    >>> hand_of([0, 2_000, 4_000, 2_000, 2_000], 1_000)
    Hand(count=5, off_nm=2000.0, spread_nm=1414.213562373095)
    >>> hand_of([0, 2_000, 4_000, 2_000], 1_000) is None
    True
    """
    if len(departures_nm) < FEWEST:
        return None
    off = statistics.fmean(departures_nm)
    return Hand(len(departures_nm), off, max(statistics.stdev(departures_nm, off), step_nm / math.sqrt(12)))


def slips(departures_nm: Sequence[float], good: Sequence[bool], step_nm: float) -> tuple[int, ...]:
    """Which of those that did not come good stand so far apart from the rest that they are slips, and no spread.

    Formula: the farthest from the mean of the rest is a slip where |it - mean| > t s sqrt(1 + 1/m), s of the m others as in
    hand_of, t of Student at m - 1 degrees of freedom for 1 % in n = m + 1; then again without it, while FEWEST are left.
    Parameters: as hand_of; `good`, whether each came good: one that did is no slip.
    Returns: their places in `departures_nm`, the farthest first.
    Source: Grubbs, Procedures for Detecting Outlying Observations in Samples (1969), in its form by the other readings;
    the 1 % is our own choice.

    >>> slips([0, 2_000, 4_000, 2_000, 2_000, 90_000], [True] * 5 + [False], 1_000)
    (5,)
    """
    left, found = list(range(len(departures_nm))), []
    while len(left) > FEWEST:
        mean = statistics.fmean(departures_nm[place] for place in left)
        farthest = max(left, key=lambda place: abs(departures_nm[place] - mean))
        rest = [place for place in left if place != farthest]
        others = hand_of([departures_nm[place] for place in rest], step_nm)
        assert others is not None  # FEWEST are left
        t = student_within(1 - _SLIP_CHANCE / len(left), others.count - 1)
        apart = abs(departures_nm[farthest] - others.off_nm) > t * others.next_spread_nm
        if good[farthest] or not apart:
            break
        found.append(farthest)
        left = rest
    return tuple(found)


def chance_between(hand: Hand, low_nm: float, high_nm: float, moved_nm: float = 0) -> float:
    """The chance that the next one comes out between two departures, with the aim moved by so much.

    Formula: F((high - off - moved) / s) - F((low - off - moved) / s), s = spread sqrt(1 + 1/n), F that of Student's t
    with n - 1 degrees of freedom.
    Parameters: `low_nm` <= `high_nm`, from the middle of what is wanted, nm; `moved_nm`, above 0 for larger.
    Returns: a chance, 0 to 1.
    Source: predictive distribution of a normal sample of which neither mean nor spread is known, any textbook.

    >>> round(chance_between(Hand(9, 10_000, 5_000), -10_000, 10_000), 3)
    0.497
    """
    low, high = (
        student_chance((nm - hand.off_nm - moved_nm) / hand.next_spread_nm, hand.count - 1)
        for nm in (low_nm, high_nm)
    )
    return max(0.0, (high - low) / 2)


def best_move(hand: Hand, low_nm: float, high_nm: float) -> float:
    """How far to move the aim for the largest chance between two departures, nm, above 0 for larger.

    Formula: (low + high) / 2 - off, for the t distribution has one peak and is alike to both sides.
    Parameters: `low_nm` <= `high_nm`, from the middle of what is wanted, nm.
    Source: geometry of a distribution with one peak.

    >>> best_move(Hand(9, 10_000, 5_000), -8_000, 8_000)
    -10000.0
    """
    return (low_nm + high_nm) / 2 - hand.off_nm


def next_range(hand: Hand, chance: float) -> tuple[float, float]:
    """The departures that the next one stays between with a wanted chance, aimed as before, nm.

    Formula: off -/+ t s, s = spread sqrt(1 + 1/n), t of Student with n - 1 degrees of freedom.
    Parameters: `chance`, above 0 and below 1.
    Raises: ValueError for another chance.
    Source: as chance_between.

    >>> [round(nm) for nm in next_range(Hand(9, 10_000, 5_000), 0.9)]
    [199, 19801]
    """
    wide = student_within(chance, hand.count - 1) * hand.next_spread_nm
    return hand.off_nm - wide, hand.off_nm + wide
