"""The forms of the treads: sizes of a tyre, the back to back of an axle, and how the table of places is cut up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from domain.lengths import LengthError, Unit, parse_length
from domain.treads.table import TableOrigin
from webapp.typed.size_log import SizesLogged, read_log
from webapp.typed.sizes import read_unit
from webapp.typed.texts import Errors, Typed

CASTING_KEYS = ("flange_thickness", "flange_at", "flange_height", "rim_height", "root_radius", "tread")
AXLE_KEYS = ("back_to_back",)
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


def read_tread(typed: Typed, build_unit: Unit) -> tuple[SizesLogged, Errors]:
    """The sizes of a tyre: a flange's thickness with how far above the tread it was measured, which alone says nothing."""
    logged, errors = read_log(typed, CASTING_KEYS, build_unit)
    if "flange_thickness" in logged.sizes and not typed.get("flange_at").strip():
        errors["flange_at"] = (
            "Say how far above the tread the flange was measured: at the tread's level its root makes it thick."
        )
    if not typed.get("flange_thickness").strip():
        sizes = {key: size for key, size in logged.sizes.items() if key != "flange_at"}
        logged = replace(logged, sizes=sizes)
        if not sizes and not errors:
            errors[""] = "Nothing was typed: measure at least one size and type it."
    return logged, errors


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
