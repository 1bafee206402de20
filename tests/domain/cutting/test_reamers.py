"""What a reamer cuts, against the standard library, SciPy and the printed t; and which one is chosen."""

import math
import random
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from domain.cutting.reaming import Reamer, Way, choose, learn, ream_again
from domain.cutting.speeds import CuttingError
from domain.cutting.words import choice_words, prospect_words, ream_again_words, reamer_words
from domain.joints.kinds import FitKind
from domain.joints.terms import Joint
from domain.lengths import Unit

THREE_QUARTERS = 19_050_000


def reamer(*offsets_um: float, name: str = "3/4 in", nominal: int = THREE_QUARTERS) -> Reamer:
    return Reamer(name, nominal, tuple(nominal + round(1000 * offset) for offset in offsets_um))


def test_with_no_bore_nothing_is_known() -> None:
    cut = learn(reamer(), Unit.MM)
    assert (cut.count, cut.offset_nm, cut.spread_nm, cut.low_nm, cut.high_nm) == (0, *[None] * 4)
    assert reamer_words(cut, Unit.MM) == "Nothing is known of its cut: no bore is logged from it."


def test_one_bore_gives_an_offset_but_no_range() -> None:
    cut = learn(reamer(9), Unit.MM)
    assert (cut.count, cut.offset_nm, cut.spread_nm, cut.low_nm) == (1, 9_000, None, None)
    assert "a second is needed" in reamer_words(cut, Unit.MM)


@given(st.lists(st.integers(-50_000, 50_000), min_size=2, max_size=31))
def test_mean_spread_and_range(offsets: list[int]) -> None:
    bores = [THREE_QUARTERS + offset for offset in offsets]
    cut = learn(Reamer("r", THREE_QUARTERS, tuple(bores)), Unit.MM, resolution_nm=0)
    count, spread = len(bores), statistics.stdev(bores)
    assert abs(cut.offset_nm - statistics.fmean(offsets)) <= 0.5  # type: ignore[operator]
    assert cut.spread_nm == pytest.approx(spread, abs=1e-6)
    reach = stats.t.ppf(0.975, count - 1) * spread * math.sqrt(1 + 1 / count)
    mean = statistics.fmean(bores)
    # The table's t is good to half its third decimal, and the ends go out to whole nanometres.
    assert cut.low_nm == pytest.approx(mean - reach, abs=1 + 0.0004 * reach)
    assert cut.high_nm == pytest.approx(mean + reach, abs=1 + 0.0004 * reach)


def test_ninety_five_in_a_hundred_next_bores_fall_inside() -> None:
    """The range means what it says: drawn bores of a reamer that spreads by 4 um about 9 um over size."""
    chance = random.Random(19)
    inside = trials = 0
    for _ in range(4000):
        bores = [chance.gauss(9, 4) for _ in range(6)]
        cut = learn(reamer(*bores[:5]), Unit.MM, resolution_nm=0)
        inside += cut.low_nm <= THREE_QUARTERS + 1000 * bores[5] <= cut.high_nm  # type: ignore[operator]
        trials += 1
    # Three standard errors of a proportion of 0.95 in 4000.
    assert inside / trials == pytest.approx(0.95, abs=3 * math.sqrt(0.95 * 0.05 / trials))


def test_bores_alike_to_the_last_figure_still_spread_by_the_resolution() -> None:
    cut = learn(reamer(8, 8, 8), Unit.MM, resolution_nm=10_000)
    assert cut.spread_nm == pytest.approx(10_000 / math.sqrt(12))  # JCGM 100:2008 (GUM), F.2.2.1
    assert cut.low_nm < THREE_QUARTERS + 8_000 < cut.high_nm  # type: ignore[operator]


def test_more_bores_than_the_table_has_use_its_last_row() -> None:
    offsets = [1, 2] * 30
    cut = learn(reamer(*offsets), Unit.MM, resolution_nm=0)
    reach = 2.042 * statistics.stdev(offsets) * 1000 * math.sqrt(1 + 1 / 60)
    assert cut.high_nm == math.ceil(THREE_QUARTERS + 1500 + reach)


@given(st.lists(st.integers(-50_000, 50_000), min_size=2, max_size=12), st.integers(-1_000_000, 1_000_000))
def test_the_order_of_bores_and_the_size_do_not_matter(offsets: list[int], moved: int) -> None:
    cut = learn(Reamer("r", THREE_QUARTERS, tuple(THREE_QUARTERS + one for one in offsets)), Unit.MM)
    other = THREE_QUARTERS + moved
    same = learn(Reamer("r", other, tuple(other + one for one in offsets[::-1])), Unit.MM)
    assert (same.offset_nm, same.spread_nm) == (cut.offset_nm, cut.spread_nm)
    assert abs((same.high_nm or 0) - (cut.high_nm or 0) - moved) <= 1


LOW, HIGH = THREE_QUARTERS, THREE_QUARTERS + 21_000  # H7


def test_the_reamer_with_most_room_is_taken() -> None:
    near = reamer(2, 3, 3, 2, 3, name="near the limit")
    middle = reamer(10, 11, 10, 11, 10, name="in the middle")
    choice = choose([near, middle], LOW, HIGH, Unit.MM)
    assert (choice.way, choice.reamer) == (Way.REAM, middle)
    assert [one.reamer for one in choice.prospects] == [near, middle]
    assert choose([near], LOW, HIGH, Unit.MM).reamer is near
    assert choice_words(choice, Unit.MM) == "Ream with in the middle: its next bore is expected in limits."


def test_a_range_that_reaches_just_to_the_limits_serves_and_a_nanometre_less_does_not() -> None:
    one = reamer(8, 11, 9)
    cut = learn(one, Unit.MM)
    assert cut.low_nm is not None
    assert cut.high_nm is not None
    assert choose([one], cut.low_nm, cut.high_nm, Unit.MM).way is Way.REAM
    assert choose([one], cut.low_nm + 1, cut.high_nm, Unit.MM).way is Way.TRY
    assert choose([one], cut.low_nm, cut.high_nm - 1, Unit.MM).way is Way.TRY


def test_a_reamer_known_to_serve_comes_before_one_that_might() -> None:
    sure, unsure = reamer(3, 4, 3, 4, name="sure"), reamer(2, 19, name="wild")
    assert choose([unsure, sure], LOW, HIGH, Unit.MM).reamer is sure
    alone = choose([unsure], LOW, HIGH, Unit.MM)
    assert (alone.way, alone.reamer) == (Way.TRY, unsure)
    assert choice_words(alone, Unit.MM).startswith(
        "Try wild in scrap iron first. It cuts in limits on the whole, not surely."
    )


def test_an_untried_reamer_is_tried_only_when_its_marked_size_is_wanted() -> None:
    untried, other = reamer(name="untried"), Reamer("19 mm", 19_000_000)
    choice = choose([other, untried], LOW, HIGH, Unit.MM)
    assert (choice.way, choice.reamer) == (Way.TRY, untried)
    assert choice_words(choice, Unit.MM) == (
        "Try untried in scrap iron first. It may do. Nothing is known of its cut: no bore is logged from it."
    )
    assert (
        prospect_words(choice.prospects[0], Unit.MM)
        == "Its marked size is under the limits, at 19.000 mm (0.7480 in)."
    )


def test_an_untried_reamer_marked_at_the_top_limit_must_not_cut_larger() -> None:
    top = Reamer("top", HIGH)
    choice = choose([top], LOW, HIGH, Unit.MM)
    assert (choice.way, choice.reamer) == (Way.TRY, top)
    assert "only if it cuts no larger than marked" in choice_words(choice, Unit.MM)
    assert "no larger" not in choice_words(choose([Reamer("below", HIGH - 1)], LOW, HIGH, Unit.MM), Unit.MM)
    # A bore logged below the limit says more than the mark does.
    assert "no larger" not in choice_words(
        choose([Reamer("top", HIGH, (HIGH - 2_000,))], LOW, HIGH, Unit.MM), Unit.MM
    )


def test_one_logged_bore_counts_before_the_marked_size() -> None:
    over = reamer(30)
    choice = choose([over], LOW, HIGH, Unit.MM)
    assert (choice.way, choice.reamer) == (Way.BORE, None)
    assert (
        prospect_words(choice.prospects[0], Unit.MM) == "It cuts over the limits, at 19.080 mm (0.7512 in)."
    )
    assert choose([over], LOW + 25_000, HIGH + 25_000, Unit.MM).way is Way.TRY


# A 3/4 in seat as drawn, bonded with a gap of 0.02 to 0.05 mm: the bore wanted is 19.070 to 19.100 mm.
BONDED = Joint(
    FitKind.BOND, THREE_QUARTERS, THREE_QUARTERS, 38_100_000, 14_000_000, 20_000, 50_000, "en-gjl-200"
)
GAP = (THREE_QUARTERS + 20_000, THREE_QUARTERS + 50_000)


def test_a_reamer_that_is_owned_is_not_refused_while_its_seat_can_be_turned_to_suit() -> None:
    own = reamer(8, 8, 8)
    refused = choose([own], *GAP, Unit.MM)
    assert refused.way is Way.BORE
    choice = choose([own], *GAP, Unit.MM, to_suit=BONDED)
    assert (choice.way, choice.reamer) == (Way.SUIT, own)
    assert choice.best is not None
    # It cuts 19.058: less the gap of 0.02 to 0.05 mm.
    assert choice.best.seat_nm == (19_008_000, 19_038_000)
    assert choice_words(choice, Unit.MM) == (
        "Ream with 3/4 in, measure the hole, and turn its seat to suit: to between 19.008 mm (0.7483 in) and"
        " 19.038 mm (0.7495 in) for a hole of 19.058 mm (0.7503 in)."
    )
    assert "under the limits" in prospect_words(choice.best, Unit.MM)
    assert "suits it" in prospect_words(choice.best, Unit.MM)


def test_a_seat_is_turned_to_suit_only_near_the_drawing_s_and_only_where_no_reamer_serves_as_it_is() -> None:
    # Our own rule, a fiftieth of the seat: 19 mm is near 3/4 in, 20 mm is another axle.
    near, far = Reamer("19 mm", 19_000_000), Reamer("20 mm", 20_000_000)
    assert choose([far], *GAP, Unit.MM, to_suit=BONDED).way is Way.BORE
    assert choose([far, near], *GAP, Unit.MM, to_suit=BONDED).reamer is near
    closer = reamer(name="3/4 in")
    assert choose([near, closer], *GAP, Unit.MM, to_suit=BONDED).reamer is closer
    sure = reamer(35, 35, 35, name="oversize")
    assert choose([closer, sure], *GAP, Unit.MM, to_suit=BONDED).way is Way.REAM


def test_a_tight_hole_is_reamed_again_with_what_the_reamer_has_cut() -> None:
    # Bores 8, 10 and 15 um over its mark: 11 um on the whole; 19.060 wants 10 um more to 19.070.
    found = ream_again(THREE_QUARTERS + 10_000, GAP[0], reamer(8, 10, 15), Unit.MM)
    assert found is not None
    assert (found.wanting_nm, found.offset_nm, found.most_nm) == (10_000, 11_000, 15_000)
    assert ream_again_words(found, Unit.MM, 279.6) == (
        "Ream it again with 3/4 in, a little faster, never above 279 rpm: 0.010 mm (0.0004 in) is wanting. So far it has cut"
        " +0.011 mm (+0.0004 in) on its marked size in 3 bores, at most +0.015 mm (+0.0006 in). Gauge it after each go."
    )
    unnamed = ream_again(THREE_QUARTERS + 10_000, GAP[0], None, Unit.MM)
    assert unnamed is not None
    assert ream_again_words(unnamed, Unit.MM, 279.6).startswith(
        "If it was reamed, ream it again a little faster, never above 279 rpm: 0.010 mm"
    )


def test_a_reamer_opens_a_hole_by_two_thou_and_no_more() -> None:
    # From memory, verify: 0.002 in.
    assert ream_again(GAP[0] - 50_800, GAP[0], None, Unit.MM) is not None
    assert ream_again(GAP[0] - 50_801, GAP[0], None, Unit.MM) is None
    assert ream_again(GAP[0], GAP[0], None, Unit.MM) is None


def test_the_boring_bar() -> None:
    choice = choose([], LOW, HIGH, Unit.MM)
    assert (choice.way, choice.reamer, choice.prospects) == (Way.BORE, None, ())
    assert choice_words(choice, Unit.MM) == (
        "Use the boring bar, to between 19.050 mm (0.7500 in) and 19.071 mm (0.7508 in): no reamer is listed."
    )
    # The limits said are closed in to what can be shown: 19.0504 would read 19.050.
    assert "between 19.051 mm" in choice_words(choose([], LOW + 400, HIGH, Unit.MM), Unit.MM)
    assert "between 19.050 mm (0.7500 in) and 19.050 mm" in choice_words(
        choose([], LOW + 100, LOW + 200, Unit.MM), Unit.MM
    )


@given(st.lists(st.lists(st.integers(-30, 40), max_size=4), max_size=5), st.randoms(use_true_random=False))
def test_the_order_of_the_list_does_not_matter(cuts: list[list[int]], chance: random.Random) -> None:
    owned = [reamer(*cut, name=f"r{n}") for n, cut in enumerate(cuts)]
    mixed = owned[:]
    chance.shuffle(mixed)
    first, second = (choose(some, LOW, HIGH, Unit.MM) for some in (owned, mixed))
    assert (first.way, first.reamer, choice_words(first, Unit.MM)) == (
        second.way,
        second.reamer,
        choice_words(second, Unit.MM),
    )


@pytest.mark.parametrize("limits", [(0, 1), (-5, 5), (HIGH, LOW)])
def test_limits_out_of_order_are_refused(limits: tuple[int, int]) -> None:
    with pytest.raises(CuttingError, match="limits of the bore must rise"):
        choose([], *limits, Unit.MM)


def test_sizes_that_cannot_be_are_refused() -> None:
    for bad in (Reamer("odd", 0), Reamer("odd", 5, (0,))):
        with pytest.raises(CuttingError, match="sizes of the reamer odd must be above zero"):
            learn(bad, Unit.MM)
    with pytest.raises(CuttingError, match="last figure of the instrument"):
        learn(reamer(1, 2), Unit.MM, resolution_nm=-1)
