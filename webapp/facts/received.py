"""The castings of a build side by side as they came: ranked, and which are proposed for the places."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from domain.route.stages import Stage
from domain.stock import words as say
from domain.stock.ranking import SparesProposal, propose_spares, rank
from domain.stock.receiving import Flaw, Received
from domain.stock.sharing import CleanUp
from webapp.facts.receiving import ANSWERS, Judgement, judge_casting, seen_on, weight_words
from webapp.facts.unfit import unfit, why_unfit
from webapp.records.views import SIDES, BuildView, CastingView
from webapp.typed.receiving import FLAWS

# The small step that says that somebody looked at it.
_LOOKED_OVER = "received.looked_over"
_SURE = (CleanUp.CLEANS_UP, CleanUp.JUST)


@dataclass(frozen=True, slots=True)
class ReceivedLine:
    """One casting in its order."""

    casting: CastingView
    where: str
    # None where it cannot be ranked: not measured yet, or in part.
    rank: int | None
    verdict: str
    answer: str
    words: str
    weight: str
    flaws: tuple[str, ...]
    proposed: str


@dataclass(frozen=True, slots=True)
class WantedMove:
    """One thing to do so that the places get the castings proposed, and where to do it."""

    words: str
    href: str
    link: str


@dataclass(frozen=True, slots=True)
class ReceivedTable:
    """Everything on the build's sheet."""

    lines: tuple[ReceivedLine, ...]
    troubled: tuple[tuple[CastingView, str], ...]
    # Of these nothing can be said yet: those not measured, and those measured in part.
    waiting: tuple[CastingView, ...]
    in_part: tuple[CastingView, ...]
    any_received: bool
    words: str
    moves: tuple[WantedMove, ...]


@dataclass(frozen=True, slots=True)
class _Pool:
    """The castings by mark, those already cut in their places, those not measured, and what is proposed for the rest."""

    by_mark: dict[str, CastingView]
    judged: dict[str, Received]
    held: frozenset[str]
    unknown: frozenset[str]
    proposal: SparesProposal
    any_dialled: bool


def received_table(build: BuildView) -> ReceivedTable:
    """All castings that are not scrapped, best first."""
    castings = _in_order(build)
    judged = {one.mark: judge_casting(build, one) for one in castings}
    told = [(mark, one.received) for mark, one in judged.items() if one.received]
    by_mark = {one.mark: one for one in castings}
    held = frozenset(mark for mark, one in by_mark.items() if _held(build, one))
    ranked = rank([(mark, one) for mark, one in told if one.verdict is not CleanUp.CANNOT_TELL])
    unknown = [mark for mark, one in told if one.verdict is CleanUp.CANNOT_TELL]
    free = [one for one in ranked if one.mark not in held]
    # What is not measured keeps its place, or stays a spare: it is neither better nor poorer than another.
    stay = [mark for mark in by_mark if mark not in {one.mark for one in free}]
    places = len(SIDES) * len(build.axles) - sum(by_mark[mark].state == "in_work" for mark in stay)
    proposal = propose_spares(free, max(0, places))
    spare = sum(by_mark[mark].state == "spare" for mark in stay)
    proposal = replace(proposal, short=max(0, proposal.short - spare))
    any_dialled = any(one.dialled for _, one in told)
    pool = _Pool(by_mark, dict(told), held, frozenset(unknown), proposal, any_dialled)
    rest = sorted(unknown, key=lambda mark: by_mark[mark].receipt is None)
    unjudged = [one for one in castings if one.mark in pool.unknown and one.mark not in held]
    return ReceivedTable(
        lines=(
            *(_line(build, one.mark, pool, one.rank) for one in ranked),
            *(_line(build, mark, pool) for mark in rest),
        ),
        troubled=tuple((by_mark[mark], one.trouble.words) for mark, one in judged.items() if one.trouble),
        waiting=tuple(one for one in unjudged if one.receipt is None),
        in_part=tuple(one for one in unjudged if one.receipt),
        any_received=any(one.receipt for one in castings),
        words=say.spares(
            proposal,
            unjudged=bool(unjudged),
            cracked=[mark for mark, received in told if received.cracked],
        ),
        moves=tuple(_moves(build, pool)),
    )


def _in_order(build: BuildView) -> list[CastingView]:
    """Those at their places first, so that castings alike stay where they are."""
    places = [wheel for axle in build.axles for wheel in axle.wheels]
    return places + [one for one in build.castings if one.state == "spare"]


def _held(build: BuildView, casting: CastingView) -> bool:
    """Whether it is in work and has been cut already: it keeps its place."""
    return casting.state == "in_work" and casting.has(build.order_of(casting).first_cut)


def _line(build: BuildView, mark: str, pool: _Pool, rank: int | None = None) -> ReceivedLine:
    casting, received = pool.by_mark[mark], pool.judged[mark]
    receipt, verdict = casting.receipt, received.verdict
    not_yet = f"not measured {'as it came' if mark in pool.held else 'yet'}"
    return ReceivedLine(
        casting,
        build.where(casting),
        rank=rank,
        verdict=say.HEADLINES[verdict] if receipt else not_yet,
        answer=ANSWERS[verdict],
        words=say.ranked(received, build.unit, any_dialled=pool.any_dialled) if receipt else "",
        weight=weight_words(build, receipt),
        flaws=tuple(FLAWS[name][0] for name in FLAWS if name in seen_on(receipt)),
        proposed=_proposed(mark, pool),
    )


def _proposed(mark: str, pool: _Pool) -> str:
    if mark in pool.held:
        return "in work, cut already"
    if mark in pool.unknown:
        return "nothing yet"
    if mark in pool.proposal.in_work:
        return "a place"
    return "spare" if mark in pool.proposal.spares else f"no place: {_no_place(pool.judged[mark])}"


def _no_place(received: Received) -> str:
    return "cracked" if received.cracked else "too small"


def _moves(build: BuildView, pool: _Pool) -> Iterator[WantedMove]:
    """What differs from the places now, one move at a time; nothing is moved for a casting not measured."""
    wanted = [
        pool.by_mark[mark]
        for mark in pool.proposal.in_work
        if pool.by_mark[mark].state == "spare" and pool.judged[mark].verdict in _SURE
    ]
    for axle in build.axles:
        for side in SIDES:
            if axle.at(side) is None and wanted:
                better = wanted.pop(0)
                words = f"Put {better.mark} in the empty place at axle {axle.number}, {side}."
                yield WantedMove(words, f"/axles/{axle.id}", f"To axle {axle.number}")
    leaving = [*pool.proposal.unfit, *reversed(pool.proposal.spares)]
    for mark in leaving:
        casting = pool.by_mark[mark]
        if casting.state != "in_work":
            continue
        unfit = mark in pool.proposal.unfit
        if not unfit and (not wanted or pool.judged[mark].verdict not in _SURE):
            continue
        yield from _swap(build, casting, wanted.pop(0) if wanted else None, unfit)


def _swap(
    build: BuildView, casting: CastingView, better: CastingView | None, unfit: bool
) -> Iterator[WantedMove]:
    where = build.where(casting)
    why = why_unfit(casting) if unfit else "is one of the poorest"
    words = f"{casting.mark} at {where} {why}: take it out of its place, to the spares."
    yield WantedMove(words, f"/castings/{casting.id}", f"To {casting.mark}")
    axle = build.axle(casting.axle_id)
    if axle is None:
        return
    if better is None:
        yield WantedMove(
            f"No spare is known to clean up for {where}: measure the others, or order one.",
            f"/builds/{build.id}?open=more-castings#fold-more-castings",
            "Castings have come",
        )
        return
    yield WantedMove(f"Then put {better.mark} there.", f"/axles/{axle.id}", f"To axle {axle.number}")


def flaws_noted(casting: CastingView) -> str:
    """The flaws seen on a casting as it came, in a word or two, for whatever tells of it in one line."""
    return say.noted([Flaw(name) for name in seen_on(casting.receipt)])


def received_asked(build: BuildView, casting: CastingView, *, cut_settles: bool = True) -> str:
    """What is asked before a casting is ticked received: that it does not clean up, or that its figures contradict.

    Sizes that are not measured, some or all, are shown and not asked about: whoever measures some is asked no more
    than who measures none. cut_settles: whether of one that was cut since only that it does not clean up is asked.
    """
    seen = build.of(casting)
    cut = cut_settles and casting.has(seen.order_of(casting).first_cut)
    if casting.receipt is None or (cut and not unfit(build, casting)):
        return ""
    brief = received_brief(seen, casting)
    received = brief.judgement.received
    asked = received is None or received.verdict is CleanUp.DOES_NOT
    return f"{casting.mark} as it came: {brief.words}" if asked else ""


@dataclass(frozen=True, slots=True)
class ReceivedBrief:
    """The short verdict on a casting's own sheet."""

    casting: CastingView
    judgement: Judgement
    words: str
    headline: str

    @property
    def standing(self) -> str:
        """The verdict and the flaws that were seen, in a line."""
        noted = flaws_noted(self.casting)
        return f"{self.headline}{', ' if noted else ''}{noted}"

    @property
    def answer(self) -> str:
        """How the verdict looks."""
        return self.judgement.answer


def received_brief(build: BuildView, casting: CastingView) -> ReceivedBrief:
    """The verdict in short, or that there is none yet."""
    judgement = judge_casting(build, casting)
    if casting.receipt is None:
        looked = casting.has(Stage.RECEIVED) or _LOOKED_OVER in casting.ticks
        headline = "Looked over, not measured" if looked else "Not looked over yet"
        return ReceivedBrief(casting, judgement, "Measure it before the first cut.", headline)
    if judgement.received is None:
        words = judgement.trouble.words if judgement.trouble else ""
        return ReceivedBrief(casting, judgement, words, "Cannot tell")
    received = judgement.received
    headline = say.HEADLINES[received.verdict].capitalize()
    return ReceivedBrief(casting, judgement, say.received(received, build.unit), headline)
