"""What makes a pair bind, and what frees the rods: each error put right on its own, each job worked through exactly."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from domain.rods.engine import RodEngine, RodSpan, shape_of
from domain.rods.exact import Shape, golden, needed_play
from domain.rods.lack import goes, lack_mm

# An error that takes away less than this share of the play is not the one that causes most of it.
_MOST_SHARE = 0.1
# Two rods wrong together are named only where that takes away so much more than one of them.
_TOGETHER_SHARE = 0.25
# Throws are to blame where they cause more than this part of what lacks.
_MOST = 0.5
# A job that takes away less than this share of what lacks is not offered as a cure; our own choice, no published source.
WORTH_SHARE = 0.1
# A gain smaller than this is not worth a job; our own choice, no published source.
_WORTH_MM = 0.002
_SHOWN = 4
_STEPS = 4
_SAME_DEG = 1e-6


class Fault(StrEnum):
    """What can be wrong with a pair."""

    LEFT_THROWS = "left throws"
    RIGHT_THROWS = "right throws"
    QUARTERING = "quartering"
    LEFT_ROD = "left rod"
    RIGHT_ROD = "right rod"
    BOTH_RODS = "both rods"


SINGLE = tuple(fault for fault in Fault if fault is not Fault.BOTH_RODS)


@dataclass(frozen=True)
class Cause:
    """One fault: its size (second less first, or rod less centres), mm or, for quartering, radians, and play, mm.

    alone_mm: the play needed were all else right. without_mm: the play still needed were this one right.
    """

    fault: Fault
    size: float
    needed_mm: float
    alone_mm: float
    without_mm: float

    @property
    def gain_mm(self) -> float:
        """How much less play is needed with this one put right, mm; below 0 where it had hidden another."""
        return self.needed_mm - self.without_mm

    @property
    def share(self) -> float:
        """The gain as a part of the play needed, at most 1; nothing when none is needed."""
        return self.gain_mm / self.needed_mm if self.needed_mm else 0.0


def righted(shape: Shape, fault: Fault) -> Shape:
    """The pair with one fault put right.

    Formula: throws and quarter angles of the two axles each become their mean; a rod becomes its axle centres.

    >>> righted(Shape(150, 150, 149, 150, 25, 25, 25, 25, 1.5, 1.5), Fault.LEFT_ROD).l_left
    150
    """
    if fault is Fault.LEFT_THROWS:
        mean = (shape.r1_left + shape.r2_left) / 2
        return shape._replace(r1_left=mean, r2_left=mean)
    if fault is Fault.RIGHT_THROWS:
        mean = (shape.r1_right + shape.r2_right) / 2
        return shape._replace(r1_right=mean, r2_right=mean)
    if fault is Fault.QUARTERING:
        mean = (shape.q1 + shape.q2) / 2
        return shape._replace(q1=mean, q2=mean)
    left = shape.c_left if fault is not Fault.RIGHT_ROD else shape.l_left
    right = shape.c_right if fault is not Fault.LEFT_ROD else shape.l_right
    return shape._replace(l_left=left, l_right=right)


def size_of(shape: Shape, fault: Fault) -> float:
    """How large a fault is.

    Formula: second axle less first; rod less axle centres; for both rods the one of larger size.
    Returns: mm; radians for quartering, above 0 where the second axle's angle is the wider.

    >>> size_of(Shape(150, 150, 149, 150, 25, 25, 25, 25, 1.5, 1.5), Fault.LEFT_ROD)
    -1
    """
    left, right = shape.l_left - shape.c_left, shape.l_right - shape.c_right
    return {
        Fault.LEFT_THROWS: shape.r2_left - shape.r1_left,
        Fault.RIGHT_THROWS: shape.r2_right - shape.r1_right,
        Fault.QUARTERING: abs(shape.q2) - abs(shape.q1),
        Fault.LEFT_ROD: left,
        Fault.RIGHT_ROD: right,
        Fault.BOTH_RODS: max(left, right, key=abs),
    }[fault]


def alone(shape: Shape, fault: Fault) -> Shape:
    """The pair with everything right but one fault.

    Formula: every other fault put right.

    >>> alone(Shape(150, 150, 149, 151, 25, 25, 25, 25, 1.5, 1.5), Fault.LEFT_ROD).l_right
    150
    """
    kept = (Fault.LEFT_ROD, Fault.RIGHT_ROD) if fault is Fault.BOTH_RODS else (fault,)
    for other in SINGLE:
        if other not in kept:
            shape = righted(shape, other)
    return shape


def causes_of(shape: Shape, needed_mm: float | None = None) -> tuple[Cause, ...]:
    """Each fault that is there, the one that takes away most of the play when put right first.

    Formula: the exact play over a turn, worked again with the fault put right and with it alone.
    Parameters: `shape`; `needed_mm`, the play needed as it is, mm, where it is known already.
    Returns: the causes, by gain, then by what they ask for alone; none for a pair without a fault.
    Source: derived here; no published source.

    >>> [cause.fault.value for cause in causes_of(Shape(150, 150, 149.9, 150, 25, 25, 25, 25, 1.5, 1.5))]
    ['left rod']
    """
    needed = needed_play(shape).worst if needed_mm is None else needed_mm
    found = []
    for fault in Fault:
        size = size_of(shape, fault)
        if fault is Fault.BOTH_RODS and not (
            size_of(shape, Fault.LEFT_ROD) and size_of(shape, Fault.RIGHT_ROD)
        ):
            continue
        if size:
            without = needed_play(righted(shape, fault)).worst
            found.append(Cause(fault, size, needed, needed_play(alone(shape, fault)).worst, without))
    return tuple(sorted(found, key=lambda cause: (-round(cause.gain_mm, 9), -cause.alone_mm)))


def main_cause(causes: tuple[Cause, ...]) -> Cause | None:
    """The one fault that causes most of the play, or both rods where neither alone would do.

    Formula: the largest gain of a single fault; both rods where they gain over a quarter of the play more than that.
    Returns: the cause; None where putting right any of them takes away less than a tenth of the play.
    Source: our own choice, no published source.

    >>> main_cause(causes_of(Shape(150, 150, 149.9, 149.9, 25, 25, 25, 25, 1.5, 1.5))).fault.value
    'both rods'
    """
    singles = [cause for cause in causes if cause.fault is not Fault.BOTH_RODS]
    both = next((cause for cause in causes if cause.fault is Fault.BOTH_RODS), None)
    best = max(singles, key=lambda cause: (cause.gain_mm, cause.alone_mm), default=None)
    if best and both and both.share > best.share + _TOGETHER_SHARE:
        best = both
    return best if best and best.share >= _MOST_SHARE else None


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
    Source: derived here; no published source.

    >>> from domain.rods.engine import RodAxle, RodSide, RodSpan
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


class Job(StrEnum):
    """What can be done."""

    SET_AXLE = "set axle"
    LEFT_ROD = "left rod"
    RIGHT_ROD = "right rod"
    BOTH_RODS = "both rods"


@dataclass(frozen=True)
class Correction:
    """One job: on an axle (turn_deg: the change of its quarter angle) or the rods of a span (nm: longer by).

    place: of the axle, or of the span's front axle, counted from the front, from 1.
    """

    job: Job
    place: int
    turn_deg: float = 0.0
    left_nm: int = 0
    right_nm: int = 0

    def touched(self, axles: int) -> tuple[int, ...]:
        """The spans it bears on, from 0."""
        if self.job is not Job.SET_AXLE:
            return (self.place - 1,)
        return tuple(span for span in (self.place - 2, self.place - 1) if 0 <= span < axles - 1)


@dataclass(frozen=True)
class Proposal:
    """A correction, the largest play needed on the spans it bears on before and after it, mm, and whether all go then.

    frees: None where a clearance is not known, or there is nothing to free.
    """

    correction: Correction
    before_mm: float
    after_mm: float
    frees: bool | None


def corrected(engine: RodEngine, correction: Correction) -> RodEngine:
    """The engine after a correction.

    Formula: quarter angle + turn; rod + change; how unsure each is stays as it was.

    >>> from domain.rods.engine import RodAxle, RodSide
    >>> axle, side = RodAxle(25_400_000, 25_400_000, 90.0), RodSide(150_000_000, 150_020_000)
    >>> engine = RodEngine((axle, axle), (RodSpan(side, side),))
    >>> corrected(engine, Correction(Job.LEFT_ROD, 1, left_nm=-20_000)).spans[0].left.rod_nm
    150000000
    """
    at = correction.place - 1
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
    Ordered by the play still lacking over all spans, then by the play still needed; of axles that gain alike, to a
    micrometre, the one furthest from the drawing's angle first.
    Parameters: `engine`, one that check_engine passes.
    Returns: the proposals; none where no correction takes away 0.002 mm, as where only the throws differ.
    Source: derived here; no published source.

    >>> from domain.rods.engine import RodAxle, RodSide
    >>> side = RodSide(150_000_000, 150_000_000)
    >>> axles = [RodAxle(25_400_000, 25_400_000, angle) for angle in (90.0, 90.3, 90.0)]
    >>> best = proposals_of(RodEngine(tuple(axles), (RodSpan(side, side),) * 2))[0]
    >>> best.correction.place, round(best.correction.turn_deg, 2), round(best.after_mm, 3)
    (2, -0.3, 0.0)
    """
    spans = range(len(engine.spans))
    needed = [needed_play(shape_of(engine, span)).worst for span in spans]
    lacks = [lack_mm(engine, span)[0] for span in spans]
    ranked: list[tuple[tuple[float, float, float], Proposal]] = []
    for correction in _candidates(engine):
        after, touched = corrected(engine, correction), correction.touched(len(engine.axles))
        then = {span: needed_play(shape_of(after, span)).worst for span in touched}
        lack = {span: lack_mm(after, span)[0] for span in touched}
        order = (
            round(sum(max(0.0, lack.get(span, lacks[span])) for span in spans), 3),
            round(sum(then.get(span, needed[span]) for span in spans), 3),
            -_off(engine, correction),
        )
        before = max(needed[span] for span in touched)
        proposal = Proposal(correction, before, max(then.values()), None)
        if sum(needed[span] for span in touched) - sum(then.values()) >= _WORTH_MM:
            ranked.append((order, proposal))
    ranked.sort(key=lambda one: one[0])
    return tuple(_told(engine, proposal) for _, proposal in ranked[:_SHOWN])


def _off(engine: RodEngine, correction: Correction) -> float:
    """How far the axle that is set again is from the drawing's angle as it is, degrees; nothing for rods."""
    if correction.job is not Job.SET_AXLE:
        return 0.0
    return abs(engine.axles[correction.place - 1].quarter_deg - engine.wanted_deg)


def plan_of(engine: RodEngine, first: tuple[Proposal, ...] | None = None) -> tuple[Proposal, ...]:
    """The corrections one after another until every rod goes, each the best of its turn.

    Formula: the first of proposals_of, made, and again; at most four.
    Parameters: `engine`; `first`, its proposals where they are known already.
    Returns: the steps; the last one's `frees` says whether that is enough.
    Source: derived here; no published source.

    >>> from domain.rods.engine import RodAxle, RodSide
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


def worth_doing(engine: RodEngine, plan: Sequence[Proposal]) -> tuple[Proposal, ...]:
    """A plan without the steps that gain next to nothing; one that frees the rods in the end stays whole.

    Formula: a step stays where on some pair it bears on it takes away a tenth of what lacks there.
    Parameters: `engine`, before the first step; `plan`, as plan_of() gives it.
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


def frees_all(engine: RodEngine, correction: Correction) -> bool | None:
    """Whether every rod of the engine goes once this correction is made, uncertainty and all.

    Formula: the exact play of every span, worked again.
    Returns: None where a clearance is not known.
    Source: derived here; no published source.

    >>> from domain.rods.engine import RodAxle, RodSide
    >>> side = RodSide(150_000_000, 150_000_000, 50_000)
    >>> axles = [RodAxle(25_400_000, 25_400_000, angle) for angle in (90.02, 90.45)]
    >>> frees_all(RodEngine(tuple(axles), (RodSpan(side, side),)), Correction(Job.SET_AXLE, 2, turn_deg=-0.45))
    True
    """
    after, spans = corrected(engine, correction), range(len(engine.spans))
    if not all(span.clearances_known for span in engine.spans):
        return None
    return all(goes(after, span) for span in spans)


def _candidates(engine: RodEngine) -> list[Correction]:
    found = []
    for place in range(1, len(engine.axles) + 1):
        turn = _best_turn(engine, place)
        if abs(turn) > _SAME_DEG:
            found.append(Correction(Job.SET_AXLE, place, turn_deg=turn))
    for place, span in enumerate(engine.spans, 1):
        left, right = span.left.centre_nm - span.left.rod_nm, span.right.centre_nm - span.right.rod_nm
        if left:
            found.append(Correction(Job.LEFT_ROD, place, left_nm=left))
        if right:
            found.append(Correction(Job.RIGHT_ROD, place, right_nm=right))
        if left and right:
            found.append(Correction(Job.BOTH_RODS, place, left_nm=left, right_nm=right))
    return found


def _best_turn(engine: RodEngine, place: int) -> float:
    """To the neighbour's quarter angle; between two that differ, where the worse of the two spans is least."""
    own = engine.axles[place - 1].quarter_deg
    others = [engine.axles[at].quarter_deg for at in (place - 2, place) if 0 <= at < len(engine.axles)]
    low, high = min(others), max(others)
    if high - low <= _SAME_DEG:
        return low - own
    return golden(_worse_of_two(engine, place), low - own, high - own, 0.005)[0]


def _worse_of_two(engine: RodEngine, place: int) -> Callable[[float], float]:
    def worse(turn: float) -> float:
        after = corrected(engine, Correction(Job.SET_AXLE, place, turn_deg=turn))
        return max(lack_mm(after, span)[0] for span in (place - 2, place - 1))

    return worse


def _told(engine: RodEngine, proposal: Proposal) -> Proposal:
    """The proposal with whether every rod of the engine goes after it, uncertainty and all."""
    return replace(proposal, frees=frees_all(engine, proposal.correction))
