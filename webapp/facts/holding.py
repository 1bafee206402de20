"""What a wheel's joint holds against what it must carry: the build's figures handed to the domain."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache

from domain.joints.cure import CureTimes, cold_words
from domain.joints.demand import SeatDemand, seat_demand
from domain.joints.fit import Answer, FitKind
from domain.joints.forced_joint import safe_interference_nm
from domain.joints.forced_words import cut_off
from domain.joints.safety import SafetyFactor, factor_of_safety
from domain.lengths import Unit, show
from domain.working import Working
from webapp.facts.cure import hold_words
from webapp.facts.joint_judging import Judged, Size, judge_pair, size_of
from webapp.facts.joint_terms import figures_of, forced_joint, sourced, thrust_n, wanted_of
from webapp.facts.seats import seat_of
from webapp.records.views import AxleView, BuildView, CastingView, Measured
from webapp.typed.joint_figures import JointFigures

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
    # What is wrong with a joint that does not serve, in a few words.
    word: str = ""
    # Nothing is known to be wrong, but what was measured leaves it open.
    cannot_tell: bool = False

    @property
    def answer_words(self) -> str:
        """The answer as its heading says it."""
        if self.cannot_tell:
            return "cannot tell yet"
        return self.word if self.answer is Answer.NOT and self.word else self.answer.words


def holding_of(build: BuildView, casting: CastingView, now: datetime | None = None) -> Holding | None:
    """What a casting's joint holds; a spare is judged on the drawing's seat; None without a logged bore."""
    if casting.bore is None:
        return None
    if casting.bore.by_plug and None in (casting.bore.low_nm, casting.bore.high_nm):
        return _open_ended(casting.bore, build.unit)
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
        bare = factor_of_safety(judged.torque_measured_nm, demand.torque_nm, wanted)
        words = hold_words(build, casting, now)
    except ValueError as error:
        return _not_judged(str(error))
    doubts = _doubts(bore, seat, measured is not None, figures, build)
    invented = figures.placeholders(*holding_keys(build))
    held = _combine(judged, demand, (safety, bare), figures, invented, doubts, words)
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
        word="what it holds cannot be worked out",
    )


def _open_ended(bore: Measured, unit: Unit) -> Holding:
    """One plug alone gives no size, so nothing is worked out; that the joint is bad is not known either."""
    known = bore.high_nm if bore.low_nm is None else bore.low_nm
    than = "smaller" if bore.low_nm is None else "larger"
    size = "open at both ends" if known is None else f"only known to be {than} than {show(known, unit)}"
    return Holding(
        answer=Answer.CAUTION,
        headline=f"The bore is {size}, so what it holds cannot be worked out",
        reason=f"The bore is {size}, so what it holds cannot be worked out. Measure it, or try the other plug.",
        capacity_words="Nothing is claimed to hold.",
        demand_words="",
        factor_words="",
        cautions=(),
        workings=(),
        hold_words="",
        cannot_tell=True,
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
    safeties: tuple[SafetyFactor, SafetyFactor],
    figures: JointFigures,
    invented: tuple[str, ...],
    doubts: list[str],
    words: str,
) -> Holding:
    """The joint's own report and its factor of safety as one answer: the worse of the two.

    safeties: at the worst corner, and as measured. Where it slips at the worst corner only, it cannot be told.
    """
    safety, measured = safeties
    by_u_alone = safety.answer is Answer.NOT and measured.answer is not Answer.NOT
    by_load = Answer.CAUTION if (invented and safety.answer is Answer.NOT) or by_u_alone else safety.answer
    weak = worse(by_load, judged.answer) is not judged.answer
    headline = _weak_words(safety.answer, bool(invented)) if weak else judged.headline
    if by_u_alone and judged.answer is not Answer.NOT:
        headline = "Cannot be told with this instrument whether it holds what is asked of it"
    how = "at the sizes measured" if judged.cannot_tell else "at least"
    slips = "" if safety.answer is Answer.SERVES else _slip_words(safeties)
    cautions = [*doubts, *judged.cautions]
    if invented:
        cautions.insert(
            0,
            f"Placeholders, not your engine's figures: {', '.join(invented)}. Type your own under “What the joints"
            " must carry” before you rely on the factor.",
        )
    return Holding(
        answer=by_load if weak else judged.answer,
        headline=headline,
        reason=f"{slips} {judged.headline}." if weak else f"{judged.reason} {slips}".strip(),
        capacity_words=f"{judged.torque_nm:.1f} N m of turning and {judged.axial_n:.0f} N of push, {how}",
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
        word=judged.word if judged.answer is Answer.NOT else "holds too little",
        cannot_tell=worse(by_load, judged.answer) is Answer.CAUTION and (judged.cannot_tell or by_u_alone),
    )


def _slip_words(safeties: tuple[SafetyFactor, SafetyFactor]) -> str:
    """What less than the factor wanted comes to."""
    safety, measured = safeties
    if safety.answer is Answer.CAUTION:
        return f"{safety.words} Less is in hand than is wanted: it may slip."
    if measured.answer is not Answer.NOT:
        return f"{safety.words} That is at worst; as measured: {small(measured.words)}"
    return safety.words


def worse(*answers: Answer) -> Answer:
    """The worst of several answers."""
    return max(answers, key=_RANK.index)


def _weak_words(answer: Answer, invented: bool) -> str:
    by = ", by placeholder figures" if invented else ""
    if answer is Answer.NOT:
        return f"{'Would not hold' if invented else 'Does not hold'} what is asked of it{by}"
    return f"Holds what is asked, but with less in hand than is wanted{by}"


def never_holds_words(build: BuildView, casting: CastingView) -> str:
    """Said before boring where no interference that is wanted, and that the boss stands, carries what it must."""
    kind = FitKind(build.fit)
    if kind is FitKind.BOND:
        return ""
    try:
        figures, axle, seat = figures_of(build), build.axle(casting.axle_id), seat_of(build, casting)
        seat_nm, unit = seat.mean_nm if seat else build.nm("seat"), build.unit
        wanted = (build.nm("fit_least"), build.nm("fit_most"))
        boss = (build.nm("boss_diameter"), build.nm("boss_length"))
        safe = safe_interference_nm(forced_joint(build, figures, kind, seat_nm, *boss, None))
        demand = demand_of(build, figures, axle, casting).torque_nm
        if safe is None or safe < 1:
            return ""  # the size to bore to says so already
        most = min(safe, wanted[1])
        hole, inner = Size(seat_nm - most, 0), Size(seat_nm, 0)
        torque = judge_pair(build, figures, kind, hole, inner, *boss).torque_measured_nm
    except ValueError:
        return ""  # what the joint holds says which figure is wrong
    if torque >= demand:
        return ""
    limit = "the boss stands" if safe <= wanted[1] else "is wanted"
    first = f"No {kind.words} in this iron both holds and stays whole here"
    if figures.placeholders(*holding_keys(build)):
        first = f"With the placeholder loads, {small(first)}"
    ways = "Bond it, shrink it" if kind is FitKind.PRESS else "Bond it"
    return (
        f"{first}: at the most {limit} ({cut_off(most, unit)}) it holds {torque:.1f} N m of the {demand:.1f} N m"
        f" it must. {ways} or change the boss."
    )


def small(text: str) -> str:
    """A sentence set inside another."""
    return text[:1].lower() + text[1:]


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
