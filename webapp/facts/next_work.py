"""What next: the planned order of all remaining work, with the fewest changes of set-up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from domain.route.planning import Batch, Plan
from domain.route.set_ups import SetUp, Work
from domain.route.shop import as_done
from domain.route.stages import Stage
from domain.route.words import set_up_title, turn_words, waiting_line, why_words
from domain.working import Working
from webapp.facts.batch_views import BatchView
from webapp.facts.facts import facts_of
from webapp.facts.let_pass import passed_of
from webapp.facts.not_right import NotRight, not_right
from webapp.facts.planned import plan_of, set_for
from webapp.facts.unfit import usable_spares
from webapp.facts.wheels import paint_waits
from webapp.records.views import SIDES, BuildView, CastingView

# Works that a page says otherwise than the plan does.
_OPERATIONS = {
    Work.RECEIVE: "look over and mark",
    Work.BORE: "set true from the front, face it and bore",
}
# Measurements still to be logged of what was done before.
_MEASURED_LATE = (Work.LOG_BORE, Work.LOG_THROW)
_FINISHED = "Every wheel is finished."
_FINISHED_SO = "Every wheel is finished, with what was let pass: the set as made tells it."
_STUCK = "No wheel in work can go on now."
# So many marks are named in one line.
_NAMED = 6


@dataclass(frozen=True, slots=True)
class NextWheel:
    """A wheel that waits for an operation, and the sheet with its checklist."""

    casting_id: int
    mark: str
    where: str
    sheet: str
    placed: bool = True


@dataclass(frozen=True, slots=True)
class NextGroup:
    """A batch of the plan: the set-up, what is done in it, to which wheels, and why so."""

    set_up: SetUp
    # One line for each thing done; what is left to measure comes before it and names its wheels.
    operations: tuple[str, ...]
    wheels: tuple[NextWheel, ...]
    turns: tuple[str, ...]
    why: str
    # The same work in one line with its wheels, and without them.
    headline: str
    works: str

    @property
    def title(self) -> str:
        """The set-up as a heading."""
        return set_up_title(self.set_up)

    @property
    def castings(self) -> str:
        """Its castings' numbers, as the form that starts it sends them."""
        return " ".join(str(wheel.casting_id) for wheel in self.wheels)


@dataclass(frozen=True, slots=True)
class FirstThing:
    """What is next at first sight, a line each: how it is held, the marks and the work, and what follows."""

    where: str
    headline: str
    then: str
    # The batch to begin or to go on with, or what is to be put right; none of them where nothing can go on.
    begin: NextGroup | None = None
    running: BatchView | None = None
    mend: NotRight | None = None
    # Whose paint waits until it is put right.
    waits: str = ""
    casting_ids: tuple[int, ...] = ()

    @property
    def paint(self) -> bool:
        """Whether it is the paint, which comes after all else."""
        return self.begin is not None and self.begin.set_up is SetUp.PAINTING


@dataclass(frozen=True, slots=True)
class NextWork:
    """The planned batches, the one that runs, what is to be put right before its wheels go on, and what waits."""

    groups: tuple[NextGroup, ...]
    changes: str
    working: Working
    running: BatchView | None
    mend: tuple[NotRight, ...]
    unpainted: tuple[NextWheel, ...]
    waiting: tuple[str, ...]
    # What is said where nothing is left to do.
    done_words: str
    # How often the set-up is changed to the end of the plan.
    changes_left: int

    @property
    def goes_on(self) -> bool:
        """Whether the batch that runs has wheels still to do."""
        return self.running is not None and bool(self.running.of("open"))

    @property
    def startable(self) -> bool:
        """Whether the first batch is another one than the one to go on with."""
        same = (
            self.goes_on
            and self.running is not None
            and self.groups[:1]
            and (self.groups[0].set_up is self.running.set_up)
        )
        return bool(self.groups) and not same

    @property
    def first(self) -> NextGroup | None:
        """The batch to start with."""
        return self.groups[0] if self.groups else None

    @property
    def paint_waits(self) -> str:
        """Whose paint waits for what is to be put right; empty where none does."""
        marks = _marks_words([wheel.mark for wheel in self.unpainted])
        return f"Paint waits for it: {marks}" if marks else ""

    @property
    def first_thing(self) -> FirstThing:
        """What a person does now."""
        going_on = self.running if self.goes_on else None
        coming = going_on.set_up if going_on else self.first.set_up if self.first else None
        if self.mend and coming in (None, SetUp.PAINTING):
            return self._mending(self.mend[0])
        if going_on is not None:
            return self._going_on(going_on)
        if self.first is None:
            return FirstThing("", _STUCK if self.waiting else self.done_words, next(iter(self.waiting), ""))
        ids = tuple(wheel.casting_id for wheel in self.first.wheels)
        where = f"Next, {self.first.set_up.words}"
        # Spares are looked over with the rest, and nothing follows for them.
        placed = tuple(wheel.casting_id for wheel in self.first.wheels if wheel.placed)
        then = self._then(self.groups[1:2], placed)
        return FirstThing(where, self.first.headline, then, self.first, casting_ids=ids)

    def _mending(self, line: NotRight) -> FirstThing:
        """Nothing but paint is left to do: what is no good comes before it."""
        return FirstThing(
            "Next, before any paint" if self.unpainted or self.groups else "Next",
            f"Put right: {line.words}",
            self._then(self.groups[:1]) if self.groups else "",
            mend=line,
            waits=self.paint_waits,
        )

    def _going_on(self, running: BatchView) -> FirstThing:
        turns = running.of("open")
        works = _joined(as_done(running.set_up, (work for turn in turns for work in turn.works)))
        same = bool(self.groups) and self.groups[0].set_up is running.set_up
        return FirstThing(
            f"Next, {running.set_up.words}: {running.done} of {running.total} done",
            f"{_marks_words(running.marks_to_do)}: {works}",
            self._then(
                self.groups[1:2] if same else self.groups[:1],
                tuple(
                    casting.id for turn in turns for casting in turn.castings if casting.state == "in_work"
                ),
            ),
            running=running,
            casting_ids=tuple(casting.id for turn in turns for casting in turn.castings),
        )

    def _then(self, following: Sequence[NextGroup], now: Sequence[int] = ()) -> str:
        """What follows; with its wheels where it is not done to all that stand beside it: some may have no crank."""
        group = next(iter(following), None)
        theirs = group is not None and {wheel.casting_id for wheel in group.wheels}.issuperset(now)
        first = f"then {group.works if now and theirs else group.headline}; " if group else ""
        changes = {0: "no change", 1: "one change"}.get(self.changes_left, f"{self.changes_left} changes")
        return f"{first}{changes} of set-up to the end of what can be planned"


def plan_beside(build: BuildView, running: BatchView | None) -> Plan:
    """The plan while a batch runs, or none: its set-up stands, and what was skipped in it is left for later."""
    if running is None:
        return plan_of(build)
    castings = (casting for turn in running.turns for casting in turn.castings)
    # One that was put together of several is set for none of them.
    set_now = set_for(build, running.set_up, castings)
    pattern = next(iter(set_now)) if len(set_now) == 1 else None
    return plan_of(build, running.set_up, running.skipped, pattern)


def next_work(build: BuildView, running: BatchView | None = None) -> NextWork:
    """What can be done next on the wheels in work; the spares are only looked over with the rest."""
    plan = plan_beside(build, running)
    wheels = {
        wheel.id: NextWheel(wheel.id, wheel.mark, build.where(wheel), f"/axles/{axle.id}")
        for axle in build.axles
        for wheel in axle.wheels
    } | {
        spare.id: NextWheel(spare.id, spare.mark, build.where(spare), f"/castings/{spare.id}", placed=False)
        for spare in build.spares
    }
    in_work = [wheel for axle in build.axles for wheel in axle.wheels]
    mend = [wheel for wheel in in_work if _to_mend(build, wheel)]
    unpainted = [wheel for wheel in in_work if paint_waits(build, wheel)]
    wrong = tuple(_mended_first(build, mend, unpainted))
    # Where a line says what is to be put right, it need not be said of each wheel.
    told = {wheel.id for wheel in (*mend, *(unpainted if wrong else ()))}
    waiting = [
        *_empty_places(build),
        *(waiting_line(one) for one in plan.waiting if one.key not in told),
    ]
    return NextWork(
        groups=tuple(_group(batch, wheels) for batch in plan.batches),
        changes=_changes_words(plan, running),
        working=plan.working,
        running=running,
        mend=wrong,
        unpainted=tuple(wheels[wheel.id] for wheel in unpainted) if wrong else (),
        waiting=tuple(dict.fromkeys(waiting)),
        done_words=_FINISHED_SO if passed_of(build, build.axles) else _FINISHED,
        changes_left=plan.changes,
    )


def operation_words(works: Sequence[Work]) -> str:
    """Works one after the other, as a heading."""
    return _sentence(_joined(works))


def _joined(works: Sequence[Work]) -> str:
    return ", then ".join(_said(work) for work in works)


def _said(work: Work) -> str:
    return _OPERATIONS.get(work, work.words)


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _group(batch: Batch, wheels: dict[int, NextWheel]) -> NextGroup:
    works = as_done(batch.set_up, (work for turn in batch.turns for work in turn.works))
    marks = [wheels[key].mark for key in batch.keys]
    said = ", then ".join(_said_with(batch, work) for work in works)
    return NextGroup(
        batch.set_up,
        _operation_lines(batch),
        tuple(wheels[key] for key in batch.keys),
        tuple(turn_words(turn) for turn in batch.turns),
        why_words(batch),
        f"{_marks_words(marks)}: {said}",
        _joined(works),
    )


def _said_with(batch: Batch, work: Work) -> str:
    """A work in a line that names its wheels already: again only where it is not all of them."""
    if all(work in turn.works for turn in batch.turns) or work not in _MEASURED_LATE:
        return _said(work)
    return f"{_said(work)} of {_marks_with(batch, work)}"


def _marks_words(marks: Sequence[str]) -> str:
    """Marks in a line; of many the first few, and how many more."""
    if len(marks) <= _NAMED:
        return ", ".join(marks)
    return f"{', '.join(marks[: _NAMED - 1])} and {len(marks) - _NAMED + 1} more"


def _operation_lines(batch: Batch) -> tuple[str, ...]:
    """What is done in a batch, in the order it is done; measuring alone is a line of its own, with its wheels."""
    works = as_done(batch.set_up, (work for turn in batch.turns for work in turn.works))
    measuring = tuple(work for work in works if work in _MEASURED_LATE)
    rest = tuple(work for work in works if work not in _MEASURED_LATE)
    first = "First " if rest else ""
    lines = [_sentence(f"{first}{_said(work)}: {_marks_with(batch, work)}") for work in measuring]
    return (*lines, *((f"Then {_joined(rest)}" if lines else operation_words(rest),) if rest else ()))


def _marks_with(batch: Batch, work: Work) -> str:
    """Its wheels, or its axle where both wheels have their turn together."""
    mine = [turn for turn in batch.turns if work in turn.works]
    return ", ".join(turn.marks[0] if len(turn.marks) == 1 else turn.where for turn in mine)


def _changes_words(plan: Plan, running: BatchView | None) -> str:
    if not plan.batches:
        return ""
    batches = "one batch" if len(plan.batches) == 1 else f"{len(plan.batches)} batches"
    changes = {0: "no change", 1: "one change"}.get(plan.changes, f"{plan.changes} changes")
    now = f", counted from the set-up that stands now ({running.set_up.words})" if running else ""
    return f"All that can be planned now is {batches} with {changes} of set-up{now}. Fewer will not do."


def _empty_places(build: BuildView) -> Iterable[str]:
    for axle in build.axles:
        empty = [side for side in SIDES if axle.at(side) is None]
        if empty:
            yield (
                f"Axle {axle.number}, {' and '.join(empty)}: no wheel there. "
                + ("Open the axle and choose a spare." if usable_spares(build) else "No spare is left.")
            )


def _mended_first(
    build: BuildView, bores: Sequence[CastingView], unpainted: Sequence[CastingView]
) -> Iterable[NotRight]:
    """What is not right of wheels that wait for it; of the rods no wheel is named."""
    marks = {wheel.mark for wheel in (*bores, *unpainted)}
    for line in not_right(build) if marks else ():
        if marks.intersection(line.marks) or (unpainted and not line.marks):
            yield line


def _to_mend(build: BuildView, wheel: CastingView) -> bool:
    return not wheel.has(Stage.PRESSED) and facts_of(build.of(wheel)).joints.spoilt(wheel) is not None
