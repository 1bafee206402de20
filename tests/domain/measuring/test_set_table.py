"""The table of the finished set: its order, its departures and what it says."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.measuring.decision import DecisionError
from domain.measuring.set_table import SetAnswer, SetRow, at_pin_nm, set_table

ORDER = [SetAnswer.OUTSIDE, SetAnswer.CANNOT_TELL, SetAnswer.MISSING, SetAnswer.NO_LIMIT, SetAnswer.INSIDE]


def _row(what: str, measured: int | None, expanded: int = 4_000) -> SetRow:
    """A 15 mm size with H7 limits (ISO 286-2:2010: 15 H7 is +18/0 micrometres)."""
    return SetRow(what, "left leading", 15_000_000, 15_000_000, 15_018_000, measured, expanded)


def test_order_departure_and_words() -> None:
    rows = [
        _row("good", 15_009_000),
        _row("missing", None),
        _row("little over", 15_030_000),
        SetRow("free", "axle 1", 20_000_000, None, None, 20_100_000),
        _row("doubt", 15_017_000),
        _row("far under", 14_900_000),
        _row("good but near", 15_004_000),
    ]
    table = set_table(rows, Unit.MM)
    said = [line.row.what for line in table.lines]
    assert said == ["far under", "little over", "doubt", "missing", "free", "good but near", "good"]
    first = table.lines[0]
    assert (first.departure_nm, first.over_nm) == (-100_000, 100_000)
    assert "-0.100 mm" in first.words and "is under" in first.words and "left leading" in first.words
    assert table.lines[1].over_nm == 12_000 and table.lines[2].over_nm == 0
    assert table.lines[3].departure_nm is None and "not measured" in table.lines[3].words
    assert "nothing limits it" in table.lines[4].words
    assert table.headline == (
        "Of 7 sizes: 2 no good, 1 cannot tell, 1 not measured, 1 without limits, 2 good."
    )
    assert not table.good


def test_all_good_and_nothing_at_all() -> None:
    table = set_table([_row("a", 15_009_000), _row("b", 15_008_000)], Unit.MM)
    assert table.good and table.headline == "All 2 sizes are shown to be in limits."
    nothing = set_table([], Unit.MM)
    assert not nothing.good and "Nothing to compare" in nothing.headline
    no_drawing = set_table([SetRow("flange height", "x", None, None, 2_000_000, 1_900_000, 10_000)], Unit.MM)
    assert no_drawing.good and no_drawing.lines[0].departure_nm is None


@settings(max_examples=80, deadline=None)
@given(
    st.lists(
        st.tuples(st.one_of(st.none(), st.integers(14_950_000, 15_070_000)), st.integers(0, 20_000)),
        max_size=12,
    )
)
def test_every_row_once_in_order(sizes: list[tuple[int | None, int]]) -> None:
    rows = [_row(str(number), nm, expanded) for number, (nm, expanded) in enumerate(sizes)]
    table = set_table(rows, Unit.MM)
    assert sorted(line.row.what for line in table.lines) == sorted(row.what for row in rows)
    places = [ORDER.index(line.answer) for line in table.lines]
    assert places == sorted(places)
    assert sum(table.counts.values()) == len(rows)
    outside = [line.over_nm for line in table.lines if line.answer is SetAnswer.OUTSIDE]
    assert outside == sorted(outside, reverse=True)
    for line in table.lines:
        nm, guard = line.row.measured_nm, 0.825 * line.row.expanded_nm
        if nm is None:
            assert line.answer is SetAnswer.MISSING
        elif nm > 15_018_000 + guard + 1 or nm < 15_000_000 - guard - 1:
            assert line.answer is SetAnswer.OUTSIDE
        elif 15_000_000 + guard + 1 < nm < 15_018_000 - guard - 1:
            assert line.answer is SetAnswer.INSIDE


def test_limits_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(DecisionError, match="wrong way round"):
        set_table([SetRow("bore", "x", 1, 3, 2, 2)], Unit.MM)


def test_an_angle_at_the_pin() -> None:
    """The height of 0.01 mm at 45 degrees on a throw of 22.225 mm is 0.0367 degrees: 0.01 / cos 45 at the pin."""
    angle = math.degrees(math.asin(15.80 / 22.225)) - math.degrees(math.asin(15.79 / 22.225))
    along = 0.01 / math.cos(math.asin(15.795 / 22.225))
    assert at_pin_nm(angle, 22_225_000) == pytest.approx(along * 1e6, abs=1)
    assert at_pin_nm(-angle, 22_225_000) == -at_pin_nm(angle, 22_225_000)


@pytest.mark.parametrize(("angle", "throw"), [(0.1, 0), (0.1, -1), (math.nan, 1), (math.inf, 1)])
def test_no_such_angle_or_throw(angle: float, throw: int) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        at_pin_nm(angle, throw)


def test_what_has_no_limits_takes_nothing_from_the_rest() -> None:
    free = SetRow("check gauge", "axle 1", 122_000_000, None, None, 121_900_000)
    table = set_table([_row("a", 15_009_000), _row("b", 15_008_000), free], Unit.MM)
    assert table.headline == (
        "All 2 sizes that have limits are shown to be in limits; 1 more has none to be judged by."
    )
    assert not table.good
    assert "Of 1 sizes" in set_table([free], Unit.MM).headline


@pytest.mark.parametrize(
    ("measured", "beyond"),
    [(None, False), (15_000_000, False), (15_018_000, False), (14_999_999, True), (15_018_001, True)],
)
def test_past_a_limit(measured: int | None, beyond: bool) -> None:
    assert _row("bore", measured).beyond is beyond


def test_what_is_known_of_a_size_without_limits_stands() -> None:
    doubt = SetRow("flange thickness", "W1", 2_000_000, None, None, 2_100_000, known=SetAnswer.CANNOT_TELL)
    assert [line.answer for line in set_table([doubt], Unit.MM).lines] == [SetAnswer.CANNOT_TELL]
