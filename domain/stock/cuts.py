"""From metal left to cuts and dial readings, and the stop sign before the size is lost."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from domain.stock.sizes import StockError

MOST_CUTS = 500  # more is a slip of the finger in the depth, not a day's work


class CutPurpose(StrEnum):
    """A cut that takes metal away, or the last one, for size and finish."""

    ROUGHING = "roughing"
    FINISHING = "finishing"


class StopKind(StrEnum):
    """Why the screen says stop."""

    UNDER_SIZE = "under_size"
    AT_SIZE = "at_size"
    WOULD_GO_UNDER = "would_go_under"
    PAST_SHARE = "past_share"
    LAST_CUT = "last_cut"
    TOO_DEEP = "too_deep"


@dataclass(frozen=True)
class FeedDial:
    """A feed dial: what it read when the tool touched the surface, nm, and how it counts.

    It counts up as the tool goes in. per_turn_nm is what one whole turn reads, None where the dial counts on
    (a digital one). A diametral dial, as on some cross slides, reads twice the depth of cut.
    """

    touch_off_nm: int
    per_turn_nm: int | None = None
    diametral: bool = False


@dataclass(frozen=True)
class DialTo:
    """Where to wind a dial to, nm: counted on from its zero, and as whole turns and what then stands on it."""

    absolute_nm: int
    turns: int | None = None
    on_dial_nm: int | None = None


@dataclass(frozen=True)
class PlannedCut:
    """One cut: its depth at right angles to the surface, the size after it, and the dial; nm."""

    kind: CutPurpose
    depth_nm: int
    size_after_nm: int
    dial: DialTo | None = None


@dataclass(frozen=True)
class StopSign:
    """A stop sign before a cut of cut_nm: left_nm is the depth that may still come off, under_nm how far below size,
    or past its share, it is or would go; in_cuts is how many a cut too deep for one pass is taken in.
    """

    kind: StopKind
    left_nm: int = 0
    under_nm: int = 0
    cut_nm: int = 0
    in_cuts: int = 0


def cut_depths(
    stock_nm: int, roughing_depth_nm: int, finishing_cut_nm: int
) -> tuple[tuple[CutPurpose, int], ...]:
    """The cuts that take the metal away, kind and depth: roughing, the first under the skin, and one for finish.

    Formula: roughing cuts of the whole depth until stock - finishing cut is gone, the last of them what remains;
    then the finishing cut, or all there is where that is less. A remainder smaller than the finishing cut is no cut of
    its own: it goes with the finishing cut where both are no deeper than a roughing cut, else the two are made even.
    The depths add up to the stock exactly
    Parameters: `stock_nm`, depth of metal, 0 or less gives no cut; `roughing_depth_nm`, above 0;
    `finishing_cut_nm`, above 0 and not deeper than a roughing cut.
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
        raise StockError(f"That depth would want {whole} cuts: type a deeper roughing cut.", "roughing_depth")
    if 0 < rest < finishing_cut_nm:
        last, rest = _evened(last + rest, roughing_depth_nm)
    rough = [(CutPurpose.ROUGHING, roughing_depth_nm)] * whole + (
        [(CutPurpose.ROUGHING, rest)] if rest else []
    )
    return (*rough, (CutPurpose.FINISHING, last))


def _evened(both_nm: int, roughing_depth_nm: int) -> tuple[int, int]:
    """The last cut, and the one before it or 0, of what a finishing cut and too small a remainder are together."""
    return (both_nm, 0) if both_nm <= roughing_depth_nm else (both_nm // 2, both_nm - both_nm // 2)


def planned_cuts(
    size_now_nm: int,
    stock_nm: int,
    roughing_depth_nm: int,
    finishing_cut_nm: int,
    on_diameter: bool,
    dial: FeedDial | None = None,
) -> tuple[PlannedCut, ...]:
    """The cuts with the size after each, and the reading to wind to.

    Formula: size after = size - depth (twice the depth on a diameter); dial = touch-off + depth so far (twice the
    depth on a diametral dial)
    Parameters: as cut_depths; `dial`, its touch-off at the size now.
    Raises: StockError for a depth or a dial that cannot be.
    Source: geometry.

    >>> dial = FeedDial(1_900_000, 2_000_000)
    >>> cut = planned_cuts(100_400_000, 200_000, 500_000, 200_000, on_diameter=True, dial=dial)[0]
    >>> cut.size_after_nm, cut.dial
    (100000000, DialTo(absolute_nm=2100000, turns=1, on_dial_nm=100000))
    """
    _check_dial(dial)
    cuts, gone = [], 0
    for kind, depth in cut_depths(stock_nm, roughing_depth_nm, finishing_cut_nm):
        gone += depth
        after = size_now_nm - gone * (2 if on_diameter else 1)
        cuts.append(PlannedCut(kind, depth, after, None if dial is None else wind_to(dial, gone)))
    return tuple(cuts)


def wind_to(dial: FeedDial, depth_nm: int) -> DialTo:
    """The dial reading for a depth below where the tool touched, turns counted from the dial's zero.

    Formula: touch-off + depth (twice the depth on a diametral dial), then whole turns and what is left
    Source: geometry.

    >>> wind_to(FeedDial(0, 2_000_000, diametral=True), 1_250_000)
    DialTo(absolute_nm=2500000, turns=1, on_dial_nm=500000)
    """
    reading = dial.touch_off_nm + depth_nm * (2 if dial.diametral else 1)
    if dial.per_turn_nm is None:
        return DialTo(reading)
    return DialTo(reading, *divmod(reading, dial.per_turn_nm))


def cut_guard(
    size_now_nm: int, cut_nm: int, finished_nm: int, on_diameter: bool, tolerance_nm: int = 0
) -> StopSign | None:
    """The stop sign before a cut that would go under size, or None where it may be taken.

    Formula: stop where size - cut (twice the cut on a diameter) < finished size - tolerance
    Parameters: `cut_nm`, depth at right angles to the surface, above 0; `tolerance_nm`, how far under the finished
    size still passes, 0 or more.
    Raises: StockError for a figure that cannot be.
    Source: arithmetic.

    >>> stop = cut_guard(18_400_000, 500_000, 18_000_000, False)
    >>> stop.under_nm, stop.left_nm
    (100000, 400000)
    >>> cut_guard(18_400_000, 400_000, 18_000_000, False) is None
    True
    """
    check_cut(cut_nm, tolerance_nm)
    times = 2 if on_diameter else 1
    under = finished_nm - (size_now_nm - cut_nm * times)
    if under <= tolerance_nm:
        return None
    left = max(0, size_now_nm - finished_nm) // times
    return StopSign(StopKind.WOULD_GO_UNDER, left, under, cut_nm)


def check_cut(cut_nm: int | None, tolerance_nm: int) -> None:
    """Refuse a cut of nothing, and a tolerance below nothing."""
    if tolerance_nm < 0:
        raise StockError("The tolerance cannot be below nothing: type 0 or more.", "tolerance")
    if cut_nm is not None and cut_nm <= 0:
        raise StockError("The cut must be more than nothing: type it again.", "cut")


def _check_depths(roughing_depth_nm: int, finishing_cut_nm: int) -> None:
    if roughing_depth_nm <= 0:
        raise StockError(
            "A roughing cut must be more than nothing: type one such as 0.5 mm.", "roughing_depth"
        )
    if finishing_cut_nm <= 0:
        raise StockError(
            "A finishing cut must be more than nothing: type one such as 0.1 mm.", "finishing_cut"
        )
    if finishing_cut_nm > roughing_depth_nm:
        raise StockError(
            "The finishing cut is deeper than a roughing cut: type a smaller one.", "finishing_cut"
        )


def _check_dial(dial: FeedDial | None) -> None:
    if dial is None:
        return
    if dial.per_turn_nm is not None and dial.per_turn_nm <= 0:
        raise StockError(
            "One whole turn of the dial must be more than nothing: type one such as 2 mm.", "per_turn"
        )
    if dial.touch_off_nm < 0:
        raise StockError(
            "The dial cannot read below nothing: type what stands on it, such as 0.35 mm.", "touch_off"
        )
    if dial.per_turn_nm is not None and dial.touch_off_nm > dial.per_turn_nm:
        raise StockError("The dial cannot read more than one whole turn of it: read it again.", "touch_off")
