"""The length over an axle's shoulders: what it must be, and the back to back that comes of it."""

import math
from dataclasses import dataclass

from domain.lengths import Unit, show
from domain.lengths.fine import fine
from domain.measuring.decision import Conformity, Decision, decide
from domain.treads.judging import MeasuredSize
from domain.treads.wheel_standard import Figure
from domain.working import Working

# How far the boss of the left and of the right wheel stands proud of its rim at the back.
Prouds = tuple[MeasuredSize, MeasuredSize]


@dataclass(frozen=True)
class ShouldersFinding:
    """What an axle's shoulders are worth, nm.

    wanted: the least and the most over the shoulders, each None where the standard prints no such limit. over: what was
    measured, and back: what comes of it, both None until then; decision: None without limits too.
    """

    wanted: tuple[int | None, int | None]
    over: MeasuredSize | None
    back: MeasuredSize | None
    decision: Decision | None
    workings: tuple[Working, ...]

    @property
    def answer(self) -> Conformity | None:
        """Whether the wheels come the right distance apart; None while nothing can be said."""
        return self.decision.answer if self.decision else None

    @property
    def aim_nm(self) -> int | None:
        """The middle of what is wanted; the one limit where there is no other."""
        ends = [nm for nm in self.wanted if nm is not None]
        return sum(ends) // len(ends) if ends else None

    @property
    def off_nm(self) -> int:
        """What must come off between the shoulders before it is shown to be good; below 0, what must go on; nm."""
        found = self.decision
        if found is None or self.back is None or found.answer is not Conformity.OUTSIDE:
            return 0
        need = found.guard_nm - (found.margin_nm or 0)
        over = found.accept_high_nm is not None and self.back.nm > found.accept_high_nm
        return need if over else -need


def back_to_back_nm(over_nm: int, prouds_nm: tuple[int, int]) -> int:
    """The back to back of two wheels that sit against the shoulders of an axle, nm.

    Formula: B = over the shoulders + how far each rim's back stands outside its boss's back
    Source: geometry.

    >>> back_to_back_nm(118_000_000, (500_000, 550_000))
    119050000
    """
    return over_nm + sum(prouds_nm)


def judge_shoulders(
    limits: Figure, over: MeasuredSize | None, prouds: Prouds, unit: Unit
) -> ShouldersFinding:
    """Whether the wheels come the right distance apart when they sit against the shoulders.

    Formula: B = over the shoulders + proud left + proud right; U by root sum of squares; judged by the standard's limits
    Parameters: `limits`, the standard's back to back; `over`, nm, None until it is measured; `prouds`, how far each boss
    stands behind its rim, below 0 where it is sunk, U 0 where the drawing's is taken.
    Source: geometry; ISO 14253-1:2017; JCGM 100:2008 (GUM) 5.1.2.

    >>> from domain.treads.wheel_standard import preset
    >>> flush = (MeasuredSize(0, 0), MeasuredSize(0, 0))
    >>> found = judge_shoulders(preset("ibls-5").back_to_back, MeasuredSize(119_300_000, 20_000), flush, Unit.INCH)
    >>> found.wanted, found.answer, found.off_nm
    ((119049800, 119557800), <Conformity.INSIDE: 'inside'>, 0)
    """
    proud = sum(one.nm for one in prouds)
    low, high = (None if nm is None else nm - proud for nm in (limits.low_nm, limits.high_nm))
    wanted = (low, high)
    if over is None:
        return ShouldersFinding(wanted, None, None, None, ())
    nm = back_to_back_nm(over.nm, (prouds[0].nm, prouds[1].nm))
    expanded = math.ceil(math.hypot(over.expanded_nm, *(one.expanded_nm for one in prouds)))
    numbers = " + ".join(fine(one, unit) for one in (over.nm, *(one.nm for one in prouds)))
    working = Working(
        "back to back to come",
        "over the shoulders + boss proud at the back, left and right",
        numbers,
        f"{show(nm, unit)}, U {fine(expanded, unit)}",
        "geometry",
    )
    back = MeasuredSize(nm, expanded)
    if not limits.limited:
        return ShouldersFinding(wanted, over, back, None, (working,))
    found = decide(nm, expanded, limits.low_nm, limits.high_nm, unit, "back to back")
    return ShouldersFinding(wanted, over, back, found, (working, found.working))
