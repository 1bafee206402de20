"""The forms of the metal sheet: sizes measured after a cut, and the cut a person means to take next."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from domain.lengths import LengthError, Unit, parse_length, such
from domain.stock.cuts import FeedDial
from domain.stock.sizes import Face
from webapp.typed.sizes import read_unit
from webapp.typed.texts import Errors, Typed

SIZE_KEYS = ("rim_height", "boss_height", "boss_proud", "over_flange", "tread")
# What the address of the sheet may carry, and of that what stays the same from cut to cut.
ASKED = ("face", "cut", "touch", "turn", "reads", "unit")
KEPT = ("turn", "reads", "unit")
READS = (("depth", "the depth of the cut"), ("diameter", "the diameter, twice the depth"))


@dataclass(frozen=True)
class CutWish:
    """The face, the cut meant and the dial; None where not said."""

    face: Face | None = None
    cut_nm: int | None = None
    dial: FeedDial | None = None


def asked(pairs: Iterable[tuple[str, str]]) -> Typed:
    """The form as an address gives it."""
    return Typed({name: [text] for name, text in pairs if name in ASKED})


def read_cut(typed: Typed, build_unit: Unit) -> tuple[CutWish, Errors]:
    """The cut meant, or a sentence for each box that cannot be taken."""
    errors = Errors()
    unit = read_unit(typed, build_unit, errors)
    face = _face(typed, errors)
    cut = _length(typed, "cut", unit, errors)
    if cut is not None and cut <= 0:
        errors["cut"] = (
            f"The cut must be more than nothing: type its depth, such as {such(unit, '0.5 mm', '20 thou')}."
        )
    touch, turn = (_length(typed, name, unit, errors) for name in ("touch", "turn"))
    if turn == 0:
        errors["turn"] = (
            f"One whole turn of the dial must be more than nothing: type one such as {such(unit, '2 mm', '0.1 in')}."
        )
    reads = typed.get("reads") or "depth"
    if reads not in dict(READS):
        errors["reads"] = "Choose what the dial reads from the list."
    dial = None if touch is None else FeedDial(touch, turn, reads == "diameter")
    return CutWish(face, cut, None if errors else dial), errors


def _face(typed: Typed, errors: Errors) -> Face | None:
    text = typed.get("face")
    if not text:
        return None
    if text in set(Face):
        return Face(text)
    errors["face"] = "Choose the face from the list."
    return None


def _length(typed: Typed, name: str, unit: Unit, errors: Errors) -> int | None:
    if not typed.get(name).strip():
        return None
    try:
        return parse_length(typed.get(name), unit).nm
    except LengthError as error:
        errors[name] = str(error)
        return None


def dial_errors(wish: CutWish, face: Face) -> Errors:
    """What is wrong with a dial on this very face."""
    if wish.dial is not None and wish.dial.diametral and not face.on_diameter:
        return Errors(reads="Only a cross slide reads the diameter: for a face choose the depth of the cut.")
    return Errors()
