"""How many castings to buy, and a build's present risk of running out of them."""

from __future__ import annotations

from dataclasses import dataclass

from domain.ordering.advice import OrderAdvice, order_table
from domain.ordering.chances import Record, reckoned
from domain.ordering.words import castings_words, order_words, per_cent, rule_words, wanted_words
from webapp.facts.running_out import BuildCounts, BuildRisk
from webapp.records.views import BuildView
from webapp.sheets.ordering.drawing import ChancesPicture, chances_picture
from webapp.sheets.ordering.form import OrderFigures


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One number of castings, what it makes sure of, and whether that will do."""

    number: int
    chance: str
    enough: bool
    note: str


@dataclass(frozen=True, slots=True)
class OrderSheet:
    """How many to order, with the chance for each number about it."""

    headline: str
    words: str
    lines: tuple[OrderLine, ...]
    picture: ChancesPicture
    advice: OrderAdvice
    scrap_words: str


@dataclass(frozen=True, slots=True)
class RiskLine:
    """So many castings more, and what that makes of the chance that every place is filled."""

    words: str
    chance: str
    enough: bool


_ONE_MORE = "What it would take for one wheel more is drawn here."


def risk_lines(risk: BuildRisk) -> tuple[RiskLine, ...]:
    """What no, one, two and three castings more make of it."""
    return tuple(
        RiskLine(f"{row.ordered} more" if row.ordered else "As it is", per_cent(row.chance), row.enough)
        for row in risk.extra
    )


def counts_words(build: BuildView, counts: BuildCounts) -> str:
    """What a build has come to so far."""
    unfit = f", and {counts.stock.unfit} that will not clean up" if counts.stock.unfit else ""
    return (
        f"{build.name}: {counts.unfilled} wheel{'' if counts.unfilled == 1 else 's'} still to make, {counts.in_hand} good"
        f" casting{'' if counts.in_hand == 1 else 's'} for them{unfit}; {counts.finished} made and {counts.scrapped}"
        f" scrapped so far."
    )


def order_sheet(
    figures: OrderFigures, counts: BuildCounts | None = None, *, asked: bool = True
) -> OrderSheet:
    """How many to order: from nothing, or with a build's own record and what it has in hand.

    asked: whether somebody asked for so many wheels; where every wheel is made, none need be ordered otherwise.
    Raises OrderingError, whose `field` is the box at fault.
    """
    prior = reckoned(figures.prior, counts.scrapped if counts else 0)
    if counts is not None and isinstance(prior, Record):
        prior = prior.plus(counts.finished, counts.scrapped)
    advice = order_table(figures.needed, prior, figures.confidence)
    in_hand = counts.in_hand if counts else None
    picture = chances_picture(advice.rows, figures.confidence, advice.number, in_hand)
    headline, words = _words(advice, figures, in_hand)
    if counts is not None and not counts.unfilled and not asked:
        headline, words = "No casting need be ordered", f"Every wheel is made. {_ONE_MORE}"
    return OrderSheet(
        headline=headline,
        words=words,
        lines=tuple(OrderLine(c.number, c.chance, c.enough, ", ".join(c.notes)) for c in picture.columns),
        picture=picture,
        advice=advice,
        scrap_words=_scrap_words(figures.prior, prior, counts),
    )


def _words(advice: OrderAdvice, figures: OrderFigures, in_hand: int | None) -> tuple[str, str]:
    if in_hand is None:
        words = order_words(figures.needed, advice.number, advice.chance, figures.confidence)
        return f"Order {castings_words(advice.number)}", words
    sure = f"a chance of {per_cent(advice.chance)}, where {wanted_words(figures.confidence)} is wanted"
    wheels = f"{figures.needed} wheel{'' if figures.needed == 1 else 's'} still to finish"
    words = f"For {wheels}, {castings_words(advice.number)} not yet finished give {sure}. You have {in_hand}."
    more = advice.number - in_hand
    if more <= 0:
        return "No more need be ordered", words
    return f"Order {more} more casting{'' if more == 1 else 's'}", words


def _scrap_words(prior: Record | float, record: Record | float, counts: BuildCounts | None) -> str:
    """What the chance of a lost casting rests on."""
    if not isinstance(prior, Record):
        return f"Taken as typed: {prior:.3g} of the castings are lost, whatever came of those so far."
    if counts is None or not isinstance(record, Record):
        return rule_words(prior)
    return (
        f"By how practised you are, {prior.good:g} good to {prior.scrap:g} lost is taken for granted; and by this"
        f" build: {counts.finished} finished, {counts.scrapped} scrapped. So the next one is lost with a chance of"
        f" {record.scrap_chance:.2f}."
    )
