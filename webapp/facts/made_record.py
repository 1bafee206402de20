"""The set as made as a record has it: wheel by wheel, each size with what it was measured with, by whom and when."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from domain.lengths import Unit, show_in, shown_small
from domain.lengths.showing import figure_in
from webapp.facts.facts import facts_of
from webapp.facts.measured_views import instrument_words
from webapp.facts.set_made import MadeLine
from webapp.records.heights import HeightsView
from webapp.records.views import AxleView, BuildView, Measured, Stamp


@dataclass(frozen=True, slots=True)
class RecordRow:
    """One size as made: its line, its limits in words, the instruments, and who read it when, each once."""

    made: MadeLine
    limits: str
    instruments: tuple[str, ...]
    read: tuple[Stamp, ...]


@dataclass(frozen=True, slots=True)
class RecordGroup:
    """The sizes of one wheel, of an axle, or of several wheels together."""

    name: str
    rows: tuple[RecordRow, ...]


def record_of(build: BuildView, axle: AxleView | None = None) -> tuple[RecordGroup, ...]:
    """The whole set, or what belongs to one axle and to nothing beyond it."""
    lines: Iterable[MadeLine] = facts_of(build).made.in_order
    if axle is not None:
        own = {wheel.id for wheel in axle.wheels}
        lines = [one for one in lines if {wheel.id for wheel in one.placed.wheels} <= own]
    grouped = groupby(lines, key=lambda one: one.line.row.where)
    return tuple(RecordGroup(name, tuple(_row(build, one) for one in rows)) for name, rows in grouped)


def _row(build: BuildView, line: MadeLine) -> RecordRow:
    sizes = [one for one in line.placed.sizes if one is not None]
    instruments = tuple(dict.fromkeys(filter(None, (_with(build, one) for one in sizes))))
    # One who read several on a day has them all in one line.
    read = {(one.who, one.at.astimezone().date()): Stamp(one.who, one.at) for one in sizes}
    return RecordRow(line, _limits(line, build.unit), instruments, tuple(read.values()))


def _limits(line: MadeLine, unit: Unit) -> str:
    low, high = line.line.row.low_nm, line.line.row.high_nm
    shown = shown_small if line.small else show_in
    if line.more_than_nothing:
        return "more than nothing"
    if low is not None and high is not None:
        first = shown_small(low, unit) if line.small else figure_in(low, unit)
        return f"{first} to {shown(high, unit)}"
    if low is not None:
        return f"at least {shown(low, unit)}"
    return f"at most {shown(high, unit)}" if high is not None else ""


def _with(build: BuildView, size: Measured | HeightsView) -> str:
    tool = build.instruments.get(size.instrument_id) if size.instrument_id else None
    if isinstance(size, Measured):
        return instrument_words(size, tool)
    return tool.name if tool else ""
