"""The crankpins of each wheel, ready to show: a line each, and what stands behind it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.answer import worst
from domain.joints import words
from webapp.facts.crankpins import PinState, pin_of
from webapp.facts.unfit import usable_spares
from webapp.records.views import BuildView


@dataclass(frozen=True, slots=True)
class PinRow:
    """One wheel's pin: what is known, and its reserves and bending in words."""

    state: PinState
    more: tuple[str, ...]


def pin_rows(build: BuildView) -> tuple[PinRow, ...]:
    """The coupled wheels in their order, then the spares of a pattern that has cranks."""
    on = [wheel for axle in build.axles if axle.coupled for wheel in axle.wheels]
    spare = [one for one in usable_spares(build) if build.order_of(one).coupled]
    return tuple(_row(build, pin_of(build, one)) for one in (*on, *spare))


def pins_words(rows: Sequence[PinRow]) -> str:
    """How many are measured, the spares for themselves, and the worst of what is known of them."""
    known = [answer for one in rows if (answer := one.state.answer) is not None]
    spares = [one for one in rows if one.state.casting.state == "spare"]
    said = f"{_measured([one for one in rows if one not in spares])} measured"
    of_spares = f", and {_measured(spares)} spares" if spares else ""
    worst_words = f": {worst(*known).words}" if known else ""
    return f"Crankpins as made: {said}{of_spares}{worst_words}"


def _measured(rows: Sequence[PinRow]) -> str:
    return f"{sum(one.state.answer is not None for one in rows)} of {len(rows)}"


def _row(build: BuildView, state: PinState) -> PinRow:
    found = state.finding
    if found is None:
        return PinRow(state, (state.trouble,) if state.trouble else ())
    invented = found.case.invented
    placeholders = (f"Placeholders, not your engine's figures: {', '.join(invented)}.",) if invented else ()
    exact = ("Hole or pin was read without an instrument, so it is taken as exact.",) if state.exact else ()
    reason = words.held_reason(found.held, build.unit)
    return PinRow(
        state, (reason, *(one.words for one in found.factors), words.pin_side(found), *placeholders, *exact)
    )
