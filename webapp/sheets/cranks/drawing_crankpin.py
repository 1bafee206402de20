"""The crankpin hole set out from the read-out's origin: bore, hole, throw line and the two axes."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from domain.cranks.crankpins import HolePosition

SIZE: Final = 360.0
CENTRE: Final = SIZE / 2
THROW: Final = 105.0
_LEAST: Final = 6.0
_MOST: Final = 80.0
_AXIS: Final = 165.0


@dataclass(frozen=True)
class CrankpinPicture:
    """Everything the template draws; every number is final. The wheel's own axes lie level and upright."""

    view_box: str
    centre: float
    bore: float
    hole: float
    pin_x: float
    pin_y: float
    level: tuple[float, float]
    description: str


def crankpin_picture(position: HolePosition, nm: Mapping[str, int]) -> CrankpinPicture:
    """The hole as the face that is up is looked at, to the scale of its throw; sizes not known are drawn small."""
    angle = math.radians(position.angle_deg)

    def radius(key: str) -> float:
        return round(min(max(THROW * nm.get(key, 0) / (2 * position.throw_nm), _LEAST), _MOST), 1)

    return CrankpinPicture(
        view_box=f"0 0 {SIZE:g} {SIZE:g}",
        centre=CENTRE,
        bore=radius("bore"),
        hole=radius("hole"),
        pin_x=round(CENTRE + THROW * math.cos(angle), 1),
        pin_y=round(CENTRE - THROW * math.sin(angle), 1),
        level=(CENTRE - _AXIS, CENTRE + _AXIS),
        description=f"The crankpin hole {position.angle_deg:.2f} degrees anticlockwise from the X axis.",
    )
