"""The castings of a build side by side as they came: ranked, and which are proposed for the places."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from domain.stock import words as say
from domain.stock.ranking import Ranked, SparesProposal, propose_spares, rank
from domain.stock.receiving import Received
from domain.stock.sharing import CleanUp
from webapp.facts.receiving import ANSWERS, Judgement, judge_casting, seen_on, weight_words
from webapp.facts.unfit import unfit
from webapp.records.views import SIDES, BuildView, CastingView
from webapp.typed.receiving import FLAWS

_SURE = (CleanUp.CLEANS_UP, CleanUp.JUST)
_ASKED = (ANSWERS[CleanUp.DOES_NOT], ANSWERS[CleanUp.CANNOT_TELL])


@dataclass(frozen=True, slots=True)
class ReceivedLine:
    """One casting in its order."""

    casting: CastingView
    where: str
    # None where it is not measured yet.
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
    waiting: tuple[CastingView, ...]
    any_received: bool
    words: str
    moves: tuple[WantedMove, ...]


@dataclass(frozen=True, slots=True)
class _Pool:
    """The castings by mark, those already cut in their places, and what is proposed for the rest."""

    by_mark: dict[str, CastingView]
    judged: dict[str, Received]
    held: frozenset[str]
    proposal: SparesProposal


def received_table(build: BuildView) -> ReceivedTable:
    """All castings that are not scrapped, best first."""
    castings = _in_order(build)
    judged = {one.mark: judge_casting(build, one) for one in castings}
    ranked = rank([(mark, one.received) for mark, one in judged.items() if one.received])
    by_mark = {one.mark: one for one in castings}
    held = frozenset(mark for mark, one in by_mark.items() if _held(build, one))
    free = [one for one in ranked if one.mark not in held]
    proposal = propose_spares(free, max(0, len(SIDES) * len(build.axles) - len(held)))
    pool = _Pool(by_mark, {one.mark: one.received for one in ranked}, held, proposal)
    measured = rank([(one.mark, one.received) for one in ranked if by_mark[one.mark].receipt])
    unmeasured = [one for one in ranked if by_mark[one.mark].receipt is None]
    return ReceivedTable(
        lines=tuple(_line(build, one, pool) for one in (*measured, *unmeasured)),
        troubled=tuple((by_mark[mark], one.trouble.words) for mark, one in judged.items() if one.trouble),
        waiting=tuple(one for one in castings if one.receipt is None and one.mark not in held),
        any_received=any(one.receipt for one in castings),
        words=say.spares(proposal),
        moves=tuple(_moves(build, pool)),
    )


def _in_order(build: BuildView) -> list[CastingView]:
    """Those at their places first, so that castings alike stay where they are."""
    places = [wheel for axle in build.axles for wheel in axle.wheels]
    return places + [one for one in build.castings if one.state == "spare"]


def _held(build: BuildView, casting: CastingView) -> bool:
    """Whether it is in work and has been cut already: it keeps its place."""
    return casting.state == "in_work" and casting.has(build.order_of(casting).first_cut)


def _line(build: BuildView, one: Ranked, pool: _Pool) -> ReceivedLine:
    casting = pool.by_mark[one.mark]
    receipt = casting.receipt
    verdict = one.received.verdict
    not_yet = f"not measured {'as it came' if one.mark in pool.held else 'yet'}"
    return ReceivedLine(
        casting,
        build.where(casting),
        rank=one.rank if receipt else None,
        verdict=say.HEADLINES[verdict] if receipt else not_yet,
        answer=ANSWERS[verdict],
        words=say.ranked(one.received, build.unit) if receipt else "",
        weight=weight_words(build, receipt),
        flaws=tuple(FLAWS[name][0] for name in FLAWS if name in seen_on(receipt)),
        proposed=_proposed(one.mark, pool),
    )


def _proposed(mark: str, pool: _Pool) -> str:
    if mark in pool.held:
        return "in work, cut already"
    if mark in pool.proposal.in_work:
        return "a place"
    return "spare" if mark in pool.proposal.spares else "no place: too small"


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
    why = "does not clean up" if unfit else "is one of the poorest"
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


def received_asked(build: BuildView, casting: CastingView, *, cut_settles: bool = True) -> str:
    """What is asked before a casting that was measured is ticked received; empty where it cleans up.

    cut_settles: whether one that was cut since is not asked about any more, but that it does not clean up.
    """
    seen = build.of(casting)
    cut = cut_settles and casting.has(seen.order_of(casting).first_cut)
    if casting.receipt is None or (cut and not unfit(build, casting)):
        return ""
    brief = received_brief(seen, casting)
    return f"{casting.mark} as it came: {brief.words}" if brief.answer in _ASKED else ""


@dataclass(frozen=True, slots=True)
class ReceivedBrief:
    """The short verdict on a casting's own sheet."""

    casting: CastingView
    judgement: Judgement
    words: str
    headline: str

    @property
    def answer(self) -> str:
        """How the verdict looks."""
        return self.judgement.answer


def received_brief(build: BuildView, casting: CastingView) -> ReceivedBrief:
    """The verdict in short, or that there is none yet."""
    judgement = judge_casting(build, casting)
    if casting.receipt is None:
        return ReceivedBrief(casting, judgement, "Measure it before the first cut.", "Not looked over yet")
    if judgement.received is None:
        words = judgement.trouble.words if judgement.trouble else ""
        return ReceivedBrief(casting, judgement, words, "Cannot tell")
    received = judgement.received
    headline = say.HEADLINES[received.verdict].capitalize()
    return ReceivedBrief(casting, judgement, say.received(received, build.unit), headline)
