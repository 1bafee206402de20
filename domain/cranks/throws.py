"""The crank throws of an engine: alike within each side, whose rods join them, and near enough to the drawing.

Alike matters more than exact: one jig drills them all. Left and right may differ, for no rod joins one to the other.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from domain.answer import Answer, worst
from domain.cranks.cylinders import Side
from domain.lengths import NM_PER_MM
from domain.measuring.decision import guard_band_nm

# How far apart the throws of one side may be: good up to the first, with care up to the second, no good beyond it.
# Common practice, no source: throws drilled with one jig agree within a few hundredths.
ALIKE_NM = NM_PER_MM // 20
UNLIKE_NM = 3 * NM_PER_MM // 20
# How far a throw may be from the drawing: up to the first neither pistons nor valve gear mind, from there to the second
# they want looking at, and beyond it is a misreading or a wrong jig. Common practice, no source.
NEAR_NM = NM_PER_MM // 4
FAR_NM = NM_PER_MM // 2
# Throws further apart than the alike limit have at least one wheel half of it from the middle.
ODD_NM = ALIKE_NM // 2

_ORDER = tuple(Answer)


@dataclass(frozen=True)
class Throw:
    """A wheel's throw, nm, with its U (k = 2), 0 where none is known; no side where its wheel stands on no coupled axle."""

    mark: str
    nm: int
    side: Side | None = None
    expanded_nm: int = 0


@dataclass(frozen=True)
class OddThrow:
    """A wheel's mark, and how far its throw is from the middle one of its side, nm, above 0 where longer."""

    mark: str
    nm: int


@dataclass(frozen=True)
class WheelThrow:
    """One throw against the drawing; off_nm above 0 where longer."""

    throw: Throw
    off_nm: int
    answer: Answer


@dataclass(frozen=True)
class SideThrows:
    """The throws of one side together: its answer, and the two that it hangs on; just the one where there is no other.

    middle_nm: the middle throw; of an even number the one of the middle two that is nearer to the whole engine's middle.
    """

    side: Side
    throws: tuple[Throw, ...]
    low: Throw
    high: Throw
    middle_nm: int
    answer: Answer

    @property
    def spread_nm(self) -> int:
        """How far the two that it hangs on are apart."""
        return self.high.nm - self.low.nm

    @property
    def expanded_nm(self) -> int:
        """How unsure that is, U (k = 2)."""
        return _both(self.low, self.high)

    @property
    def alone(self) -> bool:
        """Whether there is nothing yet to be alike to."""
        return len(self.throws) == 1

    def odd(self, least_nm: int = ODD_NM) -> tuple[OddThrow, ...]:
        """The wheels at least so far off the middle throw, the furthest first."""
        off = (OddThrow(one.mark, one.nm - self.middle_nm) for one in self.throws)
        found = (one for one in off if abs(one.nm) >= least_nm)
        return tuple(sorted(found, key=lambda one: (-abs(one.nm), one.mark)))

    def is_odd(self, mark: str) -> bool:
        """Whether what the side is worth hangs on this wheel; where none stands out, on each of them."""
        odd = [one.mark for one in self.odd()]
        return mark in odd or not odd


@dataclass(frozen=True)
class ThrowsFinding:
    """What the throws of an engine are worth: each against the drawing, and each side in itself."""

    drawing_nm: int
    wheels: tuple[WheelThrow, ...]
    sides: tuple[SideThrows, ...]

    @property
    def answer(self) -> Answer:
        """The worst of both sides and of the wheels on them; good while nothing is logged."""
        return worst(
            Answer.SERVES,
            *(one.answer for one in self.sides),
            *(one.answer for one in self.wheels if one.throw.side is not None),
        )

    @property
    def unlike(self) -> tuple[SideThrows, ...]:
        """The sides whose throws are not shown to be alike."""
        return tuple(one for one in self.sides if one.answer is not Answer.SERVES)

    def of(self, mark: str) -> WheelThrow | None:
        """A wheel's own throw."""
        return next((one for one in self.wheels if one.throw.mark == mark), None)

    def at(self, side: Side | None) -> SideThrows | None:
        """A side's throws together."""
        return next((one for one in self.sides if one.side is side), None)

    def answer_of(self, mark: str) -> Answer | None:
        """What a wheel's throw is worth: the worse of its own answer and, if it is odd, its side's; None without one."""
        wheel = self.of(mark)
        if wheel is None:
            return None
        side = self.at(wheel.throw.side)
        return worst(wheel.answer, *([side.answer] if side and side.is_odd(mark) else []))


def judge_throws(throws: Sequence[Throw], drawing_nm: int) -> ThrowsFinding:
    """Say what the throws of an engine are worth, side by side and against the drawing.

    Formula: any two throws of a side |r1 - r2| up to 0.05 mm apart are good, up to 0.15 mm with care, more is no good;
    |r - drawing| up to 0.25 mm is good, up to 0.5 mm with care, more is no good. Whether the larger limit is kept is told
    with a guard band of 0.825 U, U^2 = U1^2 + U2^2 for two throws; within it, it cannot be told. Two cranks r1, r2 on a
    rod of the right length ask for a summed diametral clearance of at least 2 |r1 - r2| in its bushes.
    Parameters: `throws`, of the wheels that are there, nm > 0; `drawing_nm` > 0.
    Raises: ValueError for a size not above zero.
    Source: the clearance is geometry (the pins' distance runs from C - |r1 - r2| to C + |r1 - r2|); the guard band is
    ISO 14253-1:2017; the limits are common practice, no source.

    >>> left, right = Throw("W1", 28_000_000, Side.LEFT), Throw("W2", 28_200_000, Side.RIGHT)
    >>> judge_throws([left, right], 28_100_000).answer.value
    'serves'
    >>> judge_throws([left, Throw("W3", 28_200_000, Side.LEFT)], 28_100_000).at(Side.LEFT).answer.value
    'not'
    """
    if min([drawing_nm, *(one.nm for one in throws)]) <= 0:
        raise ValueError("a throw is more than nothing")
    wheels = tuple(
        WheelThrow(
            one,
            one.nm - drawing_nm,
            _answer(abs(one.nm - drawing_nm), one.expanded_nm, NEAR_NM, FAR_NM),
        )
        for one in throws
    )
    placed = [one for one in throws if one.side is not None]
    middle = statistics.median(one.nm for one in placed) if placed else drawing_nm
    sides = ((side, tuple(one for one in placed if one.side is side)) for side in (Side.LEFT, Side.RIGHT))
    return ThrowsFinding(
        drawing_nm, wheels, tuple(_side(side, those, middle) for side, those in sides if those)
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


def _side(side: Side, throws: tuple[Throw, ...], middle_of_all: float) -> SideThrows:
    answer, low, high = max(
        _pairs(throws), key=lambda one: (_ORDER.index(one[0]), one[2].nm - one[1].nm, one[2].mark)
    )
    return SideThrows(side, throws, low, high, _middle(throws, middle_of_all), answer)


def _pairs(throws: Sequence[Throw]) -> Iterator[tuple[Answer, Throw, Throw]]:
    """Each two throws of a side, the shorter first, and what they are worth together; one alone with itself."""
    if len(throws) == 1:
        yield Answer.SERVES, throws[0], throws[0]
    for two in combinations(throws, 2):
        low, high = sorted(two, key=lambda one: one.nm)
        yield _answer(high.nm - low.nm, _both(low, high), ALIKE_NM, UNLIKE_NM), low, high


def _both(one: Throw, two: Throw) -> int:
    return math.ceil(math.hypot(one.expanded_nm, two.expanded_nm))


def _middle(throws: Sequence[Throw], middle_of_all: float) -> int:
    values = [one.nm for one in throws]
    low, high = statistics.median_low(values), statistics.median_high(values)
    nearer = abs(low - middle_of_all) - abs(high - middle_of_all)
    if nearer == 0:
        return (low + high) // 2
    return low if nearer < 0 else high


def _answer(apart_nm: int, expanded_nm: int, care_nm: int, most_nm: int) -> Answer:
    guard_nm, margin_nm = guard_band_nm(expanded_nm), most_nm - apart_nm
    if -margin_nm > guard_nm:
        return Answer.NOT
    if margin_nm < guard_nm:
        return Answer.CANNOT_TELL
    return Answer.CAUTION if apart_nm > care_nm else Answer.SERVES
