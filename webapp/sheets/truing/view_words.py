"""What the rounds of a set-up say, and the sentences that the journal and the sheet tell it in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.lengths import show_small, shown_small
from domain.truing.by_eye import EyeMove, Look, Seen
from domain.truing.dial import Dial
from domain.truing.setting import Grip, JawMove, Stop, Surface
from domain.truing.wobble import Wobble, find_wobble
from domain.truing.words import look_words, spot_words, swing
from webapp.sheets.truing.form import Held
from webapp.sheets.truing.view_stored import RoundView, TruingView

SURFACE_WORDS = {
    Surface.INSIDE: "the inside edge of the rim",
    Surface.OUTSIDE: "the outside of the rim",
}
GRIP_WORDS = {Grip.ON_OUTSIDE: "jaws closed on the outside", Grip.ON_INSIDE: "jaws opened inside the rim"}
STOP_WORDS = {
    Stop.TRUE: "Good: true enough, go on",
    Stop.SHAPE: "Stop here: the rest is the casting's own shape",
    Stop.ROUGHNESS: "Stop here: the rest is the casting's roughness",
    Stop.DIAL: "Stop here: this dial can show no more",
}


SEEN_WORDS = {
    Seen.OFF: "Move these jaws a little",
    Seen.ALIKE: "True by eye: go on",
    Seen.SHAPE: "High and low are not opposite",
}


def look_of(one: RoundView, held: Held) -> Look:
    """What a look by eye says."""
    return held.look(*one.high_and_low)


def wobble_of(one: RoundView, held: Held, stock_nm: int | None = None) -> Wobble:
    """What a round on the face says."""
    assert one.radius_nm is not None  # a round on the face has one
    return find_wobble(one.dial_readings, one.radius_nm, held.dial, stock_nm, tolerance_nm=held.tolerance_nm)


def dial_words(nm: int, dial: Dial) -> str:
    """What the dial shows: in its unit, and in divisions."""
    return f"{shown_small(nm, dial.unit)} ({divisions(nm, dial)})"


def divisions(nm: int, dial: Dial) -> str:
    """A reading in divisions of the dial, to half a one; below zero says so."""
    halves = round(2 * abs(nm) / dial.division_nm) / 2
    below = " below zero" if nm < 0 and halves else ""
    return f"{halves:g} {'division' if halves in (0.5, 1) else 'divisions'}{below}"


def held_words(held: Held) -> str:
    """How it is held and read, in one line."""
    if held.by_dial is None:
        return f"a point at {SURFACE_WORDS[held.surface]}, by eye, {GRIP_WORDS[held.grip]}"
    counts = "" if held.dial.counts_up_when_pushed_in else ", counting down as the plunger goes in"
    return (
        f"plunger on {SURFACE_WORDS[held.surface]}, {GRIP_WORDS[held.grip]},"
        f" dial of {show_small(held.dial.division_nm, held.dial.unit)} a division{counts}"
    )


def jaws_words(moves: Sequence[JawMove | EyeMove]) -> str:
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
    if one.kind == "eye":
        look = look_of(one, held)
        do = jaws_words(look.moves) if look.moves else f"{SEEN_WORDS[look.seen]}."
        return f"{mark}, round {one.number} by eye on {SURFACE_WORDS[held.surface]}: {look_words(look)}. {do}"
    unit = held.dial.unit
    if one.kind == "face":
        wobble = wobble_of(one, held)
        tap = f"tap it at {spot_words(wobble.tap_deg)}" if wobble.tap else "leave it"
        return f"{mark}, round {one.number} on the face: the dial {swing(wobble.swing_nm, unit)}; {tap}."
    advice = held.advise(one.dial_readings)
    do = f"{STOP_WORDS[advice.stop]}." if advice.stop else jaws_words(advice.moves)
    return (
        f"{mark}, round {one.number} on {SURFACE_WORDS[held.surface]}: the dial"
        f" {swing(advice.tir_nm, unit)}. {do}"
    )


def closed_sentence(mark: str, truing: TruingView) -> str:
    """A set-up closed, and how far it came."""
    outward = truing.held.outward
    edge = edge_outcome(truing)
    if edge is None:
        return f"Stopped setting {mark} true from the {outward}: no round on the rim's edge was read."
    return f"{'Set' if edge.true else 'Stopped setting'} {mark} true from the {outward}: {edge.words}."


@dataclass(frozen=True, slots=True)
class EdgeOutcome:
    """How the rim's edge runs by the last round on it, dial or eye, and whether that is true enough."""

    words: str
    true: bool


def edge_outcome(truing: TruingView) -> EdgeOutcome | None:
    """How far it came; None where the edge was not read."""
    rounds = [one for one in truing.rounds if one.kind in ("radial", "eye") and not one.struck_out]
    if not rounds:
        return None
    after = f"after {len(rounds)} round{'' if len(rounds) == 1 else 's'}"
    if rounds[-1].kind == "eye":
        look = look_of(rounds[-1], truing.held)
        return EdgeOutcome(f"by eye, {look_words(look)}, {after}", look.seen is Seen.ALIKE)
    last = truing.held.advise(rounds[-1].dial_readings)
    return EdgeOutcome(f"the dial {swing(last.tir_nm, last.dial.unit)} {after}", last.stop is not None)
