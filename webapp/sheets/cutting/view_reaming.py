"""Reamer or boring bar: the build's finished bore, put to the reamers and drills that are owned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from domain.answer import Answer
from domain.cutting.reaming import (
    DrillChoice,
    ReamerChoice,
    ReamerCut,
    ReamingSpeed,
    ReamingStock,
    Way,
    choose,
)
from domain.cutting.speeds import CutKind, CuttingError
from domain.cutting.words import (
    HAND_REAMING_CAUTIONS,
    REAMING_CAUTIONS,
    by_hand_words,
    choice_words,
    drill_words,
    prospect_words,
    reamer_words,
    reaming_speed_words,
    stock_words,
)
from domain.joints.fit import fit_of, inward
from domain.joints.kinds import FitError, FitKind
from domain.joints.words import fit_headline, fit_reason, small
from domain.lengths import Unit, show
from domain.route.stages import Stage
from domain.working import Working
from webapp.facts.as_set import SetBox, set_box
from webapp.facts.facts import facts_of
from webapp.facts.reaming import Reaming
from webapp.records.views import BuildView, CastingView
from webapp.records.workshop import USUAL_RESOLUTION_NM, ReamerView

HEADLINES = {
    Way.REAM: "Ream it",
    Way.TRY: "Try the reamer in scrap iron first",
    Way.SUIT: "Ream it, and turn the seat to suit",
    Way.BORE: "Use the boring bar",
}
_ANSWERS = {Way.REAM: "serves", Way.TRY: "caution", Way.SUIT: "serves", Way.BORE: ""}


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
    made_of: str = ""
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
    # Of each wheel that its own seat gives to another tool.
    otherwise: tuple[str, ...] = ()
    cautions: tuple[str, ...] = REAMING_CAUTIONS
    trouble: str = ""


def reaming_sheet(build: BuildView) -> ReamingSheet:
    """Which reamer or the boring bar, and everything that comes before it."""
    reaming = facts_of(build).reaming
    if not reaming.possible:
        size = show(reaming.limits[0], build.unit)
        return ReamingSheet(None, trouble=f"The fit wants a bore of {size}: put the drawing's figures right.")
    choice = reaming.choice
    return ReamingSheet(
        wanted=_wanted(build, reaming),
        headline=HEADLINES[choice.way],
        answer=_ANSWERS[choice.way],
        words=choice_words(choice, build.unit),
        by_reamer=choice.reamer is not None,
        first_to_try=next((str(view.id) for view in build.reamers if view.reamer == choice.reamer), ""),
        lines=_lines(build.reamers, choice, build.unit),
        before=_before(build, reaming),
        otherwise=tuple(_otherwise(build, reaming)),
        cautions=HAND_REAMING_CAUTIONS if reaming.tools.hand_reamers else REAMING_CAUTIONS,
    )


def reamed_next(build: BuildView) -> SetBox | None:
    """The reamer and its speed for the next wheel to be bored; one they are kept with comes last."""
    to_bore = _to_bore(build)
    reaming = facts_of(build).reaming
    boxes = [set_box(build, one, "ream_bore", "reaming", reaming.for_wheel(one).to_set) for one in to_bore]
    return next((box for box in boxes if box.keep_words), next(iter(boxes), None))


def _to_bore(build: BuildView) -> list[CastingView]:
    return [one for axle in build.axles for one in axle.wheels if not one.has(Stage.BORED)]


def _otherwise(build: BuildView, reaming: Reaming) -> Iterator[str]:
    """The wheels still to be bored whose own seat, as turned, asks for another tool."""
    for casting in _to_bore(build):
        own = reaming.for_wheel(casting)
        if own is not reaming and own.possible and own.choice.best != reaming.choice.best:
            yield f"{casting.mark}, on its seat as measured: {small(choice_words(own.choice, build.unit))}"


def _wanted(build: BuildView, reaming: Reaming) -> Wanted:
    unit = build.unit
    low, high = reaming.limits
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
    return Wanted(between, working, _seat_notes(build, reaming.seats_left), _end_cautions(build, low, high))


def _seat_notes(build: BuildView, seats_left: int) -> tuple[str, ...]:
    seat = build.nm("seat")
    notes = [f"For the drawing's seat, {show(seat, build.unit)}: a seat as turned may differ."]
    measured = [one.mean_nm for axle in build.axles for one in axle.seats.values() if not one.by_plug]
    if measured:
        least, most = show(min(measured), build.unit), show(max(measured), build.unit)
        notes.append(
            f"Seats measured so far run from {least} to {most}: for one wheel, go by the seat it is meant for."
        )
    if seats_left:
        many = "1 seat is" if seats_left == 1 else f"{seats_left} seats are"
        notes.append(f"{many} not logged: one not turned yet can be made to suit the hole.")
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


def _before(build: BuildView, reaming: Reaming) -> Before:
    """Stock, drill and speed for the reamer chosen, else for one of the middle of the range."""
    unit, reamer, finished = build.unit, reaming.choice.reamer, reaming.size.nm
    marked = f"one marked about {show(finished, unit)}, the middle of the range"
    words = marked if reamer is None else f"{reamer.name}, marked {show(finished, unit)}"
    try:
        drill, speed = reaming.drill, reaming.speed
    except CuttingError as error:
        return Before(words, trouble=str(error))
    tools = reaming.tools
    reamers = "a hand reamer" if tools.hand_reamers else f"a reamer of {tools.reamer.words}"
    return Before(
        words,
        stock=drill.stock,
        stock_words=stock_words(drill.stock, unit),
        drill_words=drill_words(drill, unit),
        drill_working=_drill_working(build, finished, drill),
        speed=speed,
        speed_words=reaming_speed_words(speed) if speed else by_hand_words(CutKind.HAND_REAM),
        drill_rpm=reaming.drill_rpm,
        made_of=f"For a drill of {tools.drill.words} and {reamers}, in this build's iron.",
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
    reaming = facts_of(build).reaming
    tried = replace(view.reamer, bores_nm=(*view.reamer.bores_nm, *bores_nm))
    resolution = max(view.resolution_nm, resolution_nm)
    one = choose([tried], *reaming.limits, build.unit, resolution, reaming.to_suit).prospects[0]
    headlines = {
        Way.REAM: "Inside: go ahead with it",
        Way.TRY: "Not sure yet: try once more",
        Way.SUIT: "Outside, but the seat can be turned to suit",
        Way.BORE: "Outside: use the boring bar",
    }
    words = prospect_words(one, build.unit)
    if one.way in (Way.BORE, Way.SUIT):
        words = f"{words} {reamer_words(one.cut, build.unit)}"
    return TrialAnswer(tried.name, headlines[one.way], _ANSWERS[one.way] or "not", words, one.cut)
