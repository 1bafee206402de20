"""Each wheel's crankpin as far as it is measured: its fit and its bending by the one judge, and how square it stands."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from domain.answer import Answer, worst
from domain.cranks.squareness import PinLean, judge_lean
from domain.cranks.words import lean_words
from domain.joints.crankpin import PinFinding, judge_pin
from domain.joints.kinds import FitError
from domain.joints.words import held_headline
from domain.route.stages import CRANKPIN_IN, Pins, Step
from webapp.facts.joint_terms import figures_of, pin_case
from webapp.records.views import AxleView, BuildView, CastingView, Stamp

_DIAL = ("pin_near", "pin_far", "pin_over")
# What its tick asks for. The dial's three are logged together or not at all.
_MEASURED = {"pin_hole": "hole", "pin_seat": "pin", "pin_over": "how square it stands"}


@dataclass(frozen=True, slots=True)
class PinState:
    """A wheel's crankpin; finding and lean are None while what they hang on is not measured, or cannot be judged.

    words: its line; fit_words, lean_words: the two it is made of; trouble: why the figures of the joints let nothing be
    judged.
    """

    casting: CastingView
    finding: PinFinding | None
    lean: PinLean | None
    words: str
    trouble: str = ""
    fit_words: str = ""
    lean_words: str = ""

    @property
    def in_wheel(self) -> Stamp | None:
        """Who put it in and when; None while it is not ticked in."""
        return self.casting.ticks.get(CRANKPIN_IN)

    @property
    def doubts(self) -> Iterator[str]:
        """What is asked before it is ticked in: what is no good or not shown to be good, and what nobody measured."""
        of = f"crankpin of {self.casting.mark}"
        missing = [words for key, words in _MEASURED.items() if key not in self.casting.sizes]
        if missing:
            yield f"Not measured of the {of}: {', '.join(missing)}."
        if self.trouble:
            yield f"The fit of the {of} cannot be judged: {self.trouble}"
        if self.finding is not None and self.finding.answer is not Answer.SERVES:
            yield f"The {of}: {self.fit_words}."
        if self.lean is not None and self.lean.answer is not Answer.SERVES:
            yield f"The {of}: {self.lean_words}."

    @property
    def answer(self) -> Answer | None:
        """The worse of the two; None while neither is known."""
        found = [one.answer for one in (self.finding, self.lean) if one is not None]
        return worst(*found) if found else None

    @property
    def exact(self) -> bool:
        """Whether hole or pin was measured without an instrument."""
        return any(
            self.casting.sizes[key].expanded_nm is None
            for key in ("pin_hole", "pin_seat")
            if key in self.casting.sizes
        )


def pin_of(build: BuildView, casting: CastingView) -> PinState:
    """A wheel's crankpin by its own hole and pin; of what is not measured the drawing's stands in for one of the two."""
    lean, finding, trouble = _lean(build, casting), None, ""
    try:
        finding = _finding(build.of(casting), casting)
    except (FitError, ValueError) as error:
        trouble = str(error)
    fit_words, lean_said = "", "" if lean is None else lean_words(lean, build.unit)
    if finding is not None:
        by = " by placeholder figures" if finding.case.invented else ""
        lacking = [
            words for key, words in (("pin_hole", "hole"), ("pin_seat", "pin")) if key not in casting.sizes
        ]
        taken = f", the {lacking[0]} not measured" if lacking else ""
        fit_words = f"{finding.answer.words}{by}{taken}: {held_headline(finding.held, build.unit)}"
    words = "; ".join(filter(None, (fit_words, lean_said))) or (
        "cannot be judged" if trouble else "not measured"
    )
    return PinState(casting, finding, lean, f"{casting.mark}: {words}", trouble, fit_words, lean_said)


def pins_out(build: BuildView, axle: AxleView) -> tuple[CastingView, ...]:
    """The wheels of an axle to be quartered whose crankpins are not ticked in, where they go in before that."""
    order = build.order(axle.coupled)
    if axle.quartered is not None or not order.coupled or order.pins is not Pins.BEFORE:
        return ()
    return tuple(wheel for wheel in axle.wheels if CRANKPIN_IN not in wheel.ticks)


def pins_missing(build: BuildView, axle: AxleView, but: CastingView | None = None) -> str:
    """What is asked as an axle is quartered whose crankpins are not in, and said before, wherever its heights are asked
    for or logged; empty where all are, and of `but` it is asked elsewhere."""
    marks = [wheel.mark for wheel in pins_out(build, axle) if wheel is not but]
    if not marks:
        return ""
    if len(marks) == 1:
        return f"The crankpin of {marks[0]} is not ticked in, and its height is read over it."
    return f"The crankpins of {' and '.join(marks)} are not ticked in, and their heights are read over them."


@dataclass(frozen=True, slots=True)
class PinsFirst:
    """That crankpins are not in over which heights are read: the line, and each wheel with where its pin is ticked in."""

    words: str
    places: tuple[tuple[str, str], ...]


def pins_first(build: BuildView, axle: AxleView) -> PinsFirst | None:
    """The same for a sheet of the axle's heights; None where no pin is wanted first."""
    out = pins_out(build, axle)
    if not out:
        return None
    places = tuple((wheel.mark, ticked_at(build, wheel, CRANKPIN_IN)) for wheel in out)
    return PinsFirst(pins_missing(build, axle), places)


def ticked_at(build: BuildView, casting: CastingView, key: str) -> str:
    """Where its hole or its pin is ticked: on the sheet of its axle, or on its own where it is a spare."""
    step = build.order_of(casting).tickable(key)
    stage = step.stage.value if isinstance(step, Step) else ""
    sheet = f"/axles/{casting.axle_id}" if casting.axle_id else f"/castings/{casting.id}"
    return f"{sheet}?steps={stage}#row-{stage}"


def measured_at(casting: CastingView) -> str:
    """Where what its pin's tick asks for is measured: its hole, the pin, and how square it stands."""
    own = f"pin-{casting.id}"
    return f"/builds/{casting.build_id}/crankpins?pattern={casting.pattern_id}&open={own}#fold-{own}"


def _finding(build: BuildView, casting: CastingView) -> PinFinding | None:
    hole, seat = (casting.sizes.get(key) for key in ("pin_hole", "pin_seat"))
    if hole is None and seat is None:
        return None
    u = math.ceil(math.hypot(*(one.expanded_nm or 0 for one in (hole, seat) if one is not None)))
    case = pin_case(
        build, figures_of(build), hole.nm if hole else None, seat.nm if seat else None, uncertainty_nm=u
    )
    return judge_pin(case)


def _lean(build: BuildView, casting: CastingView) -> PinLean | None:
    near, far, over = (casting.sizes.get(key) for key in _DIAL)
    if near is None or far is None or over is None:
        return None
    return judge_lean(near.nm, far.nm, over.nm, far.expanded_nm or 0, build.unit)
