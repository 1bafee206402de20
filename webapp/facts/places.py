"""The places of a build's castings, and castings that change theirs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from webapp.records.views import BuildView, CastingView

Place = tuple[int, str] | None
"""An axle's id and a side; None is among the spares."""


@dataclass(frozen=True, slots=True)
class Move:
    """A casting that changes its place."""

    casting: CastingView
    start: Place
    end: Place


def place_of(casting: CastingView) -> Place:
    """Where a casting is."""
    return None if casting.axle_id is None or casting.side is None else (casting.axle_id, casting.side)


def place_words(build: BuildView, place: Place) -> str:
    """A place in words."""
    if place is None:
        return "the spares"
    axle = build.axle(place[0])
    return axle.place_words(place[1]) if axle else "an axle that is no longer in the build"


def move_words(build: BuildView, move: Move) -> str:
    """A move in words."""
    return f"{move.casting.mark} from {place_words(build, move.start)} to {place_words(build, move.end)}"


def rearranged(build: BuildView, moves: Iterable[Move]) -> BuildView:
    """The build as it would be with these castings moved."""
    moved = {move.casting.id: move for move in moves}
    whole = build.whole
    castings = tuple(_at(c, moved[c.id].end) if c.id in moved else c for c in whole.castings)
    at = {place: casting for casting in castings if (place := place_of(casting)) is not None}
    axles = tuple(
        replace(axle, left=at.get((axle.id, "left")), right=at.get((axle.id, "right")))
        for axle in whole.axles
    )
    after = replace(whole, castings=castings, axles=axles)
    return after if build.pattern is None else after.of(build.pattern)


def _at(casting: CastingView, place: Place) -> CastingView:
    axle_id, side = place or (None, None)
    return replace(casting, state="in_work" if place else "spare", axle_id=axle_id, side=side)
