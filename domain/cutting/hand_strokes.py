"""A boss that the tool cannot go round, faced by hand strokes: how many, how long, how many are left."""

import math
from dataclasses import dataclass

from domain.lengths import Unit, show
from domain.working import Working

DEFAULT_FEED_NM = 101_600  # 0.004 in a stroke: common practice, no source
MOST_STROKES = 20_000
MOST_PER_MINUTE = 120
_SOURCE = "by definition; a part of a stroke or of a cut takes a whole one"

CAUTIONS = (
    "Power off at the wall, not at the switch: the chuck is pulled round by hand and must not be able to start.",
    "Chuck key out before the first stroke, and out again each time it has been used.",
    "The wheel is heavier on one side: hold the chuck, or block it, while you wind the feed or measure, so that"
    " it cannot swing round.",
    "Pull by the chuck's body and keep hands off the casting: its edges are sharp, and the tool is close. Stop"
    " short of the balance weight.",
    "Go back with the tool clear of the metal, and stand clear of its way.",
    "Iron dust: wear eye protection, do not breathe it, and brush it off; do not blow it.",
    "A bright hard spot that the tool skates over is chilled iron: stop, and do not force the tool.",
    "A figure here is advice: you decide, and where you are unsure ask somebody competent.",
)


class StrokesError(ValueError):
    """Figures no strokes can be counted from; its text is one sentence for the page, `field` the box at fault."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True)
class StrokePlan:
    """The strokes of one pass over the boss, the passes, all strokes, and the depth of the last cut, nm."""

    strokes_per_pass: int
    passes: int
    strokes: int
    last_cut_nm: int
    workings: tuple[Working, ...]
    words: str
    cautions: tuple[str, ...] = CAUTIONS


@dataclass(frozen=True)
class StrokesLeft:
    """The strokes still to do, and the pass and the stroke in it that come next (None when all are done)."""

    strokes: int
    next_pass: int | None
    next_stroke: int | None
    words: str


def ring_width(outside_nm: int, inside_nm: int) -> int:
    """How wide the face of a ring is, from its edge to the hole in its middle.

    Formula: (outside - inside) / 2
    Parameters: `outside_nm` and `inside_nm`, its two diameters, nm, the outside one the larger.
    Returns: nm, rounded down.
    Raises: StrokesError, whose `field` is "radial_width", where no ring is left.
    Source: by definition.

    >>> ring_width(32_000_000, 19_050_000)
    6475000
    """
    if not 0 <= inside_nm < outside_nm:
        raise StrokesError("radial_width", "The hole must be smaller than what it is in: measure both again.")
    return (outside_nm - inside_nm) // 2


def strokes(
    radial_width_nm: int, feed_per_stroke_nm: int, depth_nm: int, cut_depth_nm: int, unit: Unit
) -> StrokePlan:
    """How many hand strokes face a boss.

    Formula: strokes a pass = width / feed, rounded up; passes = depth / cut, rounded up; strokes = their product
    Parameters: `radial_width_nm`, width of the face in the way of the feed, nm, above 0; `feed_per_stroke_nm`, nm,
    above 0 to the width (DEFAULT_FEED_NM is common practice); `depth_nm`, metal to come off, nm, above 0;
    `cut_depth_nm`, depth of one cut, nm, above 0 to the depth; `unit`, the system of the words.
    Returns: counts; the last cut in nm.
    Raises: StrokesError, whose `field` is "radial_width", "feed", "depth" or "cut_depth".
    Source: by definition; facing by strokes with 0.004 in a stroke is common practice, no source.

    >>> plan = strokes(8_000_000, DEFAULT_FEED_NM, 1_000_000, 400_000, Unit.MM)
    >>> plan.strokes_per_pass, plan.passes, plan.strokes, plan.last_cut_nm
    (79, 3, 237, 200000)
    """
    _check(radial_width_nm, feed_per_stroke_nm, depth_nm, cut_depth_nm, unit)
    per_pass = -(-radial_width_nm // feed_per_stroke_nm)
    passes = -(-depth_nm // cut_depth_nm)
    total = per_pass * passes
    if total > MOST_STROKES:
        raise StrokesError(
            "feed",
            f"{total} strokes are more than anybody pulls by hand: take a wider feed or a deeper cut, or cut this"
            " metal away by machine.",
        )
    workings = (
        _rounded_up("strokes a pass", "width / feed", radial_width_nm, feed_per_stroke_nm, per_pass, unit),
        _rounded_up("passes", "metal to come off / depth of cut", depth_nm, cut_depth_nm, passes, unit),
        Working("strokes", "strokes a pass x passes", f"{per_pass} x {passes}", f"{total}", _SOURCE),
    )
    last_cut_nm = depth_nm - (passes - 1) * cut_depth_nm
    words = _plan_words(per_pass, passes, total, show(last_cut_nm, unit))
    return StrokePlan(per_pass, passes, total, last_cut_nm, workings, words)


def time_at(strokes: int, per_minute: float) -> float:
    """How long so many strokes take at an even rhythm, measuring and winding back not counted.

    Formula: minutes = strokes / strokes a minute
    Parameters: `strokes`, a count, 0 or more; `per_minute`, strokes a minute, 1 to 120.
    Returns: minutes.
    Raises: StrokesError, whose `field` is "strokes" or "rhythm".
    Source: by definition.

    >>> time_at(237, 30)
    7.9
    """
    if strokes < 0:
        raise StrokesError("strokes", "A count of strokes cannot be below nothing: type 0 or more.")
    if not (math.isfinite(per_minute) and 1 <= per_minute <= MOST_PER_MINUTE):
        raise StrokesError(
            "rhythm", f"The rhythm must be 1 to {MOST_PER_MINUTE} strokes a minute: an easy one is 30."
        )
    return strokes / per_minute


def still_to_do(plan: StrokePlan, done: int) -> StrokesLeft:
    """The strokes still to do after so many, and which one comes next.

    Formula: left = strokes - done, and never below 0; next pass = done / strokes a pass, rounded down, + 1
    Parameters: `plan`, the strokes planned; `done`, strokes pulled, 0 or more.
    Returns: counts; passes and strokes count from 1.
    Raises: StrokesError, whose `field` is "done".
    Source: arithmetic.

    >>> plan = strokes(8_000_000, DEFAULT_FEED_NM, 1_000_000, 400_000, Unit.MM)
    >>> still_to_do(plan, 80).words
    '157 strokes to do: the next is stroke 2 of 79 in pass 2 of 3.'
    """
    if done < 0:
        raise StrokesError("done", "Strokes pulled cannot be below nothing: set the counter to 0 or more.")
    if done >= plan.strokes:
        over = done - plan.strokes
        past = f", and {_count(over)} more" if over else ""
        return StrokesLeft(0, None, None, f"All {_count(plan.strokes)} are done{past}: stop and measure.")
    next_pass, stroke = divmod(done, plan.strokes_per_pass)
    left = plan.strokes - done
    start = " Wind the tool back and set the next cut first." if stroke == 0 and done else ""
    words = (
        f"{_count(left)} to do: the next is stroke {stroke + 1} of {plan.strokes_per_pass}"
        f" in pass {next_pass + 1} of {plan.passes}.{start}"
    )
    return StrokesLeft(left, next_pass + 1, stroke + 1, words)


def _count(strokes: int) -> str:
    return f"{strokes} stroke{'' if strokes == 1 else 's'}"


def _plan_words(per_pass: int, passes: int, total: int, last_cut: str) -> str:
    if passes == 1:
        return f"{_count(total)} in one pass, {last_cut} deep."
    return f"{_count(total)}: {passes} passes of {_count(per_pass)}, the last {last_cut} deep."


def _rounded_up(name: str, formula: str, whole_nm: int, step_nm: int, count: int, unit: Unit) -> Working:
    numbers = f"{show(whole_nm, unit)} / {show(step_nm, unit)}"
    return Working(name, f"{formula}, rounded up", numbers, f"{count}", _SOURCE)


def _check(width_nm: int, feed_nm: int, depth_nm: int, cut_nm: int, unit: Unit) -> None:
    for field, name, nm, example in (
        ("radial_width", "width of the face", width_nm, 8_000_000),
        ("feed", "feed for each stroke", feed_nm, DEFAULT_FEED_NM),
        ("depth", "metal to come off", depth_nm, 1_000_000),
        ("cut_depth", "depth of one cut", cut_nm, 400_000),
    ):
        if nm <= 0:
            raise StrokesError(field, f"The {name} must be above nothing: such as {show(example, unit)}.")
    if feed_nm > width_nm:
        raise StrokesError(
            "feed",
            f"A feed of {show(feed_nm, unit)} is wider than the work, {show(width_nm, unit)}: type a finer one,"
            f" such as {show(DEFAULT_FEED_NM, unit)}.",
        )
    if cut_nm > depth_nm:
        raise StrokesError(
            "cut_depth",
            f"A cut of {show(cut_nm, unit)} is deeper than the metal to come off, {show(depth_nm, unit)}: type"
            " that or less.",
        )
