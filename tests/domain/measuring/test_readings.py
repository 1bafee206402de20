from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.measuring.readings import ReadingSummary, summarise


def test_one_reading_is_its_own_mean() -> None:
    assert summarise([19_050_000]) == ReadingSummary(1, 19_050_000, 19_050_000, 19_050_000, 0)


def test_a_half_nanometre_goes_up() -> None:
    assert summarise([1, 2]).mean_nm == 2
    assert summarise([1, 1, 2]).mean_nm == 1


def test_no_reading_is_refused() -> None:
    with pytest.raises(ValueError, match="no reading yet"):
        summarise([])


@given(st.lists(st.integers(1, 10**11), min_size=1, max_size=30))
def test_the_mean_is_the_nearest_nanometre_and_lies_inside(readings: list[int]) -> None:
    found = summarise(readings)
    assert abs(found.mean_nm - Fraction(sum(readings), len(readings))) <= Fraction(1, 2)
    assert found.least_nm <= found.mean_nm <= found.most_nm
    assert found.spread_nm == max(readings) - min(readings)
    assert summarise(readings[::-1]) == found
