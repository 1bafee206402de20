"""What the rounds of a set-up say, and the sentences that the journal and the sheet tell it in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.lengths import Unit, show, show_in
from domain.truing.dial_readings import spot_words
from domain.truing.judging import advise
from domain.truing.types import Advice, Dial, Grip, JawMove, Stop, Surface
from domain.truing.wobble import Wobble, WobbleTooLargeError, find_wobble
from webapp.sheets.truing.form import SetUp
from webapp.sheets.truing.view_stored import RoundView, TruingView

SURFACE_WORDS = {
    Surface.INSIDE: "the inside edge of the rim",
    Surface.OUTSIDE: "the outside of the rim",
}
GRIP_WORDS = {Grip.ON_OUTSIDE: "jaws closed on the outside", Grip.ON_INSIDE: "jaws opened inside the rim"}
STOP_WORDS = {
    Stop.TRUE: "It runs true: stop here",
    Stop.SHAPE: "Stop here: the rest is the casting's own shape",
    Stop.ROUGHNESS: "Stop here: the rest is the casting's roughness",
    Stop.DIAL: "Stop here: this dial can show no more",
}


@dataclass(frozen=True, slots=True)
class Leaning:
    """How the face leans, and what is wrong with that (empty where nothing is)."""

    wobble: Wobble
    too_large: str = ""


def advice_of(one: RoundView, held: SetUp) -> Advice:
    """What a round on the edge says."""
    return advise(one.dial_readings, held.surface, held.grip, held.dial, held.tolerance_nm, held.screw_nm)


def leaning_of(one: RoundView, held: SetUp, stock_nm: int | None = None) -> Leaning:
    """What a round on the face says."""
    assert one.radius_nm is not None  # a round on the face has one
    try:
        return Leaning(find_wobble(one.dial_readings, one.radius_nm, held.dial, stock_nm))
    except WobbleTooLargeError as error:
        return Leaning(error.wobble, str(error))


def dial_words(nm: int, dial: Dial) -> str:
    """What the dial shows: in its unit, and in divisions."""
    return f"{show_in(nm, dial.unit)} ({divisions(nm, dial)})"


def divisions(nm: int, dial: Dial) -> str:
    """A reading in divisions of the dial, to half a one; below zero says so."""
    halves = round(2 * abs(nm) / dial.division_nm) / 2
    below = " below zero" if nm < 0 and halves else ""
    return f"{halves:g} {'division' if halves in (0.5, 1) else 'divisions'}{below}"


def held_words(held: SetUp) -> str:
    """How it is held and read, in one line."""
    counts = "" if held.dial.counts_up_when_pushed_in else ", counting down as the plunger goes in"
    return (
        f"plunger on {SURFACE_WORDS[held.surface]}, {GRIP_WORDS[held.grip]},"
        f" dial of {show(held.dial.division_nm, held.dial.unit)} a division{counts}"
    )


def jaws_words(moves: Sequence[JawMove]) -> str:
    """Which jaws to move."""
    said = "; ".join(f"slacken jaw {one.slacken}, tighten jaw {one.tighten}" for one in moves)
    return f"{said[:1].upper()}{said[1:]}."


def set_up_sentence(mark: str, held: SetUp) -> str:
    """A set-up begun."""
    return f"Began setting {mark} true from the {held.outward}: {held_words(held)}."


def round_sentence(mark: str, truing: TruingView) -> str:
    """The last round of a set-up."""
    one, held = truing.rounds[-1], truing.held
    unit = held.dial.unit
    if one.kind == "face":
        wobble = leaning_of(one, held).wobble
        tap = f"tap it at {spot_words(wobble.tap_deg)}" if wobble.tap else "leave it"
        return f"{mark}, round {one.number} on the face: it leans {show(wobble.amplitude_nm, unit)} each way; {tap}."
    advice = advice_of(one, held)
    do = f"{STOP_WORDS[advice.stop_reason]}." if advice.stop_reason else jaws_words(advice.moves)
    return (
        f"{mark}, round {one.number} on {SURFACE_WORDS[held.surface]}: {show(advice.eccentricity_nm, unit)} off"
        f" the middle, the dial swings {show(advice.tir_nm, unit)}. {do}"
    )


def closed_sentence(mark: str, truing: TruingView) -> str:
    """A set-up closed, and how far it came."""
    rounds = truing.live("radial")
    outward, unit = truing.held.outward, truing.held.dial.unit
    if not rounds:
        return f"Stopped setting {mark} true from the {outward}: no round on the rim's edge was read."
    last = advice_of(rounds[-1], truing.held)
    begun = "Set {} true from the {}" if last.stop else "Stopped setting {} true from the {}"
    return f"{begun.format(mark, outward)}: {off_words(last, len(rounds), unit)}."


def off_words(last: Advice, rounds: int, unit: Unit) -> str:
    """How far off it was at the last round."""
    after = f"{rounds} round{'' if rounds == 1 else 's'}"
    return f"eccentricity {show(last.eccentricity_nm, unit)} after {after}"
