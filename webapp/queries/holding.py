"""What a wheel's joint holds against what it must carry: the build's figures handed to the domain."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache

from domain.cure import CureTimes, cold_words
from domain.demand import SeatDemand, seat_demand
from domain.fit import Answer, FitKind
from domain.safety import SafetyFactor, factor_of_safety
from domain.working import Working
from webapp.forms.joint_figures import JointFigures
from webapp.queries.cure import hold_words
from webapp.queries.joint_judging import Judged, Size, judge_pair, size_of
from webapp.queries.joint_terms import figures_of, sourced, thrust_n, wanted_of
from webapp.queries.views import AxleView, BuildView, CastingView

# The same joint is asked about for every page that shows it.
_demand = lru_cache(maxsize=256)(seat_demand)
_RANK = (Answer.SERVES, Answer.CAUTION, Answer.NOT)
_GRAVITY = 9.80665
_LOADS = ("load", "piston", "pressure")
_BY_SHEET = "the figures of the joints do not hold together"


@dataclass(frozen=True, slots=True)
class Holding:
    """What a joint holds, what it must carry, and what is held back until a bond has cured."""

    answer: Answer
    headline: str
    reason: str
    capacity_words: str
    demand_words: str
    factor_words: str
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]
    hold_words: str
    size_words: str = ""
    making: tuple[str, ...] = ()
    factor_figure: str = ""
    demand: SeatDemand | None = None


def holding_of(build: BuildView, casting: CastingView, now: datetime | None = None) -> Holding | None:
    """What a casting's joint holds; a spare is judged on the drawing's seat; None without a logged bore."""
    if casting.bore is None:
        return None
    try:
        figures = figures_of(build)
        bore = size_of(casting.bore)
        axle = build.axle(casting.axle_id)
        measured = axle.seats.get(casting.side) if axle and casting.side else None
        seat = size_of(measured) if measured else Size(build.nm("seat"), None)
        judged = _judge_seat(build, figures, bore, seat)
        demand = demand_of(build, figures, axle, casting)
        wanted, by_whom = wanted_of(figures, FitKind(build.fit))
        safety = factor_of_safety(judged.torque_nm, demand.torque_nm, wanted)
        words = hold_words(build, casting, now)
    except ValueError as error:
        return _not_judged(str(error))
    doubts = _doubts(bore, seat, measured is not None, figures, build)
    invented = figures.placeholders(*holding_keys(build))
    held = _combine(judged, demand, safety, figures, invented, doubts, words)
    return replace(held, workings=tuple(sourced(one, figures, by_whom) for one in held.workings))


def holding_keys(build: BuildView) -> tuple[str, ...]:
    """The figures the factor of safety hangs on, which are placeholders until they are typed."""
    return (*_LOADS, "shear") if build.fit == "bond" else _LOADS


def _not_judged(sentence: str) -> Holding:
    """What cannot be worked out is said, and is no good answer."""
    return Holding(
        answer=Answer.NOT,
        headline=f"Cannot be worked out: {_BY_SHEET}",
        reason=sentence,
        capacity_words="Nothing is claimed to hold.",
        demand_words="",
        factor_words="",
        cautions=("Put the figures right under “What the joints must carry”.",),
        workings=(),
        hold_words="",
    )


def _judge_seat(build: BuildView, figures: JointFigures, bore: Size, seat: Size) -> Judged:
    return judge_pair(
        build,
        figures,
        FitKind(build.fit),
        bore,
        seat,
        build.nm("boss_diameter"),
        build.nm("boss_length"),
        (build.nm("fit_least"), build.nm("fit_most")),
    )


def demand_of(
    build: BuildView, figures: JointFigures, axle: AxleView | None, casting: CastingView
) -> SeatDemand:
    """What the seat of this casting must carry; half the axle's load is on each wheel."""
    coupled = build.order_of(casting).coupled
    throw = casting.throw.mean_nm if casting.throw else build.nm("throw")
    return _demand(
        figures.number("load") / 2,
        build.nm("tread_diameter"),
        figures.number("adhesion"),
        thrust_n(figures) if coupled else 0.0,
        throw if coupled else 0,
        figures.number("service"),
    )


def _doubts(
    bore: Size, seat: Size, seat_measured: bool, figures: JointFigures, build: BuildView
) -> list[str]:
    doubts = []
    if not seat_measured:
        doubts.append("The seat is the drawing's, not measured: measure it before you rely on this.")
    unknown = [name for name, size in (("bore", bore), ("seat", seat)) if size.expanded_nm is None]
    if seat_measured and unknown:
        doubts.append(f"No uncertainty is known for the {' and the '.join(unknown)}, so none is allowed for.")
    cold = cold_words(figures.number("room"), CureTimes()) if "room" in figures.typed else None
    if build.fit == "bond" and cold:
        doubts.append(cold)
    return doubts


def _combine(
    judged: Judged,
    demand: SeatDemand,
    safety: SafetyFactor,
    figures: JointFigures,
    invented: tuple[str, ...],
    doubts: list[str],
    words: str,
) -> Holding:
    """The joint's own report and its factor of safety as one answer: the worse of the two."""
    by_load = Answer.CAUTION if invented and safety.answer is Answer.NOT else safety.answer
    weak = worse(by_load, judged.answer) is not judged.answer
    cautions = [*doubts, *judged.cautions]
    if invented:
        cautions.insert(
            0,
            f"Placeholders, not your engine's figures: {', '.join(invented)}. Type your own under “What the joints"
            " must carry” before you rely on the factor.",
        )
    return Holding(
        answer=by_load if weak else judged.answer,
        headline=_weak_words(safety.answer, bool(invented)) if weak else judged.headline,
        reason=f"{safety.words} {judged.headline}." if weak else judged.reason,
        capacity_words=f"{judged.torque_nm:.1f} N m of turning and {judged.axial_n:.0f} N of push, at least",
        demand_words=(
            f"{demand.torque_nm:.1f} N m: {figures.number('service'):g} x (slip {demand.slip_torque_nm:.1f}"
            f" + crank {demand.crank_torque_nm:.1f})"
        ),
        factor_words=safety.words,
        cautions=tuple(dict.fromkeys(cautions)),
        workings=(*judged.workings, *_load_workings(figures), *demand.workings, safety.working),
        hold_words=words,
        size_words=judged.size_words,
        making=judged.making,
        factor_figure=safety.working.result.partition(",")[0],
        demand=demand,
    )


def worse(*answers: Answer) -> Answer:
    """The worst of several answers."""
    return max(answers, key=_RANK.index)


def _weak_words(answer: Answer, invented: bool) -> str:
    by = ", by placeholder figures" if invented else ""
    if answer is Answer.NOT:
        return f"{'Would not hold' if invented else 'Does not hold'} what is asked of it{by}"
    return f"Holds what is asked, but with less in hand than is wanted{by}"


def _load_workings(figures: JointFigures) -> tuple[Working, ...]:
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


def no_longer_hold(before: BuildView, texts: dict[str, str]) -> tuple[str, ...]:
    """The marks of the wheels in work that these joint figures would make fail."""
    after, found = replace(before, joint_texts=texts), []
    for axle in before.axles:
        for wheel in axle.wheels:
            old, new = holding_of(before, wheel), holding_of(after, wheel)
            if old and new and new.answer is Answer.NOT and old.answer is not Answer.NOT:
                found.append(wheel.mark)
    return tuple(found)
