"""The set as made as a record has it: wheel by wheel, each size with what it was measured with, by whom and when."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from domain.joints.kinds import FitKind
from domain.lengths import Unit, show_in, shown_small
from domain.lengths.showing import figure_in
from webapp.facts.facts import facts_of
from webapp.facts.measured_views import instrument_words
from webapp.facts.set_made import FIT_LINES, MadeLine
from webapp.records.heights import HeightsView
from webapp.records.views import AxleView, BuildView, CastingView, Measured, PatternView, Stamp

# Where the fit stands in a table of sizes.
_FIT = 2


@dataclass(frozen=True, slots=True)
class RecordRow:
    """One size as made: its line, its limits in words, the instruments, and who read it when, each once."""

    made: MadeLine
    limits: str
    instruments: tuple[str, ...]
    read: tuple[Stamp, ...]

    @property
    def put_in(self) -> Stamp | None:
        """Of a crankpin who put it in and when; None where whoever measured it did so on that day."""
        stamp = self.made.placed.put_in
        days = {(one.who, one.at.astimezone().date()) for one in self.read}
        return stamp if stamp and (stamp.who, stamp.at.astimezone().date()) not in days else None


@dataclass(frozen=True, slots=True)
class RecordGroup:
    """The sizes of one wheel, of an axle, or of several wheels together."""

    name: str
    rows: tuple[RecordRow, ...]


@dataclass(frozen=True, slots=True)
class SizesOfWheel:
    """One wheel's own sizes in words, in the order of its table; None where it was not measured."""

    wheel: CastingView
    sizes: tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class SizesTable:
    """The wheels of one pattern, axle by axle, and what its drawing wants: empty where it says nothing."""

    pattern: PatternView
    names: tuple[str, ...]
    drawn: tuple[str, ...]
    axles: tuple[tuple[AxleView, tuple[SizesOfWheel, ...]], ...]


def sizes_of(build: BuildView) -> tuple[SizesTable, ...]:
    """Bore, seat, fit, throw, crankpin and tread of each wheel as made, against the drawing."""
    return tuple(_table(build.of(one), one) for one in build.patterns if build.of(one).axles)


def _table(build: BuildView, pattern: PatternView) -> SizesTable:
    """Of a build as this pattern sees it."""
    unit, fits = build.unit, _fits(build)
    names = ["bore", "seat", "gap" if build.fit == FitKind.BOND else "interference"]
    drawn = [build.nm("bore"), build.nm("seat"), None]
    if pattern.cranked:
        names += ["throw", "pin hole", "pin"]
        drawn += [build.nm("throw"), build.nm("crankpin_hole"), None]
    if (tyres := facts_of(build).tyres).there:
        names.append("tyre, interference")
        drawn.append(None)
    names, drawn = [*names, "tread diameter"], [*drawn, build.nm("tread_diameter")]
    said = {_FIT: next((_limits(one, unit) for one in fits.values()), "")}
    if tyres.there:
        least, most = tyres.wanted_nm
        said[len(names) - 2] = f"{shown_small(least, unit)} to {shown_small(most, unit)}"
    return SizesTable(
        pattern=pattern,
        names=tuple(names),
        drawn=tuple(said.get(at, "" if nm is None else show_in(nm, unit)) for at, nm in enumerate(drawn)),
        axles=tuple(
            (
                axle,
                tuple(SizesOfWheel(one, _sizes(build, axle, one, fits.get(one.id))) for one in axle.wheels),
            )
            for axle in build.axles
        ),
    )


def _sizes(
    build: BuildView, axle: AxleView, wheel: CastingView, fit: MadeLine | None
) -> tuple[str | None, ...]:
    """Of a build as the wheel's pattern sees it."""
    unit, tyres, pattern = build.unit, facts_of(build).tyres, build.pattern_of(wheel)
    tyre = tyres.of(wheel).finding if tyres.there else None
    gap = fit.line.row.measured_nm if fit and None not in fit.placed.sizes else None
    cranked = (
        (wheel.throw, wheel.sizes.get("pin_hole"), wheel.sizes.get("pin_seat")) if pattern.cranked else ()
    )
    first = (_size(wheel.bore, unit), _size(axle.seats.get(wheel.side or ""), unit))
    on = (None if tyre is None else shown_small(tyre.case.interference_nm, unit),) if tyres.there else ()
    rest = (_size(one, unit) for one in cranked)
    tread = _size(wheel.sizes.get("tread"), unit)
    return (*first, None if gap is None else shown_small(gap, unit), *rest, *on, tread)


def _size(found: Measured | None, unit: Unit) -> str | None:
    if found is None:
        return None
    return "by plugs" if found.by_plug else show_in(found.mean_nm, unit)


def _fits(build: BuildView) -> dict[int, MadeLine]:
    """The line of each wheel's fit, by its casting."""
    return {
        line.placed.wheels[0].id: line
        for line in facts_of(build.whole).made.in_order
        if line.line.row.what in FIT_LINES and build.of(line.placed.wheels[0]).pattern == build.pattern
    }


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
