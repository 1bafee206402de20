"""Refusing castings and seats that cannot be paired, before anything is compared."""

from collections.abc import Iterable, Mapping, Sequence

from domain.pairing.types import PairCasting, PairingError, PairSeat


def check_pairing(
    castings: Sequence[PairCasting],
    seats: Sequence[PairSeat],
    today: Mapping[str, str],
    pressed: Mapping[str, str],
) -> None:
    """Refuse doubled keys, a casting with two seats, a size not above zero, and a pressed wheel gone astray.

    castings, seats: sizes in nm; today, pressed: seat key to casting key.
    Raises: PairingError, one sentence.
    Source: our own.

    >>> check_pairing([PairCasting("a", "A", 0)], [], {}, {})
    Traceback (most recent call last):
    domain.pairing.types.PairingError: The bore of A must be above zero, such as 19.05 mm.
    """
    for casting in castings:
        if casting.bore_nm <= 0:
            raise PairingError(f"The bore of {casting.mark} must be above zero, such as 19.05 mm.")
    for seat in seats:
        if seat.seat_nm <= 0:
            raise PairingError(f"The seat on {seat.label} must be above zero, such as 19.05 mm.")
    _once((casting.key for casting in castings), "The casting {} is given twice: give each once.")
    _once((seat.key for seat in seats), "The seat {} is given twice: give each once.")
    _once(today.values(), "The casting {} is on two seats today: it can be on one only.")
    _once(pressed.values(), "The casting {} is pressed on two seats: it can be on one only.")
    seat_of = {casting: seat for seat, casting in today.items()}
    for seat_key, casting_key in pressed.items():
        if today.get(seat_key, casting_key) != casting_key or seat_of.get(casting_key, seat_key) != seat_key:
            raise PairingError(
                f"The casting {casting_key} is pressed on {seat_key}, but today's list says otherwise:"
                " take the tick or the place back, whichever is wrong."
            )


def _once(keys: Iterable[str], complaint: str) -> None:
    seen = set[str]()
    for key in keys:
        if key in seen:
            raise PairingError(complaint.format(key))
        seen.add(key)
