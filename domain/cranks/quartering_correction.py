"""Which way and how far to turn a wheel on its axle, before the bond sets or at the press."""

import math
from dataclasses import dataclass

from domain.cranks.cylinders import Side
from domain.cranks.quartering_types import (
    STEEPEST_DEG,
    Measured,
    Pin,
    QuarterAngle,
    QuarteringError,
    elevation_deg,
    height_nm,
    wrapped_deg,
)
from domain.cranks.quartering_words import degrees
from domain.lengths import Unit, show
from domain.working import Working


@dataclass(frozen=True)
class Correction:
    """How to turn one wheel while the axle and the other wheel stay as they lie.

    turn_deg: how far, 0 or more. arc_nm: that much at the pin, nm. forwards: as in running forwards.
    clockwise: as seen from `seen_from`, LEFT or RIGHT, standing outside the wheel and looking at it.
    height_now_nm, height_then_nm: the pin's centre before and after, axle not moved, nm; the second does not serve
    to set by (`height_serves` False) when the pin would then stand past 75 degrees from level.
    worth_it: False when the departure is no more than the uncertainty: measure better before turning.
    """

    side: Side
    turn_deg: float
    arc_nm: int
    forwards: bool
    seen_from: Side
    clockwise: bool
    height_now_nm: int
    height_then_nm: int
    height_serves: bool
    worth_it: bool
    words: str
    working: Working


def correction(quarter: QuarterAngle, pin: Pin, centre: Measured, unit: Unit) -> Correction:
    """Which way and how far to turn this pin's wheel so that the angle comes out as wanted.

    Formula: turn = |departure|; the crank ahead goes back when it is too far ahead, the crank behind goes forward;
    at the pin r x turn in radians; height after = hc + r sin(elevation after). Forwards is clockwise seen from the
    right-hand side and anticlockwise seen from the left.
    Parameters: `quarter`, the angle as measured; `pin`, the one to be turned, as it was measured (an inside crank is
    looked at from the right); `centre`, the axle's height, nm; `unit`.
    Returns: degrees and nm.
    Raises: QuarteringError when the pin is neither of the two.
    Source: geometry.

    >>> from domain.cranks.cylinders import crank_angles
    >>> from domain.cranks.quartering import Branch, measure_axle
    >>> right = Pin(Side.RIGHT, Branch.FRONT, Measured(75_800_000), Measured(22_225_000))
    >>> left = Pin(Side.LEFT, Branch.REAR, Measured(75_620_000), Measured(22_225_000))
    >>> hc = Measured(60_000_000)
    >>> quarter = measure_axle([right, left], hc, crank_angles(2, Side.RIGHT), 0.1, Unit.MM).quarter
    >>> found = correction(quarter, left, hc, Unit.MM)
    >>> round(found.turn_deg, 4), found.arc_nm, found.clockwise, found.height_then_nm
    (0.0378, 14679, False, 75630439)
    """
    if pin.side not in (quarter.ahead, quarter.behind):
        raise QuarteringError(f"The {pin.side} pin is not one of the two measured: choose one of them.")
    turn = abs(quarter.departure_deg)
    forwards = (quarter.departure_deg > 0) is (pin.side is quarter.behind)
    now = elevation_deg(pin.height.nm, centre.nm, pin.throw.nm, pin.branch)
    then = now - turn if forwards else now + turn
    seen_from = Side.LEFT if pin.side is Side.LEFT else Side.RIGHT
    clockwise = forwards is (seen_from is Side.RIGHT)
    arc = round(pin.throw.nm * math.radians(turn))
    after = height_nm(then, centre.nm, pin.throw.nm)
    serves = abs(math.cos(math.radians(then))) >= math.cos(math.radians(STEEPEST_DEG))
    worth = turn > quarter.expanded_deg
    how = _Way(seen_from, clockwise, forwards, after if serves else None)
    return Correction(
        pin.side, turn, arc, forwards, seen_from, clockwise, pin.height.nm, after, serves, worth,
        _words(pin, turn, arc, how, worth, unit), _working(pin, turn, arc, now, then, unit),
    )  # fmt: skip


@dataclass(frozen=True)
class _Way:
    seen_from: Side
    clockwise: bool
    forwards: bool
    height_nm: int | None


def _words(pin: Pin, turn: float, arc_nm: int, way: _Way, worth: bool, unit: Unit) -> str:
    wheel = "inside crank" if pin.side is Side.INSIDE else f"{pin.side} wheel"
    if degrees(turn) == degrees(0.0):
        return f"The {wheel} needs no turning."
    hand = "clockwise" if way.clockwise else "anticlockwise"
    words = (
        f"Seen from the {way.seen_from} side, turn the {wheel} {hand} ({'forwards' if way.forwards else 'backwards'})"
        f" by {degrees(turn)}, {show(arc_nm, unit)} at the pin"
    )
    if way.height_nm is not None:
        words += f": with the axle as it lies the pin goes from {show(pin.height.nm, unit)} to {show(way.height_nm, unit)}"
    if not worth:
        words += ". That is no more than the uncertainty: measure more finely before you turn it"
    return f"{words}."


def _working(pin: Pin, turn: float, arc_nm: int, now: float, then: float, unit: Unit) -> Working:
    return Working(
        f"turning the {pin.side} pin",
        "r x turn x pi / 180; height after = hc + r sin(elevation after)",
        f"r {show(pin.throw.nm, unit)}, turn {degrees(turn)}, elevation from {degrees(now)} to"
        f" {degrees(wrapped_deg(then))}",
        show(arc_nm, unit),
        "geometry",
    )
