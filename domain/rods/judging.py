"""Will the rods go round? Each two neighbouring axles of an engine judged, and what would free them.

Assumed: rods jointed so that each pair of axles is judged on its own; the axles level and square to the frames, each
at the centres measured, with the boxes in the middle of their slack; the second axle free to turn to its best phase;
rods, pins and axles stiff. Each position is judged for itself: that the phase has to pass from the best of one to the
best of the next asks for more by second order only. The slack of the boxes is never counted upon for "goes": what it
would take up, and what is lacking when the boxes are pushed to its ends, are said beside the verdict.
"""

import math
from dataclasses import dataclass, replace
from itertools import product

from domain.lengths import NM_PER_MM, Unit
from domain.rods.engine import RodEngine, check_engine, shape_of
from domain.rods.exact import first_order, needed_play
from domain.rods.lack import Lack, RodsAnswer, judge_lack, lack_mm
from domain.rods.remedies import (
    Cause,
    Proposal,
    ThrowsPart,
    causes_of,
    main_cause,
    plan_of,
    proposals_of,
    throws_part,
    worth_doing,
)

_LITTLE_NM = 10_000
_WORST_FIRST = (RodsAnswer.BINDS, RodsAnswer.CANNOT_TELL, RodsAnswer.NO_CLEARANCE, RodsAnswer.GOES)


@dataclass(frozen=True)
class PairVerdict:
    """Two neighbouring axles by their numbers; lengths in nm.

    needed_nm: length play either way that each rod needs. lacking_nm: of it, what the bushes do not give; below 0 in
    hand; None where a clearance is not known. guard_nm: of either. tightest_deg: the front axle's left crank.
    clearance_nm: summed clearance of a rod's two bushes that would just do; clearance_sure_nm: that surely would.
    with_slack_nm, against_slack_nm: lacking with the boxes giving way, and pushed to the worst ends of their slack;
    None without slack. throws: what unlike throws cause of it. first_order_mm: the play needed by the rule of thumb.
    """

    first: int
    second: int
    answer: RodsAnswer
    needed_nm: int
    lacking_nm: int | None
    guard_nm: int
    tightest_deg: float
    clearance_nm: int
    clearance_sure_nm: int
    with_slack_nm: int | None
    against_slack_nm: int | None
    causes: tuple[Cause, ...]
    main: Cause | None
    lack: Lack
    throws: ThrowsPart
    first_order_mm: float

    @property
    def more_nm(self) -> int:
        """What the clearance of each rod, its two bushes added, lacks to go for sure, nm; below 0 what is in hand.

        Formula: twice the play lacking, with what is not sure of it; the clearance needed itself where it is not known.
        """
        return _up(2 * max(self.lack.mm, self.lack.high_mm))

    @property
    def little(self) -> bool:
        """Whether they go round with next to nothing in hand.

        Source: our own choice, no published source: a film of oil in the bushes takes that much.
        """
        return self.answer is RodsAnswer.GOES and self.more_nm > -_LITTLE_NM


@dataclass(frozen=True)
class RodsVerdict:
    """The engine: its worst answer, each pair, what to do (best first), and the steps that free it."""

    answer: RodsAnswer
    pairs: tuple[PairVerdict, ...]
    proposals: tuple[Proposal, ...]
    plan: tuple[Proposal, ...]

    @property
    def cured(self) -> bool:
        """Whether the steps of its plan free it."""
        return bool(self.plan and self.plan[-1].frees)

    @property
    def worst(self) -> PairVerdict:
        """The pair that lacks most of those with the engine's answer."""
        return max((pair for pair in self.pairs if pair.answer is self.answer), key=lambda pair: pair.lack.mm)


def judge_rods(engine: RodEngine, unit: Unit) -> RodsVerdict:
    """Say of each two neighbouring axles whether their rods go round, why not, and what would free them.

    Formula: play needed = max over a turn, least over the second axle's phase, of the worse side's |pin distance -
    rod|; the two bushes of a rod together need twice that in clearance.
    Raises: RodsError, its sentence in `unit` first.
    Source: derived here; no published source.

    >>> from domain.rods.engine import RodAxle, RodSide, RodSpan
    >>> side = RodSide(150_000_000, 150_000_000, 60_000)
    >>> axles = tuple(RodAxle(25_400_000, 25_400_000, angle) for angle in (90.0, 90.3))
    >>> verdict = judge_rods(RodEngine(axles, (RodSpan(side, side),)), Unit.MM)
    >>> verdict.answer.value, round(verdict.worst.lack.mm, 3), verdict.plan[0].frees
    ('binds', 0.017, True)
    """
    check_engine(engine, unit)
    pairs = tuple(_judge_pair(engine, span) for span in range(len(engine.spans)))
    answer = next(one for one in _WORST_FIRST if any(pair.answer is one for pair in pairs))
    proposals = proposals_of(engine)
    if answer is RodsAnswer.GOES:
        # There is nothing to free: what a job would gain is said, not that the rods go with it.
        proposals = tuple(replace(one, frees=None) for one in proposals)
    plan = () if answer is RodsAnswer.GOES else worth_doing(engine, plan_of(engine, proposals))
    return RodsVerdict(answer, pairs, proposals, plan)


def _judge_pair(engine: RodEngine, span: int) -> PairVerdict:
    shape, lack = shape_of(engine, span), judge_lack(engine, span)
    needed = needed_play(shape)
    causes = causes_of(shape, needed.worst)
    needed_nm, guard_nm = _up(needed.worst), _up(max(0.0, lack.high_mm - lack.mm))
    given, against = _slack(engine, span)
    return PairVerdict(
        first=engine.number(span + 1),
        second=engine.number(span + 2),
        answer=lack.answer,
        needed_nm=needed_nm,
        lacking_nm=round(lack.mm * NM_PER_MM) if engine.spans[span].clearances_known else None,
        guard_nm=guard_nm,
        tightest_deg=math.degrees(lack.theta) % 360,
        clearance_nm=2 * needed_nm,
        clearance_sure_nm=2 * (needed_nm + guard_nm),
        with_slack_nm=given,
        against_slack_nm=against,
        causes=causes,
        main=main_cause(causes),
        lack=lack,
        throws=throws_part(engine, span),
        first_order_mm=first_order(shape, needed.theta),
    )


def _up(mm: float) -> int:
    """To whole nm, up; a billionth of a millimetre too much is the sum's own."""
    return math.ceil(mm * NM_PER_MM - 0.01)


def _slack(engine: RodEngine, span: int) -> tuple[int | None, int | None]:
    """What is lacking with the boxes giving way as the rods ask, and with them pushed to their worst ends, nm."""
    left, right = engine.spans[span].left, engine.spans[span].right
    slack_left, slack_right = left.slack_nm / NM_PER_MM, right.slack_nm / NM_PER_MM
    if not (slack_left or slack_right):
        return None, None
    shape = shape_of(engine, span)
    # The rods lie so nearly level that a box moving by its slack moves the pins' distance by as much.
    given = needed_play(shape, left.play_mm + slack_left, right.play_mm + slack_right).worst
    corners = (
        shape._replace(c_left=shape.c_left + way * slack_left, c_right=shape.c_right + other * slack_right)
        for way, other in product((-1, 1), repeat=2)
    )
    against = max(lack_mm(engine, span, corner)[0] for corner in corners)
    return round(given * NM_PER_MM), round(against * NM_PER_MM)
