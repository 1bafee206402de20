"""Whether a bore came off its stub larger than it went on."""

import math
from dataclasses import dataclass
from enum import StrEnum

from domain.answer import Answer
from domain.measuring.decision_types import guard_band_nm


class Growth(StrEnum):
    """What became of a bore."""

    SAME = "same"
    GROWN = "grown"
    SMALLER = "smaller"
    UNKNOWN = "unknown"

    @property
    def answer(self) -> Answer:
        """What it means: a hole that is smaller has something left in it."""
        known = {Growth.SAME: Answer.SERVES, Growth.UNKNOWN: Answer.CANNOT_TELL}
        return known.get(self, Answer.CAUTION)


@dataclass(frozen=True)
class Compared:
    """A bore after the stub against the same before it: the difference and its U, nm; None where U is not known."""

    difference_nm: int
    expanded_nm: int | None
    change: Growth


def compare(before_nm: int, after_nm: int, before_u_nm: int | None, after_u_nm: int | None) -> Compared:
    """Whether a bore has grown on its stub, by the two readings of it.

    Formula: U = sqrt(U_before^2 + U_after^2), rounded up; grown or smaller where the difference is more than 0.825 U away
    from nothing, else the readings tell no difference. One gauge's own error is in both and would go out: it is left in.
    before_nm, after_nm: nm. before_u_nm, after_u_nm: expanded uncertainty (k = 2), nm, 0 or more; None where not known.
    Source: JCGM 100:2008 (GUM) 5.1.2; ISO 14253-1:2017.

    >>> compare(19_080_000, 19_092_000, 6_000, 6_000)
    Compared(difference_nm=12000, expanded_nm=8486, change=<Growth.GROWN: 'grown'>)
    >>> compare(19_080_000, 19_083_000, 6_000, 6_000).change.value
    'same'
    """
    difference = after_nm - before_nm
    if before_u_nm is None or after_u_nm is None:
        return Compared(difference, None, Growth.UNKNOWN)
    expanded = math.ceil(math.hypot(before_u_nm, after_u_nm))
    if abs(difference) <= guard_band_nm(expanded):
        return Compared(difference, expanded, Growth.SAME)
    return Compared(difference, expanded, Growth.GROWN if difference > 0 else Growth.SMALLER)
