"""The whole set as measured against the drawing, what is out of tolerance first. Asks no database."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from domain.castings import finished
from domain.cylinders import CylindersError
from domain.fit import FitKind
from domain.length import Unit
from domain.length_fine import fine
from domain.quartering_types import QuarterAngle, QuarteringError
from domain.set_table import SetAnswer, SetLine, SetRow, SetTable, at_pin_nm, set_table
from domain.stages import Stage
from domain.throws import ALIKE_NM
from domain.working import Working
from webapp.queries.axle_gauges import measured_back
from webapp.queries.heights import HeightsView
from webapp.queries.quarter_angles import quarter_angle_of
from webapp.queries.seats import seat_of
from webapp.queries.tread_figures import DRAWN, FigureLine, judge_wheel, standard_of
from webapp.queries.tread_groups import GroupView, groups_of, target_of
from webapp.queries.views import SIDES, AxleView, BuildView, CastingView
from webapp.queries.work_figures import work_figures

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

    @property
    def look(self) -> str:
        """How its answer looks."""
        return LOOKS[self.line.answer]

    @property
    def signed(self) -> bool:
        """Whether its sizes are departures, which have a sign."""
        return self.line.row.drawing_nm == 0

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
    def workings(self) -> tuple[Working, ...]:
        """How each answer came about, in the table's order, each with its place."""
        return tuple(
            replace(one.line.decision.working, name=f"{one.line.row.what}, {one.line.row.where}")
            for one in self.lines
            if one.line.decision is not None
        )


@dataclass(frozen=True, slots=True)
class _Placed:
    """A row of the table and its sheet."""

    row: SetRow
    address: str
    exact: bool = False


def set_made(build: BuildView, heights: Mapping[int, HeightsView]) -> SetMade | None:
    """The set when its last wheel is finished, for the build sheet; None before."""
    return made_table(build, heights) if _finished(build) else None


def made_table(build: BuildView, heights: Mapping[int, HeightsView]) -> SetMade:
    """The set as far as it is measured; what is missing has its line too."""
    groups, notes = groups_of(build), []
    rows: list[_Placed] = []
    for axle in build.axles:
        for side in SIDES:
            wheel = axle.at(side)
            if wheel is None:
                notes.append(f"Axle {axle.number} has no wheel on the {side}.")
                continue
            rows += _of_wheel(build, groups, axle, wheel)
            if wheel.bore is not None and wheel.bore.by_plug:
                notes.append(
                    f"The bore of {wheel.mark} was tried with plugs: its fit stands on the sheet of fits."
                )
        rows += _of_axle(build, axle, heights.get(axle.id), notes)
    rows += [row for group in groups if (row := _spread(build, group)) is not None]
    table = set_table([one.row for one in rows], build.unit)
    address = {id(one.row): one.address for one in rows}
    lines = tuple(MadeLine(line, address[id(line.row)]) for line in table.lines)
    return SetMade(table, lines, _finished(build), tuple(notes), any(one.exact for one in rows))


def _finished(build: BuildView) -> bool:
    wheels = [axle.at(side) for axle in build.axles for side in SIDES]
    return bool(wheels) and all(
        wheel is not None and wheel.has(Stage.PAINTED) and finished(wheel.ticked, build.order_of(wheel))
        for wheel in wheels
    )


def _of_wheel(
    build: BuildView, groups: tuple[GroupView, ...], axle: AxleView, wheel: CastingView
) -> Iterator[_Placed]:
    where = f"{wheel.mark}, axle {axle.number} {wheel.side}"
    if not (wheel.bore is not None and wheel.bore.by_plug):
        yield _fit(build, axle, wheel, where)
    if axle.coupled:
        throw, drawn = wheel.throw, build.nm("throw")
        measured, u = (throw.mean_nm, throw.expanded_nm) if throw else (None, None)
        limits = drawn - ALIKE_NM, drawn + ALIKE_NM
        row = SetRow("throw", where, drawn, *limits, measured, u or 0)
        yield _Placed(row, f"/castings/{wheel.id}", throw is not None and u is None)
    for line in judge_wheel(build, wheel, target_of(build, groups, wheel)):
        yield _figure(build, line, wheel, where)


def _fit(build: BuildView, axle: AxleView, wheel: CastingView, where: str) -> _Placed:
    bond = build.fit == FitKind.BOND
    what = "gap of the fit" if bond else "interference of the fit"
    bore, seat = wheel.bore, seat_of(build, wheel)
    measured, u, exact = None, 0, False
    if bore is not None and seat is not None:
        measured = bore.mean_nm - seat.mean_nm if bond else seat.mean_nm - bore.mean_nm
        u = math.ceil(math.hypot(bore.expanded_nm or 0, seat.expanded_nm or 0))
        exact = None in (bore.expanded_nm, seat.expanded_nm)
    row = SetRow(what, where, None, build.nm("fit_least"), build.nm("fit_most"), measured, u)
    address = f"/castings/{wheel.id}" if bore is None else f"/axles/{axle.id}"
    return _Placed(row, address, exact)


def _figure(build: BuildView, line: FigureLine, wheel: CastingView, where: str) -> _Placed:
    limits, size = line.verdict.limits, line.size
    low, high = (limits.low_nm, limits.high_nm) if limits else (None, None)
    drawn = build.nm(DRAWN[line.verdict.figure])
    u = size.expanded_nm if size else None
    row = SetRow(line.name, where, drawn, low, high, size.nm if size else None, u or 0)
    return _Placed(row, f"/castings/{wheel.id}/tread", size is not None and u is None)


def _of_axle(
    build: BuildView, axle: AxleView, heights: HeightsView | None, notes: list[str]
) -> Iterator[_Placed]:
    where, standard = f"axle {axle.number}", standard_of(build)
    back, limits = measured_back(axle), standard.back_to_back
    u = back.expanded_nm if back else 0
    row = SetRow(
        "back to back",
        where,
        build.nm("back_to_back"),
        limits.low_nm,
        limits.high_nm,
        back.nm if back else None,
        u,
    )
    yield _Placed(row, f"/axles/{axle.id}/gauges", back is not None and not u)
    if not axle.coupled:
        return
    try:
        sheet = quarter_angle_of(build, axle, heights)
    except (QuarteringError, CylindersError) as error:
        notes.append(f"The quarter angle of axle {axle.number} cannot be worked out: {error}")
        sheet = None
    yield from _angles(build, axle, sheet.angles if sheet else (None,))


def _angles(build: BuildView, axle: AxleView, angles: tuple[QuarterAngle | None, ...]) -> Iterator[_Placed]:
    """Each angle as the distance its departure comes to at the pin, by the drawing's throw."""
    throw, within = build.nm("throw"), work_figures(build).number("quarter_within")
    allowed = at_pin_nm(within, throw)
    for angle in angles:
        what, measured, u = "quarter angle, at the pin", None, 0
        if angle is not None:
            measured, u = at_pin_nm(angle.departure_deg, throw), at_pin_nm(angle.expanded_deg, throw)
            what = f"angle of {angle.ahead.value} to {angle.behind.value} crank, at the pin"
        row = SetRow(what, f"axle {axle.number}", 0, -allowed, allowed, measured, u)
        yield _Placed(row, f"/axles/{axle.id}/quartering", angle is not None and not u)


def _spread(build: BuildView, group: GroupView) -> _Placed | None:
    """How alike the treads of a group came out, by the pair that decides."""
    if len(group.wheels) < 2:
        return None
    apart, u = (group.spread, 0) if group.spread else (None, 0)
    measured = None
    if apart is not None:
        tread = {
            line.casting.mark: line.casting.sizes["tread"]
            for line in group.lines
            if "tread" in line.casting.sizes
        }
        one, two = tread[apart.first], tread[apart.second]
        measured = abs(one.nm - two.nm)
        u = math.ceil(math.hypot(one.expanded_nm or 0, two.expanded_nm or 0))
    row = SetRow("treads apart, on diameter", group.name.lower(), None, None, group.tolerance_nm, measured, u)
    return _Placed(row, f"/builds/{build.id}/treads#groups", apart is not None and not u)
