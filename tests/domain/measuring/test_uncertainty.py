import math
import random
import statistics
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from uncertainties import correlated_values, ufloat

from domain.lengths import Unit
from domain.measuring.instruments import Instrument, InstrumentError, InstrumentKind
from domain.measuring.student import student_t
from domain.measuring.thermal import Warmth, at_20_c
from domain.measuring.uncertainty import (
    Budget,
    UncertaintyError,
    budget_of_mean,
    combined_nm,
    difference_u_nm,
    expanded_nm,
    readings_wanted,
)

# A part that is exactly nothing is meant here.
pytestmark = pytest.mark.filterwarnings("ignore:Using UFloat objects")

GAUGE = Instrument(InstrumentKind.VALUE, "bore gauge", 1_000, 6_000)
IRON = 10.5e-6
# JCGM 100:2008 (GUM) 4.4.3, Table 1: twenty temperatures, C.
GUM_TABLE_1 = (
    96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
    100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
)  # fmt: skip
parts = st.floats(0, 20_000)
budgets = st.builds(Budget, st.just(25_000_000), st.integers(1, 20), parts, parts, parts, parts, parts)


def test_gum_4_4_3_repeat_readings() -> None:
    # The GUM's mean 100.145, s 1.489 and s of the mean 0.333, here as micrometres past 25 mm.
    readings = [25_000_000 + round(one * 1_000) for one in GUM_TABLE_1]
    found = budget_of_mean(readings, GAUGE, IRON, 0)
    assert found.mean_nm == 25_100_145
    assert found.scatter_nm == pytest.approx(1_489, abs=0.5)
    # G.4, table G.2: t is 2.09 at 19 degrees of freedom, and half of t s / sqrt(n) is counted as a standard part.
    assert found.repeat_nm == pytest.approx(2.09 / 2 * 333, abs=1)


def test_gum_h_1_combination() -> None:
    # JCGM 100:2008 (GUM) H.1: 5.8, 3.9 and 6.7 nm are 9.7 nm; with 25, 2.9 and 16.6 nm, 32 nm in all.
    difference = combined_nm([5.8, 3.9, 6.7])
    assert difference == pytest.approx(9.7, abs=0.05)
    assert combined_nm([25, difference, 2.9, 16.6]) == pytest.approx(32, abs=0.5)


def test_gum_h_1_temperature() -> None:
    # H.1.3.4: 50 mm of steel, 0.029 K, is 16.6 nm.
    found = budget_of_mean([50_000_623], GAUGE, 11.5e-6, 0.05 / math.sqrt(3))
    assert found.temperature_nm == pytest.approx(16.6, abs=0.05)


def test_gum_f_2_2_1_resolution() -> None:
    # A step of d has the standard uncertainty 0.29 d.
    assert budget_of_mean([25_000_000], GAUGE, IRON, 0).resolution_nm == pytest.approx(290, abs=2)


@given(st.lists(st.integers(24_990_000, 25_010_000), min_size=2, max_size=12), st.floats(0, 5))
def test_a_mean_against_the_uncertainties_package(readings: list[int], kelvin: float) -> None:
    found = budget_of_mean(readings, GAUGE, IRON, kelvin)
    scatter = statistics.stdev(readings)
    # GUM G.4: doubled, the scatter of few readings counts t times.
    each = [ufloat(one, scatter * stats.t.ppf(0.975, len(readings) - 1) / 2) for one in readings]
    common = ufloat(0, 3_000) + ufloat(0, 1_000 / math.sqrt(12))
    mean = sum(each) / len(each) + common
    at_20 = mean * (1 - IRON * ufloat(0, kelvin))
    assert found.standard_nm == pytest.approx(at_20.std_dev, rel=3e-4)  # the table's t has four figures


@given(budgets, budgets)
def test_a_difference_against_the_uncertainties_package(bore: Budget, seat: Budget) -> None:
    sizes = [
        ufloat(0, one.instrument_nm) + ufloat(0, one.resolution_nm) + ufloat(0, one.repeat_nm)
        + ufloat(0, one.temperature_nm) for one in (bore, seat)
    ]  # fmt: skip
    apart = (sizes[0] - sizes[1]).std_dev
    assert difference_u_nm(bore, seat) == pytest.approx(apart, rel=1e-6, abs=1e-6)


@given(budgets, budgets)
def test_one_instruments_error_goes_out_of_a_difference(bore: Budget, seat: Budget) -> None:
    covariance = [[one.instrument_nm * two.instrument_nm for two in (bore, seat)] for one in (bore, seat)]
    errors = correlated_values([0, 0], covariance)
    rest = [
        ufloat(0, one.resolution_nm) + ufloat(0, one.repeat_nm) + ufloat(0, one.temperature_nm)
        for one in (bore, seat)
    ]
    expected = ((errors[0] + rest[0]) - (errors[1] + rest[1])).std_dev
    together = difference_u_nm(bore, seat, same=True)
    # The package takes the square root of the covariance's eigenvalues, one of which is nothing: hence the slack.
    assert together == pytest.approx(expected, rel=1e-4, abs=0.01)
    assert together <= difference_u_nm(bore, seat) + 1e-6


def test_a_mean_against_a_monte_carlo() -> None:
    # Each round: one gauge error, one rounding, one temperature, four scattered readings (JCGM 101's method).
    chance, true, scatter, kelvin, count = random.Random(20), 25_000_000, 2_500.0, 4.0, 4
    errors = []
    for _ in range(20_000):
        gauge = chance.gauss(0, 3_000) + chance.uniform(-500, 500)
        warm = true * (1 + IRON * chance.gauss(0, kelvin))
        readings = [round(warm + gauge + chance.gauss(0, scatter)) for _ in range(count)]
        errors.append(at_20_c(round(statistics.fmean(readings)), Warmth(20, IRON)) - true)
    found = budget_of_mean([true] * count, GAUGE, IRON, kelvin, scatter_nm=scatter)
    assert found.standard_nm == pytest.approx(statistics.pstdev(errors), rel=0.02)
    within = sum(abs(one) <= found.expanded_nm for one in errors) / len(errors)
    assert within == pytest.approx(0.9545, abs=0.005)  # k = 2 of a normal law


def test_averaging_never_beats_the_instrument() -> None:
    many = budget_of_mean([25_000_000, 25_004_000] * 500, GAUGE, IRON, 0)
    assert many.repeat_nm < 100
    assert many.expanded_nm >= GAUGE.expanded_nm


def test_one_reading_has_no_scatter_but_one_can_be_given() -> None:
    alone = budget_of_mean([25_000_000], GAUGE, IRON, 1)
    assert (alone.scatter_nm, alone.repeat_nm) == (None, 0)
    assert budget_of_mean([25_000_000], GAUGE, IRON, 1, scatter_nm=2_000).repeat_nm == 2_000


def test_the_working_shows_each_part() -> None:
    # By hand: 3 um, 0.289 um, nothing, 25 mm x 10.5e-6 x 1 K = 0.2625 um; U = 2 x 3.02526 um.
    working = budget_of_mean([25_000_000], GAUGE, IRON, 1).working(Unit.MM)
    assert working.numbers == (
        "instrument 0.003 mm, resolution 0.00029 mm, repeat 0.000 mm, temperature 0.00026 mm; n 1"
    )
    assert working.result == "0.00605 mm"
    assert "GUM" in working.source


def test_another_instrument_takes_its_place() -> None:
    other = Instrument(InstrumentKind.VALUE, "caliper", 10_000, 40_000)
    readings = [25_000_000, 25_010_000]
    swapped = budget_of_mean(readings, GAUGE, IRON, 1).with_instrument(other)
    assert swapped == budget_of_mean(readings, other, IRON, 1)


@given(budgets, st.integers(0, 100_000))
def test_readings_wanted_are_enough_and_one_fewer_is_not(budget: Budget, wanted: int) -> None:
    scatter = budget.scatter_nm or 0.0
    count = readings_wanted(budget, wanted)

    def with_readings(number: int) -> float:
        few = student_t(min(number, 31)) / 2  # GUM G.4
        return 2 * replace(budget, repeat_nm=few * scatter / math.sqrt(number)).standard_nm

    if count is None:
        assert with_readings(10**12) >= wanted - 1e-2
    else:
        assert with_readings(count) <= wanted + 1e-3
        assert count == 2 or with_readings(count - 1) >= wanted - 1e-3


def test_readings_wanted_is_not_told_without_a_scatter() -> None:
    assert readings_wanted(budget_of_mean([25_000_000], GAUGE, IRON, 1), 10_000) is None


@pytest.mark.parametrize(
    ("readings", "alpha", "kelvin", "scatter", "says"),
    [
        ([], IRON, 1, None, "no reading"),
        ([25_000_000, 0], IRON, 1, None, "no reading, or one that is not more than nothing"),
        ([25_000_000], math.nan, 1, None, "expansion"),
        ([25_000_000], IRON, -1, None, "temperature"),
        ([25_000_000], IRON, math.inf, None, "temperature"),
        ([25_000_000], IRON, 1, -1.0, "scatter"),
        ([25_000_000], IRON, 1, math.nan, "scatter"),
    ],
)
def test_bad_figures_are_refused(
    readings: list[int], alpha: float, kelvin: float, scatter: float | None, says: str
) -> None:
    with pytest.raises(UncertaintyError, match=says):
        budget_of_mean(readings, GAUGE, alpha, kelvin, scatter)


def test_plugs_have_no_budget() -> None:
    plugs = Instrument(InstrumentKind.PLUG, "plugs", 0, 2_000, go_nm=25_000_000, not_go_nm=25_021_000)
    with pytest.raises(InstrumentError, match="shows no value"):
        budget_of_mean([25_000_000], plugs, IRON, 1)


@pytest.mark.parametrize("standard", [-1.0, math.nan, math.inf])
def test_no_such_uncertainty(standard: float) -> None:
    with pytest.raises(UncertaintyError, match="below nothing"):
        expanded_nm(standard)
