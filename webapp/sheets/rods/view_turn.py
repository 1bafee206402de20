"""The rods at one crank position: the picture, what each rod needs there, and the plots over the turn."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from domain.lengths import NM_PER_MM, Unit, show
from domain.rods.judging import RodEngine, RodSide, RodsVerdict
from domain.rods.picture import Places, positions, turn_series
from domain.rods.uncertain import play_of
from domain.rods.words import crank_words
from webapp.facts.rods import CoupledRods
from webapp.records.views import BuildView
from webapp.sheets.rods.drawing import EnginePicture, engine_picture
from webapp.sheets.rods.drawing_plot import RodsPlot, rods_plot
from webapp.typed.rods import SIDES

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
class Step:
    """A link that turns the cranks."""

    words: str
    crank: str


@dataclass(frozen=True, slots=True)
class TurnView:
    """Everything the fragment needs."""

    crank: str
    crank_words: str
    now_words: str
    picture: EnginePicture
    rods: tuple[RodNow, ...]
    plots: tuple[tuple[str, RodsPlot], ...]
    steps: tuple[Step, ...]
    tight: tuple[Step, ...]


def turn_view(
    build: BuildView, found: CoupledRods, engine: RodEngine, verdict: RodsVerdict, crank: float | None
) -> TurnView:
    """The turn at a crank position; without one, where the worst pair is tightest."""
    worst = max(verdict.pairs, key=lambda pair: pair.lack.mm)
    degrees = worst.tightest_deg if crank is None else crank
    places = positions(engine, degrees)
    rods = [
        _now(engine, places, span, name, found.numbers, build.unit)
        for span in range(len(engine.spans))
        for name in SIDES
    ]
    binding = [(span, name) for span, name, one in rods if one.state == "binds"]
    said = crank_words(math.radians(degrees))
    return TurnView(
        crank=_text(degrees),
        crank_words=said,
        now_words=_now_words(binding, found.numbers),
        picture=engine_picture(
            places, build.nm("tread_diameter") / 2 / NM_PER_MM, found.numbers, binding, said
        ),
        rods=tuple(one for _, _, one in rods),
        plots=tuple(
            _plot(engine, verdict, span, degrees, found.numbers, build.unit)
            for span in range(len(engine.spans))
        ),
        steps=tuple(Step(words, _text(degrees + turn)) for words, turn in _STEPS),
        tight=tuple(
            Step(f"Tightest of axles {_both(found.numbers, span)}", _text(pair.tightest_deg))
            for span, pair in enumerate(verdict.pairs)
        ),
    )


def _text(degrees: float) -> str:
    """To a hundredth of a degree, and short."""
    return f"{round(degrees % 360.0, 2) % 360.0:g}"


def _both(numbers: tuple[int, ...], span: int) -> str:
    return f"{numbers[span]} and {numbers[span + 1]}"


def _now_words(binding: list[tuple[int, str]], numbers: tuple[int, ...]) -> str:
    if not binding:
        return ""
    bound: dict[int, list[str]] = {}
    for span, name in binding:
        bound.setdefault(span, []).append(name)
    named = [
        f"{'both rods' if len(names) > 1 else f'the {names[0]} rod'} of axles {_both(numbers, span)}"
        for span, names in bound.items()
    ]
    return f"Binds here: {', and '.join(named)}."


def _now(
    engine: RodEngine, places: Places, span: int, name: str, numbers: tuple[int, ...], unit: Unit
) -> tuple[int, str, RodNow]:
    side: RodSide = getattr(engine.spans[span], name)
    off_mm: float = getattr(places, name).rods[span].error_mm
    off_nm, give_nm = round(abs(off_mm) * NM_PER_MM), round(play_of(side) * NM_PER_MM)
    way = "further apart than the rod is long" if off_mm > 0 else "nearer together than the rod is long"
    words = f"pins {show(off_nm, unit)} {way}" if off_nm else "pins just as far apart as the rod is long"
    rod = f"{name.capitalize()} rod, axles {_both(numbers, span)}"
    if side.clearance_nm is None:
        return span, name, RodNow(rod, f"{words}; its bushes are not decided", "open")
    gives = f"{words}, its bushes give {show(give_nm, unit)}"
    if off_nm > give_nm:
        return span, name, RodNow(rod, f"{gives}: {show(off_nm - give_nm, unit)} is lacking", "binds")
    return span, name, RodNow(rod, f"{gives}: {show(give_nm - off_nm, unit)} in hand", "free")


def _plot(
    engine: RodEngine,
    verdict: RodsVerdict,
    span: int,
    degrees: float,
    numbers: tuple[int, ...],
    unit: Unit,
) -> tuple[str, RodsPlot]:
    sides, pair, axles = engine.spans[span], verdict.pairs[span], _both(numbers, span)
    left, right = (None if side.clearance_nm is None else play_of(side) for side in (sides.left, sides.right))
    said = (
        f"Play over a turn, axles {axles}: each rod needs at most {show(pair.needed_nm, unit)}, "
        f"{crank_words(math.radians(pair.tightest_deg))}."
    )
    plot = rods_plot(_series(engine, span), (left, right), pair.tightest_deg, degrees % 360.0, unit, said)
    return f"Axles {axles}", plot
