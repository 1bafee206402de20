"""The pictures of the rods: to scale, and the plot's lines where its scale says."""

import math
import re

import pytest

from domain.lengths import Unit
from domain.rods.engine import RodAxle, RodEngine, RodSide, RodSpan
from domain.rods.picture import positions, turn_series
from webapp.sheets.rods.drawing import WIDTH, engine_picture
from webapp.sheets.rods.drawing_plot import FOOT, LEFT, RIGHT, TOP, rods_plot

SIDE = RodSide(150_000_000, 150_000_000, 60_000)


def _engine(*angles: float, side: RodSide = SIDE) -> RodEngine:
    axles = tuple(RodAxle(25_400_000, 25_400_000, angle) for angle in angles)
    return RodEngine(axles, (RodSpan(side, side),) * (len(axles) - 1))


@pytest.mark.parametrize("axles", [2, 3, 6])
@pytest.mark.parametrize("crank", [0.0, 77.0, 200.0])
def test_wheels_cranks_and_rods_are_to_one_scale(axles: int, crank: float) -> None:
    engine = _engine(*(90.0,) * axles)
    picture = engine_picture(positions(engine, crank), 55.0, range(1, axles + 1), [(0, "left")], "somewhere")
    height = float(picture.view_box.split()[3])
    for side in picture.sides:
        scale = side.wheels[0].radius / 55.0
        for wheel in side.wheels:
            assert math.hypot(wheel.pin_x - wheel.x, wheel.pin_y - wheel.y) / scale == pytest.approx(
                25.4, abs=0.05
            )
            assert wheel.radius <= wheel.x <= WIDTH - wheel.radius
            assert wheel.y + wheel.radius == pytest.approx(side.rail_y, abs=0.02)
            assert side.rail_y < height
        for rod in side.rods:
            assert math.hypot(rod.x2 - rod.x1, rod.y2 - rod.y1) / scale == pytest.approx(150.0, abs=0.1)
        assert [rod.binds is not None for rod in side.rods] == [
            side.name == "left" and n == 0 for n in range(axles - 1)
        ]
    assert "the left rod behind axle 1 binds" in picture.description
    # The front is to the right: axle 1 stands furthest right, and the left crank at front dead centre points there.
    wheels = picture.sides[1].wheels
    assert wheels[0].x > wheels[1].x
    if crank == 0:
        assert (wheels[0].pin_x > wheels[0].x, wheels[0].pin_y) == (True, wheels[0].y)


@pytest.mark.parametrize("unit", list(Unit))
def test_the_plot_reads_what_the_series_says(unit: Unit) -> None:
    series = turn_series(_engine(90.0, 90.3), 0)
    plot = rods_plot(series, (0.03, 0.04), 45.0, 45.0, unit, "said")
    per = 1.0 if unit is Unit.MM else 25.4
    first, last = plot.up[0], plot.up[-1]
    mm_per_y = float(last.words) * per / (first.at - last.at)

    def read(y: float) -> float:
        return (FOOT - y) * mm_per_y

    assert first.at == FOOT
    assert [read(give.y) for give in plot.gives] == pytest.approx([0.03, 0.04], abs=3e-4)
    # 25.4 mm and 0.30 degrees: 0.0471 mm at most
    assert read(plot.peak_y) == pytest.approx(0.0471, abs=3e-4)
    points = [tuple(map(float, pair)) for pair in re.findall(r"([\d.]+),([\d.]+)", plot.left_line)]
    assert len(points) == len(series)
    assert (points[0][0], points[-1][0]) == (LEFT, RIGHT)
    for (_, y), point in zip(points, series, strict=True):
        assert TOP <= y <= FOOT
        assert read(y) == pytest.approx(abs(point.left_mm), abs=3e-4)
    assert 3 <= len(plot.up) <= 9
    # The other system has round figures of its own, at the heights that they stand for.
    other = 25.4 if unit is Unit.MM else 1.0
    assert [read(one.at) for one in plot.other_up] == pytest.approx(
        [float(one.words) * other for one in plot.other_up], abs=3e-4
    )
    assert all(len(one.words.lstrip("0.")) <= 2 for one in (*plot.up, *plot.other_up))


def test_faultless_rods_and_like_bushes() -> None:
    plot = rods_plot(turn_series(_engine(90.0, 90.0), 0), (None, None), 0.0, 359.0, Unit.MM, "said")
    assert plot.gives == ()
    assert {pair.split(",")[1] for pair in plot.left_line.split()} == {str(FOOT)}
    plot = rods_plot(turn_series(_engine(90.0, 90.0), 0), (0.03, 0.03), 0.0, 359.0, Unit.MM, "said")
    assert [give.words for give in plot.gives] == ["what the bushes give"]


def test_where_a_rod_binds_is_shaded_between_its_curve_and_what_the_bushes_give() -> None:
    series = turn_series(_engine(90.0, 90.3), 0)
    plot = rods_plot(series, (0.03, None), 45.0, 45.0, Unit.MM, "said")
    corners = [tuple(map(float, one)) for d in plot.binding for one in re.findall(r"([\d.]+) ([\d.]+)", d)]
    give = plot.gives[0].y
    over = [point for point in series if abs(point.left_mm) > 0.03]
    assert len(corners) == len(over) + 2 * len(plot.binding) and all(y <= give + 0.1 for _, y in corners)
    assert [key.kind for key in plot.keys] == ["left", "right", "give", "binds"]
    assert rods_plot(series, (0.06, 0.06), 45.0, 45.0, Unit.MM, "said").binding == ()
