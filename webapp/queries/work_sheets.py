"""The work sheets that belong to each stage, so that each is opened from where it is needed."""

from __future__ import annotations

from dataclasses import dataclass

from domain.stages import Stage


@dataclass(frozen=True, slots=True)
class WorkSheet:
    """A work sheet: what it is called and where it is; an axle's own sheet only where the wheel is on one."""

    words: str
    address: str


_RECEIVING = ("Receiving", "/castings/{casting}/receiving")
_TRUE = ("Setting true", "/castings/{casting}/true")
_METAL = ("Metal left", "/castings/{casting}/metal")
_SPEEDS = ("Speeds and feeds", "/castings/{casting}/speeds")
_SWING = ("Will it swing?", "/castings/{casting}/swing")
_STROKES = ("Hand strokes", "/castings/{casting}/strokes")
ALL = (_RECEIVING, _TRUE, _METAL, _SPEEDS, _SWING, _STROKES)
_OF_STAGE: dict[Stage, tuple[tuple[str, str], ...]] = {
    Stage.RECEIVED: (_RECEIVING,),
    Stage.BACK_FACED: (_SWING, _TRUE, _METAL, _SPEEDS),
    Stage.BORED: (_TRUE, _METAL, _SPEEDS, _STROKES),
    Stage.TREAD_TURNED: (_METAL, _SPEEDS),
}


def of_stage(stage: Stage, casting_id: int, coupled: bool) -> tuple[WorkSheet, ...]:
    """The sheets that a stage's work asks for; a carrying wheel has no crank boss to face."""
    return tuple(
        WorkSheet(words, address.format(casting=casting_id))
        for words, address in _OF_STAGE.get(stage, ())
        if coupled or (words, address) != _STROKES
    )


def all_of(casting_id: int) -> tuple[WorkSheet, ...]:
    """Every work sheet of one casting."""
    return tuple(WorkSheet(words, address.format(casting=casting_id)) for words, address in ALL)
