"""The whole answer about a joint in one line: the one verdict, what is wrong, and by how much."""

from hypothesis import given
from hypothesis import strategies as st

from domain.answer import Answer
from domain.joints.judge import Case, Finding, judge
from domain.joints.kinds import FitKind, Kind
from domain.joints.terms import Joint, Size
from domain.joints.words import line, size_in_short
from domain.lengths import Unit

SEAT = 19_050_000
BOND = Joint(FitKind.BOND, SEAT, SEAT, 38_100_000, 14_000_000, 20_000, 50_000, "en-gjl-200")
PRESS = Joint(FitKind.PRESS, SEAT, SEAT, 38_100_000, 14_000_000, 8_000, 16_000, "en-gjl-200")
SHRINK = Joint(FitKind.SHRINK, SEAT, SEAT, 38_100_000, 14_000_000, 8_000, 16_000, "en-gjl-200")


def found(joint: Joint, gap_nm: int, unit: Unit = Unit.MM) -> Finding:
    return judge(Case(joint, Size(SEAT + gap_nm), Size(SEAT), "not asked here", None, unit))


def test_how_far_off_is_counted_from_the_end_of_what_is_wanted() -> None:
    # 0.020 to 0.050 mm is wanted: 0.160 is 0.110 over, 0.012 is 0.008 under.
    assert line(found(BOND, 160_000)) == "No good: too slack by 0.110 mm"
    assert line(found(BOND, 12_000)) == "No good: too tight by 0.008 mm"
    # 8 to 16 um of interference: 3 um of it grips 5 um too little; none at all is 8 um off and a gap more.
    assert line(found(PRESS, -3_000)) == "No good: too slack by 0.005 mm"
    assert line(found(PRESS, 4_000)) == "No good: too slack by 0.012 mm"
    # In thou: 0.110 mm / 0.0254 = 4.3.
    assert line(found(BOND, 160_000, Unit.INCH)) == "No good: too slack by 4.3 thou"
    # A thousandth of a millimetre is less than a tenth of a thou: nothing is shown as "by 0.0 thou".
    assert line(found(PRESS, -7_000, Unit.INCH)) == "No good: just too slack"


def test_a_boss_that_may_crack_is_named_and_not_measured_off() -> None:
    it = found(PRESS, -200_000)
    assert it.by_size is Kind.CRACKS
    assert line(it) == "No good: the boss may crack, interference 0.200 mm"


def test_the_size_in_short() -> None:
    assert size_in_short(found(BOND, 33_000)) == "gap 0.033 mm"
    assert size_in_short(found(SHRINK, -12_000)) == "interference 0.012 mm"
    assert size_in_short(found(PRESS, 12_000)) == "slack 0.012 mm"


@given(st.sampled_from([BOND, PRESS, SHRINK]), st.integers(-300_000, 300_000), st.sampled_from(list(Unit)))
def test_the_line_says_the_one_answer_and_no_negative_size(joint: Joint, gap_nm: int, unit: Unit) -> None:
    it = found(joint, gap_nm, unit)
    said = line(it)
    assert said.startswith(f"{it.answer.words.capitalize()}: ")
    assert "-" not in said and "None" not in said
    if it.by_size.answer is Answer.NOT and "by" in said:
        assert ("slack" in said) == (gap_nm > (joint.middle_nm))
