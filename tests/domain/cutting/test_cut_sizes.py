"""The cut an operation usually takes: which diameter, how far the tool travels, how deep."""

import math

import pytest

from domain.cutting.operations import (
    DrawnWheel,
    MeasuredWheel,
    UsualCuts,
    next_operation,
    operation,
    operations,
    usual_cut,
)
from domain.cutting.plan import plan, wanted_speed
from domain.cutting.speeds import CutKind, Tool
from domain.cutting.spindle import MachineKind, MachineTool
from domain.lengths import Unit
from domain.route.stages import Route

MM = 1_000_000
WHEEL = DrawnWheel(110 * MM, 2 * MM, 2 * MM, 10 * MM, 1_200_000, 32 * MM, 15 * MM, 19_050_000, 8 * MM)
CUTS = UsualCuts(MM, 200_000, 203_200, 101_600)
NOTHING = MeasuredWheel()


@pytest.mark.parametrize(
    ("key", "measured", "nm"),
    [
        ("face_back", NOTHING, 120 * MM),  # 110 + 2 x 2 over the flange, and 6 mm for the rough casting
        ("face_back", MeasuredWheel(rim_most_nm=118_300_000), 118_300_000),
        ("face_back", MeasuredWheel(rim_most_nm=118_300_000, over_flange_nm=114 * MM), 114 * MM),
        ("face_front_boss", NOTHING, 32 * MM),
        ("rough_tread", MeasuredWheel(rim_most_nm=118_300_000), 118_300_000),
        ("rough_tread", MeasuredWheel(rim_most_nm=118_300_000, tread_nm=111 * MM), 111 * MM),
        ("finish_tread", MeasuredWheel(rim_most_nm=118_300_000), 110_400_000),  # 110 and twice 0.2
        ("form_root", NOTHING, 114 * MM),
        ("drill_bore", NOTHING, 19_050_000),
        ("ream_bore", NOTHING, 19_050_000),
        ("ream_crankpin", NOTHING, 8 * MM),
    ],
)
def test_the_diameter_that_governs(key: str, measured: MeasuredWheel, nm: int) -> None:
    assert usual_cut(operation(key), WHEEL, measured, CUTS).size.nm == nm


def test_a_drill_travels_through_the_boss_and_its_point() -> None:
    owned = UsualCuts(MM, 200_000, 203_200, 101_600, bore_drill_nm=18_500_000)
    found = usual_cut(operation("drill_bore"), WHEEL, MeasuredWheel(boss_height_nm=17 * MM), owned)
    assert found.cut.diameter_nm == 18_500_000 and found.size.sure
    # The shop's round figure for a 118 degree point is 0.3 of the diameter.
    assert found.cut.length_nm == pytest.approx((17 + 0.3 * 18.5) * MM, rel=0.001)


def test_a_forming_edge_lies_along_a_quarter_of_the_root() -> None:
    found = usual_cut(operation("form_root"), WHEEL, NOTHING, CUTS)
    assert found.cut.depth_nm == pytest.approx(math.tau * 1_200_000 / 4, abs=1)
    assert found.cut.feed_nm is None  # the table's own forming feed


def test_cuts_and_feeds_are_the_builds_own() -> None:
    rough, fine = (
        usual_cut(operation(f"{way}_tread"), WHEEL, NOTHING, CUTS).cut for way in ("rough", "finish")
    )
    assert (rough.depth_nm, rough.feed_nm) == (MM, 203_200)
    assert (fine.depth_nm, fine.feed_nm) == (200_000, 101_600)
    assert rough.length_nm == 8 * MM  # 10 of tyre less 2 of flange
    assert usual_cut(operation("face_front_rim"), WHEEL, NOTHING, CUTS).cut.length_nm is None


def test_by_hand_strokes_there_is_no_diameter() -> None:
    with pytest.raises(ValueError, match="hand strokes"):
        usual_cut(operation("crank_boss"), WHEEL, NOTHING, CUTS)


@pytest.mark.parametrize("coupled", [True, False])
def test_every_operation_can_be_planned_on_its_machine(coupled: bool) -> None:
    lathe = MachineTool("A", MachineKind.LATHE, (5, 40, 300))
    for one in operations(Route.MANDREL_FIRST, coupled=coupled):
        if one.kind is CutKind.HAND:
            continue
        cut = usual_cut(one, WHEEL, NOTHING, CUTS).cut
        made = plan(cut, Tool.HSS, "en-gjl-250", lathe, Unit.MM)
        wanted = wanted_speed(cut, Tool.HSS, "en-gjl-250", Unit.MM)
        # With a machine and without, the speed wanted is one.
        assert wanted.rpm == made.wanted_rpm
        assert wanted.workings == made.workings[: len(wanted.workings)]


def test_the_next_operation_follows_the_ticks() -> None:
    mine = operations(Route.FITTED_FIRST, coupled=True)

    def after(*ticked: str) -> str:
        found = next_operation(mine, ticked)
        return "" if found is None else found.key

    assert after() == "face_back"
    assert after("back_faced") == "face_front_rim"
    assert after("back_faced", "bored.front_faced", "bored.crank_boss") == "drill_bore"
    assert after("back_faced", "bored", "tread_turned") == "drill_crankpin"
    assert after("back_faced", "bored", "tread_turned", "quartered") == ""
