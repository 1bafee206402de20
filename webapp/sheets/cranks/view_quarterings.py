"""All coupled axles' quarter angles side by side: it is that they agree which frees the rods."""

from __future__ import annotations

from dataclasses import dataclass

from domain.cranks.quartering import QuarteredAxle
from domain.cranks.quartering_set import AxleSet
from domain.cranks.words import QUARTER_ANSWERS, set_words, set_workings
from domain.measuring.decision_types import Conformity
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.facts.quartering import (
    cranks_of,
    cylinders_conflict,
    no_angle_words,
    off_axle_words,
)
from webapp.facts.work_figures import work_figures
from webapp.records.views import AxleView, BuildView

_ALIKE = {
    Conformity.INSIDE: ("serves", "Good: the axles agree"),
    Conformity.OUTSIDE: ("not", "No good: the axles do not agree"),
    Conformity.CANNOT_TELL: ("caution", "Cannot tell whether the axles agree"),
}
# What the rods forgive is for their own judge.
_FORGIVEN = ("caution", "Take care: the axles do not quite agree")


@dataclass(frozen=True, slots=True)
class AxleRow:
    """One coupled axle; without an angle the words say why."""

    axle: AxleView
    sheet: QuarteredAxle | None
    words: str
    # Whether it is one to set again.
    again: bool = False
    # Heights are logged, whether or not they give an angle.
    measured: bool = False


@dataclass(frozen=True, slots=True)
class QuarteringSet:
    """All coupled axles; `trouble` is why they cannot be compared yet. title, orders, instead: as the facts say them."""

    rows: tuple[AxleRow, ...]
    compared: AxleSet | None
    trouble: str
    tolerance: str
    wanted: str
    wanted_deg: float
    unsure: bool
    odd: str
    throws_first: str
    title: str
    orders: tuple[str, ...]
    instead: str
    rods_go: bool
    words: str = ""
    workings: tuple[Working, ...] = ()

    @property
    def answer(self) -> tuple[str, str]:
        """The kind of answer and its words."""
        assert self.compared is not None and self.compared.answer is not None  # an allowance was given
        if self.rods_go and self.compared.answer is Conformity.OUTSIDE:
            return _FORGIVEN
        return _ALIKE[self.compared.answer]


def quartering_set(build: BuildView) -> QuarteringSet:
    """Compare the angles of the outside two cranks at each coupled axle."""
    rows = tuple(_row(build, axle) for axle in build.axles if axle.coupled)
    again, cranks = facts_of(build).resetting, cranks_of(build)
    found = again.compared
    within = work_figures(build).number("quarter_within")
    used = [row.axle.heights for row in rows if row.sheet is not None]
    return QuarteringSet(
        rows=rows,
        compared=found,
        trouble=_trouble(rows) or again.trouble,
        tolerance=f"{within:g} degrees ({work_figures(build).source('quarter_within')})",
        wanted=cranks.words,
        wanted_deg=cranks.ahead_deg(*cranks.pairs()[0]),
        unsure=any(one is not None and one.expanded_nm is None for one in used),
        odd=cylinders_conflict(build) if rows else "",
        throws_first=facts_of(build).throws.first,
        title=again.title,
        orders=again.orders,
        instead=again.instead,
        rods_go=again.rods_go,
        words=set_words(found, build.unit) if found else "",
        workings=set_workings(found, build.unit) if found else (),
    )


def _row(build: BuildView, axle: AxleView) -> AxleRow:
    empty = [side for side in ("left", "right") if axle.at(side) is None]
    if empty:
        return AxleRow(axle, None, f"The {' and the '.join(empty)} place is empty.")
    found = facts_of(build).quartering.of(axle)
    if found.error is not None:
        return AxleRow(axle, None, no_angle_words(build, found.error), measured=True)
    if found.sheet is None:
        return AxleRow(axle, None, off_axle_words(build, axle) or "No heights logged yet.")
    again = facts_of(build).resetting.of(axle) is not None
    return AxleRow(axle, found.sheet, QUARTER_ANSWERS[found.sheet.quarter.answer], again)


def _trouble(rows: tuple[AxleRow, ...]) -> str:
    """Why nothing can be compared, where that is not for the angles to say."""
    if not rows:
        return "No axle of this build is coupled, so there is nothing to quarter."
    if len(rows) == 1:
        return "One coupled axle has no fellow to agree with: only its own angle counts."
    if any(row.sheet is not None for row in rows):
        return ""
    if any(row.measured for row in rows):
        return "The heights logged give no angle as things stand: see each axle below."
    return "No axle has an angle yet: measure the heights of its crankpins on its own sheet."
