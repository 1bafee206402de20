"""The plot over a turn: what each rod of a pair needs at every crank position, against the play its bushes give."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from domain.lengths import Unit
from domain.rods.picture import PlotPoint

WIDTH: Final = 960.0
HEIGHT: Final = 400.0
LEFT: Final = 118.0
RIGHT: Final = 842.0
TOP: Final = 46.0
FOOT: Final = 322.0
_MM_PER_INCH: Final = 25.4
_LEAST_MM: Final = 1e-4  # of the whole height, so that faultless rods still get a scale
_DEGREES: Final = (0, 90, 180, 270, 360)


@dataclass(frozen=True)
class ScaleMark:
    """A mark on a scale with its words; `other` in the other system, at the far end."""

    at: float
    words: str
    other: str = ""


@dataclass(frozen=True)
class Give:
    """The line of the play that the bushes give."""

    y: float
    words: str


@dataclass(frozen=True)
class RodsPlot:
    """Everything the template needs; every number is final."""

    view_box: str
    left: float
    right: float
    top: float
    foot: float
    left_line: str
    right_line: str
    gives: tuple[Give, ...]
    across: tuple[ScaleMark, ...]
    up: tuple[ScaleMark, ...]
    unit: str
    other_unit: str
    now_x: float
    now_words: str
    now_anchor: str
    peak_x: float
    peak_y: float
    peak_words: str
    peak_anchor: str
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
    in_unit = 1.0 if unit is Unit.MM else _MM_PER_INCH
    step = _step(top_mm / in_unit) * in_unit

    def y(mm: float) -> float:
        return round(FOOT - min(mm, top_mm) / top_mm * (FOOT - TOP), 2)

    peak = min(series, key=lambda point: abs(point.crank_deg - tightest_deg))
    peak_x, now_x = _x(tightest_deg), _x(crank_deg)
    return RodsPlot(
        view_box=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        left=LEFT,
        right=RIGHT,
        top=TOP,
        foot=FOOT,
        left_line=" ".join(f"{_x(point.crank_deg)},{y(abs(point.left_mm))}" for point in series),
        right_line=" ".join(f"{_x(point.crank_deg)},{y(abs(point.right_mm))}" for point in series),
        gives=_gives(gives_mm, y),
        across=tuple(ScaleMark(_x(degrees), f"{degrees}") for degrees in _DEGREES),
        up=tuple(_tick(n * step, y, unit) for n in range(math.floor(top_mm / step) + 1)),
        unit=str(unit),
        other_unit="in" if unit is Unit.MM else "mm",
        now_x=now_x,
        now_words=f"now {crank_deg:.0f}",
        now_anchor="end" if crank_deg > 270 else "start",
        peak_x=peak_x,
        peak_y=y(peak.needed_mm),
        peak_words=f"tightest at {tightest_deg:.0f}",
        peak_anchor="end" if tightest_deg > 180 else "start",
        description=description,
    )


def _x(degrees: float) -> float:
    return round(LEFT + degrees / 360.0 * (RIGHT - LEFT), 2)


def _step(top: float) -> float:
    """A round step that gives three to seven marks."""
    power = 10.0 ** math.floor(math.log10(top / 3))
    return max(one * power for one in (1, 2, 5) if one * power <= top / 3)


def _tick(mm: float, y: Callable[[float], float], unit: Unit) -> ScaleMark:
    inch = mm / _MM_PER_INCH
    own, other = (mm, inch) if unit is Unit.MM else (inch, mm)
    return ScaleMark(y(mm), f"{own:.4g}", f"{other:.3g}")


def _gives(gives_mm: tuple[float | None, float | None], y: Callable[[float], float]) -> tuple[Give, ...]:
    left, right = gives_mm
    if left is not None and left == right:
        return (Give(y(left), "what the bushes give"),)
    named = ((left, "what the left bushes give"), (right, "what the right bushes give"))
    return tuple(Give(y(one), words) for one, words in named if one is not None)
