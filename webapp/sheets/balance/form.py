"""The figures of the balance sheet, read from its own form; every other figure of the build is kept as it is."""

from __future__ import annotations

from collections.abc import Mapping

from domain.lengths import Unit
from webapp.typed.texts import Errors, Typed
from webapp.typed.work_fields import BALANCE, FIELDS, WorkField
from webapp.typed.work_figures import typed_texts

# The form's parts, in the order in which the figures are found out at the bench.
_PARTS = (
    ("What moves", ("rotating", "rotating_coupled", "reciprocating", "balanced_share", "axles_sharing")),
    ("Where it is", ("cylinder_planes", "weight_planes", "balance_radius")),
    ("Speed and load", ("track_speed", "wheel_load", "matters_from")),
    (
        "The weight as cast",
        ("weight_outer", "weight_chord", "weight_thickness", "weight_added", "weight_material"),
    ),
    ("Drilling and filling", ("hole_diameter", "hole_depth", "hole_distance", "hole_fill")),
)
# Which axle is looked at: the one the connecting rods drive, or any other that is coupled to it.
DRIVEN, OTHER = "driven", "other"
KEYS = tuple(one.key for one in FIELDS if one.group == BALANCE)


def balance_parts() -> tuple[tuple[str, tuple[WorkField, ...]], ...]:
    """The form's parts with their fields."""
    of = {one.key: one for one in FIELDS if one.group == BALANCE}
    return tuple((words, tuple(of[key] for key in keys)) for words, keys in _PARTS)


def not_given(typed: Typed) -> int:
    """How many boxes are empty for which nothing is taken."""
    return sum(
        one.nothing_instead and not typed.get(one.key).strip() for one in FIELDS if one.group == BALANCE
    )


def stored_form(texts: Mapping[str, str]) -> Typed:
    """The form with the figures as they are stored."""
    return Typed({key: [texts[key]] for key in KEYS if key in texts})


def balance_texts(typed: Typed, stored: Mapping[str, str], unit: Unit) -> tuple[dict[str, str], Errors]:
    """All the build's texts with those of the balance as typed now, and what is wrong with them."""
    merged = {key: [text] for key, text in stored.items() if key not in KEYS}
    merged |= {key: [typed.get(key)] for key in KEYS}
    return typed_texts(Typed(merged), unit)


def read_axle(text: str) -> str:
    """Which axle is asked for; the driven one where nothing that is known was said."""
    return OTHER if text == OTHER else DRIVEN
