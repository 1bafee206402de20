"""The cure clock of a build's bonds: what must still wait, and until when."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from domain.cutting.speeds import cut_torque_nm, cutting_force, iron_force
from domain.joints.cure import (
    UNTIMED_BOND,
    UNTOLD,
    CureClock,
    CureTimes,
    CutHold,
    Needs,
    cure_clock,
    cut_hold,
    cut_hold_words,
    held_until,
    untimed_words,
)
from domain.joints.held import Bonded, Forced
from domain.joints.judge import Finding
from domain.route.guards import after_fixing
from domain.route.stages import Stage, Step, tickable
from webapp.facts.clock import clock_doubted
from webapp.facts.joint_terms import cure_figures
from webapp.facts.mandrel import on_stub, stub_bond
from webapp.facts.work_figures import work_figures
from webapp.records.stubs import StubTurnView, StubView
from webapp.records.views import BuildView, CastingView
from webapp.typed.joint_figures import placeholders

# What may not begin before the bond can be handled. Quartering may: it is done before the bond sets, not after.
_WORK: dict[Stage, str] = {stage: stage.doing for stage in after_fixing() if stage is not Stage.QUARTERED}


def _clock(build: BuildView, casting: CastingView) -> CureClock | None:
    """The clock of a bonded wheel; it is taken to be bonded when it was ticked so."""
    stamp = casting.ticks.get(Stage.PRESSED.value)
    return None if build.fit != "bond" or stamp is None else clock_from(build, stamp.since)


def clock_from(build: BuildView, since: datetime) -> CureClock:
    """The clock of a bond of this build's compound that was made then."""
    figures = cure_figures(build)
    minutes, hours = figures.number("handling"), figures.number("full_cure")
    if minutes > 0:
        return cure_clock(since, CureTimes(minutes, hours))
    # A handling time of nothing holds nothing; the domain's clock knows only compounds that take time.
    return replace(cure_clock(since, CureTimes(hours * 60, hours)), handle_after=since)


def curing_words(
    build: BuildView,
    wheel: CastingView,
    joint: Finding | None,
    key: str,
    now: datetime,
    *,
    brief: bool = False,
    doubted: bool = False,
) -> str:
    """What keeps a wheel's joint from its next operation at this hour, and until when; empty where nothing does.

    A small step that cuts the tyre is asked about as its stage is; what one of the two let pass, the other does not ask.
    brief: without where the times are from, for a line that is read at every look. doubted: `now` is of a clock that
    cannot be trusted, so nothing is called cured by it, and the tick that begins a cure is asked about.
    """
    if doubted and build.fit == "bond" and key == Stage.PRESSED.value and not wheel.has(Stage.PRESSED):
        return f"{wheel.mark}: {UNTIMED_BOND}"
    stage = worked(wheel, key)
    said, why = _kept(build, wheel, joint, stage, now, doubted) if stage else ("", "")
    words = f"{wheel.mark}: {said}{why}"
    if not said or any(stamp.let_pass == words for stamp in wheel.ticks.values()):
        return ""
    return f"{wheel.mark}: {said}" if brief else words


def worked(wheel: CastingView, key: str) -> Stage | None:
    """The stage whose work a tick says is done; none where no joint minds it, or the stage itself says so already."""
    what = tickable(key)
    if isinstance(what, Step):
        return what.closed_by if what.cuts_tyre and not wheel.has(what.closed_by) else None
    return what if what in _WORK else None


def _kept(
    build: BuildView,
    wheel: CastingView,
    joint: Finding | None,
    stage: Stage,
    now: datetime,
    doubted: bool,
) -> tuple[str, str]:
    """What keeps it from this stage's work, and where the times are from."""
    clock, tread = _clock(build, wheel), stage is Stage.TREAD_TURNED
    stub = on_stub(build, wheel) if tread else None
    if stub is not None:
        return _kept_by_stub(build, wheel, *stub, now, doubted)
    found = tread_cut(build, wheel, joint, now) if tread else None
    untold = "" if found is not None and found.never else _untold(build, wheel, doubted)
    if untold:
        said, clock = untold, clock if doubted else None
    elif found is not None:
        said = cut_hold_words(found, now.astimezone(), build.unit)
        clock = clock if found.until else None
    elif clock is not None:
        # Of a joint that cannot be worked out only the full cure is known to be enough for a cut.
        needs = Needs.LOADING if tread else Needs.HANDLING
        hold = held_until(now.astimezone(), clock, needs, _WORK[stage])
        said = hold.words if hold.held else ""
    else:
        said = ""
    return said, f" {_why(build, clock)}" if said and clock is not None else ""


def _kept_by_stub(
    build: BuildView, wheel: CastingView, stub: StubView, turn: StubTurnView, now: datetime, doubted: bool
) -> tuple[str, str]:
    """The same of a wheel on a stub; one that is not bonded there waits for nothing."""
    found = stub_cut(build, wheel, stub, turn, now)
    if found is None:
        return "", ""
    clock = clock_from(build, turn.on_at)
    if not found.never and (turn.untimed or doubted):
        return stub_untold(build, turn), f" {_why(build, clock, on_stub=True)}" if doubted else ""
    said = cut_hold_words(found, now.astimezone(), build.unit, on_stub=True)
    return said, f" {_why(build, clock, on_stub=True)}" if found.until else ""


def off_stub_asked(
    build: BuildView, wheel: CastingView, stub: StubView, turn: StubTurnView, now: datetime, *, doubted: bool
) -> str:
    """What is asked before a wheel comes off its stub; empty once its bond may be handled, or where nothing cures."""
    if not stub.hold.cures:
        return ""
    clock = clock_from(build, turn.on_at)
    hold = held_until(now.astimezone(), clock, Needs.HANDLING, "take it off its stub")
    if turn.untimed or doubted:
        return f"{wheel.mark}: {stub_untold(build, turn)}"
    return f"{wheel.mark}: {hold.words} {_why(build, clock, on_stub=True)}" if hold.held else ""


def stub_untold(build: BuildView, turn: StubTurnView) -> str:
    """Why nobody can tell how long a stub's bond has cured, where its clock or the present one is doubted."""
    return untimed_words(cure_figures(build).number("full_cure")) if turn.untimed else UNTOLD


def stub_cut(
    build: BuildView,
    wheel: CastingView,
    stub: StubView,
    turn: StubTurnView,
    now: datetime,
    *,
    finishing: bool = False,
) -> CutHold | None:
    """A cut over a wheel's flange, as the build has it planned, against what its stub's bond holds at this hour.

    None where no compound holds it, or what it holds cannot be worked out.
    """
    bond = stub_bond(build, stub, wheel)
    if bond is None:
        return None
    torque = tread_torque_nm(build.of(wheel), finishing=finishing)
    return cut_hold(torque, _holds_nm(bond), now, clock_from(build, turn.on_at))


def _untold(build: BuildView, wheel: CastingView, doubted: bool) -> str:
    """Why nobody can tell how long a bond has cured; empty where that can be told, or where nothing cures."""
    if _clock(build, wheel) is None:
        return ""
    if UNTIMED_BOND in wheel.ticks[Stage.PRESSED.value].let_pass:
        return untimed_words(cure_figures(build).number("full_cure"))
    return UNTOLD if doubted else ""


def tread_cut(build: BuildView, wheel: CastingView, joint: Finding | None, now: datetime) -> CutHold | None:
    """The tread's roughing cut, as the build has it planned, against what the wheel's joint holds at this hour.

    None for a wheel that is not on its axle, or whose joint cannot be worked out: the tick that put it there asked.
    """
    if joint is None or joint.carried is None or not wheel.has(Stage.PRESSED):
        return None
    return cut_hold(
        tread_torque_nm(build.of(wheel)), _holds_nm(joint.carried.held), now, _clock(build, wheel)
    )


def _holds_nm(held: Forced | Bonded) -> float:
    """What it holds with no reserve taken off: the cut has its own."""
    return held.counted_nm * (held.joint.sheet.safety if isinstance(held, Bonded) else 1.0)


def tread_torque_nm(build: BuildView, *, finishing: bool = False) -> float:
    """The torque of a cut over the flange, N m, with the depth and feed of the build's cuts and allowances."""
    figures, cut = work_figures(build), "finish" if finishing else "rough"
    force = cutting_force(figures.nm(f"{cut}_cut"), figures.nm(f"{cut}_feed"), iron_force(build.iron))
    return cut_torque_nm(force, flange_radius_nm(build))


def flange_radius_nm(build: BuildView) -> int:
    """How far out a cut over the flange reaches."""
    return build.nm("tread_diameter") // 2 + build.nm("flange_depth")


def _why(build: BuildView, clock: CureClock, *, on_stub: bool = False) -> str:
    figures = cure_figures(build)
    invented = placeholders(figures, "handling", "full_cure")
    begun = "Its compound went on" if on_stub else "It was ticked as bonded"
    return (
        f"{begun} at {clock.bonded_at.astimezone():%H:%M}, and {figures.number('handling'):g} minutes"
        f" are allowed before it is handled and {figures.number('full_cure'):g} hours to full cure"
        f" ({'placeholders' if invented else 'as typed for this build'}). If it was bonded earlier, or your compound's"
        " data sheet says less, go on; its times can be typed under “What the joints must carry”."
    )


def hold_words(
    build: BuildView, casting: CastingView, joint: Finding | None, now: datetime | None = None
) -> str:
    """What a bonded wheel must still wait for; empty once it is fully cured, or where nothing is bonded."""
    clock = _clock(build, casting)
    if clock is None:
        return ""
    here = (now or datetime.now(UTC)).astimezone()
    untold = _untold(build, casting, now is None and clock_doubted(build, here))
    if untold:
        return "" if any(casting.has(stage) for stage in _WORK) else untold
    load = held_until(here, clock, Needs.LOADING, "load it")
    if not load.held:
        return ""
    handle = held_until(here, clock, Needs.HANDLING, "handle it")
    cut = None if casting.has(Stage.TREAD_TURNED) else tread_cut(build, casting, joint, here)
    said = (
        handle.words if handle.held else "",
        cut_hold_words(cut, here, build.unit) if cut else "",
        load.words,
    )
    return " ".join(words for words in said if words)
