import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.answer import Answer
from domain.joints.demand import (
    CrankpinSizes,
    Drive,
    Pistons,
    SeatDemand,
    Turned,
    demand_table,
    pin_demand,
    piston_thrust_n,
    piston_torque_nm,
    seat_demand,
    slip_torque_nm,
)
from domain.joints.safety import factor_of_safety, stress_reserve

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


# M 17.9 N m and six wheels of 120 N on treads of 130 mm: any thrust, throw and rod that come to that M will do.
M_17_9 = Pistons(716.0, 25_000_000, 10**15)


def six_wheels(turned: Turned, pistons: Pistons = M_17_9) -> SeatDemand:
    """Three coupled axles, 120 N on each wheel, tread radius 65 mm, the adhesion left to the table."""
    return seat_demand(turned, 120, 130_000_000, pistons=pistons, coupled_axles=3)


def test_the_worked_case_of_a_driven_and_a_coupled_axle() -> None:
    # Derived, no published source: F is 0.35 x 3 x 120 N x 65 mm = 8.19; driven 17.9; coupled (17.9 + 8.19) / 2 = 13.0.
    driven, coupled = six_wheels(Turned.DRIVEN), six_wheels(Turned.COUPLED)
    for one in (driven, coupled):
        assert one.piston_nm == pytest.approx(17.9)
        assert one.rails_nm == pytest.approx(8.19)
        assert one.shared_nm == pytest.approx(13.045)
    assert driven.torque_nm == pytest.approx(17.9)
    assert round(coupled.torque_nm, 1) == 13.0


def test_the_smaller_of_both_bounds_is_asked_of_a_coupled_axle() -> None:
    # M 4.475 is a quarter of 17.9, less than (4.475 + 8.19) / 2 = 6.3.
    weak = six_wheels(Turned.COUPLED, Pistons(179.0, 25_000_000, 10**15))
    assert weak.torque_nm == pytest.approx(4.475)


def test_a_carrying_axle_is_asked_what_its_own_wheel_can_put_on_the_rail() -> None:
    # By hand: 0.35 x 120 N x 65 mm = 2.73 N m.
    assert six_wheels(Turned.CARRYING).torque_nm == pytest.approx(2.73)
    assert seat_demand(Turned.CARRYING, 120, 130_000_000).torque_nm == pytest.approx(2.73)


def test_the_slant_of_the_rod_adds_throw_over_rod() -> None:
    # 700 N x 28.575 mm = 20.0025 N m; a rod of five throws adds a fifth: 24.003.
    assert piston_torque_nm(Pistons(700, 28_575_000, 142_875_000)) == pytest.approx(24.003)


@pytest.mark.parametrize(("drive", "step", "cranks"), [(Drive.INSIDE, 90, 2), (Drive.THREE, 120, 3)])
def test_inside_torques_add_to_the_most_that_a_turn_shows(drive: Drive, step: int, cranks: int) -> None:
    # 1.41 M for two at 90 degrees and 2 M for three at 120: the most of the added sizes of sines, tried all round.
    degrees = (angle / 10 for angle in range(3600))
    most = max(sum(abs(math.sin(math.radians(at + n * step))) for n in range(cranks)) for at in degrees)
    outside = piston_torque_nm(Pistons(700, 28_575_000, 142_875_000))
    inside = piston_torque_nm(Pistons(700, 28_575_000, 142_875_000, drive))
    assert inside / outside == pytest.approx(most, abs=1e-5)
    assert round(inside / outside, 2) == {Drive.INSIDE: 1.41, Drive.THREE: 2.0}[drive]


@given(loads, treads, thrusts, throws, st.integers(1, 8))
def test_driven_asks_at_least_what_coupled_does_and_more_of_anything_never_asks_less(
    load: float, tread: int, thrust: float, throw: int, axles: int
) -> None:
    pistons = Pistons(thrust, throw, 10**9)
    driven, coupled = (
        seat_demand(one, load, tread, pistons=pistons, coupled_axles=axles)
        for one in (Turned.DRIVEN, Turned.COUPLED)
    )
    assert coupled.torque_nm <= driven.torque_nm
    more = seat_demand(Turned.COUPLED, load, tread, pistons=pistons, coupled_axles=axles + 1)
    assert coupled.torque_nm <= more.torque_nm


def test_both_bounds_are_shown_and_own_up_to_having_no_source() -> None:
    for turned in (Turned.DRIVEN, Turned.COUPLED):
        workings = six_wheels(turned).workings
        assert [one.result for one in workings][:2] == ["17.90 N m", "8.19 N m"]
        assert workings[-1].numbers.startswith("M 17.90 N m; (M + F)/2 = (17.90 + 8.19) / 2 = 13.0")
        assert all("derived here, no published source" in one.source for one in workings)


def test_the_defaults_are_the_table_s_and_say_where_they_are_from() -> None:
    # Adhesion 0.25 to 0.35 on a dry rail: from memory, verify. For strength the high one is asked.
    figures = demand_table()
    assert (figures["adhesion"]["least"], figures["adhesion"]["most"]) == (0.25, 0.35)
    assert "from memory, verify" in figures["adhesion"]["source"]
    # One reserve of 1.5, no source; examples after DIN 7190 take 1.2, from memory.
    assert figures["safety"]["wanted"] == 1.5
    assert (
        "no source" in figures["safety"]["source"]
        and "1.2: from memory, verify" in figures["safety"]["source"]
    )
    assert "service_factor" not in figures
    typed = seat_demand(Turned.CARRYING, 400, 127_000_000, 0.25, adhesion_source="as typed")
    assert typed.torque_nm == pytest.approx(6.35)
    assert "adhesion: as typed" in typed.workings[0].source


# --- a crankpin ---

PIN = CrankpinSizes(10_000_000, 15_000_000, 9_000_000, 12_000_000)


def test_a_bush_drags_on_its_crankpin_by_hand() -> None:
    # By hand: a bush of friction 0.3 under 700 N drags with 210 N, at 4.5 mm radius 0.945 N m; no factor on it.
    demand = pin_demand(700, PIN, 0.3)
    assert demand.axial_n == pytest.approx(210)
    assert demand.torque_nm == pytest.approx(0.945)


def test_a_crankpin_is_bent_by_hand() -> None:
    # 32 M / (pi d^3): 700 N x 12 mm on 9 mm, and 700 N x (12 + 7.5) mm on 10 mm. Shigley 9th ed., eq 3-24.
    demand = pin_demand(700, PIN)
    assert demand.root_mpa == pytest.approx(32 * 8_400 / (math.pi * 729))
    assert demand.seat_mpa == pytest.approx(32 * 13_650 / (math.pi * 1000))
    # Thrust / (d l) is 4.667 MPa, and a straight line that balances 13 650 N mm about the middle adds 36.4.
    assert demand.side_mpa == pytest.approx(4.6667 + 36.4, abs=1e-3)


@given(thrusts, st.integers(0, 40_000_000), st.integers(2_000_000, 40_000_000))
def test_the_side_pressure_balances_thrust_and_moment(thrust: float, overhang: int, length: int) -> None:
    # Summed over slices of the hole the straight line carries the thrust, and its moment about the hole's middle.
    demand = pin_demand(thrust, CrankpinSizes(10_000_000, length, 10_000_000, overhang))
    l_mm, slices = length / 1e6, 2_000
    even = thrust / (10 * l_mm)
    at = [(n + 0.5) / slices - 0.5 for n in range(slices)]
    pressures = [even + 2 * x * (demand.side_mpa - even) for x in at]
    force = sum(pressures) * 10 * l_mm / slices
    moment = sum(p * x for p, x in zip(pressures, at, strict=True)) * 10 * l_mm**2 / slices
    assert force == pytest.approx(thrust, rel=1e-6, abs=1e-9)
    assert moment == pytest.approx(thrust * (overhang / 1e6 + l_mm / 2), rel=1e-5, abs=1e-6)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: slip_torque_nm(0, 400, 1), "adhesion"),
        (lambda: slip_torque_nm(math.nan, 400, 1), "adhesion"),
        (lambda: slip_torque_nm(0.3, -1, 1), "load on the wheel"),
        (lambda: slip_torque_nm(0.3, 400, 0), "tread diameter"),
        (lambda: piston_thrust_n(0, 1), "piston diameter"),
        (lambda: piston_thrust_n(1, math.inf), "pressure"),
        (lambda: six_wheels(Turned.DRIVEN, Pistons(-1, 1, 2)), "piston thrust"),
        (lambda: six_wheels(Turned.DRIVEN, Pistons(1, -1, 2)), "throw"),
        (lambda: six_wheels(Turned.DRIVEN, Pistons(1, 1, 0)), "connecting rod's length"),
        (lambda: six_wheels(Turned.DRIVEN, Pistons(1, 2, 2)), "longer than the throw"),
        (lambda: seat_demand(Turned.DRIVEN, 120, 130_000_000), "pistons"),
        (lambda: seat_demand(Turned.DRIVEN, 120, 130_000_000, pistons=M_17_9, coupled_axles=0), "coupled"),
        (lambda: pin_demand(-1, PIN), "piston thrust"),
        (lambda: pin_demand(1, replace(PIN, journal_nm=0)), "journal diameter"),
        (lambda: pin_demand(1, replace(PIN, seat_nm=0)), "diameter in its hole"),
        (lambda: pin_demand(1, replace(PIN, length_nm=0)), "length of the crankpin"),
        (lambda: pin_demand(1, replace(PIN, overhang_nm=-1)), "overhang"),
        (lambda: pin_demand(1, PIN, 1.5), "friction of the bush"),
        (lambda: factor_of_safety(-1, 1), "capacity"),
        (lambda: factor_of_safety(1, math.nan), "demand"),
        (lambda: factor_of_safety(1, 1, 0.5), "reserve wanted"),
        (lambda: stress_reserve("It", 0, 1, 1.5, ""), "strength of the steel"),
        (lambda: stress_reserve("It", 1, -1, 1.5, ""), "stress asked"),
    ],
)
def test_bad_figures_are_refused(call, says: str) -> None:
    with pytest.raises(ValueError, match=f"{says}.*such as"):
        call()


@pytest.mark.parametrize(
    ("capacity", "demand", "answer", "says"),
    [
        (15, 10, Answer.SERVES, "1.50 times what is asked, where 1.5 is wanted"),
        (14.999, 10, Answer.CAUTION, "1.49 times what is asked"),
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
