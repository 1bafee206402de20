"""What the rounds of a set-up say, and the sentences that the journal and the sheet tell it in."""

from __future__ import annotations

from collections.abc import Sequence

from domain.lengths import Unit, show, show_in
from domain.truing.dial import Dial
from domain.truing.setting import Advice, Grip, JawMove, Stop, Surface
from domain.truing.wobble import Wobble, find_wobble
from domain.truing.words import spot_words
from webapp.sheets.truing.form import Held
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


def wobble_of(one: RoundView, held: Held, stock_nm: int | None = None) -> Wobble:
    """What a round on the face says."""
    assert one.radius_nm is not None  # a round on the face has one
    return find_wobble(one.dial_readings, one.radius_nm, held.dial, stock_nm)


def dial_words(nm: int, dial: Dial) -> str:
    """What the dial shows: in its unit, and in divisions."""
    return f"{show_in(nm, dial.unit)} ({divisions(nm, dial)})"


def divisions(nm: int, dial: Dial) -> str:
    """A reading in divisions of the dial, to half a one; below zero says so."""
    halves = round(2 * abs(nm) / dial.division_nm) / 2
    below = " below zero" if nm < 0 and halves else ""
    return f"{halves:g} {'division' if halves in (0.5, 1) else 'divisions'}{below}"


def held_words(held: Held) -> str:
    """How it is held and read, in one line."""
    counts = "" if held.dial.counts_up_when_pushed_in else ", counting down as the plunger goes in"
    return (
        f"plunger on {SURFACE_WORDS[held.surface]}, {GRIP_WORDS[held.grip]},"
        f" dial of {show(held.dial.division_nm, held.dial.unit)} a division{counts}"
    )


def jaws_words(moves: Sequence[JawMove]) -> str:
    """Which jaws to move."""
    return (
        "; ".join(f"slacken jaw {one.slacken}, tighten jaw {one.tighten}" for one in moves).capitalize() + "."
    )


def set_up_sentence(mark: str, held: Held) -> str:
    """A set-up begun."""
    return f"Began setting {mark} true from the {held.outward}: {held_words(held)}."


def round_sentence(mark: str, truing: TruingView) -> str:
    """The last round of a set-up."""
    one, held = truing.rounds[-1], truing.held
    unit = held.dial.unit
    if one.kind == "face":
        wobble = wobble_of(one, held)
        tap = f"tap it at {spot_words(wobble.tap_deg)}" if wobble.tap else "leave it"
        return f"{mark}, round {one.number} on the face: it leans {show(wobble.amplitude_nm, unit)} each way; {tap}."
    advice = held.advise(one.dial_readings)
    do = f"{STOP_WORDS[advice.stop]}." if advice.stop else jaws_words(advice.moves)
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
    last = truing.held.advise(rounds[-1].dial_readings)
    begun = "Set" if last.stop else "Stopped setting"
    return f"{begun} {mark} true from the {outward}: {off_words(last, len(rounds), unit)}."


def off_words(last: Advice, rounds: int, unit: Unit) -> str:
    """How far off it was at the last round."""
    after = f"{rounds} round{'' if rounds == 1 else 's'}"
    return f"eccentricity {show(last.eccentricity_nm, unit)} after {after}"
