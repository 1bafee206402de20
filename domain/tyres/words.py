"""What is found of a tyre, in words, and how its figures came about."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from domain.joints.kinds import FitError
from domain.joints.terms import floor2, mm
from domain.joints.words import cut_off, small
from domain.lengths import Unit, show, show_small
from domain.lengths.fine import fine
from domain.lengths.loads import show_torque
from domain.tyres.judge import RingFinding, TyreKind
from domain.tyres.ring import (
    MetalStrength,
    RingState,
    Tyre,
    clearance_nm,
    crushing_mpa,
    heat_to_c,
    stood_interference_nm,
    table,
)
from domain.working import Working

# Common practice, no source, but for what a table says.
CAUTION = "A hot tyre does not look hot: gloves, tongs, nothing near that burns. Let it cool by itself: never quench it."
CAUTIONS = (
    "Heat the tyre evenly, not the centre, away from oil and paint, and with the doors open: both fume.",
    "Gloves, tongs, dry boots and eye protection. Have the place ready and the way to it clear before it is hot.",
    "Drop it on square and home at once: it grips within seconds, and a tyre that stuck half way is turned off.",
    "Never quench it, nor hold it in a draught: iron cracks where it is chilled, and a centre can burst as it is gripped.",
    "Shrink it on before the wheel is on its axle: the heat loosens a bond.",
    "Wait until all of it can be held in the hand before you measure or turn anything.",
    "The program advises: the builder, local codes and a competent person decide, and on a passenger line its inspector.",
)
RULE = "the rule of thumb, 0.0005 to 0.001 of the diameter"
_LAME = "Lame, Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47"


def headline(found: RingFinding, unit: Unit) -> str:
    """The answer in one line, without a full stop."""
    size = show_small(abs(found.case.interference_nm), unit)
    what = {
        TyreKind.GOOD: f"{size} of interference",
        TyreKind.OVAL: f"{size} of interference, but not round",
        TyreKind.TIGHT: f"{size}, tighter than is wanted",
        TyreKind.STRAINED: f"{size} strains the tyre near its yield",
        TyreKind.LITTLE_IN_HAND: f"{size} of interference has little in hand against slipping",
        TyreKind.SIZE_NOT_TOLD: f"{size} of interference, measured too loosely",
        TyreKind.HOLD_NOT_TOLD: f"whether {size} of interference holds",
        TyreKind.HOLDS_BY_GUESS: f"whether {size} holds, by loads that nobody typed",
        TyreKind.NO_GRIP: f"the tyre is {size} larger than its centre"
        if found.case.interference_nm
        else "tyre and centre are the same size",
        TyreKind.YIELDS: f"at {size} of interference the tyre may yield",
        TyreKind.CRUSHES: f"at {size} of interference the centre may crack",
        TyreKind.LOOSE: f"{size} of interference is too little",
        TyreKind.HOLDS_TOO_LITTLE: f"{size} of interference slips on its centre",
        TyreKind.TOO_HOT: f"{size} wants the tyre at {found.heat_c:.0f} C",
    }[found.kind]
    return f"{found.answer.words.capitalize()}: {what}"


def reason(found: RingFinding, unit: Unit) -> str:
    """Why it is not good, and what mends it; empty where it is."""
    return f"{_why(found, unit)} {found.settling}".strip()


def _why(found: RingFinding, unit: Unit) -> str:
    case = found.case
    kind, (least, most) = found.kind, case.wanted_nm
    wanted = f"{show_small(least, unit)} to {show_small(most, unit)} is wanted"
    if kind in (TyreKind.YIELDS, TyreKind.STRAINED):
        return (
            f"{strain_words(found)} Up to {cut_off(found.stood_nm, unit)} is safe:"
            " open the tyre out, or skim the centre."
        )
    if kind is TyreKind.CRUSHES:
        return f"{press_words(found)} Open the tyre out, or skim the centre."
    if kind is TyreKind.TOO_HOT:
        strength = case.strength
        return f"{strength.hottest_c:.0f} C is the most ({strength.hottest_source}): less interference, {wanted}."
    if kind in (
        TyreKind.HOLDS_TOO_LITTLE,
        TyreKind.HOLD_NOT_TOLD,
        TyreKind.HOLDS_BY_GUESS,
        TyreKind.LITTLE_IN_HAND,
    ):
        return found.at_worst.words if found.at_worst is not None else ""
    if kind is TyreKind.OVAL:
        return f"Two ways across differ by {show_small(case.spread_nm, unit)}: {wanted}, all the way round."
    if kind in (TyreKind.NO_GRIP, TyreKind.LOOSE):
        return (
            f"{wanted[:1].upper()}{wanted[1:]}: take a tyre bored smaller, or put a sleeve between the two."
        )
    return f"{wanted[:1].upper()}{wanted[1:]}." if kind is not TyreKind.GOOD else ""


def doubt(found: RingFinding, mark: str, unit: Unit) -> str:
    """What a tick is asked about, in a sentence that names the wheel; empty where there is nothing to ask."""
    if found.kind is TyreKind.GOOD:
        return ""
    return f"The tyre of {mark}: {small(headline(found, unit))}."


def not_on_words(mark: str, bonded: bool) -> str:
    """What fixing a wheel is asked whose tyre is not on yet.

    >>> not_on_words("W1", bonded=True)
    'The tyre of W1 is not ticked as shrunk on: it goes on the bare wheel, for its heat loosens a bond.'
    """
    why = ", for its heat loosens a bond" if bonded else ""
    return f"The tyre of {mark} is not ticked as shrunk on: it goes on the bare wheel{why}."


def on_axle_words(mark: str, bonded: bool) -> str:
    """What shrinking a tyre on is asked of a wheel that is on its axle already.

    >>> on_axle_words("W1", bonded=True)
    'W1 is bonded on its axle already, and the heat of its tyre loosens a bond.'
    """
    if bonded:
        return f"{mark} is bonded on its axle already, and the heat of its tyre loosens a bond."
    return f"{mark} is on its axle already, and its tyre goes on the bare wheel."


def strain_words(found: RingFinding) -> str:
    """How hard the tyre is strained against what its steel stands."""
    case, factor = found.case, found.yield_factor
    if factor is None:
        return "Nothing strains the tyre."
    return (
        f"The tyre is strained to {found.strained.hoop_mpa:.0f} MPa and yields at {case.strength.yield_mpa:.0f} MPa:"
        f" {floor2(factor)} times, where {case.strength.factor_wanted:g} is wanted."
    )


def press_words(found: RingFinding) -> str:
    """How hard the centre is pressed against what its iron stands."""
    factor = found.crush_factor
    if factor is None:
        return "Nothing presses the centre."
    return (
        f"The rim of the centre is pressed to {found.pressed.centre_mpa:.0f} MPa and stands"
        f" {crushing_mpa(found.case.tyre.iron):.0f} MPa: {floor2(factor)} times, where"
        f" {found.case.strength.crush_wanted:g} is wanted."
    )


def heat_words(found: RingFinding, unit: Unit) -> str:
    """How hot to make the tyre, and what room that gives."""
    tyre = found.case.tyre
    return (
        f"Heat the tyre to {found.heat_c:.0f} C, the centre at {tyre.room_c:g} C, for"
        f" {show_small(clearance_nm(tyre), unit)} of room to drop on."
    )


def turned_words(found: RingFinding, unit: Unit) -> str:
    """What is left once the tread is turned: a thinner ring presses less."""
    before, after, load = found.shrunk, found.grip, found.case.load
    asked = f", of {show_torque(load.demand.torque_nm, unit)} asked" if load is not None else ""
    return (
        f"It grips with {before.pressure_mpa:.1f} MPa as shrunk on, and {after.pressure_mpa:.1f} MPa once its tread is"
        f" turned: {show_torque(after.torque_nm, unit)}{asked}."
    )


def target_words(
    inside_nm: int | None,
    centre_nm: int | None,
    wanted_nm: tuple[int, int],
    stood_nm: int,
    drawn_nm: int,
    unit: Unit,
) -> str:
    """What to turn the centre or bore the tyre to: to the other one where that is measured, else to the drawing.

    inside_nm, centre_nm: as measured; None while they are not. drawn_nm: the drawing's. stood_nm: the most that it stands.
    """
    least, most = wanted_nm[0], min(wanted_nm[1], stood_nm)
    if least > most:
        return f"No interference is safe: {cut_off(stood_nm, unit)} is the most the tyre stands."
    if inside_nm is None and centre_nm is not None:
        return f"Bore the tyre to {show(centre_nm - most, unit)} to {show(centre_nm - least, unit)} for this centre."
    if inside_nm is None:
        return f"Drawn to {show(drawn_nm, unit)}: bore the tyre first, then turn the centre to it."
    return (
        f"Turn the centre to {show(inside_nm + least, unit)} to {show(inside_nm + most, unit)} for this tyre."
    )


def too_much_words(tyre: Tyre, most_nm: int, strength: MetalStrength, unit: Unit) -> str:
    """Why so much interference may not be wanted of a tyre: it would yield, or be heated too far; empty where it may."""
    try:
        stood = stood_interference_nm(tyre, strength)
    except FitError as error:
        return str(error)
    if most_nm > stood:
        return (
            f"The tyre would yield at that: it is {strength.yield_mpa:g} MPa steel, and {cut_off(stood, unit)} is the most"
            f" that leaves a factor of {strength.factor_wanted:g}."
        )
    heat = heat_to_c(tyre, most_nm)
    if heat > strength.hottest_c:
        return f"The tyre would want {heat:.0f} C to go on, and {strength.hottest_c:g} C is the most: its steel and paint."
    return ""


def workings(found: RingFinding, unit: Unit) -> Iterator[Working]:
    """How each figure came about."""
    case, tyre = found.case, found.case.tyre
    yield Working(
        "interference",
        "centre - tyre",
        f"{fine(case.centre.nm, unit)} - {fine(case.inside.nm, unit)}, U {fine(case.uncertainty_nm, unit)}",
        fine(case.interference_nm, unit),
        "by definition; U as the root of the sum of squares",
    )
    yield _ring(found.strained, found, "the centre as a solid disc, the tyre at its thinnest")
    yield _ring(found.pressed, found, "the centre as its bare rim, the tyre as thick as it is shrunk on")
    yield _ring(
        found.grip, found, "the centre as its bare rim, the tyre at its thinnest, the surfaces smoothed"
    )
    yield Working(
        "factor against yielding",
        "yield / hoop stress (cut off, not rounded)",
        f"{case.strength.yield_mpa:.0f} MPa / {found.strained.hoop_mpa:.1f} MPa",
        floor2(found.yield_factor) if found.yield_factor is not None else "nothing strains it",
        f"yield: {case.strength.yield_source}; wanted {case.strength.factor_wanted:g}: {case.strength.factor_source}",
    )
    yield Working(
        "factor against crushing",
        "crushing strength / stress in the centre (cut off, not rounded)",
        f"{crushing_mpa(tyre.iron):.0f} MPa / {found.pressed.centre_mpa:.1f} MPa",
        floor2(found.crush_factor) if found.crush_factor is not None else "nothing presses it",
        f"{table()['crushing']['source']}; wanted {case.strength.crush_wanted:g}: {case.strength.crush_source}",
    )
    yield Working(
        "heat",
        "t = room + (delta + U + room to drop on) / (alpha d)",
        f"{tyre.room_c:g} C + ({fine(max(0, case.interference_nm + case.uncertainty_nm), unit)} +"
        f" {fine(clearance_nm(tyre), unit)}) / ({tyre.steel.alpha_per_k:g} x {fine(tyre.inside_nm, unit)})",
        f"{found.heat_c:.0f} C",
        "thermal expansion; Shigley, section 7-8",
    )
    if case.load is not None:
        yield from case.load.demand.workings
    if found.at_worst is not None:
        yield found.at_worst.working


def _ring(state: RingState, found: RingFinding, how: str) -> Working:
    tyre = found.case.tyre
    return Working(
        state.name,
        "p = delta / { (d/Es)[(D^2+d^2)/(D^2-d^2) + nus] + (d/Ei)[(d^2+di^2)/(d^2-di^2) - nui] }",
        f"delta {mm(state.interference_nm):.4f} mm, d {mm(tyre.inside_nm):.3f} mm, {how}",
        f"p {state.pressure_mpa:.2f} MPa, tyre {state.hoop_mpa:.1f} MPa, centre {state.centre_mpa:.1f} MPa,"
        f" holds {state.torque_nm:.1f} N m",
        f"{_LAME}; the centre pressed from outside: eq. 3-49",
    )


def on_words(at: datetime, now: datetime, who: str, *, turned: bool) -> str:
    """When a tyre went on, and that it is left alone until it is cold; both times in the zone to say them in.

    >>> on_words(datetime(2026, 5, 3, 21, 5), datetime(2026, 5, 3, 21, 17), "JD", turned=False)
    'Shrunk on at 21:05 (JD), 12 min ago: turn nothing until all of it can be held in the hand.'
    """
    minutes = int((now - at).total_seconds() // 60)
    ago = f", {minutes} min ago" if 0 <= minutes < 180 and not turned else ""
    wait = "." if turned or minutes >= 24 * 60 else ": turn nothing until all of it can be held in the hand."
    day = "" if at.date() == now.date() else f"{at.day} {at:%B}, "
    return f"Shrunk on at {day}{at:%H:%M} ({who}){ago}{wait}"
