"""The one answer for a wheel: the worse of its fit, of how surely that is measured, and of what it holds."""

from __future__ import annotations

from dataclasses import dataclass

from domain.joints.fit import Answer
from webapp.facts.fits import FitView, fit_view
from webapp.facts.holding import Holding, holding_of
from webapp.facts.measuring import FitDecision, fit_decision
from webapp.records.views import BuildView, CastingView


@dataclass(frozen=True, slots=True)
class Overall:
    """What a wheel comes to, in a word or two for a line and in a sentence or two.

    cannot_tell: nothing is known to be wrong, but the measurements leave it open.
    """

    answer: Answer
    word: str
    reason: str
    cannot_tell: bool
    # What the panel begins with before the fit's own words; empty where those say it all.
    opening: str = ""


def overall(build: BuildView, casting: CastingView) -> Overall | None:
    """The one answer for a casting with a logged bore; None without one."""
    fit = fit_view(build, casting)
    if fit is None:
        return None
    return overall_of(fit, fit_decision(build, casting), holding_of(build, casting))


def overall_of(fit: FitView, decision: FitDecision | None, holding: Holding | None) -> Overall:
    """The worst of the three, in the order the bench needs it: the fit, what it holds, what is not known."""
    verdict = fit.verdict
    if verdict.answer is Answer.NOT:
        return Overall(Answer.NOT, verdict.answer.words, f"{verdict.headline}.", cannot_tell=False)
    if holding is not None and holding.answer is Answer.NOT:
        return Overall(Answer.NOT, holding.word, holding.reason, False, f"Fits, but {holding.word}")
    if decision is not None and decision.open:
        reason = f"{decision.words} {decision.settling}".strip()
        return Overall(Answer.CAUTION, "cannot tell yet", reason, True, "Cannot tell yet")
    if holding is not None and holding.cannot_tell:
        return Overall(Answer.CAUTION, "cannot tell yet", holding.reason, True, "Cannot tell yet")
    if verdict.answer is Answer.CAUTION:
        return Overall(Answer.CAUTION, verdict.answer.words, f"{verdict.headline}.", cannot_tell=False)
    if holding is not None and holding.answer is Answer.CAUTION:
        return Overall(
            Answer.CAUTION, holding.answer.words, f"{holding.headline}.", False, "Serves with care"
        )
    return Overall(Answer.SERVES, verdict.answer.words, f"{verdict.headline}.", cannot_tell=False)
