"""The forms of the treads: sizes of a tyre, the back to back of an axle, and how the table of places is cut up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from domain.length import MAX_TEXT, Length, LengthError, Unit, parse_length
from domain.length_parsing import system_typed
from domain.tread_table import TableOrigin
from webapp.forms.sizes import read_sizes, read_unit
from webapp.forms.typed import Errors, Typed

CASTING_KEYS = ("flange_thickness", "flange_height", "rim_height", "root_radius", "tread")
AXLE_KEYS = ("back_to_back",)
GROWN = (
    ("misread", "The earlier one was misread: this one stands in for it"),
    ("both", "Both were read as well as I can: write this one down beside it"),
)
# What the address of the build's sheet may carry.
ASKED = ("by", "size", "origin", "unit")
CHORD, STEP = "chord", "step"
BY = (
    (CHORD, "near the curve"),
    (STEP, "even steps"),
)
ORIGINS = (
    (TableOrigin.BACK_FACE.value, "the back face"),
    (TableOrigin.GAUGE_POINT.value, "the tread's middle"),
    (TableOrigin.FRONT_FACE.value, "the front face"),
)
# Common practice, no source: a hundredth is rubbed out with a file.
USUAL_SIZE = {Unit.MM: "0.01 mm", Unit.INCH: "0.0005 in"}
_LONGEST_ID = 12


@dataclass(frozen=True)
class TreadLog:
    """Sizes as typed, by key, the instrument, and what to do about one larger than the size before."""

    sizes: Mapping[str, Length] = field(default_factory=dict)
    instrument_id: int | None = None
    grown: str = ""


@dataclass(frozen=True)
class TableAsk:
    """How the table is cut up, one of chord and step, nm, and where it counts from."""

    chord_nm: int | None
    step_nm: int | None = None
    origin: TableOrigin = TableOrigin.BACK_FACE


def read_log(typed: Typed, keys: Iterable[str], build_unit: Unit) -> tuple[TreadLog, Errors]:
    """The sizes typed, or a sentence for each box that cannot be taken."""
    errors = Errors()
    unit = read_unit(typed, build_unit, errors)
    sizes = {key: _with_unit(size, unit) for key, size in read_sizes(typed, keys, unit, errors).items()}
    for key, size in sizes.items():
        if len(size.text) > MAX_TEXT:
            errors[key] = "That is a long figure: write it shorter, with its unit."
    grown = typed.get("grown")
    if grown and grown not in dict(GROWN):
        errors["grown"] = "Choose one of the two."
    instrument = _instrument(typed, errors)
    if not sizes and not errors:
        errors[""] = "Nothing was typed: measure at least one size and type it."
    return TreadLog(sizes, instrument, grown), errors


def _with_unit(size: Length, unit: Unit) -> Length:
    """A bare figure gets its unit, so that nobody has to guess it later."""
    bare = system_typed(size.text, Unit.MM) is not system_typed(size.text, Unit.INCH)
    return Length(size.nm, f"{size.text} {unit}" if bare else size.text)


def _instrument(typed: Typed, errors: Errors) -> int | None:
    text = typed.get("instrument_id").strip()
    if not text:
        return None
    if text.isascii() and text.isdigit() and len(text) <= _LONGEST_ID:
        return int(text)
    errors["instrument_id"] = "Choose the instrument from the list."
    return None


def asked(pairs: Iterable[tuple[str, str]]) -> Typed:
    """The table's form as an address gives it."""
    return Typed({name: [text] for name, text in pairs if name in ASKED})


def read_table(typed: Typed, build_unit: Unit) -> tuple[TableAsk, Errors]:
    """How to cut up the table; what cannot be taken has its sentence, and the usual table stands in."""
    errors = Errors()
    unit = read_unit(typed, build_unit, errors)
    by = typed.get("by") or CHORD
    if by not in dict(BY):
        errors["by"] = "Choose how many places from the list."
    origin = typed.get("origin") or TableOrigin.BACK_FACE.value
    if origin not in dict(ORIGINS):
        errors["origin"] = "Choose where to count from out of the list."
    try:
        text = typed.get("size").strip() or USUAL_SIZE[build_unit]
        nm = parse_length(text, unit).nm
    except LengthError as error:
        errors["size"] = str(error)
    if errors:
        return usual_table(build_unit), errors
    chord, step = (nm, None) if by == CHORD else (None, nm)
    return TableAsk(chord, step, TableOrigin(origin)), errors


def usual_table(unit: Unit) -> TableAsk:
    """The table nobody asked otherwise."""
    return TableAsk(parse_length(USUAL_SIZE[unit], unit).nm)
