"""How an axle runs between its centres, and what its journals may be."""

from dataclasses import dataclass

from domain.lengths import Unit
from domain.measuring.decision import Decision, decide
from domain.treads.judging import MeasuredSize


@dataclass(frozen=True)
class RunOut:
    """What a dial on the axle swung between centres, judged by the most that it may, nm."""

    swing: MeasuredSize
    most_nm: int
    decision: Decision


def judge_run_out(swing: MeasuredSize, most_nm: int, unit: Unit) -> RunOut:
    """Whether an axle runs true between its centres.

    Formula: the full reading of the dial (TIR), twice how far the centre is off, against the most that is allowed
    Source: geometry; ISO 14253-1:2017; the most allowed is the builder's.

    >>> judge_run_out(MeasuredSize(20_000, 2_000), 25_000, Unit.MM).decision.answer.words
    'in limits'
    """
    return RunOut(swing, most_nm, decide(swing.nm, swing.expanded_nm, None, most_nm, unit, "run-out"))


def journal_bars_wheel(journal_nm: int, seat_nm: int) -> bool:
    """Whether a journal outside the wheels is larger than the seat, so that no wheel that fits the seat comes over it.

    >>> journal_bars_wheel(20_000_000, 19_000_000), journal_bars_wheel(16_000_000, 19_000_000)
    (True, False)
    """
    return journal_nm > seat_nm
