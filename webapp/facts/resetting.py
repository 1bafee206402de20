"""Which axle is set again, and by how much: asked here by every sheet, so that all say the same figure.

Where every angle is measured and the rods can be judged, their plan is the answer, for the rods are what the quartering is
for. Until then it is what brings the axles into agreement with each other.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import TYPE_CHECKING

from domain.cranks.cylinders import Side
from domain.cranks.quartering import QuarteringError
from domain.cranks.quartering_set import AxleAngle, AxleSet, AxleTurn, axle_turn, compare_axles
from domain.cranks.throws import odd_from
from domain.cranks.words import agree_words, order_words
from domain.measuring.decision_types import Conformity
from domain.rods.judging import RodsVerdict
from domain.rods.lack import RodsAnswer
from domain.rods.remedies import Job, Proposal
from domain.rods.words import plan_title, proposal_words, throws_words, turn_of
from webapp.facts.quartering import cranks_of, loose_sides, throw_of
from webapp.facts.rods import coupled_of
from webapp.facts.work_figures import work_figures
from webapp.records.views import SIDES, AxleView

if TYPE_CHECKING:
    from webapp.facts.facts import Facts


class Resetting:
    """Which axles of an engine are set again, each by how much, and in which words."""

    def __init__(self, facts: Facts) -> None:
        self._facts = facts
        self._build = facts.build
        self._axles = coupled_of(facts.build)

    @cached_property
    def compared(self) -> AxleSet | None:
        """The axles that have an angle beside each other; None where they cannot be compared, as `trouble` says."""
        return self._compared[0]

    @property
    def trouble(self) -> str:
        """Why the axles that have an angle cannot be compared; empty where they can."""
        return self._compared[1]

    @cached_property
    def _compared(self) -> tuple[AxleSet | None, str]:
        build = self._build
        sheets = [(axle.number, self._facts.quartering.of(axle).sheet) for axle in self._axles]
        angles = [
            AxleAngle(number, sheet.quarter.angle_deg, sheet.quarter.expanded_deg)
            for number, sheet in sheets
            if sheet is not None
        ]
        lead = Side(build.lead)
        other = Side.LEFT if lead is Side.RIGHT else Side.RIGHT
        wanted, within = cranks_of(build).ahead_deg(lead, other), work_figures(build).number("quarter_within")
        try:
            return compare_axles(angles, wanted, lead, build.crank_nm("throw"), within), ""
        except QuarteringError as error:
            return None, str(error)

    @cached_property
    def _verdict(self) -> RodsVerdict | None:
        """The rods' verdict, where it goes by the angles as measured and by no drawing's."""
        if any(self._facts.quartering.of(axle).sheet is None for axle in self._axles):
            return None
        return self._facts.rods.verdict

    @property
    def rods_go(self) -> bool:
        """Whether the rods go round as the axles stand."""
        return self._verdict is not None and self._verdict.answer is RodsAnswer.GOES

    @cached_property
    def steps(self) -> tuple[Proposal, ...]:
        """What frees the rods, one after another. Where the throws alone bind them a job on anything else is no cure."""
        verdict = self._verdict
        return () if verdict is None or (self.throws and only_throws(verdict)) else verdict.plan

    @cached_property
    def turns(self) -> tuple[AxleTurn, ...]:
        """The axles to set again, in the order to do it."""
        if self._verdict is None:
            if self.compared is None:
                return tuple(self._alone())
            of = {axle.number: axle for axle in self._axles}
            return tuple(self._turn(of[number], turn_deg) for number, turn_deg in self.compared.to_set)
        engine = self._facts.rods.coupled.engine
        assert engine is not None  # it was judged
        return tuple(
            turn_of(engine, one.correction, self.side(self._axles[one.correction.place - 1]))
            for one in self.steps
            if one.correction.job is Job.SET_AXLE
        )

    def _alone(self) -> Iterator[AxleTurn]:
        """With no fellow to agree with, an axle is set to the drawing's angle."""
        for axle in self._axles:
            sheet = self._facts.quartering.of(axle).sheet
            if sheet is None or not sheet.quarter.lead_right:
                continue
            if sheet.quarter.answer is Conformity.OUTSIDE:
                yield self._turn(axle, -sheet.quarter.departure_deg)

    def of(self, axle: AxleView) -> AxleTurn | None:
        """How this axle is set again; None where another one is, or none."""
        return next((turn for turn in self.turns if turn.axle == axle.number), None)

    @property
    def title(self) -> str:
        """What the orders are together, before more than one of them; empty where there is at most one."""
        if len(self.orders) < 2:
            return ""
        if self._verdict is not None:
            return plan_title(self.steps)
        return agree_words(self.compared) if self.compared else ""

    @cached_property
    def orders(self) -> tuple[str, ...]:
        """What to do, in sentences: the one way it is said."""
        if self._verdict is not None:
            return tuple(self.order(one) for one in self.steps)
        found, unit = self.compared, self._build.unit
        after = f" {agree_words(found)}" if found and len(found.to_set) == 1 else ""
        said = (order_words(turn, unit) for turn in self.turns)
        return tuple(f"{words[0].upper()}{words[1:]}.{after}" for words in said)

    @property
    def instead(self) -> str:
        """What is said of the axles that do not agree where none is to be set again; empty where one is, or they do."""
        if self.orders or self.compared is None or self.compared.answer is Conformity.INSIDE:
            return ""
        if self.rods_go:
            return "The rods go round as the axles stand: none needs to be set again."
        return self.throws or (agree_words(self.compared) if self._verdict is None else "")

    def order(self, one: Proposal) -> str:
        """A correction of the rods' sheet in a sentence, what comes of it with it."""
        engine = self._facts.rods.coupled.engine
        assert engine is not None  # what is proposed was judged
        return proposal_words(engine, one, self._build.unit, self.side(self._axles[one.correction.place - 1]))

    def side(self, axle: AxleView) -> Side:
        """The wheel that is turned: the right one, but where only the left is loose."""
        loose = loose_sides(axle)
        return Side.RIGHT if "right" in loose else Side(loose[0])

    def _turn(self, axle: AxleView, turn_deg: float) -> AxleTurn:
        build, side = self._build, self.side(axle)
        return axle_turn(axle.number, turn_deg, throw_of(build, axle, side.value).nm, side, Side(build.lead))

    @cached_property
    def throws(self) -> str:
        """Which wheels' throws cause most of what the rods lack; empty where they do not, or a job cures it."""
        verdict = self._facts.rods.verdict
        if verdict is None or verdict.answer is RodsAnswer.GOES or verdict.cured:
            return ""
        if not any(one.throws.most for one in verdict.pairs):
            return ""
        # With the worst pair's cause known, wheels that alone would bind another pair are named in the same breath.
        pairs = [one for one in verdict.pairs if one.throws.most or one.throws.only]
        axle = {one.number: one for one in self._axles}
        joined = [(axle[pair.first].at(side), axle[pair.second].at(side)) for pair in pairs for side in SIDES]
        differ = [
            (one, two, abs(one.throw.mean_nm - two.throw.mean_nm))
            for one, two in joined
            if one and two and one.throw and two.throw and one.throw.mean_nm != two.throw.mean_nm
        ]
        if not differ:
            return ""
        marks = frozenset(wheel.mark for one, two, _ in differ for wheel in (one, two))
        odd = self._facts.throws.odd(marks, odd_from(max(nm for _, _, nm in differ)))
        return throws_words(odd, only_throws(verdict))


def only_throws(verdict: RodsVerdict) -> bool:
    """Whether no setting and no boring frees the rods, for the throws of a pair alone bind it."""
    return not verdict.cured and any(one.throws.most and one.throws.only for one in verdict.pairs)
