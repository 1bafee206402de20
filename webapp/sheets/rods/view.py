"""The sheet of the rods: the answer, each pair of axles, and what would free them, ready to show."""

from __future__ import annotations

from dataclasses import dataclass

from domain.cranks.quartering import correction, turned_by
from domain.cranks.words import degrees, turning_words
from domain.lengths import Unit, show_small
from domain.rods.engine import FigureKind, RodEngine, RodsError, RodSide
from domain.rods.judging import RodsVerdict
from domain.rods.lack import RodsAnswer
from domain.rods.remedies import Correction, Job, Proposal
from domain.rods.words import (
    crank_words,
    figure_words,
    gain_words,
    pair_headline,
    pair_reasons,
    pair_workings,
    shown,
)
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.facts.quartering import cylinders_conflict, pins_of
from webapp.facts.rods import CoupledRods, MissingFigure, headline, judge, pairs_of
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
    either: str = ""
    throws: str = ""
    title: str = ""
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
    resetting = facts_of(build).resetting
    return RodsSheet(
        found,
        odd,
        verdict=verdict,
        headline=words,
        state=state,
        either=_either(verdict, engine),
        throws=resetting.throws,
        title=resetting.title,
        plan=tuple(_remedy(build, found, one) for one in resetting.steps),
        remedies=tuple(_remedy(build, found, one) for one in verdict.proposals),
        cards=tuple(_card(found, engine, span, verdict, build.unit) for span in range(len(verdict.pairs))),
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


def _either(verdict: RodsVerdict, engine: RodEngine) -> str:
    """Which axles would do, where setting any one of several right is enough."""
    freeing = [
        engine.number(one.correction.place)
        for one in verdict.proposals
        if one.correction.job is Job.SET_AXLE and one.frees
    ]
    if verdict.answer is not RodsAnswer.BINDS or len(freeing) < 2:
        return ""
    named = " or ".join(str(number) for number in sorted(freeing))
    return f"Their quarter angles do not agree: to set axle {named} right is enough."


def _remedy(build: BuildView, found: CoupledRods, one: Proposal) -> RodsRemedy:
    words, axle = facts_of(build).resetting.order(one), found.axles[one.correction.place - 1]
    gain = gain_words(one, build.unit)
    if one.correction.job is Job.SET_AXLE:
        link = f"Then log the new heights of axle {axle.number}"
        more = (*_by_height(build, axle, one.correction), gain)
        return RodsRemedy(words, one.frees, f"/axles/{axle.id}/quartering?open=log#fold-log", link, more)
    address = f"/builds/{build.id}/rods?open=figures#rods-{axle.id}"
    return RodsRemedy(words, one.frees, address, "Then type the rod's new centres", (gain,))


def _by_height(build: BuildView, axle: AxleView, here: Correction) -> tuple[str, ...]:
    """The same turn as the height a pin must come to, with the axle as it lay when it was measured."""
    facts, heights = facts_of(build), axle.heights
    sheet, side = facts.quartering.of(axle).sheet, facts.resetting.side(axle)
    if sheet is None or heights is None:
        # Heights that count for nothing: that stands among what is missing.
        return ()
    pins, centre = pins_of(build, axle, heights)
    pin = next(one for one in pins if one.side is side)
    return (turning_words(correction(turned_by(sheet.quarter, here.turn_deg), pin, centre), build.unit),)


def _card(found: CoupledRods, engine: RodEngine, span: int, verdict: RodsVerdict, unit: Unit) -> PairCard:
    pair = verdict.pairs[span]
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
        state="caution" if found.missing or pair.little else _STATES.get(pair.answer, "caution"),
        facts=tuple(facts),
        reasons=pair_reasons(engine, pair, unit, sure=sure, cured=verdict.cured),
        parts=parts,
        workings=pair_workings(pair, unit),
    )


def _clearances(left: RodSide, right: RodSide, unit: Unit) -> str:
    words = [
        "not decided" if side.clearance_nm is None else show_small(side.clearance_nm, unit)
        for side in (left, right)
    ]
    return words[0] if words[0] == words[1] else f"left {words[0]}, right {words[1]}"
