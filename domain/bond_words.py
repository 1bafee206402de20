"""The report on a bonded joint in words, and its workings."""

from collections.abc import Iterator, Sequence

from domain.bond import GapFit
from domain.bond_types import BondedJoint, Reduction
from domain.fit_case import mm
from domain.length import Unit, show
from domain.working import Working

_FIT_WORDS = {
    GapFit.TOO_SMALL: "too small: the compound is wiped out",
    GapFit.BEST: "as it should be",
    GapFit.WIDE: "wider than is best",
    GapFit.TOO_WIDE: "more than the compound fills",
}


def bond_reasons(
    joint: BondedJoint, gap_nm: int, uncertainty_nm: int, fits: Sequence[GapFit], unit: Unit
) -> Iterator[str]:
    """Why the bond serves or not, and what to watch for, one sentence each.

    fits: of the gap as measured, less its uncertainty, and with it. gap_nm, uncertainty_nm: nm.
    """
    sheet, gap = joint.sheet, joint.sheet.gap
    wanted = f"{show(gap.least_nm, unit)} to {show(gap.most_nm, unit)} is wanted ({gap.source})"
    name = f"A gap of {show(gap_nm, unit)}" if gap_nm >= 0 else f"An interference of {show(-gap_nm, unit)}"
    yield f"{name} is {_FIT_WORDS[fits[0]]}; {wanted}."
    doubtful = next((one for one in fits[1:] if one is not fits[0]), None)
    if doubtful:
        yield (
            f"With an uncertainty of {show(uncertainty_nm, unit)} the gap may also be {_FIT_WORDS[doubtful]}:"
            " measure more closely to settle it."
        )
    if joint.hottest_c > sheet.service_limit_c:
        yield (
            f"Running at {joint.hottest_c:g} C is hotter than the compound serves, {sheet.service_limit_c:g} C:"
            " the bond lets go."
        )
    placeholders = [one.key for one in sheet.reductions if one.placeholder]
    if placeholders:
        yield (
            f"Placeholders, not your compound's figures: {', '.join(placeholders)}. Type those of its data sheet"
            " before you rely on the strength."
        )
    yield "The data sheet's strength is that of a pin in a collar; it does not predict service."
    yield "Ventilate when using the compound, and the more when warming a bond to release it: it fumes."


def bond_workings(
    joint: BondedJoint, steps: Sequence[tuple[Reduction, float]], force: float, torque: float
) -> Iterator[Working]:
    """The workings in the order they are worked: each reduction, the force, the torque.

    steps: each reduction with the strength left after it, MPa. force: N; torque: N m.
    """
    sheet, before = joint.sheet, joint.sheet.shear_mpa
    for one, left in steps:
        yield Working(
            f"strength left after {one.key}",
            "shear x factor",
            f"{before:.2f} MPa x {one.factor:g} ({one.words})",
            f"{left:.2f} MPa",
            f"{one.source}; strength: {sheet.source}",
        )
        before = left
    seat = f"d {mm(joint.seat_nm):.3f} mm"
    yield Working(
        "force held",
        "F = shear left x pi d l / safety",
        f"{before:.2f} MPa, {seat}, l {mm(joint.length_nm):.3f} mm, safety {sheet.safety:g}",
        f"{force:.0f} N",
        "shear stress times area; nothing is claimed where the gap or the heat does not serve",
    )
    yield Working(
        "torque held",
        "T = F d / 2",
        f"F {force:.0f} N, {seat}",
        f"{torque:.1f} N m",
        "by definition of torque",
    )
