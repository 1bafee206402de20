"""The set-up whose swing is asked for. Nothing of it is stored."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from domain.cutting.swing import Grips, Jaws, SwingSetUp
from domain.drawing import LARGEST_NM
from domain.lengths import LengthError, Unit, parse_length, show
from webapp.typed.texts import Errors, Typed

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
class Asked:
    """What was chosen: which lathe and chuck, and how the work is held."""

    lathe_id: int
    chuck_id: int
    set_up: SwingSetUp


def read_swing(
    typed: Typed, lathes: Collection[int], chucks: Collection[int], unit: Unit
) -> tuple[Asked | None, Errors]:
    """The set-up typed, or what is wrong with it."""
    errors = Errors()
    lathe = _choice(typed, "lathe", [str(one) for one in lathes], errors, "Choose a lathe from the list.")
    chuck = _choice(typed, "chuck", [str(one) for one in chucks], errors, "Choose a chuck from the list.")
    jaws = _choice(typed, "jaws", list(Jaws), errors, "Choose how the jaws are set.")
    grips = _choice(typed, "grips", list(Grips), errors, "Choose what the jaws grip.")
    held, work = (_size(typed, name, unit, errors) for name in ("held", "work"))
    along = _size(typed, "along", unit, errors) if typed.get("along").strip() else None
    if errors or held is None or work is None:
        return None, errors
    return Asked(int(lathe), int(chuck), SwingSetUp(Jaws(jaws), Grips(grips), held, work, along)), errors


def _choice(typed: Typed, name: str, choices: Collection[str], errors: Errors, words: str) -> str:
    text = typed.get(name)
    if text not in choices:
        errors[name] = words
    return text


def _size(typed: Typed, name: str, unit: Unit, errors: Errors) -> int | None:
    text = typed.get(name)
    if not text.strip():
        errors[name] = _WORDS[name]
        return None
    try:
        nm = parse_length(text, unit).nm
    except LengthError as error:
        errors[name] = str(error)
        return None
    if nm > LARGEST_NM:
        errors[name] = f"That is more than {show(LARGEST_NM, unit)}: is the unit right?"
        return None
    return nm
