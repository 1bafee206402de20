"""Sizes lost, sizes that cannot be written down, and go or stop: figures worked by hand.

The rules are workshop rules and plain arithmetic: no published source.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.route.guards import Strength
from domain.stock import words as say
from domain.stock.cuts import DialTo, FeedDial
from domain.stock.guard import objection_to_size, size_troubles, under_sizes
from domain.stock.metal_left import CutAnswer, answer_cut, metal_left
from domain.stock.sizes import Face, FinishedSizes, SizesNow, StockError

MM = 1_000_000
DRAWN = FinishedSizes(110 * MM, 2 * MM, 10 * MM, 15 * MM)


@pytest.mark.parametrize(
    ("now", "lost"),
    [
        (SizesNow(10 * MM, 15 * MM, 0, 114 * MM, 110 * MM), []),
        (SizesNow(9_950_000, 14_950_000), []),
        (SizesNow(9_949_999), [("rim", 50_001)]),
        (SizesNow(boss_thickness_nm=14 * MM), [("boss", MM)]),
        # Over the flange 110 + 2 x 2 = 114.
        (SizesNow(over_flange_nm=113_900_000), [("diameter over the flange", 100_000)]),
        (SizesNow(tread_nm=109 * MM, rim_thickness_nm=9 * MM), [("rim", MM), ("tread", MM)]),
        (SizesNow(), []),
    ],
)
def test_what_is_lost(now: SizesNow, lost: list[tuple[str, int]]) -> None:
    assert [(one.name, one.under_nm) for one in under_sizes(now, DRAWN, 50_000)] == lost


def test_a_drawing_without_figures_loses_nothing() -> None:
    assert under_sizes(SizesNow(1, 1, 0, 1, 1), FinishedSizes(None, None, None, None), 0) == ()


@pytest.mark.parametrize(
    ("now", "front_faced", "keys"),
    [
        (SizesNow(10_500_000, 15_500_000), False, set()),
        (SizesNow(10_499_999), False, {"back_faced", "back_faced.to_size"}),
        (SizesNow(10_499_999), True, set()),
        (SizesNow(9 * MM), True, {"back_faced", "back_faced.to_size", "bored", "bored.front_faced"}),
        (SizesNow(tread_nm=109 * MM), True, {"tread_turned", "tread_turned.to_size"}),
        (SizesNow(over_flange_nm=113 * MM), True, {"tread_turned", "tread_turned.flange"}),
    ],
)
def test_which_ticks_are_asked_about(now: SizesNow, front_faced: bool, keys: set[str]) -> None:
    found = say.size_troubles("W3", size_troubles(now, DRAWN, 50_000, 500_000, front_faced), Unit.MM)
    assert {key for key, _ in found} == keys
    assert all("W3's" in words for _, words in found)


def test_a_lost_rim_is_not_told_twice() -> None:
    found = size_troubles(SizesNow(9_790_000), DRAWN, 50_000, 500_000, False)
    words = dict(say.size_troubles("W3", found, Unit.MM))["back_faced"]
    assert words == (
        "W3's rim is 0.210 mm (0.0083 in) under size: it was logged as 9.790 mm (0.3854 in). Do not cut it further,"
        " and measure it again before you tick."
    )


@pytest.mark.parametrize("call", [under_sizes, lambda *a: size_troubles(a[0], a[1], a[2], 1, True)])
def test_a_tolerance_below_nothing(call: object) -> None:
    with pytest.raises(ValueError, match="below nothing"):
        call(SizesNow(), DRAWN, -1)  # type: ignore[operator]


@pytest.mark.parametrize(
    ("size", "before", "came", "strength"),
    [
        (12 * MM, 12 * MM, 13 * MM, None),
        (12_000_001, 12 * MM, 13 * MM, Strength.CONFIRM),
        (13_000_001, 12 * MM, 13 * MM, Strength.REFUSE),
        (13_000_001, 12 * MM, None, Strength.CONFIRM),
        (5 * MM, 12 * MM, 13 * MM, None),
        (4_999_999, 12 * MM, 13 * MM, None),
        (12 * MM, None, None, None),
    ],
)
def test_a_size_to_be_written_down(
    size: int, before: int | None, came: int | None, strength: Strength | None
) -> None:
    found = objection_to_size("rim", size, before, came)
    assert (found.strength if found else None) == strength


def test_a_size_of_nothing() -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        objection_to_size("rim", 0, None, None)


def go(face: Face, size: int, cut: int, dial: FeedDial | None = None, tolerance: int = 0) -> CutAnswer:
    now = SizesNow(size, size, 0, size, size, rim_back_faced=True, boss_back_faced=True)
    left = metal_left(face, now, DRAWN, MM, 200_000, proposed_cut_nm=cut, tolerance_nm=tolerance)
    return answer_cut(left, cut, 200_000, dial)


@pytest.mark.parametrize(
    ("size", "cut", "after"),
    [
        (11_300_000, MM, 10_300_000),
        (11_300_000, 1_300_000, None),
        (11_300_000, 1_001_271, None),
        (11_000_000, MM, 10 * MM),
        (11_300_000, 1_300_001, None),
        (10_150_000, 150_000, 10 * MM),
        (10_150_000, 100_000, 10_050_000),
        (10_150_000, 200_000, None),
        (10 * MM, 1, None),
        (9_900_000, 1, None),
    ],
)
def test_go_or_stop_by_hand(size: int, cut: int, after: int | None) -> None:
    answer = go(Face.RIM_FRONT, size, cut)
    assert (answer.go, answer.after_nm) == (after is not None, after)


def test_on_a_diameter_twice_the_cut_comes_off() -> None:
    answer = go(Face.TREAD, 112 * MM, 500_000, FeedDial(100_000, 2 * MM, diametral=True))
    assert answer.after_nm == 111 * MM
    assert answer.dial == DialTo(1_100_000, 0, 1_100_000)
    assert say.cut_answer(answer, Unit.MM).endswith("0.500 mm (0.0197 in) of depth is left then.")


@pytest.mark.parametrize(
    ("size", "cut", "words"),
    [
        (11_100_000, 950_000, "0.150 mm (0.0059 in), less than a finishing cut: 0.900 mm (0.0354 in) deep instead"),
        (10_250_000, 100_000, "0.150 mm (0.0059 in), less than a finishing cut: 0.250 mm (0.0098 in) deep instead"),
    ],
)  # fmt: skip
def test_what_is_better_than_less_than_a_finishing_cut(size: int, cut: int, words: str) -> None:
    answer = go(Face.RIM_FRONT, size, cut)
    assert answer.go and words in say.cut_answer(answer, Unit.MM)


def test_past_the_size_within_the_tolerance() -> None:
    answer = go(Face.RIM_FRONT, 10_300_000, 340_000, tolerance=50_000)
    assert answer.go and "0.040 mm (0.0016 in) past the size, within what may be under" in say.cut_answer(
        answer, Unit.MM
    )


def test_a_cut_of_nothing() -> None:
    left = metal_left(Face.TREAD, SizesNow(tread_nm=112 * MM), DRAWN, MM, 200_000)
    with pytest.raises(StockError, match="more than nothing"):
        answer_cut(left, 0, 200_000)


@settings(max_examples=100, deadline=None)
@given(
    st.sampled_from([Face.RIM_FRONT, Face.BOSS_FRONT, Face.OVER_FLANGE, Face.TREAD]),
    st.integers(-MM, 6 * MM),
    st.integers(1, 8 * MM),
    st.integers(0, 100_000),
)
def test_go_never_ends_under_size(face: Face, over: int, cut: int, tolerance: int) -> None:
    least = {"rim_front": 10, "boss_front": 15, "over_flange": 114, "tread": 110}[face.value] * MM
    answer = go(face, least + over, cut, tolerance=tolerance)
    after = least + over - cut * (2 if face.on_diameter else 1)
    assert not answer.go or after >= least - tolerance
    assert say.cut_answer(answer, Unit.MM)
