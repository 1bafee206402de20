"""What is tried on the sheet of speeds: another machine, tool or size. Nothing of it is stored."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from domain.cutting.speeds import Tool
from domain.drawing import LARGEST_NM
from domain.lengths import LengthError, Unit, parse_length, show
from webapp.typed.texts import Errors, Typed

FIELDS = ("op", "machine", "tool", "chilled", "interrupted", "diameter", "depth", "feed", "travel")
SIZES = ("diameter", "depth", "feed", "travel")
YES_NO = ("yes", "no")
_EXAMPLES = {"diameter": "108 mm", "depth": "0.5 mm", "feed": "0.1 mm", "travel": "12 mm"}
_NAMES = {
    "diameter": "diameter",
    "depth": "depth",
    "feed": "feed for each turn",
    "travel": "travel of the tool",
}


@dataclass(frozen=True, slots=True)
class Tried:
    """What to reckon with instead of the build's own figures; None where nothing was said.

    The sizes are for the operation `op` only, the rest for all of them.
    """

    op: str = ""
    machine_id: int | None = None
    tool: Tool | None = None
    chilled: bool | None = None
    interrupted: bool | None = None
    diameter_nm: int | None = None
    depth_nm: int | None = None
    feed_nm: int | None = None
    travel_nm: int | None = None


def read_tried(
    typed: Typed, ops: Collection[str], machine_ids: Collection[int], unit: Unit
) -> tuple[Tried, Errors]:
    """What was tried, and a sentence for each thing that cannot be: the usual stands in for it."""
    errors = Errors()
    op = _choice(typed, "op", ops, errors, "Choose an operation from the list.")
    machine = _choice(
        typed,
        "machine",
        [str(one) for one in machine_ids],
        errors,
        "That machine is not in use: choose one from the list.",
    )
    tool = _choice(typed, "tool", [one.value for one in Tool], errors, "Choose a tool from the list.")
    sizes = {name: _size(typed, name, unit, errors) for name in SIZES}
    if not op and any(sizes.values()):
        errors.setdefault("op", "Choose the operation that these sizes are for.")
        sizes = dict.fromkeys(SIZES)
    return Tried(
        op,
        int(machine) if machine else None,
        Tool(tool) if tool else None,
        _yes_no(typed, "chilled", errors),
        _yes_no(typed, "interrupted", errors),
        sizes["diameter"],
        sizes["depth"],
        sizes["feed"],
        sizes["travel"],
    ), errors


def _choice(typed: Typed, name: str, choices: Collection[str], errors: Errors, words: str) -> str:
    text = typed.get(name)
    if text and text not in choices:
        errors[name] = words
        return ""
    return text


def _yes_no(typed: Typed, name: str, errors: Errors) -> bool | None:
    text = _choice(typed, name, YES_NO, errors, "Choose from the list.")
    return text == "yes" if text else None


def _size(typed: Typed, name: str, unit: Unit, errors: Errors) -> int | None:
    text = typed.get(name)
    if not text.strip():
        return None
    try:
        nm = parse_length(text, unit).nm
    except LengthError as error:
        errors[name] = str(error)
        return None
    if nm <= 0:
        errors[name] = f"The {_NAMES[name]} must be above nothing: type one such as {_EXAMPLES[name]}."
    elif nm > LARGEST_NM:
        errors[name] = f"That is more than {show(LARGEST_NM, unit)}: is the unit right?"
    else:
        return nm
    return None
