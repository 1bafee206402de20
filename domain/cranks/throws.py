"""A crank throw against the drawing and against its fellows: all alike matters more than exact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.answer import Answer
from domain.lengths import NM_PER_MM, Unit, show
from domain.working import Working

# Common practice, no source: throws drilled with one jig agree within a few hundredths.
ALIKE_NM = NM_PER_MM // 20
UNLIKE_NM = 3 * NM_PER_MM // 20
# A throw this far from the drawing is a misreading or a wrong jig. Common practice, no source.
FAR_NM = NM_PER_MM // 2


@dataclass(frozen=True)
class ThrowVerdict:
    """What a throw is worth beside its fellows."""

    answer: Answer
    headline: str
    reason: str
    working: Working


def judge_throw(throw_nm: int, drawing_nm: int, fellows_nm: Sequence[int], unit: Unit) -> ThrowVerdict:
    """Say whether a throw agrees with the drawing and with the other throws of the build.

    Formula: difference = largest |throw - fellow|; up to 0.05 mm alike, up to 0.15 mm with care, more not; more than
    0.5 mm off the drawing never serves. Two cranks r1, r2 on a rod of the right length ask for a summed diametral
    clearance of at least 2 |r1 - r2| in its bushes.
    Parameters: `throw_nm`, `drawing_nm` > 0, nm; `fellows_nm`, the build's other throws logged, nm; `unit`, shown first.
    Returns: the verdict.
    Raises: ValueError for a size not above zero.
    Source: the clearance is geometry (the pins' distance runs from C - |r1 - r2| to C + |r1 - r2|); the limits are
    common practice, no source.

    >>> judge_throw(22_230_000, 22_225_000, [22_240_000], Unit.MM).headline
    'Alike: within 0.010 mm (0.0004 in) of its fellows'
    """
    if min(throw_nm, drawing_nm, *fellows_nm) <= 0:
        raise ValueError("a throw is more than nothing")
    off = abs(throw_nm - drawing_nm)
    apart = max((abs(throw_nm - other) for other in fellows_nm), default=0)
    return ThrowVerdict(
        _answer(off, apart),
        _headline(off, apart, bool(fellows_nm), unit),
        _reason(off, apart, unit),
        _working(apart, off, unit),
    )


def _answer(off_nm: int, apart_nm: int) -> Answer:
    if off_nm > FAR_NM or apart_nm > UNLIKE_NM:
        return Answer.NOT
    return Answer.CAUTION if apart_nm > ALIKE_NM else Answer.SERVES


def _headline(off_nm: int, apart_nm: int, has_fellows: bool, unit: Unit) -> str:
    if off_nm > FAR_NM:
        return f"{show(off_nm, unit)} away from the drawing: measure again before going on"
    if not has_fellows:
        return f"The first throw logged: {show(off_nm, unit)} away from the drawing"
    if apart_nm > UNLIKE_NM:
        return f"Not alike: {show(apart_nm, unit)} away from a fellow, the rods will bind"
    if apart_nm > ALIKE_NM:
        return f"{show(apart_nm, unit)} away from a fellow: take care"
    return f"Alike: within {show(apart_nm, unit)} of its fellows"


def _reason(off_nm: int, apart_nm: int, unit: Unit) -> str:
    words = f"The drawing is {show(off_nm, unit)} away; that all throws of a build are alike matters more than that."
    if apart_nm:
        play = show(2 * apart_nm, unit)
        words += f" A rod between the two that differ most needs {play} of play in its two bushes together."
    return words


def _working(apart_nm: int, off_nm: int, unit: Unit) -> Working:
    return Working(
        name="throw against its fellows",
        formula="largest |r - r of a fellow|; play of two bushes = 2 |r1 - r2|",
        numbers=f"apart {show(apart_nm, unit)}, from the drawing {show(off_nm, unit)}; alike up to {show(ALIKE_NM, unit)}, "
        f"with care up to {show(UNLIKE_NM, unit)}",
        result=show(apart_nm, unit),
        source="geometry of two cranks and a rod; the limits are common practice, no source",
    )
