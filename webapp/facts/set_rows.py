"""The rows of the set as made: each size with the drawing's, its limits and its sheet. Asks no database."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from domain.answer import Answer
from domain.cranks.cylinders import CylindersError
from domain.cranks.quartering_types import QuarterAngle, QuarteringError
from domain.cranks.throws import ALIKE_NM
from domain.joints.kinds import FitKind
from domain.joints.terms import uncertainty_nm
from domain.measuring.set_table import SetAnswer, SetRow, at_pin_nm
from webapp.facts.axle_gauges import axle_gauges
from webapp.facts.facts import facts_of
from webapp.facts.quarter_angles import quarter_angle_of
from webapp.facts.tread_figures import DRAWN, FigureLine, judge_wheel
from webapp.facts.tread_groups import GroupView, groups_of, target_of
from webapp.facts.work_figures import work_figures
from webapp.records.heights import HeightsView
from webapp.records.views import SIDES, AxleView, BuildView, CastingView

# The least limit of what must only be more than nothing, nm.
MORE_THAN_NOTHING_NM = 1
# A size inside its limits is not good for that alone where its joint is not.
_JOINT = {Answer.NOT: SetAnswer.OUTSIDE, Answer.CANNOT_TELL: SetAnswer.CANNOT_TELL}


@dataclass(frozen=True, slots=True)
class PlacedRow:
    """A row of the table, its sheet, and whom it is of: in words, and the wheels themselves.

    exact: measured without an instrument; short: what it is in a list, where that is shorter; said: what its joint
    comes to in a word or two.
    """

    row: SetRow
    address: str
    who: str
    wheels: tuple[CastingView, ...]
    exact: bool = False
    short: str = ""
    said: str = ""


def rows_of(build: BuildView, heights: Mapping[int, HeightsView]) -> tuple[list[PlacedRow], list[str]]:
    """Every row, what is missing too, and what is to be said besides."""
    groups = groups_of(build)
    notes: list[str] = []
    rows: list[PlacedRow] = []
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
    return rows, notes


def _of_wheel(
    build: BuildView, groups: tuple[GroupView, ...], axle: AxleView, wheel: CastingView
) -> Iterator[PlacedRow]:
    where = f"{wheel.mark}, axle {axle.number} {wheel.side}"
    if not (wheel.bore is not None and wheel.bore.by_plug):
        yield _fit(build, axle, wheel, where)
    if axle.coupled:
        throw, drawn = wheel.throw, build.nm("throw")
        measured, u = (throw.mean_nm, throw.expanded_nm) if throw else (None, None)
        limits = drawn - ALIKE_NM, drawn + ALIKE_NM
        row = SetRow("throw", where, drawn, *limits, measured, u or 0)
        yield PlacedRow(row, f"/castings/{wheel.id}", wheel.mark, (wheel,), throw is not None and u is None)
    for line in judge_wheel(build, wheel, target_of(build, groups, wheel)):
        yield _figure(build, line, wheel, where)


def _fit(build: BuildView, axle: AxleView, wheel: CastingView, where: str) -> PlacedRow:
    bond = build.fit == FitKind.BOND
    what = "gap of the fit" if bond else "interference of the fit"
    joints = facts_of(build).joints
    joint, wanted = joints.of(wheel), joints.wanted
    measured, u, exact, known, said = None, 0, False, None, ""
    if joint is not None and joint.seat_measured:
        bore, seat = joint.finding.case.bore, joint.finding.case.seat
        measured = bore.nm - seat.nm if bond else seat.nm - bore.nm
        u, exact = uncertainty_nm(bore, seat), None in (bore.expanded_nm, seat.expanded_nm)
        known, said = _JOINT.get(joint.answer), joint.word
    row = SetRow(what, where, None, wanted.least_nm, wanted.most_nm, measured, u, known)
    address = f"/castings/{wheel.id}" if joint is None else f"/axles/{axle.id}"
    # In a list a size that is as wanted is not named for what its joint does.
    short = f"joint ({said})" if known and not replace(row, known=None).beyond else ""
    return PlacedRow(row, address, wheel.mark, (wheel,), exact, short, said)


def _figure(build: BuildView, line: FigureLine, wheel: CastingView, where: str) -> PlacedRow:
    limits, size = line.verdict.limits, line.size
    low, high = (limits.low_nm, limits.high_nm) if limits else (None, None)
    drawn = build.nm(DRAWN[line.verdict.figure])
    u = size.expanded_nm if size else None
    row = SetRow(line.name, where, drawn, low, high, size.nm if size else None, u or 0)
    exact = size is not None and u is None
    return PlacedRow(row, f"/castings/{wheel.id}/tread", wheel.mark, (wheel,), exact)


def _of_axle(
    build: BuildView, axle: AxleView, heights: HeightsView | None, notes: list[str]
) -> Iterator[PlacedRow]:
    yield from _gauges(build, axle)
    if not axle.coupled:
        return
    try:
        sheet = quarter_angle_of(build, axle, heights)
    except (QuarteringError, CylindersError) as error:
        notes.append(f"The quarter angle of axle {axle.number} cannot be worked out: {error}")
        sheet = None
    yield from _angles(build, axle, sheet.angles if sheet else (None,))


def _gauges(build: BuildView, axle: AxleView) -> Iterator[PlacedRow]:
    """Back to back, wheel gauge, check gauges and the room between the rails: each the standard says something of."""
    found, where = axle_gauges(build, axle), f"axle {axle.number}"
    address, who = f"/axles/{axle.id}/gauges", f"Axle {axle.number}"
    for line in found.lines:
        one, limits = line.verdict, line.verdict.limits
        if limits is None:
            continue
        drawn = build.nm("back_to_back") if one is found.gauges.back_to_back else limits.nm
        row = SetRow(
            line.name.lower(), where, drawn, limits.low_nm, limits.high_nm, one.nm, one.expanded_nm or 0
        )
        yield PlacedRow(row, address, who, axle.wheels, one.nm is not None and found.exact)
    # Rails that just touch both flanges leave no room: there must be more than nothing.
    room, u = found.gauges.clearance_nm, found.gauges.wheel_gauge.expanded_nm or 0
    row = SetRow("room between the rails", where, None, MORE_THAN_NOTHING_NM, None, room, u)
    yield PlacedRow(row, address, who, axle.wheels, room is not None and found.exact)


def _angles(build: BuildView, axle: AxleView, angles: tuple[QuarterAngle | None, ...]) -> Iterator[PlacedRow]:
    """Each angle as the distance its departure comes to at the pin, by the drawing's throw."""
    throw, within = build.nm("throw"), work_figures(build).number("quarter_within")
    allowed = at_pin_nm(within, throw)
    for angle in angles:
        what, measured, u = "quarter angle, at the pin", None, 0
        if angle is not None:
            measured, u = at_pin_nm(angle.departure_deg, throw), at_pin_nm(angle.expanded_deg, throw)
            what = f"angle of {angle.ahead.value} to {angle.behind.value} crank, at the pin"
        row = SetRow(what, f"axle {axle.number}", 0, -allowed, allowed, measured, u)
        exact = angle is not None and not u
        address, who = f"/axles/{axle.id}/quartering", f"Axle {axle.number}"
        yield PlacedRow(row, address, who, axle.wheels, exact, "angle")


def _spread(build: BuildView, group: GroupView) -> PlacedRow | None:
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
    where, who, wheels = group.name.lower(), group.name, group.wheels
    if group.odd:
        who = " and ".join(group.odd.marks)
        where += f": {who} {'is the odd one' if len(group.odd.marks) == 1 else 'are the odd ones'}"
    if apart is not None:
        wheels = tuple(one for one in group.wheels if one.mark in (apart.first, apart.second))
    row = SetRow("treads apart, on diameter", where, None, None, group.tolerance_nm, measured, u)
    exact = apart is not None and not u
    return PlacedRow(row, f"/builds/{build.id}/treads#groups", who, wheels, exact, "treads apart")
