"""What was made of each casting against what was aimed at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from domain.cranks.throws import ODD_NM
from domain.hand.words import Craft
from domain.route.stages import Stage
from domain.stock.sizes import Face
from webapp.facts.facts import facts_of
from webapp.facts.metal_sizes import is_ticked
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView, CastingView, Measured

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


def pieces_of(build: BuildView) -> Iterator[Piece]:
    """What was made in a build, of each casting the last size that stands; what has metal to come off is not made yet."""
    for one in build.castings:
        yield from pieces_on(build, one)


def pieces_on(build: BuildView, casting: CastingView) -> Iterator[Piece]:
    """What was made of one casting."""
    yield from _bored(build, casting)
    if casting.throw is not None:
        drawn = build.of(casting).nm("throw")
        yield Piece(Craft.THROW, build, casting, casting.throw, drawn - ODD_NM, drawn + ODD_NM)
    if (tread := casting.sizes.get("tread")) is not None:
        within, aim = (
            work_figures(build).nm("tread_match"),
            facts_of(build.of(casting)).treads.aim_nm(casting),
        )
        if is_ticked(casting, Face.TREAD) or tread.nm <= aim + within:
            yield Piece(Craft.TREAD, build, casting, tread, aim - within, aim + within)


def _bored(build: BuildView, casting: CastingView) -> Iterator[Piece]:
    bore, wanted = casting.bore, bore_wanted(build, casting)
    if bore is None or bore.by_plug or wanted is None:
        return
    if casting.has(Stage.BORED) or bore.nm >= wanted[0]:
        craft = Craft.BORE if bore.reamer_id is None else Craft.REAMED
        yield Piece(craft, build, casting, bore, *wanted)


def bore_wanted(build: BuildView, casting: CastingView) -> tuple[int, int] | None:
    """The least and most for the seat a casting has, or had before it was scrapped; else for the drawing's."""
    where = casting
    if casting.axle_id is None and build.axle(casting.scrapped_from_axle_id) is not None:
        where = replace(casting, axle_id=casting.scrapped_from_axle_id, side=casting.scrapped_from_side)
    return facts_of(build.of(casting)).joints.bore_sizes(where)
