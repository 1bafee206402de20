"""The sums of a shrunk tyre against published figures, and the laws they keep."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.joints.friction import Friction, friction
from domain.joints.kinds import FitError, FitKind
from domain.joints.materials import MILD_STEEL, Iron, Steel, iron
from domain.joints.roughness import Roughness
from domain.tyres.ring import (
    MetalStrength,
    Tyre,
    check,
    clearance_nm,
    heat_to_c,
    least_grip,
    most_pressed,
    most_strained,
    pressed_ring_mpa,
    smallest_ring_nm,
    state_at,
    stood_interference_nm,
    usual_interference,
)

MM = 1_000_000
INCH = 25_400_000
MPA_PER_PSI = 6.894757293168e-3
GPA_PER_MPSI = 6.894757293168
DRY = friction(FitKind.SHRINK, "degreased")
TYRE = Tyre(100 * MM, 114 * MM, 121 * MM, 84 * MM, 14 * MM, iron("en-gjl-200"), DRY)
STRENGTH = MetalStrength(250, 1.25, 2, 300)

insides = st.integers(60 * MM, 250 * MM)
walls = st.floats(1.05, 1.5)  # tread as a multiple of the tyre's inside
holes = st.floats(0.5, 0.95)  # inside of the rim as a part of the tyre's inside
deltas = st.integers(1_000, 300_000)


def _of(inside: int, wall: float, hole: float) -> Tyre:
    outside = round(inside * wall)
    return replace(
        TYRE,
        inside_nm=inside,
        outside_nm=outside,
        rough_nm=round(outside * 1.05),
        hole_nm=round(inside * hole),
    )


def _solid(hub: tuple[float, float], shaft: tuple[float, float], mu: float, seat: int, boss: int) -> Tyre:
    """A textbook's hub on its solid shaft, as a tyre on a centre."""
    iron_shaft = Iron("shaft", "shaft", shaft[0], shaft[0], shaft[1], 100, 100, 1e-5, "the textbook")
    return Tyre(
        seat,
        boss,
        boss,
        0,
        14 * MM,
        iron_shaft,
        Friction("", "", mu, mu, ""),
        Steel("hub", "hub", *hub, 1e-5, ""),
    )


def _at(tyre: Tyre, delta: int) -> tuple[float, float, float]:
    found = state_at(
        tyre,
        "",
        delta,
        outside_nm=tyre.outside_nm,
        hole_nm=tyre.hole_nm,
        young_gpa=tyre.iron.young_low_gpa,
        friction=tyre.friction.least,
    )
    return found.pressure_mpa, found.hoop_mpa, found.torque_nm


def test_norton_example_10_5() -> None:
    # Norton, Machine Design, 4th ed., example 10-5: 0.781 in steel shaft, 3.00 in class 30 hub, 0.0015 in.
    tyre = _solid((14 * GPA_PER_MPSI, 0.28), (30 * GPA_PER_MPSI, 0.28), 0.12, round(0.781 * INCH), 3 * INCH)
    pressure, _, _ = _at(tyre, 38_100)
    assert pressure / MPA_PER_PSI == pytest.approx(15_265, abs=1)


def test_the_houses_own_case() -> None:
    # Shigley 9th ed., eqs 7-39 to 7-47, worked by hand: d 15, D 32, l 14, delta 0.010, E 210 and 100, mu 0.12.
    pressure, hoop, torque = _at(_solid((100, 0.26), (210, 0.30), 0.12, 15 * MM, 32 * MM), 10_000)
    assert pressure == pytest.approx(30.914, abs=0.0005)
    assert hoop == pytest.approx(48.325, abs=0.0005)
    assert torque == pytest.approx(18.355, abs=0.0005)


def test_one_material_gives_the_textbooks_formula_of_two_rings() -> None:
    # Shigley 9th ed., eq. 3-57, on diameters: p = E delta (D^2 - d^2)(d^2 - di^2) / (2 d^3 (D^2 - di^2)).
    own = replace(TYRE.iron, young_low_gpa=210, poisson=0.30)
    pressure, _, _ = _at(replace(TYRE, iron=own), 100_000)
    d, outer, hole = 100.0, 114.0, 84.0
    short = 210_000 * 0.1 * (outer**2 - d**2) * (d**2 - hole**2) / (2 * d**3 * (outer**2 - hole**2))
    assert pressure == pytest.approx(short)


def test_a_ring_pressed_from_outside() -> None:
    # Roark's Formulas for Stress and Strain, thick cylinders under outside pressure q: 2 q a^2 / (a^2 - b^2) at the inside.
    assert pressed_ring_mpa(10, 100, 50) == pytest.approx(10 * 8 / 3)
    assert pressed_ring_mpa(10, 100) == 10
    # A thin hoop: the pressure on half of it is held by its two walls.
    assert pressed_ring_mpa(10, 100, 99.9) == pytest.approx(10 * 100 / 0.1, rel=0.002)


@pytest.mark.parametrize(("pressure", "hole"), [(-1, 0), (float("nan"), 0), (1, 100), (1, -1)])
def test_no_ring_no_figure(pressure: float, hole: float) -> None:
    with pytest.raises(ValueError, match="must be"):
        pressed_ring_mpa(pressure, 100, hole)


def test_the_rule_of_thumb_is_a_thousandth_of_the_diameter() -> None:
    assert usual_interference(4 * INCH) == (50_800, 101_600)  # 0.001 in per inch at most, half of it at least


def test_a_coned_tyre_is_thinnest_at_its_front() -> None:
    assert smallest_ring_nm(130 * MM, 14 * MM, 20) == 129_300_000
    assert smallest_ring_nm(130 * MM, 14 * MM, None) == 130 * MM


def test_heat_is_expansion_turned_round() -> None:
    hot = heat_to_c(TYRE, 100_000)
    assert 100 * MM * MILD_STEEL.alpha_per_k * (hot - 20) == pytest.approx(100_000 + clearance_nm(TYRE))
    assert heat_to_c(replace(TYRE, room_c=30.0), 100_000) == pytest.approx(hot + 10)


@given(insides, walls, holes, deltas, st.floats(1.01, 4))
def test_more_interference_is_more_of_everything_in_proportion(
    inside: int, wall: float, hole: float, delta: int, more: float
) -> None:
    tyre, larger = _of(inside, wall, hole), round(delta * more)
    for state in (most_strained, most_pressed, least_grip):
        one, other = state(tyre, delta), state(tyre, larger)
        for key in ("pressure_mpa", "hoop_mpa", "centre_mpa", "torque_nm"):
            assert getattr(other, key) == pytest.approx(getattr(one, key) * larger / delta)
    assert heat_to_c(tyre, larger) >= heat_to_c(tyre, delta)


@given(insides, walls, holes, deltas)
def test_what_it_stands_comes_back_as_the_factor(inside: int, wall: float, hole: float, delta: int) -> None:
    tyre = _of(inside, wall, hole)
    stood = stood_interference_nm(tyre, STRENGTH)
    assert 250 / most_strained(tyre, stood).hoop_mpa >= 1.25 > 250 / most_strained(tyre, stood + 3).hoop_mpa
    strained = most_strained(tyre, delta).hoop_mpa
    assert stood_interference_nm(tyre, replace(STRENGTH, yield_mpa=strained * 1.25)) == pytest.approx(
        delta, abs=2
    )


@given(insides, walls, holes, deltas)
def test_the_corners_are_the_worst_of_everything_between(
    inside: int, wall: float, hole: float, delta: int
) -> None:
    """Whatever stiffness of centre, iron and thickness of tyre lies between, the corners strain more and grip less."""
    tyre = _of(inside, wall, hole)
    strained, pressed, grip = (one(tyre, delta) for one in (most_strained, most_pressed, least_grip))
    for outside in (tyre.outside_nm, (tyre.outside_nm + tyre.rough_nm) // 2, tyre.rough_nm):
        for within in (0, tyre.hole_nm // 2, tyre.hole_nm):
            for young in (tyre.iron.young_low_gpa, tyre.iron.young_high_gpa):
                found = state_at(
                    tyre, "", delta, outside_nm=outside, hole_nm=within, young_gpa=young, friction=DRY.least
                )
                assert found.hoop_mpa <= strained.hoop_mpa * (1 + 1e-9)
                assert found.torque_nm >= grip.torque_nm * (1 - 1e-9)
                assert found.centre_mpa <= pressed.centre_mpa * (1 + 1e-9)


@given(insides, walls, holes, deltas)
def test_turned_down_it_grips_less_than_as_it_was_shrunk_on(
    inside: int, wall: float, hole: float, delta: int
) -> None:
    tyre = _of(inside, wall, hole)
    assert least_grip(tyre, delta).pressure_mpa < least_grip(tyre, delta, turned=False).pressure_mpa


def test_rough_surfaces_take_of_the_interference() -> None:
    rough = replace(TYRE, roughness=Roughness(10_000, 10_000))
    assert least_grip(rough, 100_000).interference_nm == 100_000 - round(rough.edition.k * 20_000)
    assert least_grip(rough, 1_000).torque_nm == 0


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"outside_nm": 100 * MM}, "No tyre is left: its tread is turned to 100.000 mm"),
        ({"rough_nm": 113 * MM}, "no smaller as it is shrunk on"),
        ({"hole_nm": 100 * MM}, "inside of the rim must be smaller"),
        ({"inside_nm": 0}, "inside must be above zero"),
    ],
)
def test_a_tyre_that_cannot_be(change: dict[str, Any], words: str) -> None:
    check(TYRE)
    with pytest.raises(FitError, match=words):
        check(replace(TYRE, **change))
