"""The card of a batch's set-up, to lie by the machine: what is set for each operation, and the castings in their order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from domain.repeating.settings import Task, tasks_in
from domain.repeating.words import each_words
from domain.route.set_ups import Work
from webapp.facts.as_set import AsOn, all_as_set, as_on
from webapp.facts.batch_cautions import cautions_of
from webapp.facts.batch_views import BatchView, TurnView
from webapp.facts.turn_figures import BigFigure, figures_of, size_from
from webapp.records.machines import MachineView
from webapp.records.views import BuildView, CastingView, Measured, Stamp
from webapp.sheets.cutting.form_speeds import Tried
from webapp.sheets.cutting.view_speeds import SpeedCard, speed_sheet


@dataclass(frozen=True, slots=True)
class OperationRow:
    """One operation and the castings that it is set so for; `speed` is None for holding the work.

    marks: empty where it is set so for all of them; before: the wheel that was set last for it.
    """

    words: str
    marks: str
    speed: SpeedCard | None
    before: AsOn | None


@dataclass(frozen=True, slots=True)
class CastingRow:
    """One casting in its turn: what it is to come to, what it came to, how it was set, and who ticked it."""

    turn: TurnView
    casting: CastingView
    figures: tuple[BigFigure, ...]
    came: Measured | None
    set_words: str
    stamp: Stamp | None


@dataclass(frozen=True, slots=True)
class SetUpCard:
    """The card of one batch."""

    batch: BatchView
    operations: tuple[OperationRow, ...]
    castings: tuple[CastingRow, ...]
    cautions: tuple[str, ...]

    @property
    def numbered(self) -> tuple[tuple[int, CastingRow], ...]:
        """The castings with their place in the order."""
        return tuple(enumerate(self.castings, 1))


def set_up_card(build: BuildView, batch: BatchView, machines: Sequence[MachineView]) -> SetUpCard:
    """The card as the batch stands now; what is left out of it is not on it."""
    there = [turn for turn in batch.turns if turn.state != "out"]
    castings = [casting for turn in there for casting in turn.castings]
    return SetUpCard(
        batch,
        tuple(_operations(build, batch, castings, machines)),
        tuple(_row(build, batch, turn, casting) for turn in there for casting in turn.castings),
        cautions_of(batch.set_up),
    )


def _operations(
    build: BuildView, batch: BatchView, castings: Sequence[CastingView], machines: Sequence[MachineView]
) -> Iterator[OperationRow]:
    speeds = {
        one.id: {card.key: card for card in speed_sheet(build.of(one), one, machines, Tried()).cards}
        for one in castings
    }
    for task in tasks_in(batch.set_up):
        mine = [one for one in castings if build.order_of(one).coupled or not task.coupled_only]
        if task.brief:
            yield from _cuts(build, task, [(one, speeds[one.id].get(task.key)) for one in mine])
        elif mine:
            yield OperationRow(task.words, "", None, as_on(build, mine[-1], (task,)))


def _cuts(
    build: BuildView, task: Task, found: Sequence[tuple[CastingView, SpeedCard | None]]
) -> Iterator[OperationRow]:
    """A row for the castings that one operation is set alike for; none where their route has no such operation."""
    alike: dict[tuple[str, ...], list[tuple[CastingView, SpeedCard]]] = {}
    for casting, card in found:
        if card is not None:
            key = (
                card.figure,
                card.machine,
                card.tool,
                card.feed,
                card.depth,
                card.held,
                card.by_hand,
                card.trouble,
            )
            alike.setdefault(key, []).append((casting, card))
    for group in alike.values():
        marks = ", ".join(casting.mark for casting, _ in group) if len(alike) > 1 else ""
        yield OperationRow(task.words, marks, group[0][1], as_on(build, group[-1][0], (task,)))


def _row(build: BuildView, batch: BatchView, turn: TurnView, casting: CastingView) -> CastingRow:
    # What the reamer wants stands once, with its operation.
    works = tuple(Work.LOG_BORE if one is Work.BORE else one for one in turn.works)
    tasks = tasks_in(batch.set_up, coupled=build.order_of(casting).coupled)
    return CastingRow(
        turn,
        casting,
        tuple(figures_of(build, casting, works)),
        size_from(casting, batch.set_up.works),
        each_words([(one.task.brief, one.words) for one in all_as_set(build, casting, tasks)]),
        casting.ticks.get(batch.set_up.key),
    )
