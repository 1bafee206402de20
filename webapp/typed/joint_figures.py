"""The figures a build's joints are judged by, read from what was typed; an empty field means the usual figure."""

from __future__ import annotations

from collections.abc import Mapping

from domain.joints.bond import GapRange
from domain.joints.kinds import FitError, FitKind
from domain.joints.terms import check_gap_range
from domain.lengths import Unit, show
from webapp.typed.fields import Figures, figures_from, texts_to_keep
from webapp.typed.joint_fields import BY_KEY, FIELDS, JointDrawing
from webapp.typed.texts import Errors, Typed


def placeholders(figures: Figures, *keys: str) -> tuple[str, ...]:
    """Those of the figures that are placeholders, in words."""
    return tuple(
        BY_KEY[key].name[:1].lower() + BY_KEY[key].name[1:]
        for key in keys
        if key not in figures.typed and figures.usuals[key].placeholder
    )


def read_figures(texts: Mapping[str, str], drawing: JointDrawing) -> tuple[Figures, Errors]:
    """The figures a form or the data file gives; a field in error has its sentence and no value."""
    figures, errors = figures_from(
        FIELDS, texts, drawing.unit, lambda field, values: field.usual(drawing, values)
    )
    _check_together(figures, errors, drawing.unit)
    return figures, errors


def _check_together(figures: Figures, errors: Errors, unit: Unit) -> None:
    """Figures that contradict each other; a check waits only while a figure of its own cannot be read."""
    for keys, check in (
        (("gap_least", "gap_most", "gap_limit"), _check_gap),
        (("handling", "full_cure"), _check_cure),
        (("pin_boss", "pin_hole", "pin_seat"), _check_pin),
    ):
        if not errors.keys() & set(keys):
            check(figures, errors, unit)


def _check_gap(figures: Figures, errors: Errors, unit: Unit) -> None:
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


def _check_cure(figures: Figures, errors: Errors, unit: Unit) -> None:
    if figures.number("handling") > figures.number("full_cure") * 60:
        errors["full_cure"] = "Full cure must not come before handling, such as 60 minutes and 24 hours."


def _check_pin(figures: Figures, errors: Errors, unit: Unit) -> None:
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
    """The texts to store, as typed."""
    return texts_to_keep(FIELDS, typed, drawing.unit, lambda texts: read_figures(texts, drawing)[1])


def pin_kind(figures: Figures) -> FitKind:
    """How the crankpin is held."""
    return FitKind(figures.chosen("pin_fit"))
