"""A tyre cut through, as every section shows it: the flange's tip and its root rounded, the outer corner broken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from webapp.drawing.parts import At, n

# From how far along from the back, and how far out from the axle's middle, to a place on the sheet.
Place = Callable[[float, float], At]
# How far a handle of a quarter of a circle reaches.
_HANDLE = 0.552


@dataclass(frozen=True, slots=True)
class SectionTyre:
    """A tyre's sizes in one measure, whichever; `tread` and `inside` are radii."""

    width: float
    flange_width: float
    flange_depth: float
    tread: float
    inside: float


def tyre_outline(tyre: SectionTyre, place: Place, *, closed: bool = True) -> str:
    """Round the tyre from its back, over the flange, along the tread; open where its inside edge stays as cast."""
    x, y = place(0, tyre.inside)
    last_x, last_y = place(tyre.width, tyre.inside)
    return f"M{n(x):g} {n(y):g}L{_turned(tyre, place)}L{n(last_x):g} {n(last_y):g}{'Z' if closed else ''}"


def turned_outline(tyre: SectionTyre, place: Place) -> str:
    """What is turned of it: over the flange and along the tread, without back and front."""
    return f"M{_turned(tyre, place)}"


def _turned(tyre: SectionTyre, place: Place) -> str:
    wide, deep, top = tyre.flange_width, tyre.flange_depth, tyre.tread + tyre.flange_depth
    tip = min(wide / 2, 0.6 * deep)
    root = max(0.0, min(deep - tip, 0.5 * deep, (tyre.width - wide) / 2))
    corner = min(0.06 * tyre.width, 0.3 * deep)

    def at(along: float, out: float) -> str:
        x, y = place(along, out)
        return f"{n(x):g} {n(y):g}"

    def turn(one: At, corner: At, two: At) -> str:
        """A quarter round from one to two."""
        first = (one[0] + (corner[0] - one[0]) * _HANDLE, one[1] + (corner[1] - one[1]) * _HANDLE)
        last = (two[0] + (corner[0] - two[0]) * _HANDLE, two[1] + (corner[1] - two[1]) * _HANDLE)
        return f"{at(*one)}C{at(*first)} {at(*last)} {at(*two)}"

    return "L".join(
        (
            turn((0, top - tip), (0, top), (tip, top)),
            turn((wide - tip, top), (wide, top), (wide, top - tip)),
            turn((wide, tyre.tread + root), (wide, tyre.tread), (wide + root, tyre.tread)),
            at(tyre.width - corner, tyre.tread),
            at(tyre.width, tyre.tread - corner),
        )
    )
