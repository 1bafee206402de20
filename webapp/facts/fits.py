"""What fit a casting's logged bore makes on its seat: the build's figures handed to the domain."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache, partial

from domain.joints.fit import Answer, FitVerdict, judge_fit
from domain.measuring.readings import ReadingSummary, summarise
from domain.route.guards import Wheel
from domain.route.stages import Stage
from webapp.facts.measuring import fit_decision
from webapp.facts.metal_sizes import size_troubles_of
from webapp.facts.plugged import judge_plugged
from webapp.facts.seats import joint_of, other_seats, seat_of, seat_words
from webapp.facts.targets import throw_verdict
from webapp.records.views import BuildView, CastingView, Measured

__all__ = ["FitView", "fit_view", "joint_of", "judge", "other_seats", "seat_words", "wheel_facts"]

# The same bore on the same seat is asked about for every page that shows it, and by every guard.
judge = lru_cache(maxsize=1024)(judge_fit)


@dataclass(frozen=True, slots=True)
class FitView:
    """A bore on a seat, and the domain's answer; a bore known by plugs has no readings to sum up."""

    seat_nm: int
    seat_measured: bool
    seat_words: str
    summary: ReadingSummary | None
    verdict: FitVerdict


def fit_view(build: BuildView, casting: CastingView) -> FitView | None:
    """The fit of a casting's standing bore on its seat; a spare is judged against the drawing's seat."""
    bore = casting.bore
    if bore is None:
        return None
    axle, seat = build.axle(casting.axle_id), seat_of(build, casting)
    words = seat_words(axle, casting.side) if axle is not None and casting.side else "no place yet"
    seat_nm = seat.mean_nm if seat else build.nm("seat")
    summary = None if bore.by_plug else summarise([reading.nm for reading in bore.readings])
    verdict = _verdict(build, casting, bore, seat_nm, summary)
    return FitView(seat_nm, seat is not None, words, summary, verdict)


def _verdict(
    build: BuildView, casting: CastingView, bore: Measured, seat_nm: int, summary: ReadingSummary | None
) -> FitVerdict:
    joint, others = joint_of(build), other_seats(build, casting)
    if summary is not None:
        return judge(
            joint,
            bore_nm=bore.mean_nm,
            seat_nm=seat_nm,
            unit=build.unit,
            other_seats=others,
            spread_nm=summary.spread_nm,
        )
    on_seat = partial(judge, joint, seat_nm=seat_nm, unit=build.unit, other_seats=others)
    # A drawing changed since may leave the largest size beyond its boss, which no fit can be judged at.
    low, high = (nm if nm and nm < joint.boss_diameter_nm else None for nm in (bore.low_nm, bore.high_nm))
    return judge_plugged(lambda nm: on_seat(bore_nm=nm), joint, low, high, build.unit)


def wheel_facts(build: BuildView, casting: CastingView) -> Wheel:
    """What the guards ask about a wheel."""
    return Wheel(
        mark=casting.mark,
        ticked=casting.ticked,
        placed=casting.axle_id is not None,
        bore_logged=casting.bore is not None,
        throw_logged=casting.throw is not None,
        fit_trouble=_fit_trouble(build, casting),
        throw_trouble=_throw_trouble(build, casting),
        size_troubles=size_troubles_of(build, casting),
    )


def _throw_trouble(build: BuildView, casting: CastingView) -> str:
    throw = throw_verdict(build, casting)
    return throw.headline if throw is not None and throw.answer is Answer.NOT else ""


def _fit_trouble(build: BuildView, casting: CastingView) -> str:
    """Why a wheel not yet on its axle wants a second thought: its fit does not serve, or cannot be told."""
    fit = fit_view(build, casting) if not casting.has(Stage.PRESSED) else None
    if fit is None:
        return ""
    if fit.verdict.answer is Answer.NOT:
        return f"does not serve. {fit.verdict.headline}."
    decision = fit_decision(build, casting)
    if decision is None or not decision.open:
        return ""
    first = decision.words.split(". ")[0].removesuffix(".")
    return f"is in doubt. {first}. {decision.settling}".strip()
