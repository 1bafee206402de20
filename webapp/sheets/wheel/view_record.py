"""An axle's record: who ticked each stage of its wheels and when, what is on it, and the axle as made."""

from __future__ import annotations

from dataclasses import dataclass

from domain.route.stages import Stage, as_worked
from webapp.facts.castings import Tile, tiles
from webapp.facts.let_pass import passed_of
from webapp.facts.made_record import RecordGroup, record_of
from webapp.records.views import AxleView, BuildView, CastingView, Stamp


@dataclass(frozen=True, slots=True)
class RecordStage:
    """A stage and its tick on each wheel of the axle, None where it is not ticked; the axle's own is on both."""

    words: str
    stamps: tuple[Stamp | None, ...]


@dataclass(frozen=True, slots=True)
class AxleRecord:
    """All that the record of one axle shows."""

    wheels: tuple[Tile, ...]
    stages: tuple[RecordStage, ...]
    groups: tuple[RecordGroup, ...]
    # What was let pass and is still in doubt: the mark, the stage, and the words with the reason.
    passed: tuple[tuple[str, str, Stamp], ...]


def axle_record(build: BuildView, axle: AxleView) -> AxleRecord:
    """The record as it stands now."""
    stages = as_worked(build.order(axle.coupled).stages)
    return AxleRecord(
        wheels=tiles(build, axle.wheels),
        stages=tuple(
            RecordStage(one.words, tuple(_stamp(axle, wheel, one) for wheel in axle.wheels)) for one in stages
        ),
        groups=record_of(build, axle),
        passed=passed_of(build, (axle,)),
    )


def _stamp(axle: AxleView, wheel: CastingView, stage: Stage) -> Stamp | None:
    return axle.quartered if stage is Stage.QUARTERED else wheel.ticks.get(stage.value)
