"""The least-cost assignment against SciPy's, against trying everything, and where floats would fail."""

import itertools
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from domain.pairing.assignment import cheapest_assignment


def _total(costs: list[list[int]], columns: tuple[int, ...]) -> int:
    assert len(set(columns)) == len(columns) == len(costs)
    return sum(row[column] for row, column in zip(costs, columns, strict=True))


@pytest.mark.parametrize("rows", range(1, 13))
@pytest.mark.parametrize("more", range(5))
def test_as_cheap_as_scipy(rows: int, more: int) -> None:
    chance = random.Random(100 * rows + more)
    for largest in (1, 5, 1000, 2**40):  # the small ones are full of ties
        costs = [[chance.randint(-largest, largest) for _ in range(rows + more)] for _ in range(rows)]
        theirs = linear_sum_assignment(np.array(costs))
        # float64 holds sums of sixteen such numbers exactly.
        assert _total(costs, cheapest_assignment(costs)) == sum(
            costs[i][j] for i, j in zip(*theirs, strict=True)
        )


@given(st.integers(0, 5), st.integers(0, 2), st.data())
@settings(max_examples=200)
def test_as_cheap_as_trying_everything(rows: int, more: int, data: st.DataObject) -> None:
    row = st.lists(st.integers(-(10**30), 10**30), min_size=rows + more, max_size=rows + more)
    costs = data.draw(st.lists(row, min_size=rows, max_size=rows))
    least = min(_total(costs, columns) for columns in itertools.permutations(range(rows + more), rows))
    assert _total(costs, cheapest_assignment(costs)) == least


def test_a_difference_too_small_for_a_float_still_decides() -> None:
    huge = 10**40
    assert cheapest_assignment([[huge, huge + 1], [huge + 1, huge + 1]]) == (0, 1)
    assert cheapest_assignment([[huge, huge], [huge - 1, huge]]) == (1, 0)
    assert float(huge) == float(huge + 1)


def test_a_chain_pushes_everyone_along() -> None:
    # Each row's cheapest column is taken by the row before: only moving the whole chain finds the least, by hand.
    assert cheapest_assignment([[0, 1, 9], [0, 2, 9], [9, 0, 5]]) == (1, 0, 2)


@pytest.mark.parametrize("costs", [[[1, 2], [3]], [[1], [2]], [[]]])
def test_what_is_no_table_is_refused(costs: list[list[int]]) -> None:
    with pytest.raises(ValueError, match="rows of one length"):
        cheapest_assignment(costs)
