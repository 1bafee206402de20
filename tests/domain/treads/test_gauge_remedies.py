"""What puts a wrong gauge right: the amounts by hand, and a set mended by them judged again."""

from dataclasses import replace

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from domain.lengths import Unit, parse_length
from domain.measuring.decision import Conformity
from domain.treads.gauges import GaugeRemedy, gauge_remedies, wheel_gauges
from domain.treads.judging import MeasuredSize
from domain.treads.wheel_standard import Figure, preset
from domain.treads.words import remedy_words, remedy_workings

MARKS = ("W1", "W2")


def _in(text: str) -> int:
    return parse_length(text, Unit.INCH).nm


def said(remedy: GaugeRemedy) -> str:
    return remedy_words(remedy, MARKS, Unit.INCH)


def _of(key: str, back: int, one: int, two: int, expanded: int = 0) -> dict[str, GaugeRemedy]:
    row, flanges = preset(key), (MeasuredSize(one, expanded), MeasuredSize(two, expanded))
    found = wheel_gauges(row, MeasuredSize(back, expanded), flanges, Unit.INCH)
    return {one.name: one for one in gauge_remedies(found, flanges, Unit.INCH)}


# IBLS Wheel Standard, 5 in: back to back 4.687 to 4.707, wheel gauge 4.920 to 4.940, flange 0.125 at most.
def test_too_wide_over_the_flanges_by_hand() -> None:
    (remedy,) = _of("ibls-5", _in("4.705"), _in("0.124"), _in("0.124")).values()
    # 4.953 - 4.940 = 0.013: half off each flange, or 4.705 - 0.013 = 4.692 between the backs.
    assert remedy.need_nm == _in("0.013")
    assert "thin both flanges to 0.1175 in (2.984 mm) (W1's by 6.5 thou (0.165 mm), W2's" in said(remedy)
    assert "bring the wheels closer together on the axle by 13.0 thou (0.330 mm)" in said(remedy)


def test_wheels_that_cannot_come_closer() -> None:
    (remedy,) = _of("ibls-5", _in("4.690"), _in("0.135"), _in("0.135")).values()
    # 4.960 is 0.020 over, and 4.690 may lose no more than 0.003.
    assert "thin both flanges to 0.1250 in (3.175 mm) (W1's by 10.0 thou" in said(remedy)
    assert "W1's flange and W2's flange are over the flange's own limit" in said(remedy)
    assert "on the axle by" not in said(remedy)
    (good,) = _of("ibls-5", _in("4.698"), _in("0.125"), _in("0.124"), 0).values()
    # 4.947 is 0.007 over: W1's down to 0.124, then both by 0.003; the backs may lose 0.011.
    assert good.cuts_nm == (_in("0.004"), _in("0.003"))
    assert "thin both flanges to 0.1210 in (3.073 mm) (W1's by 4.0 thou" in said(good)
    assert "or bring the wheels closer together on the axle by 7.0 thou" in said(good)


# The row's own limits with room taken off the backs: 4.687 is the least, so a good set is stuck there.
def test_good_flanges_on_backs_that_cannot_come_closer() -> None:
    row = replace(preset("ibls-5"), wheel_gauge=Figure(_in("4.900"), _in("4.900"), _in("4.920")))
    flanges = (MeasuredSize(_in("0.124"), 0), MeasuredSize(_in("0.124"), 0))
    found = wheel_gauges(row, MeasuredSize(_in("4.690"), 0), flanges, Unit.INCH)
    (remedy,) = gauge_remedies(found, flanges, Unit.INCH)
    # 4.938 is 0.018 over, and 4.690 may lose no more than 0.003.
    assert remedy.cuts_nm == (_in("0.009"), _in("0.009")) and "W1's by 9.0 thou" in said(remedy)
    assert "The wheels can come no more than 3.0 thou (0.076 mm) closer together" in said(remedy)
    assert "on the axle by" not in said(remedy)


def test_a_flange_over_its_own_limit_is_thinned_first_and_alone() -> None:
    (remedy,) = _of("ibls-5", _in("4.695"), _in("0.140"), _in("0.122")).values()
    # 4.957 is 0.017 over: 0.140 - 0.017 = 0.123, inside 0.125 and no thinner than the good 0.122.
    assert remedy.cuts_nm == (_in("0.017"), 0)
    assert "thin W1's flange to 0.1230 in (3.124 mm), by 17.0 thou (0.432 mm)" in said(remedy)
    assert "W1's flange is over the flange's own limit" in said(remedy) and "W2" not in said(remedy)
    # Or to its limit of 0.125 only, by 0.015; the other 0.002 from between the backs: 4.693 is still inside.
    assert "thin W1's flange to 0.1250 in (3.175 mm), by 15.0 thou (0.381 mm), and bring" in said(remedy)
    assert "closer together on the axle by 2.0 thou" in said(remedy)
    assert remedy_workings(remedy, MARKS, Unit.INCH)[1].result == "W1: 0.1230 in"
    (other,) = _of("ibls-5", _in("4.695"), _in("0.122"), _in("0.140")).values()
    assert other.cuts_nm == (0, _in("0.017")) and "thin W2's flange to 0.1230 in" in said(other)


def test_a_flange_over_its_limit_goes_to_it_even_if_less_would_do() -> None:
    (remedy,) = _of("ibls-5", _in("4.690"), _in("0.140"), _in("0.115")).values()
    # 4.945 is 0.005 over, but 0.135 would still be over 0.125; 4.930 is inside.
    assert remedy.cuts_nm == (_in("0.015"), 0) and "bring the wheels" not in said(remedy)


def test_both_only_once_they_are_alike() -> None:
    (remedy,) = _of("ibls-5", _in("4.705"), _in("0.130"), _in("0.122")).values()
    # 4.957 is 0.017 over: 0.008 makes them alike at 0.122, the other 0.009 comes off both: 0.1175.
    assert remedy.cuts_nm == (_in("0.0125"), _in("0.0045"))


def test_the_guard_band_of_the_flange_itself() -> None:
    (remedy,) = _of("ibls-5", _in("4.690"), _in("0.140"), _in("0.115"), 10_000).values()
    # g of one part of U 0.010 mm: 8250 nm below 0.125 (ISO 14253-1:2017).
    assert remedy.cuts_nm == (_in("0.015") + 8_250, 0)


def test_a_flange_that_cannot_be_thinned_at_once() -> None:
    row = replace(preset("ibls-5"), wheel_gauge=Figure(_in("4.939"), _in("4.939"), _in("4.940")))
    flanges = (MeasuredSize(_in("0.140"), 0), MeasuredSize(_in("0.115"), 0))
    found = wheel_gauges(row, MeasuredSize(_in("4.690"), 0), flanges, Unit.INCH)
    (remedy,) = gauge_remedies(found, flanges, Unit.INCH)
    # 4.945 less the 0.015 that must come off is 4.930, under 4.939: one thing after the other.
    assert remedy.cuts_nm == (0, 0) and "To put it right" not in said(remedy)
    assert "Thin W1's flange to 0.1250 in (3.175 mm), by 15.0 thou (0.381 mm); log it again" in said(remedy)


def test_too_narrow_over_the_flanges() -> None:
    (remedy,) = _of("ibls-5", _in("4.690"), _in("0.110"), _in("0.110")).values()
    # 4.910 is 0.010 short; flanges do not grow, and 4.700 is still inside.
    assert "bring the wheels farther apart on the axle by 10.0 thou" in said(remedy)
    assert "thin" not in said(remedy)
    (hopeless,) = _of("ibls-5", _in("4.705"), _in("0.100"), _in("0.100")).values()
    assert "no more than 2.0 thou" in said(hopeless) and "cannot be put right" in said(hopeless)


def test_the_guard_band_is_added() -> None:
    found = _of("ibls-5", _in("4.705"), _in("0.126"), _in("0.126"), expanded=10_000)
    # U of three parts of 0.010 mm: 0.017321; 0.825 of it, rounded up: 0.014290 (ISO 14253-1:2017).
    assert found["wheel gauge"].need_nm == _in("0.017") + 14_290


# Gauge One MRA 2009: back to back and one flange 41.0 to 42.0 mm, so a flange can be too thin for it.
def test_a_flange_too_thin_for_its_back_to_back() -> None:
    found = _of("gauge-1", 40_100_000, 800_000, 800_000)
    # 40.9 is 0.1 short.
    assert found["back to back and flange 1"].need_nm == 100_000
    assert "thin" not in said(found["back to back and flange 1"])


def test_a_good_set_wants_nothing() -> None:
    assert not _of("ibls-5", _in("4.690"), _in("0.124"), _in("0.124"))


@settings(max_examples=80, deadline=None)
@given(
    st.integers(4_687, 4_707),
    st.integers(100, 140),
    st.integers(100, 140),
    st.sampled_from([0, 3_000, 10_000]),
)
def test_what_it_says_mends_it(back: int, one: int, two: int, u: int) -> None:
    b, had = back * 25_400, (one * 25_400, two * 25_400)
    remedy = _of("ibls-5", b, *had, u).get("wheel gauge")
    assume(remedy is not None)
    assert remedy is not None
    row, need = preset("ibls-5"), remedy.need_nm

    def judged(between: int, thick: tuple[int, int]) -> Conformity | None:
        flanges = (MeasuredSize(thick[0], u), MeasuredSize(thick[1], u))
        return wheel_gauges(row, MeasuredSize(between, u), flanges, Unit.INCH).wheel_gauge.answer

    left = (had[0] - remedy.cuts_nm[0], had[1] - remedy.cuts_nm[1])
    if any(remedy.cuts_nm):
        assert judged(b, left) is Conformity.INSIDE
        # None that was cut ends below the other, and none stays over its own limit.
        for side in (0, 1):
            assert not remedy.cuts_nm[side] or left[side] >= left[1 - side]
            assert left[side] <= _in("0.125") + u
    if "own limit" in said(remedy):
        return
    for word, sign in (("closer together on the axle", -1), ("farther apart on the axle", 1)):
        if word in said(remedy):
            assert judged(b + sign * need, had) is Conformity.INSIDE
            assert _in("4.687") <= b + sign * need <= _in("4.707")
