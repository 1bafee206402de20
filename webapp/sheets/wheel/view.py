"""An axle's sheet and a casting's, put together from what is true of them. Nothing here asks the database."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property

from domain.answer import Answer
from domain.joints.kinds import FitKind
from domain.joints.words import kind_cautions
from domain.route.castings import Progress
from domain.route.guards import Order, Strength, next_stage
from domain.route.stages import Stage, as_worked
from webapp.drawing.band import Band
from webapp.drawing.wheel import WheelPicture
from webapp.facts.assembly import list_line
from webapp.facts.axle_gauges import AxleGauges
from webapp.facts.before_tick import TOGETHER, crankpin_at, objection_to, objection_to_axle, second_to_fix
from webapp.facts.castings import Tile, hole_next, next_words, picture_of, progress_of, stage_words, tiles
from webapp.facts.crankpins import pins_missing
from webapp.facts.facts import facts_of
from webapp.facts.let_pass import let_pass
from webapp.facts.quartering import quarter_said
from webapp.facts.unfit import usable_spares
from webapp.facts.wheel_lines import HeadLine, joint_band, wheel_line
from webapp.facts.work_sheets import WorkSheet, of_stage
from webapp.records.views import SIDES, AxleView, BuildView, CastingView, Stamp

# So many small steps at a time: more push the rest of the list off the first screen.
_STEPS_SHOWN = 3


@dataclass(frozen=True, slots=True)
class WheelHead:
    """A wheel at the head of its sheet: which it is, how far, what it is worth."""

    casting: CastingView
    where: str
    stage_words: str
    next_words: str
    picture: WheelPicture
    line: HeadLine
    band: Band


@dataclass(frozen=True, slots=True)
class AxlePlace:
    """One side of an axle: a wheel, or an empty place."""

    side: str
    head: WheelHead | None


@dataclass(frozen=True, slots=True)
class StageHalf:
    """A stage of one wheel: its tick, and what stands in its way."""

    casting: CastingView
    state: str
    stamp: Stamp | None
    needs: tuple[str, ...]
    # What was let pass at the tick and is still in doubt.
    passed: Stamp | None = None
    # Only looked at: the wheel is scrapped, or its build archived.
    fixed: bool = False
    # Where its crankpin is ticked in, while this tick asks for it.
    pin_at: str = ""


@dataclass(frozen=True, slots=True)
class StepHalf:
    """A small step of one wheel and its tick, which may be only looked at."""

    casting: CastingView
    stamp: Stamp | None
    fixed: bool


@dataclass(frozen=True, slots=True)
class StepRow:
    """A small step of the wheels of a sheet."""

    key: str
    words: str
    halves: tuple[StepHalf | None, ...]

    @property
    def done(self) -> bool:
        """Whether it is ticked of every wheel there is; of no wheel nothing is."""
        there = [half for half in self.halves if half]
        return bool(there) and all(half.stamp for half in there)


@dataclass(frozen=True, slots=True)
class StageRow:
    """A stage of the wheels of a sheet, with its small steps; the axle's own has no halves."""

    stage: Stage
    # done, next or later, for the wheels together; at the first that is next the work stands.
    state: str
    opened: bool
    halves: tuple[StageHalf | None, ...]
    steps: tuple[StepRow, ...]
    caution: str
    order: Order

    @property
    def key(self) -> str:
        """The stage's key."""
        return self.stage.value

    @property
    def of_axle(self) -> bool:
        """Whether it is the axle's own."""
        return self.stage is Stage.QUARTERED

    @property
    def steps_now(self) -> tuple[StepRow, ...]:
        """The small steps to see now: all where they are few, else the first few in which one is left."""
        if len(self.steps) <= _STEPS_SHOWN:
            return self.steps
        turns = [self.steps[at : at + _STEPS_SHOWN] for at in range(0, len(self.steps), _STEPS_SHOWN)]
        return next((turn for turn in turns if not all(step.done for step in turn)), turns[-1])

    @property
    def steps_more(self) -> tuple[StepRow, ...]:
        """The other small steps."""
        now = self.steps_now
        return tuple(step for step in self.steps if step not in now)

    @property
    def sheets(self) -> tuple[tuple[str, str, tuple[WorkSheet, ...]], ...]:
        """The work sheets of each wheel, with its mark and side: once, without them, where both have the same."""
        wheels = (half.casting for half in self.halves if half and half.casting.state != "scrapped")
        own = [
            (one.mark, one.side or "", found)
            for one in wheels
            if (found := of_stage(self.stage, one, self.order))
        ]
        same = len(own) > 1 and all(found == own[0][2] for *_, found in own)
        return (("", "", own[0][2]),) if same else tuple(own)

    @property
    def of_both(self) -> tuple[str, ...]:
        """What stands in the way of both wheels alike, which is said once."""
        left, *right = (half.needs for half in self.halves if half)
        return tuple(words for words in left if right and words in right[0])

    @property
    def steps_done(self) -> int:
        """How many small steps are ticked of every wheel."""
        return sum(step.done for step in self.steps)


@dataclass(frozen=True, slots=True)
class AxleTickRow:
    """The axle's own stage: its tick, whether it waits for the second wheel, and what its heights say."""

    axle: AxleView
    both_on: bool
    # The wheel that is fixed as the axle is quartered, in one tick; None where that is not what comes next.
    second: CastingView | None
    angles: tuple[tuple[str, str], ...]
    # What was let pass as it was quartered and is still in doubt.
    passed: Stamp | None
    fixed: bool
    # Where the second wheel's crankpin is ticked in, while that is asked for.
    pin_at: str = ""
    # That a pin is not in over which its heights were read, where no heights are asked for that say so.
    pins_first: str = ""

    @property
    def wish(self) -> str:
        """What a tap on it asks for."""
        if self.axle.quartered:
            return "no quartered"
        return f"yes {TOGETHER}" if self.second is not None else "yes quartered"

    @property
    def state(self) -> str:
        """How the row stands."""
        if self.axle.quartered:
            return "done"
        return "next" if self.both_on or self.second is not None else "later"


@dataclass(frozen=True)
class WheelSheet:
    """The checklist of an axle with its two places, or of one casting alone; each part is put together when it is drawn."""

    build: BuildView
    axle: AxleView | None
    at_places: tuple[tuple[str, CastingView | None], ...]
    coupled: bool
    # The castings that stood at its places before they were emptied.
    stood: frozenset[int] = frozenset()

    @property
    def wheels(self) -> tuple[CastingView, ...]:
        """The castings it shows."""
        return tuple(wheel for _, wheel in self.at_places if wheel)

    @cached_property
    def places(self) -> tuple[AxlePlace, ...]:
        """The wheels at its head."""
        return tuple(
            AxlePlace(side, wheel_head(self.build, wheel, alone=len(self.at_places) == 1) if wheel else None)
            for side, wheel in self.at_places
        )

    @cached_property
    def spares(self) -> tuple[Tile, ...]:
        """What may be put in an empty place."""
        empty = any(wheel is None for _, wheel in self.at_places)
        if not empty:
            return ()
        # Those that stood here come first; the others as they are, most advanced first.
        return tiles(self.build, sorted(usable_spares(self.build), key=lambda one: one.id not in self.stood))

    @cached_property
    def axle_row(self) -> AxleTickRow | None:
        """The axle's own stage."""
        return _axle_row(self.build, self.axle) if self.axle else None

    @property
    def progress(self) -> Progress:
        """Stage ticks done of all there are to do, on both wheels of an axle or on the one casting."""
        if len(self.at_places) > 1 and self.axle:
            return progress_of(self.build, (self.axle,))
        (wheel,) = self.wheels
        return Progress(sum(map(wheel.has, self._stages)), len(self._stages))

    @property
    def gauges(self) -> AxleGauges | None:
        """Whether the axle goes on the track."""
        return facts_of(self.build).gauges(self.axle) if self.axle else None

    @property
    def own_sizes(self) -> Answer | None:
        """What the axle's own sizes are worth; None while none is judged."""
        return facts_of(self.build).assembly(self.axle).answer if self.axle else None

    @cached_property
    def _order(self) -> Order:
        return self.build.order_of(self.axle or self.wheels[0])

    @cached_property
    def _stages(self) -> tuple[Stage, ...]:
        """Quartering stands under pressed, for it is done with the second wheel."""
        return as_worked(self._order.stages)

    @cached_property
    def _opened(self) -> Stage | None:
        """The first stage that is next of a wheel: there the work stands; of an archived build nowhere."""
        if self.build.archived:
            return None
        nexts = {next_stage(wheel.ticked, self._order) for wheel in self.wheels} - {Stage.QUARTERED}
        return next((stage for stage in self._stages if stage in nexts), None)

    @cached_property
    def _passed(self) -> dict[int, dict[str, Stamp]]:
        """What was let pass, asked once of each wheel: the judges behind it are many."""
        return {wheel.id: dict(let_pass(self.build, wheel)) for wheel in self.wheels}

    @cached_property
    def rows(self) -> tuple[StageRow, ...]:
        """The list of stages; of a scrapped casting those that were done."""
        rows = map(self.row, self._stages)
        return tuple(row for row in rows if row.state == "done") if self.scrapped else tuple(rows)

    @property
    def scrapped(self) -> bool:
        """Whether it is the sheet of a casting that is scrapped."""
        return any(wheel.state == "scrapped" for wheel in self.wheels)

    def _fixed(self, wheel: CastingView) -> bool:
        return self.build.archived or wheel.state == "scrapped"

    def row(self, stage: Stage) -> StageRow:
        """The row of a stage."""
        halves = tuple(self._half(stage, wheel) if wheel else None for _, wheel in self.at_places)
        states = [half.state for half in halves if half]
        done = bool(states) and all(state == "done" for state in states)
        state = "done" if done else "next" if {"next", "refused"} & set(states) else "later"
        steps = tuple(
            StepRow(
                step.key,
                step.words,
                tuple(
                    StepHalf(wheel, wheel.ticks.get(step.key), self._fixed(wheel)) if wheel else None
                    for _, wheel in self.at_places
                ),
            )
            for step in self._order.steps(stage)
        )
        caution = kind_cautions(FitKind(self.build.fit))[0] if stage is Stage.PRESSED else stage.caution
        return StageRow(stage, state, stage is self._opened, halves, steps, caution, self._order)

    def _half(self, stage: Stage, wheel: CastingView) -> StageHalf:
        stamp, following = wheel.ticks.get(stage.value), next_stage(wheel.ticked, self._order)
        objection = None
        needs: tuple[str, ...] = ()
        if stage is following and stage is not Stage.QUARTERED and not self._fixed(wheel):
            objection = objection_to(self.build, wheel, stage.value, datetime.now(UTC), brief=True)
            joint = facts_of(self.build.of(wheel)).joints.of(wheel)
            held = joint.hold_words() if joint else ""
            needs = objection.each if objection else (held,) if held else ()
        later = stage is not following or self._fixed(wheel)
        state = "done" if stamp else "later" if later else "refused" if objection else "next"
        passed = self._passed[wheel.id].get(stage.words)
        pin_at = "" if later else crankpin_at(self.build, wheel, stage.value)
        return StageHalf(wheel, state, stamp, needs, passed, self._fixed(wheel), pin_at)

    @property
    def list_words(self) -> str:
        """What must still go on the axle before its second wheel, in a line; empty where that does not matter now."""
        return list_line(self.axle) if self.axle is not None and self.gauges is not None else ""

    @property
    def may_fold(self) -> int:
        """How many rows at the top are done and may be folded: none that has something to say, and not the last.

        While an axle is being quartered the last one too, for the heights of its pins want more room than other readings.
        """
        done = 0
        while done < len(self.rows) and self.rows[done].state == "done" and not self._speaks(self.rows[done]):
            done += 1
        quartering = (
            any(row.key == Stage.PRESSED.value and row.opened for row in self.rows)
            and self.axle_row is not None
        )
        return 0 if done < 3 else done if quartering else done - 1

    def _speaks(self, row: StageRow) -> bool:
        """Whether it says that something is not right: an axle that is not quartered well."""
        own = self.axle_row if row.of_axle else None
        return own is not None and any(look != "serves" for look, _ in own.angles)

    @property
    def opened_keys(self) -> tuple[str, ...]:
        """The stages whose small steps stand open because they are next."""
        return (self._opened.value,) if self._opened else ()

    def last_halves(self, folded: int) -> tuple[StageHalf | None, ...]:
        """The ticks that a fold of so many rows shows: those of its last that is not the axle's own."""
        return next((row.halves for row in reversed(self.rows[:folded]) if not row.of_axle), ())

    def at(self, key: str) -> int:
        """Which row a stage or a small step of a wheel stands in; -1 where it is in none."""
        for number, row in enumerate(self.rows):
            if not row.of_axle and key in (row.key, *(step.key for step in row.steps)):
                return number
        return -1

    @property
    def at_axle(self) -> int:
        """Which row is the axle's own; -1 where there is none."""
        return next((number for number, row in enumerate(self.rows) if row.of_axle), -1)


def wheel_head(build: BuildView, casting: CastingView, *, alone: bool = True) -> WheelHead:
    """A wheel at the head of its sheet; an axle's list itself says what is next, but for a hole that no stage stands for."""
    said = casting.state != "scrapped" and (alone or hole_next(build, casting))
    return WheelHead(
        casting=casting,
        where=build.where(casting),
        stage_words=stage_words(build, casting),
        next_words=next_words(build, casting) if said else "",
        picture=picture_of(build, casting),
        line=wheel_line(build, casting),
        band=joint_band(build, casting),
    )


def _may_fix_and_quarter(build: BuildView, axle: AxleView) -> bool:
    objection = objection_to_axle(build, axle, TOGETHER)
    return objection is None or objection.strength is Strength.CONFIRM


def _axle_row(build: BuildView, axle: AxleView) -> AxleTickRow | None:
    if not axle.coupled:
        return None
    second = second_to_fix(axle)
    if second is not None and not _may_fix_and_quarter(build, axle):
        second = None
    on = len(axle.wheels) == len(SIDES) and all(wheel.has(Stage.PRESSED) for wheel in axle.wheels)
    passed = next((dict(let_pass(build, one)).get(Stage.QUARTERED.words) for one in axle.wheels), None)
    pin_at = crankpin_at(build, second, Stage.PRESSED.value) if second is not None else ""
    angles = tuple(_angles(build, axle))
    measured = angles and all(look != "not" for look, _ in angles)
    first = pins_missing(build, axle) if measured else ""
    return AxleTickRow(axle, on, second, angles, passed, build.archived, pin_at, first)


def _angles(build: BuildView, axle: AxleView) -> Iterator[tuple[str, str]]:
    """How each angle looks, and what is said of it."""
    found = facts_of(build).quartering.of(axle)
    for one in quarter_said(found.sheet) if found.sheet else ():
        yield one.look, f"{one.word}. {one.words}"


def axle_sheet(build: BuildView, axle: AxleView, stood: frozenset[int] = frozenset()) -> WheelSheet:
    """The checklist page of one axle; `stood` is which castings went to the spares from it."""
    at_places = tuple((side, axle.at(side)) for side in SIDES)
    return WheelSheet(build, axle, at_places, axle.coupled, stood)


def casting_sheet(build: BuildView, casting: CastingView) -> WheelSheet:
    """The checklist page of one casting alone."""
    at_places = ((casting.side or "", casting),)
    return WheelSheet(build, build.axle(casting.axle_id), at_places, build.order_of(casting).coupled)
