"""The jig's plugs and readings, there and back again."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.cranks.crankpins import CrankpinError, jig_readings, jig_throw, plug_for_bores
from domain.cranks.words import jig_words, readings_words
from domain.lengths import Unit
from domain.measuring.plugs import PlugsError, centre_distance_between, centre_distance_over

SIZES = st.integers(3_000_000, 25_000_000)


@given(st.integers(25_000_000, 60_000_000), SIZES, SIZES)
def test_the_readings_give_the_throw_back(throw: int, bore_plug: int, pin_plug: int) -> None:
    found = jig_readings(throw, bore_plug, pin_plug, Unit.MM)
    assert abs(centre_distance_over(found.over_nm, bore_plug, pin_plug, Unit.MM).nm - throw) <= 1
    if found.between_nm is not None:
        assert abs(centre_distance_between(found.between_nm, bore_plug, pin_plug, Unit.MM).nm - throw) <= 1
    assert jig_throw(found.over_nm, bore_plug, pin_plug, throw, Unit.MM).off_nm in (0, 1)


def test_a_worked_one() -> None:
    # 23.8245 mm between 19.05 and 9.525 mm plugs: 23.8245 + 14.2875 = 38.112, 23.8245 - 14.2875 = 9.537.
    found = jig_readings(23_824_500, 19_050_000, 9_525_000, Unit.MM)
    assert (found.over_nm, found.between_nm) == (38_112_000, 9_537_000)
    assert readings_words(found, Unit.MM).startswith("Over the plugs it must read 38.112 mm (1.5005 in)")
    touching = jig_readings(14_287_500, 19_050_000, 9_525_000, Unit.MM)
    assert touching.between_nm is None
    assert "no room" in readings_words(touching, Unit.MM)


@given(st.lists(st.integers(19_000_000, 19_100_000), min_size=1, max_size=8))
def test_the_plug_enters_every_bore_and_the_shake_is_the_most(bores: list[int]) -> None:
    plug = plug_for_bores(bores, Unit.MM)
    assert all(bore - plug.most_nm >= 5_000 and bore - plug.least_nm >= 15_000 for bore in bores)
    assert plug.shake_nm == max(bore - plug.least_nm for bore in bores)
    assert plug.shake_nm <= 2 * plug.throw_error_nm <= plug.shake_nm + 1


def test_far_from_the_drawing_is_another_jig() -> None:
    assert "measure again" in jig_words(
        jig_throw(39_112_000, 19_050_000, 9_525_000, 23_824_500, Unit.MM), Unit.MM
    )
    near = jig_throw(38_122_000, 19_050_000, 9_525_000, 23_824_500, Unit.MM)
    assert near.off_nm == 10_000
    assert "alike" in jig_words(near, Unit.MM)
    assert [one.name for one in near.workings] == ["centre distance", "throw against the drawing"]


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(CrankpinError, match="overlap"):
        jig_readings(14_000_000, 19_050_000, 9_525_000, Unit.MM)
    with pytest.raises(CrankpinError, match="more than nothing"):
        jig_readings(0, 19_050_000, 9_525_000, Unit.MM)
    with pytest.raises(CrankpinError, match="no bore"):
        plug_for_bores([], Unit.MM)
    with pytest.raises(CrankpinError, match="drawing's throw"):
        jig_throw(38_112_000, 19_050_000, 9_525_000, 0, Unit.MM)
    with pytest.raises(PlugsError, match="side by side"):
        jig_throw(20_000_000, 19_050_000, 9_525_000, 23_000_000, Unit.MM)


def test_a_throw_that_is_twice_or_half_the_drawing_s_asks_for_the_unit() -> None:
    # Throw = over - (8 + 4)/2; the drawing's 20: a nanometre beyond half or twice of it is asked about, one within is not.
    def words(throw_nm: int, unit: Unit = Unit.MM) -> str:
        return jig_words(jig_throw(throw_nm + 6_000_000, 8_000_000, 4_000_000, 20_000_000, unit), unit)

    assert "more than twice its throw: was another unit meant? A number alone is in millimetres." in words(
        40_000_001
    )
    assert "less than half of its throw" in words(9_999_999)
    assert "in inches" in words(40_000_001, Unit.INCH)
    assert all("another unit" not in words(nm) for nm in (10_000_001, 20_000_000, 39_999_999))
