"""A crank boss that the tool cannot go round, faced by hand strokes: how many, how long, how many are left."""

import math
from dataclasses import dataclass

from domain.cutting.speeds import CuttingError
from domain.lengths import Unit, show
from domain.working import Working

DEFAULT_FEED_NM = 101_600  # 0.004 in a stroke: common practice, no source
MOST_STROKES = 20_000
MOST_PER_MINUTE = 120
_SOURCE = "by definition; a part of a stroke or of a cut takes a whole one"


@dataclass(frozen=True)
class StrokePlan:
    """The strokes of one pass over the crank boss, the passes, all strokes, and the depth of each pass, nm."""

    strokes_per_pass: int
    passes: int
    strokes: int
    cut_nm: int
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class StrokesLeft:
    """The strokes still to do, and the pass and the stroke in it that come next (None when all are done)."""

    strokes: int
    next_pass: int | None
    next_stroke: int | None


def crank_boss_width(throw_nm: int, metal_nm: int, bore_nm: int) -> int:
    """How wide the face of a crank boss is as drawn, from the edge of the bore to the boss's far end.

    Formula: throw + metal / 2 - bore / 2, metal the diameter of what is round the crankpin
    Returns: nm, rounded down.
    Raises: CuttingError, whose `field` is "radial_width", where the boss would end inside the bore.
    Source: geometry.

    >>> crank_boss_width(28_575_000, 22_225_000, 19_050_000)  # 1 1/8 in throw, 7/8 in round the pin, 3/4 in bore
    30162500
    """
    width = throw_nm + (metal_nm - bore_nm) // 2
    if width <= 0:
        raise CuttingError(
            "By these figures the crank boss ends inside the bore: measure it.", "radial_width"
        )
    return width


def strokes(
    radial_width_nm: int, feed_per_stroke_nm: int, depth_nm: int, cut_depth_nm: int, unit: Unit
) -> StrokePlan:
    """How many hand strokes face a boss.

    Formula: strokes a pass = width / feed, rounded up; passes = depth / cut, rounded up; strokes = their product;
    depth of each pass = depth / passes: alike, so that the last is no mere scrape.
    Parameters: `radial_width_nm`, width of the face in the way of the feed, nm, above 0; `feed_per_stroke_nm`, nm,
    above 0 to the width (DEFAULT_FEED_NM is common practice); `depth_nm`, metal to come off, nm, above 0;
    `cut_depth_nm`, most depth of one pass, nm, above 0 to the depth.
    Raises: CuttingError, whose `field` is "radial_width", "feed", "depth" or "cut_depth".
    Source: by definition; facing by strokes with 0.004 in a stroke is common practice, no source.

    >>> plan = strokes(8_000_000, DEFAULT_FEED_NM, 1_000_000, 400_000, Unit.MM)
    >>> plan.strokes_per_pass, plan.passes, plan.strokes, plan.cut_nm
    (79, 3, 237, 333333)
    """
    _check(radial_width_nm, feed_per_stroke_nm, depth_nm, cut_depth_nm, unit)
    per_pass = -(-radial_width_nm // feed_per_stroke_nm)
    passes = -(-depth_nm // cut_depth_nm)
    total = per_pass * passes
    if total > MOST_STROKES:
        raise CuttingError(
            f"{total} strokes are more than anybody pulls by hand: take a wider feed or a deeper cut, or cut this"
            " metal away by machine.",
            "feed",
        )
    cut_nm = depth_nm // passes
    workings = (
        _rounded_up("strokes a pass", "width / feed", per_pass, (radial_width_nm, feed_per_stroke_nm), unit),
        _rounded_up(
            "passes", "metal to come off / most depth of a pass", passes, (depth_nm, cut_depth_nm), unit
        ),
        Working(
            "depth of each pass",
            "metal to come off / passes",
            f"{show(depth_nm, unit)} / {passes}",
            show(cut_nm, unit),
            "shared evenly; common practice, no source",
        ),
        Working("strokes", "strokes a pass x passes", f"{per_pass} x {passes}", f"{total}", _SOURCE),
    )
    return StrokePlan(per_pass, passes, total, cut_nm, workings)


def time_at(strokes: int, per_minute: float) -> float:
    """How long so many strokes take at an even rhythm, measuring and winding back not counted.

    Formula: minutes = strokes / strokes a minute
    Parameters: `strokes`, a count, 0 or more; `per_minute`, strokes a minute, 1 to 120.
    Raises: CuttingError, whose `field` is "strokes" or "rhythm".
    Source: by definition.

    >>> time_at(237, 30)
    7.9
    """
    if strokes < 0:
        raise CuttingError("A count of strokes cannot be below nothing: type 0 or more.", "strokes")
    if not (math.isfinite(per_minute) and 1 <= per_minute <= MOST_PER_MINUTE):
        raise CuttingError(
            f"The rhythm must be 1 to {MOST_PER_MINUTE} strokes a minute: an easy one is 30.", "rhythm"
        )
    return strokes / per_minute


def still_to_do(plan: StrokePlan, done: int) -> StrokesLeft:
    """The strokes still to do after so many, and which one comes next.

    Formula: left = strokes - done, and never below 0; next pass = done / strokes a pass, rounded down, + 1
    Parameters: `plan`, the strokes planned; `done`, strokes pulled, 0 or more.
    Returns: counts; passes and strokes count from 1.
    Raises: CuttingError, whose `field` is "done".

    >>> plan = strokes(8_000_000, DEFAULT_FEED_NM, 1_000_000, 400_000, Unit.MM)
    >>> still_to_do(plan, 80)
    StrokesLeft(strokes=157, next_pass=2, next_stroke=2)
    """
    if done < 0:
        raise CuttingError("Strokes pulled cannot be below nothing: set the counter to 0 or more.", "done")
    if done >= plan.strokes:
        return StrokesLeft(0, None, None)
    next_pass, stroke = divmod(done, plan.strokes_per_pass)
    return StrokesLeft(plan.strokes - done, next_pass + 1, stroke + 1)


def _rounded_up(name: str, formula: str, count: int, sizes_nm: tuple[int, int], unit: Unit) -> Working:
    numbers = " / ".join(show(nm, unit) for nm in sizes_nm)
    return Working(name, f"{formula}, rounded up", numbers, f"{count}", _SOURCE)


def _check(width_nm: int, feed_nm: int, depth_nm: int, cut_nm: int, unit: Unit) -> None:
    for field, name, nm, example in (
        ("radial_width", "width of the face", width_nm, 8_000_000),
        ("feed", "feed for each stroke", feed_nm, DEFAULT_FEED_NM),
        ("depth", "metal to come off", depth_nm, 1_000_000),
        ("cut_depth", "depth of one pass", cut_nm, 400_000),
    ):
        if nm <= 0:
            raise CuttingError(f"The {name} must be above nothing: such as {show(example, unit)}.", field)
    if feed_nm > width_nm:
        raise CuttingError(
            f"A feed of {show(feed_nm, unit)} is wider than the work, {show(width_nm, unit)}: type a finer one,"
            f" such as {show(DEFAULT_FEED_NM, unit)}.",
            "feed",
        )
    if cut_nm > depth_nm:
        raise CuttingError(
            f"A cut of {show(cut_nm, unit)} is deeper than the metal to come off, {show(depth_nm, unit)}: type"
            " that or less.",
            "cut_depth",
        )
