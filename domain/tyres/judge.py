"""The one judge of a tyre on its wheel centre: strained, pressed, gripping, heated, and whether that is known."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from domain.answer import Answer
from domain.joints.judge import Load, decide_fit
from domain.joints.kinds import FitKind
from domain.joints.safety import SafetyFactor, factor_of_safety
from domain.joints.terms import Size, uncertainty_nm
from domain.lengths import Unit
from domain.measuring.decision import Conformity, Decision
from domain.measuring.instruments import Instrument
from domain.measuring.settling import which_settles_fit
from domain.tyres.ring import (
    MetalStrength,
    RingState,
    Tyre,
    check,
    crushing_mpa,
    heat_to_c,
    least_grip,
    most_pressed,
    most_strained,
    stood_interference_nm,
    table,
)


class TyreKind(StrEnum):
    """What is found of a tyre: nothing wrong, or what is wrong with it or not known of it."""

    GOOD = "good"
    # With care.
    OVAL = "oval"
    TIGHT = "tight"
    STRAINED = "strained"
    LITTLE_IN_HAND = "little in hand"
    # Not known yet.
    SIZE_NOT_TOLD = "size not told"
    HOLD_NOT_TOLD = "hold not told"
    HOLDS_BY_GUESS = "too little by placeholder loads"
    # No good.
    NO_GRIP = "no grip"
    YIELDS = "yields"
    CRUSHES = "crushes"
    LOOSE = "loose"
    HOLDS_TOO_LITTLE = "holds too little"
    TOO_HOT = "too hot"

    @property
    def answer(self) -> Answer:
        """What that comes to.

        >>> TyreKind.YIELDS.answer, TyreKind.OVAL.answer
        (<Answer.NOT: 'not'>, <Answer.CAUTION: 'caution'>)
        """
        if self is TyreKind.GOOD:
            return Answer.SERVES
        if self in (TyreKind.OVAL, TyreKind.TIGHT, TyreKind.STRAINED, TyreKind.LITTLE_IN_HAND):
            return Answer.CAUTION
        if self in (TyreKind.SIZE_NOT_TOLD, TyreKind.HOLD_NOT_TOLD, TyreKind.HOLDS_BY_GUESS):
            return Answer.CANNOT_TELL
        return Answer.NOT


@dataclass(frozen=True)
class TyreCase:
    """One tyre to be judged.

    tyre: as drawn. wanted_nm: least and most interference, nm. inside, centre: as they were measured. strength: what is
    asked of the metal. load: the torque that tries to turn the tyre on its centre; None where nobody can say.
    tools: the instruments at hand that might settle what cannot be told. unit: the system to show first.
    """

    tyre: Tyre
    wanted_nm: tuple[int, int]
    inside: Size
    centre: Size
    strength: MetalStrength
    load: Load | None
    unit: Unit
    tools: tuple[Instrument, ...] = ()

    @property
    def interference_nm(self) -> int:
        """Centre less tyre as measured; below zero where the tyre drops on cold."""
        return self.centre.nm - self.inside.nm

    @property
    def uncertainty_nm(self) -> int:
        """Its expanded uncertainty; 0 where none is known."""
        return uncertainty_nm(self.inside, self.centre)

    @property
    def spread_nm(self) -> int:
        """How much the ways across differ, of the tyre or of the centre, whichever more."""
        return max(self.inside.spread_nm, self.centre.spread_nm)


@dataclass(frozen=True)
class RingFinding:
    """The one truth about a tyre, and the figures behind it.

    strained, pressed: at the most interference it may be. shrunk, grip: what grips least as it is shrunk on, and once its
    tread is turned. measured: the grip once turned, U left out. heat_c: how hot it must be. stood_nm: the most
    interference it stands. at_worst, as_measured: how many times the load it holds. decision: whether the interference is
    shown to be as wanted; None where it is not known how sure the sizes are. settling: what would settle it, or empty.
    """

    case: TyreCase
    kind: TyreKind
    strained: RingState
    pressed: RingState
    shrunk: RingState
    grip: RingState
    measured: RingState
    heat_c: float
    stood_nm: int
    at_worst: SafetyFactor | None
    as_measured: SafetyFactor | None
    decision: Decision | None
    settling: str

    @property
    def answer(self) -> Answer:
        """Good, with care, cannot be told, or no good."""
        return self.kind.answer

    @property
    def yield_factor(self) -> float | None:
        """Yield over the greatest hoop stress; None without stress."""
        hoop = self.strained.hoop_mpa
        return self.case.strength.yield_mpa / hoop if hoop > 0 else None

    @property
    def crush_factor(self) -> float | None:
        """What the iron stands pressed over what presses it; None without stress."""
        stress = self.pressed.centre_mpa
        return crushing_mpa(self.case.tyre.iron) / stress if stress > 0 else None


def judge(case: TyreCase) -> RingFinding:
    """Say what a tyre on its centre comes to.

    Formula: what is certainly no good comes first (no grip, yielding or crushing at the most interference it may be, less
    than wanted, held too little, too hot), then what the measurements cannot tell, then what wants care.
    Returns: the finding. Raises: FitError on a tyre that cannot be, ValueError on a figure outside its limits.
    Source: Lame, Shigley 9th ed.; ISO 14253-1:2017.
    """
    check(case.tyre)
    delta, u = case.interference_nm, case.uncertainty_nm
    tyre, most = case.tyre, max(0, delta + u)
    grip, measured = least_grip(tyre, delta - u), least_grip(tyre, delta)
    decision = _decision(case)
    at_worst, as_measured = (_held(case, one.torque_nm) for one in (grip, measured))
    figures = RingFinding(
        case,
        TyreKind.GOOD,
        most_strained(tyre, most),
        most_pressed(tyre, most),
        least_grip(tyre, delta, turned=False),
        grip,
        measured,
        heat_to_c(tyre, most),
        stood_interference_nm(tyre, case.strength),
        at_worst,
        as_measured,
        decision,
        _settling(case, decision),
    )
    kind = _no_good(figures) or _untold(figures) or _with_care(case, figures) or TyreKind.GOOD
    return replace(figures, kind=kind)


def _no_good(found: RingFinding) -> TyreKind | None:
    case, delta = found.case, found.case.interference_nm
    if delta <= 0:
        return TyreKind.NO_GRIP
    if found.yield_factor is not None and found.yield_factor < case.strength.factor_wanted:
        return TyreKind.YIELDS
    if found.crush_factor is not None and found.crush_factor < case.strength.crush_wanted:
        return TyreKind.CRUSHES
    if delta < case.wanted_nm[0]:
        return TyreKind.LOOSE
    held = found.as_measured
    if held is not None and held.answer is Answer.NOT and not _guessed(case):
        return TyreKind.HOLDS_TOO_LITTLE
    return TyreKind.TOO_HOT if found.heat_c > case.strength.hottest_c else None


def _untold(found: RingFinding) -> TyreKind | None:
    if found.decision is not None and found.decision.answer is Conformity.CANNOT_TELL:
        return TyreKind.SIZE_NOT_TOLD
    if found.at_worst is None or found.at_worst.answer is not Answer.NOT:
        return None
    return TyreKind.HOLDS_BY_GUESS if _guessed(found.case) else TyreKind.HOLD_NOT_TOLD


def _with_care(case: TyreCase, found: RingFinding) -> TyreKind | None:
    if case.spread_nm * 2 > case.wanted_nm[0]:
        return TyreKind.OVAL
    if case.interference_nm > case.wanted_nm[1]:
        return TyreKind.TIGHT
    if found.yield_factor is not None and found.yield_factor < table()["factor"]["caution_below"]:
        return TyreKind.STRAINED
    short = found.at_worst is not None and found.at_worst.answer is Answer.CAUTION
    return TyreKind.LITTLE_IN_HAND if short else None


def _guessed(case: TyreCase) -> bool:
    return case.load is not None and bool(case.load.invented)


def _held(case: TyreCase, torque_nm: float) -> SafetyFactor | None:
    load = case.load
    if load is None:
        return None
    asked = load.demand.torque_nm
    return factor_of_safety(
        torque_nm, asked, load.factor_wanted, wanted_source=load.factor_source, first=case.unit
    )


def _decision(case: TyreCase) -> Decision | None:
    """Whether the interference is shown to be as wanted; by the mean, to which a tyre springs as it grips."""
    if case.inside.budget is None or case.centre.budget is None:
        return None
    least, most = case.wanted_nm
    return decide_fit(-case.interference_nm, case.uncertainty_nm, least, most, case.unit, FitKind.SHRINK)


def _settling(case: TyreCase, decision: Decision | None) -> str:
    if decision is None or decision.answer is not Conformity.CANNOT_TELL:
        return ""
    assert case.inside.budget is not None and case.centre.budget is not None  # or nothing was decided
    return which_settles_fit(decision, case.inside.budget, case.centre.budget, case.tools).words
