"""What goes into pairing castings with seats, and what comes out."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from domain.answer import Answer
from domain.working import Working

Grade = Callable[[int, int], Answer]
"""Judges a bore on a seat: bore in nm, seat in nm, in that order."""


class PairingError(ValueError):
    """The castings and seats cannot be paired; the message is one sentence."""


@dataclass(frozen=True)
class PairSeat:
    """A measured wheel seat; its key is the caller's own, its label is for the page."""

    key: str
    label: str
    seat_nm: int


@dataclass(frozen=True)
class PairCasting:
    """A casting with a measured bore; its key is the caller's own, its mark is for the page."""

    key: str
    mark: str
    bore_nm: int


@dataclass(frozen=True)
class Pair:
    """A casting on a seat; `pressed` when it stays for good, `moves` when it is not there today."""

    seat: PairSeat
    casting: PairCasting
    answer: Answer
    pressed: bool = False
    moves: bool = False

    @property
    def clearance_nm(self) -> int:
        """Bore less seat on the diameter, nm; below zero for an interference."""
        return self.casting.bore_nm - self.seat.seat_nm


@dataclass(frozen=True)
class Standing:
    """How well a set of pairs does: counts, and sums of squared distances from the middle wanted, nm^2."""

    serves: int
    caution: int
    fails: int
    served_off_nm2: int
    failed_off_nm2: int

    @property
    def placed(self) -> int:
        """The pairs counted."""
        return self.serves + self.caution + self.fails

    @property
    def counts(self) -> tuple[int, int, int]:
        """Serve, serve with care, do not serve."""
        return self.serves, self.caution, self.fails

    @property
    def typical_off_nm(self) -> int:
        """Root mean square distance from the middle wanted of those that serve, with care or without, nm."""
        served = self.serves + self.caution
        return math.isqrt(self.served_off_nm2 // served) if served else 0


@dataclass(frozen=True)
class Pairing:
    """Which casting goes where, what is left over, how well it does beside today, and how it was found."""

    pairs: tuple[Pair, ...]
    spares: tuple[PairCasting, ...]
    empty: tuple[PairSeat, ...]
    best: Standing
    today: Standing
    gain: str
    working: Working

    @property
    def moves(self) -> tuple[Pair, ...]:
        """The pairs that are not so today."""
        return tuple(pair for pair in self.pairs if pair.moves)


# Every exchange there may be is counted twice, and the enumeration's own names are slow to read.
_NONE_YET = dict.fromkeys(Answer, 0)


def standing(pairs: Iterable[tuple[PairCasting, PairSeat]], middle_nm: int, grade: Grade) -> Standing:
    """How well these pairs do.

    Formula: counts of each answer; sums of (bore - seat - middle)^2, served and failed apart.
    middle_nm: the clearance in the middle of the wanted fit, nm, below zero for an interference.
    Returns: counts, and sums in nm^2.
    Source: by definition.

    >>> one = PairCasting("a", "A", 19_080_000), PairSeat("1", "axle 1", 19_050_000)
    >>> standing([one], 35_000, lambda bore, seat: Answer.SERVES)
    Standing(serves=1, caution=0, fails=0, served_off_nm2=25000000, failed_off_nm2=0)
    """
    counts = _NONE_YET.copy()
    served_off = failed_off = 0
    for casting, seat in pairs:
        answer = grade(casting.bore_nm, seat.seat_nm)
        counts[answer] += 1
        off = (casting.bore_nm - seat.seat_nm - middle_nm) ** 2
        if answer is Answer.NOT:
            failed_off += off
        else:
            served_off += off
    careful = counts[Answer.CAUTION] + counts[Answer.CANNOT_TELL]
    return Standing(counts[Answer.SERVES], careful, counts[Answer.NOT], served_off, failed_off)
