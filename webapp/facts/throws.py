"""The throws of a build as logged: judged once, for every sheet and guard that asks about them."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property

from domain.answer import Answer
from domain.cranks.cylinders import Side
from domain.cranks.throws import ALIKE_NM, NEAR_NM, SideThrows, Throw, ThrowsFinding, judge_throws
from domain.cranks.words import (
    alike_words,
    apart_words,
    near_words,
    side_working,
    throw_headline,
    throw_reason,
    throw_ways,
    throws_words,
    wheel_working,
)
from domain.lengths import Unit
from domain.route.stages import Stage
from domain.working import Working
from webapp.drawing.band import Band, band_of
from webapp.records.views import BuildView, CastingView


@dataclass(frozen=True, slots=True)
class ThrowVerdict:
    """What a wheel's throw is worth, as every sheet says it."""

    answer: Answer
    headline: str
    reason: str
    workings: tuple[Working, ...]
    # Beside the drawing; and how far the two that its side hangs on are apart, None while it is alone.
    drawing: Band
    side: Band | None
    # Up to where each of the two is good and from where on it is no good.
    near: str = ""
    alike: str = ""
    # What to do about it, by key and in words; none where it is good.
    ways: tuple[tuple[str, str], ...] = ()


class Throws:
    """What the throws of a build are worth."""

    def __init__(self, build: BuildView) -> None:
        self._build = build

    @cached_property
    def finding(self) -> ThrowsFinding:
        """Each throw against the drawing, and those of each side of the coupled axles together."""
        throws = [
            Throw(one.mark, one.throw.mean_nm, self._side(one), one.throw.expanded_nm or 0)
            for one in self._build.castings
            if one.throw is not None
        ]
        return judge_throws(throws, self._build.crank_nm("throw"))

    @property
    def words(self) -> str:
        """What they are worth together; empty while none is logged."""
        return throws_words(self.finding, self._build.unit)

    def of(self, casting: CastingView) -> ThrowVerdict | None:
        """A wheel's throw beside the drawing and the others of its side; None without one."""
        wheel, answer, unit = (
            self.finding.of(casting.mark),
            self.finding.answer_of(casting.mark),
            self._build.unit,
        )
        if wheel is None or answer is None:
            return None
        side = self.finding.at(wheel.throw.side)
        workings = [wheel_working(wheel, self.finding.drawing_nm, unit)]
        if side is not None and not side.alone:
            workings.insert(0, side_working(side, unit))
        drawn, throw = self.finding.drawing_nm, wheel.throw
        return ThrowVerdict(
            answer,
            throw_headline(wheel, side, unit),
            throw_reason(wheel, side, unit),
            tuple(workings),
            drawing=band_of(
                drawn - NEAR_NM,
                drawn + NEAR_NM,
                unit,
                f"The throw of {casting.mark} beside the drawing: {wheel.answer.words}",
                (throw.nm, throw.expanded_nm),
                wheel.answer.look,
            ),
            side=_apart(side, unit) if side is not None and not side.alone else None,
            near=near_words(unit),
            alike=alike_words(unit),
            ways=tuple(throw_ways(wheel, side, pressed=casting.has(Stage.PRESSED))),
        )

    def trouble(self, casting: CastingView) -> str:
        """Why a wheel's throw wants a second thought before its axle is quartered, or an empty text."""
        found = self.of(casting)
        return found.headline if found and found.answer in (Answer.NOT, Answer.CANNOT_TELL) else ""

    def odd(self, marks: Collection[str], least_nm: int) -> str:
        """How far the throws of a side lie apart in which some of these wheels stand out, and which, in words."""
        found = (
            (side, [one for one in side.odd(least_nm) if one.mark in marks]) for side in self.finding.sides
        )
        return "; ".join(apart_words(side, odd, self._build.unit) for side, odd in found if odd)

    @property
    def first(self) -> str:
        """What they are worth, and that it comes before the quartering; empty while those of each side are alike."""
        if not self.finding.unlike:
            return ""
        job = "breaking a bond" if self._build.fit == "bond" else "setting an axle again"
        return f"{self.words} See to that first: {job} does not mend it."

    def _side(self, casting: CastingView) -> Side | None:
        axle = self._build.axle(casting.axle_id)
        return Side(casting.side) if axle is not None and axle.coupled and casting.side else None


def _apart(side: SideThrows, unit: Unit) -> Band:
    said = f"The two {side.side} throws that lie furthest apart: {side.answer.words}"
    return band_of(0, ALIKE_NM, unit, said, (side.spread_nm, side.expanded_nm), side.answer.look)
