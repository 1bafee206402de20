"""The form for one wheel's crankpin."""

from __future__ import annotations

from domain.lengths import Unit
from webapp.typed.size_log import SizesLogged, read_log
from webapp.typed.sizes import PIN_KEYS
from webapp.typed.texts import Errors, Typed

_DIAL = ("pin_near", "pin_far", "pin_over")


def read_pin(typed: Typed, build_unit: Unit) -> tuple[SizesLogged, Errors]:
    """Its sizes; the two readings of the dial and how far apart they are say something only together."""
    logged, errors = read_log(typed, PIN_KEYS, build_unit)
    empty = [key for key in _DIAL if not typed.get(key).strip()]
    if len(empty) < len(_DIAL):
        for key in empty:
            errors[key] = (
                "The dial along the pin, next to the wheel and at its end, and how far it was moved go together:"
                " type this too."
            )
    return logged, errors
