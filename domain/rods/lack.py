"""How unsure the play that two rods need is, what that makes of the verdict, and which measurement would settle it."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache
from itertools import product
from statistics import NormalDist
from typing import TypeAlias

from domain.cranks.cylinders import Side
from domain.lengths import NM_PER_MM
from domain.rods.engine import SIDES, EngineFigure, FigureKind, RodEngine, shape_of
from domain.rods.exact import Shape, needed_play

# How much better a measurement can be made in a small shop; our own choice, no published source.
_BETTER = 0.25
_DRAWS = 500  # and as many opposite ones
_RISK = 0.05
# A measurement and its U: nm, degrees.
_Unsure: TypeAlias = tuple[EngineFigure, float]


class RodsAnswer(StrEnum):
    """Whether the rods go round."""

    GOES = "goes"
    BINDS = "binds"
    CANNOT_TELL = "cannot tell"
    NO_CLEARANCE = "no clearance given"


@dataclass(frozen=True)
class Contribution:
    """What one measurement adds: which it is, its U (nm, or degrees for an angle), the effect, mm.

    Measurements of one kind (lengths, throws, angles, left and right together) share what all of them can change;
    their effects' squares add up to its square.
    """

    figure: EngineFigure
    u: float
    effect_mm: float


@dataclass(frozen=True)
class RodsSettling:
    """The measurements to make better, and the part of today's U that each may have then."""

    figures: tuple[EngineFigure, ...]
    share: float


@dataclass(frozen=True)
class Lack:
    """How much play is lacking between two axles, mm, below 0 for some in hand, and the answer.

    The clearances are in it where they are known; where they are not it is the play needed itself. low_mm, high_mm:
    the truth lies below the one, and above the other, once in twenty each.
    """

    mm: float
    theta: float
    low_mm: float
    high_mm: float
    contributions: tuple[Contribution, ...]
    answer: RodsAnswer
    settling: RodsSettling | None


def lack_mm(engine: RodEngine, span: int, shape: Shape | None = None) -> tuple[float, float]:
    """The play lacking at the tightest place of a turn, and where that is.

    Formula: max over a turn, least over the phase, of the worse of |pin distance - rod| - clearance / 2.
    Parameters: `engine`; `span`, from 0; `shape`, in place of what was measured.
    Returns: mm, below 0 for play in hand, the play needed itself where a clearance is not known; and radians.
    Source: derived here; no published source.

    >>> from domain.rods.engine import RodAxle, RodSide, RodSpan
    >>> axle, side = RodAxle(25_400_000, 25_400_000, 90.0), RodSide(150_000_000, 150_020_000, 100_000)
    >>> round(lack_mm(RodEngine((axle, axle), (RodSpan(side, side),)), 0)[0], 6)
    -0.03
    """
    rods, found = engine.spans[span], shape or shape_of(engine, span)
    if not rods.clearances_known:
        return needed_play(found)
    free_left, free_right = rods.left.play_mm, rods.right.play_mm
    if free_left == free_right:
        # Quicker, and the same: what both sides have alike comes off at the end.
        tight = needed_play(found)
        return tight.worst - free_left, tight.theta
    return needed_play(found, free_left, free_right)


def judge_lack(engine: RodEngine, span: int) -> Lack:
    """The play lacking between two axles, how far the truth may lie from it, and whether it goes.

    Formula: the play is a largest of absolute values, so it errs mostly upwards and no root sum of squares holds for
    it. 1000 sets of true sizes are drawn, each measurement normal with u = U / 2 and taken as independent, and the
    first-order change of the largest over a turn is added to the exact play. Goes where nothing is lacking by the
    measurements and in 95 % of the draws, binds where something is by the measurements and in 95 % of the draws, else
    cannot tell. The draws are the same every time.
    Source: JCGM 101:2008 (propagation of distributions by drawing); ISO 14253-1:2017 for the risk of 5 %.

    >>> from domain.rods.engine import RodAxle, RodSide, RodSpan
    >>> axle, side = RodAxle(25_400_000, 25_400_000, 90.0), RodSide(150_000_000, 150_020_000, 100_000)
    >>> judge_lack(RodEngine((axle, axle), (RodSpan(side, side),)), 0).answer.value
    'goes'
    """
    mm, theta = lack_mm(engine, span)
    low, high = _range(engine, span, mm, {})
    contributions = _contributions(engine, span, mm)
    answer = _answer(mm, low, high) if engine.spans[span].clearances_known else RodsAnswer.NO_CLEARANCE
    settling = _settling(engine, span, mm, contributions) if answer is RodsAnswer.CANNOT_TELL else None
    return Lack(
        mm=mm,
        theta=theta,
        low_mm=low,
        high_mm=high,
        contributions=contributions,
        answer=answer,
        settling=settling,
    )


def goes(engine: RodEngine, span: int) -> bool:
    """Whether two axles go round: judge_lack without what only explains it.

    Formula: as judge_lack.
    Returns: whether; False where a clearance is not known.
    Source: as judge_lack.

    >>> from domain.rods.engine import RodAxle, RodSide, RodSpan
    >>> axle, side = RodAxle(25_400_000, 25_400_000, 90.0), RodSide(150_000_000, 150_020_000, 100_000)
    >>> goes(RodEngine((axle, axle), (RodSpan(side, side),)), 0)
    True
    """
    if not engine.spans[span].clearances_known:
        return False
    mm = lack_mm(engine, span)[0]
    return _answer(mm, *_range(engine, span, mm, {})) is RodsAnswer.GOES


def _answer(mm: float, low: float, high: float) -> RodsAnswer:
    """The measured play has to say the same as nearly all of the draws."""
    if round(max(mm, high) * NM_PER_MM) <= 0:
        return RodsAnswer.GOES
    return RodsAnswer.BINDS if round(min(mm, low) * NM_PER_MM) > 0 else RodsAnswer.CANNOT_TELL


@cache
def _draws() -> tuple[tuple[float, ...], ...]:
    """Standard normal numbers, always the same, each set with its opposite."""
    flat = NormalDist().samples(7 * _DRAWS, seed=101)
    half = [tuple(flat[at : at + 7]) for at in range(0, len(flat), 7)]
    return (*half, *(tuple(-one for one in each) for each in half))


def _range(
    engine: RodEngine, span: int, mm: float, shares: Mapping[EngineFigure, float]
) -> tuple[float, float]:
    """Below and above which the truth lies once in twenty each, mm; `shares`: of today's U, by figure."""
    spreads, rods = _spreads(engine, span, shares), engine.spans[span]
    if not any(spreads):
        return mm, mm
    free, free_r = (rods.left.play_mm, rods.right.play_mm) if rods.clearances_known else (0.0, 0.0)
    low, high = _drawn(shape_of(engine, span), free, free_r, spreads)
    return mm + low, mm + high


# Whether all go after a job asks again about every pair that the job leaves as it is.
@lru_cache(maxsize=256)
def _drawn(shape: Shape, free: float, free_r: float, spreads: tuple[float, ...]) -> tuple[float, float]:
    """What the draws change the largest play by, below and above which it is once in twenty each, mm."""
    rows = _rows(shape, free, free_r, spreads)
    still = max(abs(row[0]) - row[6] for row in rows)
    found = sorted(
        max(
            abs(k + a * xl + b * xr + c * tl + d * tr + e * q) - f - g * fl - h * fr
            for k, a, b, c, d, e, f, g, h in rows
        )
        for xl, xr, tl, tr, q, fl, fr in _draws()
    )
    least = round(_RISK * len(found))
    return found[least] - still, found[-1 - least] - still


def _rows(shape: Shape, free: float, free_r: float, spreads: Sequence[float]) -> list[tuple[float, ...]]:
    """For each of some positions, the dead centres among them, what the play is made of to first order, mm.

    |eR bL - eL bR| less |bR| aL + |bL| aR, over |bL| + |bR|, where a is the play a side has: the value as it is, then
    its change for one u of length left and right, throw left and right, quartering; then what comes off, likewise.
    """
    dead = [-shape.q2, math.pi - shape.q2]
    rows = []
    for theta in [*(math.tau * n / 24 for n in range(24)), *dead]:
        right_at = theta + shape.q2
        lever, lever_r = shape.r2_left * math.sin(theta), shape.r2_right * math.sin(right_at)
        levers = abs(lever) + abs(lever_r)
        b, br = lever / levers, lever_r / levers
        cos, cos_r = math.cos(theta), math.cos(right_at)
        e = shape.c_left - shape.l_left + (shape.r1_left - shape.r2_left) * cos
        er = (
            shape.c_right
            - shape.l_right
            + shape.r1_right * math.cos(theta + shape.q1)
            - shape.r2_right * cos_r
        )
        changes = (-br, b, -br * cos, b * cos_r, b * lever_r)
        rows.append(
            (
                er * b - e * br,
                *(change * spread for change, spread in zip(changes, spreads, strict=False)),
                abs(br) * free + abs(b) * free_r,
                abs(br) * spreads[5],
                abs(b) * spreads[6],
            )
        )
    return rows


def _spreads(engine: RodEngine, span: int, shares: Mapping[EngineFigure, float]) -> tuple[float, ...]:
    """u of the lengths left and right, the throws left and right, the quartering, the plays left and right; mm, rad."""
    groups = _measured(engine, span)
    units = [0.5 / NM_PER_MM] * 4 + [math.radians(0.5)] + [0.25 / NM_PER_MM] * 2
    return tuple(
        [
            unit * math.hypot(*(u * shares.get(figure, 1.0) for figure, u in group))
            for unit, group in zip(units, groups, strict=True)
        ]
    )


def _measured(engine: RodEngine, span: int) -> list[list[_Unsure]]:
    """Each measurement with its U (nm, degrees), by what they make: see _spreads."""
    at, rods = span + 1, engine.spans[span]
    axles = list(enumerate(engine.axles[span : span + 2], at))

    def of_rod(kind: FigureKind, side: Side) -> EngineFigure:
        return EngineFigure(kind, at, side, of_rods=True)

    lengths: list[list[_Unsure]] = [
        [
            (of_rod(FigureKind.CENTRE, side), rods.at(side).centre_u_nm),
            (of_rod(FigureKind.ROD, side), rods.at(side).rod_u_nm),
        ]
        for side in SIDES
    ]
    throws: list[list[_Unsure]] = [
        [(EngineFigure(FigureKind.THROW, place, side), axle.throw_u_nm(side)) for place, axle in axles]
        for side in SIDES
    ]
    quarters: list[_Unsure] = [
        (EngineFigure(FigureKind.QUARTER, place), axle.quarter_u_deg) for place, axle in axles
    ]
    plays: list[list[_Unsure]] = [
        [(of_rod(FigureKind.CLEARANCE, side), rods.at(side).clearance_u_nm if rods.clearances_known else 0)]
        for side in SIDES
    ]
    return [*lengths, *throws, quarters, *plays]


def _contributions(engine: RodEngine, span: int, base: float) -> tuple[Contribution, ...]:
    """What each measurement that is unsure adds, the largest first: its share of the exact change of its kind."""
    left, right, throws_left, throws_right, quarters, *plays = _measured(engine, span)
    found = _group(engine, span, base, {"c_left": left, "c_right": right}, 1 / NM_PER_MM)
    found += _group(engine, span, base, {"r2_left": throws_left, "r2_right": throws_right}, 1 / NM_PER_MM)
    found += _group(engine, span, base, {"q2": quarters}, math.radians(1))
    found += [Contribution(figure, u, u / 2 / NM_PER_MM) for each in plays for figure, u in each if u]
    return tuple(sorted(found, key=lambda one: -one.effect_mm))


def _group(
    engine: RodEngine,
    span: int,
    base: float,
    measured: Mapping[str, Sequence[_Unsure]],
    unit: float,
) -> list[Contribution]:
    """The measurements of one kind: by their name in the shape, and for each those whose difference it stands for.

    Left and right are moved together, alike and opposite: at one crank position or another their errors add.
    """
    shape = shape_of(engine, span)
    steps = {name: unit * math.hypot(*(u for _, u in each)) for name, each in measured.items()}
    if not any(steps.values()):
        return []
    effect = 0.0
    for ways in product((-1, 1), repeat=len(steps)):
        moved = {
            name: getattr(shape, name) + way * step
            for way, (name, step) in zip(ways, steps.items(), strict=True)
        }
        effect = max(effect, abs(lack_mm(engine, span, shape._replace(**moved))[0] - base))
    parts = [part for each in measured.values() for part in each if part[1]]
    whole = math.hypot(*(u for _, u in parts))
    return [Contribution(figure, u, effect * u / whole) for figure, u in parts]


def _settling(
    engine: RodEngine, span: int, mm: float, contributions: tuple[Contribution, ...]
) -> RodsSettling | None:
    """The fewest measurements that would give an answer if made better, up to four times as good."""

    def told(count: int, share: float) -> bool:
        shares = dict.fromkeys((one.figure for one in contributions[:count]), share)
        return _answer(mm, *_range(engine, span, mm, shares)) is not RodsAnswer.CANNOT_TELL

    count = next((n for n in range(1, len(contributions) + 1) if told(n, _BETTER)), None)
    if count is None:
        return None
    low, high = _BETTER, 1.0
    for _ in range(6):
        middle = (low + high) / 2
        low, high = (middle, high) if told(count, middle) else (low, middle)
    return RodsSettling(tuple(one.figure for one in contributions[:count]), low)
