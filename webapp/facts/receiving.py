"""Judging castings as they came, for their own sheet and for the build's ranked table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from domain.lengths import parse_length
from domain.stock.axial import RadialStock, Shares, radial_share, radial_stock, share_metal
from domain.stock.faces import finished_faces, rough_faces
from domain.stock.receiving import FinishedSizes, Flaws, Received, RoughSizes, StockError, Verdict, receive
from domain.stock.types import Face, FinishedFaces, RoughFaces
from domain.stock.weight_against import against_fellows
from domain.truing.four_spots import four_spots
from domain.working import Working
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView, CastingView, ReceiptView
from webapp.typed.receiving import READINGS, ReceiptTyped, box, readings_typed
from webapp.typed.sizes import BY_KEY

# Where a figure that the sums refuse stands on the form; one that is not here is the drawing's.
_FIELDS = {
    "least_diameter": "rim_least",
    "most_diameter": "rim_most",
    "tread_least_diameter": "rough_tread",
    "rim_height": "rim_height",
    "boss_height": "boss_height",
    "boss_proud_back": "boss_proud",
    "eccentricity": box("edge", 12),
    "wobble": box("face", 12),
    "weight": "weight",
}
# How a verdict looks in the house's own answer box.
ANSWERS = {
    Verdict.CLEANS_UP: "serves",
    Verdict.JUST: "caution",
    Verdict.DOES_NOT: "not",
    Verdict.CANNOT_TELL: "open",
}


@dataclass(frozen=True, slots=True)
class Objection:
    """Why sizes cannot be, and beside which field of the form it is said; no field: the drawing's figures."""

    words: str
    field: str


@dataclass(frozen=True, slots=True)
class FaceLine:
    """One face: the metal on it, and how much it is short."""

    face: Face
    stock_nm: int
    short_nm: int


@dataclass(frozen=True, slots=True)
class Judgement:
    """What the sums say of one casting; received is None where they refuse the figures, and trouble says why."""

    received: Received | None
    trouble: Objection | None

    @property
    def answer(self) -> str:
        """How the verdict looks."""
        return ANSWERS[self.received.verdict] if self.received else "open"


def rough_of(nm: Mapping[str, int]) -> RoughSizes:
    """The rough sizes by the names the sums use."""
    return RoughSizes(
        nm.get("rim_least"),
        nm.get("rim_most"),
        nm.get("rim_height"),
        nm.get("boss_height"),
        nm.get("boss_proud"),
        nm.get("rough_tread"),
    )


def finished_of(build: BuildView) -> FinishedSizes:
    """The wheel on the drawing."""
    drawn = {key: length.nm for key, length in build.dimensions.items()}
    proud = work_figures(build).nm("boss_proud")
    return FinishedSizes(
        drawn.get("tread_diameter"),
        drawn.get("flange_depth"),
        drawn.get("tyre_width"),
        drawn.get("boss_length"),
        proud,
    )


def receipt_nm(receipt: ReceiptView | None) -> dict[str, int]:
    """The rough sizes of a receipt."""
    return {key: size.nm for key, size in receipt.sizes.items()} if receipt else {}


def seen_on(receipt: ReceiptView | None) -> frozenset[str]:
    """What was seen."""
    if receipt is None:
        return frozenset()
    flaws = {"blowhole": receipt.blowhole, "chill": receipt.chill, "shift": receipt.shift}
    return frozenset(name for name, seen in flaws.items() if seen)


def fellow_weights(castings: Iterable[CastingView]) -> list[int]:
    """Every weight written down of castings that are not scrapped."""
    return [
        one.receipt.weight_mg
        for one in castings
        if one.state != "scrapped" and one.receipt and one.receipt.weight_mg
    ]


def judge(
    build: BuildView,
    nm: Mapping[str, int],
    seen: frozenset[str],
    weight_mg: int | None,
    weights_mg: list[int],
) -> Judgement:
    """The verdict, or why there is none."""
    drawing = _drawing_trouble(finished_of(build), build)
    if drawing is not None:
        return Judgement(None, drawing)
    try:
        received = receive(
            rough_of(nm),
            finished_of(build),
            work_figures(build).nm("least_cut"),
            eccentricity_nm=nm.get("edge_eccentricity"),
            wobble_nm=nm.get("face_wobble"),
            flaws=Flaws("blowhole" in seen, "chill" in seen, "shift" in seen),
            weight_mg=weight_mg,
            weights_mg=weights_mg,
            unit=build.unit,
        )
    except StockError as error:
        return Judgement(None, Objection(str(error), _FIELDS.get(error.field, "")))
    return Judgement(received, None)


def _drawing_trouble(drawn: FinishedSizes, build: BuildView) -> Objection | None:
    """A drawing that draws no wheel; its fields bear the names of the casting's, so it is asked first."""
    try:
        _finished(drawn, build)
    except StockError as error:
        return Objection(f"The drawing's figures draw no wheel. {error}", "")
    return None


def _finished(drawn: FinishedSizes, build: BuildView) -> FinishedFaces | None:
    if drawn.rim_width_nm is None:
        return None
    return finished_faces(drawn.rim_width_nm, drawn.boss_length_nm, drawn.boss_proud_back_nm, build.unit)


def objection(build: BuildView, casting: CastingView, receipt: ReceiptTyped) -> Objection | None:
    """Why a receipt cannot be taken as typed; figures of the drawing are no reason to lose it."""
    weights = fellow_weights(one for one in build.castings if one.id != casting.id)
    if receipt.weight_mg:
        weights.append(receipt.weight_mg)
    trouble = judge(build, receipt.nm, receipt.seen, receipt.weight_mg, weights).trouble
    return trouble if trouble and trouble.field else None


def judge_casting(build: BuildView, casting: CastingView) -> Judgement:
    """The verdict on a casting as its last receipt has it."""
    receipt = casting.receipt
    weights = fellow_weights(build.castings)
    weight = receipt.weight_mg if receipt else None
    return judge(build, receipt_nm(receipt), seen_on(receipt), weight, weights)


def weight_words(build: BuildView, receipt: ReceiptView | None) -> str:
    """What it weighs, and beside the others."""
    if receipt is None or not receipt.weight_mg:
        return ""
    beside = against_fellows(receipt.weight_mg, fellow_weights(build.castings))
    return f"{receipt.weight_text}, {beside.words}" if beside else receipt.weight_text


@dataclass(frozen=True, slots=True)
class Metal:
    """The metal of one casting, worked out: along the axle, and outside."""

    rough: RoughFaces | None
    finished: FinishedFaces | None
    shares: Shares | None
    radial: Mapping[Face, RadialStock]
    radial_words: str
    workings: tuple[Working, ...]

    @property
    def faces(self) -> tuple[FaceLine, ...]:
        """Every face known."""
        along = self.shares.faces if self.shares else ()
        return tuple(FaceLine(one.face, one.stock_nm, one.short_nm) for one in along) + tuple(
            FaceLine(face, one.stock_nm, max(0, -one.spare_nm)) for face, one in self.radial.items()
        )


def metal_of(build: BuildView, nm: Mapping[str, int]) -> Metal:
    """The metal, for sizes the sums have taken already."""
    drawn, cut = finished_of(build), work_figures(build).nm("least_cut")
    rough = finished = shares = None
    if "rim_height" in nm and drawn.rim_width_nm is not None:
        rough = rough_faces(nm["rim_height"], nm.get("boss_height"), nm.get("boss_proud"), build.unit)
        finished = _finished(drawn, build)
        assert finished is not None  # its width is known
        shares = share_metal(rough, finished, cut, nm.get("face_wobble", 0), build.unit)
    radial = _radial(build, nm, drawn, cut)
    over = drawn.over_flange_nm
    least, out = nm.get("rim_least"), nm.get("edge_eccentricity")
    if least is None or over is None or out is None:
        return Metal(rough, finished, shares, radial, "", ())
    share = radial_share(least, nm.get("rim_most", least), over, out, None, build.unit)
    return Metal(rough, finished, shares, radial, share.words, share.workings)


def _radial(
    build: BuildView, nm: Mapping[str, int], drawn: FinishedSizes, cut_nm: int
) -> dict[Face, RadialStock]:
    least = nm.get("rim_least")
    if least is None:
        return {}
    most, out = nm.get("rim_most", least), nm.get("edge_eccentricity", 0)
    found = {}
    if drawn.over_flange_nm is not None:
        found[Face.OVER_FLANGE] = radial_stock(least, most, drawn.over_flange_nm, out, cut_nm, build.unit)
    if drawn.tread_diameter_nm is not None:
        at = nm.get("rough_tread", least)
        found[Face.TREAD] = radial_stock(at, max(at, most), drawn.tread_diameter_nm, out, cut_nm, build.unit)
    return found


def reading_workings(build: BuildView, receipt: ReceiptView) -> tuple[Working, ...]:
    """How the figures found from four readings came about."""
    found = []
    for key in READINGS.values():
        if key in receipt.sizes:
            typed = readings_typed(receipt.sizes[key].text)
            nm = [parse_length(text, build.unit, signed=True).nm for text in typed]
            found.append(four_spots(nm, BY_KEY[key].words, build.unit).working)
    return tuple(found)


def weight_workings(build: BuildView, receipt: ReceiptView) -> tuple[Working, ...]:
    """How its weight compares."""
    if not receipt.weight_mg:
        return ()
    beside = against_fellows(receipt.weight_mg, fellow_weights(build.castings))
    return (beside.working,) if beside else ()
