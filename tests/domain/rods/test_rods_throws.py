"""What unlike throws cause of a pair's lack of play, and which steps beside them are worth doing."""

from dataclasses import replace

import pytest

from domain.lengths import Unit
from domain.rods.engine import RodAxle, RodEngine, RodSide, RodSpan
from domain.rods.judging import judge_rods
from domain.rods.remedies import plan_of, throws_part, worth_doing

AXLE = RodAxle(25_400_000, 25_400_000, 90.0)
SIDE = RodSide(150_000_000, 150_000_000, 40_000)


def engine(left: int = 0, right: int = 0, turn: float = 0.0, longer: int = 0) -> RodEngine:
    first = replace(
        AXLE, left_throw_nm=25_400_000 + left, right_throw_nm=25_400_000 + right, quarter_deg=90.0 + turn
    )
    side = replace(SIDE, rod_nm=SIDE.rod_nm + longer)
    return RodEngine((first, AXLE), (RodSpan(side, side),))


@pytest.mark.parametrize(("left", "right"), [(254_000, 0), (0, -127_000), (200_000, 200_000)])
def test_throws_alone_lack_their_difference_less_the_play(left: int, right: int) -> None:
    """At the dead centres the pins' distance is C plus or minus r1 - r2: geometry; 0.020 mm is given either way."""
    part = throws_part(engine(left, right), 0)
    assert part.lack_mm == pytest.approx(max(abs(left), abs(right)) / 1e6 - 0.020, abs=2e-3)
    assert part.without_mm <= 0 and part.most and part.only


def test_another_fault_is_not_laid_to_the_throws() -> None:
    part = throws_part(engine(left=2_000, turn=0.5), 0)
    assert part.lack_mm > 0 and not part.most and not part.only


def test_where_all_is_right_nothing_lacks() -> None:
    part = throws_part(engine(), 0)
    assert part.lack_mm < 0 and not part.most and not part.only


def test_a_step_that_gains_next_to_nothing_is_left_out_unless_the_plan_frees() -> None:
    trifle = engine(left=254_000, longer=3_000)
    assert plan_of(trifle) and plan_of(trifle)[-1].frees is False
    assert worth_doing(trifle, plan_of(trifle)) == () == judge_rods(trifle, Unit.MM).plan
    cured = engine(turn=0.3)
    assert worth_doing(cured, plan_of(cured)) == plan_of(cured) != ()
    much = engine(left=60_000, longer=200_000)
    assert worth_doing(much, plan_of(much))[0] == plan_of(much)[0]
