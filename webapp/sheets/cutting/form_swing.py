"""The set-up whose swing is asked for. Nothing of it is stored."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from domain.cutting.swing import Grips, Jaws, SwingSetUp
from domain.lengths import Unit
from webapp.sheets.cutting.form import size_within
from webapp.typed.texts import Errors, Typed, read_choice

FIELDS = ("lathe", "chuck", "jaws", "grips", "held", "work", "along")
JAWS_WORDS = (
    (Jaws.NORMAL.value, "Normal, steps rising outward", ""),
    (Jaws.REVERSED.value, "Reversed", ""),
)
GRIPS_WORDS = (
    (Grips.OUTSIDE.value, "The outside, jaws closed on it", ""),
    (Grips.INSIDE.value, "The inside, jaws opened in it", ""),
)
_WORDS = {
    "held": "The diameter the jaws grip is empty: measure it where they grip, and type it.",
    "work": "The largest diameter is empty: measure the work across, flange and all, and type it.",
}


@dataclass(frozen=True, slots=True)
class SwingAsked:
    """What was chosen: which lathe and chuck, and how the work is held."""

    lathe_id: int
    chuck_id: int
    set_up: SwingSetUp


def read_swing(
    typed: Typed, lathes: Collection[int], chucks: Collection[int], unit: Unit
) -> tuple[SwingAsked | None, Errors]:
    """The set-up typed, or what is wrong with it."""
    errors = Errors()
    lathe = read_choice(typed, "lathe", "a lathe", map(str, lathes), errors)
    chuck = read_choice(typed, "chuck", "a chuck", map(str, chucks), errors)
    jaws, grips = typed.get("jaws"), typed.get("grips")
    if jaws not in set(Jaws):
        errors["jaws"] = "Choose how the jaws are set."
    if grips not in set(Grips):
        errors["grips"] = "Choose what the jaws grip."
    held, work = (_size(typed, name, unit, errors) for name in ("held", "work"))
    along = size_within(typed, "along", unit, errors) if typed.get("along").strip() else None
    if errors or lathe is None or chuck is None or held is None or work is None:
        return None, errors
    return SwingAsked(int(lathe), int(chuck), SwingSetUp(Jaws(jaws), Grips(grips), held, work, along)), errors


def _size(typed: Typed, name: str, unit: Unit, errors: Errors) -> int | None:
    if not typed.get(name).strip():
        errors[name] = _WORDS[name]
        return None
    return size_within(typed, name, unit, errors)
