"""All axles of a build side by side: it is that their angles agree, not that they are exact, which frees the rods."""

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from domain.cranks.cylinders import Side
from domain.cranks.quartering import QuarteringError, judge_departure
from domain.measuring.decision_types import Conformity


@dataclass(frozen=True)
class AxleAngle:
    """One axle: its number, how far the leading pin is ahead, degrees, and the U (k = 2) of that."""

    axle: int
    angle_deg: float
    expanded_deg: float = 0.0


@dataclass(frozen=True)
class AxleStanding:
    """One axle beside its fellows, degrees.

    off_fellows_deg: its angle less the mean of the others'; expanded_deg: U of that.
    reset_deg: how much further ahead (below 0: back) the leading pin must go to stand in the middle of the others.
    spread_after_deg: what then lies between all axles.
    """

    axle: int
    angle_deg: float
    off_wanted_deg: float
    off_fellows_deg: float
    expanded_deg: float
    reset_deg: float
    spread_after_deg: float


@dataclass(frozen=True)
class AxleSet:
    """All axles together, degrees; `lead` is the side whose pin is ahead, `throw_nm` the throw.

    shared_deg: mean angle less wanted: what all have in common. low, high: the axles with the smallest and the largest
    angle; spread_deg: what lies between, and its U.
    worst: the axle furthest from its fellows. reset: the one to re-set to gain most, None when one alone gains nothing.
    must_reset: the fewest axles to re-set so that all lie within what is allowed; empty when they do, None when no
    allowance was given; must_to_deg: the angle to re-set them to, the middle of the others.
    play_nm: least length play each rod between the two furthest apart needs, nm.
    """

    axles: tuple[AxleStanding, ...]
    lead: Side
    throw_nm: int
    shared_deg: float
    low: AxleAngle
    high: AxleAngle
    spread_deg: float
    spread_expanded_deg: float
    worst: AxleStanding
    reset: AxleStanding | None
    must_reset: tuple[int, ...] | None
    must_to_deg: float | None
    play_nm: int
    answer: Conformity | None

    @property
    def to_set(self) -> tuple[tuple[int, float], ...]:
        """The axles to set again and the change of each one's angle, degrees: only where they surely do not agree, and
        none where the one that gains most stands out by no more than the uncertainty."""
        if self.answer is not Conformity.OUTSIDE:
            return ()
        if self.must_reset is not None and self.must_to_deg is not None and len(self.must_reset) > 1:
            must, to = self.must_reset, self.must_to_deg
            return tuple((one.axle, to - one.angle_deg) for one in self.axles if one.axle in must)
        one = self.reset
        return () if one is None or abs(one.reset_deg) <= one.expanded_deg else ((one.axle, one.reset_deg),)


@dataclass(frozen=True)
class AxleTurn:
    """How one axle is set again, the one figure of it.

    turn_deg: the change of its quarter angle, degrees. side: the wheel that is turned for it. forwards: which way, as in
    running forwards. arc_nm: how far at that wheel's crankpin, nm.
    """

    axle: int
    turn_deg: float
    side: Side
    forwards: bool
    arc_nm: int


def axle_turn(axle: int, turn_deg: float, throw_nm: int, side: Side, lead: Side) -> AxleTurn:
    """The change of an axle's quarter angle as the turn of one of its wheels.

    Formula: at the crankpin r x |turn| in radians; the angle grows when the crank ahead goes forwards or the other back.
    Parameters: `throw_nm` > 0, of the wheel on `side`; `lead`, the side that is ahead.
    Source: geometry.

    >>> axle_turn(2, -0.3, 25_400_000, Side.RIGHT, Side.RIGHT)
    AxleTurn(axle=2, turn_deg=-0.3, side=<Side.RIGHT: 'right'>, forwards=False, arc_nm=132994)
    """
    arc = round(throw_nm * math.radians(abs(turn_deg)))
    return AxleTurn(axle, turn_deg, side, (turn_deg > 0) is (side is lead), arc)


def compare_axles(
    angles: Sequence[AxleAngle],
    wanted_deg: float,
    lead: Side,
    throw_nm: int,
    allowed_deg: float | None = None,
) -> AxleSet:
    """Compare the crank angles of all coupled axles with each other.

    Formula: spread = largest - smallest, U^2 of it the sum of those two axles' U^2; off = angle - mean of the others;
    re-set to the middle of the others, (largest + smallest) / 2, which leaves their spread; play as rod_play_nm().
    Parameters: `angles`, of the same two outside pins at each axle, U independent, each axle once, two or more;
    `wanted_deg`, above 0 and below 180; `lead`, the side that is ahead; `throw_nm` > 0, the throw; `allowed_deg`,
    the most the axles may lie apart, above 0, or None.
    Raises: QuarteringError for fewer than two axles, one given twice, or a figure that cannot be.
    Source: geometry; JCGM 100:2008 (GUM) 5.1.2; ISO 14253-1:2017 for the verdict.

    >>> found = compare_axles(
    ...     [AxleAngle(1, 90.05), AxleAngle(2, 90.35), AxleAngle(3, 90.07)], 90.0, Side.RIGHT, 22_225_000)
    >>> found.reset.axle, round(found.reset.reset_deg, 3), round(found.reset.spread_after_deg, 3)
    (2, -0.29, 0.02)
    """
    _check(angles, wanted_deg, lead, throw_nm, allowed_deg)
    standings = tuple(_standing(one, angles, wanted_deg) for one in angles)
    values = [one.angle_deg for one in angles]
    low, high = min(angles, key=lambda one: one.angle_deg), max(angles, key=lambda one: one.angle_deg)
    spread = high.angle_deg - low.angle_deg
    expanded = math.hypot(low.expanded_deg, high.expanded_deg)
    answer = None if allowed_deg is None else judge_departure(spread, expanded, allowed_deg)
    best = min(standings, key=lambda one: (round(one.spread_after_deg, 9), -abs(one.off_wanted_deg)))
    reset = best if spread - best.spread_after_deg > 1e-9 else None
    must = None if allowed_deg is None else _fewest(angles, allowed_deg, statistics.median(values))
    numbers, to_deg = must or (None, None)
    return AxleSet(
        axles=standings,
        lead=lead,
        throw_nm=throw_nm,
        shared_deg=statistics.fmean(values) - wanted_deg,
        low=low,
        high=high,
        spread_deg=spread,
        spread_expanded_deg=expanded,
        worst=max(standings, key=lambda one: abs(one.off_fellows_deg)),
        reset=reset,
        must_reset=numbers,
        must_to_deg=to_deg,
        play_nm=rod_play_nm(spread, throw_nm, wanted_deg),
        answer=answer,
    )


def rod_play_nm(mismatch_deg: float, throw_nm: int, wanted_deg: float = 90.0) -> int:
    """The length play each rod needs between two axles whose crank angles differ, the second free to find its best.

    Formula: play = r D max(cos(w/2), sin(w/2)) / 2, D in radians; at w = 90 it is r D / (2 sqrt 2). In summed
    diametral clearance of the rod's two bushes it is twice that. First order; throws and rods else right.
    Parameters: `mismatch_deg`, any sign; `throw_nm` > 0; `wanted_deg`, between the cranks, above 0 and below 180.
    Returns: nm, rounded up.
    Raises: QuarteringError for a throw or an angle that cannot be.
    Source: derived here: with the sides' lever arms p and q the least error is r D |p q| / (|p| + |q|), the largest
    over a turn where |p| = |q|; no published source.

    >>> rod_play_nm(0.30, 25_400_000)
    47021
    """
    if throw_nm <= 0:
        raise QuarteringError("A throw must be more than nothing: type one such as 22.225 mm.")
    if not 0.0 < wanted_deg < 180.0:
        raise QuarteringError("The wanted angle must be between 0 and 180 degrees: type one such as 90.")
    half = math.radians(wanted_deg / 2)
    play = throw_nm * abs(math.radians(mismatch_deg)) * max(math.cos(half), math.sin(half)) / 2
    return math.ceil(play)


def _standing(one: AxleAngle, angles: Sequence[AxleAngle], wanted: float) -> AxleStanding:
    fellows = [other for other in angles if other.axle != one.axle]
    values = [other.angle_deg for other in fellows]
    expanded = math.hypot(one.expanded_deg, *(other.expanded_deg / len(fellows) for other in fellows))
    return AxleStanding(
        axle=one.axle,
        angle_deg=one.angle_deg,
        off_wanted_deg=one.angle_deg - wanted,
        off_fellows_deg=one.angle_deg - statistics.fmean(values),
        expanded_deg=expanded,
        reset_deg=(max(values) + min(values)) / 2 - one.angle_deg,
        spread_after_deg=max(values) - min(values),
    )


def _fewest(angles: Sequence[AxleAngle], allowed: float, median: float) -> tuple[tuple[int, ...], float]:
    """The axles outside the band of the allowed width that holds most of them, and the middle of those inside.

    Of bands that hold as many, the one nearest to the median.
    """
    ways = []
    for low in sorted({one.angle_deg for one in angles}):
        out = [one.axle for one in angles if not low <= one.angle_deg <= low + allowed + 1e-12]
        held = [one.angle_deg for one in angles if one.axle not in out]
        middle = (max(held) + min(held)) / 2
        ways.append((len(out), abs(middle - median), tuple(out), middle))
    return min(ways)[2:]


def _check(
    angles: Sequence[AxleAngle], wanted: float, lead: Side, throw_nm: int, allowed: float | None
) -> None:
    if len(angles) < 2:
        raise QuarteringError("One axle has no fellow to agree with: log the angle of another one.")
    if len({one.axle for one in angles}) < len(angles):
        raise QuarteringError("The same axle is given twice: give each once.")
    if lead is Side.INSIDE:
        raise QuarteringError("The lead is between the two outside cranks: choose left or right.")
    if any(not math.isfinite(one.angle_deg) for one in angles):
        raise QuarteringError("An angle must be a number: type it in degrees, such as 90.04.")
    for one in angles:
        if not 0.0 < one.angle_deg < 180.0:
            raise QuarteringError(f"Axle {one.axle} has the other side ahead: put its lead right first.")
    if any(not (math.isfinite(one.expanded_deg) and one.expanded_deg >= 0) for one in angles):
        raise QuarteringError("An uncertainty cannot be below nothing: type one such as 0.05 degrees.")
    if allowed is not None and not (math.isfinite(allowed) and allowed > 0):
        raise QuarteringError("What the axles may lie apart must be more than nothing, such as 0.1 degrees.")
    rod_play_nm(0.0, throw_nm, wanted)  # refuses a throw or a wanted angle that cannot be
