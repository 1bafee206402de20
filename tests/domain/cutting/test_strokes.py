"""Hand strokes over a boss: counted by hand, and by the property that they cover it and one fewer does not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.cutting.speeds import CuttingError
from domain.cutting.strokes import (
    DEFAULT_FEED_NM,
    StrokePlan,
    crank_boss_width,
    still_to_do,
    strokes,
    time_at,
)
from domain.cutting.words import STROKES_CAUTIONS, STROKES_FIRST, facing_ways, strokes_words
from domain.lengths import NM_PER_INCH, Unit


def plan_3_by_79() -> StrokePlan:
    return strokes(8_000_000, DEFAULT_FEED_NM, 1_000_000, 400_000, Unit.MM)


def test_default_feed_is_four_thousandths_of_an_inch() -> None:
    assert DEFAULT_FEED_NM * 1000 == 4 * NM_PER_INCH


def test_counted_by_hand() -> None:
    # 8 mm / 0.1016 mm = 78.7, so 79; 1 mm / 0.4 mm = 2.5, so 3; 3 x 79 = 237; 1 mm shared evenly by 3 is 0.333 mm.
    plan = plan_3_by_79()
    assert (plan.strokes_per_pass, plan.passes, plan.strokes, plan.cut_nm) == (79, 3, 237, 333_333)
    assert (
        strokes_words(plan, Unit.MM) == "237 strokes: 3 passes of 79 strokes, each 0.333 mm (0.0131 in) deep."
    )
    assert [work.result for work in plan.workings] == ["79", "3", "0.333 mm (0.0131 in)", "237"]


def test_what_divides_evenly_takes_no_stroke_more() -> None:
    # 0.300 in at 0.004 in a stroke is 75; one cut of 0.020 in takes 0.020 in off.
    plan = strokes(7_620_000, DEFAULT_FEED_NM, 508_000, 508_000, Unit.INCH)
    assert (plan.strokes_per_pass, plan.passes, plan.cut_nm) == (75, 1, 508_000)
    assert strokes_words(plan, Unit.INCH) == "75 strokes in one pass, 0.0200 in (0.508 mm) deep."


@given(
    st.integers(1, 2_000_000), st.integers(100, 14_000), st.integers(1, 2_000_000), st.integers(100, 14_000)
)
def test_they_cover_the_work_and_one_fewer_does_not(feed: int, wide: int, cut: int, deep: int) -> None:
    # From one to 140 feeds wide and as many cuts deep, in hundredths: under 20 000 strokes in all.
    width, depth = feed * wide // 100, cut * deep // 100
    plan = strokes(width, feed, depth, cut, Unit.MM)
    assert plan.strokes_per_pass * feed >= width > (plan.strokes_per_pass - 1) * feed
    assert plan.passes * cut >= depth > (plan.passes - 1) * cut
    assert plan.strokes == plan.strokes_per_pass * plan.passes
    # Passes of equal depth, none deeper than asked, that take off all but what a whole nanometre cannot show.
    assert 0 < plan.cut_nm <= cut
    assert 0 <= depth - plan.passes * plan.cut_nm < plan.passes


@given(st.integers(0, 236))
def test_the_counter_goes_through_every_stroke_of_every_pass(done: int) -> None:
    plan = plan_3_by_79()
    left = still_to_do(plan, done)
    assert left.next_pass is not None and left.next_stroke is not None
    assert (left.next_pass - 1) * 79 + left.next_stroke - 1 == done
    assert 1 <= left.next_stroke <= 79
    assert left.strokes == 237 - done


def test_none_left_is_nothing_next() -> None:
    left = still_to_do(plan_3_by_79(), 300)
    assert (left.strokes, left.next_pass, left.next_stroke) == (0, None, None)


def test_time() -> None:
    assert time_at(240, 30) == 8
    assert time_at(0, 1) == 0
    assert time_at(240, 120) == 2


@pytest.mark.parametrize(
    ("sizes", "field", "says"),
    [
        ((0, 1, 1, 1), "radial_width", "above nothing"),
        ((1_000_000, 0, 1, 1), "feed", "above nothing"),
        ((1_000_000, 100_000, -1, 1), "depth", "above nothing"),
        ((1_000_000, 100_000, 1, 0), "cut_depth", "above nothing"),
        ((1_000_000, 1_000_001, 1, 1), "feed", "wider than the work"),
        ((1_000_000, 100_000, 300_000, 300_001), "cut_depth", "deeper than the metal"),
        ((10_000_000, 1, 1, 1), "feed", "more than anybody pulls"),
    ],
)
def test_sizes_that_cannot_be(sizes: tuple[int, int, int, int], field: str, says: str) -> None:
    with pytest.raises(CuttingError, match=says) as caught:
        strokes(*sizes, Unit.MM)
    assert caught.value.field == field


def test_counts_and_rhythms_that_cannot_be() -> None:
    for rhythm in (0, 0.99, 121, float("nan"), float("inf")):
        with pytest.raises(CuttingError, match="1 to 120") as caught:
            time_at(10, rhythm)
        assert caught.value.field == "rhythm"
    with pytest.raises(CuttingError, match="below nothing"):
        time_at(-1, 30)
    with pytest.raises(CuttingError, match="below nothing"):
        still_to_do(plan_3_by_79(), -1)


def test_the_cautions() -> None:
    for word in ("Power off", "Chuck key", "swing round", "stand clear", "Iron dust", "chilled"):
        assert any(word in caution for caution in STROKES_CAUTIONS), word


def test_the_caution_that_comes_first_and_the_ways_of_working() -> None:
    for word in ("isolated", "key out", "spoiled casting"):
        assert word in STROKES_FIRST, word
    by_hand, back_gear, milled = facing_ways(DEFAULT_FEED_NM, Unit.INCH)
    assert "isolated" in by_hand[1] and "0.0040 in (0.102 mm)" in by_hand[1]
    for word in ("saddle stop", "every turn", "missed beat breaks the tool"):
        assert word in back_gear[1], word
    assert "practised" in back_gear[0] and "Mill" in milled[0]


def test_the_width_of_a_crank_boss_as_drawn() -> None:
    # A driver for 5 in gauge, worked by hand: throw 1 1/8 in, 7/8 in of metal round the pin, bore 3/4 in:
    # 1.125 + 0.4375 - 0.375 = 1.1875 in, an inch and more.
    eighth = NM_PER_INCH // 8
    assert crank_boss_width(9 * eighth, 7 * eighth, 6 * eighth) == 19 * NM_PER_INCH // 16
    with pytest.raises(CuttingError, match="inside the bore") as caught:
        crank_boss_width(1_000_000, 1_000_000, 20_000_000)
    assert caught.value.field == "radial_width"
