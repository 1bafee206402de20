"""The figures of how a build is machined, read from what was typed; an empty field means the usual figure."""

from __future__ import annotations

from collections.abc import Mapping

from domain.lengths import Unit
from webapp.typed.fields import Figures, figures_from, read_figure, texts_to_keep
from webapp.typed.texts import Errors, Typed
from webapp.typed.work_fields import BY_KEY, FIELDS


def read_figures(texts: Mapping[str, str], unit: Unit) -> tuple[Figures, Errors]:
    """The figures a form or the data file gives; one in error has its sentence, and the usual figure stands in."""
    found, errors = figures_from(FIELDS, texts, unit, lambda one, _values: one.usual.of(unit))
    usual = {key: BY_KEY[key].usual.of(unit).text for key in errors}
    instead = {key: read_figure(BY_KEY[key], text, Unit.MM) if text else None for key, text in usual.items()}
    figures = Figures({**found.values, **instead}, found.usuals, found.typed)
    if not errors.keys() & {"rough_cut", "finish_cut"} and figures.nm("finish_cut") > figures.nm("rough_cut"):
        errors["finish_cut"] = (
            "A finishing cut is not deeper than a roughing cut: make one of them fit the other."
        )
    return figures, errors


def typed_texts(typed: Typed, unit: Unit) -> tuple[dict[str, str], Errors]:
    """The texts to store, as typed."""
    return texts_to_keep(FIELDS, typed, unit, lambda texts: read_figures(texts, unit)[1])
