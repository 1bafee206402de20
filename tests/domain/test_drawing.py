"""Whether a wheel can be made to a drawing: one fault at a time, each at its own limit. Geometry, by hand."""

import pytest

from domain.drawing import KEYS, LARGEST_NM, apart, faults
from domain.lengths import Unit

MM = 1_000_000
GOOD = {
    "gauge": 89 * MM,
    "back_to_back": 83 * MM,
    "tyre_width": 10 * MM,
    "flange_width": 2 * MM,
    "flange_depth": 2 * MM,
    "root_radius": 1 * MM,
    "tread_diameter": 100 * MM,
    "boss_diameter": 40 * MM,
    "boss_length": 15 * MM,
    "bore": 15 * MM,
    "seat": 15 * MM,
    "throw": 30 * MM,
    "crankpin_hole": 8 * MM,
    "fit_least": 20_000,
    "fit_most": 50_000,
}


def test_every_figure_is_there_and_holds_together() -> None:
    assert set(GOOD) == set(KEYS)
    assert faults(GOOD, Unit.MM) == {}


@pytest.mark.parametrize("key", GOOD)
@pytest.mark.parametrize("nm", [0, -1, -(10**30)])
def test_nothing_is_no_size(key: str, nm: int) -> None:
    assert "must be more than nothing" in faults({**GOOD, key: nm}, Unit.MM)[key]


@pytest.mark.parametrize("key", GOOD)
def test_nothing_is_longer_than_three_metres(key: str) -> None:
    assert "is the unit right?" in faults({**GOOD, key: LARGEST_NM + 1}, Unit.MM)[key]
    assert "is the unit right?" in faults({**GOOD, key: 10**30}, Unit.INCH)[key]


@pytest.mark.parametrize(
    ("key", "inside", "outside", "words"),
    [
        ("bore", 25 * MM, 40 * MM, "smaller than the boss"),
        ("seat", 25 * MM, 40 * MM, "smaller than the boss"),
        # A quarter of the boss of 40 is 10: a seat of 25 on a bore of 15 is the last that passes.
        ("seat", 25 * MM, 25 * MM + 1, "far from the bore"),
        ("seat", 5 * MM, 5 * MM - 1, "far from the bore"),
        ("boss_diameter", 100 * MM - 1, 100 * MM, "smaller than the tread"),
        # 2 x throw + 8 must be less than 100, and 2 x throw more than 15 + 8.
        ("throw", 46 * MM - 1, 46 * MM, "outside the tread"),
        ("throw", 11_500_001, 11_500_000, "run into the bore"),
        ("fit_most", 20_001, 20_000, "larger than the least"),
        ("back_to_back", 89 * MM - 1, 89 * MM, "less than the gauge"),
    ],
)
def test_each_limit(key: str, inside: int, outside: int, words: str) -> None:
    assert key not in faults({**GOOD, key: inside}, Unit.MM)
    assert words in faults({**GOOD, key: outside}, Unit.MM)[key]


@pytest.mark.parametrize(
    ("seat", "joined"), [(15_300_000, True), (15_300_001, False), (14_700_000, True), (14_699_999, False)]
)
def test_a_bore_and_a_seat_belong_together_within_a_fiftieth(seat: int, joined: bool) -> None:
    """A fiftieth of a bore of 15 mm is 0.3 mm."""
    found = apart({**GOOD, "seat": seat}, Unit.MM)
    assert found == {} if joined else "No fit joins this seat to a bore of 15.000 mm" in found["seat"]
    assert apart({"bore": 15 * MM}, Unit.MM) == apart({"seat": 15 * MM}, Unit.MM) == {}


def test_a_figure_has_one_sentence_and_both_systems() -> None:
    found = faults({**GOOD, "bore": 41 * MM, "seat": 41 * MM}, Unit.INCH)
    assert found["bore"] == "The bore must be smaller than the boss: 1.5748 in (40.000 mm)."
    assert set(found) == {"bore", "seat"}


def test_a_figure_that_could_not_be_read_hides_only_its_own_rules() -> None:
    figures = {**GOOD, "bore": GOOD["boss_diameter"]}
    del figures["throw"], figures["gauge"]
    assert set(faults(figures, Unit.MM)) == {"bore", "seat"}
