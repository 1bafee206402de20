"""The bore a build is reamed to: which reamer, the drill before it and its speed, for every sheet that asks."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

from domain.cutting.operations import PresentSize
from domain.cutting.reaming import (
    DrillChoice,
    ReamerChoice,
    ReamingSpeed,
    choose,
    drill_below,
    reaming_speed,
)
from domain.cutting.speeds import CutKind, CuttingError, Factors, Tool, Tools, cutting_speed, usual_factors
from domain.cutting.spindle import rpm_from_feet
from domain.joints.kinds import FitKind
from domain.joints.terms import Joint
from domain.repeating.settings import Setting
from webapp.facts.work_figures import work_figures
from webapp.records.views import SIDES, BuildView, CastingView
from webapp.records.workshop import USUAL_RESOLUTION_NM


def tools_of(build: BuildView, turning: Tool | None = None) -> Tools:
    """What the edges of this build's shop are made of; another turning tool may be tried."""
    figures = work_figures(build)
    reamer = figures.chosen("reamer_tool")
    by_hand = reamer == "hand"
    return Tools(
        turning or Tool(figures.chosen("tool")),
        Tool(figures.chosen("drill_tool")),
        Tool.HSS if by_hand else Tool(reamer),
        hand_reamers=by_hand,
    )


def factors_of(build: BuildView) -> tuple[Factors, str]:
    """The build's slowing factors; the usual ones, and why, where they cannot be worked with."""
    usual, figures = usual_factors(), work_figures(build)
    typed = {"interrupted", "chilled"} & figures.typed
    source = "as typed for this build; forming: common practice, no source" if typed else usual.source
    try:
        return Factors(figures.number("interrupted"), figures.number("chilled"), usual.form, source), ""
    except CuttingError as error:
        return usual, f"{error} Until then the usual ones are reckoned with."


def chill_seen(casting: CastingView | None) -> bool:
    """Whether chilled skin was seen on a casting as it came: every speed on it is slowed for that."""
    return casting is not None and casting.receipt is not None and casting.receipt.chill


@dataclass(frozen=True)
class Reaming:
    """The finished bore and how to come to it; `limits` may be nothing a bore can have.

    turned_nm: the seat of the one wheel it is of, where that is turned and measured; else it goes by the drawing's.
    chilled: whether it is of a wheel with a chilled skin, and every speed slowed for it.
    """

    build: BuildView
    wanted: Joint
    tools: Tools
    turned_nm: int | None = None
    chilled: bool = False

    @cached_property
    def limits(self) -> tuple[int, int]:
        """Least and most of the finished bore, nm: its seat and the gap, or less the interference."""
        seat, wanted = self.turned_nm or self.build.nm("seat"), self.wanted
        if wanted.kind is FitKind.BOND:
            return seat + wanted.least_nm, seat + wanted.most_nm
        return seat - wanted.most_nm, seat - wanted.least_nm

    @property
    def possible(self) -> bool:
        """Whether there is a bore to work to."""
        return self.limits[0] > 0

    @cached_property
    def seats_left(self) -> int:
        """How many seats are not logged, so that they may still be turned to suit."""
        return sum(side not in axle.seats for axle in self.build.axles for side in SIDES)

    @property
    def to_suit(self) -> Joint | None:
        """The joint by which a seat may be made to suit a reamed hole; None where it, or every seat, is turned."""
        return self.wanted if self.turned_nm is None and self.seats_left else None

    @cached_property
    def resolution_nm(self) -> int:
        """Of bores taken with unlike instruments the coarsest counts: nothing is expected more closely than was seen."""
        return max((view.resolution_nm for view in self.build.reamers), default=USUAL_RESOLUTION_NM)

    def for_wheel(self, casting: CastingView) -> Reaming:
        """The same for one wheel: by its own seat, once that is measured, and slowed where its skin is chilled."""
        axle = self.build.axle(casting.axle_id)
        seat = axle.seats.get(casting.side or "") if axle else None
        known = seat is not None and not seat.by_plug
        if not known and not chill_seen(casting):
            return self
        turned = seat.mean_nm if seat is not None and known else self.turned_nm
        return replace(self, turned_nm=turned, chilled=chill_seen(casting))

    @cached_property
    def choice(self) -> ReamerChoice:
        """Which reamer, or the boring bar; ask only where it is possible."""
        owned = [view.reamer for view in self.build.reamers]
        return choose(owned, *self.limits, self.build.unit, self.resolution_nm, self.to_suit)

    @cached_property
    def size(self) -> PresentSize:
        """The reamer's marked size; of one that is not owned, the middle of what is wanted."""
        if self.possible and self.choice.reamer is not None:
            return PresentSize(
                self.choice.reamer.nominal_nm, "the reamer on the workshop's list for this bore"
            )
        return self.middle if self.possible else PresentSize(self.build.nm("bore"), "the bore by the drawing")

    @property
    def middle(self) -> PresentSize:
        """What a boring bar works to; ask only where it is possible."""
        return PresentSize(sum(self.limits) // 2, "the middle of the bore wanted", sure=False)

    @cached_property
    def drill(self) -> DrillChoice:
        """The drill before that reamer, and what it leaves; CuttingError outside the chart."""
        owned = [view.drill for view in self.build.drills]
        return drill_below(self.size.nm, owned, self.build.unit, by_hand=self.tools.hand_reamers)

    @cached_property
    def drill_nm(self) -> int | None:
        """The size of that drill; None where there is none."""
        try:
            found = self.drill.drill
        except CuttingError:
            return None  # a bore outside the chart: no stock for the reamer is known, so no drill either
        return found.nominal_nm if found else None

    @property
    def drill_rpm(self) -> int:
        """The most for the drill, cut off: an advised speed is a ceiling."""
        feet = cutting_speed(self.tools.drill, CutKind.DRILL, self.build.iron).feet_a_minute
        return self._most_rpm(rpm_from_feet(feet, self.drill_nm or self.size.nm))

    @property
    def speed(self) -> ReamingSpeed | None:
        """How fast to turn the reamer; None for one turned by a wrench."""
        if self.tools.hand_reamers:
            return None
        return reaming_speed(self.size.nm, self.build.iron, self.build.unit, self.tools.reamer)

    @property
    def bar_rpm(self) -> int:
        """The most for a boring bar in this bore, cut off."""
        feet = cutting_speed(self.tools.of(CutKind.BORE), CutKind.BORE, self.build.iron).feet_a_minute
        return self._most_rpm(rpm_from_feet(feet, self.middle.nm))

    @property
    def ream_rpm(self) -> int | None:
        """The most for the reamer, cut off; None for one turned by a wrench."""
        return None if self.speed is None else self._most_rpm(self.speed.ream_rpm)

    def _most_rpm(self, rpm: float) -> int:
        return math.floor(rpm * (factors_of(self.build)[0].chilled if self.chilled else 1))

    @property
    def to_set(self) -> dict[Setting, str]:
        """Reamer and spindle speed as they would be typed; nothing where the bore is bored with a bar."""
        if not self.possible or self.choice.reamer is None:
            return {}
        texts = {Setting.REAMER: self.choice.reamer.name}
        try:
            rpm = self.ream_rpm
        except CuttingError:
            return texts  # outside the chart, as the sheet of reaming says where the speed would stand
        return texts if rpm is None else {Setting.SPINDLE: f"{rpm} rpm"} | texts
