"""The form for sizes as they now are: each with its unit, what it was read with, and what to do when one has grown."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from domain.lengths import MAX_TEXT, Length, Unit
from domain.lengths.parsing import system_typed
from webapp.typed.sizes import read_sizes, read_unit
from webapp.typed.texts import Errors, Typed

GROWN = (
    ("misread", "The earlier one was misread: this one stands in for it"),
    ("both", "Both were read as well as I can: write this one down beside it"),
)
_LONGEST_ID = 12


@dataclass(frozen=True)
class SizesLogged:
    """Sizes as typed, by key, the instrument, and what to do about one larger than the size before."""

    sizes: Mapping[str, Length] = field(default_factory=dict)
    instrument_id: int | None = None
    grown: str = ""
    # The sizes that can hardly be meant, and are.
    meant: frozenset[int] = frozenset()

    @property
    def misread(self) -> bool:
        """Whether a size that has grown stands in for one that was misread."""
        return self.grown == "misread"


def read_log(typed: Typed, keys: Iterable[str], build_unit: Unit) -> tuple[SizesLogged, Errors]:
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
    return SizesLogged(sizes, instrument, grown, typed.meant), errors


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
