"""A wheel in the chuck as one faces it, jaw 1 at twelve o'clock; how far it is out is drawn much larger than it is."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from domain.lengths import shown_small
from domain.truing.by_eye import Look
from domain.truing.dial import JAWS, DialReading, direction
from domain.truing.setting import Advice, ClockPoint, Grip, JawLabel, Surface, clock_points
from domain.truing.wobble import Wobble
from webapp.drawing.parts import LINE, head, path

SIZE: Final = 470.0
CENTRE: Final = SIZE / 2
RIM: Final = 84.0
# The farthest that anything is drawn out of the rim's mean circle.
MOST_OUT: Final = 20.0
_JAW_LONG, _JAW_WIDE = 30.0, 36.0
_JAW_GAP = 5.0
# Above and below the middle nothing is drawn or said further out than this.
_UP: Final = RIM + MOST_OUT + _JAW_GAP + _JAW_LONG + 10
# Where a jaw's number stands from the middle: beside jaws 1 and 3, under jaws 2 and 4; its words right of it.
_NUMBERS = {1: (28.0, -121.0), 2: (112.0, 42.0), 3: (28.0, 120.0), 4: (-228.0, 42.0)}
_WORD_ASIDE: Final = 20.0
_ARROW: Final = 56.0


@dataclass(frozen=True)
class DrawnJaw:
    """One jaw: its block, and where its number, its word and how far to go stand."""

    number: int
    word: str
    by: str
    block: str
    x: float
    y: float
    word_x: float
    by_y: float


@dataclass(frozen=True)
class DrawnPoint:
    """One spot that was read, with a line from it to the circle in the readings."""

    x: float
    y: float
    x1: float
    y1: float


@dataclass(frozen=True)
class Clock:
    """Everything the template draws; every number is final."""

    width: float
    view_box: str
    centre: float
    rim: float
    work_x: float
    work_y: float
    jaws: tuple[DrawnJaw, ...]
    points: tuple[DrawnPoint, ...]
    arrow: str
    head: str
    tap: bool
    tap_x: float
    tap_y: float


_WORDS = {JawLabel.SLACK: "slacken", JawLabel.TIGHT: "tighten", JawLabel.LEAVE: "leave"}


def clock_of_edge(advice: Advice, least_nm: int) -> Clock:
    """The picture of a round on the edge.

    `least_nm` would fill the picture: a wheel that is as good as true must not look far out.
    """
    face = advice.picture
    unit = advice.dial.unit
    by = {jaw: shown_small(one.by_nm, unit) for one in advice.moves for jaw in (one.slacken, one.tighten)}
    jaws = tuple(
        _jaw(number, advice.grip, _WORDS[label], f"by {by[number]}" if number in by else "")
        for number, label in face.labels
    )
    return _clock(jaws, face.points, advice.along_nm, least_nm, arrow_deg=face.arrow_deg)


def clock_of_face(readings: Sequence[DialReading], wobble: Wobble, grip: Grip, least_nm: int) -> Clock:
    """The picture of a round on the face: what stands proud is drawn outside the circle."""
    fit, sign = wobble.fit, wobble.dial.pushed_in_sign
    jaws = tuple(_jaw(number, grip, "") for number in JAWS)
    along = round(sign * fit.a_nm), round(sign * fit.b_nm)
    tap = wobble.tap_deg if wobble.tap else None
    return _clock(jaws, clock_points(readings, fit, sign), along, least_nm, tap_deg=tap)


def clock_of_look(look: Look) -> Clock:
    """The picture of a look by eye: where high and low were seen, and which way it lies; how far nobody knows."""
    jaws = tuple(
        _jaw(number, look.grip, _WORDS[label] if look.moves else "") for number, label in look.labels
    )
    sign = 1 if look.surface is Surface.OUTSIDE else -1
    spots = [(look.high_deg, sign), (look.low_deg, -sign)]
    points = [ClockPoint(angle, out, 0) for angle, out in spots if angle is not None]
    up, right = (0.0, 0.0) if look.towards_deg is None else direction(look.towards_deg)
    arrow = None if look.towards_deg is None else (look.towards_deg + 180) % 360
    return _clock(jaws, points, (up, right), 1, arrow_deg=arrow)


def _clock(
    jaws: tuple[DrawnJaw, ...],
    points: Sequence[ClockPoint],
    along_nm: tuple[float, float],
    least_nm: int,
    arrow_deg: float | None = None,
    tap_deg: float | None = None,
) -> Clock:
    most = max([*(abs(one.out_nm) for one in points), math.hypot(*along_nm), least_nm])
    scale = MOST_OUT / most
    tip = (CENTRE, CENTRE) if arrow_deg is None else _at(arrow_deg, _ARROW)
    tap_x, tap_y = _at(tap_deg or 0.0, RIM)
    return Clock(
        width=SIZE,
        view_box=f"0 {CENTRE - _UP:g} {SIZE:g} {2 * _UP:g}",
        centre=CENTRE,
        rim=RIM,
        work_x=round(CENTRE + along_nm[1] * scale, 1),
        work_y=round(CENTRE - along_nm[0] * scale, 1),
        jaws=jaws,
        points=tuple(_point(one, scale) for one in points),
        arrow="" if arrow_deg is None else path((CENTRE, CENTRE), tip),
        head="" if arrow_deg is None else head(tip, (CENTRE, CENTRE)),
        tap=tap_deg is not None,
        tap_x=tap_x,
        tap_y=tap_y,
    )


def _at(angle_deg: float, radius: float) -> tuple[float, float]:
    """A place on the sheet, clockwise from twelve o'clock."""
    up, right = direction(angle_deg)
    return round(CENTRE + radius * right, 1), round(CENTRE - radius * up, 1)


def _jaw(number: int, grip: Grip, word: str, by: str = "") -> DrawnJaw:
    """A jaw outside the rim, or inside it where it presses outwards."""
    angle, sign = JAWS[number], 1 if grip is Grip.ON_OUTSIDE else -1
    tip = RIM + sign * (MOST_OUT + _JAW_GAP)
    foot = tip + sign * _JAW_LONG
    up, right = direction(angle)
    half = _JAW_WIDE / 2
    corners = [
        (CENTRE + radius * right + side * up, CENTRE - radius * up + side * right)
        for radius, side in ((tip, -half), (tip, half), (foot, half), (foot, -half))
    ]
    block = "M" + " L".join(f"{x:.1f} {y:.1f}" for x, y in corners) + " Z"
    x, y = CENTRE + _NUMBERS[number][0], CENTRE + _NUMBERS[number][1]
    return DrawnJaw(number, word, by, block, x=x, y=y, word_x=x + _WORD_ASIDE, by_y=y + LINE)


def _point(one: ClockPoint, scale: float) -> DrawnPoint:
    x, y = _at(one.angle_deg, RIM + one.out_nm * scale)
    x1, y1 = _at(one.angle_deg, RIM + (one.out_nm - one.residual_nm) * scale)
    return DrawnPoint(x, y, x1, y1)
