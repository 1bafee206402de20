"""What a round on the face says: where to tap, and whether there is metal enough for the wobble."""

from __future__ import annotations

from dataclasses import dataclass

from domain.dial_readings import spot_words
from domain.length import show
from domain.stages import Stage
from domain.stock import StockError
from domain.stock_castings import FinishedSizes, RoughSizes
from domain.stock_now import SizesNow, left_on
from domain.stock_types import Face
from webapp.drawings.clock import Clock, clock_of_face
from webapp.forms.truing import SetUp
from webapp.queries.truing import RoundView
from webapp.queries.truing_words import Leaning, leaning_of
from webapp.queries.views import BuildView, CastingView


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
    """Metal still to come off the side of the rim that faces out; None where nothing is measured of it."""
    height = casting.sizes.get("rim_height")
    rough = casting.receipt.sizes.get("rim_height") if casting.receipt else None
    if height is None:
        return None
    now = SizesNow(rim_thickness_nm=height.nm, rim_back_faced=casting.has(Stage.BACK_FACED))
    drawn = FinishedSizes(None, None, build.nm("tyre_width"), None)
    face = Face.RIM_BACK if outward == "back" else Face.RIM_FRONT
    came = RoughSizes(rim_height_nm=rough.nm if rough else None)
    try:
        return max(0, left_on(face, now, drawn, came, build.unit).stock_nm)
    except StockError:
        # Sizes that contradict each other are told on the sheets where they are written down.
        return None
