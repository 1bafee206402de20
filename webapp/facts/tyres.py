"""The steel tyre of each wheel whose pattern has one: what it makes of its centre, and when it was shrunk on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING

from domain.answer import Answer
from domain.joints.demand import Turned, seat_demand
from domain.joints.judge import Load
from domain.joints.kinds import FitKind
from domain.joints.materials import iron
from domain.joints.roughness import Roughness, edition
from domain.joints.words import small
from domain.route.guards import Doubt
from domain.route.stages import TYRE_ON, Stage
from domain.tyres.judge import RingFinding, TyreCase, judge
from domain.tyres.ring import MetalStrength, Tyre, drawn_tyre, stood_interference_nm, usual_interference
from domain.tyres.words import doubt, headline, not_on_words, on_axle_words
from webapp.facts.joint_terms import at_hand, figures_of, friction_of, size_of, wanted_of
from webapp.facts.work_figures import work_figures
from webapp.records.views import CastingView, Stamp
from webapp.typed.fields import Figures
from webapp.typed.joint_figures import placeholders
from webapp.typed.sizes import BY_KEY, TYRE_SIZES

if TYPE_CHECKING:
    from webapp.facts.facts import Facts


@dataclass(frozen=True, slots=True)
class TyreState:
    """A wheel's tyre: the finding, None while a size is not measured or nothing can be judged; and when it went on.

    lacking: the sizes that are not measured, in words. trouble: why the build's figures let nothing be judged.
    """

    casting: CastingView
    finding: RingFinding | None
    lacking: tuple[str, ...]
    words: str
    trouble: str = ""

    @property
    def on(self) -> Stamp | None:
        """When it was shrunk on."""
        return self.casting.ticks.get(TYRE_ON)

    @property
    def answer(self) -> Answer:
        """What it comes to as far as it is known."""
        return self.finding.answer if self.finding is not None else Answer.CANNOT_TELL

    @property
    def look(self) -> str:
        """How a page shows it; what nobody measured yet is open."""
        return self.answer.look if self.finding is not None or self.trouble else "open"

    @property
    def address(self) -> str:
        """The sheet that tells the rest."""
        return f"/castings/{self.casting.id}/tyre"


class Tyres:
    """The tyres of a build as one of its patterns sees it."""

    def __init__(self, facts: Facts) -> None:
        self._build = facts.build
        self._treads = facts.treads
        self._found: dict[int, TyreState] = {}

    @property
    def there(self) -> bool:
        """Whether the pattern has tyres."""
        return self._build.pattern is not None and self._build.pattern.tyred

    @cached_property
    def wanted_nm(self) -> tuple[int, int]:
        """Least and most interference: the drawing's, or the rule of thumb's where it says nothing."""
        drawn = self._build.dimensions
        least, most = usual_interference(self._build.nm("tyre_inside"))
        return (
            drawn["tyre_least"].nm if "tyre_least" in drawn else least,
            drawn["tyre_most"].nm if "tyre_most" in drawn else most,
        )

    @property
    def by_rule(self) -> bool:
        """Whether the interference wanted, or one end of it, is the rule of thumb's."""
        return not {"tyre_least", "tyre_most"} <= self._build.dimensions.keys()

    @property
    def cone(self) -> float | None:
        """Of its treads, N of 1 in N."""
        return self._treads.form(self._build.nm("tread_diameter")).figures.cone

    @cached_property
    def strength(self) -> MetalStrength:
        """What is asked of the metal. Raises FitError where the figures of the joints do not hold together."""
        figures, work = figures_of(self._build), work_figures(self._build)
        return strength_of(figures, work)

    def tyre(self, casting: CastingView | None = None) -> Tyre:
        """A wheel's tyre as drawn, and as thin as its tread was turned. Raises FitError as `strength`."""
        build, figures = self._build, figures_of(self._build)
        turned = casting.sizes.get("tread") if casting is not None else None
        tyre = drawn_tyre(
            {key: length.nm for key, length in build.dimensions.items()},
            self.cone,
            iron(build.iron),
            friction_of(figures, FitKind.SHRINK),
            turned.nm if turned is not None and not turned.rough else None,
        )
        return replace(
            tyre,
            roughness=Roughness(figures.nm("bore_rz"), figures.nm("seat_rz")),
            edition=edition(figures.chosen("edition")),
            room_c=figures.number("room"),
        )

    def centre_nm(self, casting: CastingView) -> tuple[int, int]:
        """From what to what a wheel centre is turned: to its own tyre once that is bored, else to the drawn one."""
        inside = casting.sizes.get("tyre_inside")
        nm = inside.nm if inside is not None else self._build.nm("tyre_inside")
        least, most = self.wanted_nm
        # Where nothing can be judged its own sheet says why, and what is wanted stands meanwhile.
        with suppress(ValueError):
            most = max(least, min(most, stood_interference_nm(self.tyre(casting), self.strength)))
        return nm + least, nm + most

    def of(self, casting: CastingView) -> TyreState:
        """One wheel's tyre, judged once; its ticks are the casting's own, which is also asked as it was before one."""
        if casting.id not in self._found:
            self._found[casting.id] = self._judged(casting)
        return replace(self._found[casting.id], casting=casting)

    def _judged(self, casting: CastingView) -> TyreState:
        lacking = tuple(small(BY_KEY[key].words) for key in TYRE_SIZES if key not in casting.sizes)
        finding, trouble = None, ""
        if not lacking:
            try:
                finding = judge(self._case(casting))
            except ValueError as error:
                trouble = str(error)
        words = headline(finding, self._build.unit) if finding is not None else trouble
        return TyreState(
            casting, finding, lacking, words or f"Not measured: {' and '.join(lacking)}", trouble
        )

    def _case(self, casting: CastingView) -> TyreCase:
        build = self._build
        inside, centre = (size_of(build, casting.sizes[key]) for key in TYRE_SIZES)
        return TyreCase(
            tyre=self.tyre(casting),
            wanted_nm=self.wanted_nm,
            inside=inside,
            centre=centre,
            strength=self.strength,
            load=self._load(),
            unit=build.unit,
            tools=at_hand(build),
        )

    def _load(self) -> Load:
        """Its own wheel slips on the rail before the tyre may turn on its centre."""
        build, figures = self._build, figures_of(self._build)
        demand = seat_demand(
            Turned.CARRYING,
            figures.number("load") / 2,
            build.nm("tread_diameter"),
            figures.number("adhesion"),
            adhesion_source=figures.source("adhesion"),
        )
        return Load(demand, *wanted_of(figures, FitKind.SHRINK), placeholders(figures, "load"))

    @property
    def _bonded(self) -> bool:
        return self._build.fit == FitKind.BOND.value

    def asked_on_axle(self, casting: CastingView, now: datetime) -> str:
        """What is asked before a tyre is ticked as on of a wheel that was fixed before now; empty on a bare wheel."""
        fixed = casting.ticks.get(Stage.PRESSED.value)
        return on_axle_words(casting.mark, self._bonded) if fixed is not None and fixed.at <= now else ""

    def doubts(self, casting: CastingView) -> Iterator[Doubt]:
        """What is asked before a wheel is fixed, its tyre ticked as on, and its tread ticked as turned."""
        if not self.there:
            return
        state, mark = self.of(casting), casting.mark
        said = doubt(state.finding, mark, self._build.unit) if state.finding is not None else ""
        if state.lacking:
            said = f"The tyre of {mark}: cannot tell, for {' and '.join(state.lacking)} is not measured."
        if state.trouble:
            said = f"The tyre of {mark}: cannot tell. {state.trouble}"
        tread = Stage.TREAD_TURNED.value
        if state.on is None:
            yield Doubt(tread, f"The tyre of {mark} is not ticked as shrunk on.")
            yield Doubt(Stage.PRESSED.value, not_on_words(mark, self._bonded), waits=False)
        if said:
            yield Doubt(TYRE_ON, said)
            # Only a tyre that is known to be no good is not worth turning.
            yield Doubt(tread, said, waits=state.answer is Answer.NOT)


def strength_of(figures: Figures, work: Figures) -> MetalStrength:
    """What is asked of a tyre's steel, its centre's iron and its heat."""
    return MetalStrength(
        yield_mpa=work.number("tyre_yield"),
        factor_wanted=work.number("tyre_factor"),
        crush_wanted=figures.number("crack_factor"),
        hottest_c=work.number("tyre_hottest"),
        yield_source=work.source("tyre_yield"),
        factor_source=work.source("tyre_factor"),
        crush_source=figures.source("crack_factor"),
        hottest_source=work.source("tyre_hottest"),
    )
