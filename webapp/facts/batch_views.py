"""A batch and its turns as pages show them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from domain.route.set_ups import SetUp, Work
from domain.route.shop import Hold
from domain.route.stages import Stage
from domain.route.words import set_up_title
from webapp.records.views import CastingView

LOGS = (Work.LOG_BORE, Work.CRANKPIN_HOLE, Work.JIG_HOLE, Work.HOLE_ON_AXLE, Work.LOG_THROW)
# A turn that stands so may be ticked. One that is doubted is nobody's next: a judge says first what is to be put right.
TICKED_SO = ("open", "doubted", "passed")
# Short names of how a turn stands, with the words for them.
STATES = {
    "open": "to do",
    "doubted": "first to be put right",
    "passed": "skipped for now",
    "done": "done",
    "stuck": "cannot go on",
    "out": "left out",
}


@dataclass(frozen=True, slots=True)
class TurnView:
    """One wheel's turn, or one axle's: how it stands, and what is still to be done on it here."""

    ordinal: int
    castings: tuple[CastingView, ...]
    where: str
    state: str
    works: tuple[Work, ...] = ()
    words: str = ""
    # Of one that is doubted for nothing of its own: what else it waits for.
    waits_for: str = ""

    @property
    def marks(self) -> str:
        """The mark, or both."""
        return " and ".join(casting.mark for casting in self.castings)

    @property
    def state_words(self) -> str:
        """How it stands."""
        return f"waits for {self.waits_for}" if self.waits_for else STATES[self.state]


@dataclass(frozen=True, slots=True)
class BatchView:
    """A batch with its turns in order."""

    id: int
    build_id: int
    set_up: SetUp
    who: str
    at: datetime
    ended: bool
    turns: tuple[TurnView, ...] = ()

    def of(self, *states: str) -> tuple[TurnView, ...]:
        """The turns that stand so."""
        return tuple(turn for turn in self.turns if turn.state in states)

    @property
    def title(self) -> str:
        """The set-up as a heading."""
        return set_up_title(self.set_up)

    @property
    def done(self) -> int:
        """How many turns are done."""
        return len(self.of("done"))

    @property
    def total(self) -> int:
        """How many turns there are to do in it at all."""
        return len(self.turns) - len(self.of("out"))

    @property
    def marks_to_do(self) -> tuple[str, ...]:
        """The wheels that have their turn before them now."""
        return tuple(casting.mark for turn in self.of("open") for casting in turn.castings)

    @property
    def marks_left(self) -> str:
        """The wheels that still have their turn before them, skipped ones too."""
        return ", ".join(turn.marks for turn in self.of(*TICKED_SO, "stuck"))

    @property
    def skipped(self) -> tuple[Hold, ...]:
        """The wheels passed over while this batch runs: what comes next is planned without them."""
        if self.ended:
            return ()
        return tuple(
            Hold(
                casting.id,
                f"{casting.mark} was skipped {self.set_up.words}: take it up again in that batch.",
                _first_stage(turn.works),
            )
            for turn in self.of("passed")
            for casting in turn.castings
        )


def _first_stage(works: Sequence[Work]) -> Stage | None:
    """The stage before which a skipped wheel is held; measuring needs no more than the bore."""
    if not works or works[0] is Work.ROUGH_PAINT:
        return None  # no cut comes before the paint in the rough
    return Stage.BORED if works[0] in LOGS else works[0].stage
