"""Measures and prints; nothing here passes or fails.

    python -m tests.benchmarks.rods [--positions 720] [--axles 6] [--seed 1]

The rod check of an engine with random errors, every pair of axles at every position of a turn, against SciPy on the
same work: the least over the phase of the worse of the two sides. Several ways of asking SciPy are measured. `brute` is
the exhaustive one, scipy.optimize.brute and then minimize_scalar about every low place, over as many degrees either
way: 20, of which ours is sure, or 2, which is as much as these errors take. `bounded` is minimize_scalar alone, which
takes on trust that there is one low place. `SLSQP` is the textbook minimax, least t with -t <= eL, eR <= t. Ours and
theirs take turns pair by pair, so that a busy machine slows both.
"""

from __future__ import annotations

import argparse
import math
import random
from collections.abc import Callable
from time import perf_counter

from scipy.optimize import brute, minimize, minimize_scalar

from domain.rods.exact import REACH, Shape, least_error

_AIM, _AGREE_MM = 100.0, 1e-6
# Two degrees either way, for the ways that are spared most of the 20 degrees that ours is sure of.
_NEAR = 0.035
# The lowest places near a dead centre are missed on a coarser grid, and the answers then differ by more than 1e-6 mm.
_STEP = 0.000875
Errors = Callable[[float], tuple[float, float]]


def main() -> None:
    """One run, one table."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.rods")
    parser.add_argument("--positions", type=int, default=720)
    parser.add_argument("--axles", type=int, default=6)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    shapes = _random_pairs(random.Random(given.seed), given.axles)
    thetas = [math.tau * n / given.positions for n in range(given.positions)]
    print(f"{given.axles} axles, {len(shapes)} pairs, {given.positions} positions of a turn")
    print(f"{'':10}{'ours, s':>10}{'SciPy, s':>10}{'ratio':>9}{'aim':>9}{'largest difference, mm':>26}")
    rivals = (
        ("brute 20", _brute(REACH)),
        ("brute 2", _brute(_NEAR)),
        ("bounded 2", _bounded),
        ("SLSQP", _slsqp),
    )
    for name, rival in rivals:
        ours, theirs, apart = _compare(shapes, thetas, rival)
        aim = f">= {_AIM:.0f}x"
        agree = "" if apart <= _AGREE_MM else "  (more than 1e-6)"
        print(f"{name:10}{ours:10.4f}{theirs:10.2f}{theirs / ours:8.0f}x{aim:>9}{apart:26.1e}{agree}")


def _random_pairs(rnd: random.Random, axles: int) -> list[Shape]:
    """An engine as it may come from a small shop: hundredths of a millimetre, tenths of a degree."""
    throws = [(25.4 + rnd.gauss(0, 0.02), 25.4 + rnd.gauss(0, 0.02)) for _ in range(axles)]
    quarters = [math.radians(90 + rnd.gauss(0, 0.1)) for _ in range(axles)]
    pairs = []
    for n in range(axles - 1):
        centre = rnd.uniform(120, 190)
        lengths = [centre + rnd.gauss(0, 0.02) for _ in range(4)]
        (r1, s1), (r2, s2) = throws[n], throws[n + 1]
        pairs.append(Shape(*lengths, r1, s1, r2, s2, quarters[n], quarters[n + 1]))
    return pairs


def _compare(
    shapes: list[Shape], thetas: list[float], rival: Callable[[Errors], float]
) -> tuple[float, float, float]:
    ours = theirs = apart = 0.0
    for shape in shapes:
        start = perf_counter()
        found = [least_error(shape, theta).worst for theta in thetas]
        middle = perf_counter()
        wanted = [rival(_errors(shape, theta)) for theta in thetas]
        theirs += perf_counter() - middle
        ours += middle - start
        apart = max(apart, *(abs(one - two) for one, two in zip(found, wanted, strict=True)))
    return ours, theirs, apart


def _errors(shape: Shape, theta: float) -> Errors:
    """Pin distance less rod on both sides by phase, with all that does not change with it worked out beforehand."""
    x1, y1 = shape.c_left + shape.r1_left * math.cos(theta), shape.r1_left * math.sin(theta)
    x2, y2 = (
        shape.c_right + shape.r1_right * math.cos(theta + shape.q1),
        shape.r1_right * math.sin(theta + shape.q1),
    )
    r, s, l1, l2, turned = shape.r2_left, shape.r2_right, shape.l_left, shape.l_right, theta + shape.q2
    hypot, cos, sin = math.hypot, math.cos, math.sin

    def errors(phase: float) -> tuple[float, float]:
        a, b = theta + phase, turned + phase
        return (
            hypot(x1 - r * cos(a), y1 - r * sin(a)) - l1,
            hypot(x2 - s * cos(b), y2 - s * sin(b)) - l2,
        )

    return errors


def _worse(errors: Errors) -> Callable[[float], float]:
    def worse(phase: float) -> float:
        left, right = errors(phase)
        return max(abs(left), abs(right))

    return worse


def _brute(reach: float) -> Callable[[Errors], float]:
    """Near a dead centre there are two lowest places a fraction of a degree apart: each is followed to its bottom."""
    count = 2 * round(reach / _STEP) + 1

    def rival(errors: Errors) -> float:
        worse = _worse(errors)
        _, _, grid, tried = brute(
            lambda at: worse(at.item()), ((-reach, reach),), Ns=count, finish=None, full_output=True
        )
        values = [math.inf, *map(float, tried), math.inf]
        return min(
            _followed(worse, at - _STEP, at + _STEP)
            for at, before, here, after in zip(map(float, grid), values, values[1:], values[2:], strict=False)
            if before >= here <= after
        )

    return rival


def _followed(worse: Callable[[float], float], low: float, high: float) -> float:
    return float(minimize_scalar(worse, bounds=(low, high), method="bounded", options={"xatol": 1e-9}).fun)


def _bounded(errors: Errors) -> float:
    return _followed(_worse(errors), -_NEAR, _NEAR)


def _slsqp(errors: Errors) -> float:
    def room(at: list[float]) -> list[float]:
        left, right = errors(at[0])
        return [at[1] - left, at[1] + left, at[1] - right, at[1] + right]

    found = minimize(
        lambda at: at[1],
        [0.0, max(map(abs, errors(0.0)))],
        method="SLSQP",
        constraints={"type": "ineq", "fun": room},
        options={"ftol": 1e-12},
    )
    return _worse(errors)(float(found.x[0]))


if __name__ == "__main__":
    main()
