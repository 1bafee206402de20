"""Wheels by throw against trying every arrangement."""

import itertools
from collections.abc import Mapping, Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.cranks.cylinders import Side
from domain.lengths import Unit
from domain.pairing.throws import (
    ThrowPairing,
    ThrowPairingError,
    ThrowPlace,
    ThrowWheel,
    exchange_words,
    pair_throws,
)

BASE = 22_225_000


def wheels_of(throws: Sequence[int]) -> list[ThrowWheel]:
    return [ThrowWheel(f"w{n}", f"W{n}", BASE + nm) for n, nm in enumerate(throws)]


def places_of(axles: int) -> list[ThrowPlace]:
    sides = (Side.LEFT, Side.RIGHT)
    return [
        ThrowPlace(f"{n}{side}", f"axle {n}, {side}", side) for n in range(1, axles + 1) for side in sides
    ]


def pair(wheels, places, today=None, **more) -> ThrowPairing:  # type: ignore[no-untyped-def]
    return pair_throws(wheels, places, today or {}, Unit.MM, **more)


def score(
    places: Sequence[ThrowPlace], chosen: Sequence[ThrowWheel], today: Mapping[str, str]
) -> tuple[int, ...]:
    spreads = []
    for side in (Side.LEFT, Side.RIGHT):
        throws = [w.throw_nm for p, w in zip(places, chosen, strict=True) if p.side is side]
        spreads.append(max(throws) - min(throws) if throws else 0)
    moves = sum(today.get(p.key) != w.key for p, w in zip(places, chosen, strict=True))
    return max(spreads), sum(spreads), moves


def best_of(wheels, places, today, fixed) -> tuple[int, ...]:  # type: ignore[no-untyped-def]
    ways = []
    for chosen in itertools.permutations(wheels, len(places)):
        by_place = {p.key: w.key for p, w in zip(places, chosen, strict=True)}
        if all(by_place[place] == wheel for place, wheel in fixed.items()):
            ways.append(score(places, chosen, {**today, **fixed}))
    return min(ways)


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_no_other_arrangement_does_better(data: st.DataObject) -> None:
    axles = data.draw(st.integers(1, 3))
    count = 2 * axles + data.draw(st.integers(0, 1 if axles == 3 else 3))
    wheels = wheels_of(data.draw(st.lists(st.integers(-9, 9), min_size=count, max_size=count)))
    places = places_of(axles)[: data.draw(st.integers(1, 2 * axles))]
    order = data.draw(st.permutations(wheels))
    today = {p.key: w.key for p, w in zip(places, order, strict=False)}
    on = data.draw(st.sets(st.sampled_from(sorted(today))))
    fixed = {place: today[place] for place in on}
    found = pair(wheels, places, today, fixed=fixed)
    of = {one.place.key: one.wheel for one in found.pairs}
    assert len({wheel.key for wheel in of.values()}) == len(places)
    assert {key: of[key].key for key in fixed} == fixed
    got = score(places, [of[place.key] for place in places], today)
    assert got == best_of(wheels, places, today, fixed)
    assert (max(found.left_nm, found.right_nm), found.left_nm + found.right_nm) == got[:2]
    assert len(found.moves) == got[2]
    assert {one.key for one in found.spares} == {w.key for w in wheels} - {w.key for w in of.values()}


def test_eight_wheels_tried_every_way() -> None:
    wheels, places = wheels_of([12, -3, 40, 7, 38, 41, 0, 15]), places_of(4)
    today = {p.key: w.key for p, w in zip(places, wheels, strict=True)}
    throws = [wheel.throw_nm for wheel in wheels]
    least = min(
        max(max(left) - min(left), max(rest) - min(rest))
        for chosen in itertools.combinations(range(8), 4)
        for left in [[throws[n] for n in chosen]]
        for rest in [[throws[n] for n in range(8) if n not in chosen]]
    )
    found = pair(wheels, places, today)
    assert max(found.left_nm, found.right_nm) == least


@given(st.lists(st.integers(-200, 200), min_size=2, max_size=12).filter(lambda throws: len(throws) % 2 == 0))
@settings(max_examples=60, deadline=None)
def test_with_nothing_fixed_it_is_sort_and_split(throws: list[int]) -> None:
    found = pair(wheels_of(throws), places_of(len(throws) // 2))
    low, high = sorted(throws)[: len(throws) // 2], sorted(throws)[len(throws) // 2 :]
    assert max(found.left_nm, found.right_nm) == max(low[-1] - low[0], high[-1] - high[0])


@given(st.lists(st.integers(-20, 20), min_size=8, max_size=9))
@settings(max_examples=30, deadline=None)
def test_following_it_leaves_nothing_more_to_gain(throws: list[int]) -> None:
    wheels, places = wheels_of(throws), places_of(4)
    first = pair(wheels, places, {p.key: w.key for p, w in zip(places, wheels, strict=False)})
    again = pair(wheels, places, {one.place.key: one.wheel.key for one in first.pairs})
    assert again.moves == ()
    assert again.words.endswith("already the best.")
    assert (again.left_nm, again.right_nm) == (again.today_left_nm, again.today_right_nm)


def test_a_gain_below_the_uncertainty_is_said_to_be_so() -> None:
    wheels, places = wheels_of([0, 4_000, 3_000, 1_000]), places_of(2)
    today = {p.key: w.key for p, w in zip(places, wheels, strict=True)}
    sure = pair(wheels, places, today, expanded_nm=1_000)
    assert (sure.today_left_nm, sure.today_right_nm) == (3_000, 3_000)
    assert (sure.left_nm, sure.right_nm, sure.within_doubt) == (1_000, 1_000, False)
    unsure = pair(wheels, places, today, expanded_nm=2_000)
    assert unsure.within_doubt
    assert unsure.words.endswith("no more than the measurement can tell.")
    assert pair(wheels, places).today_left_nm is None


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"wheels": wheels_of([1])}, "2 places need 2 wheels"),
        ({"wheels": [ThrowWheel("a", "A", 0), *wheels_of([1])]}, "throw of A"),
        ({"wheels": wheels_of([1]) * 2}, "given twice"),
        ({"places": [ThrowPlace("1", "1", Side.INSIDE)]}, "left or the right end"),
        ({"today": {"1left": "w0", "1right": "w0"}}, "on two places"),
        ({"fixed": {"1left": "unknown"}}, "log its throw first"),
        ({"expanded_nm": -1}, "below nothing"),
    ],
)
def test_what_cannot_be_paired_is_refused(change: dict[str, object], says: str) -> None:
    with pytest.raises(ThrowPairingError, match=says):
        pair(**{"wheels": wheels_of([1, 2]), "places": places_of(1), **change})


def test_what_is_said_of_wheels_on_their_axles_and_what_exchanging_them_would_bring() -> None:
    """Throws 0, 40, 41, 1 on left, right, left, right: 41 and 39 lie within the sides; with two exchanged 1 and 1."""
    wheels, places = wheels_of([0, 40_000, 41_000, 1_000]), places_of(2)
    today = {place.key: wheel.key for place, wheel in zip(places, wheels, strict=True)}
    held, free = pair(wheels, places, today, fixed=today), pair(wheels, places, today)
    assert held.words.endswith("All are on their axles, so none can be exchanged.")
    assert (free.left_nm, free.right_nm) == (1_000, 1_000)
    words = exchange_words(held, free, Unit.MM)
    assert words.startswith("If they could: exchanging W")
    moved = {one.wheel.mark for one in free.moves}
    assert len(moved) == 2 and all(mark in words for mark in moved)
    assert "left throws to within 0.001 mm (0.0000 in) and the right to within 0.001 mm" in words
    assert exchange_words(free, free, Unit.MM) == ""
    unsure = pair(wheels, places, today, expanded_nm=100_000)
    assert exchange_words(held, unsure, Unit.MM).endswith("no more than the measurement can tell.")
    some = {places[0].key: wheels[0].key, places[1].key: wheels[1].key}
    best = {**some, places[2].key: wheels[3].key, places[3].key: wheels[2].key}
    assert pair(wheels, places, best, fixed=some).words.endswith(
        "already the best for those not on their axles yet."
    )
    # A spare comes in: it is put somewhere, nothing is exchanged.
    spare = [*wheels_of([0, 1_000, 40_000, 1_000]), ThrowWheel("s", "S", BASE)]
    seats = {place.key: wheel.key for place, wheel in zip(places, spare, strict=False)}
    words = exchange_words(pair(spare, places, seats, fixed=seats), pair(spare, places, seats), Unit.MM)
    assert "If they could: putting S at axle 2, left would" in words


@pytest.mark.parametrize(
    ("left_high", "right_high", "said"), [(100_000, 100_000, True), (100_000, 195_000, False)]
)
def test_an_exchange_that_gains_less_than_a_tenth_is_not_named(
    left_high: int, right_high: int, said: bool
) -> None:
    """Left 0 and the one, right 5 or 190 um and the other: only in the first case do like ones come together."""
    low = 0 if said else 95_000
    wheels, places = wheels_of([0, 5_000 if said else low, left_high, right_high]), places_of(2)
    today = {place.key: wheel.key for place, wheel in zip(places, wheels, strict=True)}
    held, free = pair(wheels, places, today, fixed=today), pair(wheels, places, today)
    gain = max(held.left_nm, held.right_nm) - max(free.left_nm, free.right_nm)
    assert (gain * 10 >= max(held.left_nm, held.right_nm)) is said
    assert bool(exchange_words(held, free, Unit.MM)) is said
