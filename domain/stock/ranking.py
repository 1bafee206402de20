"""Ranking received castings, and proposing the poorest as spares."""

from __future__ import annotations

from collections.abc import Sequence

from domain.stock.castings import Ranked, Received, SparesProposal
from domain.stock.types import StockError, Verdict
from domain.stock.words import join


def rank(castings: Sequence[tuple[str, Received]]) -> tuple[Ranked, ...]:
    """The castings, best first.

    Formula: by verdict, one step lower for each flaw (a casting that does not clean up is always last), then by
    fewest flaws, then by the metal to spare where it is poorest; castings alike keep the order given
    Parameters: `castings`, mark and what receiving said, each mark once.
    Returns: the order, with the reason.
    Raises: StockError for a mark given twice.
    Source: our own; common practice, no source.

    >>> rank([])
    ()
    """
    marks = [mark for mark, _ in castings]
    twice = sorted({mark for mark in marks if marks.count(mark) > 1})
    if twice:
        raise StockError("mark", f"Two castings are marked {twice[0]}: give one of them another mark.")
    order = sorted(castings, key=lambda pair: pair[1].score, reverse=True)
    return tuple(Ranked(mark, one, at, _reason(one)) for at, (mark, one) in enumerate(order, start=1))


def propose_spares(ranked: Sequence[Ranked], places_needed: int) -> SparesProposal:
    """The best castings for the places, the poorest as spares.

    Formula: in work = the first so many as there are places, leaving out any that do not clean up; spares = the rest
    Parameters: `ranked`, best first; `places_needed`, 0 or more.
    Returns: marks, and how many castings are still wanted.
    Raises: StockError for a negative number of places.
    Source: our own.

    >>> propose_spares([], 2).short
    2
    """
    if places_needed < 0:
        raise StockError("places", "The number of places cannot be below nothing.")
    unfit = tuple(one.mark for one in ranked if one.received.verdict is Verdict.DOES_NOT)
    usable = [one.mark for one in ranked if one.mark not in unfit]
    in_work, spares = tuple(usable[:places_needed]), tuple(usable[places_needed:])
    short = places_needed - len(in_work)
    return SparesProposal(in_work, spares, unfit, short, _words(spares, unfit, short))


def _reason(one: Received) -> str:
    flaws = -one.score[1]
    words = one.words
    if flaws and one.verdict is not Verdict.DOES_NOT:
        words += f" It stands lower for {'a flaw' if flaws == 1 else f'{flaws} flaws'}."
    return words


def _words(spares: tuple[str, ...], unfit: tuple[str, ...], short: int) -> str:
    said = []
    if spares:
        verb = "is" if len(spares) == 1 else "are"
        said.append(
            f"{join(list(spares))} {verb} proposed as spare{'s' if len(spares) > 1 else ''}: the poorest."
        )
    if unfit:
        verb = "does" if len(unfit) == 1 else "do"
        said.append(f"{join(list(unfit))} {verb} not clean up and should not be put in work.")
    if short:
        said.append(f"{short} more casting{'s' if short > 1 else ''} must be found: order in time.")
    return " ".join(said) or "Every casting is wanted: there is no spare."
