"""What can hurt in a set-up of the shop: at the head of its batch and on its card. Common practice, no source."""

from __future__ import annotations

from domain.joints.kinds import FitKind
from domain.joints.words import kind_cautions
from domain.route.set_ups import SetUp
from domain.route.stages import Stage
from webapp.records.views import BuildView

_LATHE = (
    "Take the chuck key out, and turn the work clear of the bed by hand before you switch on.",
    "Iron dust is bad for lungs and slideways; a hard spot breaks tools. Wear eye protection.",
)
_PAINT = ("Paint and thinners: ventilate, no flame, and follow their safety data sheets.",)
_CAUTIONS: dict[SetUp, tuple[str, ...]] = {
    SetUp.RECEIVING: ("Cast edges are sharp: wear gloves until they are broken.",),
    SetUp.ROUGH_PAINT: _PAINT,
    SetUp.BACK_OUT: _LATHE,
    SetUp.FRONT_OUT: _LATHE,
    SetUp.CRANKPIN_JIG: (
        "Clamp wheel and jig to the table: a drill that grabs spins what is only held by hand.",
        "Wear eye protection, no gloves at the drill.",
    ),
    SetUp.MANDREL: _LATHE,
    SetUp.BACK_ON_MANDREL: _LATHE,
    SetUp.FIXING: (
        "Press brittle iron behind a guard, with eye protection.",
        "Compound and its cleaner: follow their safety data sheets, ventilate, keep them off the skin.",
    ),
    SetUp.BETWEEN_CENTRES: _LATHE,
    SetUp.QUARTERING: ("A wheel set is heavy and rolls: chock it, and lift it with help.",),
    SetUp.PAINTING: _PAINT,
}


def cautions_of(set_up: SetUp) -> tuple[str, ...]:
    """What can hurt in this set-up."""
    return _CAUTIONS.get(set_up, ())


def caution_line(build: BuildView, set_up: SetUp) -> str:
    """The first of it in one line, where the work is, as the checklist says it; fixing has that of the joint."""
    joint = kind_cautions(FitKind(build.fit)) if set_up.stage is Stage.PRESSED else ()
    return next(iter((*joint, *filter(None, (set_up.stage.caution,)), *cautions_of(set_up))), "")
