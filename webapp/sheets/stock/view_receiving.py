"""The sheet of one casting as it came: the verdict, the metal on each face, the picture, and what to do next."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import show, show_in, show_offset, show_small, shown_small
from domain.route.stages import Stage
from domain.stock import words as say
from domain.stock.receiving import Received
from domain.stock.sharing import CleanUp, FaceStock
from domain.stock.sizes import Face
from domain.working import Working
from webapp.facts.receiving import (
    Judgement,
    judge_casting,
    reading_workings,
    weight_words,
    weight_workings,
)
from webapp.facts.unfit import unfit
from webapp.records.views import BuildView, CastingView, ReceiptView
from webapp.sheets.stock.drawing import Outside, Section, Words, centre_outside, section


@dataclass(frozen=True, slots=True)
class FaceRow:
    """One face in words: how much metal, and whether that will do."""

    name: str
    metal: str
    enough: str
    short: bool


class Do(StrEnum):
    """The one thing to do about a casting that was looked over."""

    TICK = "tick"
    ON = "on"
    MEASURE = "measure"
    TRUE = "true"
    SCRAP = "scrap"


@dataclass(frozen=True, slots=True)
class ReceivingSheet:
    """What the sheet of one casting shows below its form; the words are empty where nothing can be judged."""

    receipt: ReceiptView | None
    judgement: Judgement
    weight: str
    headline: str = ""
    words: str = ""
    sharing: str = ""
    outside: str = ""
    cautions: tuple[str, ...] = ()
    faces: tuple[FaceRow, ...] = ()
    picture: Section | None = None
    workings: tuple[Working, ...] = ()
    do: Do = Do.ON
    # It does not clean up, and nothing since says otherwise.
    lost: bool = False
    may_be_spare: bool = False


def receiving_sheet(build: BuildView, casting: CastingView) -> ReceivingSheet:
    """The sheet of a casting as its last receipt has it."""
    receipt, judgement, unit = casting.receipt, judge_casting(build, casting), build.unit
    received, weight = judgement.received, weight_words(build, receipt)
    if receipt is None or received is None:
        return ReceivingSheet(receipt, judgement, weight)
    lost = unfit(build, casting)
    spare = casting.state == "in_work" and not casting.has(Stage.PRESSED)
    outside = (received.outside.working,) if received.outside else ()
    return ReceivingSheet(
        receipt,
        judgement,
        weight,
        headline=say.HEADLINES[received.verdict],
        words=say.received(received, unit),
        sharing=say.sharing(received.shares, unit),
        outside=say.outside(received.outside, unit),
        cautions=say.cautions(received),
        faces=tuple(_row(build, one) for one in received.faces),
        picture=_picture(build, receipt, received),
        workings=(
            *reading_workings(build, receipt),
            *received.workings,
            *outside,
            *weight_workings(build, receipt),
        ),
        do=_do(received, casting, lost=lost),
        lost=lost,
        may_be_spare=lost and spare,
    )


def _do(received: Received, casting: CastingView, *, lost: bool) -> Do:
    """What comes next; one that was cut since, or is scrapped, is told of on its own sheet."""
    if casting.state == "scrapped":
        return Do.ON
    if lost:
        return Do.SCRAP if received.rescue is None else Do.TRUE
    if received.verdict is CleanUp.CANNOT_TELL:
        return Do.MEASURE
    return Do.ON if casting.has(Stage.RECEIVED) else Do.TICK


def _row(build: BuildView, one: FaceStock) -> FaceRow:
    metal = show(one.stock_nm, build.unit) if one.stock_nm >= 0 else show_offset(one.stock_nm, build.unit)
    if one.face.on_diameter:
        metal += " on the radius"
    enough = f"{show_small(one.short_nm, build.unit)} short of what is needed" if one.short_nm else "enough"
    return FaceRow(one.face.words, metal, enough, one.short_nm > 0)


def _picture(build: BuildView, receipt: ReceiptView, received: Received) -> Section | None:
    if received.rough is None or received.finished is None or received.shares is None:
        return None
    stock = {face: one.stock_nm for face, one in received.radial.items()}
    drawn = {key: length.nm for key, length in build.dimensions.items()}
    outside = Outside(
        stock.get(Face.OVER_FLANGE),
        stock.get(Face.TREAD),
        drawn.get("flange_depth", 0),
        drawn.get("flange_width", 0),
        "rough_tread" in receipt.sizes,
    )
    if Face.CENTRE in received.radial:
        outside = centre_outside(stock.get(Face.CENTRE))
    words = {
        one.face: Words(
            "over the flange" if one.face is Face.OVER_FLANGE else one.face.words,
            show_in(one.stock_nm, build.unit),
            f"{shown_small(one.short_nm, build.unit)} short" if one.short_nm else "",
        )
        for one in received.faces
    }
    return section(received.rough, received.finished, received.shares.best_nm, outside, words)
