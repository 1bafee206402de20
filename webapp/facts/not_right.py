"""What is not right of a build as it is now: one line for each, and the sheet where it is mended.

Every judge is asked once, through the facts; what they find is said here and nowhere judged again.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from domain.answer import Answer
from domain.joints.words import amiss, small
from domain.measuring.set_table import SetAnswer, amiss_words
from domain.route.stages import Stage
from domain.stock import words as stock_words
from domain.stock.sizes import Face
from webapp.facts.facts import facts_of
from webapp.facts.lost import lost_sizes
from webapp.facts.set_made import PlacedRow
from webapp.facts.unfit import unfit, why_unfit
from webapp.records.views import AxleView, BuildView, CastingView

# What is measured of these again when the tread is turned, and judged then.
_JUDGED_TURNED = {Face.TREAD.measured, Face.RIM_BACK.measured}


@dataclass(frozen=True, slots=True)
class NotRight:
    """One thing that is not right, in a line, and where it is mended."""

    words: str
    address: str
    # The wheels it is of.
    marks: tuple[str, ...] = ()


def not_right(build: BuildView) -> tuple[NotRight, ...]:
    """All of it, wheel by wheel, then what is of axles, of a side and of the whole set."""
    of_wheels = (
        line
        for axle in build.axles
        for wheel in axle.wheels
        for line in (*_joint(build, axle, wheel), *_tyre(build, wheel), *_metal(build, wheel))
    )
    return (*of_wheels, *_sizes(build), *_rods(build))


def _joint(build: BuildView, axle: AxleView, wheel: CastingView) -> Iterator[NotRight]:
    joint = facts_of(build.of(wheel)).joints.spoilt(wheel)
    if joint is not None:
        words = amiss(joint.finding, wheel.mark, f"on axle {axle.number}")
        yield NotRight(words, f"/castings/{wheel.id}/bore", (wheel.mark,))


def _tyre(build: BuildView, wheel: CastingView) -> Iterator[NotRight]:
    tyres = facts_of(build.of(wheel)).tyres
    state = tyres.of(wheel) if tyres.there else None
    if state is not None and state.finding is not None and state.answer is Answer.NOT:
        yield NotRight(f"Tyre of {wheel.mark}: {small(state.words)}", state.address, (wheel.mark,))


def _metal(build: BuildView, wheel: CastingView) -> Iterator[NotRight]:
    if unfit(build, wheel):
        yield NotRight(f"{wheel.mark} {why_unfit(wheel)}", f"/castings/{wheel.id}/receiving", (wheel.mark,))
        return
    turned = wheel.has(Stage.TREAD_TURNED)
    lost = [one for one in lost_sizes(build, wheel) if not (turned and one.name in _JUDGED_TURNED)]
    if lost:
        words = f"{wheel.mark} is under size: {stock_words.lost(lost, build.unit)}"
        yield NotRight(words, f"/castings/{wheel.id}/metal", (wheel.mark,))


def _sizes(build: BuildView) -> Iterator[NotRight]:
    """What the set as made calls out, once the work is done that makes the size; of joints their own judge has spoken."""
    for made in facts_of(build).made.lines:
        one, line = made.placed, made.line
        if line.answer is SetAnswer.OUTSIDE and line.row.beyond and _made(one) and not one.said:
            marks = tuple(wheel.mark for wheel in one.wheels)
            words = one.amiss or amiss_words(line, build.unit)
            yield NotRight(words, one.address, marks)


def _made(one: PlacedRow) -> bool:
    return bool(one.wheels) and all(wheel.has(one.after) for wheel in one.wheels)


def _rods(build: BuildView) -> Iterator[NotRight]:
    line = facts_of(build).rods.line
    if line is not None and line.state == "not":
        yield NotRight(line.words, line.address)
