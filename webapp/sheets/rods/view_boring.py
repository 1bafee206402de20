"""What the rods are bored to, ready to show."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from domain.joints.kinds import FitError
from domain.lengths import Unit, show, show_small
from domain.rods.boring import RodBoring, bore_rods
from domain.rods.engine import RodsError
from webapp.facts.joint_terms import figures_of
from webapp.facts.rods import CoupledRods, coupled_of, pairs_of
from webapp.records.views import BuildView
from webapp.typed.rods import figure_of

# A picture stepped by hand asks for the same table at each step.
_bored = lru_cache(maxsize=64)(bore_rods)


@dataclass(frozen=True, slots=True)
class BoringRow:
    """One rod: its two axles and side, the centres, and the least bore of each bush; `play` is that over its pin."""

    rod: str
    centres: str
    front: str
    rear: str
    play: str


@dataclass(frozen=True, slots=True)
class Boring:
    """The table, only of rods whose axle centres were measured; `pins` says where the pins are from, `trouble` why not."""

    rows: tuple[BoringRow, ...] = ()
    pins: str = ""
    trouble: str = ""


def pins_of(build: BuildView) -> dict[int, tuple[int, int]]:
    """By the axle in front of two, where their rods' bushes run, nm; empty while the figures of the joints say nothing."""
    try:
        pins = [(axle.id, figures_of(build.of(axle)).nm("pin_journal")) for axle in coupled_of(build)]
    except FitError:
        return {}
    return {own: (one, two) for (own, one), (_, two) in pairwise(pins)}


def boring_view(build: BuildView, found: CoupledRods) -> Boring | None:
    """What the rods are bored to; None while no axle centres can be gone by."""
    engine = found.engine
    measured = {
        (pair.front, pair.rear)
        for pair in pairs_of(build)
        if figure_of(build.rods, pair.axle_id, "left", "centre") is not None
    }
    if engine is None or not measured:
        return None
    try:
        pins = tuple(figures_of(build.of(axle)).nm("pin_journal") for axle in found.axles)
        bored = _bored(engine, pins, build.unit)
    except FitError as error:
        return Boring(trouble=str(error))
    except RodsError:
        return None  # what no engine can have is said at the head of the sheet already
    rows = tuple(_row(one, build.unit) for one in bored if (one.first, one.second) in measured)
    typed = "pin_journal" in build.joint_texts
    return Boring(rows, "as typed for the joints" if typed else "as large as the drawing's crankpin hole")


def _row(one: RodBoring, unit: Unit) -> BoringRow:
    return BoringRow(
        rod=f"{one.first} and {one.second}, {one.side}",
        centres=show(one.centre_nm, unit),
        front=show(one.front_nm, unit),
        rear=show(one.rear_nm, unit),
        play=show_small(one.clearance_nm, unit),
    )
