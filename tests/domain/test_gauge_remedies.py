"""What puts a wrong gauge right: the amounts by hand, and a set mended by them judged again."""

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from domain.decision import Conformity
from domain.gauge_remedies import GaugeRemedy, gauge_remedies
from domain.length import Unit, parse_length
from domain.tread_judging import Measured
from domain.wheel_gauges import wheel_gauges
from domain.wheel_standard import preset


def _in(text: str) -> int:
    return parse_length(text, Unit.INCH).nm


def _of(key: str, back: int, one: int, two: int, expanded: int = 0) -> dict[str, GaugeRemedy]:
    row, flanges = preset(key), (Measured(one, expanded), Measured(two, expanded))
    found = wheel_gauges(row, Measured(back, expanded), flanges, Unit.INCH)
    return {remedy.name: remedy for remedy in gauge_remedies(row, found, flanges, Unit.INCH)}


# IBLS Wheel Standard, 5 in: back to back 4.687 to 4.707, wheel gauge 4.920 to 4.940, flange 0.125 at most.
def test_too_wide_over_the_flanges_by_hand() -> None:
    (remedy,) = _of("ibls-5", _in("4.705"), _in("0.124"), _in("0.124")).values()
    # 4.953 - 4.940 = 0.013: half off each flange, or 4.705 - 0.013 = 4.692 between the backs.
    assert remedy.need_nm == _in("0.013")
    assert "thin both flanges by 0.0065 in (0.165 mm) each, to 0.1175 in (2.984 mm), or" in remedy.words
    assert "bring the wheels closer together on the axle by 0.0130 in (0.330 mm)" in remedy.words


def test_wheels_that_cannot_come_closer() -> None:
    (remedy,) = _of("ibls-5", _in("4.690"), _in("0.135"), _in("0.135")).values()
    # 4.960 is 0.020 over, and 4.690 may lose no more than 0.003.
    assert "thin both flanges by 0.0100 in" in remedy.words
    assert "The wheels can come no more than 0.0030 in (0.076 mm) closer together" in remedy.words
    assert "on the axle by" not in remedy.words


def test_too_narrow_over_the_flanges() -> None:
    (remedy,) = _of("ibls-5", _in("4.690"), _in("0.110"), _in("0.110")).values()
    # 4.910 is 0.010 short; flanges do not grow, and 4.700 is still inside.
    assert "bring the wheels farther apart on the axle by 0.0100 in" in remedy.words
    assert "thin" not in remedy.words
    (hopeless,) = _of("ibls-5", _in("4.705"), _in("0.100"), _in("0.100")).values()
    assert "no more than 0.0020 in" in hopeless.words and "cannot be put right" in hopeless.words


def test_the_guard_band_is_added() -> None:
    found = _of("ibls-5", _in("4.705"), _in("0.126"), _in("0.126"), expanded=10_000)
    # U of three parts of 0.010 mm: 0.017321; 0.825 of it, rounded up: 0.014290 (ISO 14253-1:2017).
    assert found["wheel gauge"].need_nm == _in("0.017") + 14_290


# Gauge One MRA 2009: check gauge 42.0 to 42.5 mm, so a flange can be too thin for it.
def test_a_check_gauge_too_small() -> None:
    found = _of("gauge-1", 40_200_000, 1_700_000, 1_700_000)
    # 41.9 is 0.1 short.
    assert found["check gauge at flange 1"].need_nm == 100_000
    assert "thin" not in found["check gauge at flange 1"].words


def test_a_good_set_wants_nothing() -> None:
    assert not _of("ibls-5", _in("4.690"), _in("0.124"), _in("0.124"))


@settings(max_examples=80, deadline=None)
@given(st.integers(4_687, 4_707), st.integers(100, 140), st.integers(0, 10_000))
def test_what_it_says_mends_it(back: int, flange: int, expanded: int) -> None:
    b, f = back * 25_400, flange * 25_400
    remedy = _of("ibls-5", b, f, f, expanded).get("wheel gauge")
    assume(remedy is not None)
    assert remedy is not None
    row, u = preset("ibls-5"), expanded

    def wide(between: int, each: int) -> Conformity | None:
        thick = Measured(each, u)
        return wheel_gauges(row, Measured(between, u), (thick, thick), Unit.INCH).wheel_gauge.answer

    if "thin both" in remedy.words:
        assert wide(b, f - -(-remedy.need_nm // 2)) is Conformity.INSIDE
    for word, sign in (("closer together on the axle", -1), ("farther apart on the axle", 1)):
        if word in remedy.words:
            moved = b + sign * remedy.need_nm
            assert wide(moved, f) is Conformity.INSIDE
            assert _in("4.687") <= moved <= _in("4.707")
