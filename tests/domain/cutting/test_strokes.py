"""Hand strokes over a boss: counted by hand, and by the property that they cover it and one fewer does not."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from domain.cutting.speeds import CuttingError
from domain.cutting.strokes import (
    DEFAULT_FEED_NM,
    MOST_STROKES,
    StrokePlan,
    ring_width,
    still_to_do,
    strokes,
    time_at,
)
from domain.cutting.words import STROKES_CAUTIONS, strokes_words
from domain.lengths import NM_PER_INCH, Unit


def plan_3_by_79() -> StrokePlan:
    return strokes(8_000_000, DEFAULT_FEED_NM, 1_000_000, 400_000, Unit.MM)


def test_default_feed_is_four_thousandths_of_an_inch() -> None:
    assert DEFAULT_FEED_NM * 1000 == 4 * NM_PER_INCH


def test_counted_by_hand() -> None:
    # 8 mm / 0.1016 mm = 78.7, so 79; 1 mm / 0.4 mm = 2.5, so 3; 3 x 79 = 237; the last cut is 1 - 2 x 0.4 mm.
    plan = plan_3_by_79()
    assert (plan.strokes_per_pass, plan.passes, plan.strokes, plan.last_cut_nm) == (79, 3, 237, 200_000)
    assert (
        strokes_words(plan, Unit.MM)
        == "237 strokes: 3 passes of 79 strokes, the last 0.200 mm (0.0079 in) deep."
    )
    assert [work.result for work in plan.workings] == ["79", "3", "237"]


def test_what_divides_evenly_takes_no_stroke_more() -> None:
    # 0.300 in at 0.004 in a stroke is 75; one cut of 0.020 in takes 0.020 in off.
    plan = strokes(7_620_000, DEFAULT_FEED_NM, 508_000, 508_000, Unit.INCH)
    assert (plan.strokes_per_pass, plan.passes, plan.last_cut_nm) == (75, 1, 508_000)
    assert strokes_words(plan, Unit.INCH) == "75 strokes in one pass, 0.0200 in (0.508 mm) deep."


@given(
    st.integers(1, 50_000_000),
    st.integers(1, 2_000_000),
    st.integers(1, 5_000_000),
    st.integers(1, 2_000_000),
)
def test_they_cover_the_work_and_one_fewer_does_not(width: int, feed: int, depth: int, cut: int) -> None:
    assume(feed <= width and cut <= depth)
    assume((width // feed + 1) * (depth // cut + 1) <= MOST_STROKES)
    plan = strokes(width, feed, depth, cut, Unit.MM)
    assert plan.strokes_per_pass * feed >= width > (plan.strokes_per_pass - 1) * feed
    assert plan.passes * cut >= depth > (plan.passes - 1) * cut
    assert plan.strokes == plan.strokes_per_pass * plan.passes
    assert 0 < plan.last_cut_nm <= cut
    assert (plan.passes - 1) * cut + plan.last_cut_nm == depth


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


def test_the_width_of_a_ring() -> None:
    # (1 in - 1/2 in) / 2 is 1/4 in, 6.35 mm by the definition of the inch.
    assert ring_width(NM_PER_INCH, NM_PER_INCH // 2) == 6_350_000
    with pytest.raises(CuttingError, match="smaller than what it is in"):
        ring_width(10_000_000, 10_000_000)
