"""The sheet of one casting as it came: the verdict, the metal on each face, the picture, and what to do next."""

from __future__ import annotations

from dataclasses import dataclass

from domain.lengths import show, show_in, show_offset
from domain.route.stages import Stage
from domain.stock.receiving import Received, Verdict
from domain.stock.types import Face
from domain.working import Working
from webapp.facts.receiving import (
    FaceLine,
    Judgement,
    Metal,
    Objection,
    judge_casting,
    metal_of,
    reading_workings,
    receipt_nm,
    weight_words,
    weight_workings,
)
from webapp.records.views import BuildView, CastingView, ReceiptView
from webapp.sheets.stock.drawing import Outside, Section, Words, section


@dataclass(frozen=True, slots=True)
class FaceRow:
    """One face in words: how much metal, and whether that will do."""

    name: str
    metal: str
    enough: str
    short: bool


@dataclass(frozen=True, slots=True)
class ReceivingSheet:
    """What the sheet of one casting shows below its form."""

    receipt: ReceiptView | None
    judgement: Judgement
    faces: tuple[FaceRow, ...]
    radial_words: str
    picture: Section | None
    weight: str
    workings: tuple[Working, ...]
    scrap: bool
    may_be_spare: bool

    @property
    def received(self) -> Received | None:
        """What the sums say."""
        return self.judgement.received

    @property
    def trouble(self) -> Objection | None:
        """Why they say nothing."""
        return self.judgement.trouble


def receiving_sheet(build: BuildView, casting: CastingView) -> ReceivingSheet:
    """The sheet of a casting as its last receipt has it."""
    receipt, judgement = casting.receipt, judge_casting(build, casting)
    received = judgement.received
    poor = received is not None and received.verdict is Verdict.DOES_NOT and casting.state != "scrapped"
    spare = casting.state == "in_work" and not casting.has(Stage.PRESSED)
    weight = weight_words(build, receipt)
    if receipt is None or received is None:
        return ReceivingSheet(receipt, judgement, (), "", None, weight, (), False, False)
    metal = metal_of(build, receipt_nm(receipt))
    workings = (
        *reading_workings(build, receipt),
        *received.workings,
        *metal.workings,
        *weight_workings(build, receipt),
    )
    return ReceivingSheet(
        receipt,
        judgement,
        tuple(_row(build, one) for one in metal.faces),
        metal.radial_words,
        _picture(build, receipt, metal),
        weight,
        workings,
        poor,
        poor and spare,
    )


def _row(build: BuildView, one: FaceLine) -> FaceRow:
    metal = show(one.stock_nm, build.unit) if one.stock_nm >= 0 else show_offset(one.stock_nm, build.unit)
    if one.face.on_diameter:
        metal += " on the radius"
    enough = f"{show(one.short_nm, build.unit)} short of what is needed" if one.short_nm else "enough"
    return FaceRow(one.face.words, metal, enough, one.short_nm > 0)


def _picture(build: BuildView, receipt: ReceiptView, metal: Metal) -> Section | None:
    if metal.rough is None or metal.finished is None or metal.shares is None:
        return None
    stock = {face: one.stock_nm for face, one in metal.radial.items()}
    drawn = {key: length.nm for key, length in build.dimensions.items()}
    outside = Outside(
        stock.get(Face.OVER_FLANGE),
        stock.get(Face.TREAD),
        drawn.get("flange_depth", 0),
        drawn.get("flange_width", 0),
        "rough_tread" in receipt.sizes,
    )
    words = {
        one.face: Words(
            one.face.words.removeprefix("diameter "),
            show_in(one.stock_nm, build.unit),
            f"{show_in(one.short_nm, build.unit)} short" if one.short_nm else "",
        )
        for one in metal.faces
    }
    return section(metal.rough, metal.finished, metal.shares.best_nm, outside, words)
