"""How many castings to buy, so that enough of them come good."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from domain.ordering.chances import (
    MOST_NEEDED,
    MOST_ORDERED,
    OrderingError,
    Record,
    chance_enough,
    chance_enough_by_record,
    chance_of_enough,
    per_cent,
)
from domain.working import Working

__all__ = [
    "EXPERIENCE",
    "MOST_NEEDED",
    "MOST_ORDERED",
    "Experience",
    "OrderAdvice",
    "OrderRow",
    "OrderingError",
    "Record",
    "chance_enough",
    "chance_enough_by_record",
    "order_table",
    "per_cent",
]

# A chance this little short of the wanted one is short by the rounding of floats alone.
_ROUNDING = 1e-9
_BINOMIAL = "binomial distribution, any textbook of statistics"
_BETA_BINOMIAL = "beta-binomial distribution, any textbook of Bayesian statistics"


@dataclass(frozen=True)
class Experience:
    """How practised the builder is, in words, and the record that is taken for granted for it."""

    words: str
    prior: Record
    source: str = "common practice, no source"


# Against the rule of thumb "for six drivers seven, or eight for a first attempt" (common practice, no source):
# seven with the middle record is enough in 82 % of cases, eight with the first in 74 %, so the rule is about
# a 4 in 5 chance. At 95 % it buys too few: then six drivers take nine with the middle record, eight with the
# last, and 14 for a first attempt, of which little is known beforehand.
EXPERIENCE: Mapping[str, Experience] = MappingProxyType(
    {
        "first": Experience("My first attempt", Record(4, 1)),
        "some": Experience("I have made a few wheels", Record(9, 1)),
        "many": Experience("I have made many wheels", Record(19, 1)),
    }
)


@dataclass(frozen=True)
class OrderRow:
    """Castings ordered, the chance that enough of them come good, and whether that is the chance wanted."""

    ordered: int
    chance: float
    enough: bool


@dataclass(frozen=True)
class OrderAdvice:
    """The castings to order, the chance that they are enough, and the chances for the numbers about it."""

    number: int
    chance: float
    rows: tuple[OrderRow, ...]
    workings: tuple[Working, ...]
    words: str


def order_table(needed: int, prior: Record | float, confidence: float, rows: int = 6) -> OrderAdvice:
    """The fewest castings to order for a wanted chance that enough come good, with the chances about it.

    Formula: the smallest N of which P(at least `needed` good of N) >= confidence
    Parameters: `needed`, wheels wanted, 1 to 200; `prior`, a record, or one fixed scrap chance from 0 to below 1;
    `confidence`, the chance wanted, above 0 and below 1; `rows`, rows of the table, 1 to 50.
    Returns: castings, the chance, and the table; with two rows or more one shows a casting more than advised.
    Raises: OrderingError, whose `field` is "needed", "confidence" or "scrap_chance"; ValueError on rows.
    Source: binomial or beta-binomial distribution.

    >>> order_table(6, 0.1, 0.95).words
    'Order 8 castings: the chance that at least 6 come good is 96.1 %, where 95 % is wanted.'
    """
    if not 1 <= rows <= 50:
        raise ValueError("a table has 1 to 50 rows")
    if not (math.isfinite(confidence) and 0 < confidence < 1):
        raise OrderingError(
            "confidence", "How sure you want to be must be above 0 and below 100 %: such as 95 %."
        )
    number = _fewest(needed, prior, confidence)
    start = max(needed, number - rows + (2 if rows > 1 else 1))
    ordered = range(start, min(start + rows, MOST_ORDERED + 1))
    table = tuple(_row(needed, n, prior, confidence) for n in ordered)
    chance = chance_of_enough(needed, number, prior)
    words = (
        f"Order {number} casting{'s' if number > 1 else ''}: the chance that at least {needed} "
        f"come{'s' if needed == 1 else ''} good is {per_cent(chance)}, where {confidence * 100:.10g} % is wanted."
    )
    return OrderAdvice(number, chance, table, _workings(needed, number, prior, confidence), words)


def _row(needed: int, ordered: int, prior: Record | float, confidence: float) -> OrderRow:
    chance = chance_of_enough(needed, ordered, prior)
    return OrderRow(ordered, chance, chance >= confidence - _ROUNDING)


def _fewest(needed: int, prior: Record | float, confidence: float) -> int:
    """The chance only grows with the number ordered, so the range is halved until one number is left."""
    if not _row(needed, MOST_ORDERED, prior, confidence).enough:
        raise _too_many(needed, prior, confidence)
    low, high = needed, MOST_ORDERED
    while low < high:
        middle = (low + high) // 2
        if _row(needed, middle, prior, confidence).enough:
            high = middle
        else:
            low = middle + 1
    return low


def _too_many(needed: int, prior: Record | float, confidence: float) -> OrderingError:
    scrap = prior.scrap_chance if isinstance(prior, Record) else prior
    start = (
        f"Even {MOST_ORDERED} castings do not make it {confidence * 100:.10g} % sure that {needed} come good"
    )
    if MOST_ORDERED * (1 - scrap) < needed:
        return OrderingError("scrap_chance", f"{start}: find out what spoils so many before you order.")
    return OrderingError("confidence", f"{start}: ask for less certainty, or order in two lots.")


def _workings(needed: int, number: int, prior: Record | float, confidence: float) -> tuple[Working, ...]:
    aim = f"at least {needed} good, chance wanted {confidence * 100:.10g} %"
    fewest = "the smallest N of which the chance of enough >= the chance wanted"
    if not isinstance(prior, Record):
        numbers = f"{aim}, scrap chance p = {prior:g}"
        formula = f"{fewest}; chance = sum of C(N, k) (1 - p)^k p^(N - k) for k = {needed} to N"
        return (Working("castings to order", formula, numbers, f"{number}", _BINOMIAL),)
    good, scrap = f"{prior.good:g}", f"{prior.scrap:g}"
    formula = (
        f"{fewest}; chance = sum of C(N, k) B(k + good, N - k + scrap) / B(good, scrap), k = {needed} to N"
    )
    return (
        Working(
            "scrap chance of the next casting",
            "scrap / (good + scrap)",
            f"{scrap} / ({good} + {scrap})",
            f"{prior.scrap_chance:.3f}",
            f"mean of the Beta distribution; a record taken for granted is {EXPERIENCE['some'].source}",
        ),
        Working(
            "castings to order", formula, f"{aim}, good {good}, scrap {scrap}", f"{number}", _BETA_BINOMIAL
        ),
    )
