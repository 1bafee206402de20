"""What was in doubt at a tick and let pass, for as long as it is in doubt: a judge who says good now has settled it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from domain.route.stages import tickable
from webapp.facts.before_tick import asked_again
from webapp.records.views import AxleView, BuildView, CastingView, Stamp


def let_pass(build: BuildView, casting: CastingView) -> tuple[tuple[str, Stamp], ...]:
    """What is still in doubt of what was let pass on a wheel, by the stage or step in words.

    The judges are asked again what they would ask before that tick: with nothing left to ask, all is good by what was
    measured since; of several things those that are settled are told no more. The journal keeps what was let pass.
    """
    found = (
        (tickable(key), _left(stamp, asked.each))
        for key, stamp in casting.ticks.items()
        if stamp.let_pass and (asked := asked_again(build, casting, key)) is not None
    )
    return tuple((what.words, stamp) for what, stamp in found if what is not None)


def _left(stamp: Stamp, asked: Iterable[str]) -> Stamp:
    """With what is asked in the very words that were let pass; with all of it where the judges say it otherwise by now."""
    same = " ".join(words for words in asked if words in stamp.let_pass)
    return replace(stamp, let_pass=same) if same else stamp


def passed_of(build: BuildView, axles: Iterable[AxleView]) -> tuple[tuple[str, str, Stamp], ...]:
    """What was let pass on the wheels of axles and is still in doubt: mark, stage, and who let it pass, when and why."""
    return tuple(
        (wheel.mark, stage, stamp)
        for axle in axles
        for wheel in axle.wheels
        for stage, stamp in let_pass(build, wheel)
    )
