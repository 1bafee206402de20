"""The answers a measurement can give against limits, and the case they are given on."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from domain.answer import Answer
from domain.lengths import Unit
from domain.lengths.fine import fine
from domain.working import Working

# g = 1.65 u = 0.825 U, kept as a fraction so that limits stay whole nanometres.
_TOP, _BOTTOM = 33, 40


class DecisionError(ValueError):
    """Limits or an uncertainty no verdict can be given on; its text is one sentence for the page."""


class Conformity(StrEnum):
    """What a measurement shows."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    CANNOT_TELL = "cannot tell"

    @property
    def words(self) -> str:
        """The answer as the page says it.

        >>> Conformity.CANNOT_TELL.words
        'cannot tell with this instrument'
        """
        return {
            "inside": "in limits",
            "outside": "no good",
            "cannot tell": "cannot tell with this instrument",
        }[self.value]

    @property
    def judged(self) -> Answer:
        """The same among the answers that every question of the trade can have.

        >>> Conformity.OUTSIDE.judged
        <Answer.NOT: 'not'>
        """
        return {"inside": Answer.SERVES, "outside": Answer.NOT}.get(self.value, Answer.CANNOT_TELL)


@dataclass(frozen=True)
class Decision:
    """The verdict, and what is said of it, a sentence each; lengths in nm.

    margin_nm: how far inside the nearer limit (below 0: how far outside); None when plugs leave it open.
    guard_nm: the guard band. accept_low_nm, accept_high_nm: where "inside" may be said; None where there is no limit.
    settles_nm: the largest U with which this size would get an answer; None for plug gauges.
    of_end: whether the largest or the smallest reading decided it, not the mean.
    case: the size that was judged; None of plug gauges, between which there is no one size.
    """

    answer: Conformity
    said: tuple[str, ...]
    margin_nm: int | None
    guard_nm: int
    accept_low_nm: int | None
    accept_high_nm: int | None
    settles_nm: int | None
    working: Working
    of_end: bool = False
    case: SizeCase | None = None

    @property
    def words(self) -> str:
        """All that is said of it."""
        return " ".join(self.said)


def guard_band_nm(expanded_nm: int) -> int:
    """The guard band on each limit.

    Formula: g = 1.65 u = 0.825 U (k = 2), rounded up

    Args:
        expanded_nm: expanded uncertainty U, nm, 0 or more.

    Returns:
        The guard band, nm.

    Raises:
        DecisionError: U below 0.

    Source: ISO 14253-1:2017.

    >>> guard_band_nm(6_000)
    4950
    """
    if expanded_nm < 0:
        raise DecisionError("The uncertainty is less than nothing: type U such as 0.006 mm.")
    return -(-_TOP * expanded_nm // _BOTTOM)


@dataclass(frozen=True)
class SizeCase:
    """One size under judgement: what it is, the size, its U and its limits, nm, and the system of the words."""

    what: str
    value_nm: int
    expanded_nm: int
    low_nm: int | None
    high_nm: int | None
    unit: Unit

    @property
    def guard_nm(self) -> int:
        return guard_band_nm(self.expanded_nm)

    @property
    def margin_nm(self) -> int:
        """How far inside the nearer limit, below 0 when outside; nm."""
        to_low = [] if self.low_nm is None else [self.value_nm - self.low_nm]
        to_high = [] if self.high_nm is None else [self.high_nm - self.value_nm]
        return min(to_low + to_high)

    @property
    def nearer_is_low(self) -> bool:
        return self.low_nm is not None and self.value_nm - self.low_nm == self.margin_nm

    @property
    def accept_nm(self) -> tuple[int | None, int | None]:
        """Where "inside" may be said, nm; the wrong way round when it can be said nowhere."""
        low = None if self.low_nm is None else self.low_nm + self.guard_nm
        return low, None if self.high_nm is None else self.high_nm - self.guard_nm

    @property
    def settles_nm(self) -> int:
        """The largest U with which this size gets an answer, nm; outside takes more than the guard band."""
        margin = self.margin_nm
        return largest_u_nm(margin if margin >= 0 else -margin - 1)


def largest_u_nm(guard_nm: int) -> int:
    """The largest U whose guard band is at most this: guard_band_nm turned round.

    Formula: U = g / 0.825, rounded down

    Args:
        guard_nm: the guard band, nm, 0 or more.

    Returns:
        U, nm.

    Source: ISO 14253-1:2017.

    >>> largest_u_nm(4_950), guard_band_nm(largest_u_nm(4_949))
    (6000, 4949)
    """
    return _BOTTOM * guard_nm // _TOP


def check_limits(low_nm: int | None, high_nm: int | None) -> None:
    """Refuse no limit at all, and limits the wrong way round.

    Formula: least <= most

    Args:
        low_nm: the least allowed, nm, or None.
        high_nm: the most allowed, nm, or None.

    Raises:
        DecisionError: both None, or least above most.

    Source: by definition.

    >>> check_limits(25_000_000, 25_021_000)
    """
    if low_nm is None and high_nm is None:
        raise DecisionError("There is no limit to judge by: type at least one, such as 25 mm.")
    if low_nm is not None and high_nm is not None and low_nm > high_nm:
        raise DecisionError(
            "The limits are the wrong way round: the least comes first, such as 25.000 and 25.021 mm."
        )


def span(limits_nm: tuple[int | None, int | None], unit: Unit) -> str:
    """Limits in a few words.


    Args:
        limits_nm: least and most, nm; at most one None.
        unit: the system to write them in.

    Returns:
        The words.


    >>> span((25_000_000, None), Unit.MM)
    'from 25.000 mm up'
    """
    low, high = (None if nm is None else fine(nm, unit) for nm in limits_nm)
    if low and high:
        return f"{low} to {high}"
    return f"from {low} up" if low else f"up to {high}"
