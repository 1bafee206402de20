"""A wheel on its seat as the sheet of fits shows it: what fit it makes, what it holds, and what to doubt."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from domain.length import show
from domain.working import Working
from webapp.queries.fits import FitView, fit_view, joint_of
from webapp.queries.holding import Holding, holding_of
from webapp.queries.measured_views import MeasuredView, measured_view
from webapp.queries.measuring import FitDecision, budget_of, fit_decision
from webapp.queries.views import BuildView, CastingView
from webapp.queries.ways_out import ways_out


@dataclass(frozen=True, slots=True)
class SeatedWheel:
    """A wheel on a seat, as it is or as it would be; each doubt says what would settle it."""

    casting: CastingView
    fit: FitView | None
    holding: Holding | None
    decision: FitDecision | None
    bore: MeasuredView | None
    doubts: tuple[str, ...]
    ways: tuple[str, ...]

    @property
    def gap_word(self) -> str:
        """Whether bore less seat is a gap or an interference."""
        return "gap" if self.fit is None or self.fit.verdict.clearance_nm >= 0 else "interference"

    @property
    def gap_nm(self) -> int:
        """The gap or the interference, without its sign."""
        return 0 if self.fit is None else abs(self.fit.verdict.clearance_nm)

    @property
    def must_words(self) -> str:
        """What the joint must carry, in short; empty when that cannot be worked out."""
        demand = None if self.holding is None else self.holding.demand
        return "" if demand is None else f"{demand.torque_nm:.1f} N m"

    @property
    def workings(self) -> Iterator[Working]:
        """Every working behind what is said of it."""
        if self.bore is not None:
            yield from self.bore.workings
        if self.fit is not None:
            yield from self.fit.verdict.workings
        if self.decision is not None and self.decision.decision is not None:
            yield self.decision.decision.working
        if self.holding is not None:
            yield from self.holding.workings


def seated(build: BuildView, casting: CastingView) -> SeatedWheel:
    """A casting where it is in this build."""
    fit, decision = fit_view(build, casting), fit_decision(build, casting)
    return SeatedWheel(
        casting=casting,
        fit=fit,
        holding=holding_of(build, casting),
        decision=decision,
        bore=measured_view(build, casting.bore) if casting.bore else None,
        doubts=tuple(_doubts(build, casting, fit, decision)),
        ways=ways_out(build, casting, fit) if fit else (),
    )


def _doubts(
    build: BuildView, casting: CastingView, fit: FitView | None, decision: FitDecision | None
) -> Iterator[str]:
    if fit is None or casting.bore is None:
        return
    if fit.seat_measured:
        if decision is not None and not decision.trusted:
            yield f"{decision.words} {decision.settling}".strip()
    # Seats of the drawing are told apart from all this, and a spare has none: the bore stands for itself.
    elif not casting.bore.by_plug and budget_of(build, casting.bore) is None:
        yield (
            "It is not known how sure the bore is."
            " Log it again and choose what it was measured with from the workshop's list."
        )
    joint = joint_of(build)
    if fit.summary is not None and fit.summary.spread_nm > joint.most_nm - joint.least_nm:
        yield (
            f"The readings of the bore differ by {show(fit.summary.spread_nm, build.unit)}, more than the wanted"
            " range is wide. Measure again front, middle and back: if they still differ, it is tapered or out of round."
        )
