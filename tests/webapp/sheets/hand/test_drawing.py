"""The picture of a hand: all of it on the sheet, each dot on its side of what is wanted, the bar where next ones come."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.hand.spread import chance_between, hand_of
from domain.hand.words import Craft, Made
from domain.lengths import Unit
from webapp.sheets.hand.drawing import AXIS, SHARE, WIDTH, hand_picture

departures = st.lists(st.integers(-300_000, 300_000), min_size=5, max_size=40)


def made(found: list[int], half_nm: float | None) -> Made:
    return Made(Craft.BORE, tuple(map(float, found)), 0, half_nm, 1, hand_of(found, 1_000))


@given(departures, st.integers(500, 300_000))
def test_everything_is_on_the_sheet_and_on_its_side(found: list[int], half: int) -> None:
    good = [abs(nm) <= half for nm in found]
    picture = hand_picture(made(found, half), good, Unit.MM, "said")
    assert picture is not None and len(picture.dots) == len(found)
    for x in (
        picture.left,
        picture.right,
        picture.next_left,
        picture.next_right,
        picture.low_at,
        picture.high_at,
    ):
        assert 40 <= x <= WIDTH - 40
    for dot in picture.dots:
        assert 40 <= dot.x <= WIDTH - 40 and 6 < dot.y <= AXIS
        # A tenth of a unit is what places are rounded to, 1.5 how narrow a window is drawn at least.
        inside = picture.left - 0.2 <= dot.x <= picture.right + 0.2
        assert inside or not dot.good
        assert dot.good or not picture.left + 3 < dot.x < picture.right - 3


def test_the_bar_is_where_nine_of_ten_come() -> None:
    one = made([0, 4_000, 8_000, 12_000, 16_000], 20_000)
    picture = hand_picture(one, [True] * 5, Unit.MM, "")
    assert picture is not None and one.hand is not None
    scale = (picture.right - picture.middle) / 20_000
    ends = [(x - picture.middle) / scale for x in (picture.next_left, picture.next_right)]
    assert chance_between(one.hand, *ends) == pytest.approx(SHARE, abs=0.002)
    assert (picture.low_words, picture.high_words) == ("-0.020 mm", "0.020 mm")


def test_those_that_came_out_alike_stand_above_one_another() -> None:
    picture = hand_picture(made([2_000] * 5, 20_000), [True] * 5, Unit.MM, "")
    assert picture is not None
    assert len({dot.x for dot in picture.dots}) == 1
    assert len({dot.y for dot in picture.dots}) == 4


def test_without_enough_or_without_a_size_there_is_none() -> None:
    assert hand_picture(made([0] * 4, 20_000), [True] * 4, Unit.MM, "") is None
    assert hand_picture(made([0] * 5, None), [False] * 5, Unit.MM, "") is None
