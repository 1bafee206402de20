"""What to watch for with a fit: doubtful readings, an unsafe range, and the dangers of each way of fitting."""

from collections.abc import Iterator, Sequence

from domain.joints.fit_case import Case
from domain.joints.fit_types import FitKind, Remedy
from domain.joints.fit_windows import highest_interference_nm

_STRANGE_NM = 1_000_000  # 1 mm between bore and seat is a slip, not a fit

_KIND_CAUTIONS = {
    FitKind.PRESS: ("Press brittle iron behind a guard: a boss can burst without warning.",),
    FitKind.SHRINK: (
        "A heated wheel does not look hot: gloves, tongs, a clear way to the axle, nothing near that burns.",
        "Iron can crack as it grips: stand clear until it is cold. Let a warmed wheel cool before measuring.",
    ),
    FitKind.BOND: (
        "Ventilate when using the compound, and the more when warming a bond to release it: it fumes.",
        "Let a warmed wheel cool before measuring.",
    ),
}
_CUTTING = {"bore_out", "turn_seat", "bore_for_bond", "sleeve"}


def cautions_for(case: Case, remedies: Sequence[Remedy], spread_nm: int) -> Iterator[str]:
    """What to watch for, one sentence or two each; the last says who decides.

    spread_nm: most less least of the bore's readings, nm, 0 or more.
    """
    joint = case.joint
    if spread_nm > joint.most_nm - joint.least_nm:
        yield (
            f"The readings of the bore differ by {case.show(spread_nm)}, more than the range wanted is wide:"
            " it is tapered or out of round, and the answer depends on where you measure."
        )
    if abs(case.clearance_nm) > _STRANGE_NM:
        yield (
            f"Bore and seat differ by {case.show(abs(case.clearance_nm))}: check the reading, its unit, and"
            " that the seat belongs to this wheel."
        )
    if not case.is_bond and highest_interference_nm(case, case.seat_nm, joint.factor_wanted) < joint.least_nm:
        yield (
            f"No interference in the wanted range is safe in this boss: it takes at most"
            f" {case.show(highest_interference_nm(case, case.seat_nm, joint.factor_wanted))} at a factor of"
            f" {joint.factor_wanted:g}. Think of a bond, or of a larger boss."
        )
    yield from _KIND_CAUTIONS[joint.kind]
    if any(remedy.key in _CUTTING for remedy in remedies):
        yield "Before cutting: chuck key out, and turn the work by hand clear of the bed before the power."
    yield "The program advises: the builder, local codes and a competent person decide."
