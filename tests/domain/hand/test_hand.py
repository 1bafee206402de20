"""The builder's hand against SciPy, by simulation with a fixed seed, and by laws that hold of any readings."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import optimize, stats

from domain.hand.counting import chance_by_count
from domain.hand.spread import FEWEST, Hand, best_move, chance_between, hand_of, next_range, slips
from domain.ordering.chances import OrderingError

STEP = 2_540
departures = st.lists(st.integers(-200_000, 200_000), min_size=FEWEST, max_size=40)
hands = st.builds(Hand, st.integers(FEWEST, 60), st.floats(-1e5, 1e5), st.floats(500, 1e5))
windows = st.tuples(st.floats(-1e5, 1e5), st.floats(0, 1e5)).map(lambda one: (one[0], one[0] + one[1]))


def hand(found: list[int]) -> Hand:
    made = hand_of(found, STEP)
    assert made is not None
    return made


# --- against SciPy and by hand ---


def test_by_hand() -> None:
    # Departures 0, 1, 2, 3, 4: mean 2, sum of squares 10, s = sqrt(10/4); the next one's scale sqrt(2.5 * 6/5) = sqrt 3.
    made = hand([0, 10_000, 20_000, 30_000, 40_000])
    assert (made.count, made.off_nm) == (5, 20_000)
    assert made.spread_nm == pytest.approx(10_000 * 2.5**0.5)
    assert made.next_spread_nm == pytest.approx(10_000 * 3**0.5)
    # t of 4 degrees for 95 % is 2.776 (GUM, table G.2).
    low, high = next_range(made, 0.95)
    assert (high - low) / 2 == pytest.approx(2.776 * 10_000 * 3**0.5, rel=2e-4)


@given(departures)
def test_mean_and_spread_as_numpy_has_them(found: list[int]) -> None:
    made, spread = hand(found), float(np.std(found, ddof=1))
    assert made.off_nm == pytest.approx(float(np.mean(found)), abs=1e-6)
    assert made.spread_nm == pytest.approx(max(spread, STEP / 12**0.5))


@given(hands, windows, st.floats(-1e5, 1e5))
def test_the_chance_as_scipy_has_it(made: Hand, window: tuple[float, float], moved: float) -> None:
    predicted = stats.t(
        made.count - 1, loc=made.off_nm + moved, scale=made.spread_nm * (1 + 1 / made.count) ** 0.5
    )
    expected = float(predicted.cdf(window[1]) - predicted.cdf(window[0]))
    assert chance_between(made, *window, moved) == pytest.approx(expected, abs=1e-11)


@given(hands, st.floats(0.01, 0.99))
def test_the_range_as_scipy_has_it(made: Hand, chance: float) -> None:
    scale = made.spread_nm * (1 + 1 / made.count) ** 0.5
    expected = stats.t.interval(chance, made.count - 1, loc=made.off_nm, scale=scale)
    assert next_range(made, chance) == pytest.approx(tuple(map(float, expected)), rel=1e-7, abs=1e-3)
    assert chance_between(made, *next_range(made, chance)) == pytest.approx(chance, abs=1e-9)


@pytest.mark.parametrize("window", [(-14_000, 14_000), (-3_000, 25_000), (-90_000, -80_000)])
def test_where_to_aim_as_scipy_searches_it(window: tuple[int, int]) -> None:
    made = Hand(9, 33_000, 20_000)
    found = optimize.minimize_scalar(
        lambda moved: -chance_between(made, *window, moved), bracket=(-150_000, -20_000), tol=1e-10
    )
    assert best_move(made, *window) == pytest.approx(found.x, abs=20)


@given(st.integers(0, 60), st.integers(0, 60), st.integers(1, 30), st.integers(0, 30))
def test_counting_as_scipy_has_it(good: int, bad: int, wanted: int, more: int) -> None:
    expected = float(stats.betabinom.sf(wanted - 1, wanted + more, good + 1, bad + 1))
    found = chance_by_count(good, good + bad, wanted, wanted + more)
    assert found == pytest.approx(expected, abs=1e-9)


def test_the_rule_of_succession() -> None:
    for good, made in ((0, 5), (5, 5), (6, 9)):
        assert chance_by_count(good, made, 1, 1) == pytest.approx((good + 1) / (made + 2))


def test_more_good_than_made_is_refused() -> None:
    with pytest.raises(OrderingError):
        chance_by_count(6, 5, 1, 1)


@given(
    st.lists(st.integers(-50_000, 50_000), min_size=FEWEST + 1, max_size=30), st.integers(-500_000, 500_000)
)
def test_a_slip_as_grubbs_has_it(found: list[int], odd: int) -> None:
    """By the form that is in the books: G = max |x - mean| / s, against (n-1)/sqrt n sqrt(t^2 / (n - 2 + t^2))."""
    found = [*found, odd]
    n, mean, spread = len(found), np.mean(found), np.std(found, ddof=1)
    assume(spread > 0)
    off = np.abs(np.array(found) - mean)
    farthest = int(off.argmax())
    # One that has a double at the same distance, or that is by its step and not its spread, is another case.
    assume((off == off[farthest]).sum() == 1)
    assume(np.std(np.delete(found, farthest), ddof=1) > STEP)
    t = stats.t.ppf(1 - 0.01 / (2 * n), n - 2)
    limit = (n - 1) / n**0.5 * (t**2 / (n - 2 + t**2)) ** 0.5
    assume(abs(off[farthest] / spread - limit) > 1e-6)
    apart = slips(found, [False] * n, STEP)
    assert (apart[:1] == (farthest,)) == (off[farthest] / spread > limit)


def test_a_slip_as_the_printed_table_has_it() -> None:
    # Grubbs, two-sided 1 %, n = 10: 2.482. Nine alternate, the tenth is moved until its G is a little under or over that.
    base = [1_000_000, -1_000_000] * 4 + [0]
    for wanted, expected in ((2.472, ()), (2.492, (9,))):
        low, high = 0.0, 1e9
        for _ in range(80):
            odd = (low + high) / 2
            whole = np.array([*base, odd])
            low, high = (odd, high) if (odd - whole.mean()) / whole.std(ddof=1) < wanted else (low, odd)
        assert slips([*base, low], [False] * 10, 1) == expected


def test_no_good_one_is_a_slip_and_too_few_have_none() -> None:
    apart = [0, 2_000, 4_000, 2_000, 2_000, 90_000]
    assert slips(apart, [True] * 5 + [False], STEP) == (5,)
    assert slips(apart, [True] * 6, STEP) == ()
    assert slips(apart[1:], [False] * 5, STEP) == ()
    assert slips([*apart, -400_000], [True] * 5 + [False] * 2, STEP) == (6, 5)
    # A last figure up or down is none.
    assert slips([0] * 9 + [STEP], [False] * 10, STEP) == ()


# --- by simulation ---


@pytest.mark.parametrize("count", [6, 10, 30])
def test_a_sample_without_a_slip_seldom_has_one(count: int) -> None:
    rng, runs = np.random.default_rng(seed=17), 3_000
    made = rng.normal(0, 20_000, (runs, count))
    called = sum(bool(slips(row.tolist(), [False] * count, 1)) for row in made)
    assert called / runs == pytest.approx(0.01, abs=4 * (0.01 * 0.99 / runs) ** 0.5)


@pytest.mark.parametrize("count", [5, 8, 20])
@pytest.mark.parametrize("share", [0.5, 0.9])
def test_so_many_of_the_next_ones_come_within_the_range(count: int, share: float) -> None:
    """Of many builders with a hand of their own, the next one lies in its range as often as is said."""
    rng, runs = np.random.default_rng(seed=14), 6_000
    offs, spreads = rng.uniform(-50_000, 50_000, runs), rng.uniform(5_000, 50_000, runs)
    made = rng.normal(offs[:, None], spreads[:, None], (runs, count + 1))
    inside = 0
    for row in made:
        known = hand_of(row[:-1].tolist(), 1)
        assert known is not None
        low, high = next_range(known, share)
        inside += low <= row[-1] <= high
    # Four times what so many draws scatter by.
    assert inside / runs == pytest.approx(share, abs=4 * (share * (1 - share) / runs) ** 0.5)


def test_what_normal_theory_alone_would_say_is_too_narrow() -> None:
    """The reason for Student's t: with five, nine in ten by the normal distribution are fewer than that."""
    rng = np.random.default_rng(seed=14)
    made = rng.normal(0, 1, (20_000, FEWEST + 1))
    wide = stats.norm.ppf(0.95) * made[:, :-1].std(axis=1, ddof=1)
    inside = np.abs(made[:, -1] - made[:, :-1].mean(axis=1)) <= wide
    assert inside.mean() < 0.82


def test_aimed_anew_the_next_ones_come_good_more_often() -> None:
    """Of builders who all cut 10 over: moving the aim as advised helps, though it is known from eight only."""
    rng, runs, half = np.random.default_rng(seed=15), 6_000, 14_000.0
    made = rng.normal(10_000, 8_000, (runs, 9))
    before = moved_good = 0
    said = 0.0
    for row in made:
        known = hand_of(row[:-1].tolist(), 1)
        assert known is not None
        moved = best_move(known, -half, half)
        before += abs(row[-1]) <= half
        moved_good += abs(row[-1] + moved) <= half
        said += chance_between(known, -half, half, moved)
    assert moved_good / runs > before / runs + 0.15
    # What is said is on the careful side, and not by much.
    assert moved_good / runs - 0.05 < said / runs <= moved_good / runs + 0.01


def test_counted_chances_come_true_as_often_as_they_are_said() -> None:
    """With every share of good ones as likely, all of the next three come good as often as is said."""
    rng, runs = np.random.default_rng(seed=16), 20_000
    share = rng.uniform(0, 1, runs)
    good, coming = rng.binomial(9, share), rng.binomial(3, share) == 3
    for seen in range(10):
        those = coming[good == seen]
        said = chance_by_count(seen, 9, 3, 3)
        assert those.mean() == pytest.approx(said, abs=4 * (said * (1 - said) / len(those)) ** 0.5 + 1e-3)


# --- laws ---


def test_below_five_nothing_is_known() -> None:
    assert [hand_of([0] * count, STEP) is None for count in range(7)] == [True] * FEWEST + [False] * 2


@given(departures, st.integers(-100_000, 100_000), windows)
def test_all_shifted_is_the_same_chance_shifted(
    found: list[int], by: int, window: tuple[float, float]
) -> None:
    made, shifted = hand(found), hand([one + by for one in found])
    assert shifted.off_nm == pytest.approx(made.off_nm + by, abs=1e-6)
    assert shifted.spread_nm == pytest.approx(made.spread_nm, rel=1e-9)
    low, high = window
    assert chance_between(shifted, low + by, high + by) == pytest.approx(
        chance_between(made, low, high), abs=1e-7
    )
    assert best_move(shifted, low, high) == pytest.approx(best_move(made, low, high) - by, abs=1e-6)


@given(departures, st.floats(0.1, 20), windows)
def test_all_scaled_is_the_same_chance(found: list[int], by: float, window: tuple[float, float]) -> None:
    made, scaled = hand(found), hand_of([one * by for one in found], STEP * by)
    assert scaled is not None
    assert scaled.spread_nm == pytest.approx(made.spread_nm * by, rel=1e-9)
    low, high = window
    assert chance_between(scaled, low * by, high * by) == pytest.approx(
        chance_between(made, low, high), abs=1e-7
    )


@given(hands, windows, st.floats(-1e5, 1e5))
def test_over_and_under_are_alike(made: Hand, window: tuple[float, float], moved: float) -> None:
    mirrored, (low, high) = Hand(made.count, -made.off_nm, made.spread_nm), window
    assert chance_between(mirrored, -high, -low, -moved) == pytest.approx(
        chance_between(made, low, high, moved), abs=1e-12
    )


@given(hands, windows, st.floats(-2e5, 2e5))
def test_no_other_aim_is_better(made: Hand, window: tuple[float, float], moved: float) -> None:
    best = chance_between(made, *window, best_move(made, *window))
    assert chance_between(made, *window, moved) <= best + 1e-12


@given(hands, st.floats(1.1, 10), windows)
def test_a_wider_spread_is_no_better_at_the_best_aim(
    made: Hand, by: float, window: tuple[float, float]
) -> None:
    wider = Hand(made.count, made.off_nm, made.spread_nm * by)
    move = best_move(made, *window)
    assert chance_between(wider, *window, move) <= chance_between(made, *window, move) + 1e-12


@given(hands, windows, st.floats(0, 1e5))
def test_a_wider_window_is_no_worse(made: Hand, window: tuple[float, float], by: float) -> None:
    low, high = window
    assert chance_between(made, low, high) <= chance_between(made, low - by, high + by) + 1e-12
    assert 0 <= chance_between(made, low, high) <= 1


@given(st.floats(-1e5, 1e5), st.floats(500, 1e5), st.floats(0.05, 0.95))
def test_more_of_the_same_are_surer(off: float, spread: float, chance: float) -> None:
    wide = [next_range(Hand(count, off, spread), chance)[1] for count in (5, 6, 10, 30, 100)]
    assert all(more <= fewer for fewer, more in pairwise(wide))


@given(st.integers(0, 40), st.integers(0, 40), st.integers(1, 20))
def test_one_good_more_is_better(good: int, bad: int, of: int) -> None:
    assume(good + bad >= FEWEST)
    now = chance_by_count(good, good + bad, of, of)
    assert chance_by_count(good + 1, good + bad + 1, of, of) > now
    assert chance_by_count(good, good + bad + 1, of, of) < now


def test_readings_that_all_agree_are_no_surer_than_their_step() -> None:
    made = hand([12_000] * 6)
    assert made.spread_nm == pytest.approx(STEP / 12**0.5)
    assert 0.9 < chance_between(made, 9_000, 15_000) < 1
