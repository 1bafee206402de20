"""The heights of an axle's crankpins in its vee blocks, read from the quartering work sheet."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from domain.cranks.quartering import Branch
from domain.drawing import LARGEST_NM
from domain.lengths import Length, LengthError, Unit, parse_length, show, such
from webapp.typed.texts import Errors, Typed

Said = TypeVar("Said")
CENTRE, OVER = "centre", "over"
# What a height over the top and a diameter are kept as, so that the form opens with both again.
_JOIN = " over "
_ID = re.compile(r"[0-9]{1,12}")
_HAS_UNIT = re.compile(r"[a-zµμ\"″”“]", re.IGNORECASE)
_MOST_U_NM = 1_000_000
_EMPTY = {
    "axle": "The axle's height is empty: measure it in the same vee blocks, and type it.",
    "left": "The left pin's height is empty: measure it, and type it.",
    "right": "The right pin's height is empty: measure it, and type it.",
    "inside": "The inside pin's height is empty: measure it, and type it.",
}


@dataclass(frozen=True, slots=True)
class HeightTyped:
    """One height as typed: to the centre, or over the top of a diameter that is given with it."""

    height: Length
    diameter: Length | None = None

    def text(self, unit: Unit) -> str:
        """As it is kept: with the unit, and with the diameter where it was over the top."""
        said = with_unit(self.height.text, unit)
        return said if self.diameter is None else f"{said}{_JOIN}{with_unit(self.diameter.text, unit)}"

    @classmethod
    def kept(cls, text: str) -> HeightTyped:
        """What `text` kept, read as typed input is; raises LengthError where it is none."""
        height, over, diameter = text.partition(_JOIN)
        return cls(parse_length(height, Unit.MM), parse_length(diameter, Unit.MM) if over else None)

    def fields(self, name: str) -> dict[str, list[str]]:
        """The fields it was typed in."""
        if self.diameter is None:
            return {f"{name}_way": [CENTRE], name: [self.height.text]}
        return {
            f"{name}_way": [OVER],
            name: [self.height.text],
            f"{name}_diameter": [self.diameter.text],
        }


@dataclass(frozen=True, slots=True)
class HeightsTyped:
    """An axle's heights, and on which side of the axle each pin stood; U in nm, None for not said."""

    axle: HeightTyped
    pins: Mapping[str, HeightTyped] = field(default_factory=dict)
    branches: Mapping[str, Branch] = field(default_factory=dict)
    inside_throw: Length | None = None
    instrument_id: int | None = None
    expanded_nm: int | None = None
    # The heights and diameters that can hardly be meant, and are.
    meant: frozenset[int] = frozenset()


# Where the right pin and the left one stood, in one choice of the short form.
STOOD = {
    "front front": "both in front",
    "rear rear": "both behind",
    "front rear": "right in front, left behind",
    "rear front": "right behind, left in front",
}


def of_due(typed: Typed) -> Typed:
    """The short form's fields as those of the full one: a diameter says that a height is over the top of it.

    Both pins have one diameter there.
    """
    right, _, left = typed.get("stood").partition(" ")
    fields = {**typed.fields, "right_branch": [right], "left_branch": [left]}
    for name, across in (("axle", "axle_diameter"), ("left", "pin_diameter"), ("right", "pin_diameter")):
        over = typed.get(across)
        fields |= {f"{name}_way": [OVER if over.strip() else CENTRE], f"{name}_diameter": [over]}
    return Typed(fields)


@dataclass(frozen=True, slots=True)
class HeightsSoFar:
    """What can be read already of a short form that is being filled in; None for what is empty or half typed."""

    axle: HeightTyped | None
    pins: Mapping[str, HeightTyped]
    branches: Mapping[str, Branch]
    # Over what a pin is read, and with what.
    across: Length | None
    instrument_id: int | None


def read_so_far(typed: Typed, unit: Unit) -> HeightsSoFar:
    """The heights of a short form as far as they are typed."""
    full, passed_over = of_due(typed), Errors()
    read = {name: _height(full, name, unit, passed_over) for name in ("axle", "left", "right")}
    stood = {side: full.get(f"{side}_branch") for side in ("left", "right")}
    across = typed.get("pin_diameter").strip()
    instrument_id, _ = _sure(full, unit, passed_over)
    return HeightsSoFar(
        read.pop("axle"),
        {side: one for side, one in read.items() if one is not None},
        {side: Branch(text) for side, text in stood.items() if text in set(Branch)},
        _length(typed, "pin_diameter", unit, passed_over, "the diameter") if across else None,
        instrument_id,
    )


@dataclass(frozen=True, slots=True)
class PlateTyped:
    """How the axle lies on the plate, what the pins are read over and with what; None for what is not said.

    stands: the pin that is fast, as it reads now. touched: the axle where a square touches it.
    """

    axle: HeightTyped | None = None
    across: Length | None = None
    stands: HeightTyped | None = None
    touched: Length | None = None
    instrument_id: int | None = None


# Of the plate, what is the same as the heights are measured.
LIES = ("axle", "axle_diameter", "pin_diameter", "instrument_id")
PLATE = ("axle", "axle_diameter", "pin_diameter", "stands", "touched", "instrument_id")


def read_plate(typed: Typed, unit: Unit) -> tuple[PlateTyped, Errors]:
    """The fields of an axle that is to be set, each of which may be left empty; one in error counts as empty."""
    errors = Errors()
    given = {name for name in PLATE if typed.get(name).strip()}

    def size(name: str) -> Length | None:
        return _length(typed, name, unit, errors, "the diameter") if name in given else None

    def height(name: str, over: Length | None) -> HeightTyped | None:
        found = _length(typed, name, unit, errors, "the height") if name in given else None
        return None if found is None else HeightTyped(found, over)

    across, over = size("pin_diameter"), size("axle_diameter")
    chosen, _ = _sure(typed, unit, errors)
    plate = PlateTyped(height("axle", over), across, height("stands", across), size("touched"), chosen)
    return plate, errors


def told_on_due(sentences: Mapping[str, Said]) -> dict[str, Said]:
    """What is said beside fields of the full form, by the fields of the short one."""
    names = {"right_branch": "stood", "left_branch": "stood", "branches": "stood"}
    names |= {"right_diameter": "pin_diameter", "left_diameter": "pin_diameter"}
    return {names.get(name, name): words for name, words in sentences.items()}


def with_unit(text: str, unit: Unit) -> str:
    """A length as typed, with the unit that a bare figure was meant in."""
    return text if _HAS_UNIT.search(text) else f"{text} {unit.value}"


def read_heights(typed: Typed, sides: tuple[str, ...], unit: Unit) -> tuple[HeightsTyped | None, Errors]:
    """The heights of these pins, or a sentence for each field that cannot be taken."""
    errors = Errors()
    axle = _height(typed, "axle", unit, errors)
    pins = {side: _height(typed, side, unit, errors) for side in sides}
    branches = {side: _branch(typed, side, errors) for side in sides}
    throw = _length(typed, "inside_throw", unit, errors, "the throw") if "inside" in sides else None
    instrument_id, expanded = _sure(typed, unit, errors)
    taken = {side: one for side, one in pins.items() if one is not None}
    known = {side: one for side, one in branches.items() if one is not None}
    if errors or axle is None:
        return None, errors
    return HeightsTyped(
        axle=axle,
        pins=taken,
        branches=known,
        inside_throw=throw,
        instrument_id=instrument_id,
        expanded_nm=expanded,
        meant=typed.meant,
    ), errors


def _height(typed: Typed, name: str, unit: Unit, errors: Errors) -> HeightTyped | None:
    way = typed.get(f"{name}_way")
    if way not in (CENTRE, OVER):
        errors[f"{name}_way"] = "Choose what you measured: to the centre, or over the top."
    if not typed.get(name).strip():
        errors[name] = _EMPTY[name]
        return None
    height = _length(typed, name, unit, errors, "the height")
    if way != OVER:
        return None if height is None else HeightTyped(height)
    diameter = f"{name}_diameter"
    if not typed.get(diameter).strip():
        errors[diameter] = "Over the top the diameter belongs with it: measure what you touched, and type it."
        return None
    across = _length(typed, diameter, unit, errors, "the diameter")
    return None if height is None or across is None else HeightTyped(height, across)


def _length(typed: Typed, name: str, unit: Unit, errors: Errors, what: str) -> Length | None:
    try:
        size = parse_length(typed.get(name), unit)
    except LengthError as error:
        errors[name] = str(error)
        return None
    if size.nm <= 0:
        errors[name] = (
            f"Here {what} is more than nothing: type it as measured, such as {such(unit, '75.80 mm', '2.984 in')}."
        )
    elif size.nm > LARGEST_NM:
        errors[name] = f"That is more than {show(LARGEST_NM, unit)}: is the unit right?"
    else:
        return size
    return None


def _branch(typed: Typed, side: str, errors: Errors) -> Branch | None:
    text = typed.get(f"{side}_branch")
    if text in set(Branch):
        return Branch(text)
    errors[f"{side}_branch"] = (
        "Choose where this pin stood: towards the leading end of the axle, or behind it."
    )
    return None


def _sure(typed: Typed, unit: Unit, errors: Errors) -> tuple[int | None, int | None]:
    chosen, text = typed.get("instrument_id"), typed.get("expanded")
    if chosen and not _ID.fullmatch(chosen):
        errors["instrument_id"] = "Choose the instrument from the list."
        return None, None
    if chosen and text.strip():
        errors["expanded"] = (
            "Choose an instrument or type how sure a height is, not both: empty one of the two."
        )
        return None, None
    if not text.strip():
        return int(chosen) if chosen else None, None
    try:
        expanded = parse_length(text, unit).nm
    except LengthError as error:
        errors["expanded"] = str(error)
        return None, None
    if expanded > _MOST_U_NM:
        errors["expanded"] = (
            f"A height no surer than {show(_MOST_U_NM, unit)} tells no angle: check the figure and its unit."
        )
    return None, expanded
