"""The sheet of the rods: the answer, each pair of axles, and what would free them, ready to show."""

from __future__ import annotations

from dataclasses import dataclass, replace

from domain.cranks.quartering import QuarterAngle, correction
from domain.cranks.throws import odd_from
from domain.cranks.words import degrees, turning_words
from domain.lengths import Unit, show_small
from domain.measuring.decision_types import Conformity
from domain.rods.engine import FigureKind, RodEngine, RodsError, RodSide
from domain.rods.judging import PairVerdict, RodsVerdict
from domain.rods.lack import RodsAnswer
from domain.rods.remedies import Correction, Job, Proposal, frees_all
from domain.rods.words import (
    crank_words,
    figure_words,
    pair_headline,
    pair_reasons,
    pair_workings,
    proposal_words,
    shown,
    throws_words,
)
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.facts.quartering import cranks_of, cylinders_conflict, loose_sides, pins_of
from webapp.facts.rods import CoupledRods, MissingFigure, headline, judge, pairs_of
from webapp.records.heights import HeightsView
from webapp.records.views import AxleView, BuildView
from webapp.sheets.rods.view_turn import RodsTurn, turn_view
from webapp.typed.rods import BUSHES, FIELDS, SIDES, WITHINS, RodFigures, clearance_of, name_of, within_of
from webapp.typed.texts import Typed

_STATES = {RodsAnswer.GOES: "serves", RodsAnswer.BINDS: "not"}
_MOST_PARTS = 6


@dataclass(frozen=True, slots=True)
class PairCard:
    """Two neighbouring axles."""

    axle_id: int
    headline: str
    state: str
    facts: tuple[tuple[str, str], ...]
    reasons: tuple[str, ...]
    parts: tuple[tuple[str, str, str], ...]
    workings: tuple[Working, ...]


@dataclass(frozen=True, slots=True)
class RodsRemedy:
    """A correction, and where its new figure is logged; `more` is how to set an axle by the height of a pin."""

    words: str
    frees: bool | None
    address: str
    link: str
    more: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RodsSheet:
    """Everything the page needs but the form's own texts; no answer where verdict is None."""

    coupled: CoupledRods
    odd: str
    verdict: RodsVerdict | None = None
    headline: str = ""
    state: str = "caution"
    refusal: MissingFigure | None = None
    culprit: str = ""
    throws: str = ""
    plan_words: str = ""
    plan: tuple[RodsRemedy, ...] = ()
    remedies: tuple[RodsRemedy, ...] = ()
    cards: tuple[PairCard, ...] = ()
    turn: RodsTurn | None = None

    @property
    def todo(self) -> MissingFigure | RodsRemedy | None:
        """The one thing to do now: what is not measured comes before any correction."""
        ways: tuple[MissingFigure | RodsRemedy, ...] = (
            *((self.refusal,) if self.refusal else ()),
            *self.coupled.blocked,
            *self.coupled.missing,
            *self.plan,
        )
        return ways[0] if ways else None


def rods_sheet(build: BuildView, crank: float | None) -> RodsSheet:
    """The sheet as everything stands."""
    found, odd = facts_of(build).rods.coupled, cylinders_conflict(build)
    verdict, error = judge(found, build.unit)
    if verdict is None or found.engine is None:
        return RodsSheet(found, odd, refusal=None if error is None else _refusal(build, found, error))
    engine = found.engine
    words, state = headline(verdict, found, build.unit)
    throws = _throws(build, found, verdict)
    # Where the throws alone bind them, a job on anything else is no cure: it stays folded among what helps a little.
    steps = () if throws and _only_throws(verdict) else verdict.plan
    plan = tuple(_remedy(build, found, engine, one) for one in steps)
    return RodsSheet(
        found,
        odd,
        verdict=verdict,
        headline=words,
        state=state,
        culprit=_culprit(verdict, engine),
        throws=throws,
        plan_words=_plan_words(plan),
        plan=plan,
        remedies=tuple(_remedy(build, found, engine, one) for one in verdict.proposals),
        cards=tuple(_card(found, engine, span, pair, build.unit) for span, pair in enumerate(verdict.pairs)),
        turn=turn_view(build, engine, verdict, crank),
    )


def stored_texts(build: BuildView) -> Typed:
    """The form with the figures as they were typed."""
    texts, rods = {}, build.rods
    for pair in pairs_of(build):
        for side in SIDES:
            for one in FIELDS:
                size = rods.get((pair.axle_id, side, one.key))
                texts[name_of(pair.axle_id, side, one.key)] = [size.text if size else ""]
    for key in WITHINS:
        within = within_of(rods, key)
        texts[key] = [within.text if within else ""]
    return Typed(texts)


def taken_alike(build: BuildView) -> dict[str, str]:
    """For each field left empty whose other side is filled in: that it is taken from there, by the field's name."""
    taken, rods = {}, build.rods
    for pair in pairs_of(build):
        for side, other in (SIDES, SIDES[::-1]):
            for one in FIELDS:
                size = rods.get((pair.axle_id, other, one.key))
                own = rods.get((pair.axle_id, side, one.key))
                if size is None or own is not None or not _counts(rods, pair.axle_id, side, one.key):
                    continue
                taken[name_of(pair.axle_id, side, one.key)] = f"Taken as on the {other}: {size.text}."
    return taken


def _counts(rods: RodFigures, axle_id: int, side: str, key: str) -> bool:
    """A side that has a clearance of its own, in one figure or in two, takes none of the other's."""
    if key not in ("clearance", *BUSHES):
        return True
    own = {at: one for at, one in rods.items() if at[1] == side}
    return clearance_of(own, axle_id, side) is None


def _refusal(build: BuildView, found: CoupledRods, error: RodsError) -> MissingFigure:
    """Why there is no verdict, with a way to the figure that is wrong."""
    figure = error.figure
    if figure.of_rods or not figure.place:
        return MissingFigure(
            str(error), f"/builds/{build.id}/rods?open=figures#fold-figures", "To the figures of the rods"
        )
    axle = found.axles[figure.place - 1]
    if figure.kind is FigureKind.QUARTER:
        link = f"To the quartering of axle {axle.number}"
        return MissingFigure(str(error), f"/axles/{axle.id}/quartering", link)
    return MissingFigure(str(error), f"/axles/{axle.id}", f"To axle {axle.number}")


def _culprit(verdict: RodsVerdict, engine: RodEngine) -> str:
    """Which axle makes them bind, where setting one right is enough."""
    if verdict.answer is not RodsAnswer.BINDS:
        return ""
    freeing = [
        engine.number(one.correction.place)
        for one in verdict.proposals
        if one.correction.job is Job.SET_AXLE and one.frees
    ]
    if len(freeing) == 1:
        return f"It is axle {freeing[0]} that makes them bind: set right, it alone frees them."
    if freeing:
        named = " or ".join(str(number) for number in sorted(freeing))
        return f"Their quarter angles do not agree: to set axle {named} right is enough."
    return ""


def _throws(build: BuildView, found: CoupledRods, verdict: RodsVerdict) -> str:
    """Which wheels' throws cause most of what lacks; empty where they do not, or the rods go."""
    if verdict.answer is RodsAnswer.GOES or not any(one.throws.most for one in verdict.pairs):
        return ""
    # With the worst pair's cause known, wheels that alone would bind another pair are named in the same breath.
    pairs = [one for one in verdict.pairs if one.throws.most or one.throws.only]
    axle = {one.number: one for one in found.axles}
    joined = [(axle[pair.first].at(side), axle[pair.second].at(side)) for pair in pairs for side in SIDES]
    differ = [
        (one, two, abs(one.throw.mean_nm - two.throw.mean_nm))
        for one, two in joined
        if one and two and one.throw and two.throw and one.throw.mean_nm != two.throw.mean_nm
    ]
    if not differ:
        return ""
    marks = frozenset(wheel.mark for one, two, _ in differ for wheel in (one, two))
    odd = facts_of(build).throws.odd(marks, odd_from(max(nm for _, _, nm in differ)))
    return throws_words(odd, _only_throws(verdict))


def _only_throws(verdict: RodsVerdict) -> bool:
    """Whether no setting and no boring frees the rods, for the throws of a pair alone bind it."""
    frees = bool(verdict.plan and verdict.plan[-1].frees)
    return not frees and any(one.throws.most and one.throws.only for one in verdict.pairs)


def _plan_words(plan: tuple[RodsRemedy, ...]) -> str:
    if not plan:
        return ""
    if plan[-1].frees is None:
        return "What would help most, one after another"
    if not plan[-1].frees:
        return "These help, but are not enough: then open the bushes"
    return (
        "One correction frees them" if len(plan) == 1 else f"These {len(plan)}, one after another, free them"
    )


def _remedy(
    build: BuildView,
    found: CoupledRods,
    engine: RodEngine,
    one: Proposal,
) -> RodsRemedy:
    words, axle = proposal_words(engine, one, build.unit), found.axles[one.correction.place - 1]
    if one.correction.job is Job.SET_AXLE:
        link = f"Then log the new heights of axle {axle.number}"
        more = _setting_words(build, axle, engine, one.correction)
        return RodsRemedy(words, one.frees, f"/axles/{axle.id}/quartering?open=log#fold-log", link, more)
    address = f"/builds/{build.id}/rods?open=figures#rods-{axle.id}"
    return RodsRemedy(words, one.frees, address, "Then type the rod's new centres")


def _setting_words(build: BuildView, axle: AxleView, engine: RodEngine, here: Correction) -> tuple[str, ...]:
    """How to set the axle by the height of a pin, and how that stands to its own sheet; nothing without heights."""
    sheet, heights = facts_of(build).quartering.of(axle).sheet, axle.heights
    if sheet is None or heights is None:
        # Heights that count for nothing: that stands among what is missing.
        return ()
    quarter = sheet.quarter
    height = _by_height(build, axle, heights, quarter, here)
    # An axle that its own sheet calls right has no other turn there to be weighed against this one.
    right = quarter.answer is Conformity.INSIDE
    why = "" if right else _beside_its_own_sheet(build, axle, engine, here)
    return (height, why) if why else (height,)


def _by_height(
    build: BuildView, axle: AxleView, heights: HeightsView, quarter: QuarterAngle, here: Correction
) -> str:
    """The same turn as the height a pin must come to, with the axle as it lay when it was measured."""
    pins, centre = pins_of(build, axle, heights)
    loose = loose_sides(axle)
    pin = next(one for one in pins if one.side.value == ("right" if "right" in loose else loose[0]))
    # The rods want the axle's angle changed by the turn: as far as that it departs from what they want.
    return turning_words(correction(replace(quarter, departure_deg=-here.turn_deg), pin, centre), build.unit)


def _beside_its_own_sheet(build: BuildView, axle: AxleView, engine: RodEngine, here: Correction) -> str:
    """Why the axle's quartering sheet gives another turn, and whether that one would serve the rods too."""
    cranks = cranks_of(build)
    wanted = cranks.ahead_deg(*cranks.pairs()[0])
    turn = wanted - engine.axles[here.place - 1].quarter_deg
    if degrees(abs(turn)) == degrees(abs(here.turn_deg)):
        return ""
    frees = frees_all(engine, replace(here, turn_deg=turn))
    serves = {True: "the rods go round by that too", False: "by that alone they do not go round"}
    return (
        f"The rods ask only that the axles agree, so this brings axle {axle.number} to its fellows; its quartering sheet"
        f" brings it to the {wanted:g} degrees wanted, a change of {turn:+.2f} degrees"
        f"{'' if frees is None else ': ' + serves[frees]}."
    )


def _card(found: CoupledRods, engine: RodEngine, span: int, pair: PairVerdict, unit: Unit) -> PairCard:
    # What nobody said how sure it is, or nobody measured, makes nothing sure.
    sides, sure = engine.spans[span], not (found.exact or found.missing)
    facts = [
        ("Play each rod needs, either way", show_small(pair.needed_nm, unit)),
        ("Clearance of its two bushes added", _clearances(sides.left, sides.right, unit)),
        ("Bushes that would just do, both added", show_small(pair.clearance_nm, unit)),
        ("Tightest", crank_words(pair.lack.theta)),
    ]
    if sure:
        facts += [
            ("Bushes that surely would", show_small(pair.clearance_sure_nm, unit)),
            ("How sure: the play may be more by", show_small(pair.guard_nm, unit)),
        ]
    parts = tuple(
        (
            figure_words(one.figure, engine),
            degrees(one.u) if one.figure.kind is FigureKind.QUARTER else show_small(round(one.u), unit),
            shown(one.effect_mm, unit),
        )
        for one in pair.lack.contributions[:_MOST_PARTS]
    )
    return PairCard(
        axle_id=found.axles[span].id,
        headline=pair_headline(pair, unit),
        state="caution" if found.missing else _STATES.get(pair.answer, "caution"),
        facts=tuple(facts),
        reasons=pair_reasons(engine, pair, unit, sure=sure),
        parts=parts,
        workings=pair_workings(pair, unit),
    )


def _clearances(left: RodSide, right: RodSide, unit: Unit) -> str:
    words = [
        "not decided" if side.clearance_nm is None else show_small(side.clearance_nm, unit)
        for side in (left, right)
    ]
    return words[0] if words[0] == words[1] else f"left {words[0]}, right {words[1]}"
