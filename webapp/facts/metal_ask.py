"""The domain's answer on one face, for sizes that can be trusted. Asks no database."""

from __future__ import annotations

from domain.lengths import show
from domain.stock.cut_types import Dial
from domain.stock.metal_left import MetalLeft, metal_left
from domain.stock.types import Face, StockError
from webapp.facts.metal_sizes import is_as_came, sizes_now, terms_of, with_rim_faced
from webapp.facts.metal_unseen import (
    KEYS,
    rough_undone_by,
    size_of,
    ticked_since,
    without_ticks_of,
    words_of,
)
from webapp.facts.receiving import receipt_nm, rough_of
from webapp.records.views import BuildView, CastingView

_NOT_RECEIVED = (
    "Measure first: how thick it came is not written down, so back and front cannot share the metal."
)
_NAMES = {
    "rim_height": "the rim's thickness",
    "boss_height": "the boss's thickness",
    "over_flange": "the diameter over the flange",
    "tread": "the tread",
}


class Unseen(StockError):
    """A tick says that metal is off which no size shows; its text is the sentence for the page."""


def ask_metal(
    build: BuildView, casting: CastingView, face: Face, *, dial: Dial | None = None, cut_nm: int | None = None
) -> MetalLeft:
    """The answer on a face; raises Unseen where it must be measured first, StockError where something cannot be."""
    return _ask(build, casting, face, _gone_nm(build, casting, face), dial, cut_nm)


def _gone_nm(build: BuildView, casting: CastingView, face: Face) -> int:
    """How much of the size, within what may be under, has gone since it was logged, by the ticks."""
    finished, now = terms_of(build).finished, sizes_now(casting)
    size, least = {
        "rim_height": (now.rim_thickness_nm, finished.rim_width_nm),
        "boss_height": (now.boss_thickness_nm, finished.boss_length_nm),
        "over_flange": (now.over_flange_nm, finished.over_flange_nm),
        "tread": (now.tread_nm, finished.tread_diameter_nm),
    }[KEYS[face]]
    if size is None or least is None or size <= least:
        return 0  # nothing to cut, whatever has gone
    if is_as_came(casting, face):
        why = rough_undone_by(build, casting, face)
        if why is not None:
            raise Unseen(KEYS[face], _rough_words(face, why))
        return 0
    return _gone_since_nm(build, casting, face, size - least)


def _gone_since_nm(build: BuildView, casting: CastingView, face: Face, in_all_nm: int) -> int:
    """As _gone_nm, for a size that was logged: it may be from before the last cut."""
    gone = 0
    for done, key in ticked_since(build, casting, face):
        at_back = _at_back_nm(build, casting, done) if done.is_back else in_all_nm
        gone = max(gone, in_all_nm if at_back is None else at_back)
        if gone > terms_of(build).tolerance_nm:
            raise Unseen(KEYS[face], _stale_words(build, casting, face, key))
    return gone


def _at_back_nm(build: BuildView, casting: CastingView, back: Face) -> int | None:
    """What was still to come off the back at the size logged; None where that cannot be told."""
    try:
        return _ask(build, without_ticks_of(casting, back), back, 0, None, None).stock_nm
    except StockError:
        return None


def _rough_words(face: Face, why: str) -> str:
    name = _NAMES[KEYS[face]]
    return f"Measure first: {why}, but {name} is still logged as it came: measure it, and log it."


def _stale_words(build: BuildView, casting: CastingView, face: Face, key: str) -> str:
    size = size_of(casting, face)
    assert size is not None  # it was logged before that tick
    return (
        f"Measure first: “{words_of(key)}” was ticked after {_NAMES[KEYS[face]]} was logged as"
        f" {show(size.nm, build.unit)}, and there was metal to come off then. Measure it again, and log it."
    )


def _ask(
    build: BuildView, casting: CastingView, face: Face, gone_nm: int, dial: Dial | None, cut_nm: int | None
) -> MetalLeft:
    terms, now, came = terms_of(build), sizes_now(casting), rough_of(receipt_nm(casting.receipt))

    def ask(of: Face) -> MetalLeft:
        return metal_left(
            of,
            now,
            terms.finished,
            terms.rough_cut_nm,
            terms.finish_cut_nm,
            rough=came,
            dial=dial,
            proposed_cut_nm=cut_nm,
            tolerance_nm=terms.tolerance_nm - gone_nm,
            least_cut_nm=terms.least_cut_nm,
            unit=build.unit,
        )

    on_boss = face in (Face.BOSS_BACK, Face.BOSS_FRONT)
    known = now.boss_thickness_nm if on_boss else now.rim_thickness_nm
    if not face.on_diameter and not now.rim_back_faced and known is not None:
        key, wanted = ("boss_height", came.boss_height_nm) if on_boss else ("rim_height", came.rim_height_nm)
        if wanted is None:
            raise StockError(key, _NOT_RECEIVED)
        if on_boss and ask(Face.RIM_BACK).stock_nm == 0:
            now = with_rim_faced(casting, now)
    return ask(face)
