"""An axle end-on in a vee block on a surface plate, with its crankpins, as seen from the engine's right-hand side."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from webapp.drawing.parts import LINE, Text, apart, head, n

WIDTH: Final = 520.0
HEIGHT: Final = 306.0
AXLE_X, AXLE_Y = WIDTH / 2, 118.0
PLATE_Y: Final = 258.0
# The largest throw of the axle; everything about the axle is to this scale, the height above the plate is not.
REACH: Final = 90.0
_AXLE, _PIN = 22.0, 12.0
_EDGE, _BEYOND = 8.0, 14.0
_VEE: Final = 46.0
# Words stand in a column on either side, clear of every pin and of the circle that the pins go round on.
_COLUMN: Final = REACH + _PIN + 10.0
_PAIR: Final = 2 * LINE + 4.0


@dataclass(frozen=True)
class PinAt:
    """A pin to be drawn: which, how far from level, its throw, and its height in both systems and in one."""

    side: str
    elevation_deg: float
    throw_nm: int
    words: str
    short: str


@dataclass(frozen=True)
class DrawnPin:
    """A pin with its crank, its height line down to the plate, and where its words stand."""

    side: str
    x: float
    y: float
    r: float
    foot: str
    said: Text
    letter_y: float


@dataclass(frozen=True)
class EndOn:
    """Everything the template draws; every number is final."""

    width: float
    view_box: str
    plate_left: float
    plate_right: float
    plate_width: float
    ends: tuple[Text, Text]
    level: tuple[float, float]
    plumb: tuple[float, float]
    axle_x: float
    axle_y: float
    axle_r: float
    reach: float
    plate_y: float
    vee: str
    pins: tuple[DrawnPin, ...]
    description: str


def end_on(pins: Sequence[PinAt]) -> EndOn:
    """Lay out the axle with its pins; angles are up from level, 0 towards the leading end on the right."""
    most = max((one.throw_nm for one in pins), default=1)
    drawn = _apart(tuple(_pin(one, REACH * one.throw_nm / most) for one in pins))
    said = "; ".join(f"{one.side} pin {_where(one.elevation_deg)}, {one.words}" for one in pins)
    return EndOn(
        width=WIDTH,
        view_box=f"0 0 {WIDTH:g} {HEIGHT:g}",
        plate_left=_EDGE,
        plate_right=WIDTH - _EDGE,
        plate_width=WIDTH - 2 * _EDGE,
        ends=(
            Text(_EDGE, PLATE_Y + 36, "start", ("rear",), "soft"),
            Text(WIDTH - _EDGE, PLATE_Y + 36, "end", ("leading end, front →",), "soft"),
        ),
        level=(AXLE_X - REACH - _BEYOND, AXLE_X + REACH + _BEYOND),
        plumb=(AXLE_Y - REACH - _BEYOND, AXLE_Y + REACH),
        axle_x=AXLE_X,
        axle_y=AXLE_Y,
        axle_r=_AXLE,
        reach=REACH,
        plate_y=PLATE_Y,
        vee=_vee(),
        pins=drawn,
        description=f"The axle end-on, seen from the right-hand side, leading end on the right: {said}.",
    )


def _pin(one: PinAt, radius: float) -> DrawnPin:
    angle = math.radians(one.elevation_deg)
    x, y = AXLE_X + radius * math.cos(angle), AXLE_Y - radius * math.sin(angle)
    front = math.cos(angle) >= 0.0
    return DrawnPin(
        side=one.side,
        x=round(x, 1),
        y=round(y, 1),
        r=_PIN,
        foot=head((x, PLATE_Y), (x, y)),
        said=Text(
            AXLE_X + (_COLUMN if front else -_COLUMN),
            n(y - 4),
            "start" if front else "end",
            (f"{one.side} pin", one.short),
            "strong",
        ),
        letter_y=n(y + 6),
    )


def _apart(pins: tuple[DrawnPin, ...]) -> tuple[DrawnPin, ...]:
    """Words that would lie over each other move away from each other."""
    heights = dict[int, float]()
    for anchor in ("start", "end"):
        same = [at for at, pin in enumerate(pins) if pin.said.anchor == anchor]
        heights |= zip(
            same, apart([pins[at].said.y for at in same], _PAIR, 18.0, PLATE_Y - LINE - 8), strict=True
        )
    return tuple(replace(pin, said=replace(pin.said, y=heights[at])) for at, pin in enumerate(pins))


def _where(elevation: float) -> str:
    level = "above" if math.sin(math.radians(elevation)) >= 0.0 else "below"
    return f"{'in front' if math.cos(math.radians(elevation)) >= 0.0 else 'behind'} and {level} the axle"


def _vee() -> str:
    """A block whose vee holds the axle from below: its flanks touch it 45 degrees either way from the bottom."""
    deep = AXLE_Y + _AXLE * math.sqrt(2.0)
    top = AXLE_Y + 8.0
    half = deep - top
    left, right = AXLE_X - _VEE, AXLE_X + _VEE
    return (
        f"M{left:.1f} {PLATE_Y:.1f}V{top:.1f}H{AXLE_X - half:.1f}L{AXLE_X:.1f} {deep:.1f}"
        f"L{AXLE_X + half:.1f} {top:.1f}H{right:.1f}V{PLATE_Y:.1f}Z"
    )
