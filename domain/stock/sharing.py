"""The order-of-work warning: back and front share the metal badly."""

from __future__ import annotations

from domain.lengths import Unit
from domain.stock import metal_left_words as say
from domain.stock.cut_types import BadShare
from domain.stock.types import StockError


def badly_shared(
    stock_back_nm: int,
    stock_front_nm: int,
    least_cut_nm: int,
    finished_nm: int,
    now_nm: int | None = None,
    front_best_nm: int | None = None,
    unit: Unit = Unit.MM,
) -> BadShare | None:
    """The warning, before the back is faced, that back and front share the metal badly.

    Formula: bad where one has more than twice the other, or either less than the least cut; the thickness to face the
    back to = finished + the front's best share (half the metal in all where the boss asks for nothing else)
    Parameters: metal that comes off the back and off the front in all, nm; `least_cut_nm`, above 0;
    `finished_nm`, the finished thickness, above 0; `now_nm`, the thickness now, None where nothing is cut yet;
    `front_best_nm`, from share_metal: a share that leaves the front that much is good however uneven.
    Returns: the warning with the thickness to face the back to, or None where the share is good.
    Raises: StockError for a figure that cannot be.
    Source: common practice, no source.

    >>> badly_shared(2_500_000, 500_000, 500_000, 17_000_000).face_back_to_nm
    18500000
    >>> badly_shared(1_500_000, 1_500_000, 500_000, 17_000_000) is None
    True
    """
    if least_cut_nm <= 0:
        raise StockError("least_cut", "The least cut must be more than nothing: type one such as 0.5 mm.")
    if finished_nm <= 0:
        raise StockError("finished", "The finished thickness must be more than nothing: see the drawing.")
    in_all = stock_back_nm + stock_front_nm
    best = in_all // 2 if front_best_nm is None else front_best_nm
    small, large = sorted((stock_back_nm, stock_front_nm))
    as_planned = front_best_nm is not None and stock_front_nm >= front_best_nm
    if small >= least_cut_nm and (as_planned or large <= 2 * small):
        return None
    to = finished_nm + best
    shown = to if now_nm is None or now_nm > to else None
    poorest = min(best, in_all - best)
    if poorest < least_cut_nm:
        return BadShare(shown, say.too_little(poorest, least_cut_nm, shown, unit))
    return BadShare(shown, say.bad_share(stock_back_nm, stock_front_nm, shown, unit))
