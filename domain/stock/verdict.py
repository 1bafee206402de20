"""Cleans up, just, or does not: one rule for every face."""

from domain.stock.types import Verdict


def verdict_of(spare_nm: int, least_cut_nm: int) -> Verdict:
    """Whether the poorest face cleans up.

    Formula: does not below 0 to spare; just below half the least cut to spare (1.5 times the least cut in all)
    Parameters: `spare_nm`, metal beyond what is needed, nm; `least_cut_nm`, nm, 0 or more.
    Returns: the verdict.
    Source: common practice, no source.

    >>> verdict_of(249_999, 500_000).words, verdict_of(250_000, 500_000).words
    ('just cleans up', 'cleans up')
    """
    if spare_nm < 0:
        return Verdict.DOES_NOT
    return Verdict.JUST if 2 * spare_nm < least_cut_nm else Verdict.CLEANS_UP
