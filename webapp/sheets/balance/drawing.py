"""A wheel's face with its crank straight up: the weight as it is cast, and where the weight needed has its middle.

Each wheel is seen from its own outside. Running forwards the right one turns clockwise and the left one anticlockwise.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from webapp.drawing.parts import OVER, At, Measure, Text, head, leader, wide

SIZE: Final = 330.0
_CENTRE: Final = SIZE / 2
_REACH: Final = 112.0
_ARROW: Final = 124.0
# Words stand in the corners, outside the wheel and its arrow.
_SIDE: Final = 6.0
_HIGH, _LOW = 20.0, SIZE - 10.0


@dataclass(frozen=True, slots=True)
class Spot:
    """A round spot on the sheet."""

    x: float
    y: float
    r: float


@dataclass(frozen=True, slots=True)
class BalancePicture:
    """Everything the template needs; every number is final, in the units of the view box."""

    width: float
    view_box: str
    description: str
    centre: float
    tread: float
    bore: float
    pin: Spot
    # The weight as cast; None where its sizes are not given.
    cast: str | None
    # The middle of the weight needed; None where none is needed.
    needed: Spot | None
    centre_line: str
    arrow: str
    arrow_head: str
    notes: tuple[Measure, ...]
    forwards: Text


@dataclass(frozen=True, slots=True)
class BalanceFace:
    """What is drawn, nm and degrees: `from_opposite_deg` ahead of straight opposite the pin, None for no weight."""

    side: str
    tread_nm: int
    bore_nm: int
    throw_nm: int
    pin_nm: int
    radius_nm: int
    from_opposite_deg: float | None
    # Outside radius and distance of the straight edge of the weight as cast.
    cast_nm: tuple[int, int] | None = None


def balance_picture(face: BalanceFace, description: str) -> BalancePicture:
    """Lay out one wheel to scale; every length is above 0 as the domain has checked."""
    outer = face.cast_nm[0] if face.cast_nm else 0
    furthest = max(face.tread_nm / 2, face.throw_nm + face.pin_nm / 2, face.radius_nm, outer)
    scale = _REACH / furthest
    # Ahead is the way the wheel turns when it runs forwards.
    way = 1 if face.side == "right" else -1
    needed = None
    if face.from_opposite_deg is not None:
        x, y = _at(face.radius_nm * scale, 180.0 + face.from_opposite_deg, way)
        needed = Spot(x, y, 8.0)
    return BalancePicture(
        width=SIZE,
        view_box=f"0 0 {SIZE:g} {SIZE:g}",
        description=description,
        centre=_CENTRE,
        tread=_n(face.tread_nm / 2 * scale),
        bore=_n(face.bore_nm / 2 * scale),
        pin=Spot(_CENTRE, _n(_CENTRE - face.throw_nm * scale), _n(max(face.pin_nm / 2 * scale, 2.0))),
        cast=None if face.cast_nm is None else _segment(face.cast_nm, scale),
        needed=needed,
        centre_line=f"M{_CENTRE:g} {_CENTRE - _REACH - 4:g}V{_CENTRE + _REACH + 4:g}"
        f"M{_CENTRE - _REACH - 4:g} {_CENTRE:g}H{_CENTRE + _REACH + 4:g}",
        arrow=_arrow(way),
        arrow_head=_arrow_head(way),
        notes=tuple(_notes(face, scale, needed)),
        forwards=Text(
            SIZE - _SIDE if way > 0 else _SIDE, _HIGH, "end" if way > 0 else "start", ("forwards",), "soft"
        ),
    )


def _n(value: float) -> float:
    rounded = round(value, 2)
    return 0.0 if rounded == 0 else rounded  # never "-0.0" in the page


def _at(radius: float, ahead_deg: float, way: int) -> tuple[float, float]:
    """A point so many degrees ahead of straight up, on a sheet whose y runs downwards."""
    angle = math.radians(ahead_deg)
    return _n(_CENTRE + way * radius * math.sin(angle)), _n(_CENTRE - radius * math.cos(angle))


def _segment(cast_nm: tuple[int, int], scale: float) -> str:
    """Everything between the straight edge and the outside, straight opposite the pin."""
    outer, chord = cast_nm[0] * scale, cast_nm[1] * scale
    half = math.sqrt(max(outer**2 - chord**2, 0.0))
    y, r = _n(_CENTRE + chord), _n(outer)
    return f"M{_n(_CENTRE - half)} {y}A{r} {r} 0 0 0 {_n(_CENTRE + half)} {y}Z"


def _arrow(way: int) -> str:
    """An arc beyond the rim from 30 to 60 degrees ahead of the pin."""
    (x1, y1), (x2, y2) = _at(_ARROW, 30, way), _at(_ARROW, 60, way)
    return f"M{x1} {y1}A{_ARROW:g} {_ARROW:g} 0 0 {1 if way > 0 else 0} {x2} {y2}"


def _arrow_head(way: int) -> str:
    return head(_at(_ARROW, 62, way), _at(_ARROW, 57, way))


def _notes(face: BalanceFace, scale: float, needed: Spot | None) -> Iterator[Measure]:
    """What is what: the pin from the corner above, the two weights from those below, each from its own side."""
    way = 1 if face.side == "right" else -1

    def corner(left: bool, y: float, words: str, look: str) -> tuple[Text, At]:
        x, anchor = (_SIDE, "start") if left else (SIZE - _SIDE, "end")
        long = wide(words)
        return Text(x, y, anchor, (words,), look), (x + long * (1 if left else -1), y - OVER)

    text, start = corner(way > 0, _HIGH, "crankpin", "")
    radius = max(face.pin_nm / 2 * scale, 2.0)
    pin = _CENTRE - face.throw_nm * scale
    side = -1 if way > 0 else 1
    yield leader(text, start, (_CENTRE + side * radius * 0.8, pin - radius * 0.6))
    # The weight needed lies to one side of straight opposite, or on it: its words are on that side.
    needed_left = needed is not None and needed.x < _CENTRE
    if face.cast_nm is not None:
        outer, chord = face.cast_nm[0] * scale, face.cast_nm[1] * scale
        half = math.sqrt(max(outer**2 - chord**2, 0.0))
        text, start = corner(not needed_left, _LOW, "as cast", "")
        yield leader(
            text,
            start,
            (_CENTRE + half * (0.6 if needed_left else -0.6), _CENTRE + chord + (outer - chord) * 0.25),
        )
    if needed is not None:
        text, start = corner(needed_left, _LOW, "needed", "link")
        aside = -1 if needed_left else 1
        yield leader(text, start, (needed.x + aside * needed.r * 0.7, needed.y + needed.r * 0.7))
