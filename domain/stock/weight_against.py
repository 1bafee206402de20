"""What a casting weighs beside its fellows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from domain.stock.cautions import FEWEST_WEIGHTS
from domain.stock.types import StockError
from domain.working import Working


@dataclass(frozen=True)
class Against:
    """How far a weight is from the middle one, in parts of it (below 0: lighter), in words and with its working."""

    off: float
    words: str
    working: Working


def against_fellows(weight_mg: int, weights_mg: Sequence[int]) -> Against | None:
    """How a weight compares with the middle one of all castings weighed.

    Formula: (weight - median) / median
    Parameters: `weight_mg`, above 0; `weights_mg`, of all castings of the pattern that were weighed, this one among them.
    Returns: the difference, or None where fewer than three were weighed.
    Raises: StockError for a weight that is not above 0.
    Source: by definition.

    >>> against_fellows(900_000, [900_000, 1_000_000, 1_010_000]).words
    '10.0 % less than the middle one'
    """
    if weight_mg <= 0 or any(mg <= 0 for mg in weights_mg):
        raise StockError("weight", "A casting must weigh more than nothing: weigh it again.")
    if len(weights_mg) < FEWEST_WEIGHTS:
        return None
    middle = Fraction(median(sorted(weights_mg)))
    off = (weight_mg - middle) / middle
    percent = f"{float(abs(off)) * 100:.1f} %"
    words = f"{percent} {'less' if off < 0 else 'more'} than the middle one"
    if percent == "0.0 %":
        words = "as the middle one"
    working = Working(
        "weight against its fellows",
        "(weight - middle weight) / middle weight",
        f"({grams(weight_mg)} - {grams(middle)}) / {grams(middle)}, of {len(weights_mg)} weighed",
        words,
        "by definition",
    )
    return Against(float(off), words, working)


def grams(mg: int | Fraction) -> str:
    """A weight in grams, as short as a tenth of a gram.

    Formula: mg / 1000
    Parameters: `mg`, milligrams, 0 or more.
    Returns: text such as "410 g" or "410.5 g".
    Source: by definition.

    >>> grams(410_000), grams(410_520), grams(20)
    ('410 g', '410.5 g', '0.02 g')
    """
    tenths = f"{float(mg) / 1000:.1f}".removesuffix(".0")
    return f"{tenths if float(tenths) else f'{float(mg) / 1000:g}'} g"
