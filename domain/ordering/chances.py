"""The chance that enough castings of an order come good, by a fixed scrap chance or by a record of castings."""

import math
from dataclasses import dataclass

from domain.errors import TradeError

MOST_NEEDED = 200
MOST_ORDERED = 500
_MOST_COUNTS = 10_000  # far beyond any shop's record; it keeps the rounding of lgamma below what is shown


class OrderingError(TradeError):
    """A figure no order can be worked from."""


@dataclass(frozen=True)
class Record:
    """Castings that came good and that were lost, as the two counts of a Beta distribution, both above 0."""

    good: float
    scrap: float

    def __post_init__(self) -> None:
        if not (0 < self.good <= _MOST_COUNTS and 0 < self.scrap <= _MOST_COUNTS):
            raise OrderingError(
                f"A record needs some good castings and some scrap, each up to {_MOST_COUNTS}: such as 9 and 1.",
                "scrap_chance",
            )

    @property
    def scrap_chance(self) -> float:
        """The chance that the next casting is lost: scrap / (good + scrap)."""
        return self.scrap / (self.good + self.scrap)

    def plus(self, good: int, scrap: int) -> "Record":
        """The record with castings since counted in; neither count may be below 0.

        >>> Record(9, 1).plus(good=2, scrap=1)
        Record(good=11, scrap=2)
        """
        if good < 0 or scrap < 0:
            raise OrderingError(
                "A count of castings cannot be below nothing: type 0 or more.", "scrap_chance"
            )
        return Record(self.good + good, self.scrap + scrap)


def reckoned(prior: Record | float, scrapped: int) -> Record | float:
    """What the next castings are reckoned by: until one of a build's own is lost, a record counts as its scrap chance.

    Taken as known it buys what the trade's rule buys; after a loss how little is known counts too.
    Parameters: `prior`, a record, or a scrap chance, which stays as it is; `scrapped`, castings lost in the build.
    Source: our own choice, so that the rule of common practice holds before anything is known.

    >>> reckoned(Record(19, 1), scrapped=0), reckoned(Record(19, 1), scrapped=1)
    (0.05, Record(good=19, scrap=1))
    """
    return prior.scrap_chance if isinstance(prior, Record) and not scrapped else prior


def chance_enough(needed: int, ordered: int, scrap_chance: float) -> float:
    """The chance that at least so many castings of an order come good, each lost with the same chance.

    Formula: sum for k = needed to ordered of C(ordered, k) (1 - p)^k p^(ordered - k)
    Parameters: `needed`, 1 to 200; `ordered`, 0 to 500; `scrap_chance` p, 0 or more and below 1.
    Returns: a chance, 0 to 1.
    Raises: OrderingError for a figure outside its limits.
    Source: binomial distribution, any textbook of statistics.

    >>> round(chance_enough(6, 8, 0.1), 4)
    0.9619
    """
    _check_counts(needed, ordered)
    _check_scrap(scrap_chance)
    good = 1 - scrap_chance
    # C(500, 250) is about 1e150: it goes into a float, and a term that underflows is below 1e-150.
    terms = (
        math.comb(ordered, k) * good**k * scrap_chance ** (ordered - k) for k in range(needed, ordered + 1)
    )
    return min(1.0, math.fsum(terms))


def chance_enough_by_record(needed: int, ordered: int, record: Record) -> float:
    """The chance that at least so many castings of an order come good, judged by a record.

    Formula: sum for k = needed to ordered of C(N, k) B(k + good, N - k + scrap) / B(good, scrap), N = ordered
    Parameters: `needed`, 1 to 200; `ordered`, 0 to 500; `record`, good and scrap each above 0 to 10 000.
    Returns: a chance, 0 to 1.
    Raises: OrderingError for a figure outside its limits.
    Source: beta-binomial distribution, any textbook of Bayesian statistics.

    >>> round(chance_enough_by_record(6, 8, Record(9, 1)), 3)
    0.918
    """
    _check_counts(needed, ordered)
    before = _log_beta(record.good, record.scrap)
    terms = (
        math.comb(ordered, k) * math.exp(_log_beta(k + record.good, ordered - k + record.scrap) - before)
        for k in range(needed, ordered + 1)
    )
    return min(1.0, math.fsum(terms))


def chance_of_enough(needed: int, ordered: int, prior: Record | float) -> float:
    """The chance that enough come good, by whichever is known: a record, or one fixed scrap chance.

    Formula: that of chance_enough_by_record for a record, that of chance_enough for a fixed chance
    Parameters: `needed`, 1 to 200; `ordered`, 0 to 500; `prior`, a record or a scrap chance from 0 to below 1.
    Returns: a chance, 0 to 1.
    Raises: OrderingError for a figure outside its limits.
    Source: binomial or beta-binomial distribution, any textbook of statistics.

    >>> round(chance_of_enough(6, 8, 0.1), 4), round(chance_of_enough(6, 8, Record(9, 1)), 3)
    (0.9619, 0.918)
    """
    if isinstance(prior, Record):
        return chance_enough_by_record(needed, ordered, prior)
    return chance_enough(needed, ordered, prior)


def _log_beta(a: float, b: float) -> float:
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)


def _check_counts(needed: int, ordered: int) -> None:
    if not 1 <= needed <= MOST_NEEDED:
        raise OrderingError(f"The wheels needed must be 1 to {MOST_NEEDED}: such as 6.", "needed")
    if not 0 <= ordered <= MOST_ORDERED:
        raise OrderingError(f"The castings ordered must be 0 to {MOST_ORDERED}: such as 8.", "ordered")


def _check_scrap(scrap_chance: float) -> None:
    if not (math.isfinite(scrap_chance) and 0 <= scrap_chance < 1):
        raise OrderingError(
            "The chance that a casting is lost must be 0 or more and below 100 %: such as 10 %.",
            "scrap_chance",
        )
