"""What was in doubt at a tick and let pass, for as long as it is in doubt: a judge who says good now has settled it."""

from __future__ import annotations

from collections.abc import Iterable

from domain.route.stages import tickable
from webapp.facts.before_tick import asked_again
from webapp.records.views import AxleView, BuildView, CastingView, Stamp


def let_pass(build: BuildView, casting: CastingView) -> tuple[tuple[str, Stamp], ...]:
    """What is still in doubt of what was let pass on a wheel, by the stage or step in words.

    The judges are asked again what they would ask before that tick: with nothing left to ask, all is good by what was
    measured since. The journal keeps what was let pass.
    """
    found = (
        (tickable(key), stamp)
        for key, stamp in casting.ticks.items()
        if stamp.let_pass and asked_again(build, casting, key) is not None
    )
    return tuple((what.words, stamp) for what, stamp in found if what is not None)


def passed_of(build: BuildView, axles: Iterable[AxleView]) -> tuple[tuple[str, str, Stamp], ...]:
    """What was let pass on the wheels of axles and is still in doubt: mark, stage, and who let it pass, when and why."""
    return tuple(
        (wheel.mark, stage, stamp)
        for axle in axles
        for wheel in axle.wheels
        for stage, stamp in let_pass(build, wheel)
    )
