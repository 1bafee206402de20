"""Setting true by eye: a point held still, where the rim comes nearest it and where it stands farthest off."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from domain.truing.dial import JAWS, TruingError, direction
from domain.truing.setting import Grip, JawLabel, Surface, slackened_and_tightened

# The jaws and half way between two: finer than that the eye does not tell where a gap is least.
SPOTS = tuple(45.0 * place for place in range(8))
_OPPOSITE_FROM_DEG = 135.0
# A pair of jaws that has less than this share of the other pair's part is left until the next look.
_WORTH_MOVING = 0.5


class Seen(StrEnum):
    """What a look all round says."""

    OFF = "off"  # it lies off the middle
    ALIKE = "alike"  # no difference to be seen
    SHAPE = "shape"  # high and low do not lie opposite, so it is not its place alone


class Since(StrEnum):
    """How it stands beside the look before."""

    SAME = "same"
    PAST = "past"


@dataclass(frozen=True)
class EyeMove:
    """One pair of jaws to move a little: which to slacken and which to tighten."""

    slacken: int
    tighten: int

    @property
    def pair(self) -> tuple[int, int]:
        """Both jaws, the lower number first."""
        return min(self.slacken, self.tighten), max(self.slacken, self.tighten)


@dataclass(frozen=True)
class Look:
    """What was seen in one turn by hand, and the jaws to move; high and low are None where all looked alike.

    `towards_deg` is the way the work lies off the middle, None where it is not known to.
    """

    seen: Seen
    high_deg: float | None
    low_deg: float | None
    surface: Surface
    grip: Grip
    moves: tuple[EyeMove, ...] = ()
    towards_deg: float | None = None

    @property
    def labels(self) -> tuple[tuple[int, JawLabel], ...]:
        """What to do at each jaw."""
        found = {one.slacken: JawLabel.SLACK for one in self.moves}
        found |= {one.tighten: JawLabel.TIGHT for one in self.moves}
        return tuple((jaw, found.get(jaw, JawLabel.LEAVE)) for jaw in JAWS)


def look(high_deg: float | None, low_deg: float | None, surface: Surface, grip: Grip) -> Look:
    """Say which jaws to move from where the surface is high, nearest the point, and where it is low; without a figure.

    Formula: the work lies along direction(high) - direction(low), towards the high spot on an outside surface and away
    from it on an inside one; each pair of jaws moves it back by its part, a pair with less than half the other's waits.
    Parameters: `high_deg`, `low_deg`, one of SPOTS, clockwise from jaw 1; both None where no difference was seen.
    Raises: TruingError, whose box is "high" or "low", for a spot that is none, one of the two alone, or both at one spot.
    Source: derived here from the geometry of jaw, work and point; no published source. The limits are our own choice.

    >>> look(0.0, 180.0, Surface.INSIDE, Grip.ON_OUTSIDE).moves
    (EyeMove(slacken=1, tighten=3),)
    >>> look(0.0, 180.0, Surface.OUTSIDE, Grip.ON_OUTSIDE).moves
    (EyeMove(slacken=3, tighten=1),)
    """
    if high_deg is None and low_deg is None:
        return Look(Seen.ALIKE, None, None, surface, grip)
    for box, angle in (("high", high_deg), ("low", low_deg)):
        if angle not in SPOTS:
            raise TruingError(f"Say where it is {box}: at a jaw, or between two.", box)
    assert high_deg is not None and low_deg is not None  # both are spots
    if high_deg == low_deg:
        raise TruingError("It cannot be high and low at one spot: look again, all the way round.", "low")
    apart = abs(high_deg - low_deg)
    if min(apart, 360 - apart) < _OPPOSITE_FROM_DEG:
        return Look(Seen.SHAPE, high_deg, low_deg, surface, grip)
    sign = 1 if surface is Surface.OUTSIDE else -1
    along, across = (
        sign * (high - low) for high, low in zip(direction(high_deg), direction(low_deg), strict=True)
    )
    parts = sorted(((1, along), (2, across)), key=lambda one: -abs(one[1]))
    least = _WORTH_MOVING * abs(parts[0][1])
    moves = tuple(
        EyeMove(*slackened_and_tightened(jaw if part > 0 else jaw + 2, grip))
        for jaw, part in parts
        if abs(part) >= least
    )
    towards = math.degrees(math.atan2(across, along)) % 360
    return Look(Seen.OFF, high_deg, low_deg, surface, grip, moves, towards)


def since(before: Look | None, now: Look) -> Since | None:
    """How a look stands beside the one before it; None where that says nothing.

    >>> first = look(0.0, 180.0, Surface.INSIDE, Grip.ON_OUTSIDE)
    >>> since(first, look(180.0, 0.0, Surface.INSIDE, Grip.ON_OUTSIDE))
    <Since.PAST: 'past'>
    """
    if before is None or not before.moves or not now.moves:
        return None
    if set(now.moves) & set(before.moves):
        return Since.SAME
    back = {EyeMove(one.tighten, one.slacken) for one in before.moves}
    return Since.PAST if set(now.moves) & back else None
