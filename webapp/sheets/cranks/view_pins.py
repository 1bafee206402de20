"""The crankpins of each wheel, ready to show: a line each, and what stands behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from domain.answer import Answer, worst
from domain.joints import words
from domain.joints.held import Bonded
from domain.repeating.settings import Setting
from domain.route.stages import CRANKPIN_IN
from webapp.drawing.band import Band, band_of
from webapp.facts.as_set import SetBox, set_box
from webapp.facts.before_tick import asked_again
from webapp.facts.crankpins import PinState, pin_of, ticked_at
from webapp.facts.jigs import JigOf
from webapp.facts.unfit import usable_spares
from webapp.records.views import BuildView

# The operation that a jig is kept with.
_DRILLED = "drill_crankpin"


@dataclass(frozen=True, slots=True)
class PinRow:
    """One wheel's pin: what is known, its reserves and bending in words, where it is ticked in, and what was let pass."""

    state: PinState
    more: tuple[str, ...]
    ticked_at: str
    # What its hole was drilled with, and the jig to keep with it.
    drilled: SetBox
    passed: str = ""
    # Of its fit, where the hole or the pin is measured and limits are known.
    band: Band | None = None


def pin_rows(build: BuildView, jigs: Sequence[JigOf]) -> tuple[PinRow, ...]:
    """The coupled wheels in their order, then the spares of a pattern that has cranks."""
    on = [wheel for axle in build.axles if axle.coupled for wheel in axle.wheels]
    spare = [one for one in usable_spares(build) if build.order_of(one).coupled]
    # Only one that fits is proposed, and none where a jig is said already.
    fits = next((one.view.name for one in jigs if one.fit.answer in (Answer.SERVES, Answer.CAUTION)), "")
    return tuple(_row(build, pin_of(build, one), fits) for one in (*on, *spare))


def pins_words(rows: Sequence[PinRow]) -> str:
    """How many are measured, the spares for themselves, and the worst of what is known of them."""
    known = [answer for one in rows if (answer := one.state.answer) is not None]
    spares = [one for one in rows if one.state.casting.state == "spare"]
    said = f"{_measured([one for one in rows if one not in spares])} measured"
    of_spares = f", and {_measured(spares)} spares" if spares else ""
    worst_words = f": {worst(*known).words}" if known else ""
    in_now = sum(one.state.in_wheel is not None for one in rows)
    return f"Crankpins as made: {said}{of_spares}{worst_words}; {in_now} in"


def _measured(rows: Sequence[PinRow]) -> str:
    return f"{sum(one.state.answer is not None for one in rows)} of {len(rows)}"


def _row(build: BuildView, state: PinState, jig: str) -> PinRow:
    wheel = state.casting
    said = wheel.settings.get(_DRILLED, {}).get(Setting.JIG.value)
    proposed = {Setting.JIG: jig} if jig and not (said and said.text) else {}
    box = set_box(build, wheel, _DRILLED, "crankpins", proposed)
    return PinRow(
        state,
        tuple(_more(build, state)),
        ticked_at(build, wheel, CRANKPIN_IN),
        box,
        _passed(build, state),
        _band(build, state),
    )


def _band(build: BuildView, state: PinState) -> Band | None:
    """The gap or the interference that is wanted, and the one there is."""
    if state.finding is None:
        return None
    held = state.finding.held
    if isinstance(held, Bonded):
        gap, nm = held.joint.sheet.gap, held.gap_nm
        wanted = (gap.least_nm, gap.most_nm)
    elif held.joint.wanted_nm is not None:
        wanted, nm = held.joint.wanted_nm, held.interference_nm
    else:
        return None
    look = held.kind.answer.look
    return band_of(*wanted, build.unit, state.fit_words, (nm, held.uncertainty_nm), look)


def _more(build: BuildView, state: PinState) -> Iterator[str]:
    found = state.finding
    if found is None:
        if state.trouble:
            yield state.trouble
        return
    yield words.held_reason(found.held, build.unit)
    yield from (one.words for one in found.factors)
    yield words.pin_side(found)
    if found.case.invented:
        yield f"Placeholders, not your engine's figures: {', '.join(found.case.invented)}."
    if state.exact:
        yield "Hole or pin was read without an instrument, so it is taken as exact."


def _passed(build: BuildView, state: PinState) -> str:
    """What was let pass as it was ticked in and is still in doubt."""
    stamp = state.in_wheel
    stands = stamp is not None and stamp.let_pass and asked_again(build, state.casting, CRANKPIN_IN)
    return stamp.let_pass_words if stamp is not None and stands else ""
