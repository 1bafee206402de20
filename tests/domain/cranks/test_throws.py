"""Throws beside their fellows: limits, symmetry, and the geometry of the play."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.answer import Answer
from domain.cranks.throws import judge_throw
from domain.lengths import Unit

THROWS = st.integers(15_000_000, 40_000_000)


@pytest.mark.parametrize(
    ("apart", "answer"),
    [
        (0, Answer.SERVES),
        (50_000, Answer.SERVES),
        (50_001, Answer.CAUTION),
        (150_000, Answer.CAUTION),
        (150_001, Answer.NOT),
    ],
)
def test_the_limits_belong_to_the_better_side(apart: int, answer: Answer) -> None:
    for sign in (1, -1):
        assert judge_throw(22_225_000 + sign * apart, 22_225_000, [22_225_000], Unit.MM).answer is answer


def test_far_from_the_drawing_never_serves_even_where_all_are_alike() -> None:
    verdict = judge_throw(30_000_000, 28_575_000, [30_000_000], Unit.INCH)
    assert verdict.answer is Answer.NOT
    assert "away from the drawing" in verdict.headline


@given(THROWS, st.lists(THROWS, min_size=1, max_size=6))
def test_a_fellow_more_never_makes_it_better(throw: int, fellows: list[int]) -> None:
    rank = [Answer.SERVES, Answer.CAUTION, Answer.NOT]
    fewer = judge_throw(throw, throw, fellows[:-1], Unit.MM).answer
    more = judge_throw(throw, throw, fellows, Unit.MM).answer
    assert rank.index(more) >= rank.index(fewer)


@given(st.floats(15, 40), st.floats(-0.5, 0.5), st.floats(60, 300))
def test_the_play_asked_for_is_the_geometry_of_two_cranks(r: float, more: float, centres: float) -> None:
    # Both cranks turn together at the same angle; the pins' distance swings C - |r1 - r2| to C + |r1 - r2|.
    distances = [
        math.hypot(centres + more * math.cos(t), more * math.sin(t))
        for t in (k * math.pi / 180 for k in range(360))
    ]
    assert max(distances) - centres == pytest.approx(abs(more), abs=1e-6)
    assert centres - min(distances) == pytest.approx(abs(more), abs=1e-6)


def test_nothing_is_not_a_throw() -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        judge_throw(0, 22_225_000, [], Unit.MM)
