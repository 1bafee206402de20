"""What a round on the face says: where to tap, and whether there is metal enough for the wobble."""

from __future__ import annotations

from dataclasses import dataclass

from domain.lengths import show
from domain.stock.axial import StockError
from domain.stock.types import Face
from domain.truing.dial_readings import spot_words
from webapp.facts.metal_ask import ask_metal
from webapp.records.views import BuildView, CastingView
from webapp.sheets.truing.drawing import Clock, clock_of_face
from webapp.sheets.truing.form import SetUp
from webapp.sheets.truing.view_stored import RoundView
from webapp.sheets.truing.view_words import Leaning, leaning_of


@dataclass(frozen=True, slots=True)
class FaceNow:
    """What the last round on the face says to do."""

    one: RoundView
    leaning: Leaning
    clock: Clock
    answer: str
    headline: str
    where: str
    stock_words: str


def face_now(build: BuildView, casting: CastingView, one: RoundView, held: SetUp) -> FaceNow:
    """The last round on the face, judged against the metal there is."""
    stock = face_stock(build, casting, held.outward)
    leaning = leaning_of(one, held, stock)
    wobble = leaning.wobble
    if leaning.too_large:
        answer, headline = "not", "Do not cut: it leans by more than there is metal"
    elif wobble.tap:
        answer, headline = "caution", "Tap the face true"
    else:
        answer, headline = "serves", "The face runs true: leave it"
    return FaceNow(
        one=one,
        leaning=leaning,
        clock=clock_of_face(one.dial_readings, wobble, held.dial, held.grip, 2 * held.tolerance_nm),
        answer=answer,
        headline=headline,
        where=spot_words(wobble.tap_deg),
        stock_words="" if stock is None else show(stock, held.dial.unit),
    )


def face_stock(build: BuildView, casting: CastingView, outward: str) -> int | None:
    """Metal still to come off the side of the rim that faces out; None where it was not measured since it was cut."""
    if casting.sizes.get("rim_height") is None:
        return None
    try:
        return max(
            0, ask_metal(build, casting, Face.RIM_BACK if outward == "back" else Face.RIM_FRONT).stock_nm
        )
    except StockError:
        # Not measured since the cut, or sizes that contradict each other: the metal sheet tells which.
        return None
