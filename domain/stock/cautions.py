"""Cautions about a casting that its sizes do not show: what was seen, and what it weighs."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from statistics import median

from domain.stock.castings import Flaws
from domain.stock.types import StockError

# More than this from the middle weight is worth a look: common practice, no source.
WEIGHT_LIMIT = Fraction(5, 100)
FEWEST_WEIGHTS = 3

_FLAWS = {
    "blowhole": "Blowhole: it may run deeper than it looks, so cut it open early, and scrap the wheel if it"
    " reaches the tread, the flange, the bore or the crankpin hole.",
    "chill": "Chilled skin: too hard for a fine cut, so go slowly and get under the skin with the first cut.",
    "shift": "Mould shift: front and back halves do not line up, so set true to the inside edge and see how"
    " uneven the rim and the bosses come out before the first cut.",
}


def flaw_cautions(flaws: Flaws) -> tuple[str, ...]:
    """A caution for each flaw seen.

    Parameters: `flaws`, what was seen.
    Returns: sentences.
    Source: common practice, no source.

    >>> [text[:13] for text in flaw_cautions(Flaws(chill=True))]
    ['Chilled skin:']
    """
    return tuple(text for name, text in _FLAWS.items() if getattr(flaws, name))


def weight_caution(weight_mg: int | None, weights_mg: Sequence[int]) -> tuple[int, str]:
    """Whether a casting weighs notably less or more than its fellows.

    Formula: (weight - median) / median, notable beyond 5 in 100 with at least 3 weights
    Parameters: `weight_mg`, above 0, None where not weighed; `weights_mg`, all weighed castings of the same
    pattern, this one among them.
    Returns: -1 lighter, 1 heavier, 0 like the others or not to be judged, and the caution ("" at 0).
    Raises: StockError for a weight that is not above 0.
    Source: common practice, no source.

    >>> weight_caution(900_000, [900_000, 1_000_000, 1_010_000])[0]
    -1
    """
    if any(mg <= 0 for mg in ([] if weight_mg is None else [weight_mg]) + list(weights_mg)):
        raise StockError("weight", "A casting must weigh more than nothing: weigh it again.")
    if weight_mg is None or len(weights_mg) < FEWEST_WEIGHTS:
        return 0, ""
    middle = Fraction(median(sorted(weights_mg)))
    off = (weight_mg - middle) / middle
    if abs(off) <= WEIGHT_LIMIT:
        return 0, ""
    percent = f"{float(abs(off)) * 100:.1f} %"
    if off < 0:
        return -1, (
            f"It weighs {percent} less than its fellows: there may be a hidden hole, or a face is short of metal."
        )
    return 1, (
        f"It weighs {percent} more than its fellows: there may be a mould shift, or it is cast thick,"
        " so measure it in several places."
    )
