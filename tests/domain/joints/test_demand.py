import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.answer import Answer
from domain.joints.demand import demand_table, pin_demand, piston_thrust_n, seat_demand, slip_torque_nm
from domain.joints.safety import factor_of_safety

loads = st.floats(0, 5_000)
treads = st.integers(20_000_000, 400_000_000)
thrusts = st.floats(0, 20_000)
throws = st.integers(0, 100_000_000)


def test_slip_is_friction_at_the_tread() -> None:
    # By hand: 0.25 of 400 N is 100 N at a radius of 63.5 mm: 6.35 N m.
    assert slip_torque_nm(0.25, 400, 127_000_000) == pytest.approx(6.35)


def test_thrust_is_pressure_on_the_piston() -> None:
    # By hand: 100 psi on a 2 in piston is 100 pi = 314.159 lbf; a pound-force is 4.4482216 N: 1397.45 N.
    assert piston_thrust_n(50_800_000, 100 * 6.894757293168e-3) == pytest.approx(1397.45, abs=0.01)


def test_the_crank_comes_on_top_of_the_slip_and_the_service_factor_on_both() -> None:
    # By hand: (6.35 + 700 N x 28.575 mm = 20.0025) x 1.5 = 39.52875 N m.
    demand = seat_demand(400, 127_000_000, 0.25, 700, 28_575_000, 1.5)
    assert (demand.slip_torque_nm, demand.crank_torque_nm) == (pytest.approx(6.35), pytest.approx(20.0025))
    assert demand.torque_nm == pytest.approx(39.52875)
    assert [one.result for one in demand.workings] == ["6.35 N m", "20.00 N m", "39.53 N m"]


def test_a_wheel_without_a_crank_sees_the_slip_alone() -> None:
    assert seat_demand(400, 127_000_000, 0.25, service_factor=1).torque_nm == pytest.approx(6.35)


def test_the_defaults_are_the_table_s_and_say_where_they_are_from() -> None:
    # Adhesion 0.25 to 0.35 on a dry rail: from memory, verify. The most asks the most of the seat.
    figures = demand_table()
    assert (figures["adhesion"]["least"], figures["adhesion"]["most"]) == (0.25, 0.35)
    assert "from memory, verify" in figures["adhesion"]["source"]
    assert "no source" in figures["service_factor"]["source"]
    assert seat_demand(400, 127_000_000) == seat_demand(400, 127_000_000, 0.35, service_factor=1.5)


@given(loads, treads, thrusts, throws, st.floats(-1, 1), st.floats(-1, 1))
def test_statics_never_asks_more_than_the_sum(
    load: float, tread: int, thrust: float, throw: int, rail: float, crank: float
) -> None:
    # What is left for the seat when rail and crank each act at any size up to their own most, either way round.
    demand = seat_demand(load, tread, 0.35, thrust, throw, 1)
    through = rail * 0.35 * load * tread / 2e9 + crank * thrust * throw / 1e9
    assert abs(through) <= demand.torque_nm * (1 + 1e-9) + 1e-12


def test_pin_demand_by_hand() -> None:
    # By hand: a bush of friction 0.3 under 700 N drags with 210 N; x 1.5 is 315 N; at 5 mm radius 1.575 N m.
    demand = pin_demand(700, 10_000_000, 0.3, 1.5)
    assert demand.axial_n == pytest.approx(315)
    assert demand.torque_nm == pytest.approx(1.575)
    assert "not its bending" in demand.not_judged


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: slip_torque_nm(0, 400, 1), "adhesion"),
        (lambda: slip_torque_nm(math.nan, 400, 1), "adhesion"),
        (lambda: slip_torque_nm(0.3, -1, 1), "load on the wheel"),
        (lambda: slip_torque_nm(0.3, 400, 0), "tread diameter"),
        (lambda: piston_thrust_n(0, 1), "piston diameter"),
        (lambda: piston_thrust_n(1, math.inf), "pressure"),
        (lambda: seat_demand(400, 1, thrust_n=-1), "piston thrust"),
        (lambda: seat_demand(400, 1, throw_nm=-1), "throw"),
        (lambda: seat_demand(400, 1, service_factor=0.9), "service factor"),
        (lambda: pin_demand(-1, 1), "piston thrust"),
        (lambda: pin_demand(1, 0), "journal diameter"),
        (lambda: pin_demand(1, 1, 1.5), "friction of the bush"),
        (lambda: factor_of_safety(-1, 1), "capacity"),
        (lambda: factor_of_safety(1, math.nan), "demand"),
        (lambda: factor_of_safety(1, 1, 0.5), "safety wanted"),
    ],
)
def test_bad_figures_are_refused(call, says: str) -> None:
    with pytest.raises(ValueError, match=f"{says}.*such as"):
        call()


@pytest.mark.parametrize(
    ("capacity", "demand", "answer", "says"),
    [
        (20, 10, Answer.SERVES, "2.00 times what is asked"),
        (19.999, 10, Answer.CAUTION, "1.99 times what is asked"),
        (10, 10, Answer.CAUTION, "1.00 times"),
        (9.999, 10, Answer.NOT, "it slips, 0.99 times"),
        (0, 10, Answer.NOT, "it slips, 0.00 times"),
        (10, 0, Answer.SERVES, "nothing is asked of it"),
    ],
)
def test_factor_of_safety_in_words(capacity: float, demand: float, answer: Answer, says: str) -> None:
    result = factor_of_safety(capacity, demand)
    assert result.answer is answer
    assert says in result.words
    assert result.factor == (capacity / demand if demand else None)


@given(st.floats(0, 1e6), st.floats(0.001, 1e6), st.floats(1, 10), st.floats(1, 10))
def test_more_capacity_never_serves_less(capacity: float, demand: float, more: float, wanted: float) -> None:
    order = (Answer.NOT, Answer.CAUTION, Answer.SERVES)
    less, stronger = (factor_of_safety(one, demand, wanted).answer for one in (capacity, capacity * more))
    assert order.index(stronger) >= order.index(less)
