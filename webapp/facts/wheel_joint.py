"""The joint of a wheel as every sheet shows it: the one finding, in words and figures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from domain.answer import Answer
from domain.joints import words
from domain.joints.cure import CureTimes, cold_words
from domain.joints.demand import SeatDemand, Turned
from domain.joints.held import Bonded, Forced
from domain.joints.judge import Carried, Finding
from domain.joints.remedies import remedies_for
from domain.joints.workings import held_workings, size_workings
from domain.lengths import Unit
from domain.lengths.loads import show_force, show_torque
from domain.working import Working
from webapp.facts.cure import hold_words
from webapp.facts.joint_terms import thrust_n
from webapp.records.views import BuildView, CastingView
from webapp.typed.fields import Figures

_GRAVITY = 9.80665


@dataclass(frozen=True)
class Holding:
    """What a joint holds and what it must carry, in words; empty where nothing can be worked out."""

    answer: Answer
    headline: str
    reason: str
    capacity_words: str = "Nothing is claimed to hold."
    # The same with each figure kept on one line with its unit.
    unbroken_words: str = "Nothing is claimed to hold."
    demand_words: str = ""
    demand_figure: str = ""
    factor_words: str = ""
    cautions: tuple[str, ...] = ()
    workings: tuple[Working, ...] = ()
    size_words: str = ""
    making: tuple[str, ...] = ()
    factor_figure: str = ""
    demand: SeatDemand | None = None


def _said(of: Callable[[Finding], str]) -> property:
    return property(lambda self: of(self.finding))


@dataclass(frozen=True)
class WheelJoint:
    """A wheel on a seat: what is found of it. figures: the joints', or the sentence why they do not hold together."""

    build: BuildView
    casting: CastingView
    finding: Finding
    seat_words: str
    figures: Figures | str

    @property
    def answer(self) -> Answer:
        """The one answer."""
        return self.finding.answer

    @property
    def cannot_tell(self) -> bool:
        """Whether nothing is known to be wrong, but what was measured leaves it open."""
        return self.answer is Answer.CANNOT_TELL

    # The one answer in a word or two, what opens the panel with it, and its reason; the fit as read, and its reason;
    # what the measurements show; and why pressing it on wants a second thought. Empty where there is nothing to say.
    word, opening, why = _said(words.word), _said(words.opening), _said(words.why)
    headline, reason = _said(words.headline), _said(words.reason)
    shown, doubt = _said(words.shown), _said(words.doubt)

    @property
    def doubt_told(self) -> str:
        """The doubt in a sentence of its own, as a tick asks it."""
        return f"The logged bore of {self.casting.mark} {self.doubt}"

    @property
    def seat_nm(self) -> int:
        """The seat it is judged on."""
        return self.finding.case.seat.nm

    @property
    def seat_measured(self) -> bool:
        """Whether that seat is measured, and not only drawn."""
        return self.finding.case.seat.measured

    @property
    def readings(self) -> int:
        """How many readings the bore's mean is of; none where it is known by plugs."""
        bore = self.casting.bore
        return 0 if bore is None or bore.by_plug else len(bore.readings)

    @property
    def spread_nm(self) -> int:
        """Most less least of the bore's readings."""
        return self.finding.case.bore.spread_nm

    @cached_property
    def cautions(self) -> tuple[str, ...]:
        """What to watch for with the fit."""
        fit, unit = self.finding.fit, self.build.unit
        cuts = any(remedy.cuts for remedy in remedies_for(fit, unit))
        return tuple(words.fit_cautions(fit, unit, self.spread_nm, cuts))

    @cached_property
    def workings(self) -> tuple[Working, ...]:
        """The sums behind the fit, and behind how surely it is known."""
        decision = self.finding.decision
        return (*size_workings(self.finding), *((decision.working,) if decision else ()))

    def hold_words(self, now: datetime | None = None) -> str:
        """What a bonded wheel must still wait for."""
        return hold_words(self.build, self.casting, self.finding, now) if self.finding.carried else ""

    @property
    def holds_words(self) -> str:
        """What it holds in a word or two: what is wrong with that, unless the whole is worse or better than that."""
        if self.answer is not self.holding.answer:
            return words.word(self.finding)
        said = f", {words.held_word(self.finding)}" if self.answer is Answer.NOT else ""
        return f"{self.answer.words}{said}"

    @cached_property
    def holding(self) -> Holding:
        """What it holds against what it must carry."""
        found = self.finding
        answer = found.held_kind.answer
        said = words.holding_headline(found), words.holding_reason(found)
        if found.carried is None or isinstance(self.figures, str):
            put_right = "Put the figures right under “What the joints must carry”."
            return Holding(answer, *said, cautions=(put_right,) if answer is Answer.NOT else ())
        return self._carried(found.carried, answer, said, self.figures)

    def _carried(self, one: Carried, answer: Answer, said: tuple[str, str], figures: Figures) -> Holding:
        unit, demand = self.build.unit, one.load.demand
        how = "at the sizes measured" if one.held.kind.answer is Answer.CANNOT_TELL else "at least"
        sums = (*held_workings(one.held, unit), *_load_workings(figures), *demand.workings)
        return Holding(
            answer,
            *said,
            capacity_words=_capacity(one.held, how, unit),
            unbroken_words=_capacity(one.held, how, unit, "\u00a0"),
            demand_words=words.asked(demand, unit),
            demand_figure=show_torque(demand.torque_nm, unit),
            factor_words=one.at_worst.words,
            cautions=tuple(dict.fromkeys(self._cautions(one, figures))),
            workings=(*sums, one.at_worst.working),
            size_words=words.sizes_words(self.finding, one.held),
            making=words.making(one.held, unit),
            factor_figure=one.at_worst.figure,
            demand=demand,
        )

    def _cautions(self, one: Carried, figures: Figures) -> list[str]:
        said = []
        if one.load.invented:
            said.append(
                f"Placeholders, not your engine's figures: {', '.join(one.load.invented)}. Type your own under “What the"
                " joints must carry” before you rely on the factor."
            )
        case, coupled = self.finding.case, sum(axle.coupled for axle in self.build.whole.axles)
        if one.load.demand.turned is Turned.DRIVEN and figures.values["driven_axle"] is None and coupled > 1:
            said.append(
                "Which axle is driven is not said: every coupled axle is asked for all of the pistons' torque."
            )
        unknown = [
            name for name, size in (("bore", case.bore), ("seat", case.seat)) if size.expanded_nm is None
        ]
        if not case.seat.measured:
            said.append("The seat is the drawing's, not measured: measure it before you rely on this.")
        elif unknown:
            said.append(
                f"No uncertainty is known for the {' and the '.join(unknown)}, so none is allowed for."
            )
        cold = cold_words(figures.number("room"), CureTimes()) if "room" in figures.typed else None
        if self.build.fit == "bond" and cold:
            said.append(cold)
        return [*said, *words.held_cautions(one.held, self.build.unit)]


def _capacity(held: Forced | Bonded, how: str, unit: Unit, blank: str = " ") -> str:
    turning, push = show_torque(held.counted_nm, unit), show_force(held.counted_n, unit)
    return f"{turning.replace(' ', blank)} of turning and {push.replace(' ', blank)} of push, {how}"


def _load_workings(figures: Figures) -> tuple[Working, ...]:
    load = figures.number("load")
    return (
        Working(
            "load on the wheel",
            "half the load on its axle",
            f"{load:.1f} N ({load / _GRAVITY:.1f} kgf) / 2",
            f"{load / 2:.1f} N",
            figures.source("load"),
        ),
        Working(
            "push of the piston",
            "P = pressure x pi D^2 / 4",
            f"{figures.number('pressure'):.3f} MPa, D {figures.nm('piston') / 1_000_000:.3f} mm",
            f"{thrust_n(figures):.0f} N",
            f"pressure times area; pressure: {figures.source('pressure')}; piston: {figures.source('piston')}",
        ),
    )
