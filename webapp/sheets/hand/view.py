"""What this builder makes against what was aimed at, of every build of the file, for the next one of this build."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from domain.cranks.throws import ODD_NM
from domain.hand.spread import FEWEST, hand_of, slips
from domain.hand.words import Craft, Made, count_words, hand_words, hand_workings
from domain.lengths import last_figure_nm, show, show_small
from domain.route.stages import Stage
from domain.stock.sizes import Face
from domain.working import Working
from webapp.facts.as_set import made_with
from webapp.facts.hand import Piece, bore_wanted, pieces_of
from webapp.facts.metal_sizes import is_ticked
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView
from webapp.sheets.hand.drawing import HandPicture, hand_picture


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
    """What was made of one kind and measured with one instrument, or cut with one edge at one speed."""

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
    edges: tuple[ToolLine, ...]
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
        tuple(_edges(build, pieces)),
        show_small(ODD_NM, build.unit),
        show_small(work_figures(build).nm("tread_match"), build.unit),
    )


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
    wanted = bore_wanted(build, following) if following else None
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


def _edges(build: BuildView, pieces: Sequence[Piece]) -> Iterator[ToolLine]:
    """By what it was made with and how fast; fewer than can be told of are left out."""
    for craft in Craft:
        by_edge: dict[str, list[Piece]] = {}
        for one in pieces:
            if one.craft is craft and (edge := made_with(one)):
                by_edge.setdefault(edge.casefold(), []).append(one)
        for own in by_edge.values():
            if len(own) >= FEWEST:
                yield ToolLine(_part(build, craft, own).words, made_with(own[0]))
