"""The figures a build's joints are judged by, read from what was typed; an empty field means the usual figure."""

from __future__ import annotations

import math
from collections.abc import Mapping

from domain.joints.bond import GapRange
from domain.joints.kinds import FitError, FitKind
from domain.joints.terms import check_gap_range
from domain.lengths import show
from webapp.typed import quantities as q
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


# What older versions asked for, one on the other: a service factor on the load and a factor of safety on what holds it.
_TWO_RESERVES = ("service", "factor")


def with_one_reserve(texts: Mapping[str, str]) -> dict[str, str]:
    """The texts with one reserve, where an older version stored a service factor and a factor of safety.

    The greater of the two is the reserve: nothing that was asked for is lowered by itself, and neither is put on the other.
    A reserve that was typed stands. One that cannot be read is kept, to be refused by name.
    """
    kept = {key: text for key, text in texts.items() if key not in _TWO_RESERVES}
    old = [texts[key] for key in _TWO_RESERVES if texts.get(key, "").strip()]
    if old and "reserve" not in kept:
        kept["reserve"] = max(old, key=_as_number)
    return kept


def _as_number(text: str) -> float:
    try:
        return q.parse_quantity(text, q.NUMBER)
    except q.QuantityError:
        return math.inf  # the field itself says what is wrong with it


def read_figures(texts: Mapping[str, str], drawing: JointDrawing) -> tuple[Figures, Errors]:
    """The figures a form or the data file gives; a field in error has its sentence and no value."""
    figures, errors = figures_from(
        FIELDS, with_one_reserve(texts), drawing.unit, lambda field, values: field.usual(drawing, values)
    )
    _check_together(figures, errors, drawing)
    return figures, errors


def _check_together(figures: Figures, errors: Errors, drawing: JointDrawing) -> None:
    """Figures that contradict each other; a check waits only while a figure of its own cannot be read."""
    for keys, check in (
        (("gap_least", "gap_most", "gap_limit"), _check_gap),
        (("handling", "full_cure"), _check_cure),
        (("handling", "open_time"), _check_open),
        (("pin_boss", "pin_hole", "pin_seat"), _check_pin),
        (("rod",), _check_rod),
        (("driven_axle",), _check_driven),
        (("axle_bore",), _check_axle_bore),
    ):
        if not errors.keys() & set(keys):
            check(figures, errors, drawing)


def _check_gap(figures: Figures, errors: Errors, drawing: JointDrawing) -> None:
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


def _check_cure(figures: Figures, errors: Errors, drawing: JointDrawing) -> None:
    if figures.number("handling") > figures.number("full_cure") * 60:
        errors["full_cure"] = "Full cure must not come before handling, such as 60 minutes and 24 hours."


def _check_open(figures: Figures, errors: Errors, drawing: JointDrawing) -> None:
    # A handling time of nothing holds nothing, and says nothing of when it sets.
    if 0 < figures.number("handling") < figures.number("open_time"):
        errors["open_time"] = (
            "Once it may be handled it has set: the time to turn it must not be longer than that."
        )


def _check_pin(figures: Figures, errors: Errors, drawing: JointDrawing) -> None:
    boss, hole, pin = (figures.nm(key) for key in ("pin_boss", "pin_hole", "pin_seat"))
    if max(hole, pin) >= boss:
        errors["pin_boss"] = (
            f"The metal round the crankpin's hole, {show(boss, drawing.unit)}, must be wider than hole and pin,"
            f" {show(max(hole, pin), drawing.unit)}."
        )
    if abs(hole - pin) * 4 > hole:
        errors["pin_seat"] = (
            f"Hole and pin are far apart, {show(hole, drawing.unit)} and {show(pin, drawing.unit)}: check both."
        )


def _check_rod(figures: Figures, errors: Errors, drawing: JointDrawing) -> None:
    rod, throw = figures.nm("rod"), drawing.throw_nm
    if rod <= throw:
        errors["rod"] = (
            f"The connecting rod, {show(rod, drawing.unit)}, must be longer than the throw, {show(throw, drawing.unit)}."
        )


def _check_driven(figures: Figures, errors: Errors, drawing: JointDrawing) -> None:
    said = figures.values["driven_axle"]
    if said is not None and int(str(said)) not in drawing.coupled:
        known = ", ".join(str(number) for number in drawing.coupled) or "none"
        errors["driven_axle"] = f"Axle {said} has no cranks: choose one that is coupled, {known}."


def _check_axle_bore(figures: Figures, errors: Errors, drawing: JointDrawing) -> None:
    hole, seat = figures.nm("axle_bore"), drawing.least_seat_nm
    if hole >= seat:
        errors["axle_bore"] = (
            f"The hole through the axle, {show(hole, drawing.unit)}, must be smaller than the seat,"
            f" {show(seat, drawing.unit)}."
        )


def typed_texts(typed: Typed, drawing: JointDrawing) -> tuple[dict[str, str], Errors]:
    """The texts to store, as typed."""
    return texts_to_keep(FIELDS, typed, drawing.unit, lambda texts: read_figures(texts, drawing)[1])


def pin_kind(figures: Figures) -> FitKind:
    """How the crankpin is held."""
    return FitKind(figures.chosen("pin_fit"))
