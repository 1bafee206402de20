"""Stock, drill and speed for the reamer, against the printed figures."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.cutting.operations import Cut, operation
from domain.cutting.plan import wanted_speed
from domain.cutting.reaming import Drill, drill_below, reaming_speed, stock_for
from domain.cutting.speeds import CuttingError, Tool, reaming_table
from domain.cutting.spindle import rpm_from_feet, rpm_from_metres
from domain.cutting.words import REAMING_CAUTIONS, drill_words
from domain.joints.materials import irons
from domain.lengths import NM_PER_INCH, Unit


def inch(figure: str) -> int:
    return int(Fraction(figure) * NM_PER_INCH)


@pytest.mark.parametrize(
    ("bore", "least", "most"),
    [  # a toolmaker's chart of speeds and reamer stock: each row's first and last size
        ("0.090", "0.005", "0.010"), ("0.170", "0.005", "0.010"),
        ("0.171", "0.008", "0.012"), ("0.280", "0.008", "0.012"),
        ("0.281", "0.010", "0.016"), ("0.750", "0.010", "0.016"), ("0.880", "0.010", "0.016"),
        ("0.881", "0.015", "0.030"), ("1.250", "0.015", "0.030"), ("2.500", "0.015", "0.030"),
        ("0.2805", "0.010", "0.016"), ("0.8804", "0.015", "0.030"),  # between rows: the larger
    ],
)  # fmt: skip
def test_stock_as_printed(bore: str, least: str, most: str) -> None:
    stock = stock_for(inch(bore), Unit.INCH)
    assert (stock.least_nm, stock.most_nm) == (inch(least), inch(most))
    assert (stock.hole_low_nm, stock.hole_high_nm) == (inch(bore) - inch(most), inch(bore) - inch(least))
    assert stock.working.source == reaming_table()["stock"]["source"]


@pytest.mark.parametrize("bore_nm", [0, -1, inch("0.0899"), inch("2.5") + 1])
def test_a_bore_outside_the_chart_is_refused(bore_nm: int) -> None:
    with pytest.raises(CuttingError, match=r"goes from 0\.090 to 2\.500 in"):
        stock_for(bore_nm, Unit.INCH)


@given(st.integers(inch("0.090"), inch("2.5")))
def test_never_more_than_a_32nd_under(bore_nm: int) -> None:
    """Applied Science for Metal Workers, section 313: never drilled over 1/32 in smaller than the reamer."""
    stock = stock_for(bore_nm, Unit.INCH)
    assert 0 < stock.least_nm < stock.most_nm < inch("1/32")


SIXTYFOURTHS = [Drill(f"{n}/64 in", n * inch("1/64")) for n in range(8, 129)]


def test_the_drill_below_three_quarters() -> None:
    # 3/4 in wants 0.010 to 0.016 left: 47/64 in leaves 1/64, 0.0156.
    choice = drill_below(inch("0.75"), SIXTYFOURTHS, Unit.INCH)
    assert choice.drill == Drill("47/64 in", inch("47/64"))
    assert (choice.leaves_nm, choice.within) == (396_875, True)


def test_a_drill_that_leaves_exactly_the_least_is_taken_and_a_hair_larger_is_not() -> None:
    edge = inch("0.740")
    owned = [Drill("small", edge - 50_000), Drill("edge", edge), Drill("hair", edge + 1)]
    assert drill_below(inch("0.75"), owned, Unit.INCH).drill == owned[1]
    assert drill_below(inch("0.75"), [owned[0], owned[2]], Unit.INCH).drill == owned[0]


def test_a_drill_that_leaves_too_much_is_followed_by_the_boring_bar() -> None:
    choice = drill_below(inch("0.75"), [Drill("18 mm", 18_000_000)], Unit.MM)
    assert choice.drill is not None
    assert not choice.within
    assert drill_words(choice, Unit.MM) == (
        "Drill 18 mm, then bore to between 18.644 mm (0.7340 in) and 18.796 mm (0.7400 in) before reaming:"
        " the drill leaves 1.050 mm (0.0413 in), more than the reamer should take."
    )


def test_no_drill() -> None:
    none = drill_below(inch("0.75"), [], Unit.MM)
    assert (none.drill, none.leaves_nm, none.within) == (None, None, False)
    assert drill_words(none, Unit.MM).endswith("no drill is listed.")
    larger = drill_below(inch("0.75"), [Drill("3/4 in", inch("0.75"))], Unit.MM)
    assert larger.drill is None
    assert drill_words(larger, Unit.MM).startswith("Bore it to between")
    assert drill_words(larger, Unit.MM).endswith("none of the drills owned leaves enough for the reamer.")


def test_of_drills_alike_the_first_by_name_in_any_order() -> None:
    alike = [Drill("b", 18_700_000), Drill("a", 18_700_000)]
    assert drill_below(inch("0.75"), alike, Unit.MM) == drill_below(inch("0.75"), alike[::-1], Unit.MM)
    assert drill_below(inch("0.75"), alike, Unit.MM).drill == Drill("a", 18_700_000)


def test_a_drill_of_no_size_is_refused() -> None:
    with pytest.raises(CuttingError, match="The drill odd must be above zero"):
        drill_below(inch("0.75"), [Drill("odd", 0)], Unit.MM)


@given(st.integers(inch("0.090"), inch("2.5")))
def test_the_drill_is_the_largest_that_leaves_enough(bore_nm: int) -> None:
    stock = stock_for(bore_nm, Unit.INCH)
    choice = drill_below(bore_nm, SIXTYFOURTHS, Unit.INCH)
    fitting = [one.nominal_nm for one in SIXTYFOURTHS if bore_nm - one.nominal_nm >= stock.least_nm]
    assert (choice.drill.nominal_nm if choice.drill else None) == max(fitting, default=None)


def test_80_feet_a_minute_at_4_and_a_quarter_inches() -> None:
    """A worked 71.90 rpm; and the same in metres."""
    assert rpm_from_feet(80, inch("4.25")) == pytest.approx(71.90, abs=0.005)
    assert rpm_from_metres(80 * 0.3048, inch("4.25")) == pytest.approx(71.90, abs=0.005)


def test_the_rule_of_four_is_the_formula_with_pi_taken_as_three() -> None:
    """US Army OD 1645: 120 ft/min at 1 in by 4 V / D is 480 rpm; exactly it is 458.4."""
    exact = rpm_from_feet(120, inch("1"))
    assert exact == pytest.approx(458.4, abs=0.05)
    assert exact * math.pi / 3 == pytest.approx(480)


@given(st.floats(1, 1000), st.integers(1_000_000, 500_000_000))
def test_feet_and_metres_agree(feet: float, diameter_nm: int) -> None:
    assert rpm_from_feet(feet, diameter_nm) == pytest.approx(rpm_from_metres(feet * 0.3048, diameter_nm))


@pytest.mark.parametrize("speed", [0, -1, math.inf, math.nan])
def test_no_speed_is_refused(speed: float) -> None:
    for rpm in (rpm_from_feet, rpm_from_metres):
        with pytest.raises(CuttingError, match="surface speed must be"):
            rpm(speed, 25_400_000)
        with pytest.raises(CuttingError, match="diameter must be above zero"):
            rpm(80, 0)


@pytest.mark.parametrize(
    ("iron", "drill", "ream"),  # the chart's feet a minute, high-speed steel: drilling and reaming
    [
        ("a48-20", 100, 65),
        ("en-gjl-150", 90, 60),
        ("a48-30", 80, 55),
        ("en-gjl-200", 80, 55),
        ("en-gjl-250", 80, 55),
    ],
)
def test_half_the_drilling_speed(iron: str, drill: int, ream: int) -> None:
    found = reaming_speed(inch("0.75"), iron, Unit.INCH)
    assert found.drill_rpm == pytest.approx(12 * drill / (math.pi * 0.75))
    assert found.ream_rpm == pytest.approx(found.drill_rpm / 2)  # US TM 1-420
    assert found.most_rpm == pytest.approx(12 * ream / (math.pi * 0.75))
    assert found.ream_rpm < found.most_rpm
    assert "TM 1-420" in found.workings[1].source
    for working in (found.workings[0], found.workings[2]):
        assert working.source.endswith("published chart of reaming speeds, verify with your reamer's maker")


def test_the_formula_is_written_in_the_system_of_the_build() -> None:
    # 80 ft/min is 24.384 m/min; both give 407.4 rpm at 0.75 in.
    inches = reaming_speed(inch("0.75"), "en-gjl-200", Unit.INCH).workings[0]
    metric = reaming_speed(inch("0.75"), "en-gjl-200", Unit.MM).workings[0]
    assert inches.formula == "rpm = 12 V / (pi D)" and inches.numbers.startswith("V 80 ft/min, D 0.7500 in")
    assert metric.formula == "rpm = 1000 V / (pi D)"
    assert metric.numbers.startswith("V 24.38 m/min (80 ft/min), D 19.050 mm")
    assert inches.result == metric.result == "407.4 rpm"


@pytest.mark.parametrize(("tool", "feet"), [(Tool.HSS, 40), (Tool.CARBIDE, 180)])
def test_a_reamer_has_one_speed_whoever_asks(tool: Tool, feet: int) -> None:
    # 3/4 in in class 30 to 40 iron: 203.7 rpm in high-speed steel, half of a drill's 80 ft/min (US TM 1-420); a
    # toolmaker's chart gives carbide 180 ft/min, 916.7 rpm.
    own = reaming_speed(inch("0.75"), "en-gjl-200", Unit.INCH, tool)
    assert own.ream_rpm == pytest.approx(12 * feet / (math.pi * 0.75))
    cut = Cut(operation("ream_bore"), inch("0.75"))
    assert wanted_speed(cut, tool, "en-gjl-200", Unit.INCH).rpm == own.ream_rpm
    assert own.ream_rpm <= own.most_rpm and (own.drill_rpm is None) is (tool is Tool.CARBIDE)


def test_a_hand_reamer_takes_little() -> None:
    # Common practice, from memory, verify: 0.002 to 0.005 in.
    stock = stock_for(inch("0.75"), Unit.INCH, by_hand=True)
    assert (stock.least_nm, stock.most_nm) == (inch("0.002"), inch("0.005"))
    assert "from memory, verify" in stock.working.source
    # A sixty-fourth under is the machine reamer's: by hand it is bored first.
    choice = drill_below(inch("0.75"), SIXTYFOURTHS, Unit.INCH, by_hand=True)
    assert choice.drill == Drill("47/64 in", inch("47/64")) and not choice.within
    with pytest.raises(CuttingError, match="smaller than what a hand reamer takes"):
        stock_for(inch("0.004"), Unit.INCH, by_hand=True)


def test_every_iron_has_a_row_and_the_stronger_is_never_turned_faster() -> None:
    by_strength = sorted(irons(), key=lambda one: one.tensile_low_mpa)
    speeds = [reaming_speed(inch("0.75"), one.key, Unit.MM).ream_rpm for one in by_strength]
    assert speeds == sorted(speeds, reverse=True)


def test_an_unknown_iron_is_refused() -> None:
    with pytest.raises(CuttingError, match="No cutting speed is known for an iron called 'lead'"):
        reaming_speed(inch("0.75"), "lead", Unit.MM)


def test_the_cautions_say_slow_and_who_says_so() -> None:
    assert "slow" in REAMING_CAUTIONS[0]
    assert "common practice, no source" in REAMING_CAUTIONS[0]
    assert any("Chuck key" in one for one in REAMING_CAUTIONS)
