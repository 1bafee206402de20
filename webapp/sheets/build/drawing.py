"""One side of the engine, its front to the right: every wheel to one scale at its axle, on the rail.

Where axle centres are not given the wheels stand evenly, and the rail between them is dashed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from webapp.drawing.parts import n, path
from webapp.drawing.wheel import CENTRE, FLANGE_RADIUS, SIZE, WheelPicture

# As wide as a lying tablet; a standing one shrinks a long engine to its own width.
_WIDEST: Final = 960.0
_TALLEST: Final = 140.0
_EDGE: Final = 6.0
_HEAD: Final = 25.0
_FOOT: Final = 6.0
_BESIDE: Final = 28.0
# From wheel to wheel where nobody said how far, in the sum of their radii; beyond these nothing typed is believed.
_EVEN: Final = 1.12
_NEAREST, _FARTHEST = 0.8, 4.0


@dataclass(frozen=True, slots=True)
class EngineWheel:
    """One wheel: its picture and sizes in nm, whether it is on next or not right, and the centres to the axle in front."""

    picture: WheelPicture
    tread_nm: int
    flange_depth_nm: int
    next: bool
    to_front_nm: int | None = None
    # A rod couples it with the next cranked wheel in front of it.
    rod: bool = False
    amiss: bool = False


@dataclass(frozen=True, slots=True)
class WheelOnRail:
    """A wheel where it stands: its square, how it is turned to be seen through, and its piece of the whole side."""

    picture: WheelPicture
    x: float
    y: float
    size: float
    turn: str
    view_box: str
    width: float


@dataclass(frozen=True, slots=True)
class EngineSide:
    """Everything the template draws; every number is final. Each wheel has its piece, and all pieces the same lines."""

    height: float
    wheels: tuple[WheelOnRail, ...]
    rail: str
    rail_not_given: str
    rods: tuple[str, ...]
    pins: tuple[tuple[float, float], ...]
    next: str
    amiss: str


def engine_side(wheels: Sequence[EngineWheel], *, seen_through: bool) -> EngineSide:
    """Lay out one side, the rearmost wheel first; `seen_through` for the left, drawn from its own side."""
    radii = [one.tread_nm / 2 + one.flange_depth_nm for one in wheels]
    spans = [_span(one, two, radii[at] + radii[at + 1]) for at, (one, two) in enumerate(pairwise(wheels))]
    long = radii[0] + sum(nm for nm, _ in spans) + radii[-1]
    scale = min(_TALLEST / (2 * max(radii)), _WIDEST / long)
    xs = [radii[0] * scale]
    for nm, _ in spans:
        xs.append(xs[-1] + nm * scale)
    rail = _HEAD + max(radii) * 2 * scale
    height = n(rail + max(one.flange_depth_nm for one in wheels) * scale + _FOOT)
    edges = _edges(xs, radii, scale)
    tops = [rail - (one.tread_nm + one.flange_depth_nm) * scale for one in wheels]
    placed = tuple(
        _placed(one, x, rail, scale, (left, n(right - left), height), seen_through=seen_through)
        for one, x, (left, right) in zip(wheels, xs, pairwise(edges), strict=True)
    )
    # From axle to axle; the last stretches go on to the picture's ends, and a single wheel has one of its own.
    stretches = list(zip(pairwise([edges[0], *xs[1:-1], edges[-1]]), spans or [(0.0, True)], strict=True))
    return EngineSide(
        height=height,
        wheels=placed,
        rail="".join(path((a, rail), (b, rail)) for (a, b), (_, known) in stretches if known),
        rail_not_given="".join(path((a, rail), (b, rail)) for (a, b), (_, known) in stretches if not known),
        rods=_rods(wheels, placed, seen_through=seen_through),
        pins=_pins(wheels, placed, seen_through=seen_through),
        next="".join(_mark(x, top) for one, x, top in zip(wheels, xs, tops, strict=True) if one.next),
        # Beside the mark of a wheel that is on next as well.
        amiss="".join(
            _cross(x + _BESIDE * one.next, top)
            for one, x, top in zip(wheels, xs, tops, strict=True)
            if one.amiss
        ),
    )


def _edges(xs: Sequence[float], radii: Sequence[float], scale: float) -> list[float]:
    """Where each wheel's piece ends: between two wheels in proportion to their radii, and as far beyond the last ones."""
    between = [
        a + (b - a) * one / (one + two)
        for (a, b), (one, two) in zip(pairwise(xs), pairwise(radii), strict=True)
    ]
    first = between[0] - xs[0] if between else radii[0] * scale + _EDGE
    last = xs[-1] - between[-1] if between else first
    return [n(one) for one in (xs[0] - first, *between, xs[-1] + last)]


def _mark(x: float, top: float) -> str:
    """The mark over the wheel that is on next."""
    return path((x - 12, top - 23), (x + 12, top - 23), (x, top - 5), closed=True)


def _cross(x: float, top: float) -> str:
    """The mark over a wheel that is not right."""
    return path((x - 8, top - 21), (x + 8, top - 5)) + path((x - 8, top - 5), (x + 8, top - 21))


def _span(rear: EngineWheel, front: EngineWheel, both_nm: float) -> tuple[float, bool]:
    """How far two axles stand apart, and whether that was given."""
    given = rear.to_front_nm
    if given is not None and _NEAREST * both_nm <= given <= _FARTHEST * both_nm:
        return given, True
    return both_nm * _EVEN, False


def _placed(
    one: EngineWheel,
    x: float,
    rail: float,
    scale: float,
    piece: tuple[float, float, float],
    *,
    seen_through: bool,
) -> WheelOnRail:
    radius = (one.tread_nm / 2 + one.flange_depth_nm) * scale
    size = radius / FLANGE_RADIUS * SIZE
    middle = rail - one.tread_nm / 2 * scale
    turn = f"translate({n(2 * x):g} 0) scale(-1 1)" if seen_through else ""
    left, wide, height = piece
    return WheelOnRail(
        one.picture,
        n(x - size / 2),
        n(middle - size / 2),
        n(size),
        turn,
        view_box=f"{left:g} 0 {wide:g} {height:g}",
        width=wide,
    )


def _pin(one: WheelOnRail, *, seen_through: bool) -> tuple[float, float]:
    """Where a wheel's crankpin comes to lie."""
    crank = one.picture.crank
    hole = (CENTRE, CENTRE) if crank is None else (crank.hole.x, crank.hole.y)
    aside = (hole[0] - CENTRE) * (-1 if seen_through else 1)
    per = one.size / SIZE
    return n(one.x + one.size / 2 + aside * per), n(one.y + hole[1] * per)


def _coupled(wheels: Sequence[EngineWheel]) -> list[tuple[int, int]]:
    """The wheels that a rod joins, rear and front; wheels without a crank stand between them unjoined."""
    cranked = [at for at, one in enumerate(wheels) if one.picture.crank is not None]
    return [(rear, front) for rear, front in pairwise(cranked) if wheels[rear].rod]


def _pins(
    wheels: Sequence[EngineWheel], placed: Sequence[WheelOnRail], *, seen_through: bool
) -> tuple[tuple[float, float], ...]:
    held = sorted({at for pair in _coupled(wheels) for at in pair})
    return tuple(_pin(placed[at], seen_through=seen_through) for at in held)


def _rods(
    wheels: Sequence[EngineWheel], placed: Sequence[WheelOnRail], *, seen_through: bool
) -> tuple[str, ...]:
    """A rod from the pin of each coupled wheel to that of the coupled wheel in front of it."""
    return tuple(
        path(_pin(placed[rear], seen_through=seen_through), _pin(placed[front], seen_through=seen_through))
        for rear, front in _coupled(wheels)
    )
