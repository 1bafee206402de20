"""The present risk of a build, against SciPy and against a build played many times over."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import betabinom, binom

from domain.ordering.advice import risk_of_running_out
from domain.ordering.chances import OrderingError, Record
from domain.ordering.words import chance_words, risk_words

PRIOR = Record(9, 1)


@given(
    st.integers(1, 30),
    st.integers(0, 10),
    st.integers(0, 40),
    st.integers(0, 20),
    st.floats(0.5, 50),
    st.floats(0.5, 50),
)
def test_against_scipy(
    places: int, spare: int, finished: int, scrapped: int, good: float, scrap: float
) -> None:
    castings = places + spare
    risk = risk_of_running_out(places, castings, Record(good, scrap), finished, scrapped)
    for more, row in enumerate(risk.extra):
        expected = betabinom.sf(places - 1, castings + more, good + finished, scrap + scrapped)
        assert row.ordered == more
        assert row.chance == pytest.approx(float(expected), abs=1e-9)
    assert risk.chance == pytest.approx(1 - risk.extra[0].chance)
    assert risk.extra[0].chance <= risk.extra[3].chance + 1e-12


def test_against_a_build_played_over_and_over() -> None:
    # The scrap chance of the lot is drawn by the record of 10 good and 3 scrap, and each casting by that chance.
    draw = random.Random(20261125)
    rounds, short = 20_000, 0
    for _ in range(rounds):
        lost = draw.betavariate(3, 10)
        short += sum(draw.random() >= lost for _ in range(7)) < 5
    risk = risk_of_running_out(5, 7, PRIOR, finished=1, scrapped=2)
    assert risk.chance == pytest.approx(short / rounds, abs=0.012)  # over three standard errors


def test_every_scrapped_casting_raises_it_and_every_finished_wheel_lowers_it() -> None:
    even = risk_of_running_out(4, 5, PRIOR).chance
    assert risk_of_running_out(4, 5, PRIOR, scrapped=1).chance > even
    assert risk_of_running_out(4, 5, PRIOR, finished=1).chance < even


def test_nothing_to_fill_is_no_risk() -> None:
    for castings in (0, 2):
        risk = risk_of_running_out(0, castings, PRIOR, finished=6)
        assert risk.chance == 0
        assert risk_words(0, castings, risk.chance) == "Every place is filled: no more castings are needed."
        assert all(row.enough for row in risk.extra)


def test_fewer_castings_than_places_is_certain() -> None:
    risk = risk_of_running_out(5, 3, PRIOR)
    assert risk.chance == 1
    assert (
        risk_words(5, 3, risk.chance) == "The castings left cannot fill the places: 2 more must be ordered."
    )
    assert [row.chance > 0 for row in risk.extra] == [False, False, True, True]
    assert risk.workings[1].result == "100 %"


def test_working_shows_prior_and_record() -> None:
    record, risk = risk_of_running_out(4, 5, PRIOR, finished=2, scrapped=1).workings
    assert "9 good, 1 scrap; this build 2 finished, 1 scrapped: 11 good, 2 scrap" in record.numbers
    assert record.result == "0.154"  # 2 / 13
    assert "whole risk again" in risk.formula
    assert risk.numbers == "4 places to fill, 5 castings left, good 11, scrap 2"


def test_a_row_is_enough_by_the_chance_wanted() -> None:
    rows = risk_of_running_out(6, 6, PRIOR, confidence=0.9).extra  # 0.600, 0.825, 0.918, 0.959
    assert [row.enough for row in rows] == [False, False, True, True]


@pytest.mark.parametrize(
    ("chance", "says"),
    [
        (0.0002, "Less than 1 chance in 1000"),
        (0.0073, "About 1 chance in 140"),
        (0.13, "About 1 chance in 8"),
        (0.34, "About 1 chance in 3"),
        (0.4, "About 4 chances in 10"),
        (0.45, "A little under an even chance"),
        (0.4501, "A little under an even chance"),
        (0.55, "A little over an even chance"),
        (0.65, "About 7 chances in 10"),
        (0.85, "About 9 chances in 10"),
        (0.52, "About an even chance"),
        (0.9, "About 9 chances in 10"),
        (0.97, "It is almost certain"),
    ],
)
def test_chance_in_words(chance: float, says: str) -> None:
    assert chance_words(chance) == says


@given(st.floats(0.001, 0.949))
def test_words_are_near_the_chance(chance: float) -> None:
    words = chance_words(chance)
    numbers = [float(part) for part in words.split() if part.isdigit()]
    said = 0.5 if not numbers else numbers[0] / numbers[1]
    assert said == pytest.approx(chance, rel=0.2)


@pytest.mark.parametrize(
    ("counts", "says"),
    [
        ((-1, 2, 0, 0), "below nothing"),
        ((1, -2, 0, 0), "below nothing"),
        ((1, 2, -1, 0), "below nothing"),
        ((1, 2, 0, -1), "below nothing"),
        ((201, 2, 0, 0), "too many"),
        ((2, 498, 0, 0), "too many"),
    ],
)
def test_counts_that_cannot_be(counts: tuple[int, int, int, int], says: str) -> None:
    places, castings, finished, scrapped = counts
    with pytest.raises(OrderingError, match=says):
        risk_of_running_out(places, castings, PRIOR, finished, scrapped)


def test_a_wanted_chance_that_cannot_be() -> None:
    with pytest.raises(OrderingError, match="How sure"):
        risk_of_running_out(1, 2, PRIOR, confidence=1.0)


@pytest.mark.parametrize(
    ("places", "castings", "scrap"), [(6, 8, 0.1), (4, 5, 0.2), (3, 3, 0.0), (1, 1, 0.95)]
)
def test_a_fixed_scrap_chance_against_scipy(places: int, castings: int, scrap: float) -> None:
    risk = risk_of_running_out(places, castings, scrap, finished=2, scrapped=3)
    assert risk.chance == pytest.approx(binom.cdf(places - 1, castings, 1 - scrap), abs=1e-12)
    # What came of this build changes a record, but not a chance that is given.
    assert [working.name for working in risk.workings] == ["risk of running out"]
    assert f"p = {scrap:g}" in risk.workings[0].numbers
