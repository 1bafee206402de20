"""The chance that so many of the next ones come good, by counting those that did."""

from domain.ordering.chances import Record, chance_enough_by_record

# As if one had come good and one had not before any was made: every share of good ones is then as likely (Bayes, Laplace).
BEFORE = Record(1, 1)


def chance_by_count(good: int, made: int, wanted: int, of: int) -> float:
    """The chance that at least so many of the next ones come good.

    Formula: beta-binomial by the record 1 good, 1 not, and those made.
    Parameters: `good` of `made` came good, 0 <= good <= made; `wanted` of `of`, 1 to 200.
    Returns: a chance, 0 to 1.
    Raises: OrderingError for counts outside their limits.
    Source: rule of succession, beta-binomial distribution, any textbook of Bayesian statistics.

    >>> round(chance_by_count(6, 9, 1, 1), 4), round(chance_by_count(6, 9, 3, 3), 4)
    (0.6364, 0.2937)
    """
    return chance_enough_by_record(wanted, of, BEFORE.plus(good, made - good))
