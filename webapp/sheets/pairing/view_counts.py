"""How many wheels are good, and what a pairing gains, in the words the sheet has for each wheel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.answer import Answer, worst
from domain.lengths import Unit
from domain.pairing.words import nearer_words
from webapp.facts.pairing import PairingGroup
from webapp.facts.wheel_joint import WheelJoint


@dataclass(frozen=True, slots=True)
class Counts:
    """Wheels by what is said of them; `untold` are those the measurements cannot tell."""

    serves: int
    caution: int
    untold: int
    fails: int

    @property
    def _each(self) -> tuple[tuple[Answer, int], ...]:
        return tuple(zip(Answer, (self.serves, self.caution, self.untold, self.fails), strict=True))

    @property
    def worst(self) -> Answer | None:
        """The worst said of any; None where there is none."""
        said = [answer for answer, count in self._each if count]
        return worst(*said) if said else None

    @property
    def words(self) -> str:
        """The counts in words; what is none is not said."""
        said = [f"{count} {answer.words}" for answer, count in self._each if count]
        if len(said) > 1:
            return f"{', '.join(said[:-1])} and {said[-1]}"
        return said[0] if said else "none is placed"


def counts_of(said: Sequence[WheelJoint]) -> Counts:
    """How often each was said."""
    return Counts(*(sum(one.answer is answer for one in said) for answer in Answer))


def gain_of(group: PairingGroup, unit: Unit) -> str:
    """What the proposed places gain over today's, in a sentence."""
    found, best, today = group.pairing, counts_of(group.best), counts_of(group.today)
    if not found.best.placed:
        return found.gain
    if not found.moves:
        # "The best" of what does not fit is no praise.
        bad = any(one.answer is Answer.NOT for one in group.best)
        said = "No change of places makes it better" if bad else "Today's places are already the best"
        return f"{said}: {best.words}."
    if best != today:
        return f"{best.words}; today {today.words}."
    return f"{best.words}, {nearer_words(found.best, found.today, unit)}"
