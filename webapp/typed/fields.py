"""A field for one figure that may be left empty: what it may be, and how its text is read."""

from __future__ import annotations

import re
from dataclasses import dataclass

from domain.lengths import Unit, parse_length, plain, show
from webapp.typed import quantities as q

_WITHOUT_UNIT = re.compile(r"[^a-zA-Zµμ\"″”“]+")
_BARE_CELSIUS = re.compile(r"[^a-zA-Z°º]+")


@dataclass(frozen=True)
class Usual:
    """What an empty field means: a text as it would be typed (empty for not known), and who says so."""

    text: str
    source: str
    placeholder: bool = False


@dataclass(frozen=True)
class FigureField:
    """One field. kind None is a length; least and most are in the kind's unit, or nm; options make it a choice."""

    key: str
    group: str
    words: str
    kind: q.Kind | None = None
    least: float = 0
    most: float = 0
    above: bool = False
    options: tuple[tuple[str, str], ...] = ()
    slip: str = ""

    def example(self, unit: Unit) -> str:
        """A figure that would be taken, as it would be typed."""
        return self.kind.example if self.kind else plain(1_000_000, unit)

    @property
    def name(self) -> str:
        """What a sentence calls it: the label without the unit at its end."""
        return self.words.removesuffix(", C")


def read_figure(field: FigureField, text: str, unit: Unit) -> int | float | str:
    """The figure typed: a length in nm, another in its kind's unit, or a choice; raises LengthError or QuantityError."""
    if field.options:
        if text not in dict(field.options):
            raise q.QuantityError("Choose one from the list.")
        return text
    if field.kind is None:
        return _read_length(field, text, unit)
    value = q.parse_quantity(text, field.kind)
    if field.above and value == 0:
        raise q.QuantityError(f"{field.name} must be above zero, such as {field.example(unit)}.")
    if not field.least <= value <= field.most:
        slip = f" ({field.slip})" if field.slip else ""
        raise q.QuantityError(
            f"{field.name} of “{text[:24]}” is not likely{slip}: write it such as {field.example(unit)}."
        )
    return value


def _read_length(field: FigureField, text: str, unit: Unit) -> int:
    length = parse_length(text, unit, signed=field.least < 0)
    if length.nm > field.most:
        most = show(int(field.most), unit)
        raise q.QuantityError(
            f"{field.name} of {length.text} is not likely: {most} is the most; check its unit."
        )
    if field.above and length.nm == 0:
        raise q.QuantityError(f"{field.name} must be above zero, such as {field.example(unit)}.")
    if length.nm < field.least:
        least = show(int(field.least), unit)
        raise q.QuantityError(f"{field.name} of {length.text} is not likely: {least} is the least.")
    return length.nm


def unit_left_out(field: FigureField, text: str, unit: Unit) -> str:
    """The unit that a bare figure was meant in, to be put behind it; empty where one is there or none belongs."""
    if field.kind is q.CELSIUS:
        return " C" if _BARE_CELSIUS.fullmatch(text) else ""
    is_length = field.kind is None and not field.options
    return f" {unit}" if is_length and _WITHOUT_UNIT.fullmatch(text) else ""
