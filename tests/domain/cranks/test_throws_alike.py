"""The throws of a set together, by the limits of domain/cranks/throws.py and the median of the statistics module."""

import pytest

from domain.answer import Answer
from domain.cranks.throws import MarkedThrow, judge_alike, odd_from, odd_throws
from domain.cranks.words import odd_words
from domain.lengths import Unit


def throws(*nm: int) -> list[MarkedThrow]:
    return [MarkedThrow(f"W{n}", 28_575_000 + one) for n, one in enumerate(nm, 1)]


@pytest.mark.parametrize(
    ("apart", "answer"),
    [(50_000, Answer.SERVES), (50_001, Answer.CAUTION), (150_000, Answer.CAUTION), (150_001, Answer.NOT)],
)
def test_the_limits(apart: int, answer: Answer) -> None:
    found = judge_alike(throws(0, 0, 0, apart))
    assert (found.answer, found.spread_nm) == (answer, apart)
    assert [one.mark for one in found.odd] == ([] if answer is Answer.SERVES else ["W4"])


def test_the_odd_ones_are_told_against_the_middle_not_the_mean() -> None:
    found = judge_alike(throws(254_000, 0, 0, 0, 0, -127_000))
    assert [(one.mark, one.nm) for one in found.odd] == [("W1", 254_000), ("W6", -127_000)]
    assert odd_words(found.odd, Unit.INCH) == (
        "W1 is 0.0100 in (0.254 mm) longer than its fellows, W6 0.0050 in (0.127 mm) shorter"
    )


@pytest.mark.parametrize("apart", [1, 20_000, 50_001, 400_000])
def test_of_two_that_differ_one_is_always_odd(apart: int) -> None:
    assert odd_throws(throws(0, apart), odd_from(apart))


@pytest.mark.parametrize("bad", [[], throws(0), [MarkedThrow("A", 0), MarkedThrow("B", 1)]])
def test_what_cannot_be_compared_is_refused(bad: list[MarkedThrow]) -> None:
    with pytest.raises(ValueError):
        judge_alike(bad)
