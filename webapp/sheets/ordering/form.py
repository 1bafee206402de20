"""The form that asks how many castings to buy: the wheels wanted, what is known of scrap, how sure to be."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from domain.lengths import Unit
from domain.ordering.advice import EXPERIENCE
from domain.ordering.chances import MOST_NEEDED, Record
from webapp.typed.fields import read_figure
from webapp.typed.quantities import QuantityError
from webapp.typed.texts import Errors, Typed, read_whole
from webapp.typed.work_fields import BY_KEY, WorkField

_SLIP = "if it is per cent, write the % too"
FIGURES: tuple[WorkField, ...] = (
    BY_KEY["experience"],
    replace(BY_KEY["scrap_chance"], slip=_SLIP),
    replace(BY_KEY["confidence"], slip=_SLIP),
)
_NAMES = ("needed", *(one.key for one in FIGURES))


@dataclass(frozen=True)
class OrderFigures:
    """Wheels wanted; a record taken for granted, or one fixed chance that a casting is lost; the chance wanted."""

    needed: int
    prior: Record | float
    confidence: float


def start_texts(needed: int, stored: Mapping[str, str]) -> Typed:
    """The form before anything was typed into it: the build's own figures, else the usual ones."""
    texts = {one.key: stored.get(one.key) or one.usual.text for one in FIGURES}
    return Typed({"needed": [str(needed)]} | {key: [text] for key, text in texts.items()})


def asked(pairs: Iterable[tuple[str, str]], start: Typed) -> Typed:
    """The form as an address gives it; an address that says nothing of it, or leaves a name out, means the start."""
    given = {name: [text] for name, text in pairs if name in _NAMES}
    return Typed(start.fields | given)


def read_order(typed: Typed) -> tuple[OrderFigures | None, Errors]:
    """The figures, or a sentence for each that cannot be taken; a scrap chance goes before how practised one is."""
    errors = Errors()
    needed = read_whole(typed, "needed", "The number of wheels", 1, MOST_NEEDED, errors)
    found = {one.key: _read(one, typed.get(one.key).strip(), errors) for one in FIGURES}
    scrap, confidence = found["scrap_chance"], found["confidence"]
    if errors or needed is None or not isinstance(confidence, int | float):
        return None, errors
    prior = scrap if isinstance(scrap, int | float) else EXPERIENCE[str(found["experience"])].prior
    return OrderFigures(needed, prior, confidence), errors


def _read(one: WorkField, text: str, errors: Errors) -> int | float | str | None:
    text = text or one.usual.text
    if not text:
        return None
    try:
        return read_figure(one, text, Unit.MM)
    except QuantityError as error:
        errors[one.key] = str(error)
        return None
