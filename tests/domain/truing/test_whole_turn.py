"""The swing is the whole turn's: total indicator reading is twice the eccentricity of a round surface (section 8)."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.truing.dial import Dial, DialReading, fit_readings, from_jaws
from domain.truing.setting import Grip, Stop, Surface, advise
from domain.truing.wobble import find_wobble
from domain.truing.words import lies_words, stop_words, swing_words, wobble_words

DIAL = Dial(10_000, Unit.MM)


def at_jaws(off_nm: int, towards_deg: float) -> tuple[DialReading, ...]:
    return from_jaws(
        {jaw: round(off_nm * math.cos(math.radians(90 * (jaw - 1) - towards_deg))) for jaw in (1, 2, 3, 4)}
    )


@given(st.integers(10_000, 2_000_000), st.floats(0, 360))
def test_wherever_it_lies_the_swing_is_twice_the_eccentricity(off_nm: int, towards: float) -> None:
    fit = fit_readings(at_jaws(off_nm, towards))
    assert fit.swing_nm == pytest.approx(2 * off_nm, abs=4)
    assert fit.swing_nm >= fit.tir_nm


def test_between_two_jaws_by_hand() -> None:
    # 0.35 off towards half way between jaws 1 and 2: each jaw reads 0.35 cos 45 = 0.2475, and the turn swings 0.70.
    readings = at_jaws(350_000, 45)
    assert [one.nm for one in readings] == [247_487, 247_487, -247_487, -247_487]
    advice = advise(readings, Surface.OUTSIDE, Grip.ON_OUTSIDE, DIAL, 100_000)
    assert advice.tir_nm == pytest.approx(700_000, abs=2)
    assert lies_words(advice) == (
        "The dial swings 0.700 mm (0.0276 in) in a whole turn. The work lies towards 45 degrees past jaw 1 towards jaw 2."
    )
    assert swing_words([advice]) == ("Round 1: the dial swings 0.700 mm (0.0276 in) in a whole turn.",)
    assert find_wobble(readings, 50_000_000, DIAL).swing_nm == pytest.approx(700_000, abs=2)


@pytest.mark.parametrize(("off_nm", "stops"), [(49_000, True), (51_000, False)])
def test_the_swing_shown_is_the_one_the_allowance_is_held_against(off_nm: int, stops: bool) -> None:
    advice = advise(at_jaws(off_nm, 45), Surface.OUTSIDE, Grip.ON_OUTSIDE, DIAL, 100_000)
    assert (advice.tir_nm <= 100_000) is stops
    assert (advice.stop is Stop.TRUE) is stops is (not advice.moves)
    if stops:
        assert stop_words(advice) == "It is within what you allow: leave the jaws as they are, and go on."


def test_within_the_allowance_no_tap_is_asked_for() -> None:
    readings = at_jaws(40_000, 90)  # swings 0.08 mm
    assert find_wobble(readings, 50_000_000, DIAL, tolerance_nm=50_000).tap
    enough = find_wobble(readings, 50_000_000, DIAL, tolerance_nm=100_000)
    assert not enough.tap
    assert wobble_words(enough)[0] == (
        "The face swings 0.080 mm (0.0031 in) in a whole turn: it is within what you allow, so leave it and go on."
    )
    # Where it takes more than there is, no allowance helps.
    assert find_wobble(readings, 50_000_000, DIAL, stock_nm=20_000, tolerance_nm=100_000).tap
