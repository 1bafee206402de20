"""A wheel set on its rails, cut through under the axle: tyres, rail heads, and the sizes that the gauges ask for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from webapp.drawing.parts import LINE, At, Measure, Text, level, n, path
from webapp.drawing.section import SectionTyre, tyre_outline

WIDTH: Final = 700.0
_EDGE: Final = 8.0
# Where the rails' tops lie; so much of a tyre is drawn over them, and so much of a rail under them.
_TOP: Final = 74.0
_TYRE, _RAIL = 64.0, 30.0
# A name stands over its dimension and the size under it, so that both go between the narrowest wheels.
_ROW: Final = 50.0
# A rail's head, in widths of a tyre.
_HEAD: Final = 0.8


@dataclass(frozen=True, slots=True)
class SetDrawn:
    """The sizes of a wheel set in nm; the flanges left and right, and whether each and the back to back were measured."""

    gauge_nm: int
    back_nm: int
    flanges_nm: tuple[int, int]
    flange_depth_nm: int
    tyre_width_nm: int
    measured: tuple[bool, bool]


@dataclass(frozen=True, slots=True)
class GaugeSaid:
    """One gauge: over the far sides of which flanges it goes, left and right, its name, its size, and its look."""

    over: tuple[bool, bool]
    name: str
    size: str
    look: str = ""


@dataclass(frozen=True, slots=True)
class TyreOnRail:
    """One tyre cut through, clean and hatched where its flange was measured."""

    d: str
    known: bool


@dataclass(frozen=True, slots=True)
class WheelSetPicture:
    """Everything the template draws; every number is final."""

    width: float
    view_box: str
    tyres: tuple[TyreOnRail, ...]
    rails: tuple[str, ...]
    measures: tuple[Measure, ...]
    sides: tuple[Text, ...]


def wheel_set(drawn: SetDrawn, said: Sequence[GaugeSaid], gauge_words: str) -> WheelSetPicture:
    """Lay the set out to one scale both ways; the back to back stands between the tyres, all else under the rails."""
    rail_nm = _HEAD * drawn.tyre_width_nm
    across = max(drawn.back_nm / 2 + drawn.tyre_width_nm, drawn.gauge_nm / 2 + rail_nm)
    scale = (WIDTH / 2 - _EDGE) / across

    def x(nm: float) -> float:
        return WIDTH / 2 + nm * scale

    half, depth = drawn.back_nm / 2, drawn.flange_depth_nm * scale
    tip, under = _TOP + depth, _TOP + max(depth, _RAIL) + LINE + 14
    ends = [
        tuple(half + flange * over for flange, over in zip(drawn.flanges_nm, one.over, strict=True))
        for one in said
    ]
    measures = []
    row = under
    for one, (left, right) in zip(said, ends, strict=True):
        if any(one.over):
            measures.append(_said(level(row, x(-left), x(right), "", (tip, tip)), one))
            row += _ROW
        else:
            measures.append(_said(level(_TOP - 22, x(-left), x(right), "", None), one))
    foot = _TOP + _RAIL
    measures.append(level(row, x(-drawn.gauge_nm / 2), x(drawn.gauge_nm / 2), gauge_words, (foot, foot)))
    return WheelSetPicture(
        width=WIDTH,
        view_box=f"0 0 {WIDTH:g} {row + 12:g}",
        tyres=tuple(TyreOnRail(_tyre(drawn, at, half, scale), drawn.measured[at]) for at in (0, 1)),
        rails=tuple(_rail(x(way * drawn.gauge_nm / 2), way * rail_nm * scale) for way in (-1, 1)),
        measures=tuple(measures),
        sides=(
            Text(_EDGE, n(row), "start", ("left",), "soft"),
            Text(WIDTH - _EDGE, n(row), "end", ("right",), "soft"),
        ),
    )


def _said(measure: Measure, one: GaugeSaid) -> Measure:
    text = replace(measure.text, lines=tuple(filter(None, (one.name, one.size))), look=one.look)
    return replace(measure, text=text)


def _tyre(drawn: SetDrawn, at: int, half: float, scale: float) -> str:
    """The tyre hangs down to its rail: its back towards the middle, its flange inside the rail."""
    way = -1 if at == 0 else 1
    tyre = SectionTyre(
        drawn.tyre_width_nm * scale, drawn.flanges_nm[at] * scale, drawn.flange_depth_nm * scale, 0.0, -_TYRE
    )

    def place(along: float, out: float) -> At:
        return WIDTH / 2 + way * (half * scale + along), _TOP + out

    return tyre_outline(tyre, place, closed=False)


def _rail(inner: float, wide: float) -> str:
    """A rail's head and the beginning of its web, cut off."""
    high, web = 0.6 * _RAIL, wide / 3
    return path(
        (inner + web, _TOP + _RAIL),
        (inner + web, _TOP + high),
        (inner, _TOP + high),
        (inner, _TOP),
        (inner + wide, _TOP),
        (inner + wide, _TOP + high),
        (inner + 2 * web, _TOP + high),
        (inner + 2 * web, _TOP + _RAIL),
    )
