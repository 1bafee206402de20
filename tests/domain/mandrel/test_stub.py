"""How large a stub is, how true it runs, and whether the bore grew on it; the figures of the domain reference, 17."""

import pytest

from domain.answer import Answer
from domain.cutting.speeds import cut_torque_nm, cutting_force, iron_force
from domain.joints.bond import GapRange
from domain.joints.cure import CutHold
from domain.lengths import Unit
from domain.mandrel.grown import Growth, compare
from domain.mandrel.stub import (
    MandrelError,
    StubHold,
    StubSize,
    goes_on,
    round_nose_nm,
    run_out_answer,
    stub_for_all,
    stub_size,
)
from domain.mandrel.words import (
    HOLDS,
    all_words,
    cut_line,
    grown_words,
    run_out_words,
    size_brief,
    size_words,
)

GAP = GapRange(20_000, 50_000, 100_000, "data sheet")
BORE = 19_080_000


def test_a_bonded_stub_leaves_the_gap_of_the_compound() -> None:
    found = stub_size(StubHold.BOND, BORE, GAP)
    assert found == StubSize(19_030_000, 19_060_000, "data sheet")
    assert BORE - found.aim_nm == 35_000


def test_what_the_bore_is_not_sure_of_narrows_it_to_no_less_than_its_middle() -> None:
    assert stub_size(StubHold.BOND, BORE, GAP, 5_000) == StubSize(19_035_000, 19_055_000, "data sheet")
    far = stub_size(StubHold.BOND, BORE, GAP, 40_000)
    assert far is not None
    assert far.least_nm == far.most_nm == far.aim_nm == 19_045_000


@pytest.mark.parametrize("hold", [one for one in StubHold if one.turned])
def test_every_stub_that_is_turned_goes_into_its_bore(hold: StubHold) -> None:
    found = stub_size(hold, BORE, GAP)
    assert found is not None and found.source
    assert 0 < found.least_nm <= found.aim_nm <= found.most_nm <= BORE
    assert goes_on(found.most_nm, BORE)
    # Nothing is looser than the mandrel that opens.
    assert BORE - found.least_nm <= 100_000


def test_between_centres_there_is_no_stub() -> None:
    assert stub_size(StubHold.CENTRES, BORE, GAP) is None
    assert "its own axle" in size_words(None, Unit.MM)


def test_a_bore_no_larger_than_its_gap_is_refused() -> None:
    with pytest.raises(MandrelError) as refused:
        stub_size(StubHold.BOND, 50_000, GAP)
    assert refused.value.field == "bore"


def test_one_stub_for_the_set_is_where_all_windows_meet() -> None:
    windows = [stub_size(StubHold.BOND, bore, GAP) for bore in (19_070_000, 19_080_000, 19_085_000)]
    sizes = [one for one in windows if one is not None]
    found = stub_for_all(sizes)
    assert found is not None and (found.least_nm, found.most_nm) == (19_035_000, 19_050_000)
    for one in sizes:
        assert one.least_nm <= found.least_nm <= found.most_nm <= one.most_nm
    assert stub_for_all([*sizes, StubSize(19_051_000, 19_060_000, "x")]) is None
    assert stub_for_all([]) is None


def test_run_out_is_judged_by_what_is_allowed_and_a_stub_put_back_by_nothing() -> None:
    assert run_out_answer(100_000, 100_000, put_back=False) is Answer.SERVES
    assert run_out_answer(100_001, 100_000, put_back=False) is Answer.NOT
    assert run_out_answer(None, 100_000, put_back=False) is Answer.CANNOT_TELL
    assert run_out_answer(0, 100_000, put_back=True) is Answer.CANNOT_TELL
    said = run_out_words(Answer.CANNOT_TELL, 0, 100_000, Unit.MM, put_back=True)
    assert said.startswith("Cannot tell") and "until its run-out is logged again" in said
    said = run_out_words(Answer.NOT, 120_000, 100_000, Unit.INCH, put_back=False)
    assert said.startswith("No good: the stub runs out 4.7 thou (0.120 mm)") and "turn a new one" in said


def test_the_torques_of_both_cuts() -> None:
    """429 N at 65 mm; 0.25 mm deep at 0.1 mm for each turn, kc1 1150, m 0.20."""
    assert cut_torque_nm(429, 65_000_000) == pytest.approx(27.9, abs=0.05)
    force = cutting_force(250_000, 100_000, iron_force("a48-20"))
    assert force == pytest.approx(45.6, abs=0.05)
    assert cut_torque_nm(force, 65_000_000) == pytest.approx(3.0, abs=0.05)
    assert round_nose_nm(27.9) == pytest.approx((33.5, 39.1), abs=0.05)


def test_a_cut_is_said_to_be_taken_now_later_or_never() -> None:
    assert cut_line(CutHold(6.0, 45.0, 90.0, None), Unit.MM).startswith("good now")
    assert cut_line(CutHold(55.8, 45.0, 90.0, None), Unit.MM, "21:00").startswith("not before 21:00")
    assert cut_line(CutHold(95.0, 90.0, 90.0, None), Unit.MM).startswith("no good, not even fully cured")


@pytest.mark.parametrize(
    ("after", "u", "change"),
    [
        # U of the difference is 8 486 nm, its guard 7 001 nm.
        (BORE + 7_001, 6_000, Growth.SAME),
        (BORE + 7_002, 6_000, Growth.GROWN),
        (BORE - 7_001, 6_000, Growth.SAME),
        (BORE - 7_002, 6_000, Growth.SMALLER),
        (BORE + 1, 0, Growth.GROWN),
        (BORE, 0, Growth.SAME),
    ],
)
def test_a_bore_has_grown_where_the_readings_tell_it(after: int, u: int, change: Growth) -> None:
    assert compare(BORE, after, u, u).change is change


def test_without_an_instrument_nobody_can_tell() -> None:
    for sure in ((None, 6_000), (6_000, None), (None, None)):
        found = compare(BORE, BORE + 50_000, *sure)
        assert found.change is Growth.UNKNOWN and found.expanded_nm is None
        assert grown_words(found, Unit.MM).startswith("Cannot tell")


def test_what_is_said_of_it_begins_with_the_verdict() -> None:
    said = {one: grown_words(compare(BORE, BORE + nm, 6_000, 6_000), Unit.INCH) for one, nm in
            ((Growth.SAME, 2_540), (Growth.GROWN, 25_400), (Growth.SMALLER, -25_400))}  # fmt: skip
    assert said[Growth.GROWN].startswith("Take care: the hole has grown by 1.0 thou (0.025 mm)")
    assert said[Growth.SMALLER].startswith("Take care") and "compound" in said[Growth.SMALLER]
    assert said[Growth.SAME].startswith("Good") and "0.1 thou" in said[Growth.SAME]


def test_every_hold_has_its_words() -> None:
    assert set(HOLDS) == set(StubHold)


def test_ends_that_read_alike_are_one_size() -> None:
    alike = StubSize(19_080_000, 19_080_900, "data sheet")
    assert size_brief(alike, Unit.INCH) == "stub of 0.7512 in"
    assert size_words(alike, Unit.INCH) == "Turn the stub to 0.7512 in (19.080 mm) (data sheet)."
    assert size_brief(alike, Unit.MM) == "stub of 19.080 to 19.081 mm"
    assert all_words(alike, 2, Unit.INCH).startswith("One stub of 0.7512 in (19.080 mm) suits all 2 bores")
