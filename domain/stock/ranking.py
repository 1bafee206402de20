"""Ranking received castings, and proposing the poorest as spares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.stock.receiving import Received
from domain.stock.sharing import CleanUp
from domain.stock.sizes import StockError


@dataclass(frozen=True)
class Ranked:
    """One casting in its order, 1 is the best."""

    mark: str
    received: Received
    rank: int


@dataclass(frozen=True)
class SparesProposal:
    """Marks for the places, best first, and marks proposed as spares; unfit are any that do not clean up.

    short is how many more castings must be found so that each place has one that is not known to be too small.
    """

    in_work: tuple[str, ...]
    spares: tuple[str, ...]
    unfit: tuple[str, ...]
    short: int


def rank(castings: Sequence[tuple[str, Received]]) -> tuple[Ranked, ...]:
    """The castings with their marks, best first.

    Formula: by verdict, one step lower for each flaw (a casting that does not clean up is always last), then by
    fewest flaws, then by the metal to spare where it is poorest; castings alike keep the order given
    Raises: StockError for a mark given twice.
    Source: our own; common practice, no source.

    >>> rank([])
    ()
    """
    marks = [mark for mark, _ in castings]
    twice = sorted({mark for mark in marks if marks.count(mark) > 1})
    if twice:
        raise StockError(f"Two castings are marked {twice[0]}: give one of them another mark.", "mark")
    order = sorted(castings, key=lambda pair: pair[1].score, reverse=True)
    return tuple(Ranked(mark, one, at) for at, (mark, one) in enumerate(order, start=1))


def propose_spares(ranked: Sequence[Ranked], places_needed: int) -> SparesProposal:
    """The best castings for the places, the poorest as spares.

    Formula: in work = the first so many as there are places, leaving out any that do not clean up; spares = the rest
    Parameters: `ranked`, best first; `places_needed`, 0 or more.
    Raises: StockError for a negative number of places.
    Source: our own.

    >>> propose_spares([], 2).short
    2
    """
    if places_needed < 0:
        raise StockError("The number of places cannot be below nothing.", "places")
    unfit = tuple(one.mark for one in ranked if one.received.verdict is CleanUp.DOES_NOT)
    usable = [one.mark for one in ranked if one.mark not in unfit]
    in_work, spares = tuple(usable[:places_needed]), tuple(usable[places_needed:])
    return SparesProposal(in_work, spares, unfit, places_needed - len(in_work))
