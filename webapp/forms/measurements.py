"""The form for readings: one or several, in any workshop notation."""

from __future__ import annotations

from dataclasses import dataclass

from domain.length import Length, LengthError, Unit, parse_length
from webapp.forms.typed import Errors, Typed

MOST_READINGS = 12
LONGEST_INSTRUMENT = 40


@dataclass(frozen=True, slots=True)
class Log:
    """What the person measured, and the version of the thing their page showed."""

    readings: tuple[Length, ...]
    instrument: str
    seen: int
    token: str


def read_log(typed: Typed, unit: Unit) -> tuple[Log | None, Errors]:
    """The readings typed; boxes left empty are passed over, but one reading there must be."""
    errors = Errors()
    chosen = typed.get("unit") or unit.value
    if chosen in set(Unit):
        unit = Unit(chosen)
    else:
        errors["unit"] = "Choose mm or in."
    texts = typed.all("reading")
    readings = [_read_one(text, number, unit, errors) for number, text in enumerate(texts) if text.strip()]
    if not readings:
        errors["reading"] = "Type at least one reading, such as 19.05 mm, 0.7505 in or 3/4 in."
    if len(texts) > MOST_READINGS:
        errors["reading"] = f"That is more than {MOST_READINGS} readings: log them in two goes."
    instrument = " ".join(typed.get("instrument").split())
    if len(instrument) > LONGEST_INSTRUMENT or not (instrument.isprintable()):
        errors["instrument"] = (
            f"Name the instrument in up to {LONGEST_INSTRUMENT} letters, such as bore gauge."
        )
    if errors:
        return None, errors
    kept = tuple(reading for reading in readings if reading is not None)
    return Log(kept, instrument, typed.version(), typed.token("token")), errors


def _read_one(text: str, number: int, unit: Unit, errors: Errors) -> Length | None:
    name = f"reading{number}"
    try:
        reading = parse_length(text, unit)
    except LengthError as error:
        errors[name] = str(error)
        return None
    if reading.nm <= 0:
        errors[name] = "A size measured is more than nothing, such as 19.05 mm."
        return None
    return reading
