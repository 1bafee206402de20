"""The sheet of a build: the engine's wheels side by side, its spares and what is next."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.facts.batch_views import BatchView
from webapp.facts.castings import Progress, Stock, Tile, progress_of, stock, tiles
from webapp.facts.next_work import NextWork, next_work
from webapp.records.views import SIDES, AxleView, BuildView


@dataclass(frozen=True, slots=True)
class PlaceTile:
    """One side of an axle as a tile, or an empty place."""

    side: str
    card: Tile | None


@dataclass(frozen=True, slots=True)
class BuildSheet:
    """The engine's wheels side by side."""

    build: BuildView
    axles: tuple[tuple[AxleView, tuple[PlaceTile, ...]], ...]
    spares: tuple[Tile, ...]
    scrapped: tuple[Tile, ...]
    progress: Progress
    stock: Stock
    next: NextWork


def build_sheet(build: BuildView, running: BatchView | None = None) -> BuildSheet:
    """The whole engine on one sheet, with the batch that is running."""
    return BuildSheet(
        build=build,
        axles=tuple((axle, _places(build, axle)) for axle in build.axles),
        spares=tiles(build, build.spares),
        scrapped=tiles(build, build.scrapped),
        progress=progress_of(build, build.axles),
        stock=stock(build),
        next=next_work(build, running),
    )


def _places(build: BuildView, axle: AxleView) -> tuple[PlaceTile, ...]:
    wheels = {wheel.side: tile for wheel, tile in zip(axle.wheels, tiles(build, axle.wheels), strict=True)}
    return tuple(PlaceTile(side, wheels.get(side)) for side in SIDES)
