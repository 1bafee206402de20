"""Hand strokes of one casting: the form's starting figures, its counts, and the sheet of a counter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from domain.cutting.speeds import CuttingError
from domain.cutting.strokes import StrokePlan, StrokesLeft, crank_boss_width, still_to_do, time_at
from domain.lengths import plain, show
from domain.repeating.settings import Setting
from webapp.facts.as_set import SetBox, set_box
from webapp.facts.facts import facts_of
from webapp.models import StrokeCount
from webapp.records.views import BuildView, CastingView
from webapp.sheets.cutting.form_strokes import MOST_COUNTED, StrokeWish, read_strokes
from webapp.typed.texts import Typed
from webapp.typed.work_fields import BY_KEY

_FACED = "bored.crank_boss"


@dataclass(frozen=True, slots=True)
class CountView:
    """A count as stored; `key` names it on the tablet, apart from a count of another data file."""

    id: int
    casting_id: int
    wanted: int
    done: int
    width: str
    feed: str
    depth: str
    cut: str
    closed: bool
    who: str
    at: datetime
    key: str


@dataclass(frozen=True, slots=True)
class PlanView:
    """A plan with how long it takes."""

    wish: StrokeWish
    time_words: str


@dataclass(frozen=True, slots=True)
class CounterSheet:
    """Everything the counter's page shows and its script needs."""

    count: CountView
    plan: StrokePlan
    words: str
    left: StrokesLeft
    pass_no: int
    stroke_no: int
    rhythm: str
    time_words: str
    cut_words: str
    pass_done: int
    one_more: int
    one_less: int | None
    most: int = MOST_COUNTED


def start_texts(build: BuildView) -> Typed:
    """The form before anything was typed: the width by the drawing, the rest by the build's own figures."""
    width = _drawn_width(build)
    texts = {
        "radial_width": plain(width, build.unit) if width else "",
        "depth": "",
        "feed": _figure_text(build, "stroke_feed"),
        "cut_depth": _figure_text(build, "stroke_cut"),
        "rhythm": _figure_text(build, "rhythm"),
    }
    return Typed({key: [text] for key, text in texts.items()})


def _figure_text(build: BuildView, key: str) -> str:
    return build.work_texts.get(key) or BY_KEY[key].usual.of(build.unit).text


def _drawn_width(build: BuildView) -> int | None:
    try:
        return crank_boss_width(build.crank_nm("throw"), _round_the_pin(build), build.nm("bore"))
    except CuttingError:
        return None


def _round_the_pin(build: BuildView) -> int:
    """Diameter of the metal round the crankpin: the joints' figure; where those do not agree, as much again as the hole."""
    figures = facts_of(build).joints.figures
    return 2 * build.crank_nm("crankpin_hole") if isinstance(figures, str) else figures.nm("pin_boss")


def width_hint(build: BuildView) -> str:
    """Where the width proposed comes from."""
    width = _drawn_width(build)
    if width is None:
        return "Measure it, from the edge of the bore to the far end."
    return (
        "By the drawing: throw + half the metal round the crankpin - half the bore, "
        f"{show(width, build.unit)}. Measure yours."
    )


def counts_on(session: Session, casting_id: int) -> tuple[CountView, ...]:
    """Every count of a casting, the newest first."""
    rows = session.exec(
        select(StrokeCount)
        .where(col(StrokeCount.casting_id) == casting_id)
        .order_by(col(StrokeCount.id).desc())
    ).all()
    return tuple(_view(row) for row in rows)


def just_faced(build: BuildView, casting: CastingView, counts: Sequence[CountView]) -> CountView | None:
    """The finished count that a tick still waits for; the newest stands first."""
    waits = build.order_of(casting).coupled and _FACED not in casting.ticks and casting.state != "scrapped"
    return next((count for count in counts if count.closed), None) if waits else None


def count_of(counts: Sequence[CountView], count_id: int) -> CountView | None:
    """One of a casting's counts."""
    return next((count for count in counts if count.id == count_id), None)


def _view(row: StrokeCount) -> CountView:
    assert row.id is not None  # it was read
    return CountView(
        id=row.id,
        casting_id=row.casting_id,
        wanted=row.wanted,
        done=row.done,
        width=row.width_text,
        feed=row.feed_text,
        depth=row.depth_text,
        cut=row.cut_text,
        closed=row.closed,
        who=row.who,
        at=row.at,
        key=f"strokes-{row.id}-{row.at.isoformat()}",
    )


def plan_view(wish: StrokeWish) -> PlanView:
    """A plan with how long it takes at the rhythm chosen."""
    return PlanView(wish, minutes_words(time_at(wish.plan.strokes, wish.rhythm)))


def strokes_box(build: BuildView, casting: CastingView, wish: StrokeWish | None) -> SetBox:
    """Rhythm and feed of a plan, to be kept with the wheel."""
    texts = (
        {Setting.RHYTHM: f"{wish.rhythm:g} strokes/min", Setting.FEED: f"{wish.texts.feed}/stroke"}
        if wish
        else {}
    )
    return set_box(build, casting, "crank_boss", "strokes", texts)


def minutes_words(minutes: float) -> str:
    """A time as said at the bench; started minutes count whole, as the counter's script reckons too."""
    whole = math.ceil(minutes)
    return "no time" if whole == 0 else f"about {whole} min"


def counter_sheet(build: BuildView, count: CountView, rhythm: float) -> CounterSheet:
    """The counter's page."""
    typed = {"radial_width": count.width, "feed": count.feed, "depth": count.depth, "cut_depth": count.cut}
    texts = Typed({key: [text] for key, text in (typed | {"rhythm": "1"}).items()})
    wish, errors = read_strokes(texts, build.unit, 0)
    assert wish is not None, errors  # the texts were read before they were stored
    plan = wish.plan
    left = still_to_do(plan, count.done)
    full, over = divmod(count.done, plan.strokes_per_pass)
    between = count.done > 0 and over == 0 and left.strokes > 0
    return CounterSheet(
        count=count,
        plan=plan,
        words=wish.words,
        left=left,
        pass_no=left.next_pass or plan.passes,
        stroke_no=left.next_stroke or plan.strokes_per_pass,
        rhythm=f"{rhythm:g}",
        time_words=minutes_words(time_at(left.strokes, rhythm)),
        cut_words=show(plan.cut_nm, build.unit),
        pass_done=full if between else 0,
        one_more=min(count.done + 1, MOST_COUNTED),
        one_less=count.done - 1 if count.done else None,
    )
