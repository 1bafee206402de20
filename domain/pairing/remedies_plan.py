"""Which wheels to exchange when one does not serve where it is: each exchange that leaves the build better off."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from domain.lengths import Unit, show_small
from domain.pairing.checks import check_pairing
from domain.pairing.types import Grade, PairCasting, PairingError, PairSeat, Standing, standing
from domain.pairing.words import count_words


class SwapKind(StrEnum):
    """What is exchanged: two wheels, a wheel and an empty place, or a wheel and a spare."""

    EXCHANGE = "exchange"
    MOVE = "move"
    SPARE = "spare"


@dataclass(frozen=True)
class Swap:
    """One exchange; `partner` is the other casting, `there` the other seat, counts are of the wheels touched."""

    kind: SwapKind
    partner: PairCasting | None
    there: PairSeat | None
    now: Standing
    after: Standing
    words: str

    @property
    def gain(self) -> tuple[int, int]:
        """How many more serve, and how many more serve with care."""
        return self.after.serves - self.now.serves, self.after.caution - self.now.caution


_Placed = list[tuple[PairCasting, PairSeat]]
_LEAST_WORK = tuple(SwapKind)


def swaps(
    casting_key: str,
    castings: Sequence[PairCasting],
    seats: Sequence[PairSeat],
    today: Mapping[str, str],
    middle_nm: int,
    grade: Grade,
    unit: Unit,
    pressed: Mapping[str, str] | None = None,
    most: int | None = None,
) -> tuple[Swap, ...]:
    """Find every single exchange of this casting after which more wheels serve than now.

    Formula: gain = (serve, serve with care) after - the same now, over the one or two wheels touched; an
    exchange is offered when its gain comes after (0, 0) in that order. Highest gain first, then fewest that
    fail afterwards, then least to carry about (exchange, move, spare), then least squared distance from the
    middle of those that serve, then by key.
    casting_key: a casting that has a seat today and is not pressed.
    castings, seats: measured, sizes in nm above 0; only what may be exchanged with one another.
    today, pressed: seat key to casting key; pressed wheels and seats are never touched, nor is a seat whose
    wheel of today is not given, nor a casting whose seat is not.
    middle_nm: the clearance in the middle of the wanted fit, nm; below zero for an interference.
    grade: judges a bore on a seat, both in nm.
    unit: the system to show first. most: so many are given; all where it is None.
    Returns: the exchanges, best first; none when nothing helps.
    Raises: PairingError when the casting has no measured seat today, or is pressed, or the lists are not in order.
    Source: our own.

    >>> from domain.answer import Answer
    >>> castings = [PairCasting("a", "A", 19_070_000), PairCasting("b", "B", 19_085_000)]
    >>> seats = [PairSeat("1L", "axle 1, left end", 19_052_000), PairSeat("1R", "axle 1, right end", 19_040_000)]
    >>> bond = lambda bore, seat: Answer.SERVES if 20_000 <= bore - seat <= 50_000 else Answer.NOT
    >>> for swap in swaps("a", castings, seats, {"1L": "a", "1R": "b"}, 35_000, bond, Unit.MM):
    ...     print(swap.kind, swap.gain)
    exchange (1, 0)
    """
    pressed = pressed or {}
    check_pairing(castings, seats, today, pressed)
    casting, here = _where(casting_key, castings, seats, today, pressed)
    offers = _offers(casting, here, castings, seats, today, pressed)
    found = []
    for kind, partner, there, before, after in offers:
        now, then = standing(before, middle_nm, grade), standing(after, middle_nm, grade)
        if (then.serves, then.caution) > (now.serves, now.caution):
            found.append((Swap(kind, partner, there, now, then, ""), after))
    # Only what is given is put into words: of many wheels most is not.
    best = sorted(found, key=lambda one: _rank(one[0]))[:most]
    return tuple(replace(swap, words=_words(swap, casting, after, unit)) for swap, after in best)


def _rank(swap: Swap) -> tuple[int, int, int, int, int, str, str]:
    more, more_with_care = swap.gain
    return (
        -more,
        -more_with_care,
        swap.after.fails,
        _LEAST_WORK.index(swap.kind),
        swap.after.served_off_nm2,
        swap.partner.key if swap.partner else "",
        swap.there.key if swap.there else "",
    )


def _where(
    casting_key: str,
    castings: Sequence[PairCasting],
    seats: Sequence[PairSeat],
    today: Mapping[str, str],
    pressed: Mapping[str, str],
) -> tuple[PairCasting, PairSeat]:
    casting = next((one for one in castings if one.key == casting_key), None)
    if casting is None:
        raise PairingError(
            f"The casting {casting_key} has no measured bore: log one first, such as 19.05 mm."
        )
    if casting_key in pressed.values():
        raise PairingError(f"{casting.mark} is on its axle already and stays there.")
    here = next((seat for seat in seats if today.get(seat.key) == casting_key), None)
    if here is None:
        raise PairingError(f"{casting.mark} has no measured seat today: give it a place first.")
    return casting, here


def _offers(
    casting: PairCasting,
    here: PairSeat,
    castings: Sequence[PairCasting],
    seats: Sequence[PairSeat],
    today: Mapping[str, str],
    pressed: Mapping[str, str],
) -> Iterator[tuple[SwapKind, PairCasting | None, PairSeat | None, _Placed, _Placed]]:
    """Every exchange that no pressed wheel forbids: what it is, what it touches as it is, and afterwards."""
    by_key = {one.key: one for one in castings}
    placed = set(today.values()) | set(pressed.values())
    for there in seats:
        if there is here or there.key in pressed:
            continue
        if there.key not in today:
            yield SwapKind.MOVE, None, there, [(casting, here)], [(casting, there)]
        elif partner := by_key.get(today[there.key]):
            before = [(casting, here), (partner, there)]
            yield SwapKind.EXCHANGE, partner, there, before, [(casting, there), (partner, here)]
    for spare in castings:
        if spare.key not in placed:
            yield SwapKind.SPARE, spare, None, [(casting, here)], [(spare, here)]


def _words(swap: Swap, casting: PairCasting, after: _Placed, unit: Unit) -> str:
    partner, there = swap.partner, swap.there
    fits = " and ".join(
        f"{wheel.mark} on {seat.label} has {_size(wheel.bore_nm - seat.seat_nm, unit)}"
        for wheel, seat in after
    )
    if partner is None and there is not None:
        start = f"Move {casting.mark} to the empty place on {there.label}"
    elif partner is not None and there is not None:
        start = f"Exchange {casting.mark} with {partner.mark} on {there.label}"
    else:
        start = f"Put the spare {partner.mark if partner else ''} in its place"
    return f"{start}: {fits}; then {count_words(swap.after)}, now {count_words(swap.now)}."


def _size(clearance_nm: int, unit: Unit) -> str:
    kind = "a clearance" if clearance_nm >= 0 else "an interference"
    return f"{kind} of {show_small(abs(clearance_nm), unit)}"
