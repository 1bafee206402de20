"""A wheel on its seat as the sheet of fits shows it: what fit it makes, what it holds, and what to doubt."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from domain.joints.words import at_worst
from domain.lengths import Unit, show_small
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.facts.measured_views import MeasuredView, measured_view
from webapp.facts.ways_out import WayOut, ways_out
from webapp.facts.wheel_joint import WheelJoint
from webapp.records.views import BuildView, CastingView, Measured

_NOTHING = "0.00"


@dataclass(frozen=True, slots=True)
class Gap:
    """Bore less seat in words and figures: one figure, or the limits that plugs leave."""

    words: str
    figures: tuple[str, ...]
    after: str = ""


@dataclass(frozen=True, slots=True)
class SeatedWheel:
    """A wheel on a seat, as it is or as it would be; each doubt says what would settle it."""

    casting: CastingView
    joint: WheelJoint | None
    gap: Gap | None
    bore: MeasuredView | None
    doubts: tuple[str, ...]
    ways: tuple[WayOut, ...]

    @property
    def nothing(self) -> bool:
        """Whether the joint holds so little that its factor is shown as nothing."""
        return self.joint is not None and self.joint.holding.factor_figure == _NOTHING

    @property
    def must_words(self) -> str:
        """What the joint must carry, in short; empty when that cannot be worked out."""
        return "" if self.joint is None else self.joint.holding.demand_figure

    @property
    def workings(self) -> Iterator[Working]:
        """Every working behind what is said of it."""
        if self.bore is not None:
            yield from self.bore.workings
        if self.joint is not None:
            yield from self.joint.workings
            yield from self.joint.holding.workings


def seated(build: BuildView, casting: CastingView) -> SeatedWheel:
    """A casting where it is in this build."""
    joint, bore = facts_of(build.of(casting)).joints.of(casting), casting.bore
    return SeatedWheel(
        casting=casting,
        joint=joint,
        gap=_gap_on(joint, bore) if joint and bore else None,
        bore=measured_view(build.of(casting), bore) if bore else None,
        doubts=tuple(_doubts(joint)) if joint else (),
        ways=ways_out(build, casting),
    )


def _gap_on(joint: WheelJoint, bore: Measured) -> Gap:
    """The gap by the mean, and at the reading that decides where that is another."""
    found = gap_of(bore, joint.seat_nm, joint.build.unit)
    worst = at_worst(joint.finding).removeprefix(", ")
    return replace(found, after=worst) if worst else found


def gap_of(bore: Measured, seat_nm: int, unit: Unit) -> Gap:
    """Bore less seat; what plugs say of it is never put as one size."""
    if not bore.by_plug:
        return Gap(_gap_word(bore.mean_nm - seat_nm), (show_small(abs(bore.mean_nm - seat_nm), unit),))
    least, most = (None if nm is None else nm - seat_nm for nm in (bore.low_nm, bore.high_nm))
    if least is not None and most is not None:
        return _between(least, most, unit)
    if least is not None:
        figure = (show_small(abs(least), unit),)
        return (
            Gap("Gap more than", figure) if least >= 0 else Gap("Interference less than", figure, "or a gap")
        )
    most = most or 0
    figure = (show_small(abs(most), unit),)
    return (
        Gap("Gap less than", figure, "or interference") if most > 0 else Gap("Interference more than", figure)
    )


def _between(least: int, most: int, unit: Unit) -> Gap:
    low, high = show_small(abs(least), unit), show_small(abs(most), unit)
    if least < 0 < most:
        return Gap("Interference less than", (low,), f"to a gap less than {high}")
    return Gap("Gap between", (low, high)) if least >= 0 else Gap("Interference between", (high, low))


def _gap_word(clearance_nm: int) -> str:
    return "Gap" if clearance_nm >= 0 else "Interference"


def _doubts(joint: WheelJoint) -> Iterator[str]:
    found, unit = joint.finding, joint.build.unit
    if joint.seat_measured:
        if not found.trusted:
            yield f"{joint.shown} {found.settling}".strip()
    # Seats of the drawing are told apart from all this, and a spare has none: the bore stands for itself.
    elif found.case.bore.plugs is None and found.case.bore.budget is None:
        yield (
            "It is not known how sure the bore is."
            " Log it again and choose what it was measured with from the workshop's list."
        )
    wanted = found.case.joint
    if joint.spread_nm > wanted.most_nm - wanted.least_nm:
        yield (
            f"The readings of the bore differ by {show_small(joint.spread_nm, unit)}, more than the wanted"
            " range is wide. Measure again front, middle and back: if they still differ, it is tapered or out of round."
        )
