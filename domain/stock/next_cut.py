"""Go or stop: the cut a person is about to take on a face."""

from __future__ import annotations

from dataclasses import dataclass

from domain.lengths import Unit, show
from domain.stock.cut_types import Dial, DialTo, StopKind
from domain.stock.cuts import wind_to
from domain.stock.metal_left import MetalLeft
from domain.stock.types import StockError


@dataclass(frozen=True)
class CutAnswer:
    """Whether the cut may be taken; after_nm is the size it leaves and dial where to wind to, None at a stop."""

    go: bool
    words: str
    after_nm: int | None = None
    dial: DialTo | None = None


def answer_cut(
    left: MetalLeft, cut_nm: int, finishing_cut_nm: int, dial: Dial | None = None, unit: Unit = Unit.MM
) -> CutAnswer:
    """Go or stop for one cut.

    Formula: stop where metal_left stops for this cut; a last cut no deeper than what is left may be taken; size
    after = size now - cut (twice the cut on a diameter)
    Parameters: `left`, metal_left asked with this very cut as `proposed_cut_nm`; `cut_nm`, depth, above 0;
    `finishing_cut_nm`, above 0; `dial`, touched off at the size now; `unit`, for the words.
    Returns: the answer with the size after the cut, nm, and the dial.
    Raises: StockError for a cut of nothing.
    Source: arithmetic; a finishing cut is left: common practice, no source.

    >>> from domain.stock.metal_left import Face, FinishedSizes, SizesNow, metal_left
    >>> now = SizesNow(rim_thickness_nm=11_300_000, rim_back_faced=True)
    >>> drawn = FinishedSizes(None, None, 10_000_000, None)
    >>> left = metal_left(Face.RIM_FRONT, now, drawn, 1_000_000, 200_000, proposed_cut_nm=500_000)
    >>> answer = answer_cut(left, 500_000, 200_000)
    >>> answer.go, answer.after_nm
    (True, 10800000)
    """
    if cut_nm <= 0:
        raise StockError("cut", "The cut must be more than nothing: type it again.")
    stop = left.stop
    last = stop is not None and stop.kind is StopKind.LAST_CUT and cut_nm <= stop.left_nm
    if stop is not None and not last:
        return CutAnswer(False, stop.words)
    after = left.size_nm - cut_nm * (2 if left.face.on_diameter else 1)
    rest = left.stock_nm - cut_nm
    words = (
        f"A cut of {show(cut_nm, unit)} brings the {_measured(left)} from {show(left.size_nm, unit)}"
        f" to {show(after, unit)}."
    )
    return CutAnswer(
        True,
        words + _rest_words(left, rest, finishing_cut_nm, unit),
        after,
        None if dial is None else wind_to(dial, cut_nm),
    )


def _measured(left: MetalLeft) -> str:
    return left.face.words if left.face.on_diameter else left.face.words.split(maxsplit=1)[0]


def _rest_words(left: MetalLeft, rest_nm: int, finishing_nm: int, unit: Unit) -> str:
    on = "of depth " if left.face.on_diameter else ""
    if rest_nm < 0:
        return f" That is {show(-rest_nm, unit)} {on}past the size, within what may be under: take no more."
    if rest_nm == 0:
        return " It is the last cut: then the face is at size."
    if rest_nm >= finishing_nm:
        return f" {show(rest_nm, unit)} {on}is left then."
    words = f" That leaves {show(rest_nm, unit)}, less than a finishing cut"
    first = left.cuts[0]
    if len(left.cuts) == 1:
        # Where not even a finishing cut was left before, there is nothing better to say.
        whole = f": {show(left.stock_nm, unit)} deep instead takes it all at once"
        return f"{words}{whole if left.stock_nm > finishing_nm else ''}."
    return f"{words}: {show(first.depth_nm, unit)} deep instead leaves enough for the last."
