"""A driving wheel seen from the front, drawn so that it inks in as its stages are ticked.

The proportions follow the build's own figures as far as they can be seen at thumb size; each is held
between limits, so that a half-filled or mistyped build still draws as a wheel.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal

from domain.route.stages import Stage

Ink = Literal["ghost", "rough", "clean"]

SIZE: Final = 200.0
CENTRE: Final = SIZE / 2
FLANGE_RADIUS: Final = 91.0
CENTRE_LINE: Final = 98.0


@dataclass(frozen=True)
class Circle:
    """A circle on the sheet and the manner in which it is drawn."""

    x: float
    y: float
    r: float
    ink: Ink


@dataclass(frozen=True)
class Outline:
    """A closed shape as SVG path data and the manner in which it is drawn."""

    d: str
    ink: Ink


@dataclass(frozen=True)
class DrawnLine:
    """A straight line between two points."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True)
class Crank:
    """What only a coupled wheel has: the hole for the pin, its throw line and the weight opposite."""

    hole: Circle
    pin: Circle | None
    throw_line: DrawnLine | None
    weight: Outline


@dataclass(frozen=True)
class WheelPicture:
    """Everything the template needs to draw one wheel; every number is final."""

    view_box: str
    description: str
    received: bool
    painted: bool
    flange: Circle
    tread: Circle
    rim_inside: Circle
    spokes: str
    boss: Outline
    bore: Circle
    axle: Circle | None
    crank: Crank | None
    rim_as_cast: str | None
    boss_as_cast: str | None
    centre_lines: tuple[DrawnLine, DrawnLine]
    crossing_out: tuple[DrawnLine, DrawnLine] | None


@dataclass(frozen=True)
class _Proportions:
    """Radii and distances on the sheet, each already held inside its limits."""

    tread: float
    rim: float
    boss: float
    bore: float
    hole: float
    crank_boss: float
    throw: float
    spoke_count: int


# Pages are drawn again and again with the same wheels on them.
@lru_cache(maxsize=256)
def wheel_picture(
    *,
    tread_diameter_nm: int,
    boss_diameter_nm: int,
    bore_nm: int,
    throw_nm: int,
    crankpin_hole_nm: int,
    flange_depth_nm: int,
    coupled: bool,
    ticked: frozenset[str],
    crank_angle_deg: float,
    scrapped: bool,
    label: str,
    worn: bool = False,
) -> WheelPicture:
    """Lay out one wheel for the drawing.

    Lengths are positive nanometres (throw and crankpin hole may be anything when not coupled); the crank
    angle is in degrees, anticlockwise as seen, 0 to the right. ValueError for a length that is not
    positive, an angle that is not finite or a stage that does not exist. One that is `worn` was turned in an earlier
    life, so its rim is no casting's skin, whatever is ticked now.
    """
    lengths = [tread_diameter_nm, boss_diameter_nm, bore_nm, flange_depth_nm]
    if coupled:
        lengths += [throw_nm, crankpin_hole_nm]
    _check(lengths, ticked, crank_angle_deg)
    size = _proportions(
        tread_diameter_nm, boss_diameter_nm, bore_nm, throw_nm, crankpin_hole_nm, flange_depth_nm, coupled
    )
    angle = math.radians(crank_angle_deg % 360.0)
    received = bool(ticked)
    rough: Ink = "rough" if received else "ghost"

    # A stage with no lines of its own here inks in nothing more.
    def ink(stage: Stage) -> Ink:
        return "clean" if stage in ticked else rough

    turned: Ink = "clean" if worn else ink(Stage.TREAD_TURNED)
    cast_rim = received and turned != "clean"
    cast_boss = received and Stage.BORED not in ticked
    boss_path = _boss_path(size, angle) if coupled else _circle_path(size.boss)
    return WheelPicture(
        view_box=f"0 0 {SIZE:.0f} {SIZE:.0f}",
        description=_description(label, ticked, scrapped),
        received=received,
        painted=Stage.PAINTED in ticked,
        flange=_circle(FLANGE_RADIUS, turned),
        tread=_circle(size.tread, turned),
        rim_inside=_circle(size.rim, ink(Stage.BACK_FACED)),
        spokes=_spokes_path(size, angle),
        boss=Outline(boss_path, ink(Stage.BORED)),
        bore=_circle(size.bore, ink(Stage.BORED)),
        axle=_circle(size.bore, "clean") if Stage.PRESSED in ticked else None,
        crank=_crank(size, angle, ink(Stage.QUARTERED)) if coupled else None,
        rim_as_cast=_circle_path(FLANGE_RADIUS) + _circle_path(size.rim) if cast_rim else None,
        boss_as_cast=boss_path + _circle_path(size.bore) if cast_boss else None,
        centre_lines=(_through_centre(0.0, CENTRE_LINE), _through_centre(math.pi / 2, CENTRE_LINE)),
        crossing_out=_crossing_out() if scrapped else None,
    )


def _check(lengths: Sequence[int], ticked: frozenset[str], crank_angle_deg: float) -> None:
    if any(length <= 0 for length in lengths):
        raise ValueError("every length of a wheel picture must be more than nothing")
    if not math.isfinite(crank_angle_deg):
        raise ValueError("the crank angle must be a number of degrees")
    unknown = ticked - set(Stage)
    if unknown:
        raise ValueError(f"no such stage: {', '.join(sorted(unknown))}")


def _held(part: int, whole: int, low: float, high: float) -> float:
    """The ratio part/whole held between two limits; exact, because a typed figure may be any size."""
    return float(min(max(Fraction(part, whole), Fraction(low)), Fraction(high)))


def _proportions(
    tread_nm: int, boss_nm: int, bore_nm: int, throw_nm: int, hole_nm: int, flange_nm: int, coupled: bool
) -> _Proportions:
    # The limits leave, at their worst together, room for the hole between the bore and the rim.
    tread = FLANGE_RADIUS * _held(tread_nm, tread_nm + 2 * flange_nm, 0.85, 0.955)
    rim = tread * 0.86
    boss = tread * _held(boss_nm, tread_nm, 0.2, 0.42)
    bore = boss * _held(bore_nm, boss_nm, 0.28, 0.72)
    hole = tread * _held(hole_nm, tread_nm, 0.045, 0.1) if coupled else 0.0
    crank_boss = hole * 1.6 + 2.5
    nearest, farthest = bore + hole + 3.0, rim - crank_boss - 2.0
    wanted = tread * _held(2 * throw_nm, tread_nm, 0.0, 1.0) if coupled else 0.0
    throw = min(max(wanted, nearest), farthest)
    count = _spoke_count(tread_nm, throw_nm) if coupled else _carrying_spoke_count(tread_nm, boss_nm)
    return _Proportions(tread, rim, boss, bore, hole, crank_boss, throw, count)


def _spoke_count(tread_nm: int, throw_nm: int) -> int:
    # A tall wheel on the same stroke needs more spokes; even numbers put one on the crank.
    return 2 * round(3.2 * _held(tread_nm, 2 * throw_nm, 1.75, 3.4) - 0.8)


def _carrying_spoke_count(tread_nm: int, boss_nm: int) -> int:
    return 2 * round(_held(tread_nm, boss_nm, 2.5, 4.0) + 1.5)


def _n(value: float) -> float:
    rounded = round(value, 1)
    return 0.0 if rounded == 0 else rounded  # never "-0.0" in the page


def _at(radius: float, angle: float) -> tuple[float, float]:
    # The sheet's y runs downwards; angles are anticlockwise as seen.
    return _n(CENTRE + radius * math.cos(angle)), _n(CENTRE - radius * math.sin(angle))


def _xy(radius: float, angle: float) -> str:
    x, y = _at(radius, angle)
    return f"{x} {y}"


def _circle(radius: float, ink: Ink) -> Circle:
    return Circle(CENTRE, CENTRE, _n(radius), ink)


def _circle_path(radius: float) -> str:
    """A circle round the centre as path data, so that two make a ring under the even-odd rule."""
    r = _n(radius)
    left, right = _n(CENTRE - radius), _n(CENTRE + radius)
    return f"M{left} {CENTRE}A{r} {r} 0 1 0 {right} {CENTRE}A{r} {r} 0 1 0 {left} {CENTRE}Z"


def _spokes_path(size: _Proportions, first: float) -> str:
    """Tapered spokes, wide at the boss and narrow at the rim, the first one behind the crank."""
    pitch = 2 * math.pi / size.spoke_count
    # Half widths: at the boss the spokes nearly touch, at the rim they are a good deal thinner.
    root = min(0.34 * pitch * size.boss, 4.6)
    tip = root * 0.68
    at_boss, at_rim = math.asin(root / size.boss), math.asin(tip / size.rim)
    shapes = []
    for number in range(size.spoke_count):
        middle = first + number * pitch
        corners = (
            _xy(size.boss, middle - at_boss),
            _xy(size.rim, middle - at_rim),
            _xy(size.rim, middle + at_rim),
            _xy(size.boss, middle + at_boss),
        )
        shapes.append("M" + "L".join(corners) + "Z")
    return "".join(shapes)


def _boss_path(size: _Proportions, angle: float) -> str:
    """The boss and the crank boss in one outline: two arcs joined by their outer tangents."""
    reach = size.boss - size.crank_boss
    if size.throw <= abs(reach):
        return _circle_path(max(size.boss, size.throw + size.crank_boss))
    lean = math.acos(reach / size.throw)
    pin_x, pin_y = size.throw * math.cos(angle), size.throw * math.sin(angle)

    def on_crank_boss(direction: float) -> str:
        x = _n(CENTRE + pin_x + size.crank_boss * math.cos(direction))
        y = _n(CENTRE - pin_y - size.crank_boss * math.sin(direction))
        return f"{x} {y}"

    big, small = _n(size.boss), _n(size.crank_boss)
    return (
        f"M{_xy(size.boss, angle + lean)}"
        f"A{big} {big} 0 {int(lean < math.pi / 2)} 0 {_xy(size.boss, angle - lean)}"
        f"L{on_crank_boss(angle - lean)}"
        f"A{small} {small} 0 {int(lean > math.pi / 2)} 0 {on_crank_boss(angle + lean)}Z"
    )


def _weight_path(size: _Proportions, angle: float) -> str:
    """The cast-in balance weight: the rim cut off by a chord, opposite the crank."""
    opposite = angle + math.pi
    half = math.acos(0.68)
    r = _n(size.rim)
    return f"M{_xy(size.rim, opposite - half)}A{r} {r} 0 0 0 {_xy(size.rim, opposite + half)}Z"


def _crank(size: _Proportions, angle: float, ink: Ink) -> Crank:
    x, y = _at(size.throw, angle)
    set_ = ink == "clean"
    return Crank(
        hole=Circle(x, y, _n(size.hole), ink),
        pin=Circle(x, y, _n(size.hole * 0.62), "clean") if set_ else None,
        throw_line=DrawnLine(CENTRE, CENTRE, x, y) if set_ else None,
        weight=Outline(_weight_path(size, angle), "ghost" if ink == "ghost" else "rough"),
    )


def _through_centre(angle: float, reach: float) -> DrawnLine:
    return DrawnLine(*_at(reach, angle), *_at(reach, angle + math.pi))


def _crossing_out() -> tuple[DrawnLine, DrawnLine]:
    return (_through_centre(math.pi / 4, CENTRE_LINE), _through_centre(3 * math.pi / 4, CENTRE_LINE))


def _description(label: str, ticked: frozenset[str], scrapped: bool) -> str:
    name = label.strip() or "A wheel"
    done = [stage.state for stage in Stage if stage in ticked]
    if len(done) > 1:
        done = [", ".join(done[:-1]) + " and " + done[-1]]
    if scrapped:
        return f"{name}: scrapped, after it was {done[0]}." if done else f"{name}: scrapped."
    if not done:
        return f"{name}: not received yet, drawn as an outline only."
    return f"{name}: {done[0]}." if set(Stage) - ticked else f"{name}: {done[0]}; finished."
