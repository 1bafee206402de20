"""Two coupled axles and their two rods, exactly: how far the pins are from the rods' lengths round a turn.

The second axle is free to turn by a small phase. Turning it turns both of its pins alike, so the square of the
pins' distance on a side is k + x cos(phase) + y sin(phase), with k, x, y fixed by the crank position: a solution
by Newton's rule costs two square roots a step. Where it is not certain that Newton's answer is the least of all,
near a dead centre, the range is cut at the dead centres and each part is searched by golden section; within a
part both distances only rise or only fall, so the worse of the two has a single lowest place.
"""

import math
from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple, TypeAlias

POSITIONS = 180
# How far the second axle may turn from its nominal phase, radians (20 degrees): far more than any rod allows.
REACH = 0.35
_GOLDEN = (math.sqrt(5) - 1) / 2
_CLOSE_MM = 1e-8  # a hundredth of a nanometre


class Shape(NamedTuple):
    """A pair of axles: lengths in mm, quarter angles in radians, from the left pin to the right, forwards.

    c: axle centres, l: rod (bush centre to bush centre), r1 and r2: throws of the first and the second axle.
    """

    c_left: float
    c_right: float
    l_left: float
    l_right: float
    r1_left: float
    r1_right: float
    r2_left: float
    r2_right: float
    q1: float
    q2: float


class Least(NamedTuple):
    """The best that the phase can do at one crank position: radians and mm; `worst` is after the allowances."""

    phase: float
    worst: float
    left: float
    right: float


class Tightest(NamedTuple):
    """The largest over a turn, mm, and at which crank angle, radians."""

    worst: float
    theta: float


# One side at one crank position: k, x, y of the pins' distance^2 = k + x cos(phase) + y sin(phase), then the rod and
# what the side takes up freely, mm. A bare tuple: thousands are made in a turn, and a named one takes three times as long.
Side: TypeAlias = tuple[float, float, float, float, float]


def sides_at(
    shape: Shape, theta: float, free_left: float = 0.0, free_right: float = 0.0
) -> tuple[Side, Side]:
    """The two sides of a pair at a crank position.

    Formula: with the first pin at a1 and the second at a2 + phase from front dead centre, the second axle C behind:
    k = C^2 + r1^2 + r2^2 + 2 C r1 cos a1, x = -2 r2 (C cos a2 + r1 cos(a2 - a1)),
    y = 2 r2 (C sin a2 + r1 sin(a2 - a1)).
    Parameters: `shape`; `theta`, the first axle's left pin from front dead centre, forwards, radians;
    `free_left`, `free_right`, the length a side takes up freely, mm, 0 or more.
    Returns: left and right; mm^2 and mm.
    Source: geometry; derived here; no published source.

    >>> left, _ = sides_at(Shape(150, 150, 150, 150, 25, 25, 25, 25, 1.57, 1.57), 0.3)
    >>> round(math.sqrt(left[0] + left[1]), 9)
    150.0
    """
    c, d, l1, l2, r1, s1, r2, s2, q1, q2 = shape
    cos, a2, turned = math.cos(theta), theta + q2, q2 - q1
    left = (
        c * c + r1 * r1 + r2 * r2 + 2 * c * r1 * cos,
        -2 * r2 * (c * cos + r1),
        2 * r2 * c * math.sin(theta),
        l1,
        free_left,
    )
    right = (
        d * d + s1 * s1 + s2 * s2 + 2 * d * s1 * math.cos(theta + q1),
        -2 * s2 * (d * math.cos(a2) + s1 * math.cos(turned)),
        2 * s2 * (d * math.sin(a2) + s1 * math.sin(turned)),
        l2,
        free_right,
    )
    return left, right


def least_error(shape: Shape, theta: float, free_left: float = 0.0, free_right: float = 0.0) -> Least:
    """The phase of the second axle that makes the worse of the two sides least, and what is left then.

    Formula: min over phase of max(|dL - lL| - free_left, |dR - lR| - free_right), d the exact distance of the pins.
    Parameters: `shape`; `theta`, radians; `free_left`, `free_right`, mm; the phase lies within 20 degrees.
    Returns: phase in radians; worst, and each side's pin distance less rod, mm.
    Source: derived here; no published source.

    >>> one = least_error(Shape(150, 150, 149.9, 149.9, 25, 25, 25, 25, 1.57, 1.57), 2.0)
    >>> round(one.worst, 3)
    0.1
    """
    left, right = sides_at(shape, theta, free_left, free_right)
    reach, sign, start = _bounds(left, right)
    found = _by_newton(left, right, reach, sign, start) if sign else None
    return found or _by_parts(left, right, reach)


# One pair is asked about again and again: by its judge, by each fault put right, by each job tried on the engine.
@lru_cache(maxsize=1024)
def needed_play(
    shape: Shape, free_left: float = 0.0, free_right: float = 0.0, positions: int = POSITIONS
) -> Tightest:
    """The largest over a whole turn of what the best phase leaves: the play each rod needs in its length.

    Formula: max over theta of least_error; the peaks among the positions are followed by golden section.
    Parameters: `shape`; `free_left`, `free_right`, what each side takes up freely, mm, so that the answer is what
    is lacking, below 0 when there is some in hand; `positions`, tried in a turn, 36 or more.
    Raises: ValueError for too few positions.
    Source: derived here; no published source.

    >>> mismatch = Shape(150, 150, 150, 150, 25.4, 25.4, 25.4, 25.4, math.pi / 2, math.radians(90.3))
    >>> round(needed_play(mismatch).worst, 5)
    0.04709
    """
    if positions < 36:
        raise ValueError("a turn takes 36 positions or more")
    step = math.tau / positions
    values, slow = _scanned(shape, free_left, free_right, positions)
    top = max((value for n, value in enumerate(values) if n not in slow), default=-math.inf)
    while True:
        # A peak at a dead centre is sharp, so the highest of all may show a little lower than another until followed.
        near = top - 0.05 * abs(top + min(free_left, free_right)) - 1e-12
        highest = max(slow, key=values.__getitem__, default=None)
        if highest is None or values[highest] < near:
            break  # what is not worked out is no peak, and hides none
        slow.remove(highest)
        values[highest] = least_error(shape, highest * step, free_left, free_right).worst
        top = max(top, values[highest])
    peaks = (
        n
        for n, value in enumerate(values)
        if value >= near and value > values[n - 1] and value >= values[(n + 1) % positions]
    )
    found = [Tightest(top, values.index(top) * step)]
    for n in peaks:
        theta, low = golden(
            lambda at: -least_error(shape, at, free_left, free_right).worst,
            (n - 1) * step,
            (n + 1) * step,
            1e-4,
        )
        found.append(Tightest(-low, theta % math.tau))
    return max(found, key=lambda one: one.worst)


def first_order(shape: Shape, theta: float) -> float:
    """What the best phase leaves at a crank position, to first order in the errors.

    Formula: |eR bL - eL bR| / (|bR| + |bL|), e = C - l + r1 cos a1 - r2 cos a2, b = r2 sin a2; with both b nothing,
    the larger |e|.
    Source: derived here; no published source.

    >>> round(first_order(Shape(150, 150, 150, 150, 25.4, 25.4, 25.4, 25.4, 1.5708, 1.5708 + 0.005236), 0.7854), 4)
    0.047
    """
    a1, a2 = theta + shape.q1, theta + shape.q2
    left = shape.c_left - shape.l_left + (shape.r1_left - shape.r2_left) * math.cos(theta)
    right = shape.c_right - shape.l_right + shape.r1_right * math.cos(a1) - shape.r2_right * math.cos(a2)
    lever_left, lever_right = shape.r2_left * math.sin(theta), shape.r2_right * math.sin(a2)
    levers = abs(lever_left) + abs(lever_right)
    if not levers:
        return max(abs(left), abs(right))
    return abs(right * lever_left - left * lever_right) / levers


def phase_held(centre: float, rod: float, r1: float, r2: float, mismatch: float) -> tuple[float, float]:
    """One side with the second axle held at a fixed phase: how far the pins' distance swings, and the clearance.

    Formula: A = sqrt(r1^2 + r2^2 - 2 r1 r2 cos(mismatch)); summed diametral clearance = 2 (A + |C - L|).
    Parameters: `centre`, `rod`, `r1`, `r2`, mm; `mismatch`, radians between the two pins.
    Returns: A and the summed clearance of the two bushes, mm.
    Source: derived here; no published source.

    >>> [round(mm, 6) for mm in phase_held(150.0, 150.03, 25.40, 25.45, math.radians(0.20))]
    [0.101865, 0.263731]
    """
    # The same as the formula, but it does not lose figures when the throws are alike.
    swing = math.hypot(r1 - r2, 2 * math.sqrt(r1 * r2) * math.sin(mismatch / 2))
    return swing, 2 * (swing + abs(centre - rod))


def _bounds(left: Side, right: Side) -> tuple[float, float, float]:
    """How far off any better phase can be, how the sides meet within that, and where to first order.

    How they meet is 0 where it is not certain that no side turns back.
    """
    (k, x, y, rod, free), (kr, xr, yr, rod_r, free_r) = left, right
    d, dr = math.sqrt(k + x), math.sqrt(kr + xr)
    off, off_r = d - rod, dr - rod_r
    e, er = abs(off), abs(off_r)
    slope, slope_r = abs(y) / (2 * d), abs(yr) / (2 * dr)
    if not (slope or slope_r):
        return REACH, 0.0, 0.0
    worst = max(e - free, er - free_r)
    # A better phase has the stronger side within worst + free; twice that far, for a slope that falls to half.
    if slope >= slope_r:
        reach = 2 * (e + worst + free) / slope
        halves, turns = abs(y) < 4 * reach * abs(x), abs(yr) < 1.1 * reach * abs(xr)
    else:
        reach = 2 * (er + worst + free_r) / slope_r
        halves, turns = abs(yr) < 4 * reach * abs(xr), abs(y) < 1.1 * reach * abs(x)
    if halves or reach > 0.3:
        return REACH, 0.0, 0.0
    if turns:
        return reach, 0.0, 0.0
    # At the lowest place the two sides pull opposite ways: the errors have like signs where the slopes do not.
    sign = 1.0 if y * yr < 0 else -1.0
    return reach, sign, (sign * off_r - off) / math.copysign(slope + slope_r, y)


def _scanned(
    shape: Shape, free_left: float, free_right: float, positions: int
) -> tuple[list[float], set[int]]:
    """What is left at each position of a turn, and those at which that takes long to find: there it is at most this."""
    values, slow = [], set()
    for n in range(positions):
        left, right = sides_at(shape, n * math.tau / positions, free_left, free_right)
        reach, sign, start = _bounds(left, right)
        found = _by_newton(left, right, reach, sign, start) if sign else None
        if found is None:
            slow.add(n)
        values.append(_at_most(left, right) if found is None else found.worst)
    return values, slow


def _at_most(left: Side, right: Side) -> float:
    """What the best leaves of the phases at which, to first order, the sides are alike or one is true."""
    (k, x, y, rod, _), (kr, xr, yr, rod_r, _) = left, right
    d, dr = math.sqrt(k + x), math.sqrt(kr + xr)
    off, off_r, slope, slope_r = d - rod, dr - rod_r, y / (2 * d), yr / (2 * dr)
    ways = ((off + off_r, slope + slope_r), (off - off_r, slope - slope_r), (off, slope), (off_r, slope_r))
    tried = [-error / rise for error, rise in ways if abs(error) < REACH * abs(rise)]
    return min([_least_at(left, right, phase).worst for phase in (*tried, 0.0)])


def _by_newton(left: Side, right: Side, reach: float, sign: float, start: float) -> Least | None:
    if left[4] == right[4]:
        return _crossing(left, right, 1.0, -sign, 0.0, phase=start)
    return _unequal(left, right, sign, reach)


def _unequal(left: Side, right: Side, sign: float, reach: float) -> Least | None:
    """Sides that take up different lengths: they cross in one of two ways, or the tighter one is made true."""
    apart = left[4] - right[4]
    crossings = (_crossing(left, right, 1.0, -sign, apart), _crossing(left, right, 1.0, -sign, -apart))
    true = _crossing(left, right, 0.0, 1.0, 0.0) if apart > 0 else _crossing(left, right, 1.0, 0.0, 0.0)
    within = [one for one in (*crossings, true) if one and abs(one.phase) <= reach]
    return min(within, key=lambda one: one.worst) if within else None


def _crossing(
    left: Side, right: Side, times_left: float, times_right: float, goal: float, phase: float = 0.0
) -> Least | None:
    """Newton's rule from `phase` for times_left * eL + times_right * eR = goal."""
    (k, x, y, rod, free), (kr, xr, yr, rod_r, free_r) = left, right
    cos, sin = math.cos(phase), math.sin(phase)
    for _ in range(9):
        d, dr = math.sqrt(k + x * cos + y * sin), math.sqrt(kr + xr * cos + yr * sin)
        e, er = d - rod, dr - rod_r
        off = times_left * e + times_right * er - goal
        if -_CLOSE_MM < off < _CLOSE_MM:
            return Least(phase, max(abs(e) - free, abs(er) - free_r), e, er)
        slope = times_left * (y * cos - x * sin) / d + times_right * (yr * cos - xr * sin) / dr
        if not slope:
            return None
        phase -= 2 * off / slope
        if not -1.0 < phase < 1.0:
            return None
        cos, sin = math.cos(phase), math.sin(phase)
    return None


def _by_parts(left: Side, right: Side, reach: float) -> Least:
    """The answer near a dead centre: the range, cut at the dead centres."""
    cuts = (math.atan(y / x) for _, x, y, _, _ in (left, right) if x)
    edges = [-reach, *sorted(cut for cut in cuts if abs(cut) < reach), reach]
    worst = _worst(left, right)
    found = (golden(worst, low, high, 2e-10)[0] for low, high in pairwise(edges))
    return min((_least_at(left, right, phase) for phase in (*found, 0.0)), key=lambda one: one.worst)


def _worst(left: Side, right: Side) -> Callable[[float], float]:
    """What _least_at says is left, and nothing else: it is asked a hundred times for one answer."""
    (k, x, y, rod, free), (kr, xr, yr, rod_r, free_r) = left, right
    sqrt, cosine, sine = math.sqrt, math.cos, math.sin

    def worst(phase: float) -> float:
        cos, sin = cosine(phase), sine(phase)
        e = abs(sqrt(k + x * cos + y * sin) - rod) - free
        er = abs(sqrt(kr + xr * cos + yr * sin) - rod_r) - free_r
        return e if e > er else er

    return worst


def _least_at(left: Side, right: Side, phase: float) -> Least:
    cos, sin = math.cos(phase), math.sin(phase)
    (k, x, y, rod, free), (kr, xr, yr, rod_r, free_r) = left, right
    e = math.sqrt(k + x * cos + y * sin) - rod
    er = math.sqrt(kr + xr * cos + yr * sin) - rod_r
    return Least(phase, max(abs(e) - free, abs(er) - free_r), e, er)


def golden(function: Callable[[float], float], low: float, high: float, close: float) -> tuple[float, float]:
    """The lowest place of a function that falls and then rises, by golden section.

    Formula: the range shrinks by 0.618 a step until it is no longer than `close`.
    Parameters: `function`; `low` < `high`; `close`, above 0.
    Source: J. Kiefer, Sequential minimax search for a maximum, Proceedings of the AMS 4, 1953.

    >>> round(golden(lambda x: abs(x - 0.3), 0.0, 1.0, 1e-9)[0], 6)
    0.3
    """
    one, two = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_one, at_two = function(one), function(two)
    while high - low > close:
        if at_one <= at_two:
            high, two, at_two = two, one, at_one
            one = high - _GOLDEN * (high - low)
            at_one = function(one)
        else:
            low, one, at_one = one, two, at_two
            two = low + _GOLDEN * (high - low)
            at_two = function(two)
    return (one, at_one) if at_one <= at_two else (two, at_two)
