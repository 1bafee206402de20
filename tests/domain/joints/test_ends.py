"""A joint is judged at the smallest and the largest reading too: a mean hides taper and ovality."""

from dataclasses import replace

import pytest

from domain.answer import Answer
from domain.joints.judge import Case, Finding, judge
from domain.joints.kinds import FitKind, Kind
from domain.joints.terms import Joint, Size
from domain.joints.words import headline, shown
from domain.lengths import Unit
from domain.measuring.decision import Conformity
from domain.measuring.instruments import Instrument, InstrumentKind
from domain.measuring.uncertainty import budget_of_mean

SEAT = 19_050_000
BOND = Joint(FitKind.BOND, SEAT, SEAT, 38_100_000, 14_000_000, 20_000, 50_000, "en-gjl-200")
PRESS = Joint(FitKind.PRESS, SEAT, SEAT, 38_100_000, 14_000_000, 8_000, 16_000, "en-gjl-200")
FINE = Instrument(InstrumentKind.VALUE, "bore gauge", 100, 2_000)


def size(*readings: int, tool: Instrument = FINE) -> Size:
    budget = budget_of_mean(readings, tool, 0, 0)
    ends = (min(readings), max(readings)) if len(readings) > 1 else None
    return Size(budget.mean_nm, budget.expanded_nm, budget=budget, ends_nm=ends)


def found(joint: Joint, bore: Size, seat: Size) -> Finding:
    return judge(Case(joint, bore, seat, "not asked here", None, Unit.MM))


# Ten readings, so that t does not hide it: a mean gap of 0.035 mm, the middle of 0.020 to 0.050.
EVEN = (SEAT + 34_000, SEAT + 36_000) * 5


def test_an_even_bore_serves() -> None:
    it = found(BOND, size(*EVEN), size(SEAT))
    assert it.by_size is Kind.GOOD and it.decision is not None
    assert it.decision.answer is Conformity.INSIDE


def test_a_bell_mouth_its_mean_hides_is_too_wide_there() -> None:
    # One of ten reads a gap of 0.180 mm: the compound fills 0.150 at most.
    it = found(BOND, size(*EVEN, SEAT + 180_000), size(SEAT))
    assert SEAT + 20_000 < it.case.bore.nm < SEAT + 50_000  # the mean alone is as wanted
    assert it.by_size is Kind.TOO_WIDE and it.answer is Answer.NOT
    assert headline(it).startswith("At the bore's largest reading: clearance 0.180 mm")
    assert "mean hides" in shown(it)


def test_a_tight_place_its_mean_hides_wipes_the_compound_out() -> None:
    it = found(BOND, size(*EVEN, SEAT + 5_000), size(SEAT))
    assert it.by_size is Kind.WIPED
    assert headline(it).startswith("At the bore's smallest reading")


def test_a_tapered_seat_is_judged_by_its_ends() -> None:
    seat = size(*[SEAT] * 10, SEAT + 30_000)
    assert found(BOND, size(*EVEN), seat).by_size is Kind.WIPED
    assert headline(found(BOND, size(*EVEN), seat)).startswith("At the seat's largest reading")


def test_the_tight_place_of_a_press_fit_counts() -> None:
    bore = size(*(SEAT - 11_000, SEAT - 13_000) * 5, SEAT - 40_000)
    assert found(PRESS, bore, size(SEAT)).by_size in (Kind.CRACKS, Kind.TIGHT)


def test_an_end_near_the_limit_cannot_be_told() -> None:
    # 0.0495 of 0.050 mm: inside as read, but not by the guard band of one reading.
    it = found(BOND, size(*EVEN, SEAT + 49_500), size(SEAT))
    assert it.by_size is Kind.GOOD and it.decision is not None
    assert it.decision.answer is Conformity.CANNOT_TELL and it.decision.of_end


@pytest.mark.parametrize("count", [1, 2])
def test_scatter_of_a_coarse_instrument_condemns_nothing(count: int) -> None:
    coarse = Instrument(InstrumentKind.VALUE, "caliper", 10_000, 40_000)
    readings = (SEAT + 30_000, SEAT + 60_000)[:count]
    it = found(BOND, size(*readings, tool=coarse), size(SEAT))
    assert it.by_size is Kind.GOOD and it.undecided


def test_two_readings_that_leave_it_open_are_to_be_more_before_a_finer_instrument_is_asked_for() -> None:
    it = found(BOND, size(*EVEN), size(SEAT - 1_600, SEAT + 1_600))
    assert it.decision is not None and it.decision.answer is Conformity.CANNOT_TELL
    # t of two readings is 12.7 and of three 4.3: U falls from 20 um to 6, and 15 are left to either limit.
    assert it.settling == "The seat read 1 more time would settle it."
    again = it.case.seat.budget
    assert again is not None
    for count, answer in ((2, Conformity.CANNOT_TELL), (3, Conformity.INSIDE)):
        budget = again.read(count)
        seat = replace(it.case.seat, budget=budget, expanded_nm=budget.expanded_nm)
        judged = found(BOND, it.case.bore, seat)
        assert judged.decision is not None and judged.decision.answer is answer


def test_readings_that_do_not_settle_it_are_not_asked_for() -> None:
    """By its widest reading alone it cannot be told, and that reading stays whatever the others say."""
    it = found(BOND, size(*EVEN, SEAT + 49_500), size(SEAT))
    assert it.settling == "No instrument of the list settles it: a finer instrument would."
    # Nor where the instrument itself is what is unsure.
    coarse = Instrument(InstrumentKind.VALUE, "caliper", 10_000, 40_000)
    it = found(BOND, size(*EVEN), size(SEAT - 1_600, SEAT + 1_600, tool=coarse))
    assert it.settling == "No instrument of the list settles it: a finer instrument would."
