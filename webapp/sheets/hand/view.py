"""What this builder makes against what was aimed at, of every build of the file, for the next one of this build."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from domain.cranks.throws import ODD_NM
from domain.hand.spread import hand_of, slips
from domain.hand.words import Craft, Made, count_words, hand_words, hand_workings
from domain.lengths import last_figure_nm, show, show_small
from domain.route.stages import Stage
from domain.stock.sizes import Face
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.facts.metal_sizes import is_ticked
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView, CastingView, Measured
from webapp.sheets.hand.drawing import HandPicture, hand_picture

_NO_TOOL = "no instrument named"


@dataclass(frozen=True, slots=True)
class Piece:
    """One bore, throw or tread as made, with the least and most it was to be, nm."""

    craft: Craft
    build: BuildView
    casting: CastingView
    size: Measured
    low_nm: int
    high_nm: int

    @property
    def off_nm(self) -> float:
        """How far it is from the middle of what was aimed at, above 0 where larger."""
        return self.size.nm - (self.low_nm + self.high_nm) / 2

    @property
    def good(self) -> bool:
        """Whether it is as was aimed at; a size on a limit is."""
        return self.low_nm <= self.size.nm <= self.high_nm

    @property
    def tool(self) -> str:
        """What it was measured with."""
        tool = self.build.instruments.get(self.size.instrument_id or 0)
        return tool.name if tool else self.size.instrument or _NO_TOOL


@dataclass(frozen=True, slots=True)
class PieceLine:
    """One that was made, in words; `build` is empty for one of the sheet's own build."""

    mark: str
    build: str
    made: str
    off: str
    good: bool
    tool: str


@dataclass(frozen=True, slots=True)
class ToolLine:
    """What was made of one kind and measured with one instrument."""

    words: str
    tool: str


@dataclass(frozen=True, slots=True)
class HandPart:
    """One craft: its line, its picture where enough were made, and what stands behind them."""

    key: str
    made: Made
    words: str
    counted: str
    picture: HandPicture | None
    pieces: tuple[PieceLine, ...]
    workings: tuple[Working, ...]


@dataclass(frozen=True, slots=True)
class HandSheet:
    """What comes of the builder's hand, by craft and by instrument; within what a throw and a tread are good, in words."""

    parts: tuple[HandPart, ...]
    tools: tuple[ToolLine, ...]
    throw_within: str
    tread_within: str

    @property
    def workings(self) -> tuple[Working, ...]:
        """How all figures came out."""
        return tuple(one for part in self.parts for one in part.workings)


def hand_sheet(build: BuildView, every: Iterable[BuildView]) -> HandSheet:
    """The sheet of a build: its next ones, by what was made in every build that is as real as this one."""
    pieces = [piece for one in every if one.invented == build.invented for piece in pieces_of(one)]
    parts = tuple(
        _part(build, craft, own)
        for craft in Craft
        if (own := [one for one in pieces if one.craft is craft]) or craft.can_aim
    )
    return HandSheet(
        parts,
        tuple(_tools(build, pieces)),
        show_small(ODD_NM, build.unit),
        show_small(work_figures(build).nm("tread_match"), build.unit),
    )


def pieces_of(build: BuildView) -> Iterator[Piece]:
    """What was made in a build, of each casting the last size that stands; what has metal to come off is not made yet."""
    treads, within = facts_of(build).treads, work_figures(build).nm("tread_match")
    for one in build.castings:
        yield from _bored(build, one)
        if one.throw is not None:
            drawn = build.nm("throw")
            yield Piece(Craft.THROW, build, one, one.throw, drawn - ODD_NM, drawn + ODD_NM)
        if (tread := one.sizes.get("tread")) is not None:
            aim = treads.aim_nm(one)
            if is_ticked(one, Face.TREAD) or tread.nm <= aim + within:
                yield Piece(Craft.TREAD, build, one, tread, aim - within, aim + within)


def _bored(build: BuildView, casting: CastingView) -> Iterator[Piece]:
    bore, wanted = casting.bore, _bore_wanted(build, casting)
    if bore is None or bore.by_plug or wanted is None:
        return
    if casting.has(Stage.BORED) or bore.nm >= wanted[0]:
        craft = Craft.BORE if bore.reamer_id is None else Craft.REAMED
        yield Piece(craft, build, casting, bore, *wanted)


def _bore_wanted(build: BuildView, casting: CastingView) -> tuple[int, int] | None:
    """The least and most for the seat a casting has, or had before it was scrapped; else for the drawing's."""
    where = casting
    if casting.axle_id is None and build.axle(casting.scrapped_from_axle_id) is not None:
        where = replace(casting, axle_id=casting.scrapped_from_axle_id, side=casting.scrapped_from_side)
    return facts_of(build.of(casting)).joints.bore_sizes(where)


def _part(build: BuildView, craft: Craft, pieces: Sequence[Piece]) -> HandPart:
    half, to_come = _next(build, craft)
    departures, good = tuple(one.off_nm for one in pieces), tuple(one.good for one in pieces)
    step_nm = last_figure_nm(build.unit)
    apart = slips(departures, good, step_nm)
    hand = hand_of([nm for place, nm in enumerate(departures) if place not in apart], step_nm)
    marks = tuple(pieces[place].casting.mark for place in apart)
    made = Made(craft, departures, sum(good), half, to_come, hand, marks)
    words = hand_words(made, build.unit)
    return HandPart(
        craft.name.lower(),
        made,
        words,
        count_words(made),
        hand_picture(made, good, build.unit, words),
        tuple(_line(build, one) for one in pieces),
        hand_workings(made, build.unit),
    )


def _next(build: BuildView, craft: Craft) -> tuple[float | None, int]:
    """How far the next one of this build may be from its middle, and how many are to come."""
    wheels = [wheel for axle in build.axles for wheel in axle.wheels]
    if craft is Craft.THROW:
        coupled = [wheel for axle in build.axles if axle.coupled for wheel in axle.wheels]
        return ODD_NM, sum(wheel.throw is None for wheel in coupled)
    if craft is Craft.TREAD:
        to_turn = sum(not is_ticked(wheel, Face.TREAD) for wheel in wheels)
        return work_figures(build).nm("tread_match"), to_turn
    to_bore = [wheel for wheel in wheels if not wheel.has(Stage.BORED)]
    # With all of them bored the last one says what is wanted of another.
    following = next(iter((*to_bore, *build.spares, *wheels[-1:])), None)
    wanted = _bore_wanted(build, following) if following else None
    return ((wanted[1] - wanted[0]) / 2 if wanted else None), len(to_bore)


def _line(build: BuildView, piece: Piece) -> PieceLine:
    off = show_small(round(piece.off_nm), build.unit, signed=True)
    own = "" if piece.build.id == build.id else piece.build.name
    made = show(piece.size.nm, build.unit)
    return PieceLine(piece.casting.mark, own, made, off, piece.good, piece.tool)


def _tools(build: BuildView, pieces: Sequence[Piece]) -> Iterator[ToolLine]:
    for craft in Craft:
        own = [one for one in pieces if one.craft is craft]
        for tool in dict.fromkeys(one.tool for one in own):
            part = _part(build, craft, [one for one in own if one.tool == tool])
            yield ToolLine(part.words, tool)
