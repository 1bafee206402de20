"""What is asked of the crankpins' sheet: the hole, the read-out, the jig's plugs, the cylinders. Nothing is stored."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from domain.drawing import LARGEST_NM
from domain.lengths import LengthError, Unit, parse_length, plain, show, such
from webapp.typed.quantities import SLOPE, QuantityError, parse_quantity
from webapp.typed.texts import Errors, Typed

SIZES = ("throw", "hole", "bore", "reach", "bore_plug", "pin_plug", "over")
PLACES = ("origin_x", "origin_y")
ANGLES = ("angle", "turned")
TOUCHES = ("one_x", "one_y", "two_x", "two_y")
SLOPES = ("slope_left", "slope_right", "slope_inside")
FIELDS = (*SIZES, *PLACES, *ANGLES, *TOUCHES, "cylinders", *SLOPES)
# These may be left empty; the others cannot be done without.
_OPEN = frozenset({"reach", "over", *TOUCHES})
_MOST_TURN_DEG = 360.0
_EMPTY_ANGLE = "The angle is empty: type it in degrees, 0 where the boss lies along the X axis."


@dataclass(frozen=True, slots=True)
class CrankpinsTyped:
    """What could be read: lengths in nm, angles in degrees; a figure in error or left empty is not there."""

    nm: Mapping[str, int] = field(default_factory=dict)
    degrees: Mapping[str, float] = field(default_factory=dict)
    cylinders: int = 2

    def has(self, *names: str) -> bool:
        """Whether all these were typed and could be read."""
        return all(name in self.nm or name in self.degrees for name in names)


def start_texts(drawing_nm: Mapping[str, int], cylinders: str, inside_slope: float, unit: Unit) -> Typed:
    """What the form opens with: the drawing, a read-out set to nothing at the axle, plugs of the drawing's sizes."""
    texts = {
        "throw": plain(drawing_nm["throw"], unit),
        "hole": plain(drawing_nm["crankpin_hole"], unit),
        "bore": plain(drawing_nm["bore"], unit),
        "bore_plug": plain(drawing_nm["bore"], unit),
        "pin_plug": plain(drawing_nm["crankpin_hole"], unit),
        **dict.fromkeys(PLACES, plain(0, unit)),
        **dict.fromkeys(ANGLES, "0"),
        **dict.fromkeys(SLOPES, "0"),
        "cylinders": cylinders,
        "slope_inside": f"{inside_slope:g}",
    }
    return Typed({name: [text] for name, text in texts.items()})


def asked(query: Iterable[tuple[str, str]], start: Typed) -> Typed:
    """The form as asked in the address; what it does not name is as the form opens."""
    said: dict[str, list[str]] = {}
    for name, text in query:
        if name in FIELDS:
            said[name] = [text]
    return Typed(start.fields | said)


def read_crankpins(typed: Typed, unit: Unit) -> tuple[CrankpinsTyped, Errors]:
    """Every figure that can be read, and a sentence for each that cannot."""
    errors = Errors()
    nm = {name: _size(typed, name, unit, errors) for name in SIZES}
    nm |= {name: _place(typed, name, unit, errors) for name in (*PLACES, *TOUCHES)}
    angles = {name: _angle(typed, name, errors) for name in (*ANGLES, *SLOPES)}
    cylinders = typed.get("cylinders")
    if cylinders not in ("2", "3"):
        errors["cylinders"] = "Choose two or three cylinders."
    filled = [name for name in TOUCHES if typed.get(name).strip()]
    if filled and len(filled) < len(TOUCHES):
        missing = next(name for name in TOUCHES if name not in filled)
        errors.setdefault(missing, "Two touches have two figures each: type all four, or leave all empty.")
    return CrankpinsTyped(
        {name: one for name, one in nm.items() if one is not None},
        {name: one for name, one in angles.items() if one is not None},
        3 if cylinders == "3" else 2,
    ), errors


def _size(typed: Typed, name: str, unit: Unit, errors: Errors) -> int | None:
    found = _length(typed, name, unit, errors, signed=False)
    if found is not None and found <= 0:
        errors[name] = (
            f"That is more than nothing: type the size, such as {such(unit, '19.05 mm', '0.75 in')}."
        )
        return None
    return found


def _place(typed: Typed, name: str, unit: Unit, errors: Errors) -> int | None:
    return _length(typed, name, unit, errors, signed=True)


def _length(typed: Typed, name: str, unit: Unit, errors: Errors, *, signed: bool) -> int | None:
    text = typed.get(name)
    if not text.strip() and name in _OPEN:
        return None
    try:
        nm = parse_length(text, unit, signed=signed).nm
    except LengthError as error:
        errors[name] = str(error)
        return None
    if abs(nm) > LARGEST_NM:
        errors[name] = f"That is more than {show(LARGEST_NM, unit)}: is the unit right?"
        return None
    return nm


def _angle(typed: Typed, name: str, errors: Errors) -> float | None:
    text = typed.get(name)
    if not text.strip():
        errors[name] = _EMPTY_ANGLE if name == "angle" else "The angle is empty: type 0 where there is none."
        return None
    try:
        value = parse_quantity(text, SLOPE)
    except QuantityError as error:
        errors[name] = str(error)
        return None
    if abs(value) > _MOST_TURN_DEG:
        errors[name] = "That is more than a whole turn: type degrees from -360 to 360."
        return None
    return value
