"""Where pins and rods stand at a crank angle, and the numbers of a plot over the turn: coordinates only."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from domain.cranks.cylinders import Side
from domain.lengths import NM_PER_MM
from domain.rods.engine import RodEngine, shape_of
from domain.rods.exact import Least, least_error


@dataclass(frozen=True)
class EnginePoint:
    """A place, mm: x forwards, y up, the front axle at 0, 0."""

    x: float
    y: float


@dataclass(frozen=True)
class RodPlace:
    """One rod from pin to pin, and by how much the pins stand further apart than it is long, mm."""

    front: EnginePoint
    rear: EnginePoint
    error_mm: float


@dataclass(frozen=True)
class SidePlaces:
    """One side of the engine, from the front: axles, pins, throws in mm, and rods."""

    axles: tuple[EnginePoint, ...]
    pins: tuple[EnginePoint, ...]
    throws_mm: tuple[float, ...]
    rods: tuple[RodPlace, ...]


@dataclass(frozen=True)
class Places:
    """Both sides at one crank angle; phases_deg: how far each axle after the first has turned from the one before."""

    crank_deg: float
    phases_deg: tuple[float, ...]
    left: SidePlaces
    right: SidePlaces

    def at(self, side: Side) -> SidePlaces:
        """One side."""
        return self.left if side is Side.LEFT else self.right


@dataclass(frozen=True)
class PlotPoint:
    """One crank position of a pair: pin distance less rod on each side at the best phase, the play needed; mm."""

    crank_deg: float
    left_mm: float
    right_mm: float
    needed_mm: float


def turn_series(engine: RodEngine, span: int, positions: int = 120) -> tuple[PlotPoint, ...]:
    """What the best phase leaves between two axles at each position of a whole turn.

    Formula: least_error at equal steps, the first position once more at the end; where the clearances of both rods
    are known the best phase is that which leaves least lacking after them.
    Parameters: `engine`; `span`, from 0; `positions`, 1 or more.
    Returns: positions + 1 points; the crank angle is that of the span's front axle, left side, forwards from front
    dead centre.
    Raises: ValueError for fewer than one position.
    Source: derived here; no published source.

    >>> from domain.rods.engine import RodAxle, RodSide, RodSpan
    >>> axle, side = RodAxle(25_400_000, 25_400_000, 90.0), RodSide(150_000_000, 150_020_000)
    >>> round(turn_series(RodEngine((axle, axle), (RodSpan(side, side),)), 0, 8)[3].needed_mm, 4)
    0.02
    """
    if positions < 1:
        raise ValueError("a turn takes one position or more")
    return tuple(_plotted(engine, span, 360 * step / positions) for step in range(positions + 1))


def _plotted(engine: RodEngine, span: int, crank_deg: float) -> PlotPoint:
    found = _best(engine, span, math.radians(crank_deg))
    needed = max(abs(found.left), abs(found.right))
    return PlotPoint(crank_deg, found.left, found.right, needed)


def positions(engine: RodEngine, crank_deg: float, phases_deg: Sequence[float] | None = None) -> Places:
    """Where every axle, pin and rod stands at a crank angle.

    Formula: pin = axle + r (cos a, -sin a), a from front dead centre forwards (the top goes forwards); the right pin
    stands a quarter angle ahead where the right side leads, behind where the left does.
    Parameters: `engine`; `crank_deg`, the front axle's left crank, degrees, any; `phases_deg`, how far each further
    axle has turned from the one before it, degrees, or None for the best, as in turn_series.
    Raises: ValueError for a count of phases that is not one for each further axle.
    Source: geometry.

    >>> from domain.rods.engine import RodAxle, RodSide, RodSpan
    >>> axle, side = RodAxle(25_000_000, 25_000_000, 90.0), RodSide(150_000_000, 150_000_000)
    >>> places = positions(RodEngine((axle, axle), (RodSpan(side, side),)), 0.0)
    >>> places.left.pins[1].x, round(places.right.pins[0].y, 6)
    (-125.0, -25.0)
    """
    if phases_deg is not None and len(phases_deg) != len(engine.spans):
        raise ValueError("one phase for each axle after the first")
    angles, phases = [math.radians(crank_deg)], []
    for span in range(len(engine.spans)):
        phase = (
            _best(engine, span, angles[-1]).phase if phases_deg is None else math.radians(phases_deg[span])
        )
        phases.append(math.degrees(phase))
        angles.append(angles[-1] + phase)
    forwards = 1 if engine.right_leads else -1
    rights = [
        angle + forwards * math.radians(axle.quarter_deg)
        for angle, axle in zip(angles, engine.axles, strict=True)
    ]
    return Places(
        crank_deg, tuple(phases), _side(engine, Side.LEFT, angles), _side(engine, Side.RIGHT, rights)
    )


def _best(engine: RodEngine, span: int, theta: float) -> Least:
    """Unlike clearances pull the best phase towards the closer rod, so that a rod is shown to bind only where it must."""
    rods = engine.spans[span]
    if not rods.clearances_known:
        return least_error(shape_of(engine, span), theta)
    return least_error(shape_of(engine, span), theta, rods.left.play_mm, rods.right.play_mm)


def _side(engine: RodEngine, side: Side, angles: Sequence[float]) -> SidePlaces:
    throws = [axle.throw_nm(side) / NM_PER_MM for axle in engine.axles]
    each = [span.at(side) for span in engine.spans]
    axles = [EnginePoint(0.0, 0.0)]
    for one in each:
        axles.append(EnginePoint(axles[-1].x - one.centre_nm / NM_PER_MM, 0.0))
    pins = [
        EnginePoint(axle.x + throw * math.cos(angle), -throw * math.sin(angle))
        for axle, throw, angle in zip(axles, throws, angles, strict=True)
    ]
    rods = [
        RodPlace(front, rear, math.hypot(front.x - rear.x, front.y - rear.y) - one.rod_nm / NM_PER_MM)
        for front, rear, one in zip(pins, pins[1:], each, strict=False)
    ]
    return SidePlaces(tuple(axles), tuple(pins), tuple(throws), tuple(rods))
