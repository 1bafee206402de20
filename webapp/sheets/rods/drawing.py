"""The engine's wheels, cranks and rods at one crank position, to scale: the right side above, the left below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from domain.rods.picture import EnginePoint, Places, SidePlaces
from webapp.drawing.parts import LINE, Text, n, wide

WIDTH: Final = 700.0
_EDGE: Final = 8.0
_HEAD: Final = 32.0  # room for the words over each side
_FOOT: Final = 34.0  # and for those under the rail
_TALLEST: Final = 190.0  # of a side, however short the engine
_PIN: Final = 0.09  # radius of a pin as a part of the throw, to be seen at any scale


@dataclass(frozen=True)
class CrankWheel:
    """One wheel with its crank."""

    number: int
    x: float
    y: float
    radius: float
    pin_x: float
    pin_y: float
    pin: float


@dataclass(frozen=True)
class DrawnRod:
    """One rod from pin to pin; binds where the bushes do not give what it needs."""

    x1: float
    y1: float
    x2: float
    y2: float
    binds: Text | None


@dataclass(frozen=True)
class SidePicture:
    """One side of the engine."""

    name: str
    words: tuple[Text, ...]
    rail_y: float
    wheels: tuple[CrankWheel, ...]
    rods: tuple[DrawnRod, ...]


@dataclass(frozen=True)
class EnginePicture:
    """Everything the template needs; every number is final."""

    width: float
    view_box: str
    left: float
    right: float
    sides: tuple[SidePicture, ...]
    description: str


def engine_picture(
    places: Places,
    wheel_mm: float,
    numbers: Sequence[int],
    binding: Sequence[tuple[int, str]],
    crank: str,
) -> EnginePicture:
    """Lay the engine out; `wheel_mm` is the radius of a wheel, `binding` the spans and sides that bind here."""
    reach = max(wheel_mm, *places.left.throws_mm, *places.right.throws_mm)
    long = max(-side.axles[-1].x for side in (places.left, places.right)) + 2 * reach
    scale = min((WIDTH - 2 * _EDGE) / long, _TALLEST / (2 * reach))
    # The front is to the right, as the engine is seen from its right-hand side; the whole stands in the middle.
    origin = WIDTH / 2 + (long / 2 - reach) * scale
    row = _HEAD + 2 * reach * scale + _FOOT
    sides = tuple(
        _side(
            name=name,
            side=side,
            top=at * row,
            origin=origin,
            scale=scale,
            reach=reach,
            wheel_mm=wheel_mm,
            numbers=numbers,
            binding=binding,
        )
        for at, (name, side) in enumerate((("right", places.right), ("left", places.left)))
    )
    bound = ", ".join(f"the {name} rod behind axle {numbers[span]} binds" for span, name in binding)
    return EnginePicture(
        width=WIDTH,
        view_box=f"0 0 {WIDTH:.0f} {2 * row:.1f}",
        left=_EDGE,
        right=WIDTH - _EDGE,
        sides=sides,
        description=f"The engine's coupled wheels and rods {crank}: {bound or 'no rod is shown to bind'}.",
    )


def _side(
    name: str,
    side: SidePlaces,
    top: float,
    origin: float,
    scale: float,
    reach: float,
    wheel_mm: float,
    numbers: Sequence[int],
    binding: Sequence[tuple[int, str]],
) -> SidePicture:
    middle = top + _HEAD + reach * scale

    def at(point: EnginePoint) -> tuple[float, float]:
        return round(origin + point.x * scale, 2), round(middle - point.y * scale, 2)

    wheels = tuple(
        CrankWheel(
            number,
            *at(axle),
            round(wheel_mm * scale, 2),
            *at(pin),
            round(max(4.0, throw * _PIN * scale), 2),
        )
        for number, axle, pin, throw in zip(numbers, side.axles, side.pins, side.throws_mm, strict=True)
    )
    rail = round(middle + wheel_mm * scale, 2)
    rods = []
    for span, rod in enumerate(side.rods):
        (x1, y1), (x2, y2) = at(rod.front), at(rod.rear)
        binds = (span, name) in binding
        rods.append(
            DrawnRod(
                x1=x1,
                y1=y1,
                x2=x2,
                y2=y2,
                binds=_binding(wheels[span].x, wheels[span + 1].x, rail) if binds else None,
            )
        )
    words = "Right side" if name == "right" else "Left side, seen through from the right"
    return SidePicture(
        name=name,
        words=(
            Text(_EDGE, n(top + 20), "start", (words,)),
            Text(WIDTH - _EDGE, n(top + 20), "end", ("front →",), "soft"),
            *(Text(wheel.x, n(rail + LINE), "middle", (f"{wheel.number}",), "soft") for wheel in wheels),
        ),
        rail_y=rail,
        wheels=wheels,
        rods=tuple(rods),
    )


def _binding(front_x: float, rear_x: float, rail: float) -> Text:
    """What is said of a rod that binds: under the rail, between the numbers of its wheels, as long as there is room."""
    room = abs(front_x - rear_x) - wide("00")
    words = next((one for one in ("binds here", "binds") if wide(one) <= room), "✕")
    return Text(n((front_x + rear_x) / 2), n(rail + LINE), "middle", (words,), "red")
