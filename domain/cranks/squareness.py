"""Whether a crankpin stands parallel with its axle, from a dial read at two places along it."""

import math
from dataclasses import dataclass

from domain.answer import Answer
from domain.errors import TradeError
from domain.lengths import Unit
from domain.measuring.decision import decide

# Over the pin's length; common practice, no source.
SQUARE_NM = 20_000


@dataclass(frozen=True)
class PinLean:
    """How far a pin leans over a length, nm, and how sure that is (k = 2)."""

    lean_nm: int
    over_nm: int
    expanded_nm: int
    answer: Answer


def judge_lean(near_nm: int, far_nm: int, over_nm: int, dial_nm: int, unit: Unit) -> PinLean:
    """Say whether a pin is square enough by two readings of a dial moved along it.

    Formula: lean = |far - near|, its U = dial's U x sqrt 2; square within 0.02 mm over the length read.
    near_nm, far_nm: next to the wheel and out at the pin's end, nm, of either sign. over_nm: from one to the other, above 0.
    dial_nm: U of one reading (k = 2), 0 or more.
    Raises: TradeError on a length that is nothing.
    Source: common practice, no source; ISO 14253-1:2017 for what cannot be told.

    >>> judge_lean(0, -30_000, 20_000_000, 0, Unit.MM).answer.value
    'not'
    """
    if over_nm <= 0:
        raise TradeError("The dial is moved along the pin by more than nothing.", field="over")
    lean_nm, expanded_nm = abs(far_nm - near_nm), math.ceil(dial_nm * math.sqrt(2))
    decision = decide(lean_nm, expanded_nm, None, SQUARE_NM, unit, "lean")
    return PinLean(lean_nm, over_nm, expanded_nm, decision.answer.judged)
