from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.joints.judge import decide_fit
from domain.joints.kinds import FitKind
from domain.lengths import Unit
from domain.measuring.decision import (
    Conformity,
    Decision,
    DecisionError,
    decide,
    decide_ends,
    decide_interval,
    guard_band_nm,
)
from domain.measuring.plug_gauge import Interval

LOW, HIGH, U = 25_000_000, 25_021_000, 6_000  # 25 H7, ISO 286-2:2010
IN, OUT, UNSURE = Conformity.INSIDE, Conformity.OUTSIDE, Conformity.CANNOT_TELL
MM = Unit.MM
values = st.integers(24_900_000, 25_100_000)
uncertainties_nm = st.integers(0, 60_000)
limits = st.tuples(values, values).map(lambda pair: (min(pair), max(pair)))


@pytest.mark.parametrize(
    ("value", "answer"),
    [
        # ISO 14253-1:2017 with U 0.006: accept 25.00495 to 25.01605; reject beyond 24.99505 and 25.02595.
        (24_995_049, OUT),
        (24_995_050, UNSURE),
        (25_004_949, UNSURE),
        (25_004_950, IN),
        (25_016_050, IN),
        (25_016_051, UNSURE),
        (25_025_950, UNSURE),
        (25_025_951, OUT),
    ],
)
def test_25_h7_with_u_0_006(value: int, answer: Conformity) -> None:
    found = decide(value, U, LOW, HIGH, MM)
    assert found.answer is answer
    assert (found.accept_low_nm, found.accept_high_nm, found.guard_nm) == (25_004_950, 25_016_050, 4_950)


def test_at_the_guarded_limit_the_size_is_inside_it_to_95_in_100() -> None:
    # The standard's default: conformity shown to 95 %. u = U/2 of a normal law about the size found.
    chance = NormalDist(25_016_050, U / 2).cdf(HIGH)
    assert chance == pytest.approx(0.95, abs=0.001)


@given(values, uncertainties_nm, limits)
def test_mirrored_about_the_middle_the_answer_is_the_same(value: int, u: int, pair: tuple[int, int]) -> None:
    low, high = pair
    there, back = decide(value, u, low, high, MM), decide(low + high - value, u, low, high, MM)
    assert (there.answer, there.margin_nm, there.settles_nm) == (back.answer, back.margin_nm, back.settles_nm)
    upper, lower = decide(value, u, None, high, MM), decide(-value, u, -high, None, MM)
    assert (upper.answer, upper.margin_nm) == (lower.answer, lower.margin_nm)


@given(values, limits)
def test_without_uncertainty_there_is_no_guard_band_and_always_an_answer(
    value: int, pair: tuple[int, int]
) -> None:
    found = decide(value, 0, *pair, MM)
    assert found.answer is (IN if pair[0] <= value <= pair[1] else OUT)
    assert (found.guard_nm, found.accept_low_nm, found.accept_high_nm) == (0, *pair)


@given(values, uncertainties_nm, uncertainties_nm, limits)
def test_growing_uncertainty_only_ever_takes_the_answer_away(
    value: int, one: int, other: int, pair: tuple[int, int]
) -> None:
    less, more = sorted((one, other))
    sure, unsure = (decide(value, u, *pair, MM) for u in (less, more))
    assert unsure.answer in (sure.answer, UNSURE)
    assert guard_band_nm(less) <= guard_band_nm(more)


@given(values, uncertainties_nm, limits)
def test_settles_is_the_largest_u_with_an_answer(value: int, u: int, pair: tuple[int, int]) -> None:
    settles = decide(value, u, *pair, MM).settles_nm
    assert settles is not None
    assert decide(value, settles, *pair, MM).answer is not UNSURE
    assert decide(value, settles + 1, *pair, MM).answer is UNSURE


@given(values, st.integers(1, 60_000), st.floats(0, 1))
def test_where_the_guard_bands_meet_nothing_is_inside(value: int, u: int, share: float) -> None:
    width = int((2 * guard_band_nm(u) - 1) * share)
    pair = (value - width // 3, value - width // 3 + width)
    found = decide(value, u, *pair, MM)
    assert not _inside_possible(found)
    assert found.answer is not IN
    assert "never be said" in found.working.result
    if found.answer is UNSURE:
        assert "can ever be called in limits" in found.words


def test_the_u_named_for_limits_too_close_is_the_largest_that_leaves_room() -> None:
    # 21 um between the limits: g at most 10.5 um, U at most 10.5/0.825 = 12.727 um.
    assert "that takes 0.012 mm (0.0005 in) or less" in decide(25_010_000, 40_000, LOW, HIGH, MM).words
    assert decide(25_010_500, 12_727, LOW, HIGH, MM).answer is IN
    assert not _inside_possible(decide(25_010_500, 12_728, LOW, HIGH, MM))


def test_far_outside_is_outside_even_when_nothing_can_be_inside() -> None:
    assert decide(26_000_000, 40_000, LOW, HIGH, MM).answer is OUT


@pytest.mark.parametrize(
    ("value", "says"),
    [
        (
            25_010_000,
            "The bore is in limits: 0.010 mm (0.0004 in) above the least allowed, and it takes 0.005 mm",
        ),
        (25_015_000, "0.006 mm (0.0002 in) below the most allowed"),
        (25_030_000, "The bore is over: 0.009 mm (0.0004 in) above the most allowed"),
        (24_990_000, "0.010 mm (0.0004 in) below the least allowed"),
        (25_019_000, "Cannot tell with this instrument: the bore is 0.002 mm (0.0001 in) below the most"),
        (25_019_000, "Give or take 0.002 mm (0.0001 in) or less would settle it."),
        (25_021_000, "exactly on the most allowed"),
        (25_000_000, "exactly on the least allowed"),
        (25_000_000, "no instrument settles it"),
    ],
)
def test_words(value: int, says: str) -> None:
    assert says in decide(value, U, LOW, HIGH, MM, "bore").words


def test_the_working_shows_the_numbers_and_the_source() -> None:
    working = decide(25_010_000, U, LOW, HIGH, MM, "bore").working
    assert working.numbers == "bore 25.010 mm, limits 25.000 mm to 25.021 mm, U 0.006 mm, g 0.00495 mm"
    assert working.result == "inside may be said 25.00495 mm to 25.01605 mm: in limits"
    assert "ISO 14253-1:2017" in working.source


def test_one_limit_alone() -> None:
    assert decide(25_030_000, U, LOW, None, MM).answer is IN
    assert decide(25_030_000, U, None, HIGH, MM).answer is OUT
    assert "from 25.00495 mm up" in decide(25_030_000, U, LOW, None, MM).working.result
    assert "up to 25.01605 mm" in decide(25_030_000, U, None, HIGH, MM).working.result


@pytest.mark.parametrize(
    ("u", "low", "high", "says"),
    [(-1, LOW, HIGH, "less than nothing"), (U, HIGH, LOW, "wrong way round"), (U, None, None, "no limit")],
)
def test_bad_figures_are_refused(u: int, low: int | None, high: int | None, says: str) -> None:
    with pytest.raises(DecisionError, match=says):
        decide(25_010_000, u, low, high, MM)
    with pytest.raises(DecisionError, match=says):
        decide_interval(Interval(LOW, HIGH), low, high, MM, u)


@given(st.integers(-100_000, 100_000), uncertainties_nm, st.integers(0, 50_000), st.integers(0, 50_000))
def test_an_interference_is_a_gap_the_other_way(clearance: int, u: int, one: int, other: int) -> None:
    least, most = sorted((one, other))
    gap = decide_fit(clearance, u, least, most, MM)
    for kind in (FitKind.PRESS, FitKind.SHRINK):
        grip = decide_fit(-clearance, u, least, most, MM, kind)
        assert (grip.answer, grip.margin_nm, grip.settles_nm) == (gap.answer, gap.margin_nm, gap.settles_nm)


def test_a_fit_says_what_it_judges() -> None:
    assert "the gap is" in decide_fit(21_000, 6_000, 20_000, 50_000, MM).words
    press = decide_fit(20_000, 6_000, 10_000, 20_000, MM, FitKind.PRESS)
    assert press.answer is OUT
    assert "The interference is under" in press.words


@pytest.mark.parametrize(
    ("low", "high", "answer", "margin"),
    [
        (LOW, HIGH, IN, 0),
        (LOW + 2_000, HIGH - 5_000, IN, 2_000),
        (LOW - 1, HIGH, UNSURE, None),
        (LOW, HIGH + 1, UNSURE, None),
        (LOW, None, UNSURE, None),
        (None, HIGH, UNSURE, None),
        (None, None, UNSURE, None),
        (HIGH, None, OUT, 0),
        (HIGH + 3_000, None, OUT, -3_000),
        (None, LOW, OUT, 0),
        (None, LOW - 4_000, OUT, -4_000),
    ],
)
def test_plugs(low: int | None, high: int | None, answer: Conformity, margin: int | None) -> None:
    found = decide_interval(Interval(low, high), LOW, HIGH, MM, 2_000)
    assert (found.answer, found.margin_nm, found.settles_nm) == (answer, margin, None)
    assert ("only as sure as the plugs' own sizes, each to 0.002 mm" in found.words) is (answer is not UNSURE)
    assert ("Cannot tell with these plugs" in found.words) is (answer is UNSURE)


def test_plugs_against_one_limit() -> None:
    assert decide_interval(Interval(LOW, None), LOW, None, MM).answer is IN
    assert decide_interval(Interval(None, HIGH), LOW, None, MM).answer is UNSURE
    assert decide_interval(Interval(None, HIGH), None, HIGH, MM).answer is IN


past = st.one_of(st.none(), st.integers(1, 50_000))


@given(past, past, limits, values)
def test_plugs_never_contradict_the_bore(
    smaller: int | None, larger: int | None, pair: tuple[int, int], bore: int
) -> None:
    interval = Interval(
        None if smaller is None else bore - smaller, None if larger is None else bore + larger
    )
    answer = decide_interval(interval, *pair, MM).answer
    inside = pair[0] <= bore <= pair[1]
    assert answer is UNSURE or (answer is IN) == inside


def _inside_possible(found: Decision) -> bool:
    """Whether any size at all could be called inside with this uncertainty."""
    assert found.accept_low_nm is not None
    assert found.accept_high_nm is not None
    return found.accept_low_nm <= found.accept_high_nm


@pytest.mark.parametrize(
    ("ends_um", "answer"),
    [
        ((10, 40), Conformity.INSIDE),  # both within 4.95 um (0.825 U) of neither limit
        ((10, 46), Conformity.CANNOT_TELL),  # 46 > 50 - 4.95
        ((4, 40), Conformity.CANNOT_TELL),
        ((10, 55), Conformity.OUTSIDE),  # 55 > 50 + 4.95
        ((-5, 40), Conformity.OUTSIDE),
        ((4, 55), Conformity.OUTSIDE),
    ],
)
def test_the_smallest_and_the_largest_reading_are_judged_too(
    ends_um: tuple[int, int], answer: Conformity
) -> None:
    limits = 25_000_000, 25_050_000
    mean = decide(25_025_000, 6_000, *limits, Unit.MM, "bore")
    ends = 25_000_000 + 1_000 * ends_um[0], 25_000_000 + 1_000 * ends_um[1]
    found = decide_ends(mean, ends, 6_000, limits, Unit.MM, "bore")
    assert found.answer is answer and found.of_end is (answer is not Conformity.INSIDE)
    assert ("A mean hides taper and ovality" in found.words) is found.of_end


def test_a_mean_outside_is_outside_whatever_its_ends() -> None:
    limits = 25_000_000, 25_050_000
    mean = decide(25_060_000, 6_000, *limits, Unit.MM, "bore")
    assert decide_ends(mean, (25_030_000, 25_070_000), 6_000, limits, Unit.MM, "bore") is mean
