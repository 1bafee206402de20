"""A crankpin's squareness by two dial readings, held against two hundredths of a millimetre."""

import pytest

from domain.answer import Answer
from domain.cranks.squareness import judge_lean
from domain.errors import TradeError
from domain.lengths import Unit


@pytest.mark.parametrize(
    ("near", "far", "dial", "answer"),
    [
        (0, 20_000, 0, Answer.SERVES),
        (0, 20_001, 0, Answer.NOT),
        (-12_000, 12_000, 0, Answer.NOT),
        (-8_000, 8_000, 0, Answer.SERVES),
        # U 3 um each way: 4.243 um of the difference, a guard band of 3.5 um.
        (0, 16_400, 3_000, Answer.SERVES),
        (0, 16_600, 3_000, Answer.CANNOT_TELL),
        (0, -23_400, 3_000, Answer.CANNOT_TELL),
        (0, -23_600, 3_000, Answer.NOT),
    ],
)
def test_two_hundredths_over_the_length(near: int, far: int, dial: int, answer: Answer) -> None:
    found = judge_lean(near, far, 20_000_000, dial, Unit.MM)
    assert (found.lean_nm, found.answer) == (abs(far - near), answer)


def test_a_dial_that_was_not_moved_tells_nothing() -> None:
    with pytest.raises(TradeError, match="moved along the pin"):
        judge_lean(0, 0, 0, 0, Unit.MM)
