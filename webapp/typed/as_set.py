"""What was set for an operation as typed: every figure with its unit, for a dial and a lathe may be of either system."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from domain.lengths import LengthError, Unit, such
from domain.repeating.settings import LENGTH, Setting, Task
from webapp.typed import quantities as q
from webapp.typed.fields import FigureField, read_figure, unit_left_out
from webapp.typed.texts import Errors, Typed, read_line, read_short

_MM = 1_000_000
_THOUSANDTHS = 1000
LONGEST_NAME = 60
_TURNS = {"rpm": 1.0, "r.p.m.": 1.0, "rev/min": 1.0, "turns a minute": 1.0, "turns/min": 1.0}
_STROKES = {"strokes/min": 1.0, "strokes a minute": 1.0, "/min": 1.0, "a minute": 1.0}
TURNS = q.QuantityKind("a spindle speed", "110 rpm", _TURNS, bare=None)
STROKES = q.QuantityKind("a rhythm", "20 strokes/min", _STROKES, bare=None)
_FIGURES: Mapping[Setting, FigureField] = {
    Setting.SPINDLE: FigureField("spindle", "", "Spindle speed", TURNS, 0.1, 20_000),
    Setting.RHYTHM: FigureField("rhythm", "", "Stroke rhythm", STROKES, 1, 120),
    Setting.FEED: FigureField("feed", "", "Feed", most=5 * _MM, above=True),
    Setting.DIAL: FigureField("dial", "", Setting.DIAL.words, least=-1000 * _MM, most=1000 * _MM),
}
# A feed is of one turn or of one stroke.
_FOR_EACH = re.compile(r" ?(?:/|per|a|each) ?(?:rev|revolution|turn|stroke)\Z", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class SetTo:
    """One thing as it is set: as typed, and its value where it has one; an empty text takes back what was said."""

    text: str
    value: int | None = None


def read_settings(
    typed: Typed, task: Task, unit: Unit = Unit.MM, *, stands: bool = False
) -> tuple[dict[Setting, SetTo] | None, Errors]:
    """What the form says of an operation; a field that it does not have says nothing.

    `unit` is what its examples are in. `stands` is whether anything was said before, which empty fields take back.
    """
    errors = Errors()
    said = {one: typed.get(one.value).strip() for one in task.settings if one.value in typed.fields}
    found = {one: _read(typed, one, unit, errors) if text else SetTo("") for one, text in said.items()}
    if not any(said.values()) and not (said and stands):
        first = task.settings[0]
        errors[first.value] = f"Nothing is said here: write what was set, such as {example(first, unit)}."
    return (None if errors else {one: to for one, to in found.items() if to is not None}), errors


def example(one: Setting, unit: Unit) -> str:
    """A setting as it would be typed in a build of this unit."""
    words = {
        Setting.SPINDLE: TURNS.example,
        Setting.RHYTHM: STROKES.example,
        Setting.FEED: such(unit, "0.1 mm/rev or 0.004 in/rev", "0.004 in/rev or 0.1 mm/rev"),
        Setting.DIAL: such(unit, "10.80 mm or 0.4250 in", "0.4250 in or 10.80 mm"),
        Setting.TOOL: "round nose, high-speed steel",
        Setting.REAMER: "A",
        Setting.JAWS: "reversed, on the outside",
        Setting.JIG: "28.5 throw, large plug",
    }
    return words[one]


def _read(typed: Typed, one: Setting, unit: Unit, errors: Errors) -> SetTo | None:
    name = one.value
    if one not in _FIGURES:
        line = read_line(typed, name, one.words, LONGEST_NAME, errors)
        return None if line is None else SetTo(line)
    text = read_short(typed, name, one.words, q.LONGEST, errors)
    if text is None:
        return None
    field = _FIGURES[one]
    figure = _FOR_EACH.sub("", text) if one is Setting.FEED else text
    if unit_left_out(field, figure, Unit.MM):
        errors[name] = f"“{text[:24]}” has no unit: write it too, such as {example(one, unit)}."
        return None
    try:
        value = read_figure(field, figure, Unit.MM)
    except (LengthError, q.QuantityError) as error:
        errors[name] = str(error)
        return None
    assert isinstance(value, int | float)  # none of them is a choice
    return SetTo(text, round(value) if one.unit == LENGTH else round(value * _THOUSANDTHS))
