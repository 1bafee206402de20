"""What to do next with a bore and seat that do not serve, least work first."""

from collections.abc import Callable, Iterator, Sequence

from domain.joints import bond
from domain.joints.fit_case import Case, Finding
from domain.joints.fit_figures import gap_range, table
from domain.joints.fit_judging import find, stress_of
from domain.joints.fit_types import Answer, OtherSeat, Remedy
from domain.joints.fit_windows import at_least, inward, wanted_clearances
from domain.joints.fit_words import headline

_LOOSE = {Finding.TOO_WIDE, Finding.NO_GRIP, Finding.LOOSE}


def remedies_for(case: Case, finding: Finding, other_seats: Sequence[OtherSeat]) -> Iterator[Remedy]:
    """The ways out, least work first; each is offered only where following it to the letter serves.

    Yields: remedies, none for a fit that serves; amounts and windows in nm on the diameter.
    """
    answer = finding.answer
    if answer is Answer.SERVES:
        return
    yield from _try_other_seats(case, other_seats)
    ways: list[Callable[[Case], Remedy | None]] = [_bore_out, _turn_seat]
    if answer is Answer.NOT:
        ways = [_bond_instead, _bore_out, _turn_seat, _bore_for_bond]
        ways += [_sleeve] if finding in _LOOSE else []
    for way in ways:
        remedy = way(case)
        if remedy:
            yield remedy
    if answer is Answer.NOT:
        yield Remedy("scrap", "Scrap this casting and put a spare in its place.", None)


def _try_other_seats(case: Case, other_seats: Sequence[OtherSeat]) -> Iterator[Remedy]:
    for other in other_seats:
        if other.seat_nm >= case.joint.boss_diameter_nm:
            continue
        there = case.on(other.seat_nm)
        finding = find(there, stress_of(there))
        if finding is Finding.GOOD:
            note = f" {other.casting_note}" if other.casting_note else ""
            yield Remedy("other_seat", f"Try it on {other.label}. {headline(there, finding)}.{note}", None)


def _bond_instead(case: Case) -> Remedy | None:
    gap = gap_range(case.joint)
    if case.is_bond or bond.judge_gap(case.clearance_nm, gap) is not bond.GapFit.BEST:
        return None
    now = case.show(case.clearance_nm)
    words = f"Bond it instead: the gap of {now} suits a retaining compound, {_gap_words(case)}."
    return Remedy("bond_instead", words, None)


def _gap_words(case: Case) -> str:
    gap = gap_range(case.joint)
    return f"{case.show(gap.least_nm)} to {case.show(gap.most_nm)} ({gap.source})"


def _bore_out(case: Case) -> Remedy | None:
    clearances = wanted_clearances(case, case.seat_nm)
    window = inward(case.unit, case.seat_nm + clearances[0], case.seat_nm + clearances[1])
    return _bore_to("bore_out", case, window, "")


def _bore_for_bond(case: Case) -> Remedy | None:
    if case.is_bond:
        return None
    gap = gap_range(case.joint)
    window = inward(case.unit, case.seat_nm + gap.least_nm, case.seat_nm + gap.most_nm)
    return _bore_to(
        "bore_for_bond", case, window, f" Then bond it instead, with a gap of {_gap_words(case)}."
    )


def _bore_to(key: str, case: Case, window: tuple[int, int], after: str) -> Remedy | None:
    low, high = window
    if low > high or low <= case.bore_nm or high >= case.joint.boss_diameter_nm:
        return None
    amount = at_least(case.unit, low - case.bore_nm, high - case.bore_nm)
    words = f"Bore it out by at least {case.show(amount)}, {case.to(window)}.{after}"
    return Remedy(key, words, amount, window)


def _turn_seat(case: Case) -> Remedy | None:
    # The safe interference depends a little on the seat: over a range of seats it is least at one end.
    clearances = wanted_clearances(case, case.seat_nm, case.bore_nm)
    low, high = window = inward(case.unit, case.bore_nm - clearances[1], case.bore_nm - clearances[0])
    if low > high or high >= case.seat_nm or low <= 0:
        return None
    amount = at_least(case.unit, case.seat_nm - high, case.seat_nm - low)
    words = f"Turn the seat down by at least {case.show(amount)}, {case.to(window)}."
    return Remedy("turn_seat", words, amount, window)


def _sleeve(case: Case) -> Remedy | None:
    """Always for a bonded axle: pressing into a thin sleeve would strain its own bond (common practice)."""
    rule, gap = table()["sleeve"], gap_range(case.joint)
    amount = 2 * int(rule["wall_nm"])
    opened = case.bore_nm + amount
    left = case.joint.boss_diameter_nm - opened
    inside = inward(case.unit, case.seat_nm + gap.least_nm, case.seat_nm + gap.most_nm)
    if left < 2 * rule["least_boss_wall_nm"] or inside[0] > inside[1] or inside[1] >= opened:
        return None
    words = (
        f"Sleeve it: bore out by {case.show(amount)} to {case.show(opened)}, bond in a sleeve with a wall of"
        f" about {case.show(rule['wall_nm'])}, and bore that {case.to(inside)} for a bonded axle;"
        f" {case.show(left // 2)} of boss is left all round ({rule['source']})."
    )
    return Remedy("sleeve", words, amount, inside)
