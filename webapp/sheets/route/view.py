"""The sheet of a batch for the tablet: the wheel that is on now, what comes after it, and who may still join."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from domain.repeating.settings import Task, tasks_in
from domain.repeating.words import each_words
from domain.route.guards import Order, Strength
from domain.route.planning import turns_now
from domain.route.set_ups import SetUp, Work
from domain.route.stages import CRANKPIN_HOLE, CRANKPIN_IN, Stage, Step
from webapp.drawing.wheel import WheelPicture
from webapp.facts.as_set import AsOn, AsSet, SetBox, all_as_set, as_on, set_box, unlike_dials
from webapp.facts.assembly import list_line
from webapp.facts.batch_views import LOGS, TICKED_SO, BatchView, TurnView
from webapp.facts.batches import objection_in
from webapp.facts.before_tick import (
    TOGETHER,
    LetPassBefore,
    crankpin_at,
    let_pass_before,
    objection_to_axle,
)
from webapp.facts.castings import picture_of
from webapp.facts.crankpins import measured_at
from webapp.facts.due import Due, due_named
from webapp.facts.due_box import DueBox, Written, box_of, written_of
from webapp.facts.facts import facts_of
from webapp.facts.metal import MetalLine, metal_words
from webapp.facts.next_work import operation_words
from webapp.facts.not_right import NotRight, not_right
from webapp.facts.open_time import wet_wheel
from webapp.facts.planned import cure_holds, planned_wheels, set_alike, set_for, unfit_holds
from webapp.facts.turn_figures import BigFigure, big_figures
from webapp.facts.work_sheets import WorkSheet, of_stage
from webapp.records.views import BuildView, CastingView, Measured, Stamp

# Works that take metal off, so that what is left of it is said before the cut.
_CUTS = frozenset({Work.FACE_BACK, Work.BORE, Work.TURN_TREAD})
# Works by which a wheel goes on its seat.
_FIXINGS = frozenset({Work.FIX, Work.FIX_AND_QUARTER})


@dataclass(frozen=True, slots=True)
class TurnTick:
    """The tick a turn ends with: whose it is, its key, and the version this page shows."""

    of_axle: bool
    id: int
    key: str
    seen: int


@dataclass(frozen=True, slots=True)
class StepTick:
    """A small step with its tick."""

    key: str
    words: str
    ticked: bool

    @property
    def wish(self) -> str:
        """What a tap on it asks for."""
        return f"{'no' if self.ticked else 'yes'} {self.key}"


@dataclass(frozen=True, slots=True)
class TurnWheel:
    """A wheel that is on now."""

    casting: CastingView
    picture: WheelPicture
    checklist: str
    sheets: tuple[WorkSheet, ...]
    steps: tuple[StepTick, ...]
    stamp: Stamp | None
    # Said before the work: what is to be read from afar, the metal that is left, and where its rough sizes are written.
    figures: tuple[BigFigure, ...]
    metal: MetalLine | None
    no_sizes: str
    first: tuple[WorkSheet, ...]
    # What is set for in this set-up, what stands of it on this wheel, and the wheel that was set last.
    tasks: tuple[Task, ...]
    as_set: tuple[AsSet, ...]
    as_on: AsOn | None
    # What the reaming has worked out, where no wheel was set before.
    to_keep: SetBox | None
    # Where its crankpin is ticked in, while the turn's tick asks for it, and where it is measured, while it is a step here.
    pin_at: str = ""
    pin_sheet: str = ""

    @property
    def faulty(self) -> bool:
        """Whether its figures say that its joint is no good."""
        return any(one.of_joint and one.look == "not" for one in self.figures)

    @property
    def next_task(self) -> Task:
        """The first that nothing is said of yet, else the last; ask only where there are any."""
        said = {one.task for one in self.as_set}
        return next((one for one in self.tasks if one not in said), self.tasks[-1])

    @property
    def set_words(self) -> str:
        """What stands of it in one line."""
        return each_words([(one.task.brief, one.words) for one in self.as_set])


@dataclass(frozen=True, slots=True)
class TurnSheet:
    """The turn that is on now."""

    turn: TurnView
    wheels: tuple[TurnWheel, ...]
    operation: str
    # Such as wheel 2 of 6.
    counted: str
    # The reading that is to be taken while the wheel is here, and what is said of it where no figure says it.
    due: DueBox | None
    wanted: str
    tick: TurnTick | None
    stuck_words: str
    # What its tick will ask about, said before the work is done and not after.
    asks: tuple[str, ...]
    # What it lets pass without asking, as it was of another wheel of the batch.
    passes: LetPassBefore | None
    # That the finishing cuts of the batch have unlike dial readings; empty where they have not.
    dials: str
    before: TurnView | None
    following: TurnView | None

    @property
    def stays(self) -> bool:
        """Whether its tick leaves a reading to be taken, so that the wheel stays on; a seat is out of reach by then."""
        return self.due is not None and self.due.kind != "seat"

    def shows(self, written: Written | None) -> bool:
        """Whether a fault that was written just now stands among the figures already."""
        if written is None or not written.no_good or written.key.partition("-")[0] not in ("bore", "seat"):
            return False
        return any(wheel.casting.mark == written.mark and wheel.faulty for wheel in self.wheels)

    @property
    def steps(self) -> bool:
        """Whether there are small steps to tick."""
        return any(wheel.steps for wheel in self.wheels)


def turn_on(batch: BatchView, ordinal: int | None, casting_id: int | None = None) -> TurnView | None:
    """The turn asked for by its number or by a wheel, else the first one still to do; None when none is."""
    asked = next((turn for turn in batch.turns if turn.ordinal == ordinal), None) or next(
        (turn for turn in batch.turns if any(one.id == casting_id for one in turn.castings)), None
    )
    return asked or (None if batch.ended else next(iter(batch.of("open")), None))


def following_turn(batch: BatchView, turn: TurnView) -> TurnView | None:
    """The next turn still to do: the first one after this, else the first one left before it."""
    left = [one for one in batch.of("open") if one.ordinal != turn.ordinal]
    return next((one for one in left if one.ordinal > turn.ordinal), next(iter(left), None))


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A turn that the batch goes past unasked, in a line, and where it is put right, or told."""

    words: str
    address: str


def left_out(
    build: BuildView, batch: BatchView, on: TurnView | None, written: Written | None = None
) -> tuple[LeftOut, ...]:
    """The turns but the one that is on that a running batch goes past: no good, held up, or gone from their place.

    Not the one whose fault was `written` just now, and is told with that.
    """
    told = written.mark if written is not None and written.no_good else ""
    past = batch.of("doubted", "stuck", "out") if not batch.ended else ()
    turns = tuple(one for one in past if one is not on and told not in {wheel.mark for wheel in one.castings})
    wrong = not_right(build) if turns else ()
    return tuple(_left_out(batch, turn, wrong) for turn in turns)


def _left_out(batch: BatchView, turn: TurnView, wrong: Sequence[NotRight]) -> LeftOut:
    own = f"/batches/{batch.id}?at={turn.ordinal}"
    if turn.state == "out":
        return LeftOut(f"Left out: {turn.words}", own)
    marks = {casting.mark for casting in turn.castings}
    line = next((one for one in wrong if marks.intersection(one.marks)), None)
    if line is not None and not turn.waits_for:
        return LeftOut(f"Left out: {line.words}. Put it right first.", line.address)
    return LeftOut(f"Left out: {turn.marks} ({turn.state_words}).", own)


def last_done(batch: BatchView, on: TurnView) -> tuple[TurnView, Stamp] | None:
    """The turn that was ticked last, and its tick, for who comes from another sheet; None where it is on, or none is."""
    key = batch.set_up.key
    stamped = ((turn, casting.ticks.get(key)) for turn in batch.of("done") for casting in turn.castings)
    done = [(turn, stamp) for turn, stamp in stamped if stamp is not None]
    last = max(done, key=lambda one: one[1].at, default=None)
    return None if last is None or last[0] is on else last


def turn_sheet(build: BuildView, batch: BatchView, turn: TurnView, sent: str = "") -> TurnSheet:
    """Everything about the turn that is on; `sent` is the key of a reading that was sent for it and not taken."""
    at = batch.turns.index(turn)
    asked = turn.state in TICKED_SO and not batch.ended
    must = _unread(turn) if asked else ()
    due = reading_of(build, turn, sent) or next(iter(_unread_here(build, turn) if asked else ()), None)
    wheels = tuple(_wheel(build, batch, turn, casting) for casting in turn.castings)
    return TurnSheet(
        turn=turn,
        wheels=_each_sheet_once(wheels),
        operation=operation_words(turn.works),
        counted=_counted(batch, turn),
        due=due,
        wanted=_wanted(build, due, wheels) if due else "",
        tick=_tick(build, turn) if asked and not must else None,
        stuck_words=_stuck_words(build, batch, turn) if turn.state == "stuck" else "",
        asks=_asks(build, batch, turn, wheels) if asked else (),
        passes=_passes(build, batch, turn) if asked and not must else None,
        dials=unlike_dials(build, castings_in(batch)) if Work.TURN_TREAD in batch.set_up.works else "",
        before=batch.turns[at - 1] if at else None,
        following=following_turn(batch, turn),
    )


def castings_in(batch: BatchView) -> tuple[CastingView, ...]:
    """Every wheel of a batch, those that are out of it too."""
    return tuple(casting for turn in batch.turns for casting in turn.castings)


def _counted(batch: BatchView, turn: TurnView) -> str:
    there = [one for one in batch.turns if one.state != "out"]
    if turn not in there:
        return turn.state_words
    return f"{'wheel' if len(turn.castings) == 1 else 'axle'} {there.index(turn) + 1} of {len(there)}"


def _wanted(build: BuildView, due: DueBox, wheels: Sequence[TurnWheel]) -> str:
    """What is wanted of a reading, where it is not among the figures; that no fit is one to aim for is said besides them."""
    casting, never = due.due.casting, ""
    if casting is not None and due.kind == "bore":
        joints = facts_of(build.of(casting)).joints
        never = joints.never_holds(casting) or joints.too_narrow(casting)
    shown = next((wheel.figures for wheel in wheels if wheel.casting is casting), ())
    there = any(one.of_joint or one.label in ("bore to", "throw to", "tread to") for one in shown)
    return never if there else due.wanted


def _each_sheet_once(wheels: Iterable[TurnWheel]) -> tuple[TurnWheel, ...]:
    """An axle's own sheets belong to both its wheels: they are shown with the first."""
    shown: set[str] = set()
    once = []
    for wheel in wheels:
        once.append(replace(wheel, sheets=tuple(one for one in wheel.sheets if one.address not in shown)))
        shown |= {one.address for one in wheel.sheets}
    return tuple(once)


def _wheel(build: BuildView, batch: BatchView, turn: TurnView, casting: CastingView) -> TurnWheel:
    set_up = batch.set_up
    stage, order = set_up.stage, build.order_of(casting)
    machining = any(work not in LOGS or work is Work.CRANKPIN_HOLE for work in turn.works)
    asked = turn.state in TICKED_SO and not batch.ended
    works = turn.works if asked else ()
    # The drill is done with it once its throw is logged; the pin, which belongs to the same jig, may go in after that.
    after = set_up is SetUp.CRANKPIN_JIG and turn.state == "done" and not batch.ended
    reminders = _reminders(set_up, order) if (machining and asked) or after else ()
    figures = big_figures(build, batch, casting, works) if len(turn.castings) == 1 else ()
    first = (*_written_first(casting, works), *_before_fixing(build, casting, works))
    sheets = of_stage(stage, casting, order)
    tasks = tasks_in(set_up, coupled=order.coupled) if asked else ()
    last = as_on(build, casting, tasks, {one.id for one in castings_in(batch)}) if tasks else None
    reamed = (
        set_box(
            build, casting, "ream_bore", "", facts_of(build.of(casting)).reaming.for_wheel(casting).to_set
        )
        if Work.BORE in works
        else None
    )
    return TurnWheel(
        casting=casting,
        picture=picture_of(build, casting),
        checklist=_place(casting),
        sheets=tuple(one for one in sheets if one.address not in {own.address for own in first}),
        steps=tuple(StepTick(step.key, step.words, step.key in casting.ticks) for step in reminders),
        stamp=casting.ticks.get(set_up.key),
        figures=figures,
        metal=_metal_line(build, casting, works, figures),
        no_sizes=_no_sizes(casting, works),
        first=first,
        tasks=tasks,
        as_set=all_as_set(build, casting, tasks),
        as_on=last,
        to_keep=reamed if reamed and reamed.keep_words and last is None else None,
        pin_at=_pin_at(build, casting, works),
        pin_sheet=measured_at(casting) if any(one.key == CRANKPIN_IN for one in reminders) else "",
    )


def _pin_at(build: BuildView, casting: CastingView, works: Sequence[Work]) -> str:
    """Where its crankpin is ticked, if what ends these works asks for it; the second wheel is fixed as its axle is
    quartered."""
    second = Work.FIX_AND_QUARTER in works and not casting.has(Stage.PRESSED)
    keys = (*(work.key for work in works), *((Stage.PRESSED.value,) if second else ()))
    return next(filter(None, (crankpin_at(build, casting, key) for key in keys)), "")


def _reminders(set_up: SetUp, order: Order) -> tuple[Step, ...]:
    """The small steps that are done in a set-up: the crankpin hole, a step after boring, has a jig of its own, and where
    its pin goes in before fixing that is a step there too, and the last one before the wheel is fixed."""
    if set_up is SetUp.CRANKPIN_JIG:
        own = (order.tickable(key) for key in (CRANKPIN_HOLE, CRANKPIN_IN))
        return tuple(one for one in own if isinstance(one, Step) and one.after is Stage.BORED)
    if set_up is SetUp.ROUGH_PAINT:
        return ()  # a small step itself
    led_to = dict.fromkeys(work.stage for work in set_up.works)
    return tuple(one for stage in led_to for one in order.steps(stage) if one.after is not stage)


def _no_sizes(casting: CastingView, works: Sequence[Work]) -> str:
    cutting = Work.RECEIVE in works or bool(_CUTS.intersection(works))
    if not cutting or casting.sizes or (casting.receipt and casting.receipt.sizes):
        return ""
    return f"{casting.mark}: no sizes written down yet."


def _metal_line(
    build: BuildView, casting: CastingView, works: Sequence[Work], figures: Sequence[BigFigure]
) -> MetalLine | None:
    """The metal that is left in a line, where metal comes off and no figure says it; a reason to stop is said always."""
    line = metal_words(build, casting) if _CUTS.intersection(works) else None
    in_figures = line is not None and any(one.address == line.address for one in figures)
    # What is asked before the work begins is not said twice.
    return line if line is not None and not line.asked and (line.stop or not in_figures) else None


def _written_first(casting: CastingView, works: Sequence[Work]) -> tuple[WorkSheet, ...]:
    """Receiving's own sheet, where the casting's rough sizes are to be written before the work."""
    if Work.RECEIVE in works or _no_sizes(casting, works):
        return (WorkSheet(f"Receiving sheet of {casting.mark}", f"/castings/{casting.id}/receiving"),)
    return ()


def _before_fixing(build: BuildView, casting: CastingView, works: Sequence[Work]) -> Iterator[WorkSheet]:
    """What comes as this wheel goes on: what must be on the axle by then, and the clock of its compound."""
    axle = build.axle(casting.axle_id)
    if axle is None or casting.has(Stage.PRESSED) or not _FIXINGS.intersection(works):
        return
    still = list_line(axle)
    if still:
        yield WorkSheet(still, f"/axles/{axle.id}/assembly")
    wet = wet_wheel(build, axle)
    if wet is not None and wet.wheel.id == casting.id:
        yield WorkSheet(f"Compound on {casting.mark}", f"/axles/{axle.id}/setting")


def _place(casting: CastingView) -> str:
    sheet = f"/castings/{casting.id}" if casting.axle_id is None else f"/axles/{casting.axle_id}"
    return f"{sheet}#wheel-{casting.id}"


def reading_of(build: BuildView, turn: TurnView, key: str) -> DueBox | None:
    """The form of a reading of a wheel that is on, by its key such as bore-3; None for any other key."""
    found = (_named(build, turn, casting, key) for casting in turn.castings)
    # A tread is read on its mandrel only; a bore and a throw wherever the wheel is.
    kinds = ("bore", "throw", "seat", *(("tread",) if Work.TURN_TREAD in turn.works else ()))
    return next((box_of(build, due) for due in found if due is not None and due.kind in kinds), None)


def _named(build: BuildView, turn: TurnView, casting: CastingView, key: str) -> Due | None:
    """A reading of a wheel, or of its own seat where it is about to go on that."""
    seats = key == f"seat-{casting.side}" and bool(_FIXINGS.intersection(turn.works))
    on_its_way = seats and not casting.has(Stage.PRESSED)
    return due_named(build.axle(casting.axle_id) if on_its_way else None, casting, key)


def _unread(turn: TurnView) -> tuple[str, ...]:
    """The keys of the readings without which nothing is ticked; empty once they are taken."""
    first = turn.works[0]
    if first is Work.LOG_BORE:
        return tuple(f"bore-{casting.id}" for casting in turn.castings if casting.bore is None)
    if first in LOGS:
        return tuple(f"throw-{casting.id}" for casting in turn.castings if casting.throw is None)
    return ()


def _unread_here(build: BuildView, turn: TurnView) -> Iterable[DueBox]:
    """The readings to be taken while the wheel is here: bore and tread while it is held for them, ticked or not.

    One that is no good is read again after the next cut, as long as the wheel has not left the chuck.
    """
    boring = turn.castings if Work.BORE in turn.works else ()
    bored = (
        f"bore-{one.id}" for one in boring if one.bore is None or facts_of(build.of(one)).joints.fails(one)
    )
    turning = turn.castings if Work.TURN_TREAD in turn.works else ()
    turned = (f"tread-{one.id}" for one in turning if facts_of(build.of(one)).treads.tread_due(one))
    fixing = turn.castings if _FIXINGS.intersection(turn.works) else ()
    seats = (f"seat-{one.side}" for one in fixing if not one.has(Stage.PRESSED) and not _seat_of(build, one))
    for key in (*_unread(turn), *bored, *turned, *seats):
        box = reading_of(build, turn, key)
        if box is not None:
            yield box


def _seat_of(build: BuildView, casting: CastingView) -> Measured | None:
    axle = build.axle(casting.axle_id)
    return axle.seats.get(casting.side or "") if axle else None


def written_here(build: BuildView, batch: BatchView, on: TurnView | None, key: str) -> Written | None:
    """What a reading taken in this batch came to, asked of the judge now; None where there is none of this key.

    A seat's key names no wheel: it is of the turn that is on.
    """
    for turn in batch.turns if not key.startswith("seat") else (on,) if on else ():
        for casting in (one for one in turn.castings if one.state != "scrapped"):
            due = _named(build, turn, casting, key)
            taken = {"bore": casting.bore, "throw": casting.throw, "tread": casting.sizes.get("tread")}
            taken["seat"] = _seat_of(build, casting)
            if due is not None and taken.get(due.kind) is not None:
                return written_of(build, due)
    return None


def _tick(build: BuildView, turn: TurnView) -> TurnTick | None:
    work, casting = turn.works[0], turn.castings[0]
    axle = build.axle(casting.axle_id)
    if work in (Work.QUARTER, Work.FIX_AND_QUARTER):
        key = Stage.QUARTERED.value if work is Work.QUARTER else TOGETHER
        return None if axle is None else TurnTick(True, axle.id, key, axle.version)
    return TurnTick(False, casting.id, work.key, casting.version)


def _asks(build: BuildView, batch: BatchView, turn: TurnView, wheels: Sequence[TurnWheel]) -> tuple[str, ...]:
    """What the tick will ask, but for a joint that is no good and stands among the figures as that."""
    axle = build.axle(turn.castings[0].axle_id)
    if Work.FIX_AND_QUARTER in turn.works and axle is not None:
        objection = objection_to_axle(build, axle, TOGETHER)
    else:
        objection = objection_in(build, batch.set_up, turn.castings[0])
    if objection is None or objection.strength is Strength.REFUSE:
        return ()
    joints = (facts_of(build.of(one.casting)).joints.of(one.casting) for one in wheels if one.faulty)
    told = {joint.doubt_told for joint in joints if joint is not None}
    return tuple(words for words in objection.each if words not in told)


def _passes(build: BuildView, batch: BatchView, turn: TurnView) -> LetPassBefore | None:
    tick, casting = _tick(build, turn), turn.castings[0]
    return None if tick is None or tick.of_axle else let_pass_before(build, casting, tick.key, batch)


def _stuck_words(build: BuildView, batch: BatchView, turn: TurnView) -> str:
    """Why nothing can be done on it here, as the checklist would say it."""
    held = {hold.key: hold.why for hold in unfit_holds(build)}
    unfit = next((held[one.id] for one in turn.castings if one.id in held), "")
    if unfit:
        return unfit
    objection = objection_in(build, batch.set_up, turn.castings[0])
    words = objection.words if objection else f"Nothing can be done on {turn.marks} here as it stands now."
    return f"{words} Open the checklist and put that right, or leave it to a later batch."


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

    @property
    def marks(self) -> str:
        """Those that can join, and those that cannot yet."""
        return ", ".join([*(one.marks for one in self.joining), *(one.mark for one in self.later)])


def newcomers(build: BuildView, batch: BatchView) -> Newcomers:
    """The wheels in work that are not in a running batch and are due for its set-up; none for one that is over.

    With nothing left in it the plan says what is next, and puts them into that.
    """
    if batch.ended or not batch.marks_left:
        return Newcomers()
    listed = {casting.id for turn in batch.turns for casting in turn.castings}
    # A wheel of another pattern is another set-up.
    patterns = set_for(build, batch.set_up, castings_in(batch))
    found = []
    holds = (*unfit_holds(build), *cure_holds(build))
    wheels = planned_wheels(build)
    for turn in turns_now(
        wheels, build.route_now, batch.set_up, holds=holds, paint_first=build.paint_first, pins=build.pins
    ):
        new = (build.casting(key) for key in turn.keys if key not in listed)
        castings = tuple(
            one for one in new if one is not None and (not patterns or set_alike(build, one) in patterns)
        )
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
    if set_up.key in casting.ticks:
        return f"{who} is {stage.words} already: this batch has nothing to do on it."
    objection = objection_in(build, set_up, casting)
    why = held or (objection.words if objection else "")
    words = f"{who} is not ready for this batch. {why}".strip()
    return f"{words} It comes in a later batch, or can be put into this one as soon as it is ready."
