"""The form for readings: one or several, in any workshop notation, and how they were taken."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from domain.lengths import Length, LengthError, Unit, parse_length, such
from domain.measuring.bore_form import BorePlace, Direction
from domain.measuring.plausible import Expected, only_decimals
from webapp.typed.how import NOT_SAID, How, read_how
from webapp.typed.sizes import NOWHERE, Where
from webapp.typed.texts import Errors, Typed

MOST_READINGS = 12
LONGEST_INSTRUMENT = 40
# The boxes with a place: where along the bore, and which of two directions across it.
PLACES = {f"reading_{place}_{way}": (place, way) for place in BorePlace for way in Direction}
# The boxes of the reading that is due: few enough to stand side by side, so that a gauge fills one after the other.
DUE_BOXES = {
    "bore": (
        ("reading_front_first", "front"),
        ("reading_middle_first", "middle"),
        ("reading_back_first", "back"),
    ),
    "seat": (("reading", "one way"), ("reading", "turned")),
    # Read over plugs it is typed with them; between centres it needs none.
    "throw": (
        ("reading", "throw"),
        ("plug_one", "plug in bore"),
        ("plug_two", "plug in hole"),
    ),
    # Once its wheel is on, the axle stands where the plug stood: over its end, a journal or between the wheels.
    "throw on its axle": (
        ("reading", "over both"),
        ("plug_one", "axle diameter"),
        ("plug_two", "pin or plug"),
    ),
    "tread": (("tread", "diameter"),),
    "flange": (
        ("flange_thickness", "thickness"),
        ("flange_at", "above the tread"),
        ("flange_height", "height"),
    ),
}


@dataclass(frozen=True, slots=True)
class Log:
    """What the person measured, and how."""

    readings: tuple[Length, ...]
    instrument: str
    places: tuple[Where, ...] = ()
    how: How = NOT_SAID
    # The box each was typed in.
    boxes: tuple[str, ...] = ()
    # The sizes that can hardly be meant, and are.
    meant: frozenset[int] = frozenset()

    @property
    def placed(self) -> tuple[tuple[Length, Where], ...]:
        """The readings with their places."""
        return tuple(zip(self.readings, self.places or (NOWHERE,) * len(self.readings), strict=True))


def read_log(typed: Typed, unit: Unit, expected: Expected | None = None) -> tuple[Log | None, Errors]:
    """The readings typed; boxes left empty are passed over, but one reading or one plug tried there must be.

    Where it is known what is `expected`, a comma that can only be a decimal one is taken as such.
    """
    errors = Errors()
    chosen = typed.get("unit") or unit.value
    if chosen in set(Unit):
        unit = Unit(chosen)
    else:
        errors["unit"] = "Choose mm or in."
    readings = _readings(typed, unit, errors, expected)
    how = read_how(typed, unit, errors)
    _check_something(readings, how, unit, errors)
    instrument = " ".join(typed.get("instrument").split())
    if len(instrument) > LONGEST_INSTRUMENT or not (instrument.isprintable()):
        errors["instrument"] = (
            f"Name the instrument in up to {LONGEST_INSTRUMENT} letters, such as bore gauge."
        )
    if errors:
        return None, errors
    lengths, places, boxes = zip(*readings, strict=True) if readings else ((), (), ())
    return Log(lengths, instrument, places, how, boxes, typed.meant), errors


def _readings(
    typed: Typed, unit: Unit, errors: Errors, expected: Expected | None
) -> list[tuple[Length, Where, str]]:
    """The readings with a place first, then those without, as the form has them; each with its place and its box."""
    texts = typed.all("reading")
    boxes: list[tuple[str, str, Where]] = [(name, typed.get(name), place) for name, place in PLACES.items()]
    if len(texts) > MOST_READINGS:
        errors["reading"] = f"That is more than {MOST_READINGS} readings: log them in two goes."
        texts = []
    boxes += [(f"reading{number}", text, NOWHERE) for number, text in enumerate(texts)]
    found = [
        (_read_one(text, name, unit, errors, expected), place, name)
        for name, text, place in boxes
        if text.strip()
    ]
    return [(length, place, name) for length, place, name in found if length is not None]


def _check_something(readings: list[tuple[Length, Where, str]], how: How, unit: Unit, errors: Errors) -> None:
    if how.plugs_tried:
        if readings:
            errors["go_enters"] = (
                "Plug gauges give no reading: leave the reading boxes empty, or set both plugs to “not tried”."
            )
        elif how.instrument_id is None:
            errors["instrument_id"] = (
                "Which plug gauges? Choose them from the workshop's list: without their sizes the answer says nothing."
            )
    # Plug gauges chosen and nothing said is told from the list itself, which knows what is a plug gauge.
    elif not readings and not errors and how.instrument_id is None:
        errors["reading"] = (
            f"Type at least one reading, such as {such(unit, '19.05 mm or 3/4 in', '0.7505 in or 3/4 in')}."
        )


def _read_one(text: str, name: str, unit: Unit, errors: Errors, expected: Expected | None) -> Length | None:
    comma = partial(only_decimals, expected=expected) if expected is not None else None
    try:
        reading = parse_length(text, unit, only_decimals=comma)
    except LengthError as error:
        errors[name] = str(error)
        return None
    if reading.nm <= 0:
        errors[name] = f"A size measured is more than nothing, such as {such(unit, '19.05 mm', '0.75 in')}."
        return None
    return reading
