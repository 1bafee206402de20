"""Which way each crank points: two or three cylinders, level or inclined, and which side is ahead.

The pins are looked at from the engine's right-hand side: the leading end is then on the right, and running forwards
the wheels turn clockwise. A pin's elevation is its angle up from level, 0 towards the leading end, 90 at the top,
180 towards the trailing end; running forwards it becomes less. One crank is ahead of another by the angle the
second must still turn, running forwards, to stand where the first stands now.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from domain.errors import TradeError
from domain.working import Working

STEEPEST_DEG = 45.0  # steeper is a misreading: common practice, no source
_SOURCE = "derived here from evenly spaced dead centres; no published source"


class CylindersError(TradeError):
    """Cylinders no cranks can be set out for; `field` is the side whose slope is at fault, where one is."""


class Side(StrEnum):
    """Where a crankpin is, looking forward; the inside one is between the frames."""

    LEFT = "left"
    RIGHT = "right"
    INSIDE = "inside"


@dataclass(frozen=True)
class Cranks:
    """The cranks as the drawing wants them.

    lead: the outside crank that is ahead of the other by less than half a turn.
    before_right: how far each crank is ahead of the right one, degrees, 0 up to 360.
    """

    lead: Side
    before_right: tuple[tuple[Side, float], ...]
    words: str
    working: Working

    @property
    def sides(self) -> tuple[Side, ...]:
        """The cranks there are."""
        return tuple(side for side, _ in self.before_right)

    def ahead_deg(self, first: Side, second: Side) -> float:
        """How far the first crank is wanted ahead of the second, degrees, 0 up to 360.

        >>> crank_angles(2, Side.RIGHT).ahead_deg(Side.LEFT, Side.RIGHT)
        270.0
        """
        of = dict(self.before_right)
        if first not in of or second not in of:
            raise CylindersError("An engine with two cylinders has no inside crank: leave it out.")
        return (of[first] - of[second]) % 360.0

    def pairs(self) -> tuple[tuple[Side, Side], ...]:
        """Each two cranks, the one that is ahead by less than half a turn first; the outside two come first.

        >>> [f"{one} before {two}" for one, two in crank_angles(3, Side.RIGHT).pairs()]
        ['right before left', 'inside before right', 'left before inside']
        """
        known = self.sides
        both = [(one, two) for at, one in enumerate(known) for two in known[at + 1 :]]
        return tuple((a, b) if self.ahead_deg(a, b) < 180.0 else (b, a) for a, b in both)


def crank_angles(cylinders: int, lead: Side, inclines_deg: Mapping[Side, float] | None = None) -> Cranks:
    """How far each crank is ahead of the right one, so that the dead centres follow each other evenly.

    Formula: two cylinders: lead ahead of the other by 90 + i_other - i_lead; three: by 120 + i_other - i_lead,
    and the inside crank ahead of the lead by 120 + i_lead - i_inside. i is the cylinder's inclination.
    Parameters: `cylinders`, 2 or 3; `lead`, LEFT or RIGHT; `inclines_deg`, how much each cylinder ahead of the axle
    slopes upwards from it, degrees, below 0 when it slopes down, at most 45 either way; those not given are level.
    Raises: CylindersError for another number of cylinders, a lead that is not an outside crank, an inside cylinder
    of two, or an inclination not a number or past 45 degrees.
    Source: derived here: a crank is on its front dead centre when it points at its cylinder; no published source.
    Long connecting rods are not asked for: the dead centres do not hang on the rod's length.

    >>> crank_angles(3, Side.RIGHT, {Side.INSIDE: 8.0}).ahead_deg(Side.INSIDE, Side.RIGHT)
    112.0
    >>> crank_angles(2, Side.LEFT).words
    'The left crank is ahead of the right one by 90 degrees.'
    """
    inclines = dict(inclines_deg or {})
    _check(cylinders, lead, inclines)
    other = Side.LEFT if lead is Side.RIGHT else Side.RIGHT
    slope = {side: inclines.get(side, 0.0) for side in Side}
    step = 90.0 if cylinders == 2 else 120.0
    ahead = {other: 0.0, lead: step + slope[other] - slope[lead]}
    if cylinders == 3:
        ahead[Side.INSIDE] = 2 * step + slope[other] - slope[Side.INSIDE]
    order = [Side.RIGHT, Side.LEFT, Side.INSIDE][:cylinders]
    before = tuple((side, (ahead[side] - ahead[Side.RIGHT]) % 360.0) for side in order)
    working = _working(step, slope, before, lead)
    return Cranks(lead, before, _words(ahead, lead, other), working)


def _check(cylinders: int, lead: Side, inclines: Mapping[Side, float]) -> None:
    if cylinders not in (2, 3):
        raise CylindersError("Cranks are set out for two or three cylinders: choose one of them.")
    if lead is Side.INSIDE:
        raise CylindersError("The lead is between the two outside cranks: choose left or right.")
    if cylinders == 2 and Side.INSIDE in inclines:
        raise CylindersError("An engine with two cylinders has no inside crank: leave it out.")
    for side, slope in inclines.items():
        if not (math.isfinite(slope) and abs(slope) <= STEEPEST_DEG):
            raise CylindersError(
                f"The {side} cylinder's slope must be between 45 degrees down and 45 degrees up: type it again.",
                field=side.value,
            )


def _words(ahead: Mapping[Side, float], lead: Side, other: Side) -> str:
    words = f"The {lead} crank is ahead of the {other} one by {_degrees(ahead[lead] - ahead[other])} degrees"
    if Side.INSIDE in ahead:
        rest = 360.0 - ahead[Side.INSIDE] + ahead[other]
        words += f", the inside crank ahead of the {lead} one by {_degrees(ahead[Side.INSIDE] - ahead[lead])}"
        words += f", and the {other} crank ahead of the inside one by {_degrees(rest)}"
    return f"{words}."


def _degrees(angle: float) -> str:
    return f"{round(angle, 3):g}"


def _working(
    step: float, slope: Mapping[Side, float], before: tuple[tuple[Side, float], ...], lead: Side
) -> Working:
    slopes = ", ".join(f"{side} {_degrees(slope[side])}" for side, _ in before)
    return Working(
        "crank angles",
        "ahead = step + slope of the one behind - slope of the one ahead",
        f"step {_degrees(step)} degrees, {lead} leads; slopes {slopes}",
        ", ".join(f"{side} {_degrees(angle)} degrees" for side, angle in before)
        + " ahead of the right crank",
        _SOURCE,
    )
