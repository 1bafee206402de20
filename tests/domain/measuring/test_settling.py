from dataclasses import replace

import pytest
from scipy import stats

from domain.joints.judge import decide_fit
from domain.lengths import Unit
from domain.measuring.decision import Conformity, decide, decide_interval
from domain.measuring.instruments import Instrument, InstrumentKind, Reach
from domain.measuring.plug_gauge import Interval
from domain.measuring.settling import MOST_READINGS, which_settles, which_settles_fit
from domain.measuring.uncertainty import Budget, budget_of_mean, difference_u_nm, expanded_nm

CALIPER = Instrument(InstrumentKind.VALUE, "caliper", 10_000, 40_000)
MICROMETER = Instrument(InstrumentKind.VALUE, "micrometer", 1_000, 5_000, reach=Reach.OUTSIDE)
GAUGE = Instrument(InstrumentKind.VALUE, "bore gauge", 1_000, 6_000, reach=Reach.INSIDE)
FAULTY = Instrument(InstrumentKind.VALUE, "broken", 0, 1_000)
PLUGS = Instrument(InstrumentKind.PLUG, "plugs", 0, 2_000, go_nm=25_000_000, not_go_nm=25_021_000)
LIST = (CALIPER, MICROMETER, GAUGE, FAULTY, PLUGS)
LOW, HIGH = 25_000_000, 25_021_000
MM = Unit.MM


def _bore(value: int, u: int = 40_000, reach: Reach = Reach.INSIDE) -> tuple[str, ...]:
    return which_settles(decide(value, u, LOW, HIGH, MM, "bore"), LIST, reach=reach).names


def test_only_instruments_that_are_fine_enough_and_get_at_it() -> None:
    # 5 um inside: U at most 5/0.825 = 6.06 um.
    assert _bore(25_005_000) == ("bore gauge",)
    assert _bore(25_005_000, reach=Reach.OUTSIDE) == ("micrometer",)
    assert _bore(25_005_000, reach=Reach.BOTH) == ("micrometer", "bore gauge")
    # 4.95 um inside: exactly 6 um.
    assert _bore(25_004_950) == ("bore gauge",)
    # 4.9 um inside: 5.94 um, too little for a gauge of 6.
    assert _bore(25_004_900) == ()


def test_each_instrument_named_does_settle_it() -> None:
    for value in range(24_990_000, 25_031_000, 500):
        unsure = decide(value, 40_000, LOW, HIGH, MM)
        named = which_settles(unsure, LIST).names
        for one in (CALIPER, MICROMETER, GAUGE):
            settled = decide(value, one.expanded_nm, LOW, HIGH, MM).answer is not Conformity.CANNOT_TELL
            assert (one.name in named) == settled


def test_nothing_fine_enough_is_said() -> None:
    found = which_settles(decide(25_020_000, 6_000, LOW, HIGH, MM), LIST)
    assert found.words == "No instrument of the list settles it: a finer instrument would."


def test_what_is_settled_wants_nothing() -> None:
    found = which_settles(decide(25_010_000, 6_000, LOW, HIGH, MM), LIST)
    assert (found.names, found.readings, found.words) == ((), None, "It is settled.")


def test_plugs_that_leave_it_open() -> None:
    found = which_settles(decide_interval(Interval(LOW, None), LOW, HIGH, MM), LIST)
    assert "shows a value" in found.words


def test_more_readings_settle_what_scatter_left_open() -> None:
    budget = budget_of_mean([25_000_000, 25_014_000], replace(GAUGE, expanded_nm=2_000), 10.5e-6, 0)
    unsure = decide(budget.mean_nm, budget.expanded_nm, LOW, HIGH, MM)
    found = which_settles(unsure, [], budget)
    assert found.readings is not None
    assert found.words == f"{found.readings} readings in all with this instrument would settle it."
    assert budget.scatter_nm is not None
    for count, answer in ((found.readings, Conformity.INSIDE), (found.readings - 1, Conformity.CANNOT_TELL)):
        few = stats.t.ppf(0.975, count - 1) / 2  # GUM G.4
        u = expanded_nm(replace(budget, repeat_nm=few * budget.scatter_nm / count**0.5).standard_nm)
        assert decide(budget.mean_nm, u, LOW, HIGH, MM).answer is answer


def test_no_one_is_sent_to_take_a_thousand_readings() -> None:
    budget = Budget(25_001_000, 2, 500.0, 0.0, 20_000.0, 0.0, 28_284.0)
    unsure = decide(budget.mean_nm, budget.expanded_nm, LOW, HIGH, MM)
    assert which_settles(unsure, [], budget).readings is None
    assert MOST_READINGS == 20


def test_temperature_may_spoil_even_a_fine_instrument() -> None:
    warm = budget_of_mean([25_005_000], CALIPER, 10.5e-6, 10)
    unsure = decide(25_005_000, warm.expanded_nm, LOW, HIGH, MM)
    assert "bore gauge" in which_settles(unsure, LIST).names
    assert which_settles(unsure, LIST, warm).names == ()


def _part(instrument: Instrument) -> Budget:
    return budget_of_mean([25_000_000], instrument, 10.5e-6, 0)


@pytest.mark.parametrize(
    ("gap", "bore_with", "seat_with", "names"),
    [
        # 15 um inside: U of the difference at most 18.18 um.
        (35_000, CALIPER, MICROMETER, ("bore gauge",)),
        (35_000, GAUGE, CALIPER, ("micrometer",)),
        (35_000, CALIPER, CALIPER, ("bore gauge", "micrometer")),
        # 5 um inside: 6.06 um, less than sqrt(5^2 + 6^2) = 7.8 um.
        (25_000, CALIPER, CALIPER, ()),
    ],
)
def test_a_fit_is_settled_by_the_bore_the_seat_or_both(
    gap: int, bore_with: Instrument, seat_with: Instrument, names: tuple[str, ...]
) -> None:
    bore, seat = _part(bore_with), _part(seat_with)
    unsure = decide_fit(gap, expanded_nm(difference_u_nm(bore, seat)), 20_000, 50_000, MM)
    assert unsure.answer is Conformity.CANNOT_TELL
    found = which_settles_fit(unsure, bore, seat, LIST)
    assert found.names == names
    assert (" and the seat with the " in found.words) is (len(names) == 2)


def test_a_settled_fit_wants_nothing() -> None:
    settled = decide_fit(35_000, 5_000, 20_000, 50_000, MM)
    assert which_settles_fit(settled, _part(GAUGE), _part(MICROMETER), LIST).words == "It is settled."
