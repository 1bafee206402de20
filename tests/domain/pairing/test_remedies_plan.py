"""Exchanges by hand, and against counting the whole build before and after."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.answer import Answer
from domain.lengths import Unit
from domain.pairing.best import PairCasting, PairingError, PairSeat
from domain.pairing.remedies_plan import Swap, SwapKind, swaps

SEAT = 19_050_000


def bond(bore_nm: int, seat_nm: int) -> Answer:
    clearance = bore_nm - seat_nm
    if 20_000 <= clearance <= 50_000:
        return Answer.SERVES
    return Answer.CAUTION if 50_000 < clearance <= 100_000 else Answer.NOT


def build(bores: list[int], sizes: list[int]) -> tuple[list[PairCasting], list[PairSeat], dict[str, str]]:
    castings = [PairCasting(f"c{n}", f"W{n}", SEAT + 1000 * bore) for n, bore in enumerate(bores)]
    seats = [PairSeat(f"s{n}", f"axle {n + 1}", SEAT + 1000 * size) for n, size in enumerate(sizes)]
    return castings, seats, {f"s{n}": f"c{n}" for n in range(min(len(bores), len(sizes)))}


def find(bores: list[int], sizes: list[int], **more: object) -> tuple[Swap, ...]:
    castings, seats, today = build(bores, sizes)
    return swaps("c0", castings, seats, today, 35_000, bond, Unit.MM, **more)  # type: ignore[arg-type]


def test_two_wheels_that_serve_only_crosswise() -> None:
    (swap,) = find([18, 51], [0, -10])
    assert (swap.kind, swap.partner.mark, swap.there.label) == (SwapKind.EXCHANGE, "W1", "axle 2")  # type: ignore[union-attr]
    # 18 and 61 before: one fails, one take care. 28 and 51 after: one serves, one with care.
    assert (swap.now.counts, swap.after.counts, swap.gain) == ((0, 1, 1), (1, 1, 0), (1, 0))
    assert swap.words == (
        "Exchange W0 with W1 on axle 2: W0 on axle 2 has a clearance of 0.028 mm (0.0011 in) and W1 on axle 1"
        " has a clearance of 0.051 mm (0.0020 in); then 1 good and 1 take care,"
        " now 1 take care and 1 no good."
    )


def test_the_highest_gain_comes_first_and_then_the_least_to_carry() -> None:
    # W0 is too tight on axle 1 (15). Crosswise with W1: 45 and 25, where 55 was wide. With W2: 25 and 25, where
    # 35 served. The spare W3 serves in the very middle, the spare W4 only with care.
    found = find([15, 25, 25, 35, 60], [0, -30, -10])
    assert [(one.kind, one.partner.key, one.gain) for one in found if one.partner] == [
        (SwapKind.EXCHANGE, "c1", (2, -1)),
        (SwapKind.EXCHANGE, "c2", (1, 0)),
        (SwapKind.SPARE, "c3", (1, 0)),
        (SwapKind.SPARE, "c4", (0, 1)),
    ]
    assert len(found) == 4


def test_of_equal_gains_the_one_that_leaves_none_failing_comes_first() -> None:
    # With W1, both failing, only W0 is helped; with W2 both serve where one did.
    found = find([15, 5, 25], [0, -10, -10])
    assert [(one.partner.key, one.gain, one.after.fails) for one in found if one.partner] == [
        ("c2", (1, 0), 0),
        ("c1", (1, 0), 1),
    ]


def test_an_empty_place_and_a_spare() -> None:
    castings, seats, _ = build([10, 35], [0, -20])
    found = swaps("c0", castings, seats, {"s0": "c0"}, 35_000, bond, Unit.MM)
    assert [(one.kind, one.partner, one.there) for one in found] == [
        (SwapKind.MOVE, None, seats[1]),
        (SwapKind.SPARE, castings[1], None),
    ]
    assert found[0].words.startswith(
        "Move W0 to the empty place on axle 2: W0 on axle 2 has a clearance of 0.030 mm"
    )
    assert found[1].words.startswith("Put the spare W1 in its place: W1 on axle 1 has")


def test_a_pressed_wheel_is_never_touched() -> None:
    assert find([18, 51], [0, -10], pressed={"s1": "c1"}) == ()
    with pytest.raises(PairingError, match="W0 is on its axle already"):
        find([18, 51], [0, -10], pressed={"s0": "c0"})


def test_a_wheel_that_serves_has_nothing_to_gain_unless_it_helps_another() -> None:
    assert find([35, 35], [0, 0]) == ()
    (swap,) = find([35, 25], [0, 14])  # W1 fails on axle 2 with 11; crosswise 21 and 25 both serve
    assert (swap.gain, swap.after.counts) == ((1, 0), (2, 0, 0))


def test_what_cannot_be_asked_is_refused() -> None:
    castings, seats, today = build([18, 51], [0])
    for key, says in (("c9", "has no measured bore"), ("c1", "W1 has no measured seat today")):
        with pytest.raises(PairingError, match=says):
            swaps(key, castings, seats, today, 35_000, bond, Unit.MM)


def test_a_seat_whose_wheel_is_not_measured_is_left_alone() -> None:
    castings, seats, _ = build([10], [0, -20])
    assert swaps("c0", castings, seats, {"s0": "c0", "s1": "not bored"}, 35_000, bond, Unit.MM) == ()


@given(
    st.lists(st.integers(0, 110), min_size=1, max_size=6),
    st.lists(st.integers(-20, 20), min_size=1, max_size=5),
)
def test_every_exchange_betters_the_build_and_none_that_does_is_missed(
    bores: list[int], sizes: list[int]
) -> None:
    castings, seats, today = build(bores, sizes)

    def counts(places: dict[str, str]) -> tuple[int, int]:
        size, bore = {s.key: s.seat_nm for s in seats}, {c.key: c.bore_nm for c in castings}
        answers = [bond(bore[casting], size[seat]) for seat, casting in places.items()]
        return answers.count(Answer.SERVES), answers.count(Answer.CAUTION)

    # Every build that differs by moving c0 and whoever it meets.
    better = {}
    for seat in seats[1:]:
        after = {**today, seat.key: "c0"}
        if seat.key in today:
            after["s0"] = today[seat.key]
        else:
            del after["s0"]
        better["", seat.key] = counts(after)
    for casting in castings[len(sizes) :]:
        better[casting.key, ""] = counts({**today, "s0": casting.key})
    now = counts(today)
    better = {what: after for what, after in better.items() if after > now}
    found = find(bores, sizes)
    gains = {
        (
            one.partner.key if one.partner and not one.there else "",
            one.there.key if one.there else "",
        ): one.gain
        for one in found
    }
    assert gains == {what: (after[0] - now[0], after[1] - now[1]) for what, after in better.items()}
    assert [one.gain for one in found] == sorted((one.gain for one in found), reverse=True)
