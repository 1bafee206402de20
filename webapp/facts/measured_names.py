"""What a measurement is called wherever it is told of."""

from __future__ import annotations

from webapp.records.heights import PIN_HEIGHTS
from webapp.records.read_sizes import WEIGHT
from webapp.typed.sizes import BY_KEY

_NAMES = {
    "bore": "Bore",
    "throw": "Throw",
    "seat": "Wheel seat",
    WEIGHT: "Weight",
    PIN_HEIGHTS: "Heights in vee blocks",
}


def measured_name(kind: str, side: str | None, *, rough: bool) -> str:
    """What was measured."""
    name = BY_KEY[kind].words if kind in BY_KEY else _NAMES.get(kind, kind)
    if side:
        name += f", {side} end"
    return f"{name}, as it came" if rough and kind != WEIGHT else name
