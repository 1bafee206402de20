"""The one judge of a joint: what a bore on its seat comes to, how surely that is known, and what it carries."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from domain.answer import Answer, worst
from domain.joints.demand import SeatDemand
from domain.joints.fit import Fit, fit_of
from domain.joints.held import Bonded, Forced, gripping_interference_nm, hold
from domain.joints.kinds import FitError, FitKind, Kind
from domain.joints.safety import SafetyFactor, factor_of_safety
from domain.joints.terms import HeldBy, Joint, Size, uncertainty_nm
from domain.lengths import Unit
from domain.measuring.decision import Conformity, Decision, decide, decide_interval, guard_band_nm, worst_of
from domain.measuring.decision_words import interval_words, interval_working
from domain.measuring.instruments import Instrument
from domain.measuring.plug_gauge import Interval
from domain.measuring.settling import more_readings, which_settles, which_settles_fit
from domain.measuring.uncertainty import Budget

# How far from good, where what cannot be told is no worse than what wants care.
_LEVEL = {Answer.SERVES: 0, Answer.CAUTION: 1, Answer.CANNOT_TELL: 1, Answer.NOT: 2}


@dataclass(frozen=True)
class Load:
    """What a joint must carry: the demand, the reserve wanted and by whom, which figures are placeholders."""

    demand: SeatDemand
    factor_wanted: float
    factor_source: str
    invented: tuple[str, ...] = ()


@dataclass(frozen=True)
class Case:
    """One joint to be judged.

    joint: what the drawing wants. bore, seat: as they are known. holding: what holds it; a sentence where the figures
    of that do not hold together. load: what it must carry; None only with such a sentence.
    tools: the instruments at hand that might settle what cannot be told. unit: the system to show first.
    """

    joint: Joint
    bore: Size
    seat: Size
    holding: HeldBy | str
    load: Load | None
    unit: Unit
    tools: tuple[Instrument, ...] = ()


@dataclass(frozen=True)
class Carried:
    """What a joint holds against what it must carry.

    at_worst, as_measured: how many times the demand it holds, at the worst corner, and with U left out. by_load: what the
    load comes to: no invented figure condemns a joint, and where it slips at the worst corner only it cannot be told.
    """

    held: Forced | Bonded
    load: Load
    at_worst: SafetyFactor
    as_measured: SafetyFactor

    @property
    def least_grip_nm(self) -> int:
        """The least interference as measured that holds what is asked, nm; 0 for a bond."""
        return self._grips(self.load.demand.torque_nm)

    def least_wanted_nm(self, most_nm: int) -> int:
        """The least that has the reserve in hand, where that is no more than most_nm; else the least that holds; nm."""
        with_reserve = self._grips(self.load.demand.torque_nm * self.load.factor_wanted)
        return with_reserve if with_reserve <= most_nm else self.least_grip_nm

    def _grips(self, torque_nm: float) -> int:
        if not isinstance(self.held, Forced):
            return 0
        return gripping_interference_nm(self.held.joint, torque_nm) + self.held.uncertainty_nm

    @property
    def slips_by_doubt(self) -> bool:
        """Whether it slips at the worst corner only."""
        return self.at_worst.answer is Answer.NOT and self.as_measured.answer is not Answer.NOT

    @property
    def by_load(self) -> Kind:
        """What the load alone comes to."""
        if self.slips_by_doubt:
            return Kind.HOLD_NOT_TOLD
        if self.at_worst.answer is Answer.NOT:
            return Kind.HOLDS_BY_GUESS if self.load.invented else Kind.HOLDS_TOO_LITTLE
        return Kind.GOOD if self.at_worst.answer is Answer.SERVES else Kind.LITTLE_IN_HAND

    @property
    def weak(self) -> bool:
        """Whether the load is more to worry about than the joint itself."""
        load, own = self.by_load, self.held.kind.answer
        return _LEVEL[load.answer] > _LEVEL[own] or (load is Kind.HOLDS_BY_GUESS and own is Answer.CAUTION)

    @property
    def kind(self) -> Kind:
        """The worse of the joint itself and of its load."""
        own, load = self.held.kind, self.by_load
        return load if worst(own.answer, load.answer) is not own.answer else own


@dataclass(frozen=True)
class Finding:
    """The one truth about a joint, and the figures behind it.

    kind: what is found, all in all. by_size: what the sizes alone come to, taken as read. fits: the fit at those
    sizes, and at each end of the readings where it is outside for sure; or at each end of what plugs leave open.
    decision: whether the measurements, by mean and ends, show that the size is as wanted; None where too little is
    known of them. settling: what would settle it, a sentence or empty. carried: what it holds
    against what it must carry; None where there is no size, or the figures do not hold together.
    """

    case: Case
    kind: Kind
    by_size: Kind
    fits: tuple[Fit, ...]
    decision: Decision | None
    settling: str
    carried: Carried | None

    @property
    def answer(self) -> Answer:
        """Good, with care, cannot be told, or no good."""
        return self.kind.answer

    @property
    def undecided(self) -> bool:
        """Whether the sizes were judged with their uncertainties and cannot tell."""
        return self.decision is not None and self.decision.answer is Conformity.CANNOT_TELL

    @property
    def trusted(self) -> bool:
        """Whether the measurements settle it, with how sure they are known."""
        sure = self.case.bore.plugs is None or self.case.seat.budget is not None
        return self.decision is not None and not self.undecided and sure

    @property
    def fit(self) -> Fit:
        """The fit as read, at the end of the readings or of what plugs leave open where it is worst."""
        return max(self.fits, key=lambda one: _LEVEL[one.kind.answer])

    @property
    def at_mean(self) -> Fit:
        """The fit at the mean of the readings, or at the first end of plugs, with what it comes to at the worst."""
        return replace(self.fits[0], kind=self.fit.kind)

    @property
    def slips(self) -> bool:
        """Whether a press or shrink fit holds less than is asked of it, by its own loads or by placeholders."""
        one = self.carried
        if one is None or not isinstance(one.held, Forced) or one.held.interference_nm <= 0:
            return False
        return self.by_size.answer is not Answer.NOT and one.as_measured.answer is Answer.NOT

    @property
    def least_asked_nm(self) -> int:
        """The least interference that its own load asks for, nm; 0 for a placeholder's, and where no range wanted has it."""
        one, most = self.carried, self.case.joint.most_nm
        if one is None or one.load.invented:
            return 0
        least = one.least_wanted_nm(most)
        return least if least <= most else 0

    @property
    def at_end(self) -> str:
        """The end of the readings where the fit is worst, such as "bore's largest reading"; empty at the mean."""
        fit = self.fit
        if self.case.bore.plugs is not None or fit is self.fits[0]:
            return ""
        found = (
            end.name for end in ends_of(self.case) if (end.bore_nm, end.seat_nm) == (fit.bore_nm, fit.seat_nm)
        )
        return next(found)

    @property
    def held_kind(self) -> Kind:
        """What it comes to as far as holding goes."""
        if self.case.bore.open_ended:
            return Kind.OPEN_ENDED
        return self.carried.kind if self.carried is not None else Kind.NOT_WORKED_OUT


def judge(case: Case) -> Finding:
    """Say what a joint comes to: whether its sizes serve, whether it holds, and whether that is known.

    Formula: what is certainly no good comes first, by its sizes as read and then by what it holds at the worst corner
    of what is not known; then what the measurements cannot tell (guard bands); then what wants care; else it is good.
    case: see Case for units.
    Returns: the finding.
    Raises: FitError for sizes that cannot be a wheel on an axle, such as a bore not below the boss.
    Source: Lame, Shigley 9th ed.; ISO 14253-1:2017; the parts name their own.

    >>> joint = Joint(FitKind.BOND, 19_050_000, 19_050_000, 32_000_000, 14_000_000, 20_000, 50_000, "en-gjl-250")
    >>> bore, seat = Size(19_080_000), Size(19_050_000, measured=False)
    >>> found = judge(Case(joint, bore, seat, "The load is upside down.", None, Unit.MM))
    >>> found.by_size, found.kind
    (<Kind.GOOD: 'good'>, <Kind.NOT_WORKED_OUT: 'not worked out'>)
    """
    fits = _fits(case)
    by_size = _by_size(case, fits)
    decision = _decision(case)
    carried, why = None, ""
    if not case.bore.open_ended and not isinstance(case.holding, str) and case.load is not None:
        try:
            carried = _carried(case, case.holding, case.load)
        except ValueError as error:
            why = str(error)
    found = Finding(
        replace(case, holding=why) if why else case,
        by_size,
        by_size,
        fits,
        decision,
        _settling(case, decision),
        carried,
    )
    return replace(found, kind=_kind(found))


def _kind(found: Finding) -> Kind:
    by_size, held = found.by_size, found.held_kind
    if by_size.answer is Answer.NOT:
        return by_size
    if held.answer is Answer.NOT:
        return held
    if found.undecided:
        return Kind.SIZE_NOT_TOLD
    if held.answer is Answer.CANNOT_TELL:
        return held
    return by_size if by_size is not Kind.GOOD else held


def _fits(case: Case) -> tuple[Fit, ...]:
    bore, boss = case.bore, case.joint.boss_diameter_nm
    if bore.spread_nm < 0:
        raise FitError("The spread of the readings cannot be below zero.")
    if bore.plugs is None:
        return (fit_of(case.joint, bore.nm, case.seat.nm), *_fits_at_ends(case))
    # A drawing changed since may leave the largest size beyond its boss, which no fit can be judged at.
    ends = [nm for nm in (bore.plugs.low_nm, bore.plugs.high_nm) if nm and nm < boss]
    if not ends:
        raise FitError("The bore must be smaller than the boss it is in, such as 19.05 mm in 32 mm.")
    return tuple(fit_of(case.joint, nm, case.seat.nm) for nm in ends)


@dataclass(frozen=True)
class End:
    """One end of the readings, as the joint would be with that size at its place: "bore's largest reading"; nm."""

    name: str
    bore_nm: int
    seat_nm: int
    expanded_nm: int

    @property
    def clearance_nm(self) -> int:
        """Bore less seat there."""
        return self.bore_nm - self.seat_nm


def ends_of(case: Case) -> Iterator[End]:
    """The smallest and the largest reading of the bore on the seat's mean, and of the seat in the bore's."""
    bore, seat = case.bore, case.seat
    of_bore = uncertainty_nm(replace(bore, expanded_nm=bore.alone_nm), seat)
    of_seat = uncertainty_nm(bore, replace(seat, expanded_nm=seat.alone_nm))
    for name, nm in zip(("smallest", "largest"), bore.ends_nm or (), strict=False):
        yield End(f"bore's {name} reading", nm, seat.nm, of_bore)
    if bore.plugs is None:
        for name, nm in zip(("smallest", "largest"), seat.ends_nm or (), strict=False):
            yield End(f"seat's {name} reading", bore.nm, nm, of_seat)


def _decide_end(case: Case, end: End) -> Decision:
    joint = case.joint
    least, most = joint.least_nm, joint.most_nm
    return decide_fit(
        end.clearance_nm, end.expanded_nm, least, most, case.unit, joint.kind, f" at the {end.name}"
    )


def _fits_at_ends(case: Case) -> Iterator[Fit]:
    """The fit at each end of the readings that is outside what is wanted for sure: a mean hides taper and ovality."""
    for end in ends_of(case):
        if max(end.bore_nm, end.seat_nm) >= case.joint.boss_diameter_nm:
            continue  # a drawing changed since; the mean says so
        if _decide_end(case, end).answer is Conformity.OUTSIDE:
            yield fit_of(case.joint, end.bore_nm, end.seat_nm)


def larger_only(case: Case, fits: tuple[Fit, ...]) -> bool:
    """Whether all that is known of a bore open at one end is that it is larger than that size."""
    return case.bore.plugs is not None and fits[0].bore_nm == case.bore.plugs.low_nm


def _by_size(case: Case, fits: tuple[Fit, ...]) -> Kind:
    """It serves between two plugs only when it does at both ends; open at one end it is never said to serve.

    It fails there when its known end does and the open end lies further that way.
    """
    worst_fit = max(fits, key=lambda one: _LEVEL[one.kind.answer])
    if case.bore.plugs is None or len(fits) > 1:
        return worst_fit.kind  # by its readings: at the mean, and at each end that is outside for sure
    fails = worst_fit.kind.answer is Answer.NOT and worst_fit.too_large is larger_only(case, fits)
    return worst_fit.kind if fails else Kind.OPEN_ENDED


def _decision(case: Case) -> Decision | None:
    """Whether the bore on its seat is shown to be the fit wanted; None where it is not known how sure they are."""
    joint, bore, seat = case.joint, case.bore, case.seat
    if not seat.measured:
        return None
    if bore.plugs is not None:
        return _of_plugs(case, bore.plugs)
    if bore.budget is None or seat.budget is None:
        return None
    unsure = uncertainty_nm(bore, seat)
    mean = decide_fit(bore.nm - seat.nm, unsure, joint.least_nm, joint.most_nm, case.unit, joint.kind)
    return worst_of(mean, [_decide_end(case, end) for end in ends_of(case)])


def decide_fit(
    clearance_nm: int,
    expanded_of_difference_nm: int,
    least_nm: int,
    most_nm: int,
    unit: Unit,
    kind: FitKind = FitKind.BOND,
    where: str = "",
) -> Decision:
    """Whether a wheel on its seat has the gap (bond) or the interference (press, shrink) that is wanted.

    Formula: gap = clearance, interference = -clearance; then as decide()

    Args:
        clearance_nm: bore less seat, nm; below 0 when they interfere.
        expanded_of_difference_nm: expanded uncertainty of that difference, nm, 0 or more.
        least_nm: least wanted gap or interference, nm.
        most_nm: most wanted, nm, not below the least.
        unit: the system the words are written in.
        kind: bond for a gap; press or shrink for an interference.
        where: where on the seat, for the words, such as " at the bore's largest reading".

    Returns:
        The decision, nm; its margin is that of the gap or the interference.

    Raises:
        DecisionError: U below 0, or limits the wrong way round.

    Source: ISO 14253-1:2017.

    >>> decide_fit(-12_000, 4_000, 8_000, 16_000, Unit.MM, FitKind.PRESS).answer.words
    'in limits'
    """
    if kind is FitKind.BOND:
        return decide(clearance_nm, expanded_of_difference_nm, least_nm, most_nm, unit, f"gap{where}")
    return decide(-clearance_nm, expanded_of_difference_nm, least_nm, most_nm, unit, f"interference{where}")


def _of_plugs(case: Case, interval: Interval) -> Decision:
    """Plugs against the bores that would serve this seat; the seat's own doubt narrows and widens the limits."""
    joint, seat, unit, plug_u = case.joint, case.seat, case.unit, case.bore.plug_u_nm
    least, most = joint.least_nm, joint.most_nm
    if joint.kind is not FitKind.BOND:
        least, most = -most, -least
    low, high = seat.nm + least, seat.nm + most
    guard = guard_band_nm(seat.expanded_nm or 0) if seat.budget else 0
    decision = decide_interval(interval, low - guard, high + guard, unit, plug_u)
    if decision.answer is Conformity.OUTSIDE:
        return decision
    limits = (low + guard, high - guard)
    strict = decide_interval(interval, *limits, unit, plug_u) if limits[0] <= limits[1] else None
    if strict is not None and strict.answer is Conformity.INSIDE:
        return strict
    return replace(
        decision,
        answer=Conformity.CANNOT_TELL,
        said=interval_words(Conformity.CANNOT_TELL, interval, plug_u, unit),
        working=interval_working(Conformity.CANNOT_TELL, interval, (low, high), plug_u, unit),
    )


def _settling(case: Case, decision: Decision | None) -> str:
    """What would settle it, in a sentence; empty where it is settled."""
    bore, seat = case.bore, case.seat
    if decision is not None:
        if decision.answer is not Conformity.CANNOT_TELL:
            return ""
        if bore.budget is None or seat.budget is None:
            return which_settles(decision, ()).words
        if decision.of_end:
            return which_settles_fit(decision, bore.budget.alone, seat.budget.alone, case.tools).words
        return which_settles_fit(decision, bore.budget, seat.budget, case.tools, _more(case)).words
    if not seat.measured:
        return "Measure the seat and log it, with its instrument."
    if bore.budget is None and seat.budget is None:
        return "Log the bore and the seat again and choose the instrument of each from the workshop's list."
    which = "bore" if bore.budget is None else "seat"
    return f"Log the {which} again and choose its instrument from the workshop's list."


def _more(case: Case) -> dict[str, int]:
    """How many more readings of one of the two settle the fit, its other figures as they are."""

    def settled(read: Case) -> bool:
        decision = _decision(read)
        return decision is not None and decision.answer is not Conformity.CANNOT_TELL

    def read(size: Size, budget: Budget) -> Size:
        return replace(size, budget=budget, expanded_nm=budget.expanded_nm)

    bore, seat = case.bore, case.seat
    found: dict[str, int | None] = {}
    if bore.budget is not None:
        found["bore"] = more_readings(bore.budget, lambda one: settled(replace(case, bore=read(bore, one))))
    if seat.budget is not None:
        found["seat"] = more_readings(seat.budget, lambda one: settled(replace(case, seat=read(seat, one))))
    return {what: count for what, count in found.items() if count is not None}


def _carried(case: Case, holding: HeldBy, load: Load) -> Carried:
    held = hold(holding, case.bore.nm, case.seat.nm, uncertainty_nm(case.bore, case.seat))
    at_worst, as_measured = (
        factor_of_safety(
            torque,
            load.demand.torque_nm,
            load.factor_wanted,
            wanted_source=load.factor_source,
            first=case.unit,
        )
        for torque in (held.counted_nm, held.as_measured_nm)
    )
    return Carried(held, load, at_worst, as_measured)
