import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.measuring.thermal import ThermalError, Warmth, ask_if_fahrenheit, at_20_c, corrected_to_20_c

IRON, STEEL = 10.5e-6, 11.5e-6  # per kelvin: ASTM class 20 tables; JCGM 100 (GUM) H.1
warm = st.builds(Warmth, st.floats(-20, 60), st.floats(0, 30e-6))
sizes = st.integers(1_000_000, 500_000_000)


def test_a_25_mm_iron_bore_at_26_c() -> None:
    # ISO 1 and linear expansion, by hand: 25 mm x 10.5e-6 x 6 K = 1.575 um.
    assert at_20_c(25_000_000, Warmth(26, IRON)) == 25_000_000 - 1_575


def test_work_and_gauge_at_one_temperature_need_only_the_difference_of_their_expansions() -> None:
    # 25 mm x (11.5 - 10.5)e-6 x 6 K = 0.150 um, the steel gauge having grown more than the iron.
    found = corrected_to_20_c(25_000_000, Warmth(26, IRON), Warmth(26, STEEL), Unit.MM)
    assert (found.nm, found.correction_nm) == (25_000_150, 150)
    assert found.working.source.startswith("ISO 1")
    assert "26 C" in found.working.numbers


def test_the_thermal_expansion_of_the_gum_end_gauge() -> None:
    # JCGM 100:2008 (GUM) H.1.3.4: 50 mm, 11.5e-6 per K, 0.029 K (0.05 K / sqrt 3) is 16.6 nm.
    length, rise = 50_000_623, 0.05 / math.sqrt(3)
    assert length - at_20_c(length, Warmth(20 + rise, STEEL)) == pytest.approx(16.6, abs=0.5)


@given(sizes, st.floats(-20, 60), st.floats(0, 30e-6))
def test_steel_on_the_same_steel_needs_no_correction(size: int, celsius: float, alpha: float) -> None:
    one = Warmth(celsius, alpha)
    assert corrected_to_20_c(size, one, one, Unit.MM).correction_nm == 0


@given(sizes, warm, warm)
def test_a_gauge_at_20_c_leaves_the_work_alone_to_correct(size: int, work: Warmth, gauge: Warmth) -> None:
    cold = Warmth(20, gauge.alpha_per_k)
    assert corrected_to_20_c(size, work, cold, Unit.INCH).nm == at_20_c(size, work)


@given(sizes, warm)
def test_warm_work_is_smaller_at_20_c(size: int, work: Warmth) -> None:
    found = at_20_c(size, work)
    assert found <= size if work.celsius >= 20 else found >= size
    assert found * (1 + work.alpha_per_k * (work.celsius - 20)) == pytest.approx(size, abs=0.6)


@pytest.mark.parametrize("celsius", [-20, 0, 20, 60])
def test_a_workshop_temperature_is_not_asked_about(celsius: float) -> None:
    assert ask_if_fahrenheit(celsius) is None


@pytest.mark.parametrize(
    ("typed", "would_be"), [(60.1, "15.6 C"), (68, "20.0 C"), (212, "100.0 C"), (-40, "-40.0 C")]
)
def test_a_temperature_no_workshop_has_is_asked_about(typed: float, would_be: str) -> None:
    # The fixed points of the two scales: 212 F is 100 C, 68 F is 20 C, and they meet at -40.
    assert would_be in str(ask_if_fahrenheit(typed))


@pytest.mark.parametrize(
    ("size", "celsius", "alpha", "says"),
    [
        (0, 20, IRON, "above nothing"),
        (-1, 20, IRON, "above nothing"),
        (25_000_000, 68, IRON, "Fahrenheit"),
        (25_000_000, math.nan, IRON, "not a number"),
        (25_000_000, math.inf, IRON, "not a number"),
        (25_000_000, 20, -1e-6, "millionths"),
        (25_000_000, 20, 10.5, "millionths"),
        (25_000_000, 20, math.nan, "millionths"),
    ],
)
def test_bad_figures_are_refused(size: int, celsius: float, alpha: float, says: str) -> None:
    with pytest.raises(ThermalError, match=says):
        at_20_c(size, Warmth(celsius, alpha))
    with pytest.raises(ThermalError, match=says):
        corrected_to_20_c(size, Warmth(20, IRON), Warmth(celsius, alpha), Unit.MM)
