"""A tyre's logged figures against the printed limits, with the guard band of the instrument."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.lengths import NM_PER_MM, Unit, parse_length
from domain.measuring.decision import DecisionError
from domain.treads.judging import (
    Limits,
    MeasuredSize,
    TreadAnswer,
    TreadError,
    TreadFigure,
    judge_figure,
    judge_tyre,
    limits_of,
)
from domain.treads.wheel_standard import preset
from domain.treads.words import figure_remedy, figure_words


def _in(text: str) -> int:
    return parse_length(text, Unit.INCH).nm


def _limits(key: str) -> dict[str, tuple[int | None, int | None]]:
    return {what.name: (one.low_nm, one.high_nm) for what, one in limits_of(preset(key)).items()}


# International Brotherhood of Live Steamers, Wheel Standard; NMRA S-4.2; Gauge One MRA, standard dimensions, 2009.
def test_directions_of_the_printed_limits() -> None:
    assert _limits("ibls-5") == {
        "FLANGE_WIDTH": (None, _in("0.125")),
        "FLANGE_DEPTH": (None, _in("0.140")),
        "TYRE_WIDTH": (_in("0.505"), None),
        "ROOT_RADIUS": (_in("0.062"), _in("0.083")),
    }
    assert _limits("nmra-1-in-scale") == {
        "FLANGE_DEPTH": (None, _in("0.156")),
        "TYRE_WIDTH": (_in("0.500"), None),
    }
    assert _limits("gauge-1") == {
        "FLANGE_WIDTH": (1_000_000, 1_500_000),
        "FLANGE_DEPTH": (None, 2_000_000),
        "TYRE_WIDTH": (5_500_000, 6_000_000),
        "ROOT_RADIUS": (500_000, None),
    }


# ISO 14253-1:2017, guard band 1.65 u = 0.825 U: with U 0.020 mm it is 0.0165 mm.
@pytest.mark.parametrize(
    ("off_nm", "answer"),
    [
        (-16_500, TreadAnswer.GOOD),
        (-16_499, TreadAnswer.CANNOT_TELL),
        (0, TreadAnswer.CANNOT_TELL),
        (16_500, TreadAnswer.CANNOT_TELL),
        (16_501, TreadAnswer.NO_GOOD),
    ],
)
def test_guard_band_at_a_maximum_and_at_a_minimum(off_nm: int, answer: TreadAnswer) -> None:
    limits = limits_of(preset("ibls-5"))
    most = judge_figure(
        TreadFigure.FLANGE_DEPTH,
        MeasuredSize(_in("0.140") + off_nm, 20_000),
        limits[TreadFigure.FLANGE_DEPTH],
        Unit.INCH,
    )
    least = judge_figure(
        TreadFigure.TYRE_WIDTH,
        MeasuredSize(_in("0.505") - off_nm, 20_000),
        limits[TreadFigure.TYRE_WIDTH],
        Unit.INCH,
    )
    assert most.answer is least.answer is answer
    # Another cut is never suggested where only the instrument is in doubt.
    assert bool(figure_remedy(most)) == bool(figure_remedy(least)) == (answer is TreadAnswer.NO_GOOD)


def test_remedy_says_which_way_it_is_wrong() -> None:
    limits = limits_of(preset("gauge-1"))[TreadFigure.FLANGE_WIDTH]

    def remedy(nm: int) -> str:
        return figure_remedy(
            judge_figure(TreadFigure.FLANGE_WIDTH, MeasuredSize(nm, 10_000), limits, Unit.MM)
        )

    assert "cannot be put back" in remedy(900_000)
    assert "down" in remedy(1_800_000)
    assert remedy(1_300_000) == ""


def test_a_tyre_half_logged() -> None:
    found = judge_tyre(
        preset("nmra-1-in-scale"),
        {
            TreadFigure.TYRE_WIDTH: MeasuredSize(_in("0.510"), 20_000),
            TreadFigure.ROOT_RADIUS: MeasuredSize(_in("0.07"), 50_000),
        },
        Unit.INCH,
        {TreadFigure.TREAD_DIAMETER: Limits(_in("4.99"), _in("5.01"), "the drawing")},
    )
    answers = {one.figure: one.answer for one in found.verdicts}
    assert found.answer is TreadAnswer.GOOD and not found.out
    assert answers == {
        TreadFigure.FLANGE_WIDTH: TreadAnswer.NOT_LOGGED,
        TreadFigure.FLANGE_DEPTH: TreadAnswer.NOT_LOGGED,
        TreadFigure.TYRE_WIDTH: TreadAnswer.GOOD,
        TreadFigure.ROOT_RADIUS: TreadAnswer.NO_LIMIT,
        TreadFigure.TREAD_DIAMETER: TreadAnswer.NOT_LOGGED,
    }
    by_figure = {one.figure: one for one in found.verdicts}
    assert "4.9900 in" in figure_words(by_figure[TreadFigure.TREAD_DIAMETER], Unit.INCH)
    assert by_figure[TreadFigure.TYRE_WIDTH].decision is not None
    assert "NMRA" in figure_words(by_figure[TreadFigure.TYRE_WIDTH], Unit.INCH)


def test_own_limits_go_before_the_standards() -> None:
    logged = {TreadFigure.FLANGE_DEPTH: MeasuredSize(4_000_000, 10_000)}
    own = {TreadFigure.FLANGE_DEPTH: Limits(None, 4_200_000, "the track's owner")}
    plain = judge_tyre(preset("ibls-5"), logged, Unit.MM).verdicts[1]
    ruled = judge_tyre(preset("ibls-5"), logged, Unit.MM, own).verdicts[1]
    assert (plain.answer, ruled.answer) == (TreadAnswer.NO_GOOD, TreadAnswer.GOOD)
    assert "the track's owner" in figure_words(ruled, Unit.MM)


@settings(max_examples=60, deadline=None)
@given(
    st.integers(1, 10_000_000), st.integers(0, 200_000), st.integers(0, 5_000_000), st.integers(0, 5_000_000)
)
def test_answers_follow_the_rule(nm: int, expanded: int, low: int, width: int) -> None:
    found = judge_figure(
        TreadFigure.ROOT_RADIUS, MeasuredSize(nm, expanded), Limits(low, low + width, "drawing"), Unit.MM
    )
    guard = 0.825 * expanded
    if low + guard + 1 <= nm <= low + width - guard - 1:
        assert found.answer is TreadAnswer.GOOD
    elif nm < low - guard - 1 or nm > low + width + guard + 1:
        assert found.answer is TreadAnswer.NO_GOOD
    elif low - guard + 1 < nm < low + guard - 1 or low + width - guard + 1 < nm < low + width + guard - 1:
        assert found.answer is TreadAnswer.CANNOT_TELL


def test_nonsense_is_a_sentence() -> None:
    with pytest.raises(TreadError, match="more than nothing") as told:
        judge_figure(TreadFigure.TYRE_WIDTH, MeasuredSize(0, 10_000), None, Unit.MM)
    assert told.value.field == "tyre_width"
    with pytest.raises(DecisionError, match="less than nothing"):
        judge_figure(TreadFigure.TYRE_WIDTH, MeasuredSize(NM_PER_MM, -1), Limits(1, None, "x"), Unit.MM)
    with pytest.raises(DecisionError, match="wrong way round"):
        judge_figure(TreadFigure.TYRE_WIDTH, MeasuredSize(NM_PER_MM, 1), Limits(2, 1, "x"), Unit.MM)
