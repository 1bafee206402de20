"""A field for one figure that may be left empty: what it may be, and how its text is read."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from domain.lengths import LengthError, Unit, bare_doubt, parse_length, plain, show, show_small
from domain.lengths.parsing import system_typed
from webapp.typed import quantities as q
from webapp.typed.texts import Errors, Typed

_WITHOUT_UNIT = re.compile(r"[^a-zA-Zµμ\"″”“]+")
_BARE_CELSIUS = re.compile(r"[^a-zA-Z°º]+")


@dataclass(frozen=True)
class Usual:
    """What an empty field means: a text as it would be typed (empty for not known), and who says so.

    `inches` is the text in a build that is made in inches, where a figure round in millimetres is none that a shop has;
    `source_inches` says there who says so, where that names a length.
    """

    text: str
    source: str
    placeholder: bool = False
    inches: str = ""
    source_inches: str = ""

    def of(self, unit: Unit) -> Usual:
        """What it means in a build made in this unit."""
        if unit is Unit.MM:
            return self
        return replace(self, text=self.inches or self.text, source=self.source_inches or self.source)


@dataclass(frozen=True)
class FigureField:
    """One field. kind None is a length; least and most are in the kind's unit, or nm; options make it a choice."""

    key: str
    group: str
    name: str
    kind: q.QuantityKind | None = None
    least: float = 0
    most: float = 0
    above: bool = False
    options: tuple[tuple[str, str], ...] = ()
    slip: str = ""

    def example(self, unit: Unit) -> str:
        """A figure that would be taken, as it would be typed."""
        return self.kind.example if self.kind else plain(1_000_000, unit)

    @property
    def words(self) -> str:
        """Its label: the name, with the unit where that is the same in every build."""
        return f"{self.name}, C" if self.kind is q.CELSIUS else self.name


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
    doubt = bare_doubt(length, lambda nm: field.least <= nm <= field.most)
    if length.nm > field.most:
        most = show(int(field.most), unit)
        raise q.QuantityError(
            f"{field.name} of {length.text} is not likely: {most} is the most; {doubt or 'check its unit.'}"
        )
    if field.above and length.nm == 0:
        raise q.QuantityError(f"{field.name} must be above zero, such as {field.example(unit)}.")
    if length.nm < field.least:
        least = show(int(field.least), unit)
        raise q.QuantityError(
            f"{field.name} of {length.text} is not likely: {least} is the least. {doubt}".strip()
        )
    return length.nm


def foreign_nm(field: FigureField, text: str, unit: Unit) -> int | None:
    """The length that is written in the other system than this one; None where it is in this one, or is no length."""
    if field.kind is not None or field.options or system_typed(text, unit) is unit:
        return None
    return parse_length(text, unit, signed=True).nm


def usual_words(field: FigureField, usual: Usual, unit: Unit) -> str:
    """The usual figure as it is written, or the build's own unit first where that is another one."""
    nm = foreign_nm(field, usual.text, unit)
    if nm is None:
        return dict(field.options).get(usual.text, usual.text)
    return show_small(nm, unit) if nm else plain(nm, unit)


def unit_left_out(field: FigureField, text: str, unit: Unit) -> str:
    """The unit that a bare figure was meant in, to be put behind it; empty where one is there or none belongs."""
    if field.kind is q.CELSIUS:
        return " C" if _BARE_CELSIUS.fullmatch(text) else ""
    is_length = field.kind is None and not field.options
    return f" {unit}" if is_length and _WITHOUT_UNIT.fullmatch(text) else ""


Value = int | float | str | None
Values = Mapping[str, Value]


@dataclass(frozen=True)
class Figures:
    """Every figure of a table of fields by its key, typed or usual: lengths in nm, the others in their kind's unit."""

    values: Values
    usuals: Mapping[str, Usual]
    typed: frozenset[str]

    def nm(self, key: str) -> int:
        """A length."""
        value = self.values[key]
        assert isinstance(value, int)  # the field is a length with a usual one
        return value

    def number(self, key: str) -> float:
        """A figure that has a usual one."""
        value = self.values[key]
        assert isinstance(value, int | float)
        return value

    def perhaps(self, key: str) -> float | None:
        """A figure that may not be given."""
        value = self.values[key]
        return value if isinstance(value, int | float) else None

    def chosen(self, key: str) -> str:
        """A choice."""
        return str(self.values[key])

    def source(self, key: str) -> str:
        """Who says so."""
        return "as typed for this build" if key in self.typed else self.usuals[key].source


Field = TypeVar("Field", bound=FigureField)


def figures_from(
    fields: Iterable[Field],
    texts: Mapping[str, str],
    unit: Unit,
    usual: Callable[[Field, Values], Usual],
) -> tuple[Figures, Errors]:
    """The figures a form or the data file gives; a field in error has its sentence and no value."""
    errors = Errors()
    values: dict[str, Value] = {}
    usuals: dict[str, Usual] = {}
    for one in fields:
        usuals[one.key] = usual(one, values)
        typed = texts.get(one.key, "").strip()
        text = typed or usuals[one.key].text
        try:
            # What is usual is written with its unit, whatever the build's own is.
            values[one.key] = read_figure(one, text, unit if typed else Unit.MM) if text else None
        except (LengthError, q.QuantityError) as error:
            errors[one.key] = str(error)
    known = frozenset(key for key, text in texts.items() if text.strip() and key in usuals)
    return Figures(values, usuals, known), errors


def texts_to_keep(
    fields: Iterable[Field], typed: Typed, unit: Unit, check: Callable[[dict[str, str]], Errors]
) -> tuple[dict[str, str], Errors]:
    """The texts to store, as typed; a figure without its unit gets it, for nobody should have to guess."""
    by_key = {one.key: one for one in fields}
    texts = {key: " ".join(typed.get(key).split()) for key in by_key}
    texts = {key: text for key, text in texts.items() if text}
    long = {key for key, text in texts.items() if len(text) > q.LONGEST}
    errors = check({key: text for key, text in texts.items() if key not in long})
    errors |= dict.fromkeys(long, f"That is more than {q.LONGEST} characters: write one figure.")
    return {key: text + unit_left_out(by_key[key], text, unit) for key, text in texts.items()}, errors
