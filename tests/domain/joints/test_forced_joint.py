import random
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.answer import Answer
from domain.joints.friction import Friction, friction
from domain.joints.held import state_at
from domain.joints.kinds import FitError, FitKind, Kind
from domain.joints.materials import Iron, Steel, iron, irons
from domain.joints.roughness import Roughness, editions, smoothing_nm
from domain.joints.terms import ForcedJoint, Joint
from domain.joints.words import cut_off
from domain.lengths import Unit
from tests.domain.joint_reports import judge_fit, report_forced

MPA_PER_PSI = 6.894757293168e-3
GPA_PER_MPSI = 6.894757293168
PRESS = ForcedJoint(
    FitKind.PRESS, 15_000_000, 32_000_000, 14_000_000, iron("en-gjl-250"), friction(FitKind.PRESS, "oiled")
)
SHRINK = replace(PRESS, kind=FitKind.SHRINK, friction=friction(FitKind.SHRINK, "degreased"))


def exact_iron(young: float, poisson: float, tensile: float) -> Iron:
    return Iron("own", "own iron", young, young, poisson, tensile, tensile, 10.5e-6, "typed")


@st.composite
def joints(draw: st.DrawFn) -> ForcedJoint:
    seat = draw(st.integers(3_000_000, 50_000_000))
    boss = seat + draw(st.integers(seat // 20, 3 * seat))
    kind, state = draw(
        st.sampled_from([("press", "dry"), ("press", "oiled"), ("shrink", "degreased"), ("shrink", "oiled")])
    )
    return ForcedJoint(
        FitKind(kind),
        seat,
        boss,
        draw(st.integers(2_000_000, 60_000_000)),
        draw(st.sampled_from(irons())),
        friction(FitKind(kind), state),
        roughness=Roughness(draw(st.integers(0, 20_000)), draw(st.integers(0, 20_000))),
        edition=draw(st.sampled_from(editions())),
        factor_wanted=draw(st.sampled_from([1.0, 2.0, 2.5, 4.0])),
    )


deltas = st.integers(-20_000, 80_000)
doubts = st.integers(0, 15_000)


def test_norton_example_10_5() -> None:
    # Norton, Machine Design, 4th ed., example 10-5: 0.781 in steel shaft, 3.00 in class 30 hub 1.50 in long,
    # interference 0.0015 in, E 30 and 14 Mpsi, nu 0.28 both: p = 15 265 psi.
    joint = ForcedJoint(
        FitKind.PRESS,
        19_837_400,
        76_200_000,
        38_100_000,
        exact_iron(14 * GPA_PER_MPSI, 0.28, 207),
        Friction("own", "as typed", 0.15, 0.15, "typed"),
        steel=Steel("own", "own steel", 30 * GPA_PER_MPSI, 0.28, 11.5e-6, "typed"),
    )
    report = report_forced(joint, 38_100)
    for state in (report.nominal, report.most_strained, report.least_grip):
        assert state.pressure_mpa / MPA_PER_PSI == pytest.approx(15_265, abs=1)


def test_own_case() -> None:
    # Worked by hand from Shigley 9th ed., eqs 7-39 to 7-47: d 15, D 32, l 14, delta 0.010, E 210/100, mu 0.12.
    joint = replace(
        PRESS, iron=exact_iron(100, 0.26, 250), friction=Friction("own", "as typed", 0.12, 0.12, "typed")
    )
    report = report_forced(joint, 10_000)
    assert report.nominal.pressure_mpa == pytest.approx(30.914, abs=0.0005)
    assert report.nominal.hoop_mpa == pytest.approx(48.325, abs=0.0005)
    assert report.axial_n == report.pressing_force_n == pytest.approx(2447.4, abs=0.05)
    assert report.torque_nm == pytest.approx(18.355, abs=0.0005)
    assert report.factor == pytest.approx(250 / 48.325, abs=0.001)


def test_heating_opens_the_bore_by_what_it_must() -> None:
    # Thermal expansion turned round: a 15 mm bore of alpha 10.5e-6 heated from 18 C opens by delta + U + room.
    joint = replace(SHRINK, room_c=18, assembly_clearance_nm=15_000)
    heat = report_forced(joint, 10_000, 3_000).heat_to_c
    assert heat is not None
    assert 15 * 10.5e-6 * (heat - 18) == pytest.approx(0.010 + 0.003 + 0.015)
    assert report_forced(PRESS, 10_000).heat_to_c is None


def test_smoothing_does_not_cool_the_wheel_nor_spare_the_boss() -> None:
    # The peaks have to pass before they flatten, and peaks that do not flatten must not crack the boss.
    rough = replace(SHRINK, roughness=Roughness(6_300, 6_300))
    plain, smoothed = report_forced(SHRINK, 20_000), report_forced(rough, 20_000)
    assert smoothed.heat_to_c == plain.heat_to_c
    assert smoothed.most_strained == plain.most_strained
    assert smoothed.nominal.interference_nm == 20_000 - 10_080
    assert smoothed.torque_nm < plain.torque_nm


@given(joints(), st.integers(-100_000, 100_000), st.integers(1_000, 60_000), st.integers(0, 60_000))
def test_with_nothing_in_doubt_it_agrees_with_the_judging_of_a_bore(
    joint: ForcedJoint, delta: int, least: int, more: int
) -> None:
    joint = replace(joint, roughness=Roughness(), wanted_nm=(least, least + more))
    keys = (joint.boss_nm, joint.length_nm, least, least + more, joint.iron.key, joint.factor_wanted)
    drawn = Joint(joint.kind, joint.seat_nm, joint.seat_nm, *keys)
    if not 0 < joint.seat_nm - delta < joint.boss_nm:
        return
    verdict = judge_fit(drawn, joint.seat_nm - delta, joint.seat_nm, Unit.MM)
    report = report_forced(joint, delta)
    assert report.answer is verdict.answer
    assert report.factor == verdict.factor
    if verdict.hoop_mpa is not None:
        assert report.most_strained.hoop_mpa == verdict.hoop_mpa
    if verdict.torque_nm is not None and joint.friction.key == "oiled":
        assert report.torque_nm == verdict.torque_nm


@given(joints(), deltas, doubts)
def test_the_worst_corners_are_the_worst_of_every_corner(joint: ForcedJoint, delta: int, doubt: int) -> None:
    report, off = report_forced(joint, delta, doubt), smoothing_nm(joint.roughness, joint.edition)
    one = joint.iron
    states = [
        state_at(joint, "corner", max(0, delta + sign * doubt - smoothed), young, mu)
        for sign, smoothed, young, mu in product(
            (-1, 0, 1),
            (0, off),
            (one.young_low_gpa, one.young_high_gpa),
            (joint.friction.least, joint.friction.most),
        )
    ]
    hoop = max(state.hoop_mpa for state in states)
    assert report.most_strained.hoop_mpa == hoop
    assert report.most_strained.pressure_mpa == max(state.pressure_mpa for state in states)
    assert report.most_strained.axial_n == max(state.axial_n for state in states)
    assert report.axial_n == min(state.axial_n for state in states)
    assert report.torque_nm == min(state.torque_nm for state in states)
    factors = [
        t / s.hoop_mpa for s in states if s.hoop_mpa for t in (one.tensile_low_mpa, one.tensile_high_mpa)
    ]
    assert report.factor == min(factors, default=None)


@pytest.mark.parametrize("joint", [PRESS, SHRINK, replace(PRESS, iron=iron("a48-20"))])
def test_monte_carlo_stays_inside_the_corners(joint: ForcedJoint) -> None:
    joint = replace(joint, roughness=Roughness(3_200, 6_300))
    delta, doubt, chance, one = 20_000, 4_000, random.Random(19), joint.iron
    report, off = report_forced(joint, delta, doubt), smoothing_nm(joint.roughness, joint.edition)
    assert report.factor is not None
    for _ in range(3_000):
        left = round(chance.uniform(delta - doubt, delta + doubt) - chance.uniform(0, off))
        young = chance.uniform(one.young_low_gpa, one.young_high_gpa)
        mu = chance.uniform(joint.friction.least, joint.friction.most)
        state = state_at(joint, "drawn", left, young, mu)
        assert report.least_grip.pressure_mpa <= state.pressure_mpa <= report.most_strained.pressure_mpa
        assert report.factor <= chance.uniform(one.tensile_low_mpa, one.tensile_high_mpa) / state.hoop_mpa
        assert report.axial_n <= state.axial_n <= report.most_strained.axial_n
        assert report.torque_nm <= state.torque_nm


@given(joints(), deltas, doubts, st.integers(0, 20_000))
def test_more_interference_never_strains_less_nor_holds_less(
    joint: ForcedJoint, delta: int, doubt: int, more: int
) -> None:
    less, tighter = report_forced(joint, delta, doubt), report_forced(joint, delta + more, doubt)
    assert tighter.most_strained.hoop_mpa >= less.most_strained.hoop_mpa
    assert tighter.torque_nm >= less.torque_nm


@given(joints(), st.integers(1_000, 80_000), st.integers(100_000, 40_000_000))
def test_a_wider_boss_is_gripped_harder_and_strained_less(joint: ForcedJoint, delta: int, wider: int) -> None:
    # hoop = delta k / (a (k + nu) + b) rises with k = (D^2 + d^2)/(D^2 - d^2), and k falls as D grows.
    narrow, wide = (
        report_forced(joint, delta),
        report_forced(replace(joint, boss_nm=joint.boss_nm + wider), delta),
    )
    assert wide.most_strained.pressure_mpa > narrow.most_strained.pressure_mpa
    assert wide.most_strained.hoop_mpa < narrow.most_strained.hoop_mpa
    assert (wide.safe_interference_nm or 0) >= (narrow.safe_interference_nm or 0)


@given(joints())
def test_pressure_runs_to_zero_with_the_interference(joint: ForcedJoint) -> None:
    joint = replace(joint, roughness=Roughness())
    at = {delta: report_forced(joint, delta).most_strained.pressure_mpa for delta in (-1, 0, 1, 2)}
    assert at[-1] == at[0] == 0
    assert 0 < at[1] < 0.2  # a nanometre cannot jump
    assert at[2] == pytest.approx(2 * at[1])


@given(joints(), doubts)
def test_the_safe_interference_is_the_last_that_keeps_the_factor(joint: ForcedJoint, doubt: int) -> None:
    safe = report_forced(joint, 5_000, doubt).safe_interference_nm
    if safe is None:
        factor = report_forced(joint, 2, doubt).factor
        assert factor is not None
        assert factor < joint.factor_wanted
        return
    at_safe, past = report_forced(joint, safe, doubt), report_forced(joint, safe + 3, doubt)
    assert at_safe.finding is not Kind.CRACKS
    assert past.factor is not None
    assert past.factor < joint.factor_wanted
    assert past.finding is Kind.CRACKS


@given(joints(), st.integers(1, 80_000), doubts, st.integers(0, 10_000))
def test_a_poorer_instrument_never_helps(joint: ForcedJoint, delta: int, doubt: int, more: int) -> None:
    good, poor = report_forced(joint, delta, doubt), report_forced(joint, delta, doubt + more)
    assert (poor.factor or 0) <= (good.factor or 0)
    assert poor.torque_nm <= good.torque_nm
    assert (poor.safe_interference_nm or 0) <= (good.safe_interference_nm or 0)
    if good.answer is Answer.NOT:
        assert poor.answer is Answer.NOT


@pytest.mark.parametrize(
    ("joint", "delta", "doubt", "finding", "answer"),
    [
        (PRESS, 10_000, 2_000, Kind.GOOD, Answer.SERVES),
        (PRESS, 18_000, 2_000, Kind.STRAINED, Answer.CAUTION),
        (PRESS, 22_000, 2_000, Kind.CRACKS, Answer.NOT),
        (PRESS, 3_000, 3_000, Kind.GRIP_NOT_TOLD, Answer.CANNOT_TELL),
        (replace(PRESS, wanted_nm=(4_000, 9_000)), 3_000, 3_000, Kind.LOOSE, Answer.NOT),
        (replace(PRESS, roughness=Roughness(6_300, 6_300)), 10_000, 0, Kind.MAY_NOT_GRIP, Answer.NOT),
        (PRESS, 0, 2_000, Kind.NO_GRIP, Answer.NOT),
        (PRESS, -30_000, 2_000, Kind.NO_GRIP, Answer.NOT),
        (replace(PRESS, press_capacity_n=1_000), 10_000, 0, Kind.WEAK_PRESS, Answer.CAUTION),
        (replace(PRESS, press_capacity_n=1_500), 10_000, 0, Kind.GOOD, Answer.SERVES),
        (replace(SHRINK, press_capacity_n=1), 10_000, 0, Kind.GOOD, Answer.SERVES),
        (replace(PRESS, wanted_nm=(11_000, 14_000)), 10_000, 0, Kind.LOOSE, Answer.NOT),
        (replace(PRESS, wanted_nm=(6_000, 9_000)), 10_000, 0, Kind.TIGHT, Answer.CAUTION),
    ],
)
def test_findings(joint: ForcedJoint, delta: int, doubt: int, finding: Kind, answer: Answer) -> None:
    report = report_forced(joint, delta, doubt)
    assert (report.finding, report.answer) == (finding, answer)


def test_where_only_the_uncertainty_takes_the_grip_away_both_are_shown() -> None:
    report = report_forced(PRESS, 3_000, 3_000)
    assert (report.torque_nm, report.axial_n) == (0, 0)
    assert report.torque_measured_nm == report_forced(PRESS, 3_000).torque_nm > 0
    assert (
        "Cannot tell with this instrument: at worst the interference is 0.003 mm less 0.003 mm"
        in report.reason
    )
    rows = {w.name: w.result for w in report.workings}
    assert rows["torque held, at worst"] == "0.0 N m"
    assert rows["torque held, as measured"] == f"{report.torque_measured_nm:.1f} N m"


def test_the_pressing_force_is_set_beside_the_press() -> None:
    # By hand: p = 0.010 / 2.81763e-4 = 35.491 MPa at E 118; F = 0.06 pi 15 14 35.491 = 1404.9 N.
    report = report_forced(replace(PRESS, press_capacity_n=1_000), 10_000)
    assert report.pressing_force_n == pytest.approx(1404.9, abs=0.1)
    assert report.press_is_enough is False
    assert "may take 1405 N (316 lbf) and the press gives 1000 N (225 lbf)" in report.reason
    assert report_forced(PRESS, 10_000).press_is_enough is None
    assert report_forced(SHRINK, 10_000).pressing_force_n is None


def test_a_refused_fit_says_what_would_be_safe() -> None:
    # By hand: 250/2 MPa of hoop, over 1.56320, is 79.964 MPa of pressure, which is 0.02253 mm: less U 0.018 mm.
    report = report_forced(PRESS, 30_000, 4_000)
    assert report.safe_interference_nm == 18_529
    assert report.reason == (
        "At worst the boss is strained to 189 MPa and the iron is sure of 250 MPa, a factor of 1.32, where 2 is"
        " wanted. Up to 0.018 mm (0.0007 in) as measured keeps a factor of 2."
    )


def test_a_limit_is_cut_off_in_both_systems() -> None:
    # 22.86 um would be 0.0009 in: more than the 22.529 um that are safe.
    assert cut_off(22_529, Unit.INCH) == "0.8 thou (0.022 mm)"


def test_a_thin_boss_with_a_poor_instrument_has_nothing_safe() -> None:
    thin = replace(PRESS, boss_nm=16_000_000)
    assert report_forced(thin, 5_000, 30_000).safe_interference_nm is None
    assert "Measure more closely" in report_forced(thin, 5_000, 30_000).reason


def test_a_very_hot_wheel_is_cautioned_and_a_warm_one_is_not() -> None:
    hot = " ".join(report_forced(replace(SHRINK, assembly_clearance_nm=30_000), 10_000).cautions)
    warm = " ".join(report_forced(replace(SHRINK, assembly_clearance_nm=5_000), 10_000).cautions)
    assert "very hot" in hot
    assert "very hot" not in warm
    assert "does not look hot" in warm


def test_the_usual_cautions_stand_by_the_press() -> None:
    said = " ".join(report_forced(PRESS, 10_000).cautions)
    assert "behind a guard" in said
    assert "No roughness is given" in said
    assert "competent person decide" in said


@pytest.mark.parametrize("joint", [PRESS, SHRINK])
def test_every_figure_opens_its_working_with_its_source(joint: ForcedJoint) -> None:
    report = report_forced(joint, 10_000, 2_000)
    names = [one.name for one in report.workings]
    assert all((one.formula and one.numbers and one.result and one.source) for one in report.workings)
    assert ("pressing force, at most" in names) is (joint.kind is FitKind.PRESS)
    assert ("heat the wheel to" in names) is (joint.kind is FitKind.SHRINK)
    for name in (
        "factor against cracking, at worst",
        "torque held, at least",
        "interference that would be safe",
    ):
        assert name in names


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"kind": FitKind.BOND}, "bond is not forced"),
        ({"boss_nm": 15_000_000}, "must be smaller than the boss"),
        ({"length_nm": -1}, "length gripped must be above zero"),
        ({"seat_nm": 0}, "seat must be above zero"),
        ({"iron": replace(iron("en-gjl-250"), tensile_low_mpa=0)}, "tensile strength of EN-GJL-250"),
        ({"iron": replace(iron("en-gjl-250"), young_low_gpa=200)}, "stiffness E of EN-GJL-250"),
        ({"factor_wanted": 0.5}, "factor against cracking"),
        ({"factor_wanted": float("nan")}, "factor against cracking"),
        ({"press_capacity_n": 0}, "press gives must be above zero"),
        ({"assembly_clearance_nm": -1}, "room for sliding"),
        ({"wanted_nm": (9_000, 8_000)}, "interference wanted must rise"),
        ({"room_c": 68}, "in C, not F"),
        ({"room_c": float("nan")}, "in C, not F"),
        ({"roughness": Roughness(-1, 0)}, "roughness Rz of the bore"),
    ],
)
def test_a_joint_that_cannot_be_is_refused_in_a_sentence(change: dict[str, object], says: str) -> None:
    with pytest.raises(ValueError, match=says) as caught:
        report_forced(replace(PRESS, **change), 10_000)
    assert "such as" in str(caught.value) or "choose" in str(caught.value)


def test_an_uncertainty_below_zero_is_refused() -> None:
    with pytest.raises(FitError, match="uncertainty"):
        report_forced(PRESS, 10_000, -1)


def test_a_factor_exactly_as_wanted_is_allowed() -> None:
    factor = report_forced(PRESS, 18_000).factor
    assert factor is not None
    assert report_forced(replace(PRESS, factor_wanted=factor), 18_000).finding is Kind.STRAINED
