"""The form that plans a facing by hand strokes, and the total that a counter sends."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from domain.cutting.speeds import CuttingError
from domain.cutting.strokes import MOST_STROKES, StrokePlan, strokes
from domain.cutting.words import strokes_words
from domain.lengths import LengthError, Unit
from webapp.typed.fields import FigureField, read_figure, unit_left_out
from webapp.typed.quantities import QuantityError
from webapp.typed.texts import Errors, Typed, read_whole
from webapp.typed.work_fields import BY_KEY, STROKES

_MM = 1_000_000
# A counter may run past what was planned: the metal decides, not the plan.
MOST_COUNTED = 2 * MOST_STROKES

FIELDS: Mapping[str, FigureField] = {
    "radial_width": FigureField(
        "radial_width", STROKES, "Width of the crank boss", most=500 * _MM, above=True
    ),
    "depth": FigureField("depth", STROKES, "Depth to take off", most=50 * _MM, above=True),
    "feed": BY_KEY["stroke_feed"],
    "cut_depth": BY_KEY["stroke_cut"],
    "rhythm": BY_KEY["rhythm"],
}


@dataclass(frozen=True)
class StrokeTexts:
    """The lengths of a facing as typed, each with its unit."""

    radial_width: str
    feed: str
    depth: str
    cut_depth: str


@dataclass(frozen=True)
class StrokeWish:
    """What a person wants to face: the plan, also in words, the rhythm in strokes a minute, and the texts to keep."""

    plan: StrokePlan
    words: str
    rhythm: float
    texts: StrokeTexts


@dataclass(frozen=True)
class Tally:
    """What a counter says: the total done, and the highest total it knew of when it said so."""

    done: int
    top: int


def asked(pairs: Iterable[tuple[str, str]], start: Typed) -> Typed:
    """The form as an address gives it; what the address leaves out means the start."""
    return Typed(start.fields | {name: [text] for name, text in pairs if name in FIELDS})


def read_strokes(typed: Typed, unit: Unit, usual_cut_nm: int) -> tuple[StrokeWish | None, Errors]:
    """The plan, or a sentence for each box that cannot be taken."""
    errors = Errors()
    texts = {key: " ".join(typed.get(key).split()) for key in FIELDS}
    found = {key: _read(one, texts[key], unit, errors, key) for key, one in FIELDS.items()}
    lengths = {key: value for key, value in found.items() if isinstance(value, int) and key != "rhythm"}
    rhythm = found["rhythm"]
    if errors or len(lengths) < len(FIELDS) - 1 or not isinstance(rhythm, int | float):
        return None, errors
    if lengths["depth"] < lengths["cut_depth"] == usual_cut_nm:
        # The usual cut was only left standing in its box: a thinner skin comes off in one thinner pass.
        lengths["cut_depth"] = lengths["depth"]
        texts["cut_depth"] = texts["depth"]
    try:
        plan = strokes(lengths["radial_width"], lengths["feed"], lengths["depth"], lengths["cut_depth"], unit)
    except CuttingError as error:
        errors[error.field] = str(error)
        return None, errors
    kept = {key: texts[key] + unit_left_out(FIELDS[key], texts[key], unit) for key in lengths}
    return StrokeWish(plan, strokes_words(plan, unit), rhythm, StrokeTexts(**kept)), errors


def _read(one: FigureField, text: str, unit: Unit, errors: Errors, key: str) -> int | float | str | None:
    try:
        return read_figure(one, text, unit)
    except (LengthError, QuantityError) as error:
        errors[key] = str(error)
        return None


def read_tally(typed: Typed) -> tuple[Tally | None, Errors]:
    """The total a counter sends; a counter that does not say what it knew of knew of nothing more."""
    errors = Errors()
    words = "The number of strokes done"
    done = read_whole(typed, "done", words, 0, MOST_COUNTED, errors)
    top = read_whole(typed, "top", words, 0, MOST_COUNTED, errors) if typed.get("top") else done
    return (None if done is None or top is None else Tally(done, max(top, done))), errors
