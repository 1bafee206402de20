"""The sheet of a build: what is next, what is not right, the engine's wheels side-on, its spares and what was lost."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from domain.route.castings import Progress
from webapp.facts.batch_views import BatchView
from webapp.facts.castings import Stock, Tile, picture_of, progress_of, stock, tiles
from webapp.facts.facts import facts_of
from webapp.facts.next_work import FirstThing, NextWork, next_work
from webapp.facts.not_right import NotRight, not_right
from webapp.facts.running_out import BuildRisk, risk_of
from webapp.records.views import AxleView, BuildView, PatternView
from webapp.sheets.build.drawing import EngineSide, EngineWheel, engine_side
from webapp.typed.rods import figure_of

# The right side first, as the engine is drawn with its front to the right; the left one is seen through it.
_SIDES = (("right", "right side"), ("left", "left side, seen through"))


@dataclass(frozen=True, slots=True)
class Place:
    """One side of an axle, or an empty place: its wheel, and whether that has its turn next or is not right."""

    axle: AxleView
    card: Tile | None
    next: bool
    amiss: bool


@dataclass(frozen=True, slots=True)
class SideSheet:
    """One side of the engine: its places from the rear to the front, and how they are drawn."""

    side: str
    words: str
    places: tuple[Place, ...]
    picture: EngineSide


@dataclass(frozen=True, slots=True)
class PatternStock:
    """Whether the castings of a pattern will do, and the risk of running out; `said` names it where there are several."""

    pattern: PatternView
    said: str
    stock: Stock
    risk: BuildRisk | None


@dataclass(frozen=True, slots=True)
class BuildSheet:
    """All that the sheet tells at first sight; the sides as they are seen, the front to the right."""

    build: BuildView
    sides: tuple[SideSheet, ...]
    axles: tuple[AxleView, ...]
    spares: tuple[Tile, ...]
    scrapped: tuple[Tile, ...]
    progress: Progress
    # Of each pattern that has axles: castings of one are of no use to another.
    stocks: tuple[PatternStock, ...]
    next: NextWork
    first: FirstThing
    wrong: tuple[NotRight, ...]

    @property
    def finished(self) -> bool:
        """Whether every wheel is."""
        return not any(one.stock.unfinished for one in self.stocks)

    def spares_for(self, axle: AxleView) -> bool:
        """Whether a spare of the axle's pattern is left."""
        return any(one.stock.spares for one in self.stocks if one.pattern.id == axle.pattern_id)

    @property
    def mend_first(self) -> bool:
        """Whether something is to be seen to before the paint that comes next."""
        return bool(self.wrong) and self.first.paint


def build_sheet(build: BuildView, running: BatchView | None) -> BuildSheet:
    """The whole engine on one sheet, with the batch that is running."""
    next_ = next_work(build, running)
    first, wrong = next_.first_thing, not_right(build)
    amiss = {mark for one in wrong for mark in one.marks}
    axles = build.axles[::-1]
    return BuildSheet(
        build=build,
        sides=tuple(_side(build, axles, side, words, first, amiss) for side, words in _SIDES),
        axles=axles,
        spares=tiles(build, build.spares),
        scrapped=tiles(build, build.scrapped),
        progress=progress_of(build, build.axles),
        stocks=_stocks(build),
        next=next_,
        first=first,
        wrong=wrong,
    )


def _stocks(build: BuildView) -> tuple[PatternStock, ...]:
    several = len(build.patterns) > 1
    return tuple(
        PatternStock(one, f"{one.name}. " if several else "", stock(build.of(one)), risk_of(build.of(one)))
        for one in build.patterns
        if build.of(one).axles
    )


def _side(
    build: BuildView, axles: tuple[AxleView, ...], side: str, words: str, first: FirstThing, amiss: set[str]
) -> SideSheet:
    places = tuple(_place(build, axle, side, first, amiss) for axle in axles)
    centres, line = _centres(build, axles), facts_of(build).rods.line
    go_round = line is not None and line.state == "serves"
    drawn = tuple(
        EngineWheel(
            picture=one.card.picture if one.card else picture_of(build.of(one.axle), None),
            tread_nm=build.of(one.axle).nm("tread_diameter"),
            flange_depth_nm=build.of(one.axle).nm("flange_depth"),
            next=one.next,
            amiss=one.amiss,
            to_front_nm=centres.get(one.axle.id),
            rod=go_round and one.axle.coupled,
        )
        for one in places
    )
    return SideSheet(side, words, places, engine_side(drawn, seen_through=side == "left"))


def _centres(build: BuildView, axles: tuple[AxleView, ...]) -> dict[int, int]:
    """How far each axle is from the one before it, where that was given: between coupled axles that are neighbours."""
    found = {}
    for rear, front in pairwise(axles):
        given = figure_of(build.rods, front.id, "right", "centre") or figure_of(
            build.rods, front.id, "right", "rod"
        )
        if rear.coupled and front.coupled and given is not None:
            found[rear.id] = given.nm
    return found


def _place(build: BuildView, axle: AxleView, side: str, first: FirstThing, amiss: set[str]) -> Place:
    wheel = axle.at(side)
    if wheel is None:
        return Place(axle, None, next=False, amiss=False)
    (card,) = tiles(build, (wheel,))
    return Place(axle, card, next=wheel.id in first.casting_ids, amiss=wheel.mark in amiss)
