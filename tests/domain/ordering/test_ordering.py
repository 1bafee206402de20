"""The number of castings to buy, against SciPy's binomial and beta-binomial distributions."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import betabinom, binom

from domain.ordering.advice import EXPERIENCE, order_table
from domain.ordering.chances import (
    OrderingError,
    Record,
    chance_enough,
    chance_enough_by_record,
    chance_of_enough,
    reckoned,
)
from domain.ordering.words import order_words, per_cent

counts = st.floats(0.1, 300)


@pytest.mark.parametrize(
    ("needed", "scrap", "confidence", "number", "chance"),
    # The chances are binom.sf(needed - 1, number, 1 - scrap) of SciPy, to four decimals.
    [(6, 0.1, 0.95, 8, 0.9619), (6, 0.2, 0.95, 10, 0.9672), (4, 0.1, 0.9, 5, 0.9185)],
)
def test_number_for_a_fixed_scrap_chance(
    needed: int, scrap: float, confidence: float, number: int, chance: float
) -> None:
    advice = order_table(needed, scrap, confidence)
    assert advice.number == number
    assert advice.chance == pytest.approx(chance, abs=5e-5)
    assert advice.chance == pytest.approx(binom.sf(needed - 1, number, 1 - scrap), rel=1e-12)


def test_chances_by_a_record_of_nine_to_one() -> None:
    # betabinom.sf(5, N, 9, 1) of SciPy; by hand the first is 9/15.
    found = [round(chance_enough_by_record(6, n, Record(9, 1)), 3) for n in (6, 7, 8, 9)]
    assert found == [0.600, 0.825, 0.918, 0.959]


@given(st.integers(1, 200), st.integers(0, 500), st.floats(0, 0.99))
def test_fixed_chance_against_scipy(needed: int, ordered: int, scrap: float) -> None:
    assert chance_enough(needed, ordered, scrap) == pytest.approx(
        float(binom.sf(needed - 1, ordered, 1 - scrap)), abs=1e-11
    )


@given(st.integers(1, 200), st.integers(0, 500), counts, counts)
def test_record_against_scipy(needed: int, ordered: int, good: float, scrap: float) -> None:
    expected = float(betabinom.sf(needed - 1, ordered, good, scrap))
    assert chance_enough_by_record(needed, ordered, Record(good, scrap)) == pytest.approx(expected, abs=1e-8)


@given(st.integers(1, 200), st.integers(0, 499), st.floats(0, 0.99), counts, counts)
def test_one_casting_more_is_never_worse(
    needed: int, ordered: int, scrap: float, good: float, lost: float
) -> None:
    assert chance_enough(needed, ordered + 1, scrap) >= chance_enough(needed, ordered, scrap) - 1e-12
    record = Record(good, lost)
    more = chance_enough_by_record(needed, ordered + 1, record)
    assert more >= chance_enough_by_record(needed, ordered, record) - 1e-9


@settings(max_examples=50)
@given(
    st.integers(1, 40),
    st.one_of(st.floats(0, 0.5), st.builds(Record, st.floats(5, 50), st.floats(1, 5))),
    st.floats(0.5, 0.9),
    st.integers(1, 12),
)
def test_it_is_the_smallest_number_that_is_enough(
    needed: int, prior: Record | float, confidence: float, rows: int
) -> None:
    advice = order_table(needed, prior, confidence, rows)

    def scipy_chance(number: int) -> float:
        if isinstance(prior, Record):
            return float(betabinom.sf(needed - 1, number, prior.good, prior.scrap))
        return float(binom.sf(needed - 1, number, 1 - prior))

    assert scipy_chance(advice.number) >= confidence - 1e-7
    assert scipy_chance(advice.number - 1) < confidence + 1e-7
    assert advice.number in [row.ordered for row in advice.rows]
    assert len(advice.rows) <= rows
    assert [row.enough for row in advice.rows] == [row.ordered >= advice.number for row in advice.rows]


def test_a_record_with_more_scrap_orders_more() -> None:
    before = Record(9, 1)
    after = before.plus(good=1, scrap=2)
    assert (after.good, after.scrap) == (10, 3)
    assert after.scrap_chance == pytest.approx(3 / 13)
    assert order_table(6, after, 0.9).number > order_table(6, before, 0.9).number


def test_a_wanted_chance_met_exactly_is_met() -> None:
    # One casting of scrap chance 0.1 is good with a chance of 0.9, whatever a float makes of 1 - 0.1.
    assert order_table(1, 0.1, 0.9).number == 1
    assert order_table(2, 0.1, 0.81).number == 2
    assert order_table(3, 0.0, 0.999).number == 3


@pytest.mark.parametrize(
    ("experience", "scrap_chance", "number", "chance"),
    [("some", 0.05, 7, 0.9556), ("first", 0.10, 8, 0.9619)],
)
def test_the_usual_figures_buy_what_the_trades_rule_buys(
    experience: str, scrap_chance: float, number: int, chance: float
) -> None:
    # "For six drivers seven, or eight for a first attempt": common practice, no source. The chances are SciPy's
    # binom.sf(5, number, 1 - scrap_chance), to four decimals.
    taken = reckoned(EXPERIENCE[experience].prior, scrapped=0)
    assert taken == scrap_chance
    advice = order_table(6, taken, 0.95)
    assert (advice.number, round(advice.chance, 4)) == (number, chance)
    assert advice.chance == pytest.approx(binom.sf(5, number, 1 - scrap_chance), rel=1e-12)


def test_a_casting_lost_makes_the_record_count_and_a_chance_typed_stands() -> None:
    for prior in (Record(9, 1), Record(19, 1)):
        assert reckoned(prior, scrapped=1) == prior
        # News of a loss never makes it look better.
        assert chance_of_enough(5, 7, reckoned(prior, 1).plus(1, 1)) < chance_of_enough(
            5, 7, reckoned(prior, 0)
        )
    assert reckoned(0.2, scrapped=0) == reckoned(0.2, scrapped=3) == 0.2


@pytest.mark.parametrize(
    ("needed", "prior", "confidence", "field", "says"),
    [
        (0, 0.1, 0.95, "needed", "1 to 200"),
        (201, 0.1, 0.95, "needed", "1 to 200"),
        (6, 1.0, 0.95, "scrap_chance", "below 100 %"),
        (6, -0.1, 0.95, "scrap_chance", "0 or more"),
        (6, float("nan"), 0.95, "scrap_chance", "0 or more"),
        (6, 0.1, 1.0, "confidence", "below 100 %"),
        (6, 0.1, 0.0, "confidence", "above 0"),
        (6, 0.1, float("nan"), "confidence", "above 0"),
        (6, 0.99, 0.95, "scrap_chance", "Even 500"),
        (200, Record(4, 1), 0.99, "confidence", "two lots"),
    ],
)
def test_figures_outside_their_limits(
    needed: int, prior: Record | float, confidence: float, field: str, says: str
) -> None:
    with pytest.raises(OrderingError, match=says) as caught:
        order_table(needed, prior, confidence)
    assert caught.value.field == field


def test_records_that_cannot_be() -> None:
    for good, scrap in ((0, 1), (9, 0), (float("nan"), 1), (9, float("inf"))):
        with pytest.raises(OrderingError, match="A record needs"):
            Record(good, scrap)
    with pytest.raises(OrderingError, match="below nothing"):
        Record(9, 1).plus(-1, 0)
    with pytest.raises(ValueError, match="rows"):
        order_table(6, 0.1, 0.95, rows=0)


def test_the_table_does_not_run_past_the_most_that_can_be_ordered() -> None:
    advice = order_table(1, 0.994, 0.95)  # 0.994^498 = 0.04996, so 498 is the first below 5 %
    assert advice.number == 498
    assert advice.rows[-1].ordered <= 500
    assert order_table(1, 0.994, 0.95, rows=1).rows[0].ordered == 498


def test_words_and_working() -> None:
    advice = order_table(6, Record(9, 1), 0.95)
    assert order_words(6, advice.number, advice.chance, 0.95) == (
        "Order 9 castings: the chance that at least 6 come good is 95.8 %, where 95 % is wanted."
    )
    assert [work.result for work in advice.workings] == ["0.100", "9"]
    assert "binomial" in order_table(6, 0.1, 0.95).workings[0].source


@given(st.floats(0, 1 - 1e-8))
def test_a_chance_never_reads_better_than_it_is(chance: float) -> None:
    assert float(per_cent(chance).removesuffix(" %")) <= chance * 100 + 1e-6
