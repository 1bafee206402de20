"""What a build's castings have come to, and its present risk of running out of them."""

from __future__ import annotations

from dataclasses import dataclass

from domain.ordering.advice import EXPERIENCE, MOST_LEFT, OrderRow, risk_of_running_out
from domain.ordering.chances import Record, reckoned
from domain.ordering.words import risk_words
from domain.route.stages import Stage
from domain.working import Working
from webapp.facts.castings import Stock, stock
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView, CastingView

# Far beyond what a build can lose, and within what a record may hold.
_MOST_LOST = 5000


@dataclass(frozen=True, slots=True)
class BuildCounts:
    """What a build's own castings have come to."""

    stock: Stock
    finished: int
    scrapped: int

    @property
    def in_hand(self) -> int:
        """Good castings not made yet, as many as can be reckoned with."""
        done = self.stock.places - self.stock.unfinished
        return min(self.stock.good - (self.finished - done), MOST_LEFT)

    @property
    def unfilled(self) -> int:
        """Places whose wheel can still be lost."""
        return self.stock.places - self.finished


@dataclass(frozen=True, slots=True)
class BuildRisk:
    """The present risk of running out, also in words, and what more castings would do for it."""

    chance: float
    words: str
    extra: tuple[OrderRow, ...]
    workings: tuple[Working, ...]


def counts_of(build: BuildView) -> BuildCounts:
    """What a build's own castings have come to."""
    found = stock(build)
    made = sum(_made(build, wheel) for axle in build.axles for wheel in axle.wheels)
    return BuildCounts(found, made, min(len(build.scrapped), _MOST_LOST))


def _made(build: BuildView, wheel: CastingView) -> bool:
    """Whether only the paint is missing, which ruins no casting."""
    return all(wheel.has(stage) for stage in build.order_of(wheel).stages if stage is not Stage.PAINTED)


def risk_of(build: BuildView) -> BuildRisk | None:
    """The present risk of running out, by the build's own figures; None when every wheel is finished."""
    figures = work_figures(build)
    fixed = figures.perhaps("scrap_chance")
    prior = EXPERIENCE[figures.chosen("experience")].prior if fixed is None else fixed
    return risk_with(build, prior, figures.number("confidence"))


def risk_with(build: BuildView, prior: Record | float, confidence: float) -> BuildRisk | None:
    """The risk by other figures than the build's own."""
    counts = counts_of(build)
    if not counts.unfilled:
        return None
    risk = risk_of_running_out(
        counts.unfilled,
        counts.in_hand,
        reckoned(prior, counts.scrapped),
        finished=counts.finished,
        scrapped=counts.scrapped,
        confidence=confidence,
    )
    words = risk_words(counts.unfilled, counts.in_hand, risk.chance)
    return BuildRisk(risk.chance, words, risk.extra, risk.workings)
