"""From metal left to cuts and dial readings, and the stop sign before the size is lost."""

from __future__ import annotations

from domain.lengths import Unit
from domain.stock import metal_left_words as say
from domain.stock.cut_types import Cut, CutKind, Dial, DialTo, Stop, StopKind
from domain.stock.types import StockError

MOST_CUTS = 500  # more is a slip of the finger in the depth, not a day's work


def cut_depths(
    stock_nm: int, roughing_depth_nm: int, finishing_cut_nm: int
) -> tuple[tuple[CutKind, int], ...]:
    """The cuts that take the metal away: roughing, the first under the skin, and one for finish.

    Formula: roughing cuts of the whole depth until stock - finishing cut is gone, the last of them what remains;
    then the finishing cut, or all there is where that is less. A remainder smaller than the finishing cut is no cut of
    its own: it goes with the finishing cut where both are no deeper than a roughing cut, else the two are made even
    Parameters: `stock_nm`, depth of metal, 0 or less gives no cut; `roughing_depth_nm`, above 0;
    `finishing_cut_nm`, above 0 and not deeper than a roughing cut.
    Returns: kind and depth, nm; the depths add up to the stock exactly.
    Raises: StockError for a depth that cannot be, or one so small that it would never end.
    Source: common practice, no source.

    >>> [(kind.value, nm) for kind, nm in cut_depths(1_300_000, 500_000, 100_000)][2:]
    [('roughing', 200000), ('finishing', 100000)]
    >>> [nm for _, nm in cut_depths(150_000, 500_000, 100_000)]
    [150000]
    """
    _check_depths(roughing_depth_nm, finishing_cut_nm)
    if stock_nm <= 0:
        return ()
    last = min(stock_nm, finishing_cut_nm)
    whole, rest = divmod(stock_nm - last, roughing_depth_nm)
    if whole > MOST_CUTS:
        raise StockError("roughing_depth", f"That depth would want {whole} cuts: type a deeper roughing cut.")
    if 0 < rest < finishing_cut_nm:
        last, rest = _evened(last + rest, roughing_depth_nm)
    rough = [(CutKind.ROUGHING, roughing_depth_nm)] * whole + ([(CutKind.ROUGHING, rest)] if rest else [])
    return (*rough, (CutKind.FINISHING, last))


def _evened(both_nm: int, roughing_depth_nm: int) -> tuple[int, int]:
    """The last cut, and the one before it or 0, of what a finishing cut and too small a remainder are together."""
    return (both_nm, 0) if both_nm <= roughing_depth_nm else (both_nm // 2, both_nm - both_nm // 2)


def planned_cuts(
    size_now_nm: int,
    stock_nm: int,
    roughing_depth_nm: int,
    finishing_cut_nm: int,
    on_diameter: bool,
    dial: Dial | None = None,
) -> tuple[Cut, ...]:
    """The cuts with the size after each, and the reading to wind to.

    Formula: size after = size - depth (twice the depth on a diameter); dial = touch-off + depth so far (twice the
    depth on a diametral dial)
    Parameters: as cut_depths; `size_now_nm`; `on_diameter`; `dial`, its touch-off at the size now.
    Returns: the cuts in order, nm.
    Raises: StockError for a depth or a dial that cannot be.
    Source: geometry.

    >>> cut = planned_cuts(100_400_000, 200_000, 500_000, 200_000, True, Dial(1_900_000, 2_000_000))[0]
    >>> cut.size_after_nm, cut.dial
    (100000000, DialTo(absolute_nm=2100000, turns=1, on_dial_nm=100000))
    """
    _check_dial(dial)
    cuts, gone = [], 0
    for kind, depth in cut_depths(stock_nm, roughing_depth_nm, finishing_cut_nm):
        gone += depth
        after = size_now_nm - gone * (2 if on_diameter else 1)
        cuts.append(Cut(kind, depth, after, None if dial is None else wind_to(dial, gone)))
    return tuple(cuts)


def wind_to(dial: Dial, depth_nm: int) -> DialTo:
    """The dial reading for a depth below where the tool touched.

    Formula: touch-off + depth (twice the depth on a diametral dial), then whole turns and what is left
    Parameters: `dial`; `depth_nm`, 0 or more.
    Returns: readings, nm; turns are counted from the dial's zero.
    Source: geometry.

    >>> wind_to(Dial(0, 2_000_000, diametral=True), 1_250_000)
    DialTo(absolute_nm=2500000, turns=1, on_dial_nm=500000)
    """
    reading = dial.touch_off_nm + depth_nm * (2 if dial.diametral else 1)
    if dial.per_turn_nm is None:
        return DialTo(reading)
    return DialTo(reading, *divmod(reading, dial.per_turn_nm))


def cut_guard(
    size_now_nm: int,
    cut_nm: int,
    finished_nm: int,
    on_diameter: bool,
    tolerance_nm: int = 0,
    unit: Unit = Unit.MM,
) -> Stop | None:
    """The stop sign before a cut that would go under size.

    Formula: stop where size - cut (twice the cut on a diameter) < finished size - tolerance
    Parameters: `size_now_nm`, `finished_nm`, above 0; `cut_nm`, depth at right angles to the surface, above 0;
    `on_diameter`; `tolerance_nm`, how far under the finished size still passes, 0 or more.
    Returns: the stop sign, or None where the cut may be taken.
    Raises: StockError for a figure that cannot be.
    Source: arithmetic.

    >>> cut_guard(18_400_000, 500_000, 18_000_000, False).words
    'Stop: a cut of 0.500 mm (0.0197 in) would go 0.100 mm (0.0039 in) under size; 0.400 mm (0.0157 in) is left.'
    >>> cut_guard(18_400_000, 400_000, 18_000_000, False) is None
    True
    """
    _check_guard(size_now_nm, cut_nm, finished_nm, tolerance_nm)
    times = 2 if on_diameter else 1
    least = finished_nm - tolerance_nm
    if size_now_nm < least:
        under = finished_nm - size_now_nm
        return Stop(StopKind.UNDER_SIZE, 0, under, say.already_under(under, unit))
    if size_now_nm - cut_nm * times >= least:
        return None
    left = max(0, size_now_nm - finished_nm) // times
    if left == 0:
        return Stop(StopKind.AT_SIZE, 0, 0, "Stop: it is at size: do not cut.")
    under = finished_nm - (size_now_nm - cut_nm * times)
    words = say.would_go_under(cut_nm, under, left, on_diameter, unit)
    return Stop(StopKind.WOULD_GO_UNDER, left, under, words)


def _check_depths(roughing_depth_nm: int, finishing_cut_nm: int) -> None:
    if roughing_depth_nm <= 0:
        raise StockError(
            "roughing_depth", "A roughing cut must be more than nothing: type one such as 0.5 mm."
        )
    if finishing_cut_nm <= 0:
        raise StockError(
            "finishing_cut", "A finishing cut must be more than nothing: type one such as 0.1 mm."
        )
    if finishing_cut_nm > roughing_depth_nm:
        raise StockError(
            "finishing_cut", "The finishing cut is deeper than a roughing cut: type a smaller one."
        )


def _check_dial(dial: Dial | None) -> None:
    if dial is None:
        return
    if dial.per_turn_nm is not None and dial.per_turn_nm <= 0:
        raise StockError("per_turn", "One turn of the dial must be more than nothing: type one such as 2 mm.")
    if dial.touch_off_nm < 0:
        raise StockError(
            "touch_off", "The dial cannot read below nothing: type what stands on it, such as 0.35 mm."
        )
    if dial.per_turn_nm is not None and dial.touch_off_nm > dial.per_turn_nm:
        raise StockError("touch_off", "The dial cannot read more than its one turn: read it again.")


def _check_guard(size_now_nm: int, cut_nm: int, finished_nm: int, tolerance_nm: int) -> None:
    for field, nm in (("size", size_now_nm), ("cut", cut_nm), ("finished", finished_nm)):
        if nm <= 0:
            raise StockError(
                field, f"The {field.replace('_', ' ')} must be more than nothing: type it again."
            )
    if tolerance_nm < 0:
        raise StockError("tolerance", "The tolerance cannot be below nothing: type 0 or more.")
