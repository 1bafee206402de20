"""The form of the treads: how the table of places along the profile is cut up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from domain.lengths import LengthError, Unit, parse_length
from domain.treads.table import TableOrigin
from webapp.typed.sizes import read_unit
from webapp.typed.texts import Errors, Typed

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


@dataclass(frozen=True)
class TableAsk:
    """How the table is cut up, one of chord and step, nm, and where it counts from."""

    chord_nm: int | None
    step_nm: int | None = None
    origin: TableOrigin = TableOrigin.BACK_FACE


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
