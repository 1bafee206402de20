"""Readings at the four quarters, and weights side by side: against NumPy and figures worked by hand."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.stock.types import StockError
from domain.stock.weight_against import against_fellows, grams
from domain.truing.dial_readings import DialReadingError
from domain.truing.four_spots import four_spots

READING = st.integers(-2_000_000, 2_000_000)


def test_by_hand() -> None:
    # (0.40 - 0)/2 = 0.20 and (0.30 - 0)/2 = 0.15: 3, 4, 5.
    spots = four_spots([400_000, 300_000, 0, 0], "out")
    assert spots.amplitude_nm == 250_000
    assert spots.working.result == "0.250 mm (0.0098 in)"
    # The mean is 0.175; at 12 the circle reads 0.375, at 3 0.325, at 6 -0.025, at 9 0.025: 0.025 over, under, over, under.
    assert spots.shape_nm == 50_000


@settings(max_examples=60)
@given(st.lists(READING, min_size=4, max_size=4), READING)
def test_against_numpy_and_wherever_the_dial_is_set(nm: list[int], zero: int) -> None:
    angles = np.radians([0, 90, 180, 270])
    design = np.column_stack([np.ones(4), np.cos(angles), np.sin(angles)])
    fitted = np.linalg.lstsq(design, np.array(nm, dtype=float), rcond=None)[0]
    found = four_spots(nm, "out").amplitude_nm
    assert found == pytest.approx(math.hypot(fitted[1], fitted[2]), abs=1)
    assert four_spots([zero + one for one in nm], "out").amplitude_nm == pytest.approx(found, abs=1)
    assert four_spots([-one for one in nm], "out").amplitude_nm == pytest.approx(found, abs=1)


def test_a_circle_out_by_a_known_amount_gives_it_back_as_rim_thickness() -> None:
    # Inside edge 40 mm radius, its middle 0.3 mm off towards 60 degrees, inside an outside of 48 mm: exact thickness.
    def thickness(degrees: float) -> int:
        turn = math.radians(degrees - 60)
        inside = 0.3 * math.cos(turn) + math.sqrt(40**2 - (0.3 * math.sin(turn)) ** 2)
        return round((48 - inside) * 1e6)

    assert four_spots([thickness(at) for at in (0, 90, 180, 270)], "out").amplitude_nm == pytest.approx(
        300_000, abs=1
    )


def test_refusals() -> None:
    with pytest.raises(DialReadingError) as caught:
        four_spots([0, 0, 30_000_000, 0], "out")
    assert caught.value.field == "reading_3"
    with pytest.raises(ValueError, match="four"):
        four_spots([0, 0, 0], "out")


def test_weights() -> None:
    # The middle one of 380, 400 and 420 is 400; 380 is 20 in 400 less.
    beside = against_fellows(380_000, [400_000, 380_000, 420_000])
    assert beside is not None
    assert beside.words == "5.0 % less than the middle one"
    assert beside.off == pytest.approx(-0.05)
    assert beside.working.numbers == "(380 g - 400 g) / 400 g, of 3 weighed"
    # Of an even number the middle is half way between two: 405 of 400 and 410; 410 is 5 in 405 more, 1.23 %.
    even = against_fellows(410_000, [380_000, 400_000, 410_000, 420_000])
    assert even is not None
    assert even.words == "1.2 % more than the middle one"
    assert against_fellows(1, [1, 1]) is None
    with pytest.raises(StockError):
        against_fellows(0, [1, 1, 1])
    assert grams(1_234_567) == "1234.6 g"


def test_callipers_may_read_the_whole_height_but_no_casting_is_out_by_an_inch() -> None:
    tall = [28_400_000, 28_300_000, 28_000_000, 28_000_000]
    assert four_spots(tall, "out").amplitude_nm == four_spots([400_000, 300_000, 0, 0], "out").amplitude_nm
    with pytest.raises(DialReadingError, match="at most"):
        four_spots([0, 0, 26_000_000, 0], "out")
