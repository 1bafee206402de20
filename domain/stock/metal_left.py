"""Metal left on a face after each logged size: the cuts to go, the dial to wind to, and when to stop."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from domain.lengths import Unit, show
from domain.stock import metal_left_words as say
from domain.stock.castings import FinishedSizes, RoughSizes
from domain.stock.cut_types import BadShare, Cut, CutKind, Dial, DialTo, Stop, StopKind
from domain.stock.cuts import cut_guard, planned_cuts
from domain.stock.now import Left, SizesNow, left_on
from domain.stock.sharing import badly_shared
from domain.stock.types import LEAST_CUT_NM, Face, StockError
from domain.stock.words import DERIVED, signed
from domain.working import Working

__all__ = [
    "BadShare",
    "Cut",
    "CutKind",
    "Dial",
    "DialTo",
    "Face",
    "FinishedSizes",
    "MetalLeft",
    "RoughSizes",
    "SizesNow",
    "StockError",
    "Stop",
    "StopKind",
    "badly_shared",
    "cut_guard",
    "metal_left",
]

# Half of the last figure shown, 0.0001 in: a depth typed as it was shown is no deeper.
SHOWN_NM = 1_270


@dataclass(frozen=True)
class MetalLeft:
    """Metal left on a face, nm at right angles to it, 0 where there is none, and what to do.

    size_nm is the size now; to_nm the size this face is cut to (at the back, the figure that leaves the front its
    share). stop is None while the next cut may be taken; warning is None while back and front are well shared.
    off_nm is the eccentricity of a diameter still as it came, which size_nm is twice that smaller for.
    """

    face: Face
    size_nm: int
    to_nm: int
    stock_nm: int
    cuts: tuple[Cut, ...]
    roughing: int
    stop: Stop | None
    warning: BadShare | None
    words: str
    workings: tuple[Working, ...]
    off_nm: int = 0

    @property
    def dial_to_wind_to(self) -> tuple[DialTo, ...]:
        """The dial after each cut, in order; empty where no dial was given."""
        return tuple(cut.dial for cut in self.cuts if cut.dial is not None)


def metal_left(
    face: Face,
    now: SizesNow,
    finished: FinishedSizes,
    roughing_depth_nm: int,
    finishing_cut_nm: int,
    *,
    rough: RoughSizes | None = None,
    dial: Dial | None = None,
    proposed_cut_nm: int | None = None,
    tolerance_nm: int = 0,
    least_cut_nm: int = LEAST_CUT_NM,
    unit: Unit = Unit.MM,
) -> MetalLeft:
    """Metal left on a face, the cuts that take it off, and the stop sign before one too many.

    Formula: see left_on, cut_depths, cut_guard
    Parameters: `now`, `finished`, nm; `roughing_depth_nm`, above 0, `finishing_cut_nm`, above 0 and not deeper;
    `rough`, as the casting came, for the back's share; `dial`, touched off at the size now; `proposed_cut_nm`, the
    cut a person is about to take, one roughing cut when None, and not deeper than one; `tolerance_nm`, how far under
    still passes.
    Returns: lengths in nm.
    Raises: StockError naming the size that is wanted or cannot be.
    Source: geometry; the cuts are common practice, no source.

    >>> now = SizesNow(rim_thickness_nm=18_300_000, rim_back_faced=True)
    >>> left = metal_left(Face.RIM_FRONT, now, FinishedSizes(None, None, 17_000_000, None), 500_000, 100_000)
    >>> left.stock_nm, left.roughing, left.stop
    (1300000, 3, None)
    """
    if tolerance_nm < 0:
        raise StockError("tolerance", "The tolerance cannot be below nothing: type 0 or more.")
    if proposed_cut_nm is not None and proposed_cut_nm <= 0:
        raise StockError("cut", "The cut must be more than nothing: type it again.")
    left = left_on(face, now, finished, rough or RoughSizes(), unit)
    stock = max(0, left.stock_nm)
    cuts = planned_cuts(left.size_nm, stock, roughing_depth_nm, finishing_cut_nm, face.on_diameter, dial)
    cut = roughing_depth_nm if proposed_cut_nm is None else proposed_cut_nm
    stop = _stop(face, left, cut, finishing_cut_nm, tolerance_nm, unit)
    if stop is None and cut > roughing_depth_nm + SHOWN_NM:
        many = len(cuts) if cut >= stock else -(-cut // roughing_depth_nm)
        words = say.too_deep(cut, roughing_depth_nm, many, unit)
        stop = Stop(StopKind.TOO_DEEP, roughing_depth_nm, 0, words)
    warning = None
    if left.back_in_all_nm is not None and left.front_nm is not None:
        warning = badly_shared(
            left.back_in_all_nm,
            left.front_nm,
            least_cut_nm,
            left.least_size_nm,
            left.size_nm,
            left.front_best_nm,
            unit,
        )
    return MetalLeft(
        face,
        left.size_nm,
        left.size_nm - stock * _times(face),
        stock,
        cuts,
        sum(one.kind is CutKind.ROUGHING for one in cuts),
        stop,
        warning,
        say.summary(face, stock, cuts, stop, unit),
        _workings(face, left, cuts, unit),
        left.off_nm,
    )


def _stop(
    face: Face, left: Left, cut_nm: int, finishing_nm: int, tolerance_nm: int, unit: Unit
) -> Stop | None:
    """The stop sign that matters most."""
    under = left.least_size_nm - left.size_nm
    if under > tolerance_nm and left.off_nm and left.size_nm + 2 * left.off_nm >= left.least_size_nm:
        # Nothing is lost yet: set true to the outside it might do.
        return Stop(StopKind.UNDER_SIZE, 0, under, say.not_round(face, under, unit))
    if under > tolerance_nm:
        return Stop(StopKind.UNDER_SIZE, 0, under, say.under_size(face, under, unit))
    stock = left.stock_nm
    if stock <= 0:
        return Stop(StopKind.AT_SIZE, 0, 0, say.at_size(face, left, unit))
    if stock < finishing_nm:
        return Stop(StopKind.LAST_CUT, stock, 0, say.last_cut(stock, face.on_diameter, unit))
    stop = cut_guard(left.size_nm, cut_nm, left.least_size_nm, face.on_diameter, tolerance_nm, unit)
    past = cut_nm - stock
    if left.front_nm is None or past <= tolerance_nm:
        return stop
    # Both sides of this thickness still want metal: only this side's share may come off here.
    if stop is None:
        return Stop(StopKind.PAST_SHARE, stock, past, say.past_share(cut_nm, past, stock, unit))
    words = say.would_go_under(cut_nm, stop.under_nm, stock, False, unit)
    return Stop(stop.kind, stock, stop.under_nm, words)


def _workings(face: Face, left: Left, cuts: tuple[Cut, ...], unit: Unit) -> tuple[Working, ...]:
    formula, numbers = (
        "(size now - finished) / 2",
        f"({show(left.size_nm, unit)} - {show(left.least_size_nm, unit)}) / 2",
    )
    if left.off_nm:
        formula += ", the size now being the rough one less twice its eccentricity"
        numbers += f", from {show(left.size_nm + 2 * left.off_nm, unit)} - 2 x {show(left.off_nm, unit)}"
    if not face.on_diameter:
        formula, numbers = "size now - finished", numbers.strip("(").removesuffix(") / 2")
        if left.front_nm is not None:
            formula = "size now - finished, less the other face's share"
            other = left.front_nm if face.is_back else left.size_nm - left.least_size_nm - left.front_nm
            numbers += f" - {show(other, unit)}"
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


def _sum(cuts: tuple[Cut, ...], unit: Unit) -> str:
    """The depths in a row, those alike taken together."""
    alike = [(nm, len(list(group))) for nm, group in groupby(cut.depth_nm for cut in cuts)]
    return " + ".join(f"{many} x {show(nm, unit)}" if many > 1 else show(nm, unit) for nm, many in alike)


def _times(face: Face) -> int:
    return 2 if face.on_diameter else 1
