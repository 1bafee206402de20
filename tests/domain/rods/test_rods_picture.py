"""The picture stands where the sums say, and turns the way the engine goes."""

import math

import pytest

from domain.rods.engine import RodAxle, RodEngine, RodSide, RodSpan, shape_of
from domain.rods.exact import least_error
from domain.rods.picture import positions, turn_series

SIDES = [RodSide(150_000_000 + n * 20_000_000, 150_020_000 + n * 20_000_000) for n in range(3)]
ENGINE = RodEngine(
    tuple(RodAxle(25_400_000 + n * 10_000, 25_400_000, 90.0 + 0.1 * n) for n in range(4)),
    tuple(RodSpan(side, RodSide(side.centre_nm, side.centre_nm - 15_000)) for side in SIDES),
)


@pytest.mark.parametrize("crank_deg", [0.0, 37.0, 90.0, 200.0, -15.0])
def test_every_rod_is_as_far_out_as_the_best_phase_leaves_it(crank_deg: float) -> None:
    places = positions(ENGINE, crank_deg)
    theta = math.radians(crank_deg)
    for span, phase_deg in enumerate(places.phases_deg):
        expected = least_error(shape_of(ENGINE, span), theta)
        assert places.left.rods[span].error_mm == pytest.approx(expected.left, abs=1e-9)
        assert places.right.rods[span].error_mm == pytest.approx(expected.right, abs=1e-9)
        assert phase_deg == pytest.approx(math.degrees(expected.phase))
        theta += expected.phase


def test_pins_stand_on_their_throws_and_rods_between_pins() -> None:
    places = positions(ENGINE, 63.0)
    for side in (places.left, places.right):
        for axle, pin, throw in zip(side.axles, side.pins, side.throws_mm, strict=True):
            assert math.hypot(pin.x - axle.x, pin.y - axle.y) == pytest.approx(throw)
        for n, rod in enumerate(side.rods):
            assert (rod.front, rod.rear) == (side.pins[n], side.pins[n + 1])
    assert [axle.x for axle in places.left.axles] == pytest.approx([0, -150, -320, -510])


@pytest.mark.parametrize(
    ("crank_deg", "x", "y"), [(0, 25.4, 0), (90, 0, -25.4), (180, -25.4, 0), (270, 0, 25.4)]
)
def test_forwards_the_top_goes_forwards(crank_deg: float, x: float, y: float) -> None:
    pin = positions(ENGINE, crank_deg).left.pins[0]
    assert (pin.x, pin.y) == pytest.approx((x, y), abs=1e-9)


@pytest.mark.parametrize(("right_leads", "y"), [(True, -25.4), (False, 25.4)])
def test_the_lead(right_leads: bool, y: float) -> None:
    engine = RodEngine(ENGINE.axles, ENGINE.spans, right_leads)
    pin = positions(engine, 0.0).right.pins[0]
    assert (pin.x, pin.y) == pytest.approx((0, y), abs=1e-9)


def test_phases_may_be_given() -> None:
    places = positions(ENGINE, 0.0, [1.0, 0.0, 0.0])
    assert places.left.pins[1].y == pytest.approx(-25.41 * math.sin(math.radians(1.0)))
    with pytest.raises(ValueError, match="one phase"):
        positions(ENGINE, 0.0, [1.0])


def test_the_plot_closes_and_agrees_with_the_sums() -> None:
    series = turn_series(ENGINE, 1, 24)
    assert [point.crank_deg for point in series] == [15.0 * n for n in range(25)]
    assert series[0].needed_mm == pytest.approx(series[-1].needed_mm)
    for point in series:
        found = least_error(shape_of(ENGINE, 1), math.radians(point.crank_deg))
        assert (point.left_mm, point.right_mm, point.needed_mm) == (found.left, found.right, found.worst)
        assert max(abs(point.left_mm), abs(point.right_mm)) == pytest.approx(point.needed_mm)
    with pytest.raises(ValueError, match="one position"):
        turn_series(ENGINE, 0, 0)
