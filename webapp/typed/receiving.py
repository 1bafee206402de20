"""What is written down as a casting is received: its rough sizes, readings, weight, and what was seen on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from domain.lengths import MAX_TEXT, Length, LengthError, Unit, parse_length
from domain.lengths.parsing import system_typed
from domain.truing.dial import HOURS, TruingError, four_spots
from webapp.typed.quantities import QuantityError, QuantityKind, parse_quantity
from webapp.typed.sizes import BY_KEY, read_sizes, read_unit
from webapp.typed.texts import Errors, Typed, read_short

SIZE_KEYS = ("rim_least", "rim_most", "rough_tread", "rim_height", "boss_height", "boss_proud")
# The boxes of readings: how their names begin, and the size they come to.
READINGS = {"edge": "edge_eccentricity", "face": "face_wobble"}
FLAWS = {
    "blowhole": ("A blowhole", "a hole or a spongy place"),
    "chill": ("Chilled skin", "hard, bright or glassy: a file slides over it"),
    "shift": ("Mould shift", "front and back halves do not line up"),
    "crack": ("A crack", "hung up and tapped it rings dull; chalk shows the line"),
}
LONGEST_NOTE = 400
_SEPARATOR = ", "
# An avoirdupois pound is 453.59237 g by definition, and has sixteen ounces.
_POUND = 453.59237
WEIGHT = QuantityKind(
    "a weight",
    "410 g, 0.41 kg or 0.9 lb",
    {"g": 1.0, "kg": 1000.0, "lb": _POUND, "lbs": _POUND, "oz": _POUND / 16},
    "g",
)
_HEAVIEST_G = 100_000


@dataclass(frozen=True)
class ReceiptTyped:
    """A receipt as typed and read; sizes by key, each with the text to keep."""

    sizes: Mapping[str, Length] = field(default_factory=dict)
    weight_mg: int | None = None
    weight_text: str = ""
    seen: frozenset[str] = frozenset()
    note: str = ""
    # The sizes, and the weight, that can hardly be meant, and are.
    meant: frozenset[int] = frozenset()

    @property
    def nm(self) -> dict[str, int]:
        """The sizes alone."""
        return {key: size.nm for key, size in self.sizes.items()}


def box(kind: str, hour: int) -> str:
    """The name of the box for a reading."""
    return f"{kind}_{hour}"


def read_receipt(typed: Typed, build_unit: Unit) -> tuple[ReceiptTyped, Errors]:
    """Read the form; what is in error has its sentence."""
    errors = Errors()
    unit = read_unit(typed, build_unit, errors)
    sizes = {
        key: _kept(size, unit, key, errors)
        for key, size in read_sizes(typed, SIZE_KEYS, unit, errors).items()
    }
    for kind, key in READINGS.items():
        size = _four(typed, kind, unit, errors)
        if size is not None:
            sizes[key] = size
    weight_mg, weight_text = _weight(typed, errors)
    seen = frozenset(name for name in FLAWS if typed.yes(name))
    note = _note(typed, errors)
    receipt = ReceiptTyped(sizes, weight_mg, weight_text, seen, note, typed.meant)
    if not errors and not (sizes or weight_text or seen or note):
        errors[""] = "Nothing is written down yet: type at least one size, the weight, or what you saw."
    return receipt, errors


def _kept(size: Length, unit: Unit, name: str, errors: Errors) -> Length:
    """A bare figure gets its unit, for the form may be opened again in the other one."""
    bare = system_typed(size.text, Unit.MM) is not system_typed(size.text, Unit.INCH)
    text = f"{size.text} {unit}" if bare else size.text
    if len(text) > MAX_TEXT:
        errors[name] = "That is a long figure: write it shorter, with its unit."
    return Length(size.nm, text)


def _four(typed: Typed, kind: str, unit: Unit, errors: Errors) -> Length | None:
    """Four readings and what they come to; none of them typed is no reading."""
    names = [box(kind, hour) for hour in HOURS]
    if not any(typed.get(name).strip() for name in names):
        return None
    read = [_one(typed, name, hour, unit, errors) for name, hour in zip(names, HOURS, strict=True)]
    found = [one for one in read if one is not None]
    if len(found) < len(HOURS):
        return None
    try:
        spots = four_spots([one.nm for one in found], BY_KEY[READINGS[kind]].words, unit)
    except TruingError as error:
        errors[names[(error.place or 1) - 1]] = str(error)
        return None
    return Length(spots.amplitude_nm, _SEPARATOR.join(one.text for one in found))


def _one(typed: Typed, name: str, hour: int, unit: Unit, errors: Errors) -> Length | None:
    text = typed.get(name)
    if not text.strip():
        errors[name] = f"Read the spot at {hour} o'clock too: all four are needed, or none."
        return None
    try:
        return _kept(parse_length(text, unit, signed=True), unit, name, errors)
    except LengthError as error:
        errors[name] = str(error)
        return None


def readings_typed(text: str) -> Sequence[str]:
    """The readings behind a size that was found from four."""
    return text.split(_SEPARATOR)


def _weight(typed: Typed, errors: Errors) -> tuple[int | None, str]:
    text = " ".join(typed.get("weight").split())
    if not text:
        return None, ""
    try:
        grams = parse_quantity(text, WEIGHT)
    except QuantityError as error:
        errors["weight"] = str(error)
        return None, text
    mg = round(grams * 1000)
    if mg <= 0:
        errors["weight"] = f"A casting weighs more than nothing: write it such as {WEIGHT.example}."
    elif grams > _HEAVIEST_G:
        errors["weight"] = "That is more than 100 kg: is the unit right?"
    else:
        return mg, f"{text} g" if text[-1].isdigit() else text
    return None, text


def _note(typed: Typed, errors: Errors) -> str:
    note = read_short(typed, "note", "The note", LONGEST_NOTE, errors) or ""
    if not note.isprintable():
        errors["note"] = "The note holds a character that cannot be shown: type it again."
    return note


def typed_again(
    sizes: Mapping[str, str], weight: str, seen: frozenset[str], note: str, build_unit: Unit
) -> Typed:
    """The form as it would be typed to come to a receipt already written, for a correction."""
    fields = {key: text for key, text in sizes.items() if key in SIZE_KEYS}
    for kind, key in READINGS.items():
        if key in sizes:
            texts = readings_typed(sizes[key])
            fields |= {box(kind, hour): text for hour, text in zip(HOURS, texts, strict=False)}
    fields |= {"weight": weight, "note": note, "unit": build_unit.value}
    fields |= dict.fromkeys(seen, "yes")
    return Typed({name: [text] for name, text in fields.items()})
