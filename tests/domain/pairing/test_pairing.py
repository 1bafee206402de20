"""The best pairing against SciPy's, against trying everything, and by the sorted-order theorem."""

import itertools
import random
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from domain.answer import Answer
from domain.lengths import Unit
from domain.pairing.best import PairCasting, Pairing, PairingError, PairSeat, Standing, pair_castings

SEAT = 19_050_000
MIDDLE = 35_000


def bond(bore_nm: int, seat_nm: int) -> Answer:
    clearance = bore_nm - seat_nm
    if 20_000 <= clearance <= 50_000:
        return Answer.SERVES
    return Answer.CAUTION if 50_000 < clearance <= 100_000 else Answer.NOT


def always(answer: Answer):  # type: ignore[no-untyped-def]
    return lambda bore_nm, seat_nm: answer


def castings_of(bores: Sequence[int]) -> list[PairCasting]:
    return [PairCasting(f"c{n:02}", f"W{n}", SEAT + bore) for n, bore in enumerate(bores)]


def seats_of(sizes: Sequence[int]) -> list[PairSeat]:
    return [PairSeat(f"s{n:02}", f"axle {n // 2 + 1}", SEAT + size) for n, size in enumerate(sizes)]


def today_of(castings: Sequence[PairCasting], seats: Sequence[PairSeat]) -> dict[str, str]:
    return {seat.key: casting.key for casting, seat in zip(castings, seats, strict=False)}


def pair(castings, seats, today=None, middle=MIDDLE, grade=bond, **more) -> Pairing:  # type: ignore[no-untyped-def]
    return pair_castings(castings, seats, today or {}, middle, grade, Unit.MM, **more)


def where(found: Pairing) -> dict[str, str]:
    return {one.seat.key: one.casting.key for one in found.pairs}


def score(pairs: Sequence[tuple[PairCasting, PairSeat]], grade=bond) -> tuple[int, ...]:  # type: ignore[no-untyped-def]
    """Lower is better; written apart from the code under test."""
    served = cared = near = far = 0
    for casting, seat in pairs:
        answer = grade(casting.bore_nm, seat.seat_nm)
        off = (casting.bore_nm - seat.seat_nm - MIDDLE) ** 2
        served += answer == Answer.SERVES
        cared += answer == Answer.CAUTION
        near += off if answer != Answer.NOT else 0
        far += off if answer == Answer.NOT else 0
    return -served, -cared, near, far


def score_of(found: Pairing) -> tuple[int, ...]:
    best = found.best
    return -best.serves, -best.caution, best.served_off_nm2, best.failed_off_nm2


def everything(castings: Sequence[PairCasting], seats: Sequence[PairSeat]):  # type: ignore[no-untyped-def]
    if len(castings) >= len(seats):
        for chosen in itertools.permutations(castings, len(seats)):
            yield list(zip(chosen, seats, strict=True))
    else:
        for chosen in itertools.permutations(seats, len(castings)):
            yield list(zip(castings, chosen, strict=True))


@pytest.mark.parametrize("wheels", range(1, 13))
@pytest.mark.parametrize("spares", range(5))
def test_the_squares_are_as_small_as_scipy_finds_them(wheels: int, spares: int) -> None:
    chance = random.Random(1000 * wheels + spares)
    castings = castings_of([chance.randint(-60_000, 60_000) for _ in range(wheels + spares)])
    seats = seats_of([chance.randint(-30_000, 30_000) for _ in range(wheels)])
    # Under 2^53 even summed twelve times, so SciPy's floats are exact here.
    squares = [[(c.bore_nm - s.seat_nm - MIDDLE) ** 2 for c in castings] for s in seats]
    theirs = np.array(squares)[linear_sum_assignment(np.array(squares))].sum()
    found = pair(castings, seats, grade=always(Answer.SERVES))
    assert found.best == Standing(wheels, 0, 0, int(theirs), 0)
    assert len(found.spares) == spares


@pytest.mark.parametrize(
    ("wheels", "castings_count"),
    [(w, w + more) for w in range(1, 13) for more in range(-3, 5) if w + more > 0],
)
def test_the_most_serve_and_then_lie_nearest_as_scipy_finds_it(wheels: int, castings_count: int) -> None:
    chance = random.Random(500 * wheels + castings_count)
    um = 5_000  # coarse sizes: more ties, and weights that a float still holds
    castings = castings_of([um * chance.randint(-2, 24) for _ in range(castings_count)])
    seats = seats_of([um * chance.randint(-6, 6) for _ in range(wheels)])
    weight = 12 * 50**2 + 1  # above any sum of squares, in steps of 5 um
    costs = np.zeros((castings_count, wheels))
    for i, casting in enumerate(castings):
        for j, seat in enumerate(seats):
            served, cared, near, far = score([(casting, seat)])
            digits = ((served * 13 + cared) * weight + near // um**2) * weight + far // um**2
            costs[i, j] = digits
    assert np.abs(costs).max() * 12 < 2**53
    rows, columns = linear_sum_assignment(costs)
    theirs = [(castings[i], seats[j]) for i, j in zip(rows, columns, strict=True)]
    found = pair(castings, seats)
    assert score_of(found) == score(theirs)
    assert score_of(found) == score([(one.casting, one.seat) for one in found.pairs])
    assert len(found.pairs) == min(castings_count, wheels)


@given(
    st.lists(st.integers(-40, 130), min_size=0, max_size=5),
    st.lists(st.integers(-20, 20), min_size=0, max_size=4),
    st.booleans(),
)
@settings(max_examples=300)
def test_no_other_pairing_does_better(bores: list[int], sizes: list[int], known: bool) -> None:
    castings = castings_of([bore * 1000 for bore in bores])
    seats = seats_of([size * 1000 for size in sizes])
    today = today_of(castings, seats) if known else {}
    found = pair(castings, seats, today)

    def rank(pairs: list[tuple[PairCasting, PairSeat]]) -> tuple[object, ...]:
        stays = sum(today.get(seat.key) == casting.key for casting, seat in pairs)
        of_seat = {seat.key: casting.key for casting, seat in pairs}
        # "~" comes after every key: a filled seat is before an empty one.
        return (*score(pairs), -stays, [of_seat.get(seat.key, "~") for seat in seats])

    best = min(everything(castings, seats), key=rank)
    assert where(found) == {seat.key: casting.key for casting, seat in best}
    assert {one.key for one in found.spares} == {one.key for one in castings} - set(where(found).values())
    assert [one.key for one in found.empty] == [one.key for one in seats if one.key not in where(found)]


@given(st.integers(1, 12), st.data())
@settings(max_examples=60)
def test_with_equal_counts_the_smallest_goes_with_the_smallest(wheels: int, data: st.DataObject) -> None:
    """For a convex cost of the difference, sorted order is the cheapest (a theorem of optimal transport)."""
    sizes = st.lists(st.integers(-50_000, 50_000), min_size=wheels, max_size=wheels, unique=True)
    castings, seats = castings_of(data.draw(sizes)), seats_of(data.draw(sizes))
    found = pair(castings, seats, grade=always(data.draw(st.sampled_from(Answer))))
    by_bore = sorted(castings, key=lambda one: one.bore_nm)
    by_seat = sorted(seats, key=lambda one: one.seat_nm)
    assert where(found) == {seat.key: one.key for one, seat in zip(by_bore, by_seat, strict=True)}


@given(
    st.lists(st.integers(-4, 12), min_size=1, max_size=9),
    st.lists(st.integers(-3, 3), min_size=1, max_size=8),
    st.randoms(use_true_random=False),
)
def test_the_order_things_are_given_in_does_not_matter(
    bores: list[int], sizes: list[int], chance: random.Random
) -> None:
    castings = castings_of([bore * 10_000 for bore in bores])  # coarse: many exact ties
    seats = seats_of([size * 10_000 for size in sizes])
    today = today_of(castings, seats)
    found = pair(castings, seats, today)
    mixed_castings, mixed_seats = castings[:], seats[:]
    chance.shuffle(mixed_castings)
    chance.shuffle(mixed_seats)
    again = pair(mixed_castings, mixed_seats, today)
    assert where(again) == where(found)
    assert (again.best, again.today, again.gain) == (found.best, found.today, found.gain)
    assert [one.seat.key for one in again.pairs] == [s.key for s in mixed_seats if s.key in where(found)]


@given(
    st.lists(st.integers(-40, 130), min_size=2, max_size=9),
    st.lists(st.integers(-20, 20), min_size=2, max_size=8),
    st.data(),
)
def test_pressed_wheels_stay_and_the_rest_is_best_without_them(
    bores: list[int], sizes: list[int], data: st.DataObject
) -> None:
    castings = castings_of([bore * 1000 for bore in bores])
    seats = seats_of([size * 1000 for size in sizes])
    today = today_of(castings, seats)
    on = data.draw(st.sets(st.sampled_from(sorted(today)), max_size=len(today)))
    pressed = {seat: today[seat] for seat in on}
    found = pair(castings, seats, today, pressed=pressed)
    assert {one.seat.key: one.casting.key for one in found.pairs if one.pressed} == pressed
    assert not any(one.moves for one in found.pairs if one.pressed)
    free = pair(
        [one for one in castings if one.key not in pressed.values()],
        [one for one in seats if one.key not in pressed],
        {seat: casting for seat, casting in today.items() if seat not in pressed},
    )
    assert (found.best, found.today, found.spares) == (free.best, free.today, free.spares)
    assert [one for one in found.pairs if not one.pressed] == list(free.pairs)


@given(
    st.lists(st.integers(-40, 130), min_size=1, max_size=8),
    st.lists(st.integers(-20, 20), min_size=1, max_size=8),
)
def test_following_it_leaves_nothing_more_to_gain(bores: list[int], sizes: list[int]) -> None:
    castings = castings_of([bore * 1000 for bore in bores])
    seats = seats_of([size * 1000 for size in sizes])
    first = pair(castings, seats, today_of(castings, seats))
    assert score_of(first) <= score(list(zip(castings, seats, strict=False)))
    second = pair(castings, seats, where(first))
    assert second.moves == ()
    assert second.gain.startswith("Today's places are already the best")


def test_one_hopeless_bore_does_not_spoil_the_good_ones() -> None:
    # c2 is a millimetre too wide wherever it goes. Were all squares added alike, it would take the largest seat
    # and push c1 off the one that suits it exactly.
    castings, seats = castings_of([35_000, 45_000, 1_000_000]), seats_of([0, 10_000, 9_000])
    assert where(pair(castings, seats)) == {"s00": "c00", "s01": "c01", "s02": "c02"}
    alike = pair(castings, seats, grade=always(Answer.SERVES))
    assert where(alike) == {"s00": "c00", "s01": "c02", "s02": "c01"}


def test_more_that_serve_beats_nearer_to_the_middle() -> None:
    # Straight: 35 serves in the very middle and 15 fails. Crossed: 21 and 29 both serve.
    castings, seats = castings_of([35_000, 29_000]), seats_of([0, 14_000])
    found = pair(castings, seats, {"s00": "c00", "s01": "c01"})
    assert where(found) == {"s00": "c01", "s01": "c00"}
    assert found.gain == "2 good; today 1 good and 1 no good."
    assert [one.clearance_nm for one in found.pairs] == [29_000, 21_000]


def test_serving_beats_serving_with_care_and_that_beats_failing() -> None:
    # One seat: far off with care against failing by a hair, then serving at the edge against care nearer by.
    assert where(pair(castings_of([19_999, 99_000]), seats_of([0]))) == {"s00": "c01"}
    assert where(pair(castings_of([50_001, 50_000]), seats_of([0]))) == {"s00": "c01"}


def test_ties_leave_wheels_where_they_are_then_go_by_key() -> None:
    castings, seats = castings_of([35_000] * 4), seats_of([0, 0, 0])
    assert where(pair(castings, seats)) == {"s00": "c00", "s01": "c01", "s02": "c02"}
    today = {"s00": "c03", "s02": "c00"}
    assert where(pair(castings, seats, today)) == {"s00": "c03", "s01": "c01", "s02": "c00"}
    few = pair(castings[:2], seats)
    assert where(few) == {"s00": "c00", "s01": "c01"}
    assert [one.key for one in few.empty] == ["s02"]


def test_a_wheel_or_seat_not_measured_holds_its_partner() -> None:
    castings, seats = castings_of([80_000, 35_000]), seats_of([0, 45_000])
    # s00 holds a wheel that is not bored; c00 stands on a seat that is not measured.
    found = pair(castings, seats, {"s00": "not bored", "not measured": "c00"})
    assert where(found) == {"s01": "c01"}
    assert found.spares == found.empty == ()


def test_gain_in_words() -> None:
    seats = seats_of([0, 10_000])
    nearer = pair(castings_of([45_000, 35_000]), seats, {"s00": "c00", "s01": "c01"})
    assert nearer.gain == (
        "2 good, as today, and lie nearer to the middle:"
        " typically 0.000 mm (0.0000 in) off it, not 0.010 mm (0.0004 in)."
    )
    rest = pair(castings_of([5_000, 1_000]), seats, {"s00": "c01", "s01": "c00"})
    assert "already the best" in rest.gain
    assert rest.best.counts == (0, 0, 2)
    fails = pair(castings_of([5_000, 1_000]), seats, {"s00": "c00", "s01": "c01"})
    assert fails.gain == (
        "2 no good, as today and as well;"
        " those that are no good come nearer to the wanted fit and need less work."
    )
    hair = pair(castings_of([35_010, 35_000]), seats_of([0, 10]), {"s00": "c00", "s01": "c01"})
    assert hair.gain.endswith("by less than can be shown.")
    assert pair([], seats).gain == "No measured casting and measured seat are free to be paired."
    empty = pair(castings_of([35_000]), seats_of([0]))
    assert empty.gain == "1 good; today none is placed."


def test_an_interference_is_a_clearance_below_zero() -> None:
    def press(bore_nm: int, seat_nm: int) -> Answer:
        return Answer.SERVES if 8_000 <= seat_nm - bore_nm <= 15_000 else Answer.NOT

    castings, seats = castings_of([-15_000, -6_000]), seats_of([-1_000, 5_000])
    found = pair(castings, seats, middle=-11_500, grade=press)
    assert where(found) == {"s00": "c00", "s01": "c01"}
    assert found.best == Standing(2, 0, 0, 2_500**2 + 500**2, 0)
    assert "middle: interference 0.012 mm" in found.working.numbers


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"castings": castings_of([1]) * 2}, "The casting c00 is given twice"),
        ({"seats": seats_of([1]) * 2}, "The seat s00 is given twice"),
        ({"today": {"s00": "c00", "s01": "c00"}}, "on two seats today"),
        ({"pressed": {"s00": "c00", "s01": "c00"}}, "pressed on two seats"),
        ({"pressed": {"s00": "c00"}, "today": {"s00": "c01"}}, "today's list says otherwise"),
        ({"pressed": {"s00": "c00"}, "today": {"s01": "c00"}}, "today's list says otherwise"),
        ({"castings": [replace(castings_of([1])[0], bore_nm=0)]}, "The bore of W0 must be above zero"),
        ({"seats": [replace(seats_of([1])[0], seat_nm=-1)]}, "The seat on axle 1 must be above zero"),
    ],
)
def test_what_cannot_be_paired_is_refused_in_a_sentence(change: dict[str, object], says: str) -> None:
    given = {"castings": castings_of([1, 2]), "seats": seats_of([1, 2]), **change}
    with pytest.raises(PairingError, match=says):
        pair(**given)
