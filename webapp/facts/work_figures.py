"""The figures of how a build is machined, as its pages and sums need them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from domain.lengths import Unit
from webapp.records.views import BuildView
from webapp.typed.fields import Figures, usual_words
from webapp.typed.work_fields import FIELDS, GROUPS, TYRES, WorkField
from webapp.typed.work_figures import read_figures


def work_figures(build: BuildView) -> Figures:
    """Every figure, typed or usual. What is stored was read once already, so nothing is wrong with it."""
    return _figures(tuple(sorted(build.work_texts.items())), build.unit)


# One sheet asks for them many times over, and they seldom change.
@lru_cache(maxsize=64)
def _figures(texts: tuple[tuple[str, str], ...], unit: Unit) -> Figures:
    return read_figures(dict(texts), unit)[0]


@dataclass(frozen=True, slots=True)
class WorkGroup:
    """A group of fields on the form."""

    key: str
    words: str
    fields: tuple[WorkField, ...]


def work_groups(build: BuildView) -> tuple[WorkGroup, ...]:
    """The form's groups with their fields; those of tyres where a pattern of wheel has them."""
    tyred = any(one.tyred for one in build.patterns)
    return tuple(
        WorkGroup(key, words, tuple(one for one in FIELDS if one.group == key))
        for key, words in GROUPS.items()
        if tyred or key != TYRES
    )


def hint(one: WorkField, unit: Unit = Unit.MM) -> str:
    """What an empty field means: the usual figure and who says so; empty where nothing is taken for it."""
    usual = one.usual.of(unit)
    if one.nothing_instead:
        return ""
    if not usual.text:
        return f"Left empty: {usual.source}."
    return f"Left empty: {usual_words(one, usual, unit)}, {usual.source}."
