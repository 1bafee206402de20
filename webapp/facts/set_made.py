"""The whole set as measured against the drawing, what is no good first. Asks no database."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from domain.answer import Answer
from domain.assembly.words import run_out_words
from domain.cranks.cylinders import Side
from domain.cranks.quartering import QuarterAngle
from domain.cranks.squareness import SQUARE_NM
from domain.cranks.throws import FAR_NM, UNLIKE_NM
from domain.cranks.words import (
    alike_words,
    apart_words,
    error_words,
    near_words,
    order_words,
    quarter_words,
)
from domain.joints.held import Bonded
from domain.joints.kinds import FitKind
from domain.joints.terms import uncertainty_nm
from domain.joints.words import in_short, small
from domain.lengths import Unit, show_small
from domain.measuring.set_table import SetAnswer, SetLine, SetRow, SetTable, at_pin_nm, set_table
from domain.route.castings import finished
from domain.route.stages import Stage
from domain.treads.gauges import MORE_THAN_NOTHING_NM
from domain.treads.judging import TreadAnswer
from domain.working import Working
from webapp.facts.axle_gauges import ROOM
from webapp.facts.crankpins import pin_of
from webapp.facts.quartering import looks_of
from webapp.facts.rods import coupled_of
from webapp.facts.treads import DRAWN, FigureLine, GroupView
from webapp.facts.work_figures import work_figures
from webapp.records.heights import HeightsView
from webapp.records.views import SIDES, AxleView, BuildView, CastingView, Measured, Stamp
from webapp.typed.sizes import TYRE_SIZES

if TYPE_CHECKING:
    from webapp.facts.facts import Facts
    from webapp.facts.wheel_joint import WheelJoint

# More sizes than so many are counted where there is little room.
_NAMED = 2
# A size inside its limits is not good for that alone where its joint is not.
_JOINT = {Answer.NOT: SetAnswer.OUTSIDE, Answer.CANNOT_TELL: SetAnswer.CANNOT_TELL}
# The joint's own judge has seen its sizes, at the ends of their readings too: what it says stands.
_OF_JOINT = {**_JOINT, Answer.SERVES: SetAnswer.INSIDE, Answer.CAUTION: SetAnswer.INSIDE}
# What the judge of treads and gauges says stands.
_TREAD = {TreadAnswer.NO_GOOD: SetAnswer.OUTSIDE, TreadAnswer.CANNOT_TELL: SetAnswer.CANNOT_TELL}
# What a wheel on its seat is called in the table: of a bond, and of the other fits.
FIT_LINES = ("gap of the fit", "interference of the fit")
LOOKS: Mapping[SetAnswer, str] = {
    SetAnswer.OUTSIDE: "not",
    SetAnswer.CANNOT_TELL: "caution",
    SetAnswer.MISSING: "open",
    SetAnswer.NO_LIMIT: "open",
    SetAnswer.INSIDE: "serves",
}


@dataclass(frozen=True, slots=True)
class PlacedRow:
    """A row of the table, its sheet, and whom it is of: in words, and the wheels themselves.

    exact: measured without an instrument; short: what it is in a list, where that is shorter; said: what its joint
    comes to in a word or two; reason: of what is not good there, why; care: whether it is good with care only; above_nm:
    how far above the tread a flange was measured; apart: whether the tick that finishes a wheel asks its own judge about
    it, with its figures; told: what its judge says of it, where the table shows it as something else; after: the stage that
    makes the size, before which it is not called wrong; put_in: of a crankpin, who put it in and when.
    """

    row: SetRow
    address: str
    who: str
    wheels: tuple[CastingView, ...]
    exact: bool = False
    short: str = ""
    said: str = ""
    reason: str = ""
    care: bool = False
    above_nm: int | None = None
    apart: bool = False
    told: str = ""
    after: Stage = Stage.BORED
    put_in: Stamp | None = None
    # What is said where it is not right, in place of how far it is past a limit.
    amiss: str = ""
    # Up to where it is good, where the limits are those past which it is no good.
    limits_said: str = ""
    # Whether it is a quarter angle's.
    of_angle: bool = False
    # The measurements it goes by, those there are.
    sizes: tuple[Measured | HeightsView | None, ...] = ()


@dataclass(frozen=True, slots=True)
class MadeLine:
    """One line of the table, with what is known of it besides."""

    line: SetLine
    placed: PlacedRow

    @property
    def look(self) -> str:
        """How its answer looks."""
        return "caution" if self.with_care else LOOKS[self.line.answer]

    @property
    def with_care(self) -> bool:
        """Whether it is within its limits, and good with care only."""
        return self.placed.care and self.line.answer is SetAnswer.INSIDE

    @property
    def verdict(self) -> str:
        """The answer in a word or two."""
        return Answer.CAUTION.words if self.with_care else self.line.verdict

    @property
    def signed(self) -> bool:
        """Whether its sizes are departures, which have a sign."""
        row = self.line.row
        return row.drawing_nm == 0 or (row.measured_nm or 0) < 0

    @property
    def small(self) -> bool:
        """Whether it is a difference, and no size of the drawing's."""
        return not self.line.row.drawing_nm

    @property
    def more_than_nothing(self) -> bool:
        """Whether all that is asked of it is that there is some."""
        return self.line.row.low_nm == MORE_THAN_NOTHING_NM

    def over(self, unit: Unit) -> str:
        """How far beyond its limit, finely enough that it is not shown as nothing."""
        return show_small(self.line.over_nm, unit)


@dataclass(frozen=True, slots=True)
class CalledOut:
    """What the set as made says against a wheel, or against its axle: each size that is out, what cannot be told, and
    what nobody measured."""

    mark: str
    out: tuple[str, ...]
    open: tuple[str, ...]
    missing: tuple[str, ...]
    # What is out, by its name alone.
    names: tuple[str, ...] = ()
    # Whether some of that is of the wheel or its axle, and not of the rods alone.
    own: bool = False

    @property
    def grave(self) -> bool:
        """Whether something is out of limits or cannot be told, and not only missing."""
        return bool(self.out or self.open)

    def sentences(self, *, brief: bool = False) -> Iterator[str]:
        """It in sentences, as the tick that finishes the wheel asks about it; in short, named and counted only."""
        if brief and self.out:
            yield f"No good: {', '.join(self.names)}."
        else:
            yield from self.out
        if self.open:
            yield f"Cannot tell of {self.mark}: {', '.join(self.open)}."
        if brief and len(self.missing) > _NAMED:
            yield f"{len(self.missing)} sizes not measured."
        elif self.missing:
            yield f"Not measured of {self.mark}: {', '.join(self.missing)}."


class SetMade:
    """The set as far as it is measured, judged once; what is missing has its line too."""

    def __init__(self, facts: Facts) -> None:
        self._facts = facts
        self._build = facts.build

    @cached_property
    def _rows(self) -> tuple[PlacedRow, ...]:
        return tuple(_rows(self._facts))

    @cached_property
    def table(self) -> SetTable:
        """Every size against its limits, what is no good first."""
        return set_table([one.row for one in self._rows], self._build.unit)

    @cached_property
    def lines(self) -> tuple[MadeLine, ...]:
        """The table's lines."""
        placed = {id(one.row): one for one in self._rows}
        return tuple(MadeLine(line, placed[id(line.row)]) for line in self.table.lines)

    @cached_property
    def in_order(self) -> tuple[MadeLine, ...]:
        """The same lines wheel by wheel and axle by axle, as a record has them."""
        place = {id(one.row): number for number, one in enumerate(self._rows)}
        return tuple(sorted(self.lines, key=lambda one: place[id(one.line.row)]))

    @cached_property
    def finished(self) -> bool:
        """Whether every place has its wheel, and every wheel every stage ticked."""
        build = self._build
        wheels = [axle.at(side) for axle in build.axles for side in SIDES]
        return bool(wheels) and all(
            wheel is not None and wheel.has(Stage.PAINTED) and finished(wheel.ticked, build.order_of(wheel))
            for wheel in wheels
        )

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """What is to be said besides, the places without a wheel among it."""
        return tuple(_notes(self._facts))

    @property
    def bare(self) -> bool:
        """Whether something was measured without an instrument of the list."""
        return any(one.exact for one in self._rows)

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

    @property
    def again(self) -> tuple[str, ...]:
        """Which axle is set again and by how much, where the quarter angle of one is not good."""
        wrong = any(one.placed.of_angle and one.line.answer is SetAnswer.OUTSIDE for one in self.lines)
        return self._facts.resetting.orders if wrong else ()

    @cached_property
    def trouble(self) -> tuple[str, ...]:
        """What is no good on wheels whose tread is turned: "W3: flange thickness, tread diameter"."""
        found: dict[str, list[str]] = {one.who: [] for one in self._rows}
        for made in self.lines:
            one = made.placed
            turned = one.wheels and all(map(_is_turned, one.wheels))
            if made.line.answer is SetAnswer.OUTSIDE and one.row.beyond and turned:
                found[one.who].append(one.short or one.row.what)
        return tuple(f"{who}: {', '.join(dict.fromkeys(what))}" for who, what in found.items() if what)

    def called_out(self, casting: CastingView) -> CalledOut:
        """What it says against one wheel, but for treads and gauges: their own judges are asked."""
        rods = self._facts.rods.line if self._build.order_of(casting).coupled else None
        lines = [one for one in self.lines if any(wheel.id == casting.id for wheel in one.placed.wheels)]
        own = [one for one in lines if not one.placed.apart]

        def named(of: Iterable[MadeLine], answer: SetAnswer) -> tuple[str, ...]:
            return tuple(dict.fromkeys(one.line.row.what for one in of if one.line.answer is answer))

        beyond = [one for one in own if one.line.answer is SetAnswer.OUTSIDE]
        joint = self._facts.of(casting).joints.of(casting)
        loose = joint is not None and joint.answer is Answer.NOT and not _in_table(joint, casting)
        bind = (rods.words,) if rods is not None and rods.state == "not" else ()
        return CalledOut(
            casting.mark,
            (
                *(one.placed.told or one.line.words for one in beyond),
                *([joint.doubt_told] if joint and loose else []),
                *bind,
            ),
            named(own, SetAnswer.CANNOT_TELL),
            named(lines, SetAnswer.MISSING),
            (
                *dict.fromkeys(one.placed.short or one.line.row.what for one in beyond),
                *(["bore"] if loose else []),
                *(["the rods"] if bind else []),
            ),
            own=bool(beyond) or loose,
        )

    @cached_property
    def rods_wait_for(self) -> str:
        """What is put right where the rods bind: the axles with an angle or a throw that is no good, else the rods."""
        *rest, last = [axle.number for axle in coupled_of(self._build) if self._to_set_again(axle)] or [0]
        if not last:
            return "the rods"
        return f"axles {', '.join(map(str, rest))} and {last}" if rest else f"axle {last}"

    def _to_set_again(self, axle: AxleView) -> bool:
        again, sheet = self._facts.resetting, self._facts.quartering.of(axle).sheet
        throws = (self._facts.throws.of(wheel) for wheel in axle.wheels)
        if any(one is not None and one.answer is Answer.NOT for one in throws):
            return True
        if again.turns:
            return again.of(axle) is not None
        return sheet is not None and "not" in looks_of(sheet)


def _in_table(joint: WheelJoint, casting: CastingView) -> bool:
    """Whether the fit has a line with a size: a bore tried with plugs has none, nor what is good by the drawing's seat
    alone, which nobody measured."""
    known = joint.seat_measured or joint.answer in _JOINT
    return known and not (casting.bore is not None and casting.bore.by_plug)


def _is_turned(wheel: CastingView) -> bool:
    """Whether the tread is ticked as turned; a later stage cannot be ticked without it."""
    return wheel.has(Stage.TREAD_TURNED)


def _rows(facts: Facts) -> Iterator[PlacedRow]:
    """Every row, what is missing too."""
    for axle in facts.build.axles:
        for wheel in axle.wheels:
            yield from _of_wheel(facts, axle, wheel)
        yield from _of_axle(facts, axle)
    yield from _throws_apart(facts)
    yield from (row for group in facts.treads.groups if (row := _spread(facts.build, group)) is not None)


def _notes(facts: Facts) -> Iterator[str]:
    for axle in facts.build.axles:
        for side in SIDES:
            wheel = axle.at(side)
            if wheel is None:
                yield f"Axle {axle.number} has no wheel on the {side}."
            elif wheel.bore is not None and wheel.bore.by_plug:
                yield f"The bore of {wheel.mark} was tried with plugs: its fit stands on the sheet of fits."
        error = facts.quartering.of(axle).error if axle.coupled else None
        if error is not None:
            yield f"The quarter angle of axle {axle.number} cannot be worked out: {error}"


def _of_wheel(facts: Facts, axle: AxleView, wheel: CastingView) -> Iterator[PlacedRow]:
    where = f"{wheel.mark}, axle {axle.number} {wheel.side}"
    if not (wheel.bore is not None and wheel.bore.by_plug):
        yield _fit(facts, axle, wheel, where)
    if axle.coupled:
        yield _throw(facts, wheel, where)
        yield from _crankpin(facts, wheel, where)
    if facts.of(wheel).tyres.there:
        yield _tyre(facts, wheel, where)
    for line in facts.of(wheel).treads.of(wheel).figures:
        yield _figure(facts.build, line, wheel, where)


def _throw(facts: Facts, wheel: CastingView, where: str) -> PlacedRow:
    """A throw against the drawing: that it is like the others of its side is a line of its own."""
    found, drawn = facts.throws.finding.of(wheel.mark), facts.build.crank_nm("throw")
    measured, u = (found.throw.nm, found.throw.expanded_nm) if found else (None, 0)
    row = SetRow("throw", where, drawn, drawn - FAR_NM, drawn + FAR_NM, measured, u)
    return PlacedRow(
        row=row,
        address=f"/castings/{wheel.id}/throw",
        who=wheel.mark,
        wheels=(wheel,),
        exact=wheel.throw is not None and wheel.throw.expanded_nm is None,
        care=found is not None and found.answer is Answer.CAUTION,
        limits_said=near_words(facts.build.unit),
        sizes=(wheel.throw,),
    )


def _crankpin(facts: Facts, wheel: CastingView, where: str) -> Iterator[PlacedRow]:
    """A crankpin's fit and how square it stands, of what was measured; one that is ticked in lacks what was not."""
    pin = pin_of(facts.build, wheel)
    address = f"/builds/{facts.build.id}/crankpins?pattern={wheel.pattern_id}&open=pins#fold-pin-{wheel.id}"

    def placed(row: SetRow, *, exact: bool, sizes: tuple[Measured | None, ...] = ()) -> PlacedRow:
        return PlacedRow(row, address, wheel.mark, (wheel,), exact=exact, put_in=pin.in_wheel, sizes=sizes)

    found = pin.finding
    if found is not None and {"pin_hole", "pin_seat"} <= wheel.sizes.keys():
        held, case = found.held, found.case
        window = held.joint.sheet.gap if isinstance(held, Bonded) else None
        apart = case.hole_nm - case.pin.seat_nm
        row = SetRow(
            what=f"{'gap' if window else 'interference'} of the crankpin",
            where=where,
            drawing_nm=None,
            low_nm=window.least_nm if window else MORE_THAN_NOTHING_NM,
            high_nm=window.most_nm if window else None,
            measured_nm=apart if window else -apart,
            expanded_nm=case.uncertainty_nm,
            known=_JOINT.get(found.answer),
        )
        pair = (wheel.sizes["pin_hole"], wheel.sizes["pin_seat"])
        yield placed(row, exact=pin.exact, sizes=pair)
    elif pin.in_wheel is not None:
        yield placed(
            SetRow("fit of the crankpin", where, None, MORE_THAN_NOTHING_NM, None, None), exact=False
        )
    lean = pin.lean
    if lean is not None or pin.in_wheel is not None:
        row = SetRow(
            what="crankpin out of square",
            where=where,
            drawing_nm=None,
            low_nm=None,
            high_nm=SQUARE_NM,
            measured_nm=lean.lean_nm if lean else None,
            expanded_nm=lean.expanded_nm if lean else 0,
        )
        dial = tuple(wheel.sizes.get(key) for key in ("pin_near", "pin_far")) if lean is not None else ()
        yield placed(row, exact=lean is not None and not lean.expanded_nm, sizes=dial)


def _tyre(facts: Facts, wheel: CastingView, where: str) -> PlacedRow:
    """A steel tyre on its centre, by its own judge."""
    tyres = facts.of(wheel).tyres
    state, (least, most) = tyres.of(wheel), tyres.wanted_nm
    case = state.finding.case if state.finding is not None else None
    known = _JOINT.get(state.answer) if case is not None else None
    row = SetRow(
        what="interference of the tyre",
        where=where,
        drawing_nm=None,
        low_nm=least,
        high_nm=most,
        measured_nm=case.interference_nm if case else None,
        expanded_nm=case.uncertainty_nm if case else 0,
        known=known,
    )
    exact = case is not None and None in (case.inside.expanded_nm, case.centre.expanded_nm)
    said = state.answer.words if case is not None else ""
    short = f"tyre ({said})" if known and not replace(row, known=None).beyond else ""
    sizes = tuple(wheel.sizes.get(key) for key in TYRE_SIZES) if case is not None else ()
    return PlacedRow(
        row, state.address, wheel.mark, (wheel,), exact=exact, short=short, said=said, sizes=sizes
    )


def _throws_apart(facts: Facts) -> Iterator[PlacedRow]:
    """How alike the throws of each side came out, by the pair that decides; one wheel alone has no other to be like."""
    for side in SIDES:
        wheels = {one.mark: one for axle in facts.build.axles if axle.coupled and (one := axle.at(side))}
        if len(wheels) < 2:
            continue
        found = facts.throws.finding.at(Side(side))
        pair = () if found is None or found.alone else (found.low.mark, found.high.mark)
        # Of those whose throw stands out, as on their own sheets; where none does, of the two furthest apart.
        odd = found.odd() if found and pair else ()
        of = tuple(one.mark for one in odd) or pair
        row = SetRow(
            what="throws apart",
            where=f"{side} side",
            drawing_nm=None,
            low_nm=None,
            high_nm=UNLIKE_NM,
            measured_nm=found.spread_nm if found and pair else None,
            expanded_nm=found.expanded_nm if found and pair else 0,
        )
        yield PlacedRow(
            row=row,
            address=f"/builds/{facts.build.id}/crankpins#throws",
            who=f"{side.capitalize()} side",
            wheels=tuple(wheels[mark] for mark in of) or tuple(wheels.values()),
            care=found is not None and found.answer is Answer.CAUTION,
            limits_said=alike_words(facts.build.unit),
            amiss=apart_words(found, odd, facts.build.unit) if found and pair else "",
            sizes=tuple(wheels[mark].throw for mark in pair),
        )


def _fit(facts: Facts, axle: AxleView, wheel: CastingView, where: str) -> PlacedRow:
    bond = facts.build.fit == FitKind.BOND
    what = FIT_LINES[0] if bond else FIT_LINES[1]
    joints = facts.of(wheel).joints
    joint, wanted = joints.of(wheel), joints.wanted
    measured, u, exact, known, said, told, reason, care = None, 0, False, None, "", "", "", False
    if joint is not None and _in_table(joint, wheel):
        bore, seat = joint.finding.case.bore, joint.finding.case.seat
        measured = bore.nm - seat.nm if bond else seat.nm - bore.nm
        u, exact = uncertainty_nm(bore, seat), None in (bore.expanded_nm, seat.expanded_nm)
        known, said = _OF_JOINT[joint.answer], joint.word
        reason = "" if joint.answer is Answer.SERVES else in_short(joint.finding)
        care = joint.answer is Answer.CAUTION
        if not joint.seat_measured:
            said, told = f"{said}, by the drawing's seat", joint.doubt_told
    row = SetRow(
        what=what,
        where=where,
        drawing_nm=None,
        low_nm=wanted.least_nm,
        high_nm=wanted.most_nm,
        measured_nm=measured,
        expanded_nm=u,
        known=known,
        judged=known is not None,
    )
    address = f"/castings/{wheel.id}/bore"
    # In a list a size that is as wanted is not named for what its joint does.
    wrong = known is not None and known is not SetAnswer.INSIDE
    short = f"joint ({said})" if wrong and not replace(row, known=None).beyond else ""
    sizes = (wheel.bore, axle.seats.get(wheel.side or "")) if measured is not None else ()
    return PlacedRow(
        row,
        address,
        wheel.mark,
        (wheel,),
        exact=exact,
        short=short,
        said=said,
        reason=reason,
        care=care,
        told=told,
        sizes=sizes,
    )


def _figure(build: BuildView, line: FigureLine, wheel: CastingView, where: str) -> PlacedRow:
    limits, size, place = line.verdict.limits, line.size, line.verdict.place
    low, high = (limits.low_nm, limits.high_nm) if limits else (None, None)
    drawn = build.of(wheel).nm(DRAWN[line.verdict.figure])
    if place is not None and size is not None:
        # A flange is compared where it was measured, or not at all.
        low, high = (None, None) if place.lack else (low, high)
        drawn -= 0 if place.lack else place.less_nm
    u = size.expanded_nm if size else None
    row = SetRow(
        what=line.name,
        where=where,
        drawing_nm=drawn,
        low_nm=low,
        high_nm=high,
        measured_nm=size.nm if size else None,
        expanded_nm=u or 0,
        known=_TREAD.get(line.verdict.answer),
    )
    exact = size is not None and u is None
    address = f"/castings/{wheel.id}/tread"
    after = Stage.TREAD_TURNED
    return PlacedRow(
        row,
        address,
        wheel.mark,
        (wheel,),
        exact,
        above_nm=line.above_nm,
        care=bool(line.care),
        apart=True,
        after=after,
        sizes=(size,),
    )


def _of_axle(facts: Facts, axle: AxleView) -> Iterator[PlacedRow]:
    yield from _run_out(facts, axle)
    yield from _gauges(facts, axle)
    if axle.coupled:
        sheet = facts.quartering.of(axle).sheet
        yield from _angles(facts, axle, sheet.angles if sheet else (None,))


def _run_out(facts: Facts, axle: AxleView) -> Iterator[PlacedRow]:
    """How true an axle runs between its centres, where that was measured: nobody need."""
    found = facts.of(axle).assembly(axle).run_out
    if found is None:
        return
    swing = found.swing
    row = SetRow(
        what="run-out between centres",
        where=f"axle {axle.number}",
        drawing_nm=None,
        low_nm=None,
        high_nm=found.most_nm,
        measured_nm=swing.nm,
        expanded_nm=swing.expanded_nm,
    )
    size = axle.sizes["axle_run_out"]
    words = f"Axle {axle.number}: {small(run_out_words(found, facts.build.unit))}"
    yield PlacedRow(
        row=row,
        address=f"/axles/{axle.id}/assembly",
        who=f"Axle {axle.number}",
        wheels=axle.wheels,
        exact=size.expanded_nm is None,
        told=f"{words}.",
        after=Stage.RECEIVED,
        sizes=(size,),
    )


def _gauges(facts: Facts, axle: AxleView) -> Iterator[PlacedRow]:
    """Each gauge that the standard says something of, and the room between the rails."""
    found, where = facts.gauges(axle), f"axle {axle.number}"
    address, who = f"/axles/{axle.id}/gauges", f"Axle {axle.number}"
    for line in found.lines:
        one, limits = line.verdict, line.verdict.limits
        if limits is None:
            continue
        drawn = facts.build.nm("back_to_back") if one is found.gauges.back_to_back else limits.nm
        row = SetRow(
            what=line.name,
            where=where,
            drawing_nm=drawn,
            low_nm=limits.low_nm,
            high_nm=limits.high_nm,
            measured_nm=one.nm,
            expanded_nm=one.expanded_nm or 0,
        )
        # A flange counts in all of them but the back to back.
        alone = one is found.gauges.back_to_back
        after = Stage.PRESSED if alone else Stage.TREAD_TURNED
        exact = one.nm is not None and found.exact
        sizes = () if one.nm is None else (found.back,) if alone else (found.back, *found.flanges)
        yield PlacedRow(row, address, who, axle.wheels, exact, apart=True, after=after, sizes=sizes)
    room, u = found.gauges.clearance_nm, found.gauges.wheel_gauge.expanded_nm or 0
    row = SetRow(
        what=ROOM,
        where=where,
        drawing_nm=None,
        low_nm=MORE_THAN_NOTHING_NM,
        high_nm=None,
        measured_nm=room,
        expanded_nm=u,
    )
    exact, after = room is not None and found.exact, Stage.TREAD_TURNED
    sizes = () if room is None else (found.back, *found.flanges)
    yield PlacedRow(row, address, who, axle.wheels, exact, apart=True, after=after, sizes=sizes)


def _angles(facts: Facts, axle: AxleView, angles: tuple[QuarterAngle | None, ...]) -> Iterator[PlacedRow]:
    """Each angle's error as the distance it comes to at the crankpin, by the drawing's throw.

    That is no figure to set an axle again by: how far that is, its one judge says.
    """
    build, turn = facts.build, facts.resetting.of(axle)
    throw, within = build.of(axle).nm("throw"), work_figures(build).number("quarter_within")
    allowed = at_pin_nm(within, throw)
    for angle in angles:
        what, measured, u, told, amiss = "quarter angle", None, 0, "", ""
        if angle is not None:
            measured, u = at_pin_nm(angle.departure_deg, throw), at_pin_nm(angle.expanded_deg, throw)
            # With three cylinders an axle has two of them.
            between = f", {angle.ahead.value} to {angle.behind.value}" if len(angles) > 1 else ""
            what = f"error of the quarter angle{between}"
            told = f"Axle {axle.number}: {quarter_words(angle)}"
            amiss = order_words(turn, build.unit) if turn else f"axle {axle.number}: {error_words(angle)}"
        row = SetRow(
            what=what,
            where=f"axle {axle.number}, at the crankpin",
            drawing_nm=0,
            low_nm=-allowed,
            high_nm=allowed,
            measured_nm=measured,
            expanded_nm=u,
        )
        exact = angle is not None and not u
        address, who = f"/axles/{axle.id}/quartering", f"Axle {axle.number}"
        yield PlacedRow(
            row=row,
            address=address,
            who=who,
            wheels=axle.wheels,
            exact=exact,
            short="quarter angle",
            told=told,
            sizes=(axle.heights,) if angle is not None else (),
            amiss=amiss,
            of_angle=True,
        )


def _spread(build: BuildView, group: GroupView) -> PlacedRow | None:
    """How alike the treads of a group came out, by the pair that decides."""
    if len(group.wheels) < 2:
        return None
    apart, u = (group.spread, 0) if group.spread else (None, 0)
    measured: int | None = None
    sizes: tuple[Measured, ...] = ()
    if apart is not None:
        tread = {
            line.casting.mark: line.casting.sizes["tread"]
            for line in group.lines
            if "tread" in line.casting.sizes
        }
        one, two = tread[apart.first], tread[apart.second]
        sizes = (one, two)
        measured = abs(one.nm - two.nm)
        u = math.ceil(math.hypot(one.expanded_nm or 0, two.expanded_nm or 0))
    where, who, wheels = group.name, group.name.capitalize(), group.wheels
    if group.odd:
        who = " and ".join(group.odd.marks)
        where += f": {who} {'is the odd one' if len(group.odd.marks) == 1 else 'are the odd ones'}"
    if apart is not None:
        wheels = tuple(one for one in group.wheels if one.mark in (apart.first, apart.second))
    row = SetRow(
        what="treads apart, on diameter",
        where=where,
        drawing_nm=None,
        low_nm=None,
        high_nm=group.tolerance_nm,
        measured_nm=measured,
        expanded_nm=u,
    )
    exact = apart is not None and not u
    return PlacedRow(
        row=row,
        address=f"/builds/{build.id}/treads#groups",
        who=who,
        wheels=wheels,
        exact=exact,
        short="treads apart",
        after=Stage.TREAD_TURNED,
        sizes=sizes,
    )
