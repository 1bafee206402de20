"""The domain's answer on one face, for sizes that can be trusted. Asks no database.

A tick may say that metal is off which no size shows: a size from before the cut must not pass for the present one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from domain.lengths import show
from domain.lengths.systems import KeptAsShown
from domain.route.guards import Order, needed
from domain.route.stages import Stage, Step, steps, tickable
from domain.stock.cuts import FeedDial
from domain.stock.metal_left import MetalLeft, metal_left
from domain.stock.sizes import Face, StockError
from webapp.facts.lost import centre_may_be_under_nm, terms_for, tread_may_be_under_nm
from webapp.facts.metal_sizes import (
    KEYS,
    TICKS,
    faces_of,
    is_as_came,
    receipt_nm,
    rough_of,
    sizes_now,
    terms_of,
    with_rim_faced,
)
from webapp.records.views import BuildView, CastingView, Measured

_NOT_RECEIVED = "how thick it came is not written down, so back and front cannot share the metal."
_NAMES = {
    "rim_height": "the rim's thickness",
    "boss_height": "the boss's thickness",
    "over_flange": "the diameter over the flange",
    "tread": "the tread",
    "centre_outside": "the outside of the wheel centre",
}
# The tyre is turned straight across, then stepped down: whatever of it is done, the rough rim is gone.
_TURNED = tuple(step.key for step in steps(Stage.TREAD_TURNED, coupled=True) if step.cuts_tyre)

# Asked anew after every write, and seldom of other sizes.
_left = KeptAsShown(metal_left, 1024)


class MeasureFirst(StockError):
    """Sizes from which nothing can be said; `brief` says why, without what to do."""

    def __init__(self, brief: str) -> None:
        super().__init__(f"Measure first: {brief}")
        self.brief = brief


class Unseen(MeasureFirst):
    """A tick says that metal is off which no size shows; `cut` is the face it came off, None where any of that metal."""

    def __init__(self, brief: str, cut: Face | None = None) -> None:
        super().__init__(brief)
        self.cut = cut


def ask_metal(
    build: BuildView,
    casting: CastingView,
    face: Face,
    *,
    dial: FeedDial | None = None,
    cut_nm: int | None = None,
) -> MetalLeft:
    """The answer on a face; raises Unseen where it must be measured first, StockError where something cannot be."""
    return _ask(build, casting, face, _gone_nm(build, casting, face), dial=dial, cut_nm=cut_nm)


def cuts_left(build: BuildView, casting: CastingView, key: str) -> Iterator[MetalLeft]:
    """The faces this tick calls done that have cuts left by a size logged as they were cut: the tick asks about them.

    A size from before this work, or as it came, says nothing of it.
    """
    for face in faces_of(build, casting):
        stage, step = TICKS[face]
        if key not in (stage.value, step) or face.on_diameter or not _logged_at(build, casting, face, stage):
            continue
        try:
            left = ask_metal(build, casting, face)
        except StockError:
            continue  # the sheet of the metal says what is to be measured first
        if left.cuts:
            yield left


def not_after(build: BuildView, casting: CastingView, key: str) -> Iterator[Face]:
    """The faces this stage's tick calls done of which no size was logged while they were cut, or one as it came alone.

    Of the diameters the tread: that of the flange nobody needs, and a tyre's seat is asked for with its tyre.
    """
    for face, (stage, _) in TICKS.items():
        asked = key == stage.value and face not in (Face.OVER_FLANGE, Face.CENTRE)
        if asked and not _logged_at(build, casting, face, stage):
            yield face


def _logged_at(build: BuildView, casting: CastingView, face: Face, stage: Stage) -> bool:
    """Whether the size of a face was logged while this stage was worked on."""
    size = _size_of(casting, face)
    if size is None or size.rough or is_as_came(casting, face):
        return False
    before = (casting.ticks.get(one.value) for one in needed(stage, build.order_of(casting)))
    return all(stamp is None or stamp.at < size.at for stamp in before)


def _gone_nm(build: BuildView, casting: CastingView, face: Face) -> int:
    """How much of the size, within what may be under, has gone since it was logged, by the ticks."""
    size, least = sizes_now(build, casting).of(face), terms_for(build, casting).finished.of(face)
    if size is None or least is None or size <= least:
        return 0  # nothing to cut, whatever has gone
    if is_as_came(casting, face):
        why = _rough_undone_by(build, casting, face)
        if why is not None:
            name = _NAMES[KEYS[face]]
            raise Unseen(f"{why}, but {name} is still logged as it came: measure it, and log it.")
        return 0
    return _gone_since_nm(build, casting, face, size - least)


def _gone_since_nm(build: BuildView, casting: CastingView, face: Face, in_all_nm: int) -> int:
    """As _gone_nm, for a size that was logged: it may be from before the last cut."""
    gone = 0
    front_first = build.order_of(casting).front_first
    for done, key in _ticked_since(build, casting, face):
        at_first = _at_first_nm(build, casting, done) if done.is_back is not front_first else in_all_nm
        gone = max(gone, in_all_nm if at_first is None else at_first)
        if gone > terms_of(build.of(casting)).tolerance_nm:
            raise Unseen(_stale_words(build, casting, face, key), done)
    return gone


def _at_first_nm(build: BuildView, casting: CastingView, first: Face) -> int | None:
    """What was still to come off the side faced first at the size logged; None where that cannot be told."""
    try:
        return _ask(build, _without_ticks_of(casting, first), first, 0).stock_nm
    except StockError:
        return None


def _stale_words(build: BuildView, casting: CastingView, face: Face, key: str) -> str:
    size = _size_of(casting, face)
    assert size is not None  # it was logged before that tick
    return (
        f"“{_words_of(key)}” was ticked after {_NAMES[KEYS[face]]} was logged as {show(size.nm, build.unit)}, and"
        " there was metal to come off then. Measure it again, and log it."
    )


def _ask(
    build: BuildView,
    casting: CastingView,
    face: Face,
    gone_nm: int,
    dial: FeedDial | None = None,
    cut_nm: int | None = None,
) -> MetalLeft:
    terms, came = terms_for(build, casting), rough_of(receipt_nm(casting.receipt))
    now = sizes_now(build, casting, front_first=build.order_of(casting).front_first)
    may_be_under = terms.tolerance_nm
    if face is Face.TREAD and "tread" in casting.sizes:
        may_be_under = tread_may_be_under_nm(build, casting)
    if face is Face.CENTRE:
        may_be_under = centre_may_be_under_nm(build, casting)

    def ask(of: Face) -> MetalLeft:
        return _left(
            of,
            now,
            terms.finished,
            terms.rough_cut_nm,
            terms.finish_cut_nm,
            rough=came,
            dial=dial,
            proposed_cut_nm=cut_nm,
            tolerance_nm=may_be_under - gone_nm,
            over_nm=terms.tolerance_nm - gone_nm,
            least_cut_nm=terms.least_cut_nm,
            unit=build.unit,
        )

    rim_done = now.first_faced(Face.RIM_BACK)
    if not face.on_diameter and not rim_done and now.of(face) is not None:
        if (came.rim_height_nm if face.on_rim else came.boss_height_nm) is None:
            raise MeasureFirst(_NOT_RECEIVED)
        if not face.on_rim and not now.front_first and not ask(Face.RIM_BACK).cuts:
            now = with_rim_faced(casting, now)
    return ask(face)


def _done_key(build: BuildView, casting: CastingView, face: Face) -> str | None:
    """The first tick that says a face is done: its own, or one that can only follow it."""
    stage, step = TICKS[face]
    own = [key for key in (stage.value, step) if key in casting.ticks]
    order = build.order_of(casting)
    found = own or [key for key in casting.ticks if stage in _follows(key, order)]
    return min(found, key=lambda key: casting.ticks[key].at, default=None)


@cache
def _follows(key: str, order: Order) -> tuple[Stage, ...]:
    """The stages that must have been ticked before this stage or step was."""
    what = order.tickable(key)
    if isinstance(what, Step) and what.after is not None:
        return (*needed(what.after, order), what.after)
    stage = what.stage if isinstance(what, Step) else what
    return needed(stage, order) if stage is not None else ()


def _rough_undone_by(build: BuildView, casting: CastingView, face: Face) -> str | None:
    """Why the rough size of a face cannot be the present one, in words; None where it may be."""
    key = _cut_key(build, casting, face)
    if key is not None:
        return f"“{_words_of(key)}” is ticked"
    if face is Face.OVER_FLANGE and "tread" in casting.sizes:
        return "the tread is turned and logged"
    return None


def _cut_key(build: BuildView, casting: CastingView, face: Face) -> str | None:
    for one in _alike(face):
        found = _done_key(build, casting, one)
        if found is not None:
            return found
    return next((key for key in _TURNED if key in casting.ticks), None) if face.on_diameter else None


def _alike(face: Face) -> tuple[Face, ...]:
    """The faces that take from the same metal."""
    if face is Face.CENTRE:
        return (face,)
    if face.on_diameter:
        return (Face.OVER_FLANGE, Face.TREAD)
    return tuple(one for one in KEYS if KEYS[one] == KEYS[face])


def _ticked_since(build: BuildView, casting: CastingView, face: Face) -> Iterator[tuple[Face, str]]:
    """The faces of this metal said to be done by a tick no earlier than its size was logged."""
    size = _size_of(casting, face)
    for one in _alike(face):
        key = _done_key(build, casting, one)
        # On a diameter only its own tick says that it is at size.
        if size is None or key is None or KEYS[one] != KEYS[face]:
            continue
        if casting.ticks[key].at >= size.at:
            yield one, key


def _size_of(casting: CastingView, face: Face) -> Measured | None:
    """The size logged last of a face's metal, the rough one of a thickness too."""
    return casting.sizes.get(KEYS[face])


def _without_ticks_of(casting: CastingView, face: Face) -> CastingView:
    """The casting as it was before this face was ticked as done."""
    gone = {TICKS[face][0].value, TICKS[face][1]}
    return replace(casting, ticks={key: at for key, at in casting.ticks.items() if key not in gone})


def _words_of(key: str) -> str:
    """What stands beside a tick."""
    what = tickable(key)
    return what.words if what is not None else key
