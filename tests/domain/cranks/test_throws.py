"""Throws by side and against the drawing: limits, guard bands, who is odd, and the geometry of the play."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.answer import Answer
from domain.cranks.cylinders import Side
from domain.cranks.throws import Throw, ThrowsFinding, judge_throws, odd_from
from domain.cranks.words import odd_words, throw_headline, throw_reason, throws_words
from domain.lengths import Unit

DRAWN = 28_575_000
RANK = list(Answer)
OFF = st.integers(-700_000, 700_000)
WHEELS = st.lists(
    st.tuples(st.sampled_from([Side.LEFT, Side.RIGHT, None]), OFF, st.sampled_from([0, 5_000, 90_000])),
    min_size=1,
    max_size=9,
)


def judged(*wheels: tuple[Side | None, int, int]) -> ThrowsFinding:
    return judge_throws(
        [Throw(f"W{n}", DRAWN + off, side, u) for n, (side, off, u) in enumerate(wheels, 1)], DRAWN
    )


def left(*off: int, u: int = 0) -> ThrowsFinding:
    return judged(*((Side.LEFT, one, u) for one in off))


# Common practice, no source: 0.05 mm and 0.15 mm within a side, 0.25 mm and 0.5 mm off the drawing.
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
def test_how_far_apart_the_throws_of_a_side_may_be(apart: int, answer: Answer) -> None:
    for sign in (1, -1):
        found = left(0, 0, 0, sign * apart)
        assert (found.sides[0].answer, found.sides[0].spread_nm, found.answer) == (answer, apart, answer)
        assert found.answer_of("W4") is answer
        assert {found.answer_of(f"W{n}") for n in range(1, 4)} == {Answer.SERVES}
        odd = [] if answer is Answer.SERVES else ["W4"]
        assert [one.mark for side in found.unlike for one in side.odd()] == odd


@pytest.mark.parametrize(
    ("off", "answer"),
    [
        (250_000, Answer.SERVES),
        (250_001, Answer.CAUTION),
        (500_000, Answer.CAUTION),
        (500_001, Answer.NOT),
    ],
)
def test_how_far_off_the_drawing_a_throw_may_be(off: int, answer: Answer) -> None:
    for sign in (1, -1):
        found = left(sign * off, sign * off)
        assert (found.sides[0].answer, found.answer) == (Answer.SERVES, answer)
        assert [one.answer for one in found.wheels] == [answer, answer]


def test_left_and_right_may_differ() -> None:
    """Left 28.0 and right 28.2: no rod joins the two."""
    found = judge_throws(
        [Throw(f"W{n}", nm, side) for n, (nm, side) in enumerate(
            [(28_000_000, Side.LEFT), (28_200_000, Side.RIGHT)] * 3, 1)], 28_100_000,
    )  # fmt: skip
    assert found.answer is Answer.SERVES and found.unlike == ()
    assert throws_words(found, Unit.MM).startswith("Good: the sides differ, but each is alike in itself")


@pytest.mark.parametrize(
    ("apart", "answer"),
    [
        # ISO 14253-1:2017, 1.65 u = 0.825 U: U of two throws of 0.02 each is 0.02829, its guard band 0.02334.
        (126_000, Answer.CAUTION),
        (127_000, Answer.CANNOT_TELL),
        (173_000, Answer.CANNOT_TELL),
        (174_000, Answer.NOT),
    ],
)
def test_throws_that_are_not_known_well_enough_cannot_be_told(apart: int, answer: Answer) -> None:
    assert left(0, apart, u=20_000).sides[0].answer is answer


def test_one_throw_that_is_unsure_is_not_hidden_between_two_that_are_sure() -> None:
    found = judged((Side.LEFT, 0, 0), (Side.LEFT, 10_000, 0), (Side.LEFT, 5_000, 300_000)).sides[0]
    assert found.answer is Answer.CANNOT_TELL
    assert "W3" in (found.low.mark, found.high.mark)


@given(WHEELS)
def test_the_two_sides_are_judged_apart_and_a_spare_only_by_the_drawing(
    wheels: list[tuple[Side | None, int, int]],
) -> None:
    found = judged(*wheels)
    for side in (Side.LEFT, Side.RIGHT):
        lone = judged(*(one for one in wheels if one[0] is side)).sides if found.at(side) else ()
        mine = found.at(side)
        assert (mine.answer, mine.spread_nm) == (lone[0].answer, lone[0].spread_nm) if mine else not lone
    for one in found.wheels:
        if one.throw.side is None:
            assert found.answer_of(one.throw.mark) is one.answer


@given(WHEELS, st.tuples(st.sampled_from([Side.LEFT, Side.RIGHT]), OFF, st.just(0)))
def test_a_fellow_more_never_makes_it_better(
    wheels: list[tuple[Side | None, int, int]], another: tuple[Side, int, int]
) -> None:
    fewer, more = judged(*wheels), judged(*wheels, another)
    for side in (Side.LEFT, Side.RIGHT):
        one, two = fewer.at(side), more.at(side)
        if one is not None and two is not None:
            assert RANK.index(two.answer) >= RANK.index(one.answer)


@given(st.lists(OFF, min_size=2, max_size=6), st.integers(1, 400_000))
def test_of_throws_that_differ_one_is_always_odd(off: list[int], shift: int) -> None:
    found = judged(*((Side.LEFT, one, 0) for one in off), (Side.RIGHT, shift, 0)).sides[0]
    if found.spread_nm:
        assert found.odd(odd_from(found.spread_nm))
    assert bool(found.odd()) or found.answer is Answer.SERVES


def test_the_odd_ones_are_told_against_the_middle_of_their_side_not_the_mean() -> None:
    found = judged(*((side, off, 0) for side, off in [
        (Side.LEFT, 254_000), (Side.RIGHT, 0), (Side.LEFT, 0), (Side.RIGHT, 0), (Side.LEFT, 0), (Side.RIGHT, -127_000),
    ]))  # fmt: skip
    odd = [one for side in found.sides for one in side.odd()]
    assert [(one.mark, one.nm) for one in odd] == [("W1", 254_000), ("W6", -127_000)]
    assert odd_words(odd) == "W1 longer and W6 shorter than their fellows"


def test_what_a_side_is_worth_is_the_odd_wheel_s_alone() -> None:
    found = judged(*((Side.RIGHT, off, 0) for off in (0, 2_000, 114_000)))
    assert [found.answer_of(mark) for mark in ("W1", "W2", "W3")] == [
        Answer.SERVES,
        Answer.SERVES,
        Answer.CAUTION,
    ]
    # So unsure that none stands out: then it is each one's.
    unsure = judged(*((Side.RIGHT, off, 300_000) for off in (0, 2_000)))
    assert [unsure.answer_of(mark) for mark in ("W1", "W2")] == [Answer.CANNOT_TELL] * 2


def test_of_two_on_a_side_the_other_side_tells_which_is_odd() -> None:
    found = judged((Side.LEFT, 0, 0), (Side.RIGHT, 0, 0), (Side.LEFT, 0, 0), (Side.RIGHT, 200_000, 0))
    assert [(one.mark, one.nm) for one in found.sides[1].odd()] == [("W4", 200_000)]
    alone = left(0, 200_000).sides[0]
    assert [(one.mark, one.nm) for one in alone.odd()] == [("W1", -100_000), ("W2", 100_000)]


def test_what_is_said_of_a_throw() -> None:
    def said(found: ThrowsFinding, mark: str = "W1") -> str:
        wheel = found.of(mark)
        assert wheel is not None
        side = found.at(wheel.throw.side)
        return f"{throw_headline(wheel, side, Unit.MM)}. {throw_reason(wheel, side, Unit.MM)}"

    assert said(left(0)).startswith(
        "Good: throw 0.000 mm (0.0000 in) away from the drawing, the first logged on the left."
    )
    assert said(left(0, 20_000)).startswith(
        "Good: the left throws lie within 0.020 mm (0.0008 in) of each other."
    )
    assert said(left(0, 100_000)).startswith(
        "Take care: the left throws lie 0.100 mm (0.0039 in) apart, W1 shorter and W2 longer than their fellows."
    )
    bad = said(left(0, 0, 200_000), "W3")
    assert bad.startswith(
        "No good: the left throws lie 0.200 mm (0.0079 in) apart, W3 longer than its fellows."
    )
    assert said(left(0, 0, 200_000)).startswith(
        "Good: others set the left throws apart, W3 longer than its fellows."
    )
    assert bad.endswith("needs 0.400 mm (0.0157 in) of play in its two bushes together.")
    unsure = said(left(0, 150_000, u=20_000))
    assert unsure.startswith(
        "Cannot tell: the left throws lie 0.150 mm (0.0059 in) apart, give or take 0.028 mm"
    )
    far = said(left(600_000, 0))
    assert far.startswith(
        "No good: throw 0.600 mm (0.0236 in) away from the drawing, measure again before going on."
    )
    off = said(left(300_000, 300_000))
    assert off.startswith(
        "Take care: throw 0.300 mm (0.0118 in) away from the drawing, pistons and valve gear mind it."
    )
    assert said(judged((None, 100_000, 0))).startswith(
        "Good: throw 0.100 mm (0.0039 in) away from the drawing, on no coupled axle."
    )
    assert throws_words(judged(), Unit.MM) == ""
    assert throws_words(left(0), Unit.MM) == "No side has two throws to be compared."
    assert throws_words(left(600_000, 600_000), Unit.MM) == (
        "No good: W1 by +0.600 mm (+0.0236 in), W2 by +0.600 mm (+0.0236 in) away from the drawing; measure again before"
        " going on. The throws of each side are alike."
    )


@given(st.floats(15, 40), st.floats(-0.5, 0.5), st.floats(60, 300))
def test_the_play_asked_for_is_the_geometry_of_two_cranks(r: float, more: float, centres: float) -> None:
    # Both cranks turn together at the same angle; the pins' distance swings C - |r1 - r2| to C + |r1 - r2|.
    distances = [
        math.hypot(centres + more * math.cos(t), more * math.sin(t))
        for t in (k * math.pi / 180 for k in range(360))
    ]
    assert max(distances) - centres == pytest.approx(abs(more), abs=1e-6)
    assert centres - min(distances) == pytest.approx(abs(more), abs=1e-6)


@pytest.mark.parametrize("throws", [[Throw("A", 0)], [Throw("A", 1, Side.LEFT), Throw("B", -1)]])
def test_nothing_is_not_a_throw(throws: list[Throw]) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        judge_throws(throws, DRAWN)
