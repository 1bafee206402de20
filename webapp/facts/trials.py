"""A casting tried on a seat: what would be said of it there, all in all."""

from __future__ import annotations

from webapp.facts.overall import Overall, overall
from webapp.facts.places import Move, Place, place_of, rearranged
from webapp.records.views import BuildView, CastingView


class Trials:
    """Every casting is judged on a seat once, however often it is asked about while a sheet is drawn."""

    def __init__(self, build: BuildView) -> None:
        self._build = build
        self._found: dict[tuple[int, Place], Overall] = {}

    def on(self, casting: CastingView, place: tuple[int, str]) -> Overall:
        """What is said of a casting with a logged bore on this seat; who is there now makes room."""
        key = (casting.id, place)
        if key not in self._found:
            self._found[key] = self._judged(casting, place)
        return self._found[key]

    def _judged(self, casting: CastingView, place: tuple[int, str]) -> Overall:
        build = self._build
        if place_of(casting) != place:
            axle = build.axle(place[0])
            holder = axle.at(place[1]) if axle else None
            room = [Move(holder, place, None)] if holder else []
            build = rearranged(build, [*room, Move(casting, place_of(casting), place)])
        there = build.casting(casting.id)
        found = overall(build, there) if there else None
        assert found is not None  # it is of this build, and has a bore
        return found
