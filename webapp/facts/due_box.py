"""The reading that is due: of which wheel, what is wanted, the boxes for it, and what it came to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from domain.cranks.quartering import VeeBlockSetUp
from domain.lengths import Unit, plain, show, show_in
from domain.lengths.showing import figure_in
from domain.route.stages import Stage
from webapp.drawing.band import Band
from webapp.facts.axle_gauges import flange_aim
from webapp.facts.crankpins import pins_missing
from webapp.facts.due import OF_TYRE, Due, axle_due, casting_due, due_named
from webapp.facts.facts import facts_of
from webapp.facts.quartering import pin_sides
from webapp.facts.wheel_lines import HeadLine, heights_line, joint_band, joint_line, throw_line, tread_line
from webapp.records.views import SIDES, AxleView, BuildView, CastingView
from webapp.typed.heights import STOOD, HeightTyped
from webapp.typed.readings import DUE_BOXES

_WHAT = {"tread": "tread diameter", "flange": "flange", "heights": "heights of the crankpins"}
# So many fellows are named beside what is wanted: the rest is on the sheet of crankpins.
_FELLOWS = 3


@dataclass(frozen=True, slots=True)
class DueBox:
    """The one reading that is due: where it goes, what is wanted of it, and what else may be read instead."""

    due: Due
    action: str
    version: int
    boxes: tuple[tuple[str, str], ...]
    wanted: str
    others: tuple[Due, ...]
    # What its other fields begin with.
    start: Mapping[str, str] = field(default_factory=dict)
    # Whether what is wanted of it is to be minded first.
    care: bool = False

    @property
    def kind(self) -> str:
        """What is read."""
        return self.due.kind

    @property
    def form(self) -> str:
        """What its form is called on a page."""
        return f"due-{self.due.key}"

    @property
    def what(self) -> str:
        """The reading as a heading says it after the wheel's mark."""
        return what_words(self.due)

    @property
    def taken_here(self) -> bool:
        """Whether its boxes stand on the sheet; three pins are too many for that, and are read on the quartering's."""
        return bool(self.boxes)

    @property
    def in_full(self) -> bool:
        """Whether a slip has more ways to measure it."""
        return self.kind in ("bore", "throw", "seat")


@dataclass(frozen=True, slots=True)
class Trial:
    """What a reading as typed would make of its wheel, or to what the rest is to be set; nothing of it is written."""

    line: HeadLine | None
    band: Band | None
    to_set: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Written:
    """The reading written just now, and what it came to."""

    mark: str
    what: str
    line: HeadLine | None
    key: str = ""
    # What was written, in both systems; and the slip that tells the rest.
    size: str = ""
    address: str = ""

    @property
    def no_good(self) -> bool:
        """Whether it came out no good."""
        return self.line is not None and self.line.look == "not"


def what_words(due: Due) -> str:
    """A reading in a word or two, without its wheel."""
    what = f"{due.side} seat" if due.kind == "seat" else _WHAT.get(due.kind, due.kind)
    return f"{what}, again" if due.again else what


def reading_line(build: BuildView, casting: CastingView, kind: str) -> HeadLine | None:
    """What a reading of this kind makes of its wheel: of a throw or a tread that, of a bore and a seat their joint."""
    if kind in OF_TYRE:
        return tread_line(build, casting)
    return throw_line(build, casting) if kind == "throw" else joint_line(build, casting)


def written_of(build: BuildView, due: Due) -> Written:
    """What a reading that is written now came to, asked of the judge as it stands."""
    wheel, axle = due.casting, due.axle
    size, line, address = None, None, ""
    if due.kind == "heights" and axle is not None:
        address, first = f"/axles/{axle.id}/quartering", pins_missing(build, axle)
        line = heights_line(build, axle, axle.heights)
        # What was read over no pin is no angle to be glad of; the angle itself stands in the axle's row.
        line = HeadLine("caution", first) if first and line is not None and line.look != "not" else line
    elif due.kind == "seat" and axle is not None:
        size, address = axle.seats.get(due.side), f"/axles/{axle.id}/seats/{due.side}"
    elif wheel is not None:
        now = {"bore": wheel.bore, "throw": wheel.throw, "tread": wheel.sizes.get("tread")}
        now["flange"] = wheel.sizes.get("flange_thickness")
        sheet = "tread" if due.kind == "flange" else due.kind
        size, address = now.get(due.kind), f"/castings/{wheel.id}/{sheet}"
    if wheel is not None:
        line = reading_line(build, wheel, due.kind)
    shown = show(size.nm, build.unit) if size is not None and not size.by_plug else ""
    return Written(due.mark, what_words(replace(due, again=False)), line, due.key, shown, address)


def trial_of(build: BuildView, casting: CastingView, kind: str) -> Trial | None:
    """What a reading would make of this wheel, in the build as it would then be."""
    line = reading_line(build, casting, kind)
    if line is None or (kind == "bore" and casting.bore is None):
        return None
    return Trial(line, joint_band(build, casting) if kind in ("bore", "seat") else None)


def due_box(
    build: BuildView, axle: AxleView | None, casting: CastingView | None, key: str, *, refused: bool
) -> DueBox | None:
    """The reading asked for by its key, else the first that is due; None where nothing is.

    refused: the key is of a reading that was sent and not taken, which is shown even if it is due no more. Of what is
    scrapped or archived nothing is due.
    """
    found: Sequence[Due] = ()
    if build.archived or (casting is not None and casting.state == "scrapped"):
        found = ()
    elif casting is not None:
        found = casting_due(build, casting)
    elif axle is not None:
        found = axle_due(build, axle)
    due = next((one for one in found if one.key == key), None)
    if due is None and refused:
        due = due_named(axle, casting, key)
    if due is None:
        due = next(iter(found), None)
    return None if due is None else box_of(build, due, tuple(one for one in found if one is not due))


def box_of(build: BuildView, due: Due, others: tuple[Due, ...] = ()) -> DueBox:
    """The form of one reading: where it goes, its boxes, and what is wanted of it."""
    action, version = _where_to(due)
    if due.kind == "heights" and due.axle is not None:
        return _heights_box(build, due, due.axle, others)
    on_axle = due.kind == "throw" and due.casting is not None and due.casting.has(Stage.PRESSED)
    boxes = DUE_BOXES["throw on its axle" if on_axle else due.kind]
    start = dict(_flange_at(build, due.casting)) if due.kind == "flange" and due.casting else {}
    return DueBox(due, action, version, boxes, _wanted(build, due), others, start, bool(_sets(build, due)))


def _flange_at(build: BuildView, casting: CastingView) -> Iterator[tuple[str, str]]:
    """How far above the tread a flange is measured, as it may be typed."""
    at = facts_of(build.of(casting)).treads.measure_at_nm
    if at is not None:
        yield "flange_at", plain(at, build.unit)


def _heights_box(build: BuildView, due: Due, axle: AxleView, others: tuple[Due, ...]) -> DueBox:
    action, version = _where_to(due)
    sides, first = pin_sides(build), pins_missing(build, axle)
    if len(sides) > len(SIDES):
        where = first or "In vee blocks on a plate: the axle and its three pins."
        return DueBox(due, action, version, (), where, others)
    marks = {side: wheel.mark for side in sides if (wheel := axle.at(side))}
    boxes = (("axle", "axle"), *((side, f"{side} pin, {mark}") for side, mark in marks.items()))
    way = next(iter(facts_of(build).quartering.set_ups(axle)), None)
    start = dict(last_over(build))
    if way is not None:
        start["stood"] = " ".join(branch.value for _, branch, _ in way.pins)
    wanted = f"{first} {_lay_words(way, build.unit) if way else ''}".strip()
    return DueBox(due, action, version, boxes, wanted, others, start)


def _lay_words(way: VeeBlockSetUp, unit: Unit) -> str:
    """How best to lay an axle to read its pins: with one pin held at this height the other one follows."""
    side, _, above = way.pins[0]
    stood = STOOD[" ".join(branch.value for _, branch, _ in way.pins)]
    height = f"{show_in(abs(above), unit)} {'above' if above >= 0 else 'below'} the axle's"
    return f"Best {stood}, the {side} centre {height}."


def last_over(build: BuildView) -> Iterator[tuple[str, str]]:
    """The diameters that the last heights of the build were read over, as they were typed."""
    last = max((axle.heights for axle in build.axles if axle.heights), key=lambda one: one.at, default=None)
    for name, text in (("axle", last.centre.text), ("pin", last.right.height.text)) if last else ():
        across = HeightTyped.kept(text).diameter if text else None
        if across is not None:
            yield f"{name}_diameter", across.text


def _where_to(due: Due) -> tuple[str, int]:
    if due.axle is not None:
        tail = f"seats/{due.side}" if due.kind == "seat" else "heights"
        return f"/axles/{due.axle.id}/{tail}", due.axle.version
    assert due.casting is not None  # every reading is of an axle or of a casting
    return f"/castings/{due.casting.id}/{due.kind}s", due.casting.version


def _sets(build: BuildView, due: Due) -> str:
    """Which tread alone takes the group of the one that is due below what it was to be."""
    if due.kind != "tread" or due.casting is None:
        return ""
    return facts_of(build.of(due.casting)).treads.of(due.casting).sets


def _wanted(build: BuildView, due: Due) -> str:
    build = build.of(due.casting or due.axle or build.axles[0])
    facts, unit = facts_of(build), build.unit
    if due.kind == "bore" and due.casting:
        return facts.joints.never_holds(due.casting) or facts.joints.bore_target(due.casting)
    if due.kind == "seat" and due.axle:
        target = facts.joints.seat_target(due.axle, due.side)
        return target or f"The drawing says {show(build.nm('seat'), unit)}."
    if due.kind == "throw":
        fellows = [one for one in build.castings if one.throw and one is not due.casting][:_FELLOWS]
        alike = ", ".join(f"{one.mark} {figure_in(one.throw.nm, unit)}" for one in fellows if one.throw)
        over = "Over axle and pin. " if due.casting is not None and due.casting.has(Stage.PRESSED) else ""
        drawn = f"{over}The drawing says {show(build.nm('throw'), unit)}"
        return f"{drawn}, and all alike: {alike}." if alike else f"{drawn}; that all are alike matters more."
    assert due.casting is not None  # what is left is a tyre's
    if due.kind == "flange":
        return flange_aim(facts.treads, build.axle(due.casting.axle_id), due.casting)
    sets = _sets(build, due)
    return f"{sets}." if sets else f"To be {show(facts.treads.of(due.casting).target_nm, unit)}."
