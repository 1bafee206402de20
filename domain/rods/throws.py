"""What unlike throws ask of the rods, beside which a setting or a boring may be hardly worth its job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.rods.causes import Fault, righted
from domain.rods.correcting import Proposal, corrected
from domain.rods.types import RodEngine, shape_of
from domain.rods.uncertain import lack_mm

# A job that takes away less than this share of what lacks is not offered as a cure; our own choice, no published source.
WORTH_SHARE = 0.1
_MOST = 0.5


@dataclass(frozen=True)
class ThrowsPart:
    """A pair's lack of play and its throws, mm.

    lack_mm: as it is (where a clearance is not known: the play needed). without_mm: were the throws alike.
    alone_mm: were everything right but the throws.
    """

    lack_mm: float
    without_mm: float
    alone_mm: float

    @property
    def most(self) -> bool:
        """Whether the throws cause most of what lacks."""
        return self.lack_mm > 0 and self.lack_mm - max(0.0, self.without_mm) > _MOST * self.lack_mm

    @property
    def only(self) -> bool:
        """Whether nothing but the throws, or wider bushes, frees the pair."""
        return self.alone_mm > 0


def throws_part(engine: RodEngine, span: int) -> ThrowsPart:
    """How much of a pair's lack of play its throws cause, both sides together.

    Formula: the exact play over a turn, worked again with both sides' throws alike, and with all else right.
    Parameters: `engine`, one that check_engine passes; `span`, from 0.
    Returns: mm.
    Source: derived here; no published source.

    >>> from domain.rods.types import RodAxle, RodSide, RodSpan
    >>> side = RodSide(150_000_000, 150_000_000, 50_000)
    >>> axles = (RodAxle(25_654_000, 25_400_000, 90.0), RodAxle(25_400_000, 25_400_000, 90.0))
    >>> part = throws_part(RodEngine(axles, (RodSpan(side, side),)), 0)
    >>> part.most, part.only
    (True, True)
    """
    shape = shape_of(engine, span)
    alike = righted(righted(shape, Fault.LEFT_THROWS), Fault.RIGHT_THROWS)
    lone = righted(righted(shape, Fault.BOTH_RODS), Fault.QUARTERING)
    lacks = [lack_mm(engine, span, one)[0] for one in (shape, alike, lone)]
    return ThrowsPart(*lacks)


def worth_doing(engine: RodEngine, plan: Sequence[Proposal]) -> tuple[Proposal, ...]:
    """A plan without the steps that gain next to nothing; one that frees the rods in the end stays whole.

    Formula: a step stays where on some pair it bears on it takes away a tenth of what lacks there.
    Parameters: `engine`, before the first step; `plan`, as plan_of() gives it.
    Returns: the steps that stay, in their order.
    Source: our own choice, no published source.

    >>> worth_doing(RodEngine((), ()), ())
    ()
    """
    if not plan or plan[-1].frees:
        return tuple(plan)
    kept = []
    for step in plan:
        after = corrected(engine, step.correction)
        lacks = {span: lack_mm(engine, span)[0] for span in step.correction.touched(len(engine.axles))}
        lacking = {span: lack for span, lack in lacks.items() if lack > 0}
        if not lacking or any(
            lack - max(0.0, lack_mm(after, span)[0]) >= WORTH_SHARE * lack for span, lack in lacking.items()
        ):
            kept.append(step)
        engine = after
    return tuple(kept)
