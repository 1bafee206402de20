"""Which casting goes on which seat: the pairing that serves the most fits, then lies closest to the middle.

What is compared, in this order; a later one decides only where all before it are alike:

1. most fits that serve;
2. most fits that serve with care;
3. least sum of squared distances from the middle of the wanted fit, over the fits that serve, with care or not;
4. the same sum over the fits that do not serve. It comes apart, and later, because one hopeless bore would
   otherwise outweigh all the good ones: it is bored again or scrapped whatever its seat;
5. most castings left where they are today;
6. the first casting by key on the first seat by key.

The last leaves one best pairing and no other, so the answer does not hang on the order things are given in.
"""

from collections.abc import Mapping, Sequence

from domain.answer import Answer
from domain.lengths import Unit
from domain.pairing.assignment import cheapest_assignment
from domain.pairing.checks import check_pairing
from domain.pairing.types import (
    Grade,
    Pair,
    PairCasting,
    Pairing,
    PairingError,
    PairSeat,
    Standing,
    standing,
)
from domain.pairing.words import gain_words, working_of

__all__ = ["Grade", "Pair", "PairCasting", "PairSeat", "Pairing", "PairingError", "Standing", "pair_castings"]

_Placed = list[tuple[PairCasting, PairSeat]]


def pair_castings(
    castings: Sequence[PairCasting],
    seats: Sequence[PairSeat],
    today: Mapping[str, str],
    middle_nm: int,
    grade: Grade,
    unit: Unit,
    pressed: Mapping[str, str] | None = None,
) -> Pairing:
    """Find the best place for every measured casting, spares included.

    Formula: most that serve, then most that serve with care, then least sum of (bore - seat - middle)^2;
    the whole order is at the head of this file. Every seat is filled as long as there are castings.
    castings, seats: measured, sizes in nm above 0, keys of their own; only what may be exchanged, so coupled
    and carrying wheels are paired apart. A partner of today's that is not given holds its seat or casting
    where it is: it has not been measured yet, and nobody is sent away for it.
    today: seat key to casting key, as things are.
    middle_nm: the clearance in the middle of the wanted fit, nm; below zero for an interference.
    grade: judges a bore on a seat, both in nm.
    unit: the system to show first.
    pressed: seat key to casting key of wheels already on their axles; they stay, and are not counted.
    Returns: the pairs in the order of the seats, pressed ones among them; what is left over; counts and sums
    in nm^2 of best and today over the wheels free to move; the gain in words.
    Raises: PairingError when a key comes twice, one casting has two seats, or a size is not above zero.
    Source: the assignment problem, H. W. Kuhn 1955; what is compared is our own.

    >>> castings = [PairCasting("a", "A", 19_070_000), PairCasting("b", "B", 19_091_000)]
    >>> seats = [PairSeat("1L", "axle 1, left end", 19_052_000), PairSeat("1R", "axle 1, right end", 19_040_000)]
    >>> bond = lambda bore, seat: Answer.SERVES if 20_000 <= bore - seat <= 50_000 else Answer.NOT
    >>> found = pair_castings(castings, seats, {"1L": "a", "1R": "b"}, 35_000, bond, Unit.MM)
    >>> [(pair.seat.key, pair.casting.mark) for pair in found.pairs]
    [('1L', 'B'), ('1R', 'A')]
    >>> found.gain
    '2 good; today 2 no good.'
    """
    pressed = pressed or {}
    check_pairing(castings, seats, today, pressed)
    free_castings, free_seats = _free(castings, seats, today, pressed)
    placed = _best(free_castings, free_seats, today, middle_nm, grade)
    by_key = {casting.key: casting for casting in free_castings}
    now = [(by_key[today[seat.key]], seat) for seat in free_seats if seat.key in today]
    best, before = standing(placed, middle_nm, grade), standing(now, middle_nm, grade)
    kept = {casting.key for casting, _ in placed}
    filled = {seat.key: casting for casting, seat in placed}
    moved = any(today.get(seat.key) != casting.key for casting, seat in placed)
    return Pairing(
        pairs=_pairs(castings, seats, filled, today, pressed, grade),
        spares=tuple(casting for casting in free_castings if casting.key not in kept),
        empty=tuple(seat for seat in free_seats if seat.key not in filled),
        best=best,
        today=before,
        gain=gain_words(best, before, moved, unit),
        working=working_of(best, before, len(free_castings), len(free_seats), middle_nm, unit),
    )


def _free(
    castings: Sequence[PairCasting],
    seats: Sequence[PairSeat],
    today: Mapping[str, str],
    pressed: Mapping[str, str],
) -> tuple[list[PairCasting], list[PairSeat]]:
    """The castings and seats that may change partners."""
    held_seats, held_castings = set(pressed), set(pressed.values())
    known_castings, known_seats = {one.key for one in castings}, {one.key for one in seats}
    for seat, casting in today.items():
        if seat not in known_seats - held_seats or casting not in known_castings - held_castings:
            held_seats.add(seat)
            held_castings.add(casting)
    return (
        [one for one in castings if one.key not in held_castings],
        [one for one in seats if one.key not in held_seats],
    )


def _best(
    castings: Sequence[PairCasting],
    seats: Sequence[PairSeat],
    today: Mapping[str, str],
    middle_nm: int,
    grade: Grade,
) -> _Placed:
    if not castings or not seats:
        return []
    castings, seats = sorted(castings, key=lambda one: one.key), sorted(seats, key=lambda one: one.key)
    last = len(seats) - 1
    merits = [
        [
            (
                *_merit(casting, seat, middle_nm, grade),
                -(today.get(seat.key) == casting.key),
                # Digits of one number, the first seat's the highest: less is earlier. A filled seat is below 0.
                (number - len(castings)) * (len(castings) + 1) ** (last - place),
            )
            for place, seat in enumerate(seats)
        ]
        for number, casting in enumerate(castings)
    ]
    costs = _packed(merits, min(len(castings), len(seats)))
    if len(castings) <= len(seats):
        return [(castings[row], seats[column]) for row, column in enumerate(cheapest_assignment(costs))]
    turned = [list(column) for column in zip(*costs, strict=True)]
    return [(castings[column], seats[row]) for row, column in enumerate(cheapest_assignment(turned))]


def _merit(casting: PairCasting, seat: PairSeat, middle_nm: int, grade: Grade) -> tuple[int, int, int, int]:
    """What one pair adds to each thing compared, less being better."""
    answer = grade(casting.bore_nm, seat.seat_nm)
    off = (casting.bore_nm - seat.seat_nm - middle_nm) ** 2
    fails = answer is Answer.NOT
    return -(answer is Answer.SERVES), -answer.with_care, 0 if fails else off, off if fails else 0


def _packed(merits: Sequence[Sequence[tuple[int, ...]]], pairs: int) -> list[list[int]]:
    """Each cell's merits as digits of one whole number, so wide that no sum of a digit can carry over.

    Lifting a digit by the same amount in every cell changes nothing: every assignment has as many pairs.
    """
    cells = [cell for row in merits for cell in row]
    lowest = [min(digits) for digits in zip(*cells, strict=True)]
    widths = [(max(digits) - min(digits)) * pairs + 1 for digits in zip(*cells, strict=True)]

    def pack(cell: tuple[int, ...]) -> int:
        number = 0
        for digit, low, width in zip(cell, lowest, widths, strict=True):
            number = number * width + digit - low
        return number

    return [[pack(cell) for cell in row] for row in merits]


def _pairs(
    castings: Sequence[PairCasting],
    seats: Sequence[PairSeat],
    filled: Mapping[str, PairCasting],
    today: Mapping[str, str],
    pressed: Mapping[str, str],
    grade: Grade,
) -> tuple[Pair, ...]:
    by_key = {casting.key: casting for casting in castings}
    pairs = []
    for seat in seats:
        stays = seat.key in pressed
        casting = by_key.get(pressed[seat.key]) if stays else filled.get(seat.key)
        if casting is not None:
            moves = not stays and today.get(seat.key) != casting.key
            pairs.append(Pair(seat, casting, grade(casting.bore_nm, seat.seat_nm), stays, moves))
    return tuple(pairs)
