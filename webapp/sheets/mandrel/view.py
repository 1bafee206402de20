"""The sheet of the mandrel: what is to be done now with this wheel and its stub, and which cut the stub takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from domain.answer import Answer
from domain.joints.cure import CureClock, CutHold
from domain.joints.words import held_headline, small
from domain.lengths import show
from domain.mandrel import words as say
from domain.mandrel.grown import Compared, compare
from domain.mandrel.stub import (
    MandrelError,
    StubHold,
    StubSize,
    goes_on,
    run_out_answer,
    stub_for_all,
    stub_size,
)
from domain.route.stages import Stage
from domain.working import Working
from webapp.facts.clock import clock_doubted
from webapp.facts.cure import clock_from, flange_radius_nm, stub_cut, stub_untold, tread_torque_nm
from webapp.facts.facts import facts_of
from webapp.facts.mandrel import (
    allowed_swing_nm,
    gap_of,
    last_turn,
    on_mandrel,
    present_stub,
    stub_bond,
)
from webapp.records.stubs import StubTurnView, StubView
from webapp.records.views import BuildView, CastingView, Measured
from webapp.sheets.mandrel.drawing import Drawn, MandrelPicture, mandrel_picture

# A wheel that never was on a stub and goes on none.
_AWAY = frozenset({"done", "scrapped", "no stub"})


@dataclass(frozen=True, slots=True)
class StepLine:
    """One step of a wheel's way over the stub; `now` is the first one that is not done."""

    words: str
    done: bool
    now: bool = False


@dataclass(frozen=True, slots=True)
class CutNow:
    """Whether the stub takes a cut at this hour."""

    name: str
    look: str
    words: str
    never: bool = False


@dataclass(frozen=True, slots=True)
class SetWheel:
    """A wheel of the set: where it is on its way over the stub."""

    mark: str
    address: str
    words: str
    state: str


@dataclass(frozen=True, slots=True)
class MandrelSheet:
    """Everything the page shows; `do` is the one thing to do now."""

    do: str
    look: str
    headline: str
    said: tuple[str, ...]
    stub: StubView | None
    turn: StubTurnView | None
    steps: tuple[StepLine, ...]
    cuts: tuple[CutNow, ...]
    workings: tuple[Working, ...]
    wheels: tuple[SetWheel, ...]
    following: SetWheel | None
    holds: tuple[tuple[str, str, str], ...]
    all_words: str
    stub_words: str
    run_out: str
    run_out_look: str
    picture: MandrelPicture | None
    # Whether a wheel that came off may go on once more; with its tread unturned that is what comes next.
    again: bool = False
    unturned: bool = False

    @property
    def forms(self) -> frozenset[str]:
        """The forms that are drawn: what another one was refused for stands at the head of the sheet."""
        there = {self.do} & {"stub", "run-out", "on"}
        if self.stub is not None and self.do not in ("scrapped", "no stub"):
            there |= {"dial"} | ({"run-out"} if self.stub.hold.turned else set())
            there |= {"stub"} if self.stub.on is None else set()
            there |= {"on"} if self.again else set()
        return frozenset(there)

    @property
    def over(self) -> int:
        """How many wheels came off the stub."""
        return sum(one.state == "off" for one in self.wheels)


def mandrel_sheet(
    build: BuildView, casting: CastingView, history: Sequence[Measured], now: datetime
) -> MandrelSheet:
    """The sheet of one wheel; `history` is every size measured of it, oldest first, `now` a time in the shop's zone."""
    stub = present_stub(build)
    turn = stub.on if stub and stub.on and stub.on.casting_id == casting.id else None
    last = last_turn(build, casting)
    off = last[1] if turn is None and last and last[1].off_at else None
    found = _compared(off, history) if off else None
    cuts, workings = _cuts(build, casting, stub, turn, now) if stub and turn else ((), ())
    do = _do(build, casting, stub, turn, off, found)
    look, headline, said = _answer(build, casting, do, stub, turn, cuts, found, now)
    wheels = tuple(_set(build, casting, stub, now))
    allowed = allowed_swing_nm(build)
    answer = run_out_answer(stub.swing_nm, allowed, put_back=stub.put_back) if stub else Answer.CANNOT_TELL
    return MandrelSheet(
        do=do,
        look=look,
        headline=headline,
        said=said,
        stub=stub,
        turn=turn,
        steps=()
        if off is None and do in _AWAY
        else tuple(_steps(build, casting, stub, turn, off, found, now)),
        cuts=cuts,
        workings=workings,
        wheels=wheels,
        following=_following(wheels, casting) if stub else None,
        holds=tuple(_holds(build, casting)),
        all_words=_all_words(build, casting),
        stub_words=say.stub_words(stub.hold, stub.nm, build.unit) if stub else "",
        run_out=say.run_out_words(answer, stub.swing_nm, allowed, build.unit, put_back=stub.put_back)
        if stub and stub.hold.turned
        else "",
        run_out_look=answer.look,
        picture=_picture(build, casting, stub, turn),
        again=do == "done" and stub is not None and stub.on is None and not casting.has(Stage.PRESSED),
        unturned=not casting.has(Stage.TREAD_TURNED),
    )


def _following(wheels: Sequence[SetWheel], casting: CastingView) -> SetWheel | None:
    return next((one for one in wheels if one.state == "to come" and one.mark != casting.mark), None)


def _compared(off: StubTurnView, history: Sequence[Measured]) -> Compared | None:
    """The bore as it went on against the bore as it came off; None until it was gauged again."""
    assert off.off_at is not None
    bores = [
        one for one in history if one.kind == "bore" and not one.superseded and one.struck_out_why is None
    ]
    before = [one for one in bores if one.at <= off.off_at]
    after = [one for one in bores if one.at > off.off_at]
    if not before or not after:
        return None
    sure = [None if one.by_plug else one.expanded_nm for one in (before[-1], after[-1])]
    return compare(before[-1].nm, after[-1].nm, sure[0], sure[1])


def _do(
    build: BuildView,
    casting: CastingView,
    stub: StubView | None,
    turn: StubTurnView | None,
    off: StubTurnView | None,
    found: Compared | None,
) -> str:
    if stub is not None and turn is not None:
        centred = turn.centred_at is not None or not stub.hold.centred
        return "off" if centred or casting.state == "scrapped" else "centre"
    if casting.state == "scrapped":
        return "scrapped"
    if off is not None and not casting.has(Stage.PRESSED):
        if off.cleaned_at is None:
            return "clean"
        if found is None:
            return "gauge"
    if off is not None or casting.has(Stage.PRESSED):
        return "done"
    if not on_mandrel(build.order_of(casting).route):
        return "no stub"
    if casting.bore is None:
        return "bore"
    if stub is None:
        return "stub"
    if stub.on is not None:
        return "taken"
    if stub.nm is not None and not goes_on(stub.nm, casting.bore.nm):
        return "stub"
    return "run-out" if stub.hold.turned and (stub.swing_nm is None or stub.put_back) else "on"


def _answer(
    build: BuildView,
    casting: CastingView,
    do: str,
    stub: StubView | None,
    turn: StubTurnView | None,
    cuts: Sequence[CutNow],
    found: Compared | None,
    now: datetime,
) -> tuple[str, str, tuple[str, ...]]:
    """How it looks, the answer in a line, and what more is to be said of it."""
    mark, unit = casting.mark, build.unit
    if stub is not None and turn is not None:
        return _answer_on(build, casting, stub, turn, cuts, now)
    if do == "scrapped":
        return "open", f"{mark} is scrapped: it goes on no stub", ()
    if do == "no stub":
        return "open", f"{mark} needs no stub", (say.no_stub_words(build.order_of(casting).route.words),)
    if do == "bore":
        return (
            "open",
            f"Gauge and log the bore of {mark} first",
            ("The stub is turned to it, and it is compared after.",),
        )
    if do == "stub":
        if stub is not None and stub.nm is not None and casting.bore is not None:
            words = say.too_large_words(stub.nm, casting.bore.nm, mark, unit)
            return "not", f"No good: this stub does not go into {mark}", (words,)
        return "open", f"No stub yet: turn one for {mark}", (_size_said(build, casting),)
    if do == "taken" and stub is not None and stub.on is not None:
        other = build.casting(stub.on.casting_id)
        return "open", f"{other.mark if other else 'Another wheel'} is on the stub: log it off first", ()
    if do == "clean":
        return (
            "open",
            f"{mark} is off: clean every trace of compound out",
            ("Let it cool, and take off the sharp edges.",),
        )
    if do == "gauge":
        return "open", f"Gauge the bore of {mark} again", ("Cold and clean: has the hole grown?",)
    if do == "done":
        return _answer_done(build, casting, found)
    assert stub is not None  # what is left is a wheel that may go on
    return _answer_free(build, casting, stub)


def _answer_done(
    build: BuildView, casting: CastingView, found: Compared | None
) -> tuple[str, str, tuple[str, ...]]:
    joint = facts_of(build.of(casting)).joints.of(casting)
    fit = f"For its joint: {small(joint.headline)}." if joint is not None else ""
    if found is None:
        return "open", f"{casting.mark} is on its axle", (fit,) if fit else ()
    return found.change.answer.look, say.grown_words(found, build.unit), (fit,) if fit else ()


def _answer_free(build: BuildView, casting: CastingView, stub: StubView) -> tuple[str, str, tuple[str, ...]]:
    bond = stub_bond(build, stub, casting)
    if bond is None:
        return "open", f"{casting.mark} may go on: {say.hold_words(stub.hold)}", ()
    answer = bond.kind.answer
    other = _size_said(build, casting) if answer is Answer.NOT else ""
    return answer.look, f"{held_headline(bond, build.unit)} for {casting.mark} on this stub", (other,)


def _answer_on(
    build: BuildView,
    casting: CastingView,
    stub: StubView,
    turn: StubTurnView,
    cuts: Sequence[CutNow],
    now: datetime,
) -> tuple[str, str, tuple[str, ...]]:
    since = f"On since {say.moment(turn.on_at.astimezone(), now)} ({turn.on_by})."
    if not stub.hold.cures:
        return (
            "caution",
            f"{casting.mark} is on, {say.hold_words(stub.hold)}",
            (since, say.no_figure_words(stub.hold)),
        )
    clock = clock_from(build, turn.on_at)
    times = (f"{since} {_clock_words(clock, now)}",)
    if not cuts:
        return "caution", f"{casting.mark} is on; cannot tell which cut its bond takes", times
    taken = [one.name for one in cuts if one.look == "serves"]
    if len(taken) == len(cuts):
        return "serves", "Good: it takes both cuts now", times
    if taken:
        return "caution", f"Take care: the {taken[0]} cut only", times
    if all(one.never for one in cuts):
        return "not", "No good: it takes neither cut, not even fully cured", times
    return "not", "No good yet: it takes no cut at this hour", times


def _clock_words(clock: CureClock, now: datetime) -> str:
    handle, load = (say.moment_from(one.astimezone(), now) for one in (clock.handle_after, clock.load_after))
    return f"May be handled from {handle}, fully cured at {load}."


def _size_said(build: BuildView, casting: CastingView) -> str:
    size = _size(build, casting, StubHold.BOND)
    return say.size_words(size, build.unit) if size else ""


def _size(build: BuildView, casting: CastingView, hold: StubHold) -> StubSize | None:
    bore = casting.bore
    if bore is None:
        return None
    try:
        return stub_size(hold, bore.nm, gap_of(build), bore.expanded_nm or 0)
    except MandrelError:
        return None  # a bore of nothing: the bore's own sheet says so


def _holds(build: BuildView, casting: CastingView) -> Iterator[tuple[str, str, str]]:
    """The holds to choose from, each with the stub it wants for this bore."""
    for hold in StubHold:
        size = _size(build, casting, hold)
        words = say.size_brief(size, build.unit) if size or not hold.turned else ""
        yield hold.value, say.hold_words(hold).capitalize(), words


def _set_of(build: BuildView, casting: CastingView) -> list[CastingView]:
    """The wheels in work whose treads are alike, and which go over one stub."""
    return [one for one in build.of(casting).castings if one.state == "in_work"]


def _all_words(build: BuildView, casting: CastingView) -> str:
    sizes = [
        _size(build, one, StubHold.BOND) for one in _set_of(build, casting) if not one.has(Stage.PRESSED)
    ]
    known = [one for one in sizes if one is not None]
    return say.all_words(stub_for_all(known), len(known), build.unit)


def _set(build: BuildView, casting: CastingView, stub: StubView | None, now: datetime) -> Iterator[SetWheel]:
    for one in _set_of(build, casting):
        state, words = _set_words(build, one, stub, now)
        yield SetWheel(one.mark, f"/castings/{one.id}/mandrel", words, state)


def _set_words(build: BuildView, one: CastingView, stub: StubView | None, now: datetime) -> tuple[str, str]:
    turn = stub.last_of(one.id) if stub else None
    if turn is not None:
        on = say.moment(turn.on_at.astimezone(), now)
        if turn.off_at is None:
            return "on", f"on since {on} ({turn.on_by})"
        return (
            "off",
            f"on {on} ({turn.on_by}), off {say.moment(turn.off_at.astimezone(), now)} ({turn.off_by})",
        )
    if one.has(Stage.PRESSED):
        return "past", "on its axle"
    if one.has(Stage.TREAD_TURNED):
        return "past", "tread turned already"
    if one.bore is None:
        return "to come", "bore not logged yet"
    bond = stub_bond(build, stub, one) if stub else None
    if bond is not None:
        return "to come", held_headline(bond, build.unit)
    return "to come", f"bore {show(one.bore.nm, build.unit)}"


def _steps(
    build: BuildView,
    casting: CastingView,
    stub: StubView | None,
    turn: StubTurnView | None,
    off: StubTurnView | None,
    found: Compared | None,
    now: datetime,
) -> Iterator[StepLine]:
    """The whole way in order; the first step that is not done is the one to do now."""
    was = turn or off
    bonded = stub is None or stub.hold.cures
    # Taken off before it could be handled, it never was cured.
    until = now if was is None or was.off_at is None else was.off_at
    cured = was is not None and until >= clock_from(build, was.on_at).handle_after
    own = stub is not None and stub.hold is StubHold.CENTRES
    centred = stub is None or stub.hold.centred
    listed = [
        ("seat: a shoulder, or the jaws skimmed true", stub is not None),
        *([("end of the stub centred", stub is not None)] if centred else []),
        ("run-out logged", stub is not None and (own or (stub.swing_nm is not None and not stub.put_back))),
        (
            f"{'compound on' if bonded else 'wheel on'}, pressed home by the tailstock, left there",
            was is not None,
        ),
        *([("cured enough to handle", cured)] if bonded else []),
        *([("running centre in", was is not None and was.centred_at is not None)] if centred else []),
        ("tread and flange turned", casting.has(Stage.TREAD_TURNED)),
        ("warmed and pulled off" if bonded else "released and pulled off", off is not None),
        ("bore cleaned", off is not None and off.cleaned_at is not None),
        ("bore gauged again, cold", found is not None),
    ]
    # What was left out before the wheel came off is not done now.
    left = listed[-2:] if off is not None else listed
    first = next((words for words, done in left if not done), "")
    for words, done in listed:
        yield StepLine(words, done, words == first)


_CUTS = (("finishing", True), ("roughing", False))


def _cuts(
    build: BuildView, casting: CastingView, stub: StubView, turn: StubTurnView, now: datetime
) -> tuple[tuple[CutNow, ...], tuple[Working, ...]]:
    """Both cuts as the build has them planned, against what the stub holds at this hour."""
    seen = build.of(casting)
    radius = flange_radius_nm(seen)
    doubted = turn.untimed or clock_doubted(build, now)
    cuts, workings = [], []
    for name, finishing in _CUTS:
        found = stub_cut(build, casting, stub, turn, now, finishing=finishing)
        if found is None:
            return (), ()
        cuts.append(_cut(build, name, found, turn, now, doubted=doubted))
        torque = tread_torque_nm(seen, finishing=finishing)
        workings.append(say.cut_working(name, torque, found, radius, build.unit))
    return tuple(cuts), tuple(workings)


def _cut(
    build: BuildView, name: str, found: CutHold, turn: StubTurnView, now: datetime, *, doubted: bool
) -> CutNow:
    if doubted and not found.never:
        return CutNow(name, "caution", small(stub_untold(build, turn)))
    until = say.moment_from(found.until.astimezone(), now) if found.until else ""
    look = "serves" if found.takes else "not"
    return CutNow(name, look, say.cut_line(found, build.unit, until), found.never)


def _picture(
    build: BuildView, casting: CastingView, stub: StubView | None, turn: StubTurnView | None
) -> MandrelPicture | None:
    if stub is None or stub.nm is None:
        return None
    seen = build.of(casting)
    return mandrel_picture(
        Drawn(
            tread_nm=seen.nm("tread_diameter"),
            flange_depth_nm=seen.nm("flange_depth"),
            flange_width_nm=seen.nm("flange_width"),
            tyre_nm=seen.nm("tyre_width"),
            boss_nm=seen.nm("boss_diameter"),
            boss_length_nm=seen.nm("boss_length"),
            stub_nm=stub.nm,
            back_out=build.order_of(casting).front_first,
            on=turn is not None,
            centred=turn is not None and turn.centred_at is not None,
        )
    )
