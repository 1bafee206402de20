"""A whole cut: what to select, what it asks, what is said of it."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.cutting.operations import Cut, operation, operations
from domain.cutting.plan import Conditions, CuttingPlan, plan
from domain.cutting.speeds import CuttingError, Factors, Tool
from domain.cutting.spindle import MachineKind, MachineTool
from domain.cutting.words import cautions, minutes_words, select_words, speed_words
from domain.lengths import Unit
from domain.route.stages import Route

LATHE = MachineTool("A", MachineKind.LATHE, (30, 45, 60, 105, 180, 300, 520), 370, 50_000)
DRILL = MachineTool("B", MachineKind.DRILL, (180, 300, 520, 900), 250)
RIM = Cut(operation("face_back"), 107_950_000, 25_400_000, 41_275_000, 500_000)
IRON = "en-gjl-250"


def keys(made: CuttingPlan) -> set[str]:
    return {flag.key for flag in made.flags}


def result(made: CuttingPlan, name: str) -> str:
    return next(one.result for one in made.workings if one.name == name)


def test_facing_the_back_by_hand() -> None:
    made = plan(RIM, Tool.HSS, IRON, LATHE, Unit.INCH)
    # 80 ft/min at 4.25 in is 71.90 rpm: 60 is the nearest not above. Then pi x 4.25 x 60 / 12 = 66.76 ft/min outside
    # and pi x 1 x 60 / 12 = 15.71 inside. 1.625 in at 0.008 in a turn and 60 rpm is 3.385 min.
    assert made.rpm == 60 and made.wanted_rpm == pytest.approx(71.90, abs=0.005)
    assert made.low_enough and not made.stop
    assert made.speed_at_rim.feet_a_minute == pytest.approx(66.76, abs=0.005)
    assert made.speed_at_boss is not None
    assert made.speed_at_boss.feet_a_minute == pytest.approx(15.71, abs=0.005)
    assert made.feed_nm == 203_200
    assert made.minutes == pytest.approx(1.625 / 0.008 / 60)
    # Kienzle at 260 HB: 1350 x 0.5 x 0.2032^0.72 N; at 20.348 m/min and 0.7 of a 370 W motor.
    assert made.force_n == pytest.approx(675 * 0.2032**0.72)
    assert made.power_w == pytest.approx(675 * 0.2032**0.72 * math.pi * 107.95 * 60 / 1000 / 60 / 0.7)
    assert made.power_share == pytest.approx(made.power_w / 370)
    assert "slows" in keys(made)
    assert result(made, "the same by the shop rule") == "75.2 rpm"  # 4 x 80 / 4.25


def test_kienzle_through_the_plan() -> None:
    # b 1.5, h 0.15, kc1 1150, m 0.20: 378 N.
    tread = Cut(operation("rough_tread"), 107_950_000, depth_nm=1_500_000, feed_nm=150_000)
    made = plan(tread, Tool.HSS, "a48-20", LATHE, Unit.MM)
    assert result(made, "cutting force") == "378 N"
    assert made.minutes is None and made.speed_at_boss is None


def test_too_deep_for_the_motor_says_how_deep_will_go() -> None:
    weak = replace(LATHE, motor_w=100)
    made = plan(replace(RIM, depth_nm=2_000_000), Tool.HSS, IRON, weak, Unit.MM)
    assert made.stop and made.power_share is not None and made.power_share > 1
    words = next(flag.words for flag in made.flags if flag.key == "power")
    assert "go no deeper than" in words
    assert made.deepest_nm is not None
    again = plan(replace(RIM, depth_nm=made.deepest_nm), Tool.HSS, IRON, weak, Unit.MM)
    assert again.power_share == pytest.approx(1, rel=1e-5) and again.power_share <= 1
    assert not again.stop
    just_over = plan(replace(RIM, depth_nm=made.deepest_nm + 1_000), Tool.HSS, IRON, weak, Unit.MM)
    assert just_over.stop and "power" in keys(just_over)


def test_an_unknown_motor_has_no_share() -> None:
    made = plan(RIM, Tool.HSS, IRON, replace(LATHE, motor_w=None), Unit.MM)
    assert made.power_w is not None and made.power_share is None and made.deepest_nm is None


def test_no_speed_low_enough_still_shows_the_rest() -> None:
    fast = replace(LATHE, speeds=(105, 180))
    made = plan(RIM, Tool.HSS, IRON, fast, Unit.MM)
    assert (made.rpm, made.low_enough, made.stop) == (105, False, True)
    assert made.minutes is not None and made.force_n is not None
    words = select_words(made.rpm, made.feed_nm, made.minutes, Unit.MM, low_enough=made.low_enough)
    assert words.startswith("No speed is low enough; at the slowest, 105 rpm, it would be feed 0.203 mm")
    # Carbide may go twice as fast, 143.8 rpm, so 105 will do.
    assert {"too_fast", "carbide_instead", "over_speed"} <= keys(made)
    over = next(flag.words for flag in made.flags if flag.key == "over_speed")
    assert "47 % faster" in over  # 105 / 71.90 = 1.4604, said as no less than it is
    assert plan(RIM, Tool.CARBIDE, IRON, fast, Unit.MM).low_enough


def test_a_reamer_is_not_offered_carbide_to_be_turned_faster() -> None:
    # Common practice: the quicker a reamer turns, the larger the hole.
    ream = Cut(operation("ream_bore"), 19_050_000)
    fast = MachineTool("fast", MachineKind.LATHE, (300,))
    made = plan(ream, Tool.HSS, "en-gjl-250", fast, Unit.MM)
    assert "too_fast" in keys(made) and "carbide_instead" not in keys(made)


def test_where_carbide_does_not_help_the_hand_turns() -> None:
    made = plan(RIM, Tool.HSS, IRON, replace(LATHE, speeds=(180,)), Unit.MM)
    assert "carbide_instead" not in keys(made) and "turn_by_hand" in keys(made)
    hole = Cut(operation("drill_crankpin"), 50_000_000)
    under = plan(hole, Tool.CARBIDE, IRON, replace(DRILL, speeds=(900,)), Unit.MM)
    assert not under.low_enough
    assert not {"turn_by_hand", "carbide_instead"} & keys(under)


def test_a_chilled_skin_slows_and_owns_up() -> None:
    made = plan(RIM, Tool.HSS, IRON, LATHE, Unit.MM, Conditions(chilled=True))
    assert made.wanted_rpm == pytest.approx(960 / (math.pi * 4.25) / 2) and made.rpm == 30
    assert {"chilled", "chilled_force"} <= keys(made)
    slowed = next(one for one in made.workings if one.name == "slowed speed")
    assert "no source" in slowed.source and "0.5 (chilled)" in slowed.numbers
    only = plan(RIM, Tool.HSS, IRON, replace(LATHE, speeds=(60,)), Unit.MM, Conditions(chilled=True))
    assert "factors_decide" in keys(only) and only.stop


def test_an_interrupted_boss_is_slowed_unless_it_is_said_to_be_whole() -> None:
    boss = Cut(operation("face_front_boss"), 50_800_000, 19_050_000, depth_nm=300_000)
    slowed = plan(boss, Tool.CARBIDE, IRON, LATHE, Unit.MM)
    whole = plan(boss, Tool.CARBIDE, IRON, LATHE, Unit.MM, Conditions(interrupted=False))
    assert slowed.wanted_rpm == pytest.approx(0.7 * whole.wanted_rpm)
    assert "interrupted" in keys(slowed) and "interrupted" not in keys(whole)
    mine = Conditions(factors=Factors(interrupted=0.4, chilled=1, form=1))
    assert plan(boss, Tool.CARBIDE, IRON, LATHE, Unit.MM, mine).wanted_rpm == pytest.approx(
        0.4 * whole.wanted_rpm
    )


def test_the_machine_s_smallest_feed_is_the_least() -> None:
    coarse = replace(LATHE, least_feed_nm=150_000)
    made = plan(
        Cut(operation("finish_tread"), 107_950_000, length_nm=12_000_000), Tool.HSS, IRON, coarse, Unit.MM
    )
    assert made.feed_nm == 150_000
    assert {"feed_raised", "coarse_finish"} <= keys(made)
    assert made.minutes == pytest.approx(12 / 0.15 / made.rpm)
    # A reamer is fed from the tailstock by hand, whatever the lathe's gears can do.
    reamed = plan(
        Cut(operation("ream_bore"), 6_000_000), Tool.HSS, IRON, replace(LATHE, least_feed_nm=900_000), Unit.MM
    )
    assert reamed.feed_nm < 900_000


def test_a_finishing_cut_asked_for_is_fed_finely() -> None:
    assert plan(RIM, Tool.HSS, IRON, LATHE, Unit.MM, Conditions(finishing=True)).feed_nm == 101_600


def test_a_drill_has_no_force_here() -> None:
    made = plan(
        Cut(operation("drill_crankpin"), 9_000_000, length_nm=12_000_000), Tool.HSS, IRON, DRILL, Unit.MM
    )
    assert made.force_n is None and made.power_w is None and made.deepest_nm is None
    assert made.rpm == 520  # 80 ft/min at 9 mm: 24 384 / (pi x 9) = 862.4 rpm


def test_every_operation_has_speed_cautions_and_sources() -> None:
    for one in operations(Route.FITTED_FIRST, coupled=True):
        if one.key == "crank_boss":
            with pytest.raises(CuttingError, match="switch off") as caught:
                plan(Cut(one, 20_000_000), Tool.HSS, IRON, LATHE, Unit.MM)
            assert caught.value.field == "operation"
            continue
        made = plan(Cut(one, 60_000_000), Tool.HSS, IRON, LATHE, Unit.MM)
        said = cautions(one, LATHE.kind)
        assert any("chuck key" in words for words in said)
        assert any("mask" in words for words in said)
        assert any("chill" in words for words in said)
        assert any("by hand, clear of the bed" in words for words in said)
        assert all(working.source and working.numbers and working.formula for working in made.workings)
    assert "must not turn" in cautions(operation("crank_boss"), MachineKind.LATHE)[0]


@given(
    st.sampled_from([one for one in operations(Route.FITTED_FIRST, coupled=True) if one.key != "crank_boss"]),
    st.integers(3_000_000, 400_000_000),
    st.lists(st.floats(5, 3000), min_size=1, max_size=10),
    st.sampled_from(list(Tool)),
    st.booleans(),
    st.integers(0, 300_000),
)
@settings(max_examples=100)
def test_a_plan_never_exceeds_the_speed_of_the_table(
    one: object, diameter: int, speeds: list[float], tool: Tool, chilled: bool, least: int
) -> None:
    machine = MachineTool("A", MachineKind.LATHE, tuple(speeds), 370, least)
    cut = Cut(one, diameter, length_nm=10_000_000)  # type: ignore[arg-type]
    made = plan(cut, tool, IRON, machine, Unit.MM, Conditions(chilled=chilled))
    assert made.rpm in speeds
    assert made.low_enough == (made.rpm <= made.wanted_rpm)
    assert made.stop == (not made.low_enough)  # no depth, so only the speed can stop it
    larger = plan(
        replace(cut, diameter_nm=2 * diameter), tool, IRON, machine, Unit.MM, Conditions(chilled=chilled)
    )
    assert larger.rpm <= made.rpm and larger.wanted_rpm < made.wanted_rpm


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"diameter_nm": 0}, "diameter"), ({"length_nm": -1}, "length"), ({"depth_nm": 0}, "depth"),
     ({"feed_nm": 0}, "feed")],
)  # fmt: skip
def test_cuts_that_cannot_be(changes: dict[str, int], field: str) -> None:
    with pytest.raises(CuttingError, match="above nothing: type one such as") as caught:
        replace(RIM, **changes)  # type: ignore[arg-type]
    assert caught.value.field == field


def test_figures_that_do_not_belong_to_the_operation() -> None:
    with pytest.raises(CuttingError, match="Only a facing cut") as caught:
        Cut(operation("finish_tread"), 100_000_000, inner_diameter_nm=20_000_000)
    assert caught.value.field == "inner_diameter"
    with pytest.raises(CuttingError, match="no depth of cut") as caught:
        Cut(operation("drill_bore"), 18_000_000, depth_nm=1)
    assert caught.value.field == "depth"
    with pytest.raises(CuttingError, match="deeper than the work") as caught:
        Cut(operation("rough_tread"), 100_000_000, depth_nm=50_000_000)
    assert caught.value.field == "depth"
    with pytest.raises(CuttingError, match="choose a lathe") as caught:
        plan(RIM, Tool.HSS, IRON, DRILL, Unit.MM)
    assert caught.value.field == "machine"
    with pytest.raises(CuttingError, match="outer diameter") as caught:
        plan(replace(RIM, inner_diameter_nm=200_000_000), Tool.HSS, IRON, LATHE, Unit.MM)
    assert caught.value.field == "inner_diameter"


def test_words() -> None:
    assert minutes_words(3.0) == "3 min 0 s" and minutes_words(0.0001) == "0 min 1 s"
    assert speed_words(30.48, Unit.MM) == "30.5 m/min (100 ft/min)"
