"""What is tried on the sheet of speeds: another machine, tool or size. Nothing of it is stored."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from domain.cutting.speeds import Tool
from domain.lengths import Unit
from webapp.sheets.cutting.form import size_within
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
        chilled=_yes_no(typed, "chilled", errors),
        interrupted=_yes_no(typed, "interrupted", errors),
        **{f"{name}_nm": nm for name, nm in sizes.items()},
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
    nm = size_within(typed, name, unit, errors) if typed.get(name).strip() else None
    if nm is not None and nm <= 0:
        errors[name] = f"The {_NAMES[name]} must be above nothing: type one such as {_EXAMPLES[name]}."
        return None
    return nm
