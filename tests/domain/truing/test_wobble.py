import math
import random

import pytest

from domain.lengths import Unit
from domain.truing.dial import Dial, DialReading, TruingError, from_jaws
from domain.truing.wobble import find_wobble
from domain.truing.words import too_large_words, wobble_words
from domain.truing.workings import wobble_workings

DIAL = Dial(10_000, Unit.MM)


def _plane(lean_x: float, lean_y: float, radius: float, angles, rng=None) -> list[DialReading]:
    """Heights of points in space on a tilted plane z = lean_x x + lean_y y, as a plunger along z meets them."""
    readings = []
    for angle in angles:
        x, y = radius * math.cos(math.radians(angle)), radius * math.sin(math.radians(angle))
        z = lean_x * x + lean_y * y + 0.7 + (rng.gauss(0, 0.003) if rng else 0)
        readings.append(DialReading(angle, round(z * 1e6)))
    return readings


@pytest.mark.parametrize("seed", range(20))
def test_a_leaning_plane_is_found(seed: int) -> None:
    rng = random.Random(seed)
    lean, towards, radius = rng.uniform(0.002, 0.02), rng.uniform(0, 360), rng.uniform(20, 90)
    gx, gy = lean * math.cos(math.radians(towards)), lean * math.sin(math.radians(towards))
    wobble = find_wobble(_plane(gx, gy, radius, range(0, 360, 40)), round(radius * 1e6), DIAL)
    assert wobble.tap_deg == pytest.approx(towards, abs=0.01)
    assert math.tan(math.radians(wobble.tilt_deg)) == pytest.approx(lean, rel=1e-4)
    assert wobble.amplitude_nm == pytest.approx(lean * radius * 1e6, abs=2)
    assert wobble.out_of_flat_nm <= 2


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("counts_up", [True, False])
def test_tapping_where_it_says_brings_the_face_true(seed: int, counts_up: bool) -> None:
    # The tap presses the plane's spot at tap_deg towards the chuck (z down), turning it about a line across the middle.
    rng = random.Random(seed)
    gx, gy, radius = rng.uniform(-0.01, 0.01), rng.uniform(-0.01, 0.01), 60.0
    dial = Dial(10_000, Unit.MM, counts_up)
    sign = 1 if counts_up else -1
    for _ in range(2):
        seen = [
            DialReading(one.angle_deg, sign * one.nm)
            for one in _plane(gx, gy, radius, range(0, 360, 45), rng)
        ]
        wobble = find_wobble(seen, 60_000_000, dial)
        if wobble.tap:
            spot = math.radians(wobble.tap_deg)
            drop = wobble.amplitude_nm / 1e6 * rng.uniform(0.9, 1.1) / radius
            gx, gy = gx - drop * math.cos(spot), gy - drop * math.sin(spot)
    assert math.hypot(gx, gy) * radius < 0.01 + 0.01 * 0.6


def test_metal_it_steals_scales_with_the_radius() -> None:
    readings = from_jaws({1: 300_000, 2: 0, 3: -300_000, 4: 0})
    wobble = find_wobble(readings, 50_000_000, DIAL, steals_at_nm=100_000_000)
    assert (wobble.amplitude_nm, wobble.steals_nm) == (300_000, 600_000)
    # By hand: asin of 0.3/50 in a right triangle is atan to five figures: 0.34377 degrees.
    assert wobble.tilt_deg == pytest.approx(0.34377, abs=1e-4)


def test_what_is_left_is_out_of_flat() -> None:
    wobble = find_wobble(from_jaws({1: 110_000, 2: -10_000, 3: -90_000, 4: -10_000}), 50_000_000, DIAL)
    assert wobble.amplitude_nm == 100_000
    assert wobble.out_of_flat_nm == 20_000
    assert "out of flat by 0.020 mm" in wobble_words(wobble)[2]


def test_words_say_where_and_which_way() -> None:
    up = find_wobble(from_jaws({1: 0, 2: 200_000, 3: 0, 4: -200_000}), 50_000_000, DIAL)
    assert wobble_words(up)[0] == (
        "The face stands out most at jaw 2: turn that spot under the plunger and tap it towards the chuck"
        " until the dial has gone down by 0.200 mm (0.0079 in), then read again."
    )
    down = find_wobble(
        from_jaws({1: 0, 2: 200_000, 3: 0, 4: -200_000}), 50_000_000, Dial(10_000, Unit.MM, False)
    )
    assert down.tap_deg == 270 and "gone up" in wobble_words(down)[0]
    assert {one.name for one in wobble_workings(up)} >= {"lean", "where to tap", "out of flat"}


def test_a_true_face_is_left_alone_and_three_readings_tell_no_flatness() -> None:
    three = find_wobble([DialReading(a, 1_000) for a in (0, 120, 240)], 50_000_000, DIAL)
    assert (three.tap, three.tap_deg, three.out_of_flat_nm) == (False, 0.0, None)
    assert wobble_words(three)[0].endswith("leave it.") and "fourth spot" in wobble_words(three)[2]


def test_a_wobble_larger_than_the_stock_says_what_to_do() -> None:
    readings = from_jaws({1: 800_000, 2: 0, 3: -800_000, 4: 0})
    wobble = find_wobble(readings, 50_000_000, DIAL, stock_nm=500_000)
    assert too_large_words(wobble) == (
        "The wobble takes 0.800 mm (0.0315 in) and only 0.500 mm (0.0197 in) is there to come off: do not cut,"
        " but tap the spot at jaw 1 towards the chuck and read again."
    )
    assert (wobble.too_large, wobble.tap_deg) == (True, 0.0)
    just = find_wobble(readings, 50_000_000, DIAL, stock_nm=800_000)
    assert (just.steals_nm, just.too_large, too_large_words(just)) == (800_000, False, "")
    assert not find_wobble(readings, 50_000_000, DIAL).too_large


def test_what_cannot_be_typed() -> None:
    good = from_jaws({1: 0, 2: 0, 3: 0, 4: 0})
    for radius, stock, at, field in (
        (0, None, None, "radius"),
        (2_000_000_000, None, None, "radius"),
        (50_000_000, -1, None, "stock"),
        (50_000_000, None, 0, "steals_at"),
    ):
        with pytest.raises(TruingError) as caught:
            find_wobble(good, radius, DIAL, stock, at)
        assert caught.value.field == field
    with pytest.raises(TruingError, match="at least three"):
        find_wobble(good[:2], 50_000_000, DIAL)
