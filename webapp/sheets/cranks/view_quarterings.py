"""All coupled axles' quarter angles side by side: it is that they agree which frees the rods."""

from __future__ import annotations

from dataclasses import dataclass, replace

from domain.cranks.cylinders import Side
from domain.cranks.quartering import QuarteredAxle, QuarteringError
from domain.cranks.quartering_set import AxleAngle, AxleSet, AxleStanding, compare_axles
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


@dataclass(frozen=True, slots=True)
class AxleRow:
    """One coupled axle; without an angle the words say why."""

    axle: AxleView
    sheet: QuarteredAxle | None
    words: str
    standing: AxleStanding | None = None
    worst: bool = False
    reset: bool = False
    # Heights are logged, whether or not they give an angle.
    measured: bool = False


@dataclass(frozen=True, slots=True)
class QuarteringSet:
    """All coupled axles; `trouble` is why they cannot be compared yet."""

    rows: tuple[AxleRow, ...]
    compared: AxleSet | None
    trouble: str
    tolerance: str
    wanted: str
    unsure: bool
    odd: str
    throws_first: str
    words: str = ""
    workings: tuple[Working, ...] = ()

    @property
    def answer(self) -> tuple[str, str]:
        """The kind of answer and its words."""
        assert self.compared is not None and self.compared.answer is not None  # an allowance was given
        return _ALIKE[self.compared.answer]


def quartering_set(build: BuildView) -> QuarteringSet:
    """Compare the angles of the outside two cranks at each coupled axle."""
    coupled = [axle for axle in build.axles if axle.coupled]
    rows = tuple(_row(build, axle) for axle in coupled)
    found, trouble = _compared(build, rows)
    if found is not None:
        of = {one.axle: one for one in found.axles}
        most = found.spread_deg > found.spread_expanded_deg
        rows = tuple(
            replace(
                row,
                standing=of.get(row.axle.number),
                worst=most and len(found.axles) > 2 and row.axle.number == found.worst.axle,
                reset=_to_reset(found, row.axle.number),
            )
            for row in rows
        )
    within = work_figures(build).number("quarter_within")
    used = [row.axle.heights for row in rows if row.sheet is not None]
    return QuarteringSet(
        rows=rows,
        compared=found,
        trouble=trouble,
        tolerance=f"{within:g} degrees ({work_figures(build).source('quarter_within')})",
        wanted=cranks_of(build).words,
        unsure=any(one is not None and one.expanded_nm is None for one in used),
        odd=cylinders_conflict(build) if coupled else "",
        throws_first=facts_of(build).throws.first,
        words=set_words(found, build.unit) if found else "",
        workings=set_workings(found, build.unit) if found else (),
    )


def _to_reset(found: AxleSet, number: int) -> bool:
    """Whether this axle is one to re-set: only where they are not alike for certain."""
    if found.answer is not Conformity.OUTSIDE:
        return False
    if found.must_reset is not None and len(found.must_reset) > 1:
        return number in found.must_reset
    return found.reset is not None and number == found.reset.axle


def _row(build: BuildView, axle: AxleView) -> AxleRow:
    empty = [side for side in ("left", "right") if axle.at(side) is None]
    if empty:
        return AxleRow(axle, None, f"The {' and the '.join(empty)} place is empty.")
    found = facts_of(build).quartering.of(axle)
    if found.error is not None:
        return AxleRow(axle, None, no_angle_words(build, found.error), measured=True)
    if found.sheet is None:
        return AxleRow(axle, None, off_axle_words(build, axle) or "No heights logged yet.")
    return AxleRow(axle, found.sheet, QUARTER_ANSWERS[found.sheet.quarter.answer])


def _compared(build: BuildView, rows: tuple[AxleRow, ...]) -> tuple[AxleSet | None, str]:
    angles = [
        AxleAngle(row.axle.number, row.sheet.quarter.angle_deg, row.sheet.quarter.expanded_deg)
        for row in rows
        if row.sheet is not None
    ]
    cranks, lead = cranks_of(build), Side(build.lead)
    other = Side.LEFT if lead is Side.RIGHT else Side.RIGHT
    if not rows:
        return None, "No axle of this build is coupled, so there is nothing to quarter."
    if len(rows) == 1:
        return None, "One coupled axle has no fellow to agree with: only its own angle counts."
    if not angles and any(row.measured for row in rows):
        return None, "The heights logged give no angle as things stand: see each axle below."
    if not angles:
        return None, "No axle has an angle yet: measure the heights of its crankpins on its own sheet."
    within = work_figures(build).number("quarter_within")
    try:
        return compare_axles(angles, cranks.ahead_deg(lead, other), lead, build.crank_nm("throw"), within), ""
    except QuarteringError as error:
        return None, str(error)
