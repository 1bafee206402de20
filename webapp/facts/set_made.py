"""The whole set as measured against the drawing, what is out of tolerance first. Asks no database."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from domain.lengths import Unit
from domain.lengths.fine import fine
from domain.measuring.set_table import SetAnswer, SetLine, SetTable, set_table
from domain.route.castings import finished
from domain.route.stages import Stage
from domain.working import Working
from webapp.facts.set_rows import MORE_THAN_NOTHING_NM, rows_of
from webapp.records.heights import HeightsView
from webapp.records.views import SIDES, BuildView, CastingView

LOOKS: Mapping[SetAnswer, str] = {
    SetAnswer.OUTSIDE: "not",
    SetAnswer.CANNOT_TELL: "caution",
    SetAnswer.MISSING: "open",
    SetAnswer.NO_LIMIT: "open",
    SetAnswer.INSIDE: "serves",
}


@dataclass(frozen=True, slots=True)
class MadeLine:
    """One line of the table, with the sheet it is measured or put right on."""

    line: SetLine
    address: str
    # What the joint comes to where it is a fit, in the words of every other sheet.
    said: str = ""

    @property
    def look(self) -> str:
        """How its answer looks."""
        return LOOKS[self.line.answer]

    @property
    def signed(self) -> bool:
        """Whether its sizes are departures, which have a sign."""
        row = self.line.row
        return row.drawing_nm == 0 or (row.measured_nm or 0) < 0

    @property
    def more_than_nothing(self) -> bool:
        """Whether all that is asked of it is that there is some."""
        return self.line.row.low_nm == MORE_THAN_NOTHING_NM

    def over(self, unit: Unit) -> str:
        """How far beyond its limit, finely enough that it is not shown as nothing."""
        return fine(self.line.over_nm, unit)


@dataclass(frozen=True, slots=True)
class SetMade:
    """The set; `finished` when every wheel has every stage ticked; the places still without a wheel among the notes."""

    table: SetTable
    lines: tuple[MadeLine, ...]
    finished: bool
    notes: tuple[str, ...]
    bare: bool

    @property
    def open_lines(self) -> tuple[MadeLine, ...]:
        """What is not shown to be good."""
        return tuple(one for one in self.lines if one.line.answer is not SetAnswer.INSIDE)

    @property
    def good_lines(self) -> tuple[MadeLine, ...]:
        """What is shown to be good."""
        return tuple(one for one in self.lines if one.line.answer is SetAnswer.INSIDE)

    @property
    def workings(self) -> tuple[Working, ...]:
        """How each answer came about, in the table's order, each with its place."""
        return tuple(
            replace(one.line.decision.working, name=f"{one.line.row.what}, {one.line.row.where}")
            for one in self.lines
            if one.line.decision is not None
        )


def set_made(build: BuildView, heights: Mapping[int, HeightsView]) -> SetMade | None:
    """The set when its last wheel is finished, for the build sheet; None before."""
    return made_table(build, heights) if _finished(build) else None


def made_table(build: BuildView, heights: Mapping[int, HeightsView]) -> SetMade:
    """The set as far as it is measured; what is missing has its line too."""
    rows, notes = rows_of(build, heights)
    table = set_table([one.row for one in rows], build.unit)
    placed = {id(one.row): one for one in rows}
    lines = tuple(
        MadeLine(line, placed[id(line.row)].address, placed[id(line.row)].said) for line in table.lines
    )
    return SetMade(table, lines, _finished(build), tuple(notes), any(one.exact for one in rows))


def made_trouble(build: BuildView, heights: Mapping[int, HeightsView]) -> tuple[str, ...]:
    """What is out of tolerance on wheels whose tread is turned: "W3: flange thickness, tread diameter"."""
    rows = [
        one
        for one in rows_of(build, heights)[0]
        if one.row.beyond and one.wheels and all(map(_is_turned, one.wheels))
    ]
    place = {id(one.row): one for one in rows}
    found: dict[str, list[str]] = {one.who: [] for one in rows}
    for line in set_table([one.row for one in rows], build.unit).lines:
        if line.answer is SetAnswer.OUTSIDE:
            one = place[id(line.row)]
            found[one.who].append(one.short or one.row.what)
    return tuple(f"{who}: {', '.join(dict.fromkeys(what))}" for who, what in found.items() if what)


def _is_turned(wheel: CastingView) -> bool:
    """Whether the tread is ticked as turned; a later stage cannot be ticked without it."""
    return wheel.has(Stage.TREAD_TURNED)


def _finished(build: BuildView) -> bool:
    wheels = [axle.at(side) for axle in build.axles for side in SIDES]
    return bool(wheels) and all(
        wheel is not None and wheel.has(Stage.PAINTED) and finished(wheel.ticked, build.order_of(wheel))
        for wheel in wheels
    )
