"""Metal left on a face after each logged size: the cuts to go, when to stop, and go or stop for one cut."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from domain.lengths import Unit, show
from domain.stock.cuts import (
    DialTo,
    FeedDial,
    PlannedCut,
    StopKind,
    StopSign,
    check_cut,
    cut_guard,
    planned_cuts,
    wind_to,
)
from domain.stock.sharing import DERIVED, BadShare, badly_shared, share_metal, signed
from domain.stock.sizes import (
    LEAST_CUT_NM,
    Face,
    FinishedSizes,
    RoughSizes,
    SizesNow,
    StockError,
    finished_faces,
    rough_faces,
)
from domain.working import Working

# Half of the last figure shown, 0.0001 in: a depth typed as it was shown is no deeper.
_SHOWN_NM = 1_270


@dataclass(frozen=True)
class Left:
    """Metal on one face, nm, below 0 where the size is lost, and the size it is read from.

    least_size_nm is the finished size that must not be lost; first_in_all_nm and last_nm are the rim's or boss's metal
    on the side that is faced first, from rough, and on the other, and last_best_nm what that one would have by the
    best share; None on a diameter or once faced. off_nm is the eccentricity taken off a diameter: size_nm
    is then the largest it can be turned to all round.
    """

    size_nm: int
    stock_nm: int
    least_size_nm: int
    first_in_all_nm: int | None = None
    last_nm: int | None = None
    last_best_nm: int | None = None
    off_nm: int = 0


@dataclass(frozen=True)
class MetalLeft:
    """Metal left on a face, nm at right angles to it, 0 where there is none, and what to do.

    size_nm is the size now, least_size_nm the finished one. stop is None while the next cut may be taken; warning is
    None while back and front are well shared. off_nm is the eccentricity of a diameter still as it came, which size_nm
    is twice that smaller for. first: whether it is of the side that is faced first.
    """

    face: Face
    size_nm: int
    least_size_nm: int
    stock_nm: int
    cuts: tuple[PlannedCut, ...]
    stop: StopSign | None
    warning: BadShare | None
    off_nm: int
    workings: tuple[Working, ...]
    first: bool = False


@dataclass(frozen=True)
class CutAnswer:
    """Whether a cut may be taken, and what is left after it, below 0 past the size within what may be under.

    after_nm is the size it leaves and dial where to wind to, None at a stop.
    """

    left: MetalLeft
    cut_nm: int
    finishing_cut_nm: int
    go: bool
    after_nm: int | None = None
    dial: DialTo | None = None

    @property
    def rest_nm(self) -> int:
        """Depth of metal left after the cut."""
        return self.left.stock_nm - self.cut_nm


def metal_left(
    face: Face,
    now: SizesNow,
    finished: FinishedSizes,
    roughing_depth_nm: int,
    finishing_cut_nm: int,
    *,
    rough: RoughSizes | None = None,
    dial: FeedDial | None = None,
    proposed_cut_nm: int | None = None,
    tolerance_nm: int = 0,
    over_nm: int = 0,
    least_cut_nm: int = LEAST_CUT_NM,
    unit: Unit = Unit.MM,
) -> MetalLeft:
    """Metal left on a face, the cuts that take it off, and the stop sign before one too many.

    Formula: see left_on, cut_depths, cut_guard
    Parameters: `roughing_depth_nm`, above 0, `finishing_cut_nm`, above 0 and not deeper;
    `rough`, as the casting came, for the back's share; `dial`, touched off at the size now; `proposed_cut_nm`, the
    cut a person is about to take, one roughing cut when None, and not deeper than one; `tolerance_nm`, how far under
    still passes; `over_nm`, how much left on a face still is at size: a diameter is brought to its figure.
    Raises: StockError naming the size that is wanted or cannot be.
    Source: geometry; the cuts are common practice, no source.

    >>> now = SizesNow(rim_thickness_nm=18_300_000, rim_back_faced=True)
    >>> left = metal_left(Face.RIM_FRONT, now, FinishedSizes(None, None, 17_000_000, None), 500_000, 100_000)
    >>> left.stock_nm, len(left.cuts), left.stop
    (1300000, 4, None)
    """
    check_cut(proposed_cut_nm, tolerance_nm)
    check_cut(None, over_nm)
    left = left_on(face, now, finished, rough or RoughSizes(), unit)
    stock = max(0, left.stock_nm)
    at_size = not face.on_diameter and stock <= over_nm
    cuts = planned_cuts(
        left.size_nm,
        0 if at_size else stock,
        roughing_depth_nm,
        finishing_cut_nm,
        on_diameter=face.on_diameter,
        dial=dial,
    )
    cut = roughing_depth_nm if proposed_cut_nm is None else proposed_cut_nm
    stop = _stop(face, left, cut, finishing_cut_nm, tolerance_nm, at_size=at_size)
    if stop is None and cut > roughing_depth_nm + _SHOWN_NM:
        many = len(cuts) if cut >= stock else -(-cut // roughing_depth_nm)
        stop = StopSign(StopKind.TOO_DEEP, roughing_depth_nm, cut_nm=cut, in_cuts=many)
    warning = None
    if left.first_in_all_nm is not None and left.last_nm is not None:
        warning = badly_shared(
            left.first_in_all_nm,
            left.last_nm,
            least_cut_nm,
            left.least_size_nm,
            now_nm=left.size_nm,
            last_best_nm=left.last_best_nm,
            front_first=now.front_first,
        )
    return MetalLeft(
        face,
        left.size_nm,
        left.least_size_nm,
        stock,
        cuts=cuts,
        stop=stop,
        warning=warning,
        off_nm=left.off_nm,
        workings=_workings(face, left, cuts, unit),
        first=not face.on_diameter and now.is_first(face),
    )


def _stop(
    face: Face, left: Left, cut_nm: int, finishing_nm: int, tolerance_nm: int, *, at_size: bool
) -> StopSign | None:
    """The stop sign that matters most."""
    under = left.least_size_nm - left.size_nm
    if under > tolerance_nm:
        return StopSign(StopKind.UNDER_SIZE, under_nm=under)
    stock = left.stock_nm
    if stock <= 0 or at_size:
        return StopSign(StopKind.AT_SIZE)
    if stock < finishing_nm:
        return StopSign(StopKind.LAST_CUT, stock)
    stop = cut_guard(left.size_nm, cut_nm, left.least_size_nm, face.on_diameter, tolerance_nm)
    past = cut_nm - stock
    if left.last_nm is None or past <= tolerance_nm:
        return stop
    # Both sides of this thickness still want metal: only this side's share may come off here.
    if stop is None:
        return StopSign(StopKind.PAST_SHARE, stock, past, cut_nm)
    return StopSign(stop.kind, stock, stop.under_nm, cut_nm)


def _workings(face: Face, left: Left, cuts: tuple[PlannedCut, ...], unit: Unit) -> tuple[Working, ...]:
    size, least = show(left.size_nm, unit), show(left.least_size_nm, unit)
    formula, numbers = "size now - finished", f"{size} - {least}"
    if face.on_diameter:
        formula, numbers = "(size now - finished) / 2", f"({numbers}) / 2"
    elif left.last_nm is not None:
        other = left.size_nm - left.least_size_nm - left.stock_nm
        formula += ", less the other face's share"
        numbers += f" - {show(other, unit)}"
    if left.off_nm:
        formula += ", the size now being the rough one less twice its eccentricity"
        numbers += f", from {show(left.size_nm + 2 * left.off_nm, unit)} - 2 x {show(left.off_nm, unit)}"
    metal = Working(f"metal left on the {face.words}", formula, numbers, signed(left.stock_nm, unit), DERIVED)
    if not cuts:
        return (metal,)
    return (
        metal,
        Working(
            "cuts to go",
            "roughing cuts until one finishing cut is left; a remainder smaller than that goes with it",
            _sum(cuts, unit),
            f"{len(cuts)}",
            "common practice, no source",
        ),
    )


def _sum(cuts: tuple[PlannedCut, ...], unit: Unit) -> str:
    """The depths in a row, those alike taken together."""
    alike = [(nm, len(list(group))) for nm, group in groupby(cut.depth_nm for cut in cuts)]
    return " + ".join(f"{many} x {show(nm, unit)}" if many > 1 else show(nm, unit) for nm, many in alike)


def left_on(
    face: Face, now: SizesNow, finished: FinishedSizes, rough: RoughSizes, unit: Unit = Unit.MM
) -> Left:
    """Depth of metal left on a face.

    Formula: diameter: (now - finished) / 2 - eccentricity, half a nanometre goes down; thickness: now - finished is
    left in all; with the back faced all of it is at the front; before that the back has its best share of the rough
    casting (share_metal) less what has gone; a boss behind a faced rim: proud now - proud on the drawing. Where the front
    is faced first, front and back change places, and a boss has its share whatever the rim
    Parameters: heights not known of `rough` are taken from `now`; what has gone before the first side is faced has gone
    from that side.
    Raises: StockError naming the size that is wanted or cannot be.
    Source: derived here; no published source.

    >>> now, drawn = SizesNow(rim_thickness_nm=19_000_000), FinishedSizes(None, None, 17_000_000, None)
    >>> left_on(Face.RIM_BACK, now, drawn, RoughSizes(rim_height_nm=20_000_000)).stock_nm
    500000
    """
    size, least = _sizes(face, now, finished)
    if face.on_diameter:
        off = now.off(face)
        if off < 0:
            raise StockError("The eccentricity cannot be below nothing: read it again.", "eccentricity")
        return Left(size - 2 * off, (size - 2 * off - least) // 2, least, off_nm=off)
    in_all = size - least
    if now.first_faced(face):
        return Left(size, min(0, in_all) if now.is_first(face) else in_all, least)
    first, gone = _first_side(face, now, finished, rough, size_nm=size, unit=unit)
    if in_all <= 0:
        return Left(size, in_all, least)
    # What is past its figure on the first side is missing on the other; the first has no more than there is.
    best = in_all - first
    first = max(0, min(first, in_all))
    stock = first if now.is_first(face) else in_all - first
    return Left(
        size,
        stock,
        least,
        first_in_all_nm=gone + first,
        last_nm=in_all - first,
        last_best_nm=best,
    )


def _first_side(
    face: Face, now: SizesNow, finished: FinishedSizes, rough: RoughSizes, size_nm: int, unit: Unit
) -> tuple[int, int]:
    """Metal still to come off the side that is faced first, and what has gone there."""
    came = rough.rim_height_nm if face.on_rim else rough.boss_height_nm
    came = size_nm if came is None else came
    if size_nm > came:
        name = face.measured
        raise StockError(
            f"The {name} cannot be thicker than it came, {show(came, unit)}: measure it again.",
            f"{name}_thickness",
        )
    gone = came - size_nm
    if not face.on_rim and now.rim_back_faced and not now.front_first:
        if now.boss_proud_back_nm is None:
            raise _wanted("boss_proud_back", "how much the boss stands proud of the faced rim at the back")
        return now.boss_proud_back_nm - finished.boss_proud_back_nm, gone
    planned = _planned(face, now, finished, rough, unit)
    if planned is None:
        raise _wanted("boss_proud_back", "how much the boss stood proud of the rim at the back as it came")
    return planned - gone, gone


def _planned(face: Face, now: SizesNow, finished: FinishedSizes, rough: RoughSizes, unit: Unit) -> int | None:
    """What the first side of the rim or boss has by the best share of the rough casting."""
    rim = now.rim_thickness_nm if rough.rim_height_nm is None else rough.rim_height_nm
    boss = now.boss_thickness_nm if rough.boss_height_nm is None else rough.boss_height_nm
    proud = now.boss_proud_back_nm if rough.boss_proud_back_nm is None else rough.boss_proud_back_nm
    if rim is None:
        raise _wanted("rim_thickness", "the rim's thickness")
    if finished.rim_width_nm is None:
        raise _wanted("rim_width", "the drawing's rim width")
    drawn = finished_faces(finished.rim_width_nm, finished.boss_length_nm, finished.boss_proud_back_nm, unit)
    # The best place does not depend on what is needed, so nothing is asked for here.
    shares = share_metal(rough_faces(rim, boss, proud, unit), drawn, 0, 0, unit)
    if now.front_first:
        return shares.stock(Face.RIM_FRONT if face.on_rim else Face.BOSS_FRONT)
    return shares.stock(Face.RIM_BACK if face.on_rim else Face.BOSS_BACK)


def _sizes(face: Face, now: SizesNow, finished: FinishedSizes) -> tuple[int, int]:
    """The size now and the finished one; a figure has its field and its name in the sentence."""
    size, least = now.of(face), finished.of(face)
    measured, drawn = _NAMED.get(face, _NAMED[Face.RIM_BACK if face.on_rim else Face.BOSS_BACK])
    if size is None:
        raise _wanted(measured[0], f"the {measured[1]}")
    if least is None:
        raise _wanted(drawn[0], f"the drawing's {drawn[1]}")
    for (field, name), nm in ((measured, size), (drawn, least)):
        if nm <= 0:
            raise StockError(f"The {name} must be more than nothing: measure it again.", field)
    return size, least


_NAMED = {
    Face.RIM_BACK: (("rim_thickness", "rim thickness"), ("rim_width", "rim width")),
    Face.BOSS_BACK: (("boss_thickness", "boss thickness"), ("boss_length", "boss length")),
    Face.OVER_FLANGE: (("over_flange", "over flange"), ("flange_depth", "flange depth")),
    Face.TREAD: (("tread", "tread"), ("tread_diameter", "tread diameter")),
    Face.CENTRE: (("centre_outside", "outside of the wheel centre"), ("tyre_inside", "tyre's inside")),
}


def _wanted(field: str, words: str) -> StockError:
    return StockError(f"Cannot tell the metal left: type {words} first.", field)


def answer_cut(
    left: MetalLeft, cut_nm: int, finishing_cut_nm: int, dial: FeedDial | None = None
) -> CutAnswer:
    """Go or stop for one cut.

    Formula: stop where metal_left stops for this cut; a last cut no deeper than what is left may be taken; size
    after = size now - cut (twice the cut on a diameter)
    Parameters: `left`, metal_left asked with this very cut as `proposed_cut_nm`; `cut_nm`, depth, above 0;
    `finishing_cut_nm`, above 0; `dial`, touched off at the size now.
    Raises: StockError for a cut of nothing.
    Source: arithmetic; a finishing cut is left: common practice, no source.

    >>> now = SizesNow(rim_thickness_nm=11_300_000, rim_back_faced=True)
    >>> drawn = FinishedSizes(None, None, 10_000_000, None)
    >>> left = metal_left(Face.RIM_FRONT, now, drawn, 1_000_000, 200_000, proposed_cut_nm=500_000)
    >>> answer = answer_cut(left, 500_000, 200_000)
    >>> answer.go, answer.after_nm
    (True, 10800000)
    """
    check_cut(cut_nm, 0)
    stop = left.stop
    last = stop is not None and stop.kind is StopKind.LAST_CUT and cut_nm <= stop.left_nm
    if stop is not None and not last:
        return CutAnswer(left, cut_nm, finishing_cut_nm, go=False)
    after = left.size_nm - cut_nm * (2 if left.face.on_diameter else 1)
    wind = None if dial is None else wind_to(dial, cut_nm)
    return CutAnswer(left, cut_nm, finishing_cut_nm, go=True, after_nm=after, dial=wind)
