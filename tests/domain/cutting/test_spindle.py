"""Which spindle speed, and how fast the surface then passes."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.cutting.speeds import CutKind, CuttingError
from domain.cutting.spindle import (
    MachineKind,
    MachineTool,
    facing_speeds,
    pick_or_slowest,
    rpm_from_feet,
    rpm_from_metres,
    shop_rule_rpm,
    surface_speed,
)
from domain.cutting.words import rpm_words, speed_flags
from domain.lengths import NM_PER_INCH

SPEEDS = st.lists(st.floats(0.1, 5000), min_size=1, max_size=12)
WANTED = st.floats(0.1, 5000)
DIAMETERS = st.integers(1_000_000, 500_000_000)


def test_the_shop_rule_as_printed() -> None:
    # US Army OD 1645: 120 ft/min at 1 in by the 4 V / D rule is 480 rpm.
    assert shop_rule_rpm(120, NM_PER_INCH) == 480
    # It takes pi as 3, so against the definition it is fast by pi / 3.
    assert shop_rule_rpm(120, NM_PER_INCH) / rpm_from_feet(120, NM_PER_INCH) == pytest.approx(math.pi / 3)


def test_a_driving_wheel_by_the_definition() -> None:
    # 80 ft/min at 4.25 in: 960 / (pi x 4.25) = 71.90 rpm, by hand.
    rpm = rpm_from_feet(80, 107_950_000)
    assert round(rpm, 2) == 71.90
    assert surface_speed(rpm, 107_950_000).feet_a_minute == pytest.approx(80, rel=1e-12)
    assert pick_or_slowest(rpm, (30, 45, 72, 105)).rpm == 45  # 72 is above 71.90


@given(WANTED, SPEEDS)
@settings(max_examples=100)
def test_a_pick_is_never_above_the_wanted_speed(wanted: float, speeds: list[float]) -> None:
    pick = pick_or_slowest(wanted, speeds)
    assert pick.rpm in speeds
    if min(speeds) <= wanted:
        assert pick.low_enough and pick.rpm <= wanted
        assert not [speed for speed in speeds if pick.rpm < speed <= wanted]  # none nearer
    else:
        assert not pick.low_enough and pick.rpm == min(speeds)
        assert pick.over_percent == pytest.approx(100 * (min(speeds) - wanted) / wanted)


@given(st.floats(1, 500), DIAMETERS, DIAMETERS, SPEEDS)
@settings(max_examples=100)
def test_a_larger_wheel_is_never_turned_faster(
    feet: float, one: int, other: int, speeds: list[float]
) -> None:
    small, large = sorted((one, other))
    slow, fast = rpm_from_feet(feet, large), rpm_from_feet(feet, small)
    assert slow <= fast
    assert pick_or_slowest(slow, speeds).rpm <= pick_or_slowest(fast, speeds).rpm


@given(st.floats(0.1, 5000), DIAMETERS)
@settings(max_examples=100)
def test_both_systems_go_round_to_the_same_spindle_speed(rpm: float, diameter: int) -> None:
    speed = surface_speed(rpm, diameter)
    assert rpm_from_metres(speed.metres_a_minute, diameter) == pytest.approx(rpm, rel=1e-12)
    assert rpm_from_feet(speed.feet_a_minute, diameter) == pytest.approx(rpm, rel=1e-12)
    # One foot is 0.3048 m (international yard and pound agreement, 1959).
    assert speed.feet_a_minute * 0.3048 == pytest.approx(speed.metres_a_minute, rel=1e-12)


def test_no_speed_low_enough_is_one_sentence_that_says_what_to_do() -> None:
    lathe = MachineTool("A", MachineKind.LATHE, (105, 60, 180))
    pick = pick_or_slowest(41.97, lathe.speeds)
    assert (pick.rpm, pick.wanted_rpm, pick.low_enough) == (60, 41.97, False)
    flag = speed_flags(pick, 41.97, None, CutKind.DRILL, lathe)[0]
    assert (flag.key, flag.grave) == ("too_fast", True)
    assert "slowest is 60 rpm and 41.9 rpm is wanted" in flag.words
    assert "back-gear" in flag.words and "lighter cut does not slow" in flag.words
    assert flag.words.endswith(".")


@pytest.mark.parametrize("speeds", [(), (0,), (-5, 60), (math.nan,), (60, math.inf), (0.01,), (200_000,)])
def test_speeds_that_no_spindle_has(speeds: tuple[float, ...]) -> None:
    for make in (lambda: pick_or_slowest(60, speeds), lambda: MachineTool("A", MachineKind.LATHE, speeds)):
        with pytest.raises(CuttingError, match="such as 60 105 180") as caught:
            make()
        assert caught.value.field == "speeds"


@pytest.mark.parametrize("wanted", [0, -1, math.nan, math.inf])
def test_a_wanted_speed_that_is_none(wanted: float) -> None:
    with pytest.raises(CuttingError) as caught:
        pick_or_slowest(wanted, (60,))
    assert caught.value.field == "wanted_rpm"


@given(st.floats(0.1, 5000), DIAMETERS, st.floats(0, 1))
@settings(max_examples=60)
def test_facing_slows_in_proportion_to_the_diameter(rpm: float, rim: int, share: float) -> None:
    boss = int(rim * share)
    speeds = facing_speeds(rpm, rim, boss)
    assert speeds.boss.metres_a_minute <= speeds.rim.metres_a_minute
    assert speeds.boss.metres_a_minute * rim == pytest.approx(speeds.rim.metres_a_minute * boss)


@pytest.mark.parametrize(
    ("rim", "boss", "field"), [(0, 0, "diameter"), (100, 101, "inner_diameter"), (100, -1, "inner_diameter")]
)
def test_facing_diameters_that_cannot_be(rim: int, boss: int, field: str) -> None:
    with pytest.raises(CuttingError) as caught:
        facing_speeds(60, rim, boss)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("figures", "field"),
    [({"motor_w": 0}, "motor_w"), ({"motor_w": math.nan}, "motor_w"), ({"motor_w": 2e6}, "motor_w"),
     ({"least_feed_nm": -1}, "least_feed"), ({"efficiency": 0}, "efficiency"), ({"efficiency": 1.1}, "efficiency")],
)  # fmt: skip
def test_machines_that_cannot_be(figures: dict[str, float], field: str) -> None:
    with pytest.raises(CuttingError) as caught:
        MachineTool("A", MachineKind.LATHE, (60,), **figures)  # type: ignore[arg-type]
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("rpm", "diameter", "field"), [(0, 1, "rpm"), (math.nan, 1, "rpm"), (60, -1, "diameter")]
)
def test_surface_speeds_that_cannot_be(rpm: float, diameter: int, field: str) -> None:
    with pytest.raises(CuttingError) as caught:
        surface_speed(rpm, diameter)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("feet", "diameter", "field"), [(0, 1, "speed"), (math.inf, 1, "speed"), (80, 0, "diameter")]
)
def test_the_shop_rule_refuses_nothing_turned(feet: float, diameter: int, field: str) -> None:
    with pytest.raises(CuttingError) as caught:
        shop_rule_rpm(feet, diameter)
    assert caught.value.field == field


def test_a_ceiling_is_cut_off_and_not_rounded_up() -> None:
    assert rpm_words(71.89) == "71.8 rpm"
