import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.joints.interference import (
    axial_force_n,
    heating_k,
    hoop_stress_mpa,
    interference_at_hoop_mm,
    pressure_mpa,
    torque_nm,
)

MPA_PER_PSI = 6.894757293168e-3
GPA_PER_MPSI = 6.894757293168
ELASTIC = (100, 0.26, 210, 0.30)

seats = st.floats(3, 50)
walls = st.floats(1.05, 8)  # boss diameter as a multiple of the seat
deltas = st.floats(0.0001, 0.2)


def _hoop(seat: float, boss: float, delta: float) -> float:
    return hoop_stress_mpa(pressure_mpa(seat, boss, delta, *ELASTIC), seat, boss)


def test_norton_example_10_5() -> None:
    # Norton, Machine Design, 4th ed., example 10-5: 0.781 in steel shaft, 3.00 in class 30 hub, 0.0015 in.
    pressure = pressure_mpa(
        0.781 * 25.4, 3.00 * 25.4, 0.0015 * 25.4, 14 * GPA_PER_MPSI, 0.28, 30 * GPA_PER_MPSI, 0.28
    )
    assert pressure / MPA_PER_PSI == pytest.approx(15_265, abs=1)


def test_own_case() -> None:
    # Worked by hand from Shigley 9th ed., eqs 7-39 to 7-47: d 15, D 32, l 14, delta 0.010, mu 0.12.
    pressure = pressure_mpa(15, 32, 0.010, *ELASTIC)
    assert pressure == pytest.approx(30.914, abs=0.0005)
    assert hoop_stress_mpa(pressure, 15, 32) == pytest.approx(48.325, abs=0.0005)
    assert axial_force_n(pressure, 15, 14, 0.12) == pytest.approx(2447.4, abs=0.05)
    assert torque_nm(pressure, 15, 14, 0.12) == pytest.approx(18.355, abs=0.0005)


def test_one_material_gives_the_short_textbook_formula() -> None:
    # Shigley 9th ed., eq. 7-40, solid shaft of the hub's own material: p = E delta (D^2 - d^2) / (2 d D^2).
    short = 210_000 * 0.02 / (2 * 20) * (1 - 20**2 / 50**2)
    assert pressure_mpa(20, 50, 0.02, 210, 0.3, 210, 0.3) == pytest.approx(short)


def test_heating_is_expansion_turned_round() -> None:
    rise = heating_k(0.020, 0.015, 10.5e-6, 19.05)
    assert 19.05 * 10.5e-6 * rise == pytest.approx(0.035)


@given(seats, walls, deltas, st.floats(1.01, 5))
def test_more_interference_strains_in_proportion(seat: float, wall: float, delta: float, more: float) -> None:
    assert _hoop(seat, seat * wall, delta * more) == pytest.approx(more * _hoop(seat, seat * wall, delta))


@given(seats, walls, deltas, st.floats(1.01, 3))
def test_a_wider_boss_is_gripped_harder_and_strained_less(
    seat: float, wall: float, delta: float, wider: float
) -> None:
    narrow, wide = seat * wall, seat * wall * wider
    assert pressure_mpa(seat, wide, delta, *ELASTIC) > pressure_mpa(seat, narrow, delta, *ELASTIC)
    assert _hoop(seat, wide, delta) < _hoop(seat, narrow, delta)


@given(seats, walls)
def test_no_interference_no_pressure(seat: float, wall: float) -> None:
    assert pressure_mpa(seat, seat * wall, 0, *ELASTIC) == 0
    assert _hoop(seat, seat * wall, 0) == 0


@given(seats, walls, deltas)
def test_the_sum_turned_round_comes_back(seat: float, wall: float, delta: float) -> None:
    back = interference_at_hoop_mm(_hoop(seat, seat * wall, delta), seat, seat * wall, *ELASTIC)
    assert back == pytest.approx(delta)


@given(seats, st.floats(1, 60), st.floats(0, 300), st.floats(0, 0.5))
def test_torque_is_force_at_the_radius(seat: float, length: float, pressure: float, friction: float) -> None:
    force = axial_force_n(pressure, seat, length, friction)
    assert torque_nm(pressure, seat, length, friction) == pytest.approx(force * seat / 2000)


@pytest.mark.parametrize(
    ("figures", "says"),
    [
        ((15, 15, 0.01, *ELASTIC), "boss .* larger than the seat"),
        ((15, 14, 0.01, *ELASTIC), "boss .* larger than the seat"),
        ((0, 32, 0.01, *ELASTIC), "seat diameter"),
        ((-15, 32, 0.01, *ELASTIC), "seat diameter"),
        ((math.nan, 32, 0.01, *ELASTIC), "seat diameter"),
        ((15, math.inf, 0.01, *ELASTIC), "boss diameter"),
        ((15, 32, -0.01, *ELASTIC), "interference"),
        ((15, 32, math.nan, *ELASTIC), "interference"),
        ((15, 32, 0.01, 0, 0.26, 210, 0.3), "boss's E"),
        ((15, 32, 0.01, 100, 0.26, -1, 0.3), "axle's E"),
        ((15, 32, 0.01, 100, 0.5, 210, 0.3), "boss's Poisson"),
        ((15, 32, 0.01, 100, 0.26, 210, -0.1), "axle's Poisson"),
    ],
)
def test_bad_geometry_is_refused_in_a_sentence(figures: tuple[float, ...], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        pressure_mpa(*figures)


def test_the_other_sums_refuse_bad_figures_too() -> None:
    with pytest.raises(ValueError, match="pressure"):
        hoop_stress_mpa(-1, 15, 32)
    with pytest.raises(ValueError, match="length"):
        axial_force_n(30, 15, 0, 0.1)
    with pytest.raises(ValueError, match="friction"):
        torque_nm(30, 15, 14, -0.1)
    with pytest.raises(ValueError, match="expansion"):
        heating_k(0.01, 0.01, 0, 15)
    with pytest.raises(ValueError, match="assembly clearance"):
        heating_k(0.01, -0.01, 10.5e-6, 15)
    with pytest.raises(ValueError, match="hoop stress"):
        interference_at_hoop_mm(-1, 15, 32, *ELASTIC)


# --- a hollow axle ---


def _shrinks_mm(hole: float, seat: float, pressure: float, young_gpa: float, poisson: float) -> float:
    """How much a tube of this hole is pressed in on its outside diameter: Lame's constants from both edges.

    Radial stress A - B / r^2 is 0 at the hole and -p outside, hoop A + B / r^2; strain (hoop - nu radial) / E.
    """
    a, b = hole / 2, seat / 2
    big_b = -pressure / (1 / a**2 - 1 / b**2)
    big_a = big_b / a**2
    radial, hoop = big_a - big_b / b**2, big_a + big_b / b**2
    assert radial == pytest.approx(-pressure)
    return -(hoop - poisson * radial) / (young_gpa * 1000) * seat


@given(st.floats(0.05, 0.95), st.floats(8, 40), st.floats(1.3, 4), st.floats(0.001, 0.05))
def test_a_hollow_axle_by_lame_s_constants(share: float, seat: float, ratio: float, delta: float) -> None:
    # What the boss opens and the tube closes make up the interference; the boss's part as in the solid case.
    hole, boss = share * seat, ratio * seat
    pressure = pressure_mpa(seat, boss, delta, 100, 0.26, 210, 0.30, hole)
    ring = (boss**2 + seat**2) / (boss**2 - seat**2)
    opened = pressure * seat / 100e3 * (ring + 0.26)
    assert opened + _shrinks_mm(hole, seat, pressure, 210, 0.30) == pytest.approx(delta)


def test_the_own_case_with_a_hole_of_6_by_hand() -> None:
    # (225 + 36)/(225 - 36) - 0.30 = 1.08095 in place of 0.70: 0.010 / (15/100e3 x 1.82317 + 15/210e3 x 1.08095).
    hollow = pressure_mpa(15, 32, 0.010, 100, 0.26, 210, 0.30, 6)
    assert hollow == pytest.approx(28.515, abs=1e-3)
    assert pressure_mpa(15, 32, 0.010, 100, 0.26, 210, 0.30, 0) == pressure_mpa(
        15, 32, 0.010, 100, 0.26, 210, 0.30
    )
    # What cracks the boss is its own stress: a softer axle lets it stand more interference.
    stood = [interference_at_hoop_mm(60, 15, 32, 100, 0.26, 210, 0.30, hole) for hole in (0, 6, 12)]
    assert stood == sorted(stood) and stood[0] < stood[2]


@pytest.mark.parametrize("hole", [-1, 15, 16, math.nan])
def test_a_hole_that_leaves_no_axle_is_refused(hole: float) -> None:
    with pytest.raises(ValueError, match="hole through the axle"):
        pressure_mpa(15, 32, 0.010, 100, 0.26, 210, 0.30, hole)
