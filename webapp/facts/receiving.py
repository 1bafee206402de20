"""Judging castings as they came, for their own sheet and for the build's ranked table."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from domain.lengths import parse_length
from domain.stock.receiving import Against, Flaw, Received, against_fellows, receive
from domain.stock.sharing import CleanUp
from domain.stock.sizes import StockError, finished_faces
from domain.stock.words import beside, weight_working
from domain.truing.dial import four_spots
from domain.working import Working
from webapp.facts.metal_sizes import receipt_nm, rough_of, terms_of
from webapp.records.views import BuildView, CastingView, ReceiptView
from webapp.typed.receiving import READINGS, box, readings_typed
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
# The sizes that stand in other boxes than their own.
_SIZES = {box(kind, 12): key for kind, key in READINGS.items()}
# How a verdict looks in the house's own answer box.
ANSWERS = {
    CleanUp.CLEANS_UP: "serves",
    CleanUp.JUST: "caution",
    CleanUp.DOES_NOT: "not",
    CleanUp.CANNOT_TELL: "open",
}


@dataclass(frozen=True, slots=True)
class BadFigure:
    """Why sizes cannot be, and beside which field of the form it is said; no field: the drawing's figures."""

    words: str
    field: str = ""


@dataclass(frozen=True, slots=True)
class Judgement:
    """What the sums say of one casting; received is None where they refuse the figures, and trouble says why."""

    received: Received | None
    trouble: BadFigure | None = None

    @property
    def answer(self) -> str:
        """How the verdict looks."""
        return ANSWERS[self.received.verdict] if self.received else "open"


def seen_on(receipt: ReceiptView | None) -> frozenset[str]:
    """What was seen."""
    if receipt is None:
        return frozenset()
    flaws = {
        "blowhole": receipt.blowhole,
        "chill": receipt.chill,
        "shift": receipt.shift,
        "crack": receipt.crack,
    }
    return frozenset(name for name, seen in flaws.items() if seen)


def _fellow_weights(castings: Iterable[CastingView]) -> list[int]:
    """Every weight written down of castings that are not scrapped."""
    receipts = (one.receipt for one in castings if one.state != "scrapped")
    return [one.weight_mg for one in receipts if one and one.weight_mg]


def _judge(
    build: BuildView,
    nm: Mapping[str, int],
    seen: frozenset[str],
    weight_mg: int | None,
    weights_mg: list[int],
) -> Judgement:
    """The verdict, or why there is none."""
    terms = terms_of(build)
    drawn = terms.finished
    if drawn.rim_width_nm is not None:
        # The drawing's fields bear the names of the casting's, so it is asked first whether it draws a wheel.
        try:
            finished_faces(drawn.rim_width_nm, drawn.boss_length_nm, drawn.boss_proud_back_nm, build.unit)
        except StockError as error:
            return Judgement(None, BadFigure(f"The drawing's figures draw no wheel. {error}"))
    try:
        received = receive(
            rough_of(nm),
            drawn,
            terms.least_cut_nm,
            eccentricity_nm=nm.get("edge_eccentricity"),
            wobble_nm=nm.get("face_wobble"),
            flaws=map(Flaw, seen),
            weight_mg=weight_mg,
            weights_mg=weights_mg,
            unit=build.unit,
        )
    except StockError as error:
        return Judgement(None, BadFigure(str(error), _FIELDS.get(error.field, "")))
    return Judgement(received)


def bad_figures(build: BuildView, nm: Mapping[str, int]) -> Iterator[BadFigure]:
    """Why rough sizes cannot be taken as typed, each once; figures of the drawing are no reason to lose them."""
    left = dict(nm)
    while (trouble := _judge(build, left, frozenset(), None, []).trouble) is not None and trouble.field:
        yield trouble
        # The others are held against each other without it.
        del left[_SIZES.get(trouble.field, trouble.field)]


def judge_casting(build: BuildView, casting: CastingView) -> Judgement:
    """The verdict on a casting as its last receipt has it."""
    receipt = casting.receipt
    weights = _fellow_weights(build.castings)
    weight = receipt.weight_mg if receipt else None
    return _judge(build, receipt_nm(receipt), seen_on(receipt), weight, weights)


def _beside(build: BuildView, receipt: ReceiptView | None) -> Against | None:
    if receipt is None or not receipt.weight_mg:
        return None
    return against_fellows(receipt.weight_mg, _fellow_weights(build.castings))


def weight_words(build: BuildView, receipt: ReceiptView | None) -> str:
    """What it weighs, and beside the others."""
    if receipt is None or not receipt.weight_mg:
        return ""
    weight = _beside(build, receipt)
    return f"{receipt.weight_text}, {beside(weight)}" if weight else receipt.weight_text


def weight_workings(build: BuildView, receipt: ReceiptView) -> tuple[Working, ...]:
    """How its weight compares."""
    weight = _beside(build, receipt)
    return (weight_working(weight),) if weight else ()


def reading_workings(build: BuildView, receipt: ReceiptView) -> tuple[Working, ...]:
    """How the figures found from four readings came about."""
    found = []
    for key in READINGS.values():
        if key in receipt.sizes:
            typed = readings_typed(receipt.sizes[key].text)
            nm = [parse_length(text, build.unit, signed=True).nm for text in typed]
            found.append(four_spots(nm, BY_KEY[key].words, build.unit).working)
    return tuple(found)
