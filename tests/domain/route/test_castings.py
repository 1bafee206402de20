"""Counting castings, by hand."""

import pytest

from domain.route.castings import finished, shortfall, stage_ticks
from domain.route.guards import Order
from domain.route.stages import Route

COUPLED = Order(Route.FITTED_FIRST, coupled=True)
CARRYING = Order(Route.FITTED_FIRST, coupled=False)
SIX = frozenset({"received", "back_faced", "bored", "pressed", "tread_turned", "painted"})


@pytest.mark.parametrize(
    ("places", "done", "good", "order"),
    [(6, 0, 8, 0), (6, 0, 6, 0), (6, 0, 5, 1), (6, 5, 0, 1), (6, 5, 1, 0), (6, 6, 0, 0), (6, 0, 0, 6), (0, 0, 0, 0),
     (2, 2, 5, 0), (24, 10, 9, 5)],
)  # fmt: skip
def test_how_many_to_order(places: int, done: int, good: int, order: int) -> None:
    assert shortfall(places, done, good) == order


@pytest.mark.parametrize("counts", [(-1, 0, 0), (0, -1, 0), (0, 0, -1)])
def test_a_negative_count_is_an_error(counts: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match="negative"):
        shortfall(*counts)


def test_a_carrying_wheel_is_finished_without_quartering() -> None:
    assert finished(SIX, CARRYING)
    assert not finished(SIX, COUPLED)
    assert finished(SIX | {"quartered"}, COUPLED)
    assert not finished(SIX - {"bored"}, CARRYING)


def test_steps_and_foreign_keys_do_not_count_as_stages() -> None:
    assert stage_ticks([]) == 0
    assert stage_ticks([(frozenset({"bored.reamed", "polished"}), COUPLED)]) == 0
    assert stage_ticks([(SIX, COUPLED), (SIX | {"quartered"}, CARRYING)]) == 12
