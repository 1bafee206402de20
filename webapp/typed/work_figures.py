"""The figures of how a build is machined, read from what was typed; an empty field means the usual figure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from domain.lengths import LengthError, Unit
from webapp.typed.fields import read_figure, unit_left_out
from webapp.typed.quantities import LONGEST, QuantityError
from webapp.typed.texts import Errors, Typed
from webapp.typed.work_fields import BY_KEY, FIELDS, WorkField


@dataclass(frozen=True)
class WorkFigures:
    """Every figure by its key, typed or usual: lengths in nm, the others in their kind's unit; None is not given."""

    values: Mapping[str, int | float | str | None]
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
        return "as typed for this build" if key in self.typed else BY_KEY[key].usual.source


def read_figures(texts: Mapping[str, str], unit: Unit) -> tuple[WorkFigures, Errors]:
    """The figures a form or the data file gives; one in error has its sentence, and the usual figure stands in."""
    errors = Errors()
    values = {one.key: _value(one, texts.get(one.key, "").strip(), unit, errors) for one in FIELDS}
    typed = frozenset(key for key, text in texts.items() if text.strip() and key in BY_KEY)
    figures = WorkFigures(values, typed)
    if not errors.keys() & {"rough_cut", "finish_cut"} and figures.nm("finish_cut") > figures.nm("rough_cut"):
        errors["finish_cut"] = (
            "A finishing cut is not deeper than a roughing cut: make one of them fit the other."
        )
    return figures, errors


def _value(one: WorkField, text: str, unit: Unit, errors: Errors) -> int | float | str | None:
    try:
        return read_figure(one, text, unit) if text else _usual(one)
    except (LengthError, QuantityError) as error:
        errors[one.key] = str(error)
        return _usual(one)


def _usual(one: WorkField) -> int | float | str | None:
    return read_figure(one, one.usual.text, Unit.MM) if one.usual.text else None


def typed_texts(typed: Typed, unit: Unit) -> tuple[dict[str, str], Errors]:
    """The texts to store, as typed; a bare length gets its unit, for nobody should have to guess."""
    texts = {one.key: " ".join(typed.get(one.key).split()) for one in FIELDS}
    texts = {key: text for key, text in texts.items() if text}
    long = [key for key, text in texts.items() if len(text) > LONGEST]
    errors = Errors(dict.fromkeys(long, f"That is more than {LONGEST} characters: write one figure."))
    if not errors:
        errors = read_figures(texts, unit)[1]
    return {key: text + unit_left_out(BY_KEY[key], text, unit) for key, text in texts.items()}, errors
