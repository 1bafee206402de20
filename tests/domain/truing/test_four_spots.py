"""Readings at the four quarters: against NumPy and figures worked by hand."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.truing.dial import TruingError, four_spots

READING = st.integers(-2_000_000, 2_000_000)


def test_by_hand() -> None:
    # (0.40 - 0)/2 = 0.20 and (0.30 - 0)/2 = 0.15: 3, 4, 5.
    spots = four_spots([400_000, 300_000, 0, 0], "out")
    assert spots.amplitude_nm == 250_000
    assert spots.working.result == "0.250 mm (0.0098 in)"


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
    with pytest.raises(TruingError) as caught:
        four_spots([0, 0, 30_000_000, 0], "out")
    assert caught.value.field == "reading_3"
    with pytest.raises(ValueError, match="four"):
        four_spots([0, 0, 0], "out")


def test_callipers_may_read_the_whole_height_but_no_casting_is_out_by_an_inch() -> None:
    tall = [28_400_000, 28_300_000, 28_000_000, 28_000_000]
    assert four_spots(tall, "out").amplitude_nm == four_spots([400_000, 300_000, 0, 0], "out").amplitude_nm
    with pytest.raises(TruingError, match="at most"):
        four_spots([0, 0, 26_000_000, 0], "out")
