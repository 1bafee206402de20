"""The work sheets that belong to each stage, so that each is opened from where it is needed."""

from __future__ import annotations

from dataclasses import dataclass

from domain.route.guards import Order
from domain.route.stages import TYRE_ON, Stage
from webapp.facts.mandrel import on_mandrel
from webapp.records.views import CastingView


@dataclass(frozen=True, slots=True)
class WorkSheet:
    """A work sheet: what it is called, where it is, whether only a wheel with a crank has it, whether it is one casting's
    own, and whether only a wheel whose tread is turned on a mandrel has it, or only one with a steel tyre."""

    words: str
    address: str
    coupled_only: bool = False
    own: bool = False
    on_mandrel_only: bool = False
    tyred_only: bool = False


_RECEIVING = WorkSheet("Receiving", "/castings/{casting}/receiving")
_TRUE = WorkSheet("Setting true", "/castings/{casting}/true")
_METAL = WorkSheet("Metal left", "/castings/{casting}/metal")
_SPEEDS = WorkSheet("Speeds and feeds", "/castings/{casting}/speeds")
_SWING = WorkSheet("Will it swing?", "/castings/{casting}/swing")
_STROKES = WorkSheet("Hand strokes", "/castings/{casting}/strokes", coupled_only=True)
_TREAD = WorkSheet("Tread and flange", "/castings/{casting}/tread")
_MANDREL = WorkSheet("Mandrel", "/castings/{casting}/mandrel", on_mandrel_only=True)
_TYRE = WorkSheet("Tyre", "/castings/{casting}/tyre", tyred_only=True)
_PAIRING = WorkSheet("Fits and pairing", "/builds/{build}/fits")
_CRANKPINS = WorkSheet("Crankpins", "/builds/{build}/crankpins?pattern={pattern}", coupled_only=True)
_QUARTERING = WorkSheet("Quartering", "/axles/{axle}/quartering", coupled_only=True)
_SETTING = WorkSheet("Setting the cranks", "/axles/{axle}/setting", coupled_only=True)
_GAUGES = WorkSheet("Gauges", "/axles/{axle}/gauges")
_ASSEMBLY = WorkSheet("Assembly", "/axles/{axle}/assembly")
_REAMING = WorkSheet("Reamer or boring bar", "/builds/{build}/reaming?pattern={pattern}")
_RODS = WorkSheet("Will the rods go round?", "/builds/{build}/rods", coupled_only=True)
_OF_CASTING = (_RECEIVING, _TRUE, _METAL, _SPEEDS, _SWING, _STROKES, _TYRE, _MANDREL, _TREAD)
_OF_STAGE: dict[Stage, tuple[WorkSheet, ...]] = {
    Stage.RECEIVED: (_RECEIVING,),
    Stage.BACK_FACED: (_SWING, _TRUE, _METAL, _SPEEDS),
    Stage.BORED: (_SWING, _TRUE, _METAL, _SPEEDS, _STROKES, _REAMING, _TYRE, _CRANKPINS),
    Stage.PRESSED: (_PAIRING, _ASSEMBLY, _SETTING, _GAUGES),
    Stage.TREAD_TURNED: (_TYRE, _MANDREL, _METAL, _SPEEDS, _TREAD),
    Stage.QUARTERED: (_CRANKPINS, _SETTING, _QUARTERING, _RODS),
}


def _open(sheets: tuple[WorkSheet, ...], casting: CastingView, order: Order) -> tuple[WorkSheet, ...]:
    """The sheets with this casting in their addresses; a carrying wheel has no crank, a spare no axle."""
    there = {
        "casting": casting.id,
        "build": casting.build_id,
        "axle": casting.axle_id,
        "pattern": casting.pattern_id,
    }
    return tuple(
        WorkSheet(one.words, one.address.format(**there), one.coupled_only, own="{casting}" in one.address)
        for one in sheets
        if (order.coupled or not one.coupled_only)
        and (casting.axle_id or "{axle}" not in one.address)
        and (on_mandrel(order.route) or not one.on_mandrel_only)
        and (order.tyred or not one.tyred_only)
    )


def of_stage(stage: Stage, casting: CastingView, order: Order) -> tuple[WorkSheet, ...]:
    """The sheets that a stage's work asks for; where the back is faced on the mandrel, it goes on the stub for that."""
    first = (_MANDREL,) if stage is Stage.BACK_FACED and order.front_first else ()
    if any(one.key == TYRE_ON for one in order.steps(stage)):
        first = (_TYRE, *first)
    sheets = dict.fromkeys((*first, *_OF_STAGE.get(stage, ())))
    return _open(tuple(sheets), casting, order)


def all_of(casting: CastingView, order: Order) -> tuple[WorkSheet, ...]:
    """Every work sheet of one casting."""
    return _open(_OF_CASTING, casting, order)
