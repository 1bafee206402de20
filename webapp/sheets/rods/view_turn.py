"""The rods at one crank position: the picture, what each rod needs there, and the plots over the turn."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from domain.cranks.cylinders import Side
from domain.lengths import NM_PER_MM, Unit, show_small
from domain.rods.engine import SIDES, RodEngine
from domain.rods.judging import RodsVerdict
from domain.rods.picture import Places, positions, turn_series
from domain.rods.words import crank_words
from webapp.records.views import BuildView
from webapp.sheets.rods.drawing import EnginePicture, engine_picture
from webapp.sheets.rods.drawing_plot import RodsPlot, rods_plot

_STEPS = (("15° back", -15), ("1° back", -1), ("1° forward", 1), ("15° forward", 15))
# The curves do not change while the picture is stepped.
_series = lru_cache(maxsize=64)(turn_series)


@dataclass(frozen=True, slots=True)
class RodNow:
    """One rod at this crank position; state is binds, free or open where its clearance is not decided."""

    rod: str
    words: str
    state: str


@dataclass(frozen=True, slots=True)
class CrankLink:
    """A link that turns the cranks."""

    words: str
    crank: str


@dataclass(frozen=True, slots=True)
class RodsTurn:
    """Everything the fragment needs."""

    crank: str
    crank_words: str
    now_words: str
    picture: EnginePicture
    rods: tuple[RodNow, ...]
    plots: tuple[tuple[str, RodsPlot], ...]
    steps: tuple[CrankLink, ...]
    tight: tuple[CrankLink, ...]


def turn_view(build: BuildView, engine: RodEngine, verdict: RodsVerdict, crank: float | None) -> RodsTurn:
    """The turn at a crank position; without one, where the worst pair is tightest."""
    worst = max(verdict.pairs, key=lambda pair: pair.lack.mm)
    degrees = worst.tightest_deg if crank is None else crank
    places = positions(engine, degrees)
    spans = range(len(engine.spans))
    rods = {(span, side): _now(engine, places, span, side, build.unit) for span in spans for side in SIDES}
    binding = [at for at, one in rods.items() if one.state == "binds"]
    said, wheel_mm = crank_words(math.radians(degrees)), build.nm("tread_diameter") / 2 / NM_PER_MM
    return RodsTurn(
        crank=_text(degrees),
        crank_words=said,
        now_words=_now_words(engine, binding),
        picture=engine_picture(places, wheel_mm, engine.numbers, binding, said),
        rods=tuple(rods.values()),
        plots=tuple(_plot(engine, verdict, span, degrees, build.unit) for span in spans),
        steps=tuple(CrankLink(words, _text(degrees + turn)) for words, turn in _STEPS),
        tight=tuple(
            CrankLink(f"Tightest of axles {engine.both(span)}", _text(pair.tightest_deg))
            for span, pair in enumerate(verdict.pairs)
        ),
    )


def _text(degrees: float) -> str:
    """To a hundredth of a degree, and short."""
    return f"{round(degrees % 360.0, 2) % 360.0:g}"


def _now_words(engine: RodEngine, binding: list[tuple[int, Side]]) -> str:
    if not binding:
        return ""
    bound: dict[int, list[Side]] = {}
    for span, side in binding:
        bound.setdefault(span, []).append(side)
    named = [
        f"{'both rods' if len(sides) > 1 else f'the {sides[0]} rod'} of axles {engine.both(span)}"
        for span, sides in bound.items()
    ]
    return f"Binds here: {', and '.join(named)}."


def _now(engine: RodEngine, places: Places, span: int, side: Side, unit: Unit) -> RodNow:
    of, off_mm = engine.spans[span].at(side), places.at(side).rods[span].error_mm
    off_nm, give_nm = round(abs(off_mm) * NM_PER_MM), round(of.play_mm * NM_PER_MM)
    way = "further apart than the rod is long" if off_mm > 0 else "nearer together than the rod is long"
    words = (
        f"pins {show_small(off_nm, unit)} {way}" if off_nm else "pins just as far apart as the rod is long"
    )
    rod = f"{side.capitalize()} rod, axles {engine.both(span)}"
    if of.clearance_nm is None:
        return RodNow(rod, f"{words}; its bushes are not decided", "open")
    gives = f"{words}, its bushes give {show_small(give_nm, unit)}"
    if off_nm > give_nm:
        return RodNow(rod, f"{gives}: {show_small(off_nm - give_nm, unit)} is lacking", "binds")
    return RodNow(rod, f"{gives}: {show_small(give_nm - off_nm, unit)} in hand", "free")


def _plot(
    engine: RodEngine, verdict: RodsVerdict, span: int, degrees: float, unit: Unit
) -> tuple[str, RodsPlot]:
    pair, axles = verdict.pairs[span], engine.both(span)
    rods = [engine.spans[span].at(side) for side in SIDES]
    left, right = (None if rod.clearance_nm is None else rod.play_mm for rod in rods)
    said = (
        f"Play over a turn, axles {axles}: each rod needs at most {show_small(pair.needed_nm, unit)}, "
        f"{crank_words(math.radians(pair.tightest_deg))}."
    )
    plot = rods_plot(
        _series(engine, span),
        gives_mm=(left, right),
        tightest_deg=pair.tightest_deg,
        crank_deg=degrees % 360.0,
        unit=unit,
        description=said,
    )
    return f"Axles {axles}", plot
