"""Metal that a tick says is off, and that no size shows: a size from before the cut must not pass for the present one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from domain.route.guards import Order, needed
from domain.route.stages import Stage, Step, tickable
from domain.stock.types import Face
from webapp.facts.metal_sizes import TICKS
from webapp.records.views import BuildView, CastingView, Measured

# The tyre is turned straight across, then stepped down: whatever of it is done, the rough rim is gone.
_TURNED = ("tread_turned.to_size", "tread_turned.flange", "tread_turned.edge")
KEYS = {
    Face.RIM_BACK: "rim_height",
    Face.RIM_FRONT: "rim_height",
    Face.BOSS_BACK: "boss_height",
    Face.BOSS_FRONT: "boss_height",
    Face.OVER_FLANGE: "over_flange",
    Face.TREAD: "tread",
}


def done_key(build: BuildView, casting: CastingView, face: Face) -> str | None:
    """The first tick that says a face is done: its own, or one that can only follow it."""
    stage, step = TICKS[face]
    own = [key for key in (stage.value, step) if key in casting.ticks]
    order = build.order_of(casting)
    found = own or [key for key in casting.ticks if stage in _follows(key, order)]
    return min(found, key=lambda key: casting.ticks[key].at, default=None)


def _follows(key: str, order: Order) -> tuple[Stage, ...]:
    """The stages that must have been ticked before this stage or step was."""
    what = tickable(key)
    if isinstance(what, Step) and what.after is not None:
        return (*needed(what.after, order), what.after)
    stage = what.stage if isinstance(what, Step) else what
    return needed(stage, order) if stage in order.stages else ()


def rough_undone_by(build: BuildView, casting: CastingView, face: Face) -> str | None:
    """Why the rough size of a face cannot be the present one, in words; None where it may be."""
    key = _cut_key(build, casting, face)
    if key is not None:
        return f"“{words_of(key)}” is ticked"
    if face is Face.OVER_FLANGE and "tread" in casting.sizes:
        return "the tread is turned and logged"
    return None


def _cut_key(build: BuildView, casting: CastingView, face: Face) -> str | None:
    for one in alike(face):
        found = done_key(build, casting, one)
        if found is not None:
            return found
    return next((key for key in _TURNED if key in casting.ticks), None) if face.on_diameter else None


def alike(face: Face) -> tuple[Face, ...]:
    """The faces that take from the same metal."""
    if face.on_diameter:
        return (Face.OVER_FLANGE, Face.TREAD)
    return tuple(one for one in KEYS if KEYS[one] == KEYS[face])


def ticked_since(build: BuildView, casting: CastingView, face: Face) -> Iterator[tuple[Face, str]]:
    """The faces of this metal said to be done by a tick no earlier than its size was logged."""
    size = size_of(casting, face)
    for one in alike(face):
        key = done_key(build, casting, one)
        # On a diameter only its own tick says that it is at size.
        if size is None or key is None or KEYS[one] != KEYS[face]:
            continue
        if _at(casting, key) >= size.at:
            yield one, key


def _at(casting: CastingView, key: str) -> datetime:
    return casting.ticks[key].at


def size_of(casting: CastingView, face: Face) -> Measured | None:
    """The size logged last of a face's metal, the rough one of a thickness too."""
    return casting.sizes.get(KEYS[face])


def without_ticks_of(casting: CastingView, face: Face) -> CastingView:
    """The casting as it was before this face was ticked as done."""
    gone = {TICKS[face][0].value, TICKS[face][1]}
    return replace(casting, ticks={key: at for key, at in casting.ticks.items() if key not in gone})


def words_of(key: str) -> str:
    """What stands beside a tick."""
    what = tickable(key)
    return what.words if what is not None else key
