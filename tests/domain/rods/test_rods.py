"""The verdict on an engine: which axles bind, by how much, why, and what frees them; and what no engine can have."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.lengths import Unit, parse_length
from domain.rods.engine import RodAxle, RodEngine, RodsError, RodSide, RodSpan, check_engine
from domain.rods.judging import PairVerdict, RodsVerdict, judge_rods
from domain.rods.lack import RodsAnswer
from domain.rods.remedies import Fault, corrected
from domain.rods.words import (
    figure_words,
    headline,
    pair_headline,
    pair_reasons,
    pair_workings,
    proposal_words,
)

AXLE = RodAxle(22_225_000, 22_225_000, 90.0, 6_000, 6_000, 0.02)
SIDE = RodSide(130_000_000, 130_000_000, 80_000, 0, 6_000, 6_000, 4_000)


def engine_of(*turns: float, side: RodSide = SIDE, right_leads: bool = True) -> RodEngine:
    axles = tuple(replace(AXLE, quarter_deg=90.0 + turn) for turn in turns)
    return RodEngine(axles, (RodSpan(side, side),) * (len(turns) - 1), right_leads)


def said(engine: RodEngine, found: RodsVerdict) -> list[str]:
    return [proposal_words(engine, one, Unit.MM) for one in found.proposals]


def reasons(engine: RodEngine, pair: PairVerdict) -> tuple[str, ...]:
    return pair_reasons(engine, pair, Unit.MM)


def test_the_axle_that_binds_is_named_with_the_one_correction_and_then_goes() -> None:
    engine = engine_of(0.03, 0.03, 0.55, side=replace(SIDE, clearance_nm=100_000))
    found = judge_rods(engine, Unit.MM)
    assert found.answer is RodsAnswer.BINDS
    assert [pair.answer for pair in found.pairs] == [RodsAnswer.GOES, RodsAnswer.BINDS]
    assert headline(found, Unit.MM).startswith("The rods bind: axles 2 and 3 lack 0.063 mm")
    bad = found.pairs[1]
    assert bad.more_nm == pytest.approx(2 * (bad.lacking_nm or 0) + 2 * bad.guard_nm, abs=5)
    assert bad.main is not None and bad.main.fault is Fault.QUARTERING
    assert bad.needed_nm == pytest.approx(71_400, abs=400)
    assert bad.lacking_nm == pytest.approx(bad.needed_nm - 50_000, abs=1)
    assert bad.clearance_nm == 2 * bad.needed_nm
    assert said(engine, found)[0].startswith(
        "Axle 3: set its right wheel backwards by 0.52 degrees, 0.202 mm"
    )
    assert said(engine, found)[0].endswith("Then all rods go round.")
    assert found.plan == found.proposals[:1]
    freed = judge_rods(corrected(engine, found.plan[0].correction), Unit.MM)
    assert freed.answer is RodsAnswer.GOES
    assert headline(freed, Unit.MM) == "The rods go round"
    assert freed.plan == ()


@pytest.mark.parametrize(("right_leads", "way"), [(True, "backwards"), (False, "forwards")])
def test_which_way_the_right_pin_goes_depends_on_the_lead(right_leads: bool, way: str) -> None:
    engine = engine_of(0.0, 0.0, 0.5, right_leads=right_leads)
    assert said(engine, judge_rods(engine, Unit.MM))[0].startswith(f"Axle 3: set its right wheel {way} by")


@pytest.mark.parametrize("count", range(2, 7))
def test_two_to_six_axles_with_unlike_wheelbases(count: int) -> None:
    engine = engine_of(*[0.01 * n for n in range(count)])
    spans = tuple(
        RodSpan(*(replace(SIDE, centre_nm=c, rod_nm=c) for c in (nm, nm)))
        for nm in range(110_000_000, 110_000_000 + 15_000_000 * (count - 1), 15_000_000)
    )
    found = judge_rods(replace(engine, spans=spans), Unit.INCH)
    assert [(pair.first, pair.second) for pair in found.pairs] == [(n, n + 1) for n in range(1, count)]
    assert found.answer is RodsAnswer.GOES


def test_a_clearance_of_sure_size_goes() -> None:
    """What is said to do for sure is judged as going when it is bored."""
    engine = engine_of(0.0, 0.4)
    sure = judge_rods(engine, Unit.MM).pairs[0].clearance_sure_nm
    wider = RodSpan(*(replace(SIDE, clearance_nm=sure + 2),) * 2)
    assert judge_rods(replace(engine, spans=(wider,)), Unit.MM).answer is RodsAnswer.GOES


def test_cannot_tell_says_what_to_measure() -> None:
    engine = engine_of(0.0, 0.24)
    found = judge_rods(engine, Unit.MM)
    assert found.answer is RodsAnswer.CANNOT_TELL
    assert reasons(engine, found.pairs[0])[2].startswith("Measure ")
    assert (
        headline(found, Unit.MM)
        == "Cannot tell whether the rods go round: axles 1 and 2 are too near the limit"
    )


def test_at_the_very_limit_no_measurement_settles_it() -> None:
    engine = engine_of(0.0, 0.29)
    pair = judge_rods(engine, Unit.MM).pairs[0]
    assert pair.answer is RodsAnswer.CANNOT_TELL
    assert reasons(engine, pair)[2].startswith("No better measurement would settle it")


def test_without_clearances_the_play_is_said() -> None:
    found = judge_rods(engine_of(0.0, 0.3, side=replace(SIDE, clearance_nm=None)), Unit.MM)
    assert found.answer is RodsAnswer.NO_CLEARANCE
    assert found.pairs[0].lacking_nm is None
    assert headline(found, Unit.MM).startswith("The rods need up to 0.102 mm")
    assert found.pairs[0].more_nm == pytest.approx(found.pairs[0].clearance_sure_nm, abs=5)
    assert found.proposals[0].frees is None


def test_slack_is_said_but_not_counted_upon() -> None:
    engine = engine_of(0.0, 0.5, side=replace(SIDE, slack_nm=60_000))
    found = judge_rods(engine, Unit.MM)
    pair = found.pairs[0]
    assert pair.answer is RodsAnswer.BINDS
    assert pair.lacking_nm is not None and pair.with_slack_nm == pytest.approx(
        pair.lacking_nm - 60_000, abs=50
    )
    assert any("do not count on it" in reason for reason in reasons(engine, pair))
    goes = judge_rods(engine_of(0.0, 0.0, side=replace(SIDE, slack_nm=60_000)), Unit.MM).pairs[0]
    assert goes.answer is RodsAnswer.GOES
    # Both centre distances wrong by x need x: 0.060 less the 0.040 that the bushes give.
    assert goes.against_slack_nm == pytest.approx(20_000, abs=200)
    assert any("knock" in reason for reason in reasons(engine, goes))


def test_throws_that_differ_are_said_to_have_no_cure() -> None:
    engine = engine_of(0.0, 0.0)
    axles = (engine.axles[0], replace(AXLE, left_throw_nm=22_300_000))
    engine = replace(engine, axles=axles)
    found = judge_rods(engine, Unit.MM)
    assert found.pairs[0].main is not None and found.pairs[0].main.fault is Fault.LEFT_THROWS
    assert any("exchange a wheel" in reason for reason in reasons(engine, found.pairs[0]))
    assert found.proposals == ()


def test_every_figure_has_its_working_with_a_source() -> None:
    for pair in judge_rods(engine_of(0.0, 0.4, 0.1), Unit.MM).pairs:
        workings = pair_workings(pair, Unit.MM)
        assert len(workings) >= 4
        assert all(one.formula and one.numbers and one.result and one.source for one in workings)


SPAN = RodSpan(SIDE, SIDE)
BAD = {
    "axles": RodEngine((AXLE,), ()),
    "spans": RodEngine((AXLE,) * 3, (SPAN,)),
    "axle.2.left_throw": RodEngine((AXLE, replace(AXLE, left_throw_nm=24_000_000)), (SPAN,)),
    "axle.1.right_throw": RodEngine((replace(AXLE, right_throw_nm=0), AXLE), (SPAN,)),
    "axle.1.quarter": RodEngine((replace(AXLE, quarter_deg=float("nan")), AXLE), (SPAN,)),
    "axle.2.quarter": RodEngine((AXLE, replace(AXLE, quarter_deg=94.0)), (SPAN,)),
    "axle.2.u": RodEngine((AXLE, replace(AXLE, quarter_u_deg=-0.1)), (SPAN,)),
    "span.1.left.rod": RodEngine((AXLE, AXLE), (RodSpan(replace(SIDE, rod_nm=20_000_000), SIDE),)),
    "span.1.right.rod": RodEngine((AXLE, AXLE), (RodSpan(SIDE, replace(SIDE, rod_nm=132_000_000)),)),
    "span.1.right.centre": RodEngine((AXLE, AXLE), (RodSpan(SIDE, replace(SIDE, centre_nm=1_000_000)),)),
    "span.1.left.slack": RodEngine((AXLE, AXLE), (RodSpan(replace(SIDE, slack_nm=-1), SIDE),)),
    "span.1.left.clearance": RodEngine((AXLE, AXLE), (RodSpan(replace(SIDE, clearance_nm=5_000_000), SIDE),)),
    "span.1.right.u": RodEngine((AXLE, AXLE), (RodSpan(SIDE, replace(SIDE, rod_u_nm=-1)),)),
}


@pytest.mark.parametrize("field", BAD)
def test_what_no_engine_can_have_is_refused_in_a_sentence(field: str) -> None:
    with pytest.raises(RodsError) as caught:
        judge_rods(BAD[field], Unit.MM)
    assert caught.value.field == field
    assert str(caught.value).endswith(".") and "\n" not in str(caught.value)


def test_a_rod_shorter_than_the_throw_is_named() -> None:
    with pytest.raises(RodsError, match="no longer than the throw"):
        check_engine(BAD["span.1.left.rod"], Unit.MM)


@pytest.mark.parametrize("count", [0, 7])
def test_too_few_or_too_many_axles(count: int) -> None:
    with pytest.raises(RodsError, match="two to six"):
        check_engine(RodEngine((AXLE,) * count, (SPAN,) * max(0, count - 1)), Unit.MM)


def test_every_sentence_has_the_numbers_the_axles_have_on_the_engine() -> None:
    """Carrying axles stand between: counted from the front 1 and 2, on the engine 3 and 5."""
    engine = replace(engine_of(0.0, 0.5), numbers=(3, 5))
    found = judge_rods(engine, Unit.MM)
    told = " ".join(
        (
            headline(found, Unit.MM),
            pair_headline(found.pairs[0], Unit.MM),
            *reasons(engine, found.pairs[0]),
            *said(engine, found),
            *(figure_words(one.figure, engine) for one in found.pairs[0].lack.contributions),
        )
    )
    assert {int(one) for one in re.findall(r"\b[Aa]xles? (\d)\b", told)} == {3, 5}
    assert "axles 3 and 5 lack" in told and "axle 5 is 0.50 degrees wider than axle 3" in told
    assert "left rod of axles 3 and 5" in told and "quarter angle of axle 5" in told
    with pytest.raises(RodsError, match="quarter angles of axles 3 and 5 are more than 3 degrees apart"):
        check_engine(replace(engine_of(0.0, 4.0), numbers=(3, 5)), Unit.MM)


_LENGTH = st.integers(-60_000, 60_000)


@given(
    centres=st.tuples(_LENGTH, _LENGTH),
    throws=st.tuples(_LENGTH, _LENGTH),
    turn=st.floats(-0.4, 0.4),
    clearances=st.tuples(st.integers(0, 80_000), st.integers(0, 80_000)),
    unsure=st.sampled_from((0, 4_000)),
    unit=st.sampled_from((Unit.MM, Unit.INCH)),
)
@settings(max_examples=40, deadline=None)
def test_the_clearance_that_is_lacking_typed_in_addition_makes_them_go(
    centres: tuple[int, int],
    throws: tuple[int, int],
    turn: float,
    clearances: tuple[int, int],
    unsure: int,
    unit: Unit,
) -> None:
    """What is told, read off as it is shown, and added to what stands in the fields: then it goes, and not with less."""
    left, right = (
        RodSide(130_000_000 + off, 130_000_000, free, 0, unsure, unsure, unsure)
        for off, free in zip(centres, clearances, strict=True)
    )
    first = RodAxle(22_225_000, 22_225_000, 90.0, unsure, unsure)
    second = replace(first, left_throw_nm=22_225_000 + throws[0], right_throw_nm=22_225_000 + throws[1],
        quarter_deg=90.0 + turn)  # fmt: skip
    found = judge_rods(RodEngine((first, second), (RodSpan(left, right),)), unit)
    if found.answer is not RodsAnswer.BINDS:
        return
    told = re.search(r"lack ([\d.]+) (mm|thou|in)", headline(found, unit))
    assert told is not None
    more = parse_length(f"{told[1]} {told[2]}", unit).nm

    def answer(added: int) -> RodsAnswer:
        sides = (replace(one, clearance_nm=(one.clearance_nm or 0) + added) for one in (left, right))
        return judge_rods(RodEngine((first, second), (RodSpan(*sides),)), unit).answer

    assert answer(more) is RodsAnswer.GOES
    if more > 2_540:
        assert answer(more - 2_540) is not RodsAnswer.GOES


@pytest.mark.parametrize(
    ("spare", "said_too"), [(20_000, ""), (4_000, "0.004 mm (0.0002 in) of clearance"), (0, "no clearance")]
)
def test_next_to_nothing_in_hand_is_said(spare: int, said_too: str) -> None:
    """Both rods 0.020 mm too long ask for 0.040 mm: geometry."""
    side = RodSide(150_000_000, 150_020_000, 40_000 + spare)
    axle = RodAxle(25_400_000, 25_400_000, 90.0)
    found = judge_rods(RodEngine((axle, axle), (RodSpan(side, side),)), Unit.MM)
    assert found.answer is RodsAnswer.GOES and found.worst.little is bool(said_too)
    more = f", but axles 1 and 2 have {said_too} in hand" if said_too else ""
    assert headline(found, Unit.MM) == f"The rods go round{more}"
