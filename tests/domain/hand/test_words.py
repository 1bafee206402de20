"""What is said of a hand: one line for each case, and chances that never read better than the figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.hand.spread import Hand
from domain.hand.words import Craft, Made, count_words, hand_words, hand_workings, times_words
from domain.lengths import Unit


def made(hand: Hand | None, half_nm: float | None = 38_000, **changes: object) -> Made:
    count = hand.count if hand else 3
    fields = {
        "craft": Craft.BORE,
        "departures_nm": (0.0,) * count,
        "good": count,
        "half_nm": half_nm,
        "to_come": 2,
    }
    return Made(**{**fields, "hand": hand, **changes})  # type: ignore[arg-type]


def test_in_the_builds_own_system() -> None:
    over = made(Hand(9, 33_020, 20_320))
    assert "1.3 thou over the middle, spread 0.8 thou" in hand_words(over, Unit.INCH)
    assert "0.033 mm over the middle, spread 0.020 mm" in hand_words(over, Unit.MM)
    assert "aimed 0.033 mm lower" in hand_words(over, Unit.MM)


@pytest.mark.parametrize(("count", "words"), [(0, "none"), (1, "one"), (2, "two"), (3, "three"), (4, "four")])
def test_too_few(count: int, words: str) -> None:
    few = made(None, departures_nm=(0.0,) * count)
    assert hand_words(few, Unit.MM) == f"Bores: not enough to tell: {words} so far, five are needed."
    assert count_words(few) == ""
    assert hand_workings(few, Unit.MM) == ()
    assert few.chance is None and few.best is None


def test_with_no_size_to_aim_at_no_chance_is_said() -> None:
    nowhere = made(Hand(9, 33_020, 20_320), None)
    assert hand_words(nowhere, Unit.MM).endswith("spread 0.020 mm; there is no size to aim the next one at.")
    assert nowhere.chance is None and nowhere.best is None
    assert [one.name for one in hand_workings(nowhere, Unit.MM)] == [
        "spread of the bores",
        "the next bore by counting",
    ]


def test_a_reamer_is_not_aimed() -> None:
    reamed = made(Hand(9, 33_020, 20_320), craft=Craft.REAMED)
    assert reamed.chance is not None and reamed.best is None
    assert "aimed" not in hand_words(reamed, Unit.MM)


def test_two_slips_are_both_named() -> None:
    two = made(Hand(5, 0, 2_000), departures_nm=(0.0,) * 7, slips=("W3", "W7"))
    assert "7 made, W3 and W7 slips, the others on the middle" in hand_words(two, Unit.MM)
    assert two.no_slip == pytest.approx(6 / 9)
    assert two.chance == pytest.approx(6 / 9, abs=0.01)


def test_one_to_come_is_the_next_one() -> None:
    assert "to come" not in count_words(made(Hand(9, 0, 2_000), to_come=1))
    assert "all of the 2 to come" in count_words(made(Hand(9, 0, 2_000)))


@given(st.floats(0, 1))
def test_so_often_of_ten(chance: float) -> None:
    words = times_words(chance)
    if words == "nearly every time":
        assert chance >= 0.95
    elif words == "hardly ever":
        assert chance < 0.05
    else:
        assert abs(int(words.split()[0]) / 10 - chance) <= 0.0501
        assert ("times" in words) == (words.split()[0] != "1")
