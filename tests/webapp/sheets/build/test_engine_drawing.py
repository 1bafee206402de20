"""The engine side-on: to one scale, at its axle centres, said where they are not given, rods on only where they go round."""

import math
import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words, form_on
from webapp.db import Db
from webapp.drawing.wheel import CENTRE, FLANGE_RADIUS, SIZE, WheelPicture, wheel_picture
from webapp.sheets.build.drawing import EngineSide, EngineWheel, WheelOnRail, engine_side

MM = 1_000_000


def picture(tread: int, coupled: bool) -> WheelPicture:
    return wheel_picture(
        tread_diameter_nm=tread * MM, boss_diameter_nm=tread * MM // 4, bore_nm=tread * MM // 8, throw_nm=20 * MM,
        crankpin_hole_nm=8 * MM, flange_depth_nm=3 * MM, coupled=coupled, ticked=frozenset({"received"}),
        crank_angle_deg=45.0, scrapped=False, label="W1",
    )  # fmt: skip


def wheel(
    tread: int, to_front: int | None = None, *, coupled: bool = True, rod: bool = False, next: bool = False
) -> EngineWheel:
    front = None if to_front is None else to_front * MM
    return EngineWheel(picture(tread, coupled), tread * MM, 3 * MM, next, front, rod)


def middle(one: WheelOnRail) -> float:
    return one.x + one.size / 2


def right_end(side: EngineSide) -> float:
    left, _, wide, _ = map(float, side.wheels[-1].view_box.split())
    return left + wide


def ends(d: str) -> list[float]:
    return [float(x) for x, _ in re.findall(r"([\d.]+) ([\d.]+)", d)]


def test_wheels_of_two_patterns_are_to_one_scale_and_stand_on_one_rail() -> None:
    side = engine_side([wheel(70, coupled=False), wheel(110, 130), wheel(110)], seen_through=False)
    small, *large = side.wheels
    radii = [one.size * FLANGE_RADIUS / SIZE for one in side.wheels]
    assert radii[0] / radii[1] == pytest.approx(38 / 58, abs=0.01)
    scale = radii[1] / 58
    assert middle(large[1]) - middle(large[0]) == pytest.approx(130 * scale, abs=0.3)
    rail = float(side.rail.split()[1].split("L")[0])
    for one, tread in zip(side.wheels, (70, 110, 110), strict=True):
        assert one.y + one.size / 2 + tread / 2 * scale == pytest.approx(rail, abs=0.2)
    assert middle(small) + radii[0] < middle(large[0]) - radii[1]


def test_where_centres_are_not_given_wheels_stand_evenly_and_the_rail_is_dashed() -> None:
    side = engine_side([wheel(110), wheel(110), wheel(110, 150), wheel(110)], seen_through=False)
    gaps = [middle(b) - middle(a) for a, b in pairwise(side.wheels)]
    assert gaps[0] == pytest.approx(gaps[1], abs=0.2) and gaps[2] > gaps[1]
    assert ends(side.rail) == pytest.approx([middle(side.wheels[2]), right_end(side)], abs=0.2)
    assert ends(side.rail_not_given)[-1] == pytest.approx(middle(side.wheels[2]), abs=0.2)
    # A centre that no two such wheels can have is not gone by.
    wrong = engine_side([wheel(110, 15), wheel(110, 9_000), wheel(110)], seen_through=False)
    assert wrong.rail == ""


def test_a_wheel_that_is_not_right_has_a_cross_over_it_beside_the_mark_of_what_is_next() -> None:
    amiss, both, right = (
        replace(wheel(110), amiss=True), replace(wheel(110, next=True), amiss=True), wheel(110, next=True),
    )  # fmt: skip
    side = engine_side([amiss, both, right], seen_through=False)
    crosses, marks = ends(side.amiss), ends(side.next)
    assert len(crosses) == 2 * 4 and len(marks) == 2 * 3
    assert sum(crosses[:4]) / 4 == pytest.approx(middle(side.wheels[0]), abs=0.2)
    assert min(crosses[4:]) > max(marks[:3]) and max(crosses[4:]) < right_end(side) / 3 * 2


@pytest.mark.parametrize("count", [1, 2, 6, 10])
def test_pieces_lie_side_by_side_and_hold_their_wheel(count: int) -> None:
    wheels = [wheel(40 if at % 3 else 160, coupled=False) for at in range(count)]
    side = engine_side(wheels, seen_through=True)
    at = None
    for one in side.wheels:
        left, _, wide, height = map(float, one.view_box.split())
        assert at is None or left == pytest.approx(at, abs=0.15)
        assert left - 0.2 <= one.x + one.size * (1 - FLANGE_RADIUS / CENTRE) / 2
        assert one.x + one.size * (1 + FLANGE_RADIUS / CENTRE) / 2 <= left + wide + 0.2
        assert height == side.height and wide == one.width
        at = left + wide
    assert sum(one.width for one in side.wheels) <= 1000


def test_rods_join_the_pins_and_the_left_looks_a_quarter_turn_off() -> None:
    coupled = [
        wheel(110, 130, rod=True),
        wheel(60, coupled=False, rod=False),
        wheel(110, 130, rod=True),
        wheel(110, rod=True),
    ]
    right, left = (engine_side(coupled, seen_through=through) for through in (False, True))
    for side, way in ((right, 1), (left, -1)):
        assert len(side.rods) == 2 and len(side.pins) == 3
        cranked = [one for one in side.wheels if one.picture.crank]
        for (x, y), one in zip(side.pins, cranked, strict=True):
            crank = one.picture.crank
            assert crank is not None
            per = one.size / SIZE
            assert x == pytest.approx(middle(one) + way * (crank.hole.x - CENTRE) * per, abs=0.1)
            assert y == pytest.approx(one.y + crank.hole.y * per, abs=0.1)
            angle = math.degrees(math.atan2(one.y + one.size / 2 - y, x - middle(one)))
            assert angle == pytest.approx(45 if way > 0 else 135, abs=1)
        assert [ends(rod) for rod in side.rods] == [
            pytest.approx([a[0], b[0]]) for a, b in pairwise(side.pins)
        ]
    assert engine_side([wheel(110, 130), wheel(110)], seen_through=False).rods == ()


def test_the_wheel_that_is_next_is_marked() -> None:
    side = engine_side([wheel(110, next=True), wheel(110)], seen_through=False)
    assert sum(ends(side.next)) / 3 == pytest.approx(middle(side.wheels[0]), abs=0.1)
    assert engine_side([wheel(110)], seen_through=False).next == ""


# ---- On the sheet ----


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric(axles="3", coupled="1 2 3", castings="8")
    return bench


def test_every_place_leads_to_its_axle_and_the_dashed_rail_is_said(bench: Bench) -> None:
    page = bench.whole("/builds/1")
    assert page.count('class="drawn engine-picture"') == 6
    assert "on a dashed rail the axle centres are not given" in Words(page).text
    assert 'class="rod"' not in page


def test_a_tender_stands_behind_to_the_same_scale(bench: Bench) -> None:
    figures: Mapping[str, str] = {
        "tread_diameter": "70", "boss_diameter": "24", "bore": "12", "seat": "12", "boss_length": "14", "tyre_width": "11",
        "flange_width": "2.1", "flange_depth": "2.2", "root_radius": "1.3", "fit_least": "", "fit_most": "",
    }  # fmt: skip
    data = form_on(bench.get("/builds/1/patterns/new"), "/builds/1/patterns").filled(
        who="AB", axles="4 5", marks="T1 T2 T3 T4 T5", **figures
    )
    assert bench.post("/builds/1/patterns", data).status_code == 303
    page = bench.whole("/builds/1")
    sizes = [float(size) for size in re.findall(r'<svg x="[\d.-]+" y="[\d.-]+" width="([\d.]+)"', page)]
    assert len(sizes) == 10
    # The rearmost first: two axles of the tender, then three of the engine.
    assert sizes[0] / sizes[2] == pytest.approx((70 + 2 * 2.2) / (110 + 2 * 2), abs=0.01)
