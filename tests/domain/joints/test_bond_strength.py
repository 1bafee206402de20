import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.answer import Answer
from domain.joints.bond import GapFit, GapRange
from domain.joints.kinds import FitError
from domain.joints.terms import BondedJoint, BondSheet, Reduction, placeholder_reductions
from tests.domain.joint_reports import report_bond

TYPED = (Reduction("gap", "for the gap", 0.9, "sheet"), Reduction("material", "for iron", 0.8, "sheet"))
SHEET = BondSheet(20.0, reductions=TYPED, safety=2.0)
JOINT = BondedJoint(10_000_000, 20_000_000, SHEET)

ORDER = (Answer.SERVES, Answer.CAUTION, Answer.NOT)


def test_force_is_shear_over_the_area_less_each_reduction_in_turn() -> None:
    # Unrolled, a 10 mm seat bonded over 20 mm is 628.3 mm2; 20 MPa x 0.9 x 0.8 / 2 on it is 4523.9 N, 22.62 N m.
    report = report_bond(JOINT, 30_000)
    assert report.answer is Answer.SERVES
    assert [(one.key, left) for one, left in report.steps] == [
        ("gap", 18.0),
        ("material", pytest.approx(14.4)),
    ]
    assert report.shear_mpa == pytest.approx(14.4)
    assert report.force_n == pytest.approx(4523.9, abs=0.05)
    assert report.torque_nm == pytest.approx(22.62, abs=0.005)
    assert len(report.workings) == 5


def test_the_placeholders_say_that_they_are() -> None:
    assert [one.key for one in placeholder_reductions()] == ["gap", "material", "temperature", "ageing"]
    assert all(one.placeholder and "placeholder" in one.source for one in placeholder_reductions())
    said = " ".join(report_bond(replace(JOINT, sheet=BondSheet(20.0)), 30_000).reasons)
    assert "Placeholders, not your compound's figures: gap, material, temperature, ageing" in said
    assert "Placeholders" not in " ".join(report_bond(JOINT, 30_000).reasons)


@pytest.mark.parametrize(
    ("gap_nm", "doubt_nm", "fit", "answer"),
    [
        (30_000, 5_000, GapFit.BEST, Answer.SERVES),
        (22_000, 5_000, GapFit.BEST, Answer.CANNOT_TELL),
        (48_000, 5_000, GapFit.BEST, Answer.CAUTION),
        (60_000, 0, GapFit.WIDE, Answer.CAUTION),
        (98_000, 5_000, GapFit.WIDE, Answer.CANNOT_TELL),
        (18_000, 5_000, GapFit.TOO_SMALL, Answer.NOT),
        (120_000, 0, GapFit.TOO_WIDE, Answer.NOT),
        (-5_000, 0, GapFit.TOO_SMALL, Answer.NOT),
    ],
)
def test_a_gap_that_serves_as_measured_is_never_better_nor_failed_for_its_uncertainty(
    gap_nm: int, doubt_nm: int, fit: GapFit, answer: Answer
) -> None:
    report = report_bond(JOINT, gap_nm, doubt_nm)
    assert (report.gap_fit, report.answer) == (fit, answer)
    assert (report.force_n == 0) is (answer is Answer.NOT)


@given(st.integers(-50_000, 200_000), st.integers(0, 30_000))
def test_both_ends_are_enough(gap_nm: int, doubt_nm: int) -> None:
    answers = [report_bond(JOINT, gap_nm + doubt_nm * step // 10).answer for step in range(-10, 11)]
    report, measured, worst = report_bond(JOINT, gap_nm, doubt_nm), answers[10], max(answers, key=ORDER.index)
    doubted = Answer.CANNOT_TELL if worst is Answer.NOT else Answer.CAUTION
    assert report.answer is (measured if worst is measured else doubted)
    assert report.cannot_tell is (worst is Answer.NOT and measured is not Answer.NOT)
    assert report.torque_nm == report_bond(JOINT, gap_nm).torque_nm


def test_a_gap_its_uncertainty_takes_out_is_not_told() -> None:
    report = report_bond(JOINT, 26_000, 10_000)
    assert report.cannot_tell
    says = "annot tell with this instrument: at worst the gap is 0.026 mm - 0.010 mm = 0.016 mm, under 0.020 mm, so"
    assert says in report.reasons[1]
    row = next(w for w in report.workings if w.name == "gap at worst")
    assert row.result.startswith("0.016 mm to 0.036 mm: at worst the gap is 0.026 mm - 0.010 mm = 0.016 mm")
    assert "0.096 mm + 0.010 mm = 0.106 mm, over 0.100 mm" in report_bond(JOINT, 96_000, 10_000).reasons[1]


@given(st.lists(st.floats(0.01, 1), max_size=6), st.floats(1, 60), st.floats(1, 5))
def test_no_reduction_ever_adds(factors: list[float], shear: float, safety: float) -> None:
    reductions = tuple(Reduction(f"r{i}", "typed", one, "sheet") for i, one in enumerate(factors))
    report = report_bond(replace(JOINT, sheet=BondSheet(shear, reductions=reductions, safety=safety)), 30_000)
    lefts = [shear, *(left for _, left in report.steps)]
    assert lefts == sorted(lefts, reverse=True)
    assert report.force_n == pytest.approx(shear * math.prod(factors) * math.pi * 200 / safety)


def test_hotter_than_it_serves_is_no_bond() -> None:
    assert report_bond(replace(JOINT, hottest_c=150), 30_000).answer is Answer.SERVES
    hot = report_bond(replace(JOINT, hottest_c=151), 30_000)
    assert (hot.answer, hot.force_n, hot.torque_nm) == (Answer.NOT, 0, 0)
    assert "Running at 151 C is hotter than the compound stands, 150 C" in " ".join(hot.reasons)


@pytest.mark.parametrize(
    ("limits", "says"),
    [
        ((50_000, 20_000, 100_000), "upside down: the least, 0.050 mm, is above the most, 0.020 mm"),
        ((20_000, 100_000, 50_000), "upside down: the most, 0.100 mm, is above what it can fill, 0.050 mm"),
        ((0, 20_000, 50_000), "least gap, 0.000 mm, must be above zero"),
    ],
)
def test_a_gap_range_upside_down_is_a_sentence(limits: tuple[int, int, int], says: str) -> None:
    sheet = replace(SHEET, gap=GapRange(*limits, "typed"))
    with pytest.raises(FitError, match=says):
        report_bond(replace(JOINT, sheet=sheet), 30_000)


@pytest.mark.parametrize(
    ("joint", "says"),
    [
        (replace(JOINT, sheet=replace(SHEET, shear_mpa=0)), "shear strength"),
        (replace(JOINT, length_nm=-1), "length"),
        (replace(JOINT, seat_nm=0), "seat"),
        (replace(JOINT, sheet=replace(SHEET, safety=0.5)), "safety"),
        (replace(JOINT, sheet=replace(SHEET, reductions=(Reduction("gap", "", 1.2, ""),))), "reduction"),
        (replace(JOINT, sheet=replace(SHEET, reductions=(Reduction("gap", "", 0.0, ""),))), "reduction"),
        (replace(JOINT, hottest_c=math.nan), "hottest running temperature"),
        (replace(JOINT, sheet=replace(SHEET, service_limit_c=math.nan)), "service temperature"),
    ],
)
def test_bad_figures_are_refused(joint: BondedJoint, says: str) -> None:
    with pytest.raises(FitError, match=says):
        report_bond(joint, 30_000)


def test_an_uncertainty_below_zero_is_refused() -> None:
    with pytest.raises(FitError, match="uncertainty"):
        report_bond(JOINT, 30_000, -1)
