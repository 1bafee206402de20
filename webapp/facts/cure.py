"""The cure clock of a build's bonds: what must still wait, and until when."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime

from domain.joints.cure import CureClock, CureTimes, Needs, cure_clock, held_until
from domain.route.guards import Objection, Strength, after_fixing
from domain.route.stages import Stage
from webapp.facts.joint_terms import cure_figures
from webapp.records.views import BuildView, CastingView
from webapp.typed.joint_figures import placeholders

# What may not begin before the bond can be handled; fixing the second wheel and quartering in one go may.
_WORK = {stage.value: stage.doing for stage in after_fixing()}
_LOAD = "load it (heavy cuts, running)"


def _clock(build: BuildView, casting: CastingView) -> CureClock | None:
    """The clock of a bonded wheel; it is taken to be bonded when it was ticked so."""
    stamp = casting.ticks.get(Stage.PRESSED.value)
    if build.fit != "bond" or stamp is None:
        return None
    figures = cure_figures(build)
    minutes, hours = figures.number("handling"), figures.number("full_cure")
    if minutes > 0:
        return cure_clock(stamp.at, CureTimes(minutes, hours))
    # A handling time of nothing holds nothing; the domain's clock knows only compounds that take time.
    return replace(cure_clock(stamp.at, CureTimes(hours * 60, hours)), handle_after=stamp.at)


def objection_to_haste(
    build: BuildView, wheels: Iterable[CastingView], key: str, now: datetime
) -> Objection | None:
    """Why the next operation on these wheels must wait for a bond, and until when; None when it need not."""
    for wheel in wheels:
        words, clock = curing_words(build, wheel, key, now), _clock(build, wheel)
        if words and clock is not None:
            return Objection(Strength.CONFIRM, f"{words} {_why(build, clock)}")
    return None


def curing_words(build: BuildView, wheel: CastingView, key: str, now: datetime) -> str:
    """Until when a wheel's bond holds its next operation, in one sentence; empty where it does not."""
    clock = _clock(build, wheel) if key in _WORK else None
    hold = held_until(now.astimezone(), clock, Needs.HANDLING, _WORK[key]) if clock else None
    return f"{wheel.mark}: {hold.words}" if hold and hold.held else ""


def _why(build: BuildView, clock: CureClock) -> str:
    figures = cure_figures(build)
    whose = "a placeholder" if placeholders(figures, "handling") else "as typed for this build"
    return (
        f"It was ticked as bonded at {clock.bonded_at.astimezone():%H:%M}, and {figures.number('handling'):g} minutes"
        f" are allowed before it is handled ({whose}). If it was bonded earlier, or your compound's data sheet says"
        " less, go on; the sheet's own time can be typed under “What the joints must carry”."
    )


def hold_words(build: BuildView, casting: CastingView, now: datetime | None = None) -> str:
    """What a bonded wheel must still wait for; empty once it is fully cured, or where nothing is bonded."""
    clock = _clock(build, casting)
    if clock is None:
        return ""
    here = (now or datetime.now(UTC)).astimezone()
    handle = held_until(here, clock, Needs.HANDLING, "handle it or go on")
    load = held_until(here, clock, Needs.LOADING, _LOAD)
    if not load.held:
        return ""
    return f"{handle.words} {load.words}" if handle.held else load.words
