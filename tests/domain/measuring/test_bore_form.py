import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.measuring.bore_form import LOBING, BorePlace, Direction, PlacedReading, bore_form

F, M, B = BorePlace
ONE, TWO = Direction


def _readings(*rows: tuple[BorePlace, Direction, int]) -> list[PlacedReading]:
    return [PlacedReading(place, at, 25_000_000 + um * 1_000) for place, at, um in rows]


FULL = _readings((F, ONE, 12), (F, TWO, 14), (M, ONE, 10), (M, TWO, 10), (B, ONE, 8), (B, TWO, 4))


def test_all_six_positions() -> None:
    # By hand: mean (12+14+10+10+8+4)/6 = 58/6 um; front 13, back 6; back differs by 4; 14 - 4 = 10.
    found = bore_form(FULL, Unit.MM)
    assert found.mean_nm == 25_009_667
    assert (found.taper_nm, found.out_of_round_nm, found.spread_nm) == (7_000, 4_000, 10_000)
    assert found.words[0] == "Tapered: wider at the front by 0.007 mm (0.0003 in)."
    assert LOBING in found.words[1]
    assert found.cannot_tell == ()


def test_wider_at_the_back_is_below_nothing() -> None:
    found = bore_form(_readings((F, ONE, 1), (B, ONE, 6)), Unit.MM)
    assert found.taper_nm == -5_000
    assert "wider at the back by 0.005 mm" in found.words[0]


def test_no_taper_has_words_of_its_own() -> None:
    assert bore_form(_readings((F, ONE, 1), (B, ONE, 1)), Unit.MM).words[0].startswith("No taper")


def test_one_reading_tells_little_and_says_so() -> None:
    found = bore_form(_readings((M, ONE, 5)), Unit.MM)
    assert (found.mean_nm, found.taper_nm, found.out_of_round_nm, found.spread_nm) == (
        25_005_000,
        None,
        None,
        0,
    )
    assert found.cannot_tell == (
        "Taper cannot be told: nothing was measured at the front or the back.",
        "Out-of-round cannot be told at the front, middle, back: it takes two directions there.",
    )


def test_one_place_in_two_directions_tells_out_of_round_there_only() -> None:
    found = bore_form(_readings((F, ONE, 5), (F, TWO, 2)), Unit.MM)
    assert found.out_of_round_nm == 3_000
    assert found.cannot_tell == (
        "Taper cannot be told: nothing was measured at the back.",
        "Out-of-round cannot be told at the middle, back: it takes two directions there.",
    )


def test_an_oval_bore_read_in_different_directions_is_not_called_tapered() -> None:
    found = bore_form(_readings((F, ONE, 20), (B, TWO, 0)), Unit.MM)
    assert found.taper_nm is None
    assert "different directions" in found.cannot_tell[0]
    # One direction at both ends settles it: that one alone is compared.
    assert bore_form(_readings((F, ONE, 20), (F, TWO, 0), (B, TWO, 0)), Unit.MM).taper_nm == 0


def test_a_favourite_position_does_not_weigh_more() -> None:
    found = bore_form(_readings((F, ONE, 0), (B, ONE, 8), (B, ONE, 8), (B, ONE, 8)), Unit.MM)
    assert found.mean_nm == 25_004_000
    assert found.taper_nm == -8_000


def test_no_reading_is_refused() -> None:
    with pytest.raises(ValueError, match="no reading yet"):
        bore_form([], Unit.MM)


placed = st.builds(
    PlacedReading, st.sampled_from(BorePlace), st.sampled_from(Direction), st.integers(1, 10**8)
)


@given(st.lists(placed, min_size=1, max_size=12))
def test_turned_end_for_end_only_the_taper_changes_sign(readings: list[PlacedReading]) -> None:
    swap = {F: B, M: M, B: F}
    there = bore_form(readings, Unit.MM)
    back = bore_form([PlacedReading(swap[one.place], one.direction, one.nm) for one in readings], Unit.MM)
    assert back.taper_nm == (None if there.taper_nm is None else -there.taper_nm)
    assert (back.mean_nm, back.out_of_round_nm, back.spread_nm) == (
        there.mean_nm,
        there.out_of_round_nm,
        there.spread_nm,
    )
    assert abs(there.taper_nm or 0) <= there.spread_nm >= (there.out_of_round_nm or 0)
