"""The figures a build's joints are judged by, read from what was typed; an empty field means the usual figure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from domain.joints.bond import GapRange
from domain.joints.kinds import FitError, FitKind
from domain.joints.terms import check_gap_range
from domain.lengths import LengthError, Unit, show
from webapp.typed.fields import Usual, read_figure, unit_left_out
from webapp.typed.joint_fields import BY_KEY, FIELDS, JointDrawing
from webapp.typed.quantities import LONGEST, QuantityError
from webapp.typed.texts import Errors, Typed


@dataclass(frozen=True)
class JointFigures:
    """Every figure by its key, typed or usual: lengths in nm, the others in their kind's unit."""

    values: Mapping[str, int | float | str | None]
    usuals: Mapping[str, Usual]
    typed: frozenset[str]

    def nm(self, key: str) -> int:
        """A length."""
        value = self.values[key]
        assert isinstance(value, int)  # the field is a length
        return value

    def number(self, key: str) -> float:
        """Any other figure."""
        value = self.values[key]
        assert isinstance(value, int | float)  # the field is a figure and has a usual one
        return value

    def chosen(self, key: str) -> str:
        """A choice."""
        return str(self.values[key])

    def source(self, key: str) -> str:
        """Who says so."""
        return "as typed for this build" if key in self.typed else self.usuals[key].source

    def placeholders(self, *keys: str) -> tuple[str, ...]:
        """Those of the figures that are placeholders, in words."""
        return tuple(
            BY_KEY[key].name[:1].lower() + BY_KEY[key].name[1:]
            for key in keys
            if key not in self.typed and self.usuals[key].placeholder
        )


def read_figures(texts: Mapping[str, str], drawing: JointDrawing) -> tuple[JointFigures, Errors]:
    """The figures a form or the data file gives; a field in error has its sentence and no value."""
    errors = Errors()
    values: dict[str, int | float | str | None] = {}
    usuals: dict[str, Usual] = {}
    for field in FIELDS:
        usual = usuals[field.key] = field.usual(drawing, values)
        text = texts.get(field.key, "").strip() or usual.text
        try:
            values[field.key] = read_figure(field, text, drawing.unit) if text else None
        except (LengthError, QuantityError) as error:
            errors[field.key] = str(error)
    typed = frozenset(key for key, text in texts.items() if text.strip() and key in BY_KEY)
    figures = JointFigures(values, usuals, typed)
    _check_together(figures, errors, drawing.unit)
    return figures, errors


def _check_together(figures: JointFigures, errors: Errors, unit: Unit) -> None:
    """Figures that contradict each other; a check waits only while a figure of its own cannot be read."""
    for keys, check in (
        (("gap_least", "gap_most", "gap_limit"), _check_gap),
        (("handling", "full_cure"), _check_cure),
        (("pin_boss", "pin_hole", "pin_seat"), _check_pin),
    ):
        if not errors.keys() & set(keys):
            check(figures, errors, unit)


def _check_gap(figures: JointFigures, errors: Errors, unit: Unit) -> None:
    least, most, limit = (figures.nm(key) for key in ("gap_least", "gap_most", "gap_limit"))
    try:
        check_gap_range(GapRange(least, most, limit, ""))
    except FitError as error:
        # It is not known which of the two is the slip, so the sentence stands under both.
        errors.update(
            dict.fromkeys(
                ("gap_least", "gap_most") if most < least else ("gap_most", "gap_limit"), str(error)
            )
        )


def _check_cure(figures: JointFigures, errors: Errors, unit: Unit) -> None:
    if figures.number("handling") > figures.number("full_cure") * 60:
        errors["full_cure"] = "Full cure must not come before handling, such as 60 minutes and 24 hours."


def _check_pin(figures: JointFigures, errors: Errors, unit: Unit) -> None:
    boss, hole, pin = (figures.nm(key) for key in ("pin_boss", "pin_hole", "pin_seat"))
    if max(hole, pin) >= boss:
        errors["pin_boss"] = (
            f"The metal round the crankpin's hole, {show(boss, unit)}, must be wider than hole and pin,"
            f" {show(max(hole, pin), unit)}."
        )
    if abs(hole - pin) * 4 > hole:
        errors["pin_seat"] = (
            f"Hole and pin are far apart, {show(hole, unit)} and {show(pin, unit)}: check both."
        )


def typed_texts(typed: Typed, drawing: JointDrawing) -> tuple[dict[str, str], Errors]:
    """The texts to store, as typed; a bare length or temperature gets its unit, for nobody should have to guess."""
    texts = {field.key: " ".join(typed.get(field.key).split()) for field in FIELDS}
    texts = {key: text for key, text in texts.items() if text}
    long = [key for key, text in texts.items() if len(text) > LONGEST]
    errors = Errors(dict.fromkeys(long, f"That is more than {LONGEST} characters: write one figure."))
    if not errors:
        errors = read_figures(texts, drawing)[1]
    return {key: text + unit_left_out(BY_KEY[key], text, drawing.unit) for key, text in texts.items()}, errors


def pin_kind(figures: JointFigures) -> FitKind:
    """How the crankpin is held."""
    return FitKind(figures.chosen("pin_fit"))
