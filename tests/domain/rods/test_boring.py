"""What rods are bored to, against the figures of two axles that were worked out on paper."""

import math
from dataclasses import replace

import pytest

from domain.cranks.cylinders import Side
from domain.lengths import Unit
from domain.rods.boring import bore_rods
from domain.rods.engine import RodAxle, RodEngine, RodsError, RodSide, RodSpan
from domain.rods.judging import judge_rods
from domain.rods.lack import RodsAnswer

PIN = 9_525_000
AXLE = RodAxle(25_400_000, 25_400_000, 90.0)
SIDE = RodSide(150_000_000, 150_000_000)


def _engine(*axles: RodAxle, side: RodSide = SIDE) -> RodEngine:
    return RodEngine(axles, (RodSpan(side, side),) * (len(axles) - 1))


def test_a_mismatch_of_three_tenths_of_a_degree() -> None:
    """r 25.4, C 150, D 0.30 degrees: 0.04709 of play either way, so each bush that much over its pin."""
    for one in bore_rods(_engine(AXLE, replace(AXLE, quarter_deg=90.3)), (PIN, PIN + 1_000_000), Unit.MM):
        assert one.clearance_nm == pytest.approx(47_090, abs=6)
        assert (one.front_nm, one.rear_nm) == (PIN + one.clearance_nm, PIN + 1_000_000 + one.clearance_nm)


@pytest.mark.parametrize(("rod", "phase_held"), [(150_030_000, 0.263731), (149_970_000, 0.263731)])
def test_a_rod_bored_anew_asks_less_than_the_old_one_with_the_phase_held(rod: int, phase_held: float) -> None:
    """r 25.40/25.45, mismatch 0.20 degrees, C 150.00, L 150.03: summed 0.263731 with the phase held, A 0.101865."""
    engine = _engine(AXLE, RodAxle(25_450_000, 25_450_000, 90.2), side=replace(SIDE, rod_nm=rod))
    one = bore_rods(engine, (PIN, PIN), Unit.MM)[0]
    assert one.centre_nm == 150_000_000
    # At the dead centre of a side the throws' own 0.05 mm has to be taken up whatever the phase.
    assert 50_000 <= one.clearance_nm <= 101_865
    assert 2 * one.clearance_nm < phase_held * 1e6 - 2 * 30_000 + 1


def test_alike_axles_need_none_and_each_rod_has_its_own_centres() -> None:
    left, right = replace(SIDE, rod_nm=150_090_000), RodSide(150_040_000, 150_000_000)
    engine = RodEngine((AXLE,) * 3, (RodSpan(left, right), RodSpan(SIDE, SIDE)), numbers=(1, 3, 4))
    found = bore_rods(engine, (PIN,) * 3, Unit.MM)
    assert [(one.first, one.second, one.side, one.centre_nm) for one in found] == [
        (1, 3, Side.LEFT, 150_000_000),
        (1, 3, Side.RIGHT, 150_040_000),
        (3, 4, Side.LEFT, 150_000_000),
        (3, 4, Side.RIGHT, 150_000_000),
    ]
    assert found[2].clearance_nm == pytest.approx(0, abs=2)


def test_bored_as_said_the_rods_go_and_a_hundredth_less_they_bind() -> None:
    engine = _engine(AXLE, replace(AXLE, quarter_deg=90.3))
    one = bore_rods(engine, (PIN, PIN), Unit.MM)[0]

    def answer(each_nm: int) -> RodsAnswer:
        side = RodSide(one.centre_nm, one.centre_nm, 2 * each_nm)
        return judge_rods(replace(engine, spans=(RodSpan(side, side),)), Unit.MM).answer

    assert answer(one.clearance_nm + 2) is RodsAnswer.GOES
    assert answer(one.clearance_nm - 10_000) is RodsAnswer.BINDS


def test_what_is_unsure_is_added() -> None:
    """A quarter angle sure to 0.03 degrees: r U / (2 sqrt 2) at U, and 1.645 of the two axles' half of it once in twenty."""
    exact = _engine(AXLE, replace(AXLE, quarter_deg=91.0))
    unsure = replace(exact, axles=tuple(replace(one, quarter_u_deg=0.03) for one in exact.axles))
    more = (
        bore_rods(unsure, (PIN, PIN), Unit.MM)[0].clearance_nm
        - bore_rods(exact, (PIN, PIN), Unit.MM)[0].clearance_nm
    )
    u = 25.4e6 * math.radians(0.015) / (2 * math.sqrt(2))
    assert more == pytest.approx(1.645 * math.sqrt(2) * u, rel=0.15)


def test_centres_that_cannot_be_are_refused() -> None:
    with pytest.raises(RodsError, match="no longer than the throw"):
        bore_rods(_engine(AXLE, AXLE, side=RodSide(20_000_000, 150_000_000)), (PIN, PIN), Unit.MM)
