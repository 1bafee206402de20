"""The reading that is due: of which wheel, what is wanted, the boxes for it, and what it came to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from domain.lengths import show
from domain.lengths.showing import figure_in
from webapp.drawing.band import Band
from webapp.facts.due import Due, axle_due, casting_due, due_again
from webapp.facts.facts import facts_of
from webapp.facts.wheel_lines import HeadLine, joint_band, joint_line, throw_line
from webapp.records.views import AxleView, BuildView, CastingView, Measured
from webapp.typed.readings import DUE_BOXES

_WHAT = {"tread": "tread diameter", "heights": "heights of the crankpins"}
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
    def by_swap(self) -> bool:
        """Whether its answer is a piece of the sheet; the tread's own sheet takes its sizes."""
        return self.kind in ("bore", "throw", "seat")


@dataclass(frozen=True, slots=True)
class Trial:
    """What a reading as typed would make of its wheel; nothing of it is written."""

    line: HeadLine
    band: Band | None


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
    """What a reading of this kind makes of its wheel: of a throw that, of a bore and a seat their joint."""
    return throw_line(build, casting) if kind == "throw" else joint_line(build, casting)


def written_of(build: BuildView, due: Due) -> Written:
    """What a reading that is written now came to, asked of the judge as it stands."""
    wheel, axle = due.casting, due.axle
    size, line, address = None, None, ""
    if due.kind == "seat" and axle is not None:
        size, address = axle.seats.get(due.side), f"/axles/{axle.id}/seats/{due.side}"
    elif wheel is not None:
        size, address = (
            (wheel.throw if due.kind == "throw" else wheel.bore),
            f"/castings/{wheel.id}/{due.kind}",
        )
    if wheel is not None:
        line = reading_line(build, wheel, due.kind)
    shown = show(size.nm, build.unit) if size is not None and not size.by_plug else ""
    return Written(due.mark, what_words(replace(due, again=False)), line, due.key, shown, address)


def trial_of(build: BuildView, casting: CastingView, kind: str, seat: Measured | None = None) -> Trial | None:
    """What a reading would make of this wheel, in the build as it would then be."""
    line = reading_line(build, casting, kind)
    tried = seat or (casting.throw if kind == "throw" else casting.bore)
    if line is None or tried is None:
        return None
    return Trial(line, None if kind == "throw" else joint_band(build, casting))


def due_box(
    build: BuildView, axle: AxleView | None, casting: CastingView | None, key: str, *, refused: bool
) -> DueBox | None:
    """The reading asked for by its key, else the first that is due; None where nothing is.

    refused: the key is of a reading that was sent and not taken, which is shown even if it is due no more.
    """
    found: Sequence[Due] = ()
    if casting is not None:
        found = casting_due(build, casting)
    elif axle is not None:
        found = axle_due(build, axle)
    due = next((one for one in found if one.key == key), None)
    if due is None and refused:
        due = due_again(axle, casting, key)
    if due is None:
        due = next(iter(found), None)
    return None if due is None else box_of(build, due, tuple(one for one in found if one is not due))


def box_of(build: BuildView, due: Due, others: tuple[Due, ...] = ()) -> DueBox:
    """The form of one reading: where it goes, its boxes, and what is wanted of it."""
    action, version = _where_to(due)
    return DueBox(due, action, version, DUE_BOXES.get(due.kind, ()), _wanted(build, due), others)


def _where_to(due: Due) -> tuple[str, int]:
    if due.axle is not None:
        tail = f"seats/{due.side}" if due.kind == "seat" else "quartering"
        return f"/axles/{due.axle.id}/{tail}", due.axle.version
    assert due.casting is not None  # every reading is of an axle or of a casting
    tail = {"bore": "bores", "throw": "throws", "tread": "tread"}[due.kind]
    return f"/castings/{due.casting.id}/{tail}", due.casting.version


def _wanted(build: BuildView, due: Due) -> str:
    facts, unit = facts_of(build), build.unit
    if due.kind == "bore" and due.casting:
        return facts.joints.never_holds(due.casting) or facts.joints.bore_target(due.casting)
    if due.kind == "seat" and due.axle:
        target = facts.joints.seat_target(due.axle, due.side)
        return target or f"The drawing says {show(build.nm('seat'), unit)}."
    if due.kind == "throw":
        fellows = [one for one in build.castings if one.throw and one is not due.casting][:_FELLOWS]
        alike = ", ".join(f"{one.mark} {figure_in(one.throw.nm, unit)}" for one in fellows if one.throw)
        drawn = f"The drawing says {show(build.nm('throw'), unit)}"
        return f"{drawn}, and all alike: {alike}." if alike else f"{drawn}; that all are alike matters more."
    if due.kind == "tread" and due.casting:
        return f"To be {show(facts.treads.of(due.casting).target_nm, unit)}."
    return "In vee blocks on a plate: the axle and both pins."
