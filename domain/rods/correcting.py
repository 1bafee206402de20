"""What would free the rods: one axle set again, or a rod's centres bored again, each worked through exactly."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from domain.rods.exact import golden, needed_play
from domain.rods.types import RodEngine, RodSpan, shape_of
from domain.rods.uncertain import clearances_known, goes, lack_mm

# A gain smaller than this is not worth a job; our own choice, no published source.
_WORTH_MM = 0.002
_SHOWN = 4
_STEPS = 4
_SAME_DEG = 1e-6


class Job(StrEnum):
    """What can be done."""

    SET_AXLE = "set axle"
    LEFT_ROD = "left rod"
    RIGHT_ROD = "right rod"
    BOTH_RODS = "both rods"


@dataclass(frozen=True)
class Correction:
    """One job: on an axle (turn_deg: the change of its quarter angle) or the rods of a span (nm: longer by).

    number: of the axle, or of the span's front axle, from 1.
    """

    job: Job
    number: int
    turn_deg: float = 0.0
    left_nm: int = 0
    right_nm: int = 0

    def touched(self, axles: int) -> tuple[int, ...]:
        """The spans it bears on, from 0."""
        if self.job is not Job.SET_AXLE:
            return (self.number - 1,)
        return tuple(span for span in (self.number - 2, self.number - 1) if 0 <= span < axles - 1)


@dataclass(frozen=True)
class Proposal:
    """A correction, the largest play needed on the spans it bears on before and after it, mm, and whether all go then.

    frees: None where a clearance is not known, or there is nothing to free.
    """

    correction: Correction
    before_mm: float
    after_mm: float
    frees: bool | None

    @property
    def gain_mm(self) -> float:
        """How much less play is needed, mm."""
        return self.before_mm - self.after_mm


def corrected(engine: RodEngine, correction: Correction) -> RodEngine:
    """The engine after a correction.

    Formula: quarter angle + turn; rod + change; how unsure each is stays as it was.
    Parameters: `engine`; `correction`.
    Returns: the engine.
    Source: by definition.

    >>> from domain.rods.types import RodAxle, RodSide
    >>> axle, side = RodAxle(25_400_000, 25_400_000, 90.0), RodSide(150_000_000, 150_020_000)
    >>> engine = RodEngine((axle, axle), (RodSpan(side, side),))
    >>> corrected(engine, Correction(Job.LEFT_ROD, 1, left_nm=-20_000)).spans[0].left.rod_nm
    150000000
    """
    at = correction.number - 1
    if correction.job is Job.SET_AXLE:
        axle = engine.axles[at]
        axles = list(engine.axles)
        axles[at] = replace(axle, quarter_deg=axle.quarter_deg + correction.turn_deg)
        return replace(engine, axles=tuple(axles))
    spans = list(engine.spans)
    left, right = spans[at].left, spans[at].right
    spans[at] = RodSpan(
        replace(left, rod_nm=left.rod_nm + correction.left_nm),
        replace(right, rod_nm=right.rod_nm + correction.right_nm),
    )
    return replace(engine, spans=tuple(spans))


def proposals_of(engine: RodEngine) -> tuple[Proposal, ...]:
    """The corrections worth making, the one that helps the whole engine most first, at most four.

    Formula: an axle is set to its neighbour's quarter angle, or between two neighbours where the worse of the two
    spans is least; a rod is bored to its axle centres; then the exact play is worked again. One error is never set
    against another, though that might need a little less play: what is put right stays right when the other is too.
    Ordered by the play still
    lacking over all spans, then by the play still needed.
    Parameters: `engine`, one that check_engine passes.
    Returns: the proposals; none where no correction takes away 0.002 mm, as where only the throws differ.
    Source: derived here; no published source.

    >>> from domain.rods.types import RodAxle, RodSide
    >>> side = RodSide(150_000_000, 150_000_000)
    >>> axles = [RodAxle(25_400_000, 25_400_000, angle) for angle in (90.0, 90.3, 90.0)]
    >>> best = proposals_of(RodEngine(tuple(axles), (RodSpan(side, side),) * 2))[0]
    >>> best.correction.number, round(best.correction.turn_deg, 2), round(best.after_mm, 3)
    (2, -0.3, 0.0)
    """
    spans = range(len(engine.spans))
    needed = [needed_play(shape_of(engine, span)).worst for span in spans]
    lacks = [lack_mm(engine, span)[0] for span in spans]
    ranked: list[tuple[tuple[float, float], Proposal]] = []
    for correction in _candidates(engine):
        after, touched = corrected(engine, correction), correction.touched(len(engine.axles))
        then = {span: needed_play(shape_of(after, span)).worst for span in touched}
        lack = {span: lack_mm(after, span)[0] for span in touched}
        order = (
            round(sum(max(0.0, lack.get(span, lacks[span])) for span in spans), 6),
            round(sum(then.get(span, needed[span]) for span in spans), 6),
        )
        before = max(needed[span] for span in touched)
        proposal = Proposal(correction, before, max(then.values()), None)
        if sum(needed[span] for span in touched) - sum(then.values()) >= _WORTH_MM:
            ranked.append((order, proposal))
    ranked.sort(key=lambda one: one[0])
    return tuple(_told(engine, proposal) for _, proposal in ranked[:_SHOWN])


def plan_of(engine: RodEngine, first: tuple[Proposal, ...] | None = None) -> tuple[Proposal, ...]:
    """The corrections one after another until every rod goes, each the best of its turn.

    Formula: the first of proposals_of, made, and again; at most four.
    Parameters: `engine`; `first`, its proposals where they are known already.
    Returns: the steps; the last one's `frees` says whether that is enough.
    Source: derived here; no published source.

    >>> from domain.rods.types import RodAxle, RodSide
    >>> side = RodSide(150_000_000, 150_000_000, 50_000)
    >>> axles = [RodAxle(25_400_000, 25_400_000, angle) for angle in (90.0, 90.3, 90.0)]
    >>> [step.frees for step in plan_of(RodEngine(tuple(axles), (RodSpan(side, side),) * 2))]
    [True]
    """
    steps: list[Proposal] = []
    offered = proposals_of(engine) if first is None else first
    while offered and len(steps) < _STEPS:
        steps.append(offered[0])
        if offered[0].frees is not False:
            break
        engine = corrected(engine, offered[0].correction)
        offered = proposals_of(engine)
    return tuple(steps)


def frees_all(engine: RodEngine, correction: Correction) -> bool | None:
    """Whether every rod of the engine goes once this correction is made, uncertainty and all.

    Formula: the exact play of every span, worked again.
    Parameters: `engine`, before it; `correction`.
    Returns: None where a clearance is not known.
    Source: derived here; no published source.

    >>> from domain.rods.types import RodAxle, RodSide
    >>> side = RodSide(150_000_000, 150_000_000, 50_000)
    >>> axles = [RodAxle(25_400_000, 25_400_000, angle) for angle in (90.02, 90.45)]
    >>> frees_all(RodEngine(tuple(axles), (RodSpan(side, side),)), Correction(Job.SET_AXLE, 2, turn_deg=-0.45))
    True
    """
    after, spans = corrected(engine, correction), range(len(engine.spans))
    if not all(clearances_known(engine, span) for span in spans):
        return None
    return all(goes(after, span) for span in spans)


def _candidates(engine: RodEngine) -> list[Correction]:
    found = []
    for number in range(1, len(engine.axles) + 1):
        turn = _best_turn(engine, number)
        if abs(turn) > _SAME_DEG:
            found.append(Correction(Job.SET_AXLE, number, turn_deg=turn))
    for number, span in enumerate(engine.spans, 1):
        left, right = span.left.centre_nm - span.left.rod_nm, span.right.centre_nm - span.right.rod_nm
        if left:
            found.append(Correction(Job.LEFT_ROD, number, left_nm=left))
        if right:
            found.append(Correction(Job.RIGHT_ROD, number, right_nm=right))
        if left and right:
            found.append(Correction(Job.BOTH_RODS, number, left_nm=left, right_nm=right))
    return found


def _best_turn(engine: RodEngine, number: int) -> float:
    """To the neighbour's quarter angle; between two that differ, where the worse of the two spans is least."""
    own = engine.axles[number - 1].quarter_deg
    others = [engine.axles[at].quarter_deg for at in (number - 2, number) if 0 <= at < len(engine.axles)]
    low, high = min(others), max(others)
    if high - low <= _SAME_DEG:
        return low - own
    return golden(_worse_of_two(engine, number), low - own, high - own, 0.005)[0]


def _worse_of_two(engine: RodEngine, number: int) -> Callable[[float], float]:
    def worse(turn: float) -> float:
        after = corrected(engine, Correction(Job.SET_AXLE, number, turn_deg=turn))
        return max(lack_mm(after, span)[0] for span in (number - 2, number - 1))

    return worse


def _told(engine: RodEngine, proposal: Proposal) -> Proposal:
    """The proposal with whether every rod of the engine goes after it, uncertainty and all."""
    return replace(proposal, frees=frees_all(engine, proposal.correction))
