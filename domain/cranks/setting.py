"""Quartering as a setting: what both pins are brought to before the joint holds, whatever their throws.

The axle lies in vee blocks on a plate. Branches and directions are those of domain/cranks/cylinders.py.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from domain.cranks.cylinders import Cranks, Side
from domain.cranks.quartering import STEEPEST_DEG, Branch, QuarteringError, height_nm, wrapped_deg

INSIDE_WORDS = "The inside crank is the axle's own and is not set here: its height is read with the others'."


class SettingWay(StrEnum):
    """How the two pins are brought to their angle. Common practice, no source."""

    HEIGHTS = "heights"
    STOP = "stop"
    JIG = "jig"

    @property
    def words(self) -> str:
        """The way as it is said in the shop."""
        return _WAYS[self]


_WAYS = {
    SettingWay.HEIGHTS: "both pins to heights",
    SettingWay.STOP: "stop and square",
    SettingWay.JIG: "jig with two centres",
}


@dataclass(frozen=True)
class PinToSet:
    """Where a pin is brought to: its side of the axle, the height of its centre, and how far that is from level."""

    side: Side
    branch: Branch
    height_nm: int
    from_level_deg: float


@dataclass(frozen=True)
class StopAndSquare:
    """One pin straight over the axle by a square, the other resting on a stop.

    packing_nm: between the blade and the pin, or below 0 between the blade and the axle, nm.
    stop_nm: the height of the stop's top, nm; `pin` is the one that rests on it.
    """

    square: Side
    packing_nm: int
    pin: PinToSet
    stop_nm: int


def pins_to_set(throws: Mapping[Side, int], centre_nm: int, cranks: Cranks) -> tuple[PinToSet, PinToSet]:
    """The heights of both outside pins at which they stand at the wanted angle, each with its own throw.

    Formula: both above the axle and equally far from level: e = 90 -+ a / 2, h = hc + r sin e: hc + r sin 45 for two
    cylinders, hc + r sin 30 for three. Where that is past 75 degrees one stands above and one below: e = -+ a / 2.
    Parameters: `throws` of the outside two, nm; `centre_nm`, the axle's height, nm; `cranks`, wanted.
    Returns: the pin that is ahead first; heights in nm.
    Source: geometry.

    >>> from domain.cranks.cylinders import crank_angles
    >>> throws = {Side.RIGHT: 22_225_000, Side.LEFT: 22_200_000}
    >>> [(one.branch.value, one.height_nm) for one in pins_to_set(throws, 60_000_000, crank_angles(2, Side.RIGHT))]
    [('front', 75715448), ('rear', 75697771)]
    >>> pins_to_set(throws, 60_000_000, crank_angles(3, Side.RIGHT))[0].height_nm
    71112500
    """
    ahead, behind = next(pair for pair in cranks.pairs() if Side.INSIDE not in pair)
    half = cranks.ahead_deg(ahead, behind) / 2
    middle = 90.0 if 90.0 - half <= STEEPEST_DEG else 0.0
    return (
        _pin_at(ahead, middle - half, centre_nm, throws[ahead]),
        _pin_at(behind, middle + half, centre_nm, throws[behind]),
    )


def stop_and_square(
    square: Side, stop: Side, throw_nm: int, centre_nm: int, axle_nm: int, pin_nm: int, cranks: Cranks
) -> StopAndSquare:
    """The packing of the square and the height of the stop, for one pin straight over the axle.

    Formula: packing = (D - d) / 2; the pin on the stop is at e = 90 + the wanted angle from it to the other, its stop at
    hc + r sin e - d / 2: level with the axle for 90 degrees, whatever the throws.
    Parameters: `square`, `stop`, which pin is brought to which; `throw_nm` of the one on the stop; `centre_nm`, the
    axle's height; `axle_nm` D and `pin_nm` d, the diameters that square and stop touch; all nm.
    Raises: QuarteringError where the pin on the stop would be past 75 degrees from level, or the stop under the plate.
    Source: geometry.

    >>> from domain.cranks.cylinders import crank_angles
    >>> right = crank_angles(2, Side.RIGHT)
    >>> found = stop_and_square(Side.RIGHT, Side.LEFT, 22_225_000, 60_000_000, 19_050_000, 8_000_000, right)
    >>> found.packing_nm, found.pin.branch.value, found.stop_nm
    (5525000, 'rear', 56000000)
    """
    pin = _pin_at(stop, 90.0 + cranks.ahead_deg(square, stop), centre_nm, throw_nm)
    if abs(pin.from_level_deg) > STEEPEST_DEG:
        raise QuarteringError(
            "So near the top or the bottom a stop tells next to nothing: set both pins to heights."
        )
    stop_nm = pin.height_nm - pin_nm // 2
    if centre_nm and stop_nm <= 0:
        raise QuarteringError(
            "The stop would be under the plate: raise the vee blocks, or set both pins to heights."
        )
    return StopAndSquare(square, (axle_nm - pin_nm) // 2, pin, stop_nm)


def between_pins_nm(one_nm: int, other_nm: int, angle_deg: float) -> int:
    """How far a jig's two pin centres are from each other, seen end on.

    Formula: c^2 = r1^2 + r2^2 - 2 r1 r2 cos a.
    Parameters: the two throws, nm; `angle_deg` between the cranks.
    Source: geometry, the law of cosines.

    >>> between_pins_nm(30_000_000, 40_000_000, 90.0)
    50000000
    """
    turned = 2 * one_nm * other_nm * math.cos(math.radians(angle_deg))
    return round(math.sqrt(one_nm**2 + other_nm**2 - turned))


def height_worth_deg(nm: int, throw_nm: int, from_level_deg: float) -> float:
    """How many degrees a small difference of a pin's height is.

    Formula: dphi = dh / (r cos phi).
    Source: geometry.

    >>> round(height_worth_deg(10_000, 22_225_000, 45.0), 4)
    0.0365
    """
    return math.degrees(nm / (throw_nm * math.cos(math.radians(from_level_deg))))


def to_step(nm: int, step_nm: int) -> int:
    """A height as an instrument can show it: to the nearest of its steps; 0 for no step.

    >>> to_step(75_715_448, 10_000), to_step(75_715_448, 0)
    (75720000, 75715448)
    """
    return round(nm / step_nm) * step_nm if step_nm else nm


def _pin_at(side: Side, elevation: float, centre_nm: int, throw_nm: int) -> PinToSet:
    turned = wrapped_deg(elevation)
    front = abs(turned) <= 90.0
    level = turned if front else wrapped_deg(180.0 - turned)
    return PinToSet(
        side, Branch.FRONT if front else Branch.REAR, height_nm(elevation, centre_nm, throw_nm), level
    )
