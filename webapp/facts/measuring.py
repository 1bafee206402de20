"""How sure a measured size is, and whether that is sure enough to call a fit inside or outside what is wanted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from domain.joints.fit import FitKind, Joint
from domain.lengths import Unit
from domain.measuring.decision import Conformity, Decision, decide_fit, decide_interval, guard_band_nm
from domain.measuring.decision_words import interval_words, interval_working
from domain.measuring.instruments import Instrument
from domain.measuring.plug_gauge import Interval
from domain.measuring.settling import which_settles, which_settles_fit
from domain.measuring.uncertainty import COVERAGE, Budget, difference_u_nm, expanded_nm
from webapp.facts.correcting import sized_again
from webapp.facts.seats import joint_of, seat_of
from webapp.records.views import BuildView, CastingView, Measured

_EXACT = "so this answer takes {} as exact."


@dataclass(frozen=True, slots=True)
class FitDecision:
    """What the measurements show of a fit; `trusted` when they settle it, with how sure they are known."""

    decision: Decision | None
    words: str
    settling: str
    trusted: bool

    @property
    def open(self) -> bool:
        """Whether the measurements were judged and cannot tell."""
        return self.decision is not None and self.decision.answer is Conformity.CANNOT_TELL


def budget_of(build: BuildView, measured: Measured) -> Budget | None:
    """How unsure a mean is; None for plug gauges and where no instrument of the list is named.

    When the instrument's figures were changed after logging, the U that was stored stands, in one piece.
    """
    if measured.by_plug or measured.expanded_nm is None:
        return None
    sized = sized_again(build, measured)
    if sized is not None and sized.budget is not None and measured.plug_one_nm is None:
        return sized.budget
    whole = measured.expanded_nm / COVERAGE
    return Budget(measured.mean_nm, len(measured.readings), whole, 0.0, 0.0, 0.0, None)


def at_hand(build: BuildView) -> tuple[Instrument, ...]:
    """The instruments that may be suggested: those still in use."""
    return tuple(one for key, one in build.instruments.items() if key not in build.retired)


def fit_decision(build: BuildView, casting: CastingView) -> FitDecision | None:
    """Whether a casting's bore on its measured seat is shown to be the fit wanted; None without a bore."""
    bore, seat = casting.bore, seat_of(build, casting)
    if bore is None:
        return None
    if seat is None:
        words = f"The seat is the drawing's, not a measured one, {_EXACT.format('the drawing')}"
        return FitDecision(None, words, "Measure the seat and log it, with its instrument.", False)
    budgets = budget_of(build, bore), budget_of(build, seat)
    if bore.by_plug:
        tool = build.instruments.get(bore.instrument_id) if bore.instrument_id else None
        plug_u = tool.expanded_nm if tool else 0
        interval = Interval(bore.low_nm, bore.high_nm)
        return _of_plugs(joint_of(build), interval, seat.mean_nm, budgets[1], plug_u, build.unit)
    if budgets[0] is None or budgets[1] is None:
        return _not_known(budgets[0] is None, budgets[1] is None)
    return _of_values(
        joint_of(build), bore.mean_nm - seat.mean_nm, budgets[0], budgets[1], build.unit, at_hand(build)
    )


def _not_known(bore: bool, seat: bool) -> FitDecision:
    if bore and seat:
        words = f"It is not known how sure the bore and the seat are, {_EXACT.format('their readings')}"
        return FitDecision(
            None,
            words,
            "Log the bore and the seat again and choose the instrument of each from the workshop's list.",
            False,
        )
    words = f"It is not known how sure the {'bore' if bore else 'seat'} is, {_EXACT.format('its readings')}"
    return FitDecision(
        None,
        words,
        f"Log the {'bore' if bore else 'seat'} again and choose its instrument from the workshop's list.",
        False,
    )


@lru_cache(maxsize=256)
def _of_values(
    joint: Joint, clearance_nm: int, bore: Budget, seat: Budget, unit: Unit, tools: tuple[Instrument, ...]
) -> FitDecision:
    whole = expanded_nm(difference_u_nm(bore, seat))
    decision = decide_fit(clearance_nm, whole, joint.least_nm, joint.most_nm, unit, joint.kind)
    settled = decision.answer is not Conformity.CANNOT_TELL
    settling = "" if settled else which_settles_fit(decision, bore, seat, tools).words
    return FitDecision(decision, decision.words, settling, settled)


@lru_cache(maxsize=256)
def _of_plugs(
    joint: Joint, interval: Interval, seat_nm: int, seat: Budget | None, plug_u_nm: int, unit: Unit
) -> FitDecision:
    """Plugs against the bores that would serve this seat; the seat's own doubt narrows and widens the limits."""
    least, most = joint.least_nm, joint.most_nm
    if joint.kind is not FitKind.BOND:
        least, most = -most, -least
    low, high = seat_nm + least, seat_nm + most
    guard = guard_band_nm(seat.expanded_nm) if seat else 0
    decision = decide_interval(interval, low - guard, high + guard, unit, plug_u_nm)
    if decision.answer is not Conformity.OUTSIDE:
        limits = (low + guard, high - guard)
        strict = decide_interval(interval, *limits, unit, plug_u_nm) if limits[0] <= limits[1] else None
        decision = (
            strict
            if strict is not None and strict.answer is Conformity.INSIDE
            else replace(
                decision,
                answer=Conformity.CANNOT_TELL,
                words=interval_words(Conformity.CANNOT_TELL, interval, plug_u_nm, unit),
                working=interval_working(Conformity.CANNOT_TELL, interval, (low, high), plug_u_nm, unit),
            )
        )
    settled = decision.answer is not Conformity.CANNOT_TELL
    words = decision.words if seat else f"{decision.words} The seat's reading is taken as exact."
    settling = "" if settled else which_settles(decision, ()).words
    return FitDecision(decision, words, settling, settled and seat is not None)
