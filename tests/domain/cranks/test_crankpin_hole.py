"""Hole positions by complex numbers and back again; the metal round the hole."""

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.cranks.crankpins import CrankpinError, Edge, Origin, boss_angle_deg, hole_position, hole_room
from domain.lengths import Unit

THROWS = st.integers(10_000_000, 60_000_000)
ANGLES = st.floats(-360, 720)
PLACES = st.integers(-200_000_000, 200_000_000)


@given(THROWS, ANGLES, PLACES, PLACES, ANGLES)
def test_the_read_out_is_the_plane_moved_and_turned(
    throw: int, angle: float, x: int, y: int, turned: float
) -> None:
    found = hole_position(throw, angle, Origin(x, y, turned), Unit.MM)
    seen = (cmath.rect(throw, math.radians(angle)) - complex(x, y)) * cmath.exp(-1j * math.radians(turned))
    assert found.x_nm == pytest.approx(seen.real, abs=1)
    assert found.y_nm == pytest.approx(seen.imag, abs=1)


@given(THROWS, ANGLES, PLACES, PLACES, ANGLES)
def test_the_axle_centre_by_the_same_read_out_is_one_throw_away(
    throw: int, angle: float, x: int, y: int, turned: float
) -> None:
    hole = hole_position(throw, angle, Origin(x, y, turned), Unit.MM)
    axle = -complex(x, y) * cmath.exp(-1j * math.radians(turned))
    assert math.hypot(hole.x_nm - axle.real, hole.y_nm - axle.imag) == pytest.approx(throw, abs=2)


def test_at_the_axle_centre_it_is_throw_and_angle() -> None:
    # 3-4-5: 25 mm at atan(4/3).
    found = hole_position(25_000_000, math.degrees(math.atan2(4, 3)) + 360, Origin(), Unit.MM)
    assert (found.x_nm, found.y_nm) == (15_000_000, 20_000_000)
    assert found.angle_deg == pytest.approx(53.130102)
    assert found.working.result == "X +15.000 mm (+0.5906 in), Y +20.000 mm (+0.7874 in)"


@given(st.floats(0, 360, exclude_max=True), st.floats(1, 60), st.floats(10, 50))
def test_the_boss_points_between_its_flanks(middle: float, half: float, out: float) -> None:
    touches = [cmath.rect(out * 1e6, math.radians(middle + side * half)) for side in (1, -1)]
    found = boss_angle_deg(*[(round(one.real), round(one.imag)) for one in touches])
    assert abs((found - middle + 180) % 360 - 180) < 1e-4


@given(THROWS, st.integers(1_000_000, 20_000_000), st.integers(1_000_000, 40_000_000), THROWS)
def test_the_walls_and_the_hole_fill_the_reach(throw: int, hole: int, bore: int, reach: int) -> None:
    fits = throw + hole / 2 < reach and throw > (hole + bore) / 2
    try:
        room = hole_room(throw, hole, bore, reach, Unit.MM)
    except CrankpinError:
        # A wall of less than a nanometre is no wall.
        assert not fits or min(reach - throw - hole / 2, throw - (hole + bore) / 2) < 1
        return
    assert fits
    assert bore / 2 + room.inner_nm + hole + room.outer_nm == pytest.approx(reach, abs=1.5)
    assert room.thin is (4 * min(room.inner_nm, room.outer_nm) < hole)


@pytest.mark.parametrize(
    ("sizes", "says"),
    [
        (
            (27_000_000, 9_525_000, 19_050_000, 30_000_000),
            "larger than the crank boss allows: with this hole",
        ),
        ((12_000_000, 9_525_000, 19_050_000, 30_000_000), "run into the bore"),
        ((12_000_000, 9_525_000, 19_050_000, 4_000_000), "larger than the crank boss allows at any throw"),
        ((0, 9_525_000, 19_050_000, 4_000_000), "must all be more than nothing"),
    ],
)
def test_a_hole_without_metal_is_refused(sizes: tuple[int, int, int, int], says: str) -> None:
    with pytest.raises(CrankpinError, match=says):
        hole_room(*sizes, Unit.MM)


def test_the_most_it_says_is_allowed() -> None:
    with pytest.raises(CrankpinError, match=r"at most 25\.237 mm \(0\.9936 in\)"):
        hole_room(27_000_000, 9_525_000, 19_050_000, 30_000_000, Unit.MM)
    assert hole_room(25_237_000, 9_525_000, 19_050_000, 30_000_000, Unit.MM).outer_nm == 500
    with pytest.raises(CrankpinError, match=r"tread allows.*check throw and tread"):
        hole_room(60_000_000, 9_525_000, 19_050_000, 55_000_000, Unit.MM, Edge.TREAD)


@pytest.mark.parametrize(
    ("touches", "says"),
    [
        (((0, 0), (1, 1)), "points nowhere"),
        (((20, 7), (30, -7)), "equally far out"),
        (((20, 0), (-20, 0)), "opposite each other"),
    ],
)
def test_touches_that_show_no_boss_are_refused(touches: tuple[tuple[int, int], ...], says: str) -> None:
    with pytest.raises(CrankpinError, match=says):
        boss_angle_deg(touches[0], touches[1])


@pytest.mark.parametrize(("throw", "angle"), [(0, 1.0), (1_000_000, math.nan), (1_000_000, math.inf)])
def test_no_position_without_figures(throw: int, angle: float) -> None:
    with pytest.raises(CrankpinError):
        hole_position(throw, angle, Origin(), Unit.MM)
