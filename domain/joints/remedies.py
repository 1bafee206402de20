"""What to do next with a bore and seat that do not serve, least work first."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from domain.answer import Answer
from domain.joints import bond
from domain.joints.fit import (
    NO_MARGIN,
    Ends,
    Fit,
    Margin,
    at_least,
    inward,
    stood_nm,
    suiting_seat,
    wanted_clearances,
)
from domain.joints.held import Forced, gripping_interference_nm
from domain.joints.judge import Carried
from domain.joints.kinds import Kind
from domain.joints.terms import check_seat, gap_range, table
from domain.joints.words import fit_headline, gap_words
from domain.lengths import NM_PER_MM, Unit, show, show_small

_LOOSE = {Kind.TOO_WIDE, Kind.NO_GRIP, Kind.LOOSE}


@dataclass(frozen=True)
class OtherSeat:
    """Another wheel seat this casting could be tried on."""

    label: str
    seat_nm: int
    casting_note: str = ""


@dataclass(frozen=True)
class Remedy:
    """One way out; if metal comes off, the least to take off the diameter and the sizes to end between."""

    key: str
    words: str
    amount_nm: int | None
    window_nm: tuple[int, int] | None = None

    @property
    def cuts(self) -> bool:
        """Whether metal comes off."""
        return self.key in ("bore_out", "turn_seat", "suit_seat", "bore_for_bond", "sleeve")


_Way = Callable[[Fit, Unit, Margin], Remedy | None]


def remedies_for(
    fit: Fit,
    unit: Unit,
    other_seats: Sequence[OtherSeat] = (),
    margin: Margin = NO_MARGIN,
    *,
    seat_turned: bool = True,
    seat_margin: Margin | None = None,
) -> Iterator[Remedy]:
    """The ways out, least work first; each is offered only where following it to the letter serves.

    The seat is turned to suit before the bore is opened: common practice, no source.
    fit: at the mean of the readings, with what it comes to at the worst of them. margin: what the sizes to bore to keep
    clear of; seat_margin: what those of the seat do, with the readings of the bore that is there; the same where None.
    other_seats: seats this casting could be tried on instead, sizes in nm; those on which it would serve are offered.
    seat_turned: whether the seat is there as judged; one that is only drawn can be made to suit the bore either way.
    Yields: remedies, none for a fit that serves; amounts and windows in nm on the diameter.
    Raises: FitError for another seat not above zero.
    """
    for other in other_seats:
        check_seat(f"seat of {other.label}", other.seat_nm)
    answer = fit.kind.answer
    if answer is Answer.SERVES:
        return
    yield from _try_other_seats(fit, unit, other_seats)
    seat = _turn_seat if seat_turned else _suit_seat
    ways: list[_Way] = [seat, _bore_out]
    if answer is Answer.NOT:
        ways = [_bond_instead, seat, _bore_out, _bore_for_bond]
        ways += [_sleeve] if fit.kind in _LOOSE else []
    of_seat = margin if seat_margin is None else seat_margin
    there = of_seat.spread.over_nm if of_seat.spread else 0
    # What is bored out is bored past the largest reading of the hole that is there.
    margins: dict[_Way, Margin] = {
        seat: of_seat,
        _bore_out: replace(margin, spread=Ends(0, there)) if there else margin,
    }
    for way in ways:
        remedy = way(fit, unit, margins.get(way, margin))
        if remedy:
            yield remedy
    if answer is Answer.NOT:
        yield Remedy("scrap", "Scrap this casting and put a spare in its place.", None)


def against_slipping(
    fit: Fit, carried: Carried, unit: Unit, margin: Margin = NO_MARGIN, *, seat_turned: bool = True
) -> Iterator[Remedy]:
    """The ways out of a press or shrink fit that slips: figures of its own, more interference, more length, a bond.

    None of them takes interference away, for that holds less.

    Formula: interference as gripping_interference_nm; length in proportion to the torque, rounded up to a millimetre.
    fit: at the mean of the readings. margin: of the sizes to bore for a bond.
    Yields: remedies, none for a bond or where it holds.
    Source: torque = mu pi d^2 l p / 2, Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.
    """
    held, asked = carried.held, carried.load.demand.torque_nm
    if not isinstance(held, Forced) or held.counted_nm >= asked:
        return
    if carried.load.invented:
        words = (
            "Type your engine's own loads under “What the joints must carry”: it slips by placeholders only."
        )
        yield Remedy("loads", words, None)
    grip = carried.least_grip_nm
    stood = stood_nm(fit.joint, fit.seat_nm) - held.uncertainty_nm
    if grip <= stood:
        yield _more_grip(fit, unit, grip, stood, seat_turned)
    if held.counted_nm > 0:
        length = math.ceil(fit.joint.boss_length_nm / NM_PER_MM * asked / held.counted_nm) * NM_PER_MM
        words = f"A boss {show(length, unit)} long would hold it as it is: for castings to come."
        yield Remedy("longer_boss", words, None)
    bonded = _bore_for_bond(fit, unit, margin)
    if bonded:
        yield bonded


def leads_to_slip(one: Remedy, fit: Fit, carried: Carried) -> bool:
    """Whether a cut would ease a fit that holds, and serves with care, to where it slips, by placeholder loads or not."""
    held = carried.held
    if not isinstance(held, Forced) or fit.kind.answer is Answer.NOT or one.window_nm is None:
        return False
    low, high = one.window_nm
    least = {"turn_seat": low - fit.bore_nm, "suit_seat": low - fit.bore_nm, "bore_out": fit.seat_nm - high}
    return one.key in least and least[one.key] < gripping_interference_nm(
        held.joint, carried.load.demand.torque_nm
    )


def _more_grip(fit: Fit, unit: Unit, grip: int, stood: int, seat_turned: bool) -> Remedy:
    """More interference, as far as the boss stands it: past the range wanted only where that range does not hold."""
    most = max(grip, min(stood, fit.joint.most_nm))
    ends = f"{show_small(grip, unit)} to {show_small(most, unit)} of interference would hold it"
    low, high = inward(unit, fit.bore_nm + grip, fit.bore_nm + most)
    if not seat_turned and low <= high:
        words = f"{ends}: make the seat to suit, {_to((low, high), unit)}."
        return Remedy("suit_seat", words, None, (low, high))
    low, high = inward(unit, fit.seat_nm - most, fit.seat_nm - grip)
    spare = f": a spare bored {_to((low, high), unit)} on this seat" if low <= high else ""
    return Remedy("more_grip", f"{ends}{spare}, or a larger seat on another axle.", None)


def _try_other_seats(fit: Fit, unit: Unit, other_seats: Sequence[OtherSeat]) -> Iterator[Remedy]:
    for other in other_seats:
        if other.seat_nm >= fit.joint.boss_diameter_nm:
            continue
        there = fit.on(other.seat_nm)
        if there.kind is Kind.GOOD:
            note = f" {other.casting_note}" if other.casting_note else ""
            words = f"Try it on {other.label}. {fit_headline(there, unit)}.{note}"
            yield Remedy("other_seat", words, None)


def _bond_instead(fit: Fit, unit: Unit, margin: Margin) -> Remedy | None:
    gap = gap_range(fit.joint)
    ends = fit.clearance_nm - margin.unsure_nm, fit.clearance_nm + margin.unsure_nm
    if fit.is_bond or any(bond.judge_gap(end, gap) is not bond.GapFit.BEST for end in ends):
        return None
    now = show_small(fit.clearance_nm, unit)
    words = f"Bond it instead: the gap of {now} suits a retaining compound, {gap_words(fit, unit)}."
    return Remedy("bond_instead", words, None)


def _bore_out(fit: Fit, unit: Unit, margin: Margin) -> Remedy | None:
    clearances = wanted_clearances(fit, replace(margin, spread=None), fit.seat_nm)
    low, high = fit.seat_nm + clearances[0], fit.seat_nm + clearances[1]
    if margin.spread is not None:
        low = max(low, fit.bore_nm + margin.spread.over_nm)
    return _bore_to("bore_out", fit, unit, inward(unit, low, high), "")


def _bore_for_bond(fit: Fit, unit: Unit, margin: Margin) -> Remedy | None:
    if fit.is_bond:
        return None
    after = f" Then bond it instead, with a gap of {gap_words(fit, unit)}."
    return _bore_to("bore_for_bond", fit, unit, _bond_window(fit, unit, margin), after)


def _bond_window(fit: Fit, unit: Unit, margin: Margin) -> tuple[int, int]:
    gap, unsure = gap_range(fit.joint), margin.unsure_nm
    least, most = gap.least_nm + unsure, gap.most_nm - unsure
    if least > most:  # nothing cracks by a bond: the judge says what cannot be told
        least, most = gap.least_nm, gap.most_nm
    return inward(unit, fit.seat_nm + least, fit.seat_nm + most)


def _bore_to(key: str, fit: Fit, unit: Unit, window: tuple[int, int], after: str) -> Remedy | None:
    low, high = window
    if low > high or low <= fit.bore_nm or high >= fit.joint.boss_diameter_nm:
        return None
    amount = at_least(unit, low - fit.bore_nm, high - fit.bore_nm)
    words = f"Bore it out by at least {show_small(amount, unit)}, {_to(window, unit)}.{after}"
    return Remedy(key, words, amount, window)


def _turn_seat(fit: Fit, unit: Unit, margin: Margin) -> Remedy | None:
    clearances = wanted_clearances(fit, margin, fit.seat_nm, fit.bore_nm)
    low, high = window = inward(unit, fit.bore_nm - clearances[1], fit.bore_nm - clearances[0])
    if low > high or high >= fit.seat_nm or low <= 0:
        return None
    amount = at_least(unit, fit.seat_nm - high, fit.seat_nm - low)
    words = f"Turn the seat down by at least {show_small(amount, unit)}, {_to(window, unit)}."
    return Remedy("turn_seat", words, amount, window)


def _suit_seat(fit: Fit, unit: Unit, margin: Margin) -> Remedy | None:
    window = suiting_seat(fit.joint, fit.bore_nm, unit, margin)
    if window is None:
        return None
    words = f"If the seat is not turned yet, make it to suit this bore: {_to(window, unit)}."
    return Remedy("suit_seat", words, None, window)


def _sleeve(fit: Fit, unit: Unit, margin: Margin) -> Remedy | None:
    """Always for a bonded axle: pressing into a thin sleeve would strain its own bond (common practice)."""
    rule = table()["sleeve"]
    amount = 2 * int(rule["wall_nm"])
    opened = fit.bore_nm + amount
    left = fit.joint.boss_diameter_nm - opened
    inside = _bond_window(fit, unit, margin)
    if left < 2 * rule["least_boss_wall_nm"] or inside[0] > inside[1] or inside[1] >= opened:
        return None
    words = (
        f"Sleeve it: bore out by {show(amount, unit)} to {show(opened, unit)}, bond in a sleeve with a wall of"
        f" about {show(rule['wall_nm'], unit)}, and bore that {_to(inside, unit)} for a bonded axle;"
        f" {show(left // 2, unit)} of boss is left all round ({rule['source']})."
    )
    return Remedy("sleeve", words, amount, inside)


def _to(window: tuple[int, int], unit: Unit) -> str:
    low, high = (show(end, unit) for end in window)
    return f"to {low} and no other" if low == high else f"to between {low} and {high}"


_MEASURE = Remedy(
    "measure",
    "Measure the bore with an instrument that shows a value, or try plugs nearer to its size.",
    None,
)


def remedies_between(
    ends: Sequence[Fit], unit: Unit, other_seats: Sequence[OtherSeat] = (), margin: Margin = NO_MARGIN
) -> list[Remedy]:
    """The ways out for a bore that plugs leave open: measuring it, and what holds for both its ends.

    Amounts that hang on the size are left off. ends: the fit at each end that is known, one or two.
    """
    found = [_MEASURE]
    if len(ends) == 1:
        return found
    at_low, at_high = ([*remedies_for(end, unit, other_seats, margin)] for end in ends)
    for one in at_low:
        other = next((r for r in at_high if r.key == one.key), None)
        if other is None or one.window_nm != other.window_nm:
            continue
        if one.words == other.words:
            found.append(one)
        elif one.window_nm is not None and one.key in ("bore_out", "bore_for_bond"):
            low, high = (show(nm, unit) for nm in one.window_nm)
            then = " Then bond it instead." if one.key == "bore_for_bond" else ""
            words = f"Bore it out to between {low} and {high}.{then}"
            found.append(Remedy(one.key, words, None, one.window_nm))
    return found
