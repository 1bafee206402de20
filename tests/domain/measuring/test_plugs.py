import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from domain.lengths import Unit
from domain.measuring.plugs import (
    PlugsError,
    centre_distance_between,
    centre_distance_over,
    centre_distance_u_nm,
)

# A part that is exactly nothing is meant here.
pytestmark = pytest.mark.filterwarnings("ignore:Using UFloat objects")

plugs = st.integers(1_000_000, 50_000_000)


def test_over_two_plugs() -> None:
    # By hand: 38.112 - (19.05 + 9.525)/2 = 38.112 - 14.2875 = 23.8245 mm.
    found = centre_distance_over(38_112_000, 19_050_000, 9_525_000, Unit.MM)
    assert found.nm == 23_824_500
    assert found.working.numbers == "38.112 mm - (19.050 mm + 9.525 mm) / 2"
    assert found.working.result == "23.8245 mm"


@given(st.integers(0, 100_000_000), plugs, plugs)
def test_over_and_between_the_same_plugs_agree(gap: int, first: int, second: int) -> None:
    over = centre_distance_over(gap + first + second, first, second, Unit.MM).nm
    assert over == centre_distance_between(gap, first, second, Unit.INCH).nm
    assert over == centre_distance_over(gap + first + second, second, first, Unit.MM).nm
    assert over == pytest.approx(gap + (first + second) / 2, abs=0.5)


def test_plugs_that_touch() -> None:
    assert centre_distance_over(20_000_000, 10_000_000, 10_000_000, Unit.MM).nm == 10_000_000


@pytest.mark.parametrize(
    ("sizes", "says"),
    [
        ((28_574_999, 19_050_000, 9_525_000), "at least"),
        ((38_000_000, 0, 9_525_000), "no size"),
        ((38_000_000, 19_050_000, -1), "no size"),
    ],
)
def test_sizes_that_cannot_be_over_plugs(sizes: tuple[int, int, int], says: str) -> None:
    with pytest.raises(PlugsError, match=says):
        centre_distance_over(*sizes, Unit.MM)


def test_sizes_that_cannot_be_between_plugs() -> None:
    with pytest.raises(PlugsError, match="below nothing"):
        centre_distance_between(-1, 19_050_000, 9_525_000, Unit.MM)
    with pytest.raises(PlugsError, match="no size"):
        centre_distance_between(1, 19_050_000, 0, Unit.MM)


@given(st.floats(0, 50_000), st.floats(0, 50_000), st.floats(0, 50_000))
def test_uncertainty_against_the_uncertainties_package(over: float, first: float, second: float) -> None:
    expected = ufloat(38_112_000, over) - (ufloat(19_050_000, first) + ufloat(9_525_000, second)) / 2
    assert centre_distance_u_nm(over, first, second) == pytest.approx(expected.std_dev, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("parts", [(-1, 0, 0), (0, math.nan, 0), (0, 0, math.inf)])
def test_an_uncertainty_below_nothing_is_refused(parts: tuple[float, float, float]) -> None:
    with pytest.raises(PlugsError, match="uncertainty"):
        centre_distance_u_nm(*parts)
