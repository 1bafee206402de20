"""Castings to order and the risk of running out, in words."""

import math

from domain.ordering.chances import Record


def per_cent(chance: float) -> str:
    """A chance in per cent to one decimal, cut off and not rounded, so that it never reads better than it is.

    >>> per_cent(0.9499), per_cent(1.0)
    ('94.9 %', '100 %')
    """
    return f"{math.floor(chance * 1000 + 1e-6) / 10:g} %"


def wanted_words(confidence: float) -> str:
    """The chance wanted, in per cent, as typed."""
    return f"{confidence * 100:.10g} %"


def rule_words(taken: Record) -> str:
    """The trade's rule, and the share of castings that it takes to be lost while none has been.

    >>> rule_words(Record(19, 1)).rsplit(": ", 1)[1]
    '1 casting in 20 is taken to be lost, until one of your own is.'
    """
    one_in = (taken.good + taken.scrap) / taken.scrap
    return (
        "By the trade's rule, at 95 % for six drivers seven castings, or eight for a first attempt (common practice,"
        f" no source): 1 casting in {one_in:g} is taken to be lost, until one of your own is."
    )


def castings_words(number: int) -> str:
    """So many castings.

    >>> castings_words(1), castings_words(8)
    ('1 casting', '8 castings')
    """
    return f"{number} casting{'' if number == 1 else 's'}"


def order_words(needed: int, number: int, chance: float, confidence: float) -> str:
    """What to order, the chance that it is enough, and the chance wanted.

    >>> order_words(6, 8, 0.9619, 0.95)
    'Order 8 castings: the chance that at least 6 come good is 96.1 %, where 95 % is wanted.'
    """
    return (
        f"Order {castings_words(number)}: the chance that at least {needed} "
        f"come{'s' if needed == 1 else ''} good is {per_cent(chance)}, where {wanted_words(confidence)} is wanted."
    )


def risk_words(places: int, castings: int, chance: float) -> str:
    """The risk that the castings left do not fill the places.

    >>> risk_words(6, 8, 0.082)
    'About 1 chance in 12 that the castings left will not fill the places.'
    """
    if places == 0:
        return "Every place is filled: no more castings are needed."
    short = places - castings
    if short > 0:
        return f"The castings left cannot fill the places: {short} more must be ordered."
    return f"{chance_words(chance)} that the castings left will not fill the places."


def chance_words(chance: float) -> str:
    """A chance as a person says it, to be followed by "that ..."; the chance is from 0 to 1.

    >>> chance_words(0.125), chance_words(0.45), chance_words(0.84)
    ('About 1 chance in 8', 'A little under an even chance', 'About 8 chances in 10')
    """
    if chance < 0.001:
        return "Less than 1 chance in 1000"
    if chance < 0.37:
        one_in = 1 / chance
        return f"About 1 chance in {round(one_in, -1) if one_in >= 100 else round(one_in):.0f}"
    if chance >= 0.95:
        return "It is almost certain"
    off = chance - 0.5
    if abs(off) < 0.025:
        return "About an even chance"
    if abs(off) < 0.075:
        return f"A little {'under' if off < 0 else 'over'} an even chance"
    # Not round(), which takes 6.5 to 6 and 7.5 to 8.
    return f"About {math.floor(chance * 10 + 0.5)} chances in 10"
