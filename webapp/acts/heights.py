"""Writing down the heights of an axle's crankpins. They are never overwritten: later ones stand beside them."""

from __future__ import annotations

from collections.abc import Iterator

from sqlmodel import Session

from domain.cranks.cylinders import CylindersError
from domain.cranks.quartering import QuarteredAxle, QuarteringError
from domain.cranks.words import QUARTER_ANSWERS, degrees
from domain.lengths import show_typed
from domain.measuring.instruments import InstrumentError
from domain.measuring.uncertainty import UncertaintyError
from webapp.acts.asking import InOneGo, ReadHere, ask_about
from webapp.facts.crankpins import pins_missing
from webapp.facts.expected import across, axle_height, inside_throw, pin_height
from webapp.facts.facts import facts_of
from webapp.facts.heights import heights_view
from webapp.facts.quartering import off_axle_words
from webapp.models import Measurement
from webapp.records.change import AxleChange, change_axle
from webapp.records.heights import PIN_HEIGHTS, HeightsView, PinHeight
from webapp.records.journal import now
from webapp.records.measured import write_measured
from webapp.records.outcome import WHOLE, OutOfDate, Refused
from webapp.records.views import AxleView, BuildView
from webapp.typed.heights import HeightsTyped


def pair_key(axle: AxleView) -> str:
    """Which two castings an axle carries: heights of one pair must not be stored for another."""
    return "-".join("" if wheel is None else str(wheel.id) for wheel in (axle.left, axle.right))


def no_heights_words(build: BuildView, axle: AxleView) -> str:
    """Why this axle's crankpins cannot be measured, or an empty text."""
    if not axle.coupled:
        return f"Axle {axle.number} carries only: it has no crankpins, so there is nothing to quarter."
    empty = [side for side in ("left", "right") if axle.at(side) is None]
    if empty:
        places = " and the ".join(empty)
        return f"The {places} place of axle {axle.number} is empty: a quarter angle needs both wheels."
    return off_axle_words(build, axle)


def check_heights(build: BuildView, axle: AxleView, typed: HeightsTyped) -> None:
    """Refuse heights that can give no angle, without storing any: for a form that is refused for something else too."""
    _measured(build, axle, typed, "")


@change_axle("heights")
def store_heights(it: AxleChange, typed: HeightsTyped, pair: str) -> None:
    """Store the heights for the two castings now on the axle; heights that can give no angle are refused."""
    why = no_heights_words(it.build, it.axle)
    if why:
        raise Refused(why, WHOLE)
    if pair != pair_key(it.axle):
        raise OutOfDate("", "", None)
    told, found, meant = InOneGo(), None, ""
    with told.weighing():
        found = _measured(it.build, it.axle, typed, it.actor.who)
    with told.weighing():
        meant = ask_about(_read(it.build, typed), typed.meant, it.build.unit)
    told.tell()
    assert found is not None  # what it could not be measured by is told
    heights, sheet = found
    _store(it.session, it.build, it.axle, heights)
    it.tell_wheels("heights", _told(it.build, it.axle, heights, sheet) + meant)


def _read(build: BuildView, typed: HeightsTyped) -> Iterator[ReadHere]:
    """Each height and diameter with what it should be about."""
    for name, one in {"axle": typed.axle, **typed.pins}.items():
        expected = axle_height(build) if name == "axle" else pin_height(build, typed.axle.height.nm)
        yield ReadHere(name, one.height.nm, one.height.text, expected)
        if one.diameter is not None:
            yield ReadHere(f"{name}_diameter", one.diameter.nm, one.diameter.text, across(build, name))
    if typed.inside_throw is not None:
        throw = typed.inside_throw
        yield ReadHere("inside_throw", throw.nm, throw.text, inside_throw(build))


def _measured(
    build: BuildView, axle: AxleView, typed: HeightsTyped, who: str
) -> tuple[HeightsView, QuarteredAxle]:
    try:
        heights = heights_view(build, axle, typed, who, now())
        found = facts_of(build).quartering.judged(axle, heights)
        if found.error is not None:
            raise found.error
    except (QuarteringError, CylindersError) as error:
        raise Refused(str(error), error.field or WHOLE) from error
    except (InstrumentError, UncertaintyError) as error:
        raise Refused(str(error), "instrument_id") from error
    assert found.sheet is not None  # there are heights, and they are in order
    return heights, found.sheet


def _store(session: Session, build: BuildView, axle: AxleView, heights: HeightsView) -> None:
    assert axle.left is not None and axle.right is not None  # an empty place was refused
    read = [(heights.centre.text, heights.centre.nm, ("centre", ""))]
    pins = {"left": heights.left, "right": heights.right, "inside": heights.inside}
    read += [
        (pin.height.text, pin.height.nm, (place, pin.branch))
        for place, pin in pins.items()
        if pin is not None
    ]
    if heights.inside_throw is not None:
        read.append((heights.inside_throw.text, heights.inside_throw.nm, ("inside_throw", "")))
    row = Measurement(
        build_id=build.id,
        kind=PIN_HEIGHTS,
        axle_id=axle.id,
        left_casting_id=axle.left.id,
        right_casting_id=axle.right.id,
        expanded=heights.expanded_nm,
        instrument_id=heights.instrument_id,
        who=heights.who,
    )
    write_measured(session, row, read)


def _told(build: BuildView, axle: AxleView, heights: HeightsView, sheet: QuarteredAxle) -> str:
    def pin(side: str, one: PinHeight) -> str:
        return f"{side} pin {show_typed(one.height, build.unit)} at the {one.branch}"

    centre = heights.centre
    said = [f"centre {show_typed(centre, build.unit)}"]
    said += [pin("right", heights.right), pin("left", heights.left)]
    if heights.inside is not None:
        said.append(pin("inside", heights.inside))
    quarter = sheet.quarter
    first = pins_missing(build, axle)
    return (
        f"Axle {axle.number} measured in vee blocks: {'; '.join(said)}. {quarter.ahead.capitalize()} ahead of"
        f" {quarter.behind} by {degrees(quarter.angle_deg)}: {QUARTER_ANSWERS[quarter.answer]}. {first}"
    ).rstrip()
