"""What was set on a wheel: the operation that is looked at, all the others, and everything that was ever set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.cutting.operations import next_operation, operations
from domain.repeating.settings import TASKS, Setting, Task
from webapp.facts.as_set import AsSet, SetBox, all_as_set, set_box
from webapp.records.as_set import SettingEntry
from webapp.records.views import BuildView, CastingView
from webapp.typed.as_set import example
from webapp.typed.texts import Typed


@dataclass(frozen=True, slots=True)
class SetField:
    """One thing to be typed: its name, its label and an example; a keypad for figures would have no unit."""

    name: str
    words: str
    example: str


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One thing that was set at some time, in words."""

    entry: SettingEntry
    operation: str
    words: str


@dataclass(frozen=True, slots=True)
class RepeatSheet:
    """The sheet of a wheel: the operation looked at with its form as it begins, and what stands of every operation."""

    box: SetBox
    fields: tuple[SetField, ...]
    start: Typed
    tasks: tuple[Task, ...]
    lines: tuple[AsSet, ...]
    every: tuple[EntryLine, ...]


def repeat_sheet(
    build: BuildView, casting: CastingView, key: str, every: Sequence[SettingEntry]
) -> RepeatSheet:
    """The sheet of an operation by its key; of any other key, of the one that is next."""
    tasks = tasks_of(build, casting)
    order = build.order_of(casting)
    following = next_operation(operations(order.route, coupled=order.coupled), casting.ticked)
    known = {one.key for one in tasks}
    own = key if key in known else following.key if following else tasks[-1].key
    box = set_box(build, casting, own, "", {})
    return RepeatSheet(
        box,
        tuple(SetField(one.value, one.words, example(one, build.unit)) for one in box.task.settings),
        _start(casting, box),
        tasks,
        all_as_set(build, casting, tasks),
        tuple(
            EntryLine(
                one, TASKS[one.operation].words, f"{Setting(one.key).words}: {one.text or 'taken back'}"
            )
            for one in every
        ),
    )


def tasks_of(build: BuildView, casting: CastingView) -> tuple[Task, ...]:
    """The operations that something can be set for on this wheel."""
    coupled = build.order_of(casting).coupled
    return tuple(one for one in TASKS.values() if coupled or not one.coupled_only)


def _start(casting: CastingView, box: SetBox) -> Typed:
    """The form as it begins: with what stands, else with what was set on the wheel before."""
    own = casting.settings.get(box.task.key, {})
    before = box.as_on.casting.settings.get(box.task.key, {}) if box.as_on and not box.now else {}
    return Typed({key: [one.text] for key, one in {**before, **own}.items()})
