"""Reamer or boring bar: the build's finished bore, put to the reamers and drills that are owned."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from domain.answer import Answer
from domain.cutting.reaming import (
    Drill,
    DrillChoice,
    Reamer,
    ReamerChoice,
    ReamerCut,
    ReamingSpeed,
    ReamingStock,
    Way,
    choose,
    drill_below,
    reaming_speed,
)
from domain.cutting.speeds import CuttingError
from domain.cutting.words import (
    REAMING_CAUTIONS,
    choice_words,
    drill_words,
    prospect_words,
    reamer_words,
    reaming_speed_words,
    stock_words,
)
from domain.joints.fit import fit_of, inward
from domain.joints.kinds import FitError, FitKind
from domain.joints.words import fit_headline, fit_reason
from domain.lengths import Unit, show
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.records.views import BuildView
from webapp.records.workshop import USUAL_RESOLUTION_NM, DrillView, ReamerView

HEADLINES = {
    Way.REAM: "Ream it",
    Way.TRY: "Try the reamer in scrap iron first",
    Way.BORE: "Use the boring bar",
}
_ANSWERS = {Way.REAM: "serves", Way.TRY: "caution", Way.BORE: ""}


@dataclass(frozen=True, slots=True)
class Wanted:
    """The finished bore that the fit asks for on the drawing's seat."""

    words: str
    working: Working
    notes: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReamerLine:
    """One reamer against the bore wanted."""

    id: int
    name: str
    nominal_nm: int
    words: str
    working: Working | None


@dataclass(frozen=True, slots=True)
class Before:
    """What comes before the reamer: for which size, the stock, the drill, the speeds; or why not."""

    size_words: str
    stock: ReamingStock | None = None
    stock_words: str = ""
    drill_words: str = ""
    drill_working: Working | None = None
    speed: ReamingSpeed | None = None
    speed_words: str = ""
    drill_rpm: int = 0
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class TrialAnswer:
    """What trial bores say about one reamer."""

    name: str
    headline: str
    answer: str
    words: str
    cut: ReamerCut


@dataclass(frozen=True, slots=True)
class ReamingSheet:
    """The sheet; without a wanted range there is only the trouble."""

    wanted: Wanted | None
    headline: str = ""
    answer: str = ""
    words: str = ""
    by_reamer: bool = False
    # The reamer a trial is most likely about: the one chosen, by its id as a form gives it.
    first_to_try: str = ""
    lines: tuple[ReamerLine, ...] = ()
    before: Before | None = None
    cautions: tuple[str, ...] = REAMING_CAUTIONS
    trouble: str = ""


def reaming_sheet(
    build: BuildView, reamers: Sequence[ReamerView], drills: Sequence[DrillView]
) -> ReamingSheet:
    """Which reamer or the boring bar, and everything that comes before it."""
    low, high = wanted_range(build)
    if low <= 0:
        size = show(low, build.unit)
        return ReamingSheet(None, trouble=f"The fit wants a bore of {size}: put the drawing's figures right.")
    # Of bores taken with unlike instruments the coarsest counts: nothing is expected more closely than was seen.
    resolution = max((view.resolution_nm for view in reamers), default=USUAL_RESOLUTION_NM)
    choice = choose([view.reamer for view in reamers], low, high, build.unit, resolution)
    return ReamingSheet(
        wanted=_wanted(build, low, high),
        headline=HEADLINES[choice.way],
        answer=_ANSWERS[choice.way],
        words=choice_words(choice, build.unit),
        by_reamer=choice.reamer is not None,
        first_to_try=next((str(view.id) for view in reamers if view.reamer == choice.reamer), ""),
        lines=_lines(reamers, choice, build.unit),
        before=_before(build, choice.reamer, (low + high) // 2, [view.drill for view in drills]),
    )


def wanted_range(build: BuildView) -> tuple[int, int]:
    """Least and most of the finished bore: the drawing's seat and the gap, or less the interference."""
    seat, wanted = build.nm("seat"), facts_of(build).joints.wanted
    if wanted.kind is FitKind.BOND:
        return seat + wanted.least_nm, seat + wanted.most_nm
    return seat - wanted.most_nm, seat - wanted.least_nm


def _wanted(build: BuildView, low: int, high: int) -> Wanted:
    unit = build.unit
    bond = FitKind(build.fit) is FitKind.BOND
    shown = inward(unit, low, high)
    first, last = shown if shown[0] <= shown[1] else (low, high)  # limits closer than can be shown
    wanted = facts_of(build).joints.wanted
    allowed = f"{show(wanted.least_nm, unit)} to {show(wanted.most_nm, unit)}"
    between = f"{show(first, unit)} to {show(last, unit)}"
    working = Working(
        "the bore wanted",
        "finished bore = seat + gap" if bond else "finished bore = seat - interference",
        f"seat {show(build.nm('seat'), unit)}, {'gap' if bond else 'interference'} {allowed}",
        f"{show(low, unit)} to {show(high, unit)}",
        "by definition of the fit; seat and range are the build's own figures",
    )
    return Wanted(between, working, _seat_notes(build), _end_cautions(build, low, high))


def _seat_notes(build: BuildView) -> tuple[str, ...]:
    seat = build.nm("seat")
    notes = [f"For the drawing's seat, {show(seat, build.unit)}: a seat as turned may differ."]
    measured = [one.mean_nm for axle in build.axles for one in axle.seats.values() if not one.by_plug]
    if measured:
        least, most = show(min(measured), build.unit), show(max(measured), build.unit)
        notes.append(
            f"Seats measured so far run from {least} to {most}: for one wheel, go by the seat it is meant for."
        )
    return tuple(notes)


def _end_cautions(build: BuildView, low: int, high: int) -> tuple[str, ...]:
    """What the fit says of a bore at either end of the range, where it does not simply serve."""
    found = []
    for words, bore in (("smallest", low), ("largest", high)):
        try:
            fit = fit_of(facts_of(build).joints.wanted, bore, build.nm("seat"))
        except FitError as error:
            found.append(str(error))
            continue
        if fit.kind.answer is not Answer.SERVES:
            said = f"{fit_headline(fit, build.unit)}. {fit_reason(fit, build.unit)}"
            found.append(f"At the {words} bore of this range: {said}")
    return tuple(found)


def _lines(reamers: Sequence[ReamerView], choice: ReamerChoice, unit: Unit) -> tuple[ReamerLine, ...]:
    return tuple(
        ReamerLine(
            view.id, view.reamer.name, view.reamer.nominal_nm, prospect_words(one, unit), one.cut.working
        )
        for view, one in zip(reamers, choice.prospects, strict=True)
    )


def _before(build: BuildView, reamer: Reamer | None, middle_nm: int, drills: Sequence[Drill]) -> Before:
    """Stock, drill and speed for the reamer chosen, else for one of the middle of the range."""
    finished = middle_nm if reamer is None else reamer.nominal_nm
    unit = build.unit
    marked = f"one marked about {show(finished, unit)}, the middle of the range"
    words = marked if reamer is None else f"{reamer.name}, marked {show(finished, unit)}"
    try:
        drill = drill_below(finished, drills, unit)
        speed = reaming_speed(finished, build.iron, unit)
    except CuttingError as error:
        return Before(words, trouble=str(error))
    return Before(
        words,
        stock=drill.stock,
        stock_words=stock_words(drill.stock, unit),
        drill_words=drill_words(drill, unit),
        drill_working=_drill_working(build, finished, drill),
        speed=speed,
        speed_words=reaming_speed_words(speed),
        # Cut off, not rounded: an advised speed is a ceiling.
        drill_rpm=math.floor(speed.drill_rpm),
    )


def _drill_working(build: BuildView, finished: int, choice: DrillChoice) -> Working | None:
    if choice.drill is None or choice.leaves_nm is None:
        return None
    stock = choice.stock
    unit = build.unit
    return Working(
        "what the drill leaves",
        "left for the reamer = finished bore - drill; the largest drill owned that leaves the least stock or more",
        f"{show(finished, unit)} less {show(choice.drill.nominal_nm, unit)}, least {show(stock.least_nm, unit)}",
        show(choice.leaves_nm, unit),
        stock.working.source,
    )


def trial_answer(
    build: BuildView, view: ReamerView, bores_nm: Sequence[int], resolution_nm: int = USUAL_RESOLUTION_NM
) -> TrialAnswer:
    """What trial bores say, taken together with the bores logged from the same reamer."""
    low, high = wanted_range(build)
    tried = replace(view.reamer, bores_nm=(*view.reamer.bores_nm, *bores_nm))
    resolution = max(view.resolution_nm, resolution_nm)
    one = choose([tried], low, high, build.unit, resolution).prospects[0]
    headlines = {
        Way.REAM: "Inside: go ahead with it",
        Way.TRY: "Not sure yet: try once more",
        Way.BORE: "Outside: use the boring bar",
    }
    words = prospect_words(one, build.unit)
    if one.way is Way.BORE:
        words = f"{words} {reamer_words(one.cut, build.unit)}"
    return TrialAnswer(tried.name, headlines[one.way], _ANSWERS[one.way] or "not", words, one.cut)
