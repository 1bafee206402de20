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

from domain.lengths import NM_PER_MM, Unit, show
from domain.rods.causes import Cause, causes_of, main_cause
from domain.rods.correcting import Proposal, plan_of, proposals_of
from domain.rods.exact import first_order, needed_play
from domain.rods.throws import ThrowsPart, throws_part, worth_doing
from domain.rods.types import (
    RodAxle,
    RodEngine,
    RodsAnswer,
    RodsError,
    RodSide,
    RodSpan,
    check_engine,
    shape_of,
)
from domain.rods.uncertain import Lack, clearances_known, judge_lack, lack_mm, play_of
from domain.rods.words import CAUTIONS, cause_words, crank_words, proposal_words, settling_words, shown
from domain.working import Working

__all__ = [
    "CAUTIONS",
    "PairVerdict",
    "RodAxle",
    "RodEngine",
    "RodSide",
    "RodSpan",
    "RodsAnswer",
    "RodsError",
    "RodsVerdict",
    "judge_rods",
    "proposal_words",
]

_DERIVED = "derived here from the geometry of two cranks and a rod; no published source"
_WORST_FIRST = (RodsAnswer.BINDS, RodsAnswer.CANNOT_TELL, RodsAnswer.NO_CLEARANCE, RodsAnswer.GOES)


@dataclass(frozen=True)
class PairVerdict:
    """Two neighbouring axles, numbered from the front, from 1; lengths in nm.

    needed_nm: length play either way that each rod needs. lacking_nm: of it, what the bushes do not give; below 0 in
    hand; None where a clearance is not known. u_nm, guard_nm: of either. tightest_deg: the front axle's left crank.
    clearance_nm: summed clearance of a rod's two bushes that would just do; clearance_sure_nm: that surely would.
    with_slack_nm, against_slack_nm: lacking with the boxes giving way, and pushed to the worst ends of their slack;
    None without slack. throws: what unlike throws cause of it.
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
    headline: str
    reasons: tuple[str, ...]
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class RodsVerdict:
    """The engine: its worst answer, each pair, what to do (best first), and the steps that free it, in words too."""

    answer: RodsAnswer
    headline: str
    pairs: tuple[PairVerdict, ...]
    proposals: tuple[Proposal, ...]
    proposal_words: tuple[str, ...]
    plan: tuple[Proposal, ...]
    cautions: tuple[str, ...]


def judge_rods(engine: RodEngine, unit: Unit) -> RodsVerdict:
    """Say of each two neighbouring axles whether their rods go round, why not, and what would free them.

    Formula: play needed = max over a turn, least over the second axle's phase, of the worse side's |pin distance -
    rod|; the two bushes of a rod together need twice that in clearance.
    Parameters: `engine`, measured; `unit`, shown first.
    Returns: the verdict.
    Raises: RodsError with one sentence, and the field it is about.
    Source: derived here; no published source.

    >>> side = RodSide(150_000_000, 150_000_000, 60_000)
    >>> axles = tuple(RodAxle(25_400_000, 25_400_000, angle) for angle in (90.0, 90.3))
    >>> verdict = judge_rods(RodEngine(axles, (RodSpan(side, side),)), Unit.MM)
    >>> verdict.headline
    'The rods bind: axles 1 and 2 lack 0.017 mm (0.0007 in) of play'
    >>> verdict.proposal_words[0].split(":")[0]
    'Re-set axle 1 by +0.30 degrees'
    """
    check_engine(engine, unit)
    pairs = tuple(_judge_pair(engine, span, unit) for span in range(len(engine.spans)))
    answer = next(one for one in _WORST_FIRST if any(pair.answer is one for pair in pairs))
    proposals = proposals_of(engine)
    if answer is RodsAnswer.GOES:
        # There is nothing to free: what a job would gain is said, not that the rods go with it.
        proposals = tuple(replace(one, frees=None) for one in proposals)
    words = tuple(proposal_words(engine, one, unit) for one in proposals)
    plan = () if answer is RodsAnswer.GOES else worth_doing(engine, plan_of(engine, proposals))
    return RodsVerdict(answer, _headline(answer, pairs, unit), pairs, proposals, words, plan, CAUTIONS)


def _headline(answer: RodsAnswer, pairs: tuple[PairVerdict, ...], unit: Unit) -> str:
    worst = max((pair for pair in pairs if pair.answer is answer), key=lambda pair: pair.lack.mm)
    axles = f"axles {worst.first} and {worst.second}"
    if answer is RodsAnswer.GOES:
        return "The rods go round"
    if answer is RodsAnswer.BINDS:
        return f"The rods bind: {axles} lack {shown(worst.lack.mm, unit)} of play"
    if answer is RodsAnswer.CANNOT_TELL:
        return f"Cannot tell whether the rods go round: {axles} are too near the limit"
    return f"The rods need up to {show(worst.needed_nm, unit)} of play: log the bush clearances to be told whether they go"


def _judge_pair(engine: RodEngine, span: int, unit: Unit) -> PairVerdict:
    shape, lack = shape_of(engine, span), judge_lack(engine, span)
    needed = needed_play(shape)
    causes = causes_of(shape, needed.worst)
    needed_nm, guard_nm = _up(needed.worst), _up(max(0.0, lack.high_mm - lack.mm))
    given, against = _slack(engine, span)
    pair = PairVerdict(
        first=span + 1,
        second=span + 2,
        answer=lack.answer,
        needed_nm=needed_nm,
        lacking_nm=round(lack.mm * NM_PER_MM) if clearances_known(engine, span) else None,
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
        headline=_pair_headline(span, lack, unit),
        reasons=(),
        workings=(),
    )
    workings = _workings(pair, first_order(shape, needed.theta), unit)
    return replace(pair, reasons=_reasons(pair, unit), workings=workings)


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
    given = needed_play(shape, play_of(left) + slack_left, play_of(right) + slack_right).worst
    corners = (
        shape._replace(c_left=shape.c_left + way * slack_left, c_right=shape.c_right + other * slack_right)
        for way, other in product((-1, 1), repeat=2)
    )
    against = max(lack_mm(engine, span, corner)[0] for corner in corners)
    return round(given * NM_PER_MM), round(against * NM_PER_MM)


def _pair_headline(span: int, lack: Lack, unit: Unit) -> str:
    axles = f"Axles {span + 1} and {span + 2}"
    if lack.answer is RodsAnswer.GOES:
        return f"{axles}: go round, {shown(-lack.mm, unit)} of play in hand"
    if lack.answer is RodsAnswer.BINDS:
        return f"{axles}: bind, {shown(lack.mm, unit)} of play lacking"
    if lack.answer is RodsAnswer.CANNOT_TELL:
        which = f"{shown(lack.mm, unit)} lacking" if lack.mm > 0 else f"{shown(-lack.mm, unit)} in hand"
        unsure = shown(max(lack.high_mm - lack.mm, lack.mm - lack.low_mm), unit)
        return f"{axles}: cannot tell, {which} but unsure by {unsure}"
    return f"{axles}: each rod needs {shown(lack.mm, unit)} of play either way"


def _reasons(pair: PairVerdict, unit: Unit) -> tuple[str, ...]:
    """The sentences under the headline of a pair."""
    said = [
        f"Each rod needs {show(pair.needed_nm, unit)} of play either way, most {crank_words(pair.lack.theta)}: "
        f"its two bushes together {show(pair.clearance_nm, unit)} over their pins, "
        f"to be sure {show(pair.clearance_sure_nm, unit)}."
    ]
    if pair.needed_nm:
        said.append(cause_words(pair.main, pair.second, unit))
    if pair.answer is RodsAnswer.CANNOT_TELL:
        said.append(settling_words(pair.lack.settling, pair.lack.contributions, unit))
    if pair.with_slack_nm is not None and pair.against_slack_nm is not None and pair.lacking_nm is not None:
        said += _slack_words(pair.answer, pair.with_slack_nm, pair.against_slack_nm, unit)
    return tuple(said)


def _slack_words(answer: RodsAnswer, given_nm: int, against_nm: int, unit: Unit) -> list[str]:
    if answer is RodsAnswer.BINDS and given_nm > 0:
        return [f"Even with the slack of the axle boxes {show(given_nm, unit)} is lacking."]
    if answer is RodsAnswer.BINDS:
        return [
            "The slack of the axle boxes would take it up, but then the rods drag the axles to and fro at every turn: "
            "do not count on it."
        ]
    if against_nm > 0:
        return [
            f"With the boxes pushed to the ends of their slack {show(against_nm, unit)} is lacking: there the boxes "
            "give way and knock."
        ]
    return []


def _workings(pair: PairVerdict, first_order_mm: float, unit: Unit) -> tuple[Working, ...]:
    cranks = crank_words(pair.lack.theta)
    figures = [
        Working(
            "play a rod needs",
            "max over a turn of the least over the phase of the worse side's |pin distance - rod|",
            f"exact; to first order |eR bL - eL bR| / (|bR| + |bL|) gives {shown(first_order_mm, unit)} there",
            f"{show(pair.needed_nm, unit)}, {cranks}",
            _DERIVED,
        ),
        Working(
            "clearance of a rod's two bushes",
            "2 x play",
            f"2 x {show(pair.needed_nm, unit)}; shared alike, {show(pair.needed_nm, unit)} in each bush",
            show(pair.clearance_nm, unit),
            _DERIVED,
        ),
        Working(
            "uncertainty of the play",
            "the play worked 1000 times over, each measurement drawn about its value with u = U / 2",
            f"{len(pair.lack.contributions)} measurements, taken as independent",
            f"{show(pair.guard_nm, unit)} more is exceeded once in twenty",
            "JCGM 101:2008, propagation by drawing; ISO 14253-1:2017 for the risk of 5 %",
        ),
    ]
    figures += [
        Working(
            f"what the {cause.fault} add" if cause.fault.endswith("s") else f"what the {cause.fault} adds",
            "play needed as it is, less play needed with this one right",
            f"alone it needs {shown(cause.alone_mm, unit)}, without it {shown(max(0.0, cause.without_mm), unit)} is needed",
            f"{100 * cause.share:.0f} % of {shown(cause.needed_mm, unit)}",
            _DERIVED,
        )
        for cause in pair.causes
    ]
    return tuple(figures)
