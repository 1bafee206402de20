"""The plot over a turn: what each rod of a pair needs at every crank position, against the play its bushes give."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from domain.lengths import Unit
from domain.lengths.systems import both_shown
from domain.rods.picture import PlotPoint
from webapp.drawing.parts import LINE, At, Text, n, path

WIDTH: Final = 700.0
HEIGHT: Final = 396.0
LEFT: Final = 88.0
RIGHT: Final = WIDTH - 88.0
TOP: Final = 94.0
FOOT: Final = 312.0
_MM_PER_INCH: Final = 25.4
_LEAST_MM: Final = 1e-4  # of the whole height, so that faultless rods still get a scale
_DEGREES: Final = (0, 90, 180, 270, 360)
# The key stands over the plot: a piece of each line, and what it is; the longest words have the right half.
_KEYS: Final = (LEFT, LEFT + 290.0)
_SAMPLE: Final = 44.0


@dataclass(frozen=True)
class ScaleMark:
    """A mark on a scale with its words."""

    at: float
    words: str


@dataclass(frozen=True)
class Give:
    """The line of the play that the bushes give."""

    y: float
    words: str
    kind: str = "give"


@dataclass(frozen=True)
class Key:
    """A piece of a line as it is drawn, and what it is."""

    kind: str
    d: str
    text: Text


@dataclass(frozen=True)
class RodsPlot:
    """Everything the template needs; every number is final."""

    width: float
    view_box: str
    left: float
    right: float
    top: float
    foot: float
    left_line: str
    right_line: str
    binding: tuple[str, ...]
    gives: tuple[Give, ...]
    across: tuple[ScaleMark, ...]
    up: tuple[ScaleMark, ...]
    other_up: tuple[ScaleMark, ...]
    keys: tuple[Key, ...]
    titles: tuple[Text, ...]
    now_x: float
    now: Text
    peak_x: float
    peak_y: float
    peak: Text
    description: str


def rods_plot(
    series: Sequence[PlotPoint],
    gives_mm: tuple[float | None, float | None],
    tightest_deg: float,
    crank_deg: float,
    unit: Unit,
    description: str,
) -> RodsPlot:
    """Lay the plot out; `gives_mm` is the play that the left and the right rod's bushes give, where known."""
    top_mm = max(_LEAST_MM, *(point.needed_mm for point in series), *(one or 0.0 for one in gives_mm)) * 1.12
    # The scale at the right is the other system's, where that one is shown.
    other = (Unit.INCH if unit is Unit.MM else Unit.MM) if both_shown() else unit

    def y(mm: float) -> float:
        return round(FOOT - min(mm, top_mm) / top_mm * (FOOT - TOP), 2)

    peak = min(series, key=lambda point: abs(point.crank_deg - tightest_deg))
    peak_x, now_x = _x(tightest_deg), _x(crank_deg)
    curves = [
        [(_x(point.crank_deg), y(abs(mm))) for point, mm in zip(series, column, strict=True)]
        for column in ([point.left_mm for point in series], [point.right_mm for point in series])
    ]
    binding = tuple(
        shape
        for curve, give in zip(curves, gives_mm, strict=True)
        if give is not None
        for shape in _over(curve, y(give))
    )
    gives = _gives(gives_mm, y)
    return RodsPlot(
        width=WIDTH,
        view_box=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        left=LEFT,
        right=RIGHT,
        top=TOP,
        foot=FOOT,
        left_line=" ".join(f"{x},{at}" for x, at in curves[0]),
        right_line=" ".join(f"{x},{at}" for x, at in curves[1]),
        binding=binding,
        gives=gives,
        across=tuple(ScaleMark(_x(degrees), f"{degrees}") for degrees in _DEGREES),
        up=_ticks(top_mm, unit, y),
        other_up=_ticks(top_mm, other, y),
        keys=_keys(gives, bool(binding)),
        titles=(
            Text(LEFT - 10, TOP - 14, "end", (f"play, {unit}",), "soft"),
            Text(RIGHT + 10, TOP - 14, "start", (f"play, {other}",), "soft"),
            Text(LEFT, FOOT + 3 * LINE + 4, "start", ("left crank past front dead centre, degrees",), "soft"),
        ),
        now_x=now_x,
        now=Text(now_x, TOP - 14, _anchor(crank_deg), (f"now {crank_deg:.0f}",), "link"),
        peak_x=peak_x,
        peak_y=y(peak.needed_mm),
        peak=Text(
            peak_x, FOOT + 2 * LINE + 2, _anchor(tightest_deg), (f"tightest at {tightest_deg:.0f}",), "red"
        ),
        description=description,
    )


def _x(degrees: float) -> float:
    return round(LEFT + degrees / 360.0 * (RIGHT - LEFT), 2)


def _anchor(degrees: float) -> str:
    return "start" if degrees < 45 else "end" if degrees > 315 else "middle"


def _over(curve: Sequence[At], give_y: float) -> list[str]:
    """The shapes between a curve and the line of what its bushes give, where the curve stands over it."""
    found: list[str] = []
    run: list[At] = []
    for one, two in pairwise(curve):
        if one[1] < give_y:
            run = run or [(one[0], give_y)]
            run.append(one)
        if (one[1] < give_y) is not (two[1] < give_y):
            share = (give_y - one[1]) / (two[1] - one[1])
            run.append((one[0] + share * (two[0] - one[0]), give_y))
            if two[1] >= give_y:
                found.append(path(*run, closed=True))
                run = []
    if run:
        last = curve[-1]
        found.append(path(*run, last, (last[0], give_y), closed=True))
    return found


def _step(top: float) -> float:
    """A round step that gives three to seven marks."""
    power = 10.0 ** math.floor(math.log10(top / 3))
    return max(one * power for one in (1, 2, 5) if one * power <= top / 3)


def _ticks(top_mm: float, unit: Unit, y: Callable[[float], float]) -> tuple[ScaleMark, ...]:
    """Round figures of one system, each at its own height."""
    in_unit = 1.0 if unit is Unit.MM else _MM_PER_INCH
    step = _step(top_mm / in_unit)
    return tuple(
        ScaleMark(y(count * step * in_unit), f"{count * step:.4g}")
        for count in range(math.floor(top_mm / in_unit / step) + 1)
    )


def _gives(gives_mm: tuple[float | None, float | None], y: Callable[[float], float]) -> tuple[Give, ...]:
    left, right = gives_mm
    if left is not None and left == right:
        return (Give(y(left), "what the bushes give"),)
    named = (
        (left, "what the left bushes give", "give"),
        (right, "what the right bushes give", "give-right"),
    )
    return tuple(Give(y(one), words, kind) for one, words, kind in named if one is not None)


def _keys(gives: Sequence[Give], binds: bool) -> tuple[Key, ...]:
    """What each kind of line is, two beside each other."""
    kinds = [("left", "left rod needs"), ("right", "right rod needs")]
    kinds += [(one.kind, one.words) for one in gives]
    kinds += [("binds", "the rod binds")] if binds else []
    found = []
    for at, (kind, words) in enumerate(kinds):
        x, y = _KEYS[at % 2], 14.0 + LINE * (at // 2)
        piece = (
            f"M{x:g} {y - 12:g}h{_SAMPLE:g}v14h{-_SAMPLE:g}Z"
            if kind == "binds"
            else f"M{x:g} {y - 5:g}h{_SAMPLE:g}"
        )
        found.append(Key(kind, piece, Text(n(x + _SAMPLE + 8), y, "start", (words,))))
    return tuple(found)
