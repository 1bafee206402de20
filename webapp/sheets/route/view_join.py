"""Wheels that came to their place after a batch was started: which can join it, and why another cannot yet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from domain.route.planning import turns_now
from domain.route.types import SetUp
from webapp.facts.batch_guard import objection_in
from webapp.facts.batch_views import BatchView
from webapp.facts.planned import cure_holds, planned_wheels
from webapp.records.views import BuildView, CastingView


@dataclass(frozen=True, slots=True)
class Joining:
    """Wheels that get the work of a running batch together, and where they are."""

    castings: tuple[CastingView, ...]
    where: str

    @property
    def marks(self) -> str:
        """The mark, or both."""
        return " and ".join(casting.mark for casting in self.castings)

    @property
    def sent(self) -> str:
        """Their numbers, as the form sends them."""
        return " ".join(str(casting.id) for casting in self.castings)


@dataclass(frozen=True, slots=True)
class Later:
    """A wheel that cannot join yet, and why."""

    casting_id: int
    mark: str
    words: str


@dataclass(frozen=True, slots=True)
class Newcomers:
    """What can join a batch now, and the wheels in a lost wheel's place that cannot."""

    joining: tuple[Joining, ...] = ()
    later: tuple[Later, ...] = ()


def newcomers(build: BuildView, batch: BatchView) -> Newcomers:
    """The wheels in work that are not in a running batch and are due for its set-up; none for one that is ended."""
    if batch.ended:
        return Newcomers()
    listed = {casting.id for turn in batch.turns for casting in turn.castings}
    found = []
    holds = cure_holds(build)
    for turn in turns_now(planned_wheels(build), build.route, build.fit == "bond", batch.set_up, holds=holds):
        new = (build.casting(key) for key in turn.keys if key not in listed)
        castings = tuple(casting for casting in new if casting is not None)
        if castings:
            found.append(Joining(castings, turn.where))
    free = {casting.id for one in found for casting in one.castings}
    in_place = (casting for casting in _in_lost_places(build, batch) if casting.id not in free | listed)
    why = {hold.key: hold.why for hold in holds}
    later = (
        Later(one.id, one.mark, _later_words(build, batch.set_up, one, why.get(one.id, "")))
        for one in in_place
    )
    return Newcomers(tuple(found), tuple(dict.fromkeys(later)))


def _in_lost_places(build: BuildView, batch: BatchView) -> Iterable[CastingView]:
    """The wheels that stand now where a scrapped wheel of the batch stood."""
    for turn in batch.of("out"):
        for lost in turn.castings:
            axle = build.axle(lost.scrapped_from_axle_id)
            there = axle.at(lost.scrapped_from_side or "") if axle else None
            if there is not None:
                yield there


def _later_words(build: BuildView, set_up: SetUp, casting: CastingView, held: str) -> str:
    stage, who = set_up.stage, f"{casting.mark}, in the place of a wheel that was scrapped,"
    if casting.has(stage):
        return f"{who} is {stage.words} already: this batch has nothing to do on it."
    objection = objection_in(build, set_up, casting)
    why = held or (objection.words if objection else "")
    words = f"{who} is not ready for this batch. {why}".strip()
    return f"{words} It comes in a later batch, or can be put into this one as soon as it is ready."
