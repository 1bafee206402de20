"""The report on a bonded joint in words, and its workings."""

from collections.abc import Iterator, Sequence

from domain.joints.bond import GapFit
from domain.joints.bond_types import BondedJoint, Reduction
from domain.joints.fit_case import mm
from domain.lengths import Unit, show, show_in
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
    unclaimed = worst_gap_words(joint, gap_nm, uncertainty_nm, fits, unit)
    doubtful = next((one for one in fits[1:] if one is not fits[0]), None)
    if unclaimed:
        yield f"Cannot be told with this instrument: {unclaimed}."
    elif doubtful:
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


def worst_gap_words(
    joint: BondedJoint, gap_nm: int, uncertainty_nm: int, fits: Sequence[GapFit], unit: Unit
) -> str:
    """How the uncertainty takes a gap that serves to where nothing is claimed; empty where it does not.

    fits: of the gap as measured, less its uncertainty, and with it. gap_nm, uncertainty_nm: nm.
    """
    gap, none = joint.sheet.gap, (GapFit.TOO_SMALL, GapFit.TOO_WIDE)
    if fits[0] in none:
        return ""
    said = []
    for fit, sign, limit_nm, past in (
        (fits[1], "-", gap.least_nm, "under"),
        (fits[2], "+", gap.limit_nm, "over"),
    ):
        if fit in none:
            worst_nm = gap_nm - uncertainty_nm if sign == "-" else gap_nm + uncertainty_nm
            size, off, least = (show_in(nm, unit).split()[0] for nm in (gap_nm, uncertainty_nm, limit_nm))
            said.append(
                f"at worst the gap is {size} {sign} {off} = {_signed(worst_nm, unit)}, {past} {least}"
            )
    return f"{' and '.join(said)}, so nothing is claimed there" if said else ""


def gap_working(
    joint: BondedJoint, gap_nm: int, uncertainty_nm: int, fits: Sequence[GapFit], unit: Unit
) -> Working:
    """The row of the gap at its worst. fits: as measured, less U, with U; gap_nm, uncertainty_nm: nm."""
    gap = joint.sheet.gap
    ends = [_signed(gap_nm + off, unit) for off in (-uncertainty_nm, uncertainty_nm)]
    words = worst_gap_words(joint, gap_nm, uncertainty_nm, fits, unit)
    return Working(
        "gap at worst",
        "gap - U to gap + U",
        f"gap {_signed(gap_nm, unit)}, U {show_in(uncertainty_nm, unit)}; best {show_in(gap.least_nm, unit)} to"
        f" {show_in(gap.most_nm, unit)}, filled up to {show_in(gap.limit_nm, unit)}",
        f"{ends[0]} to {ends[1]}{': ' if words else ''}{words}",
        f"{gap.source}; U is expanded, k = 2",
    )


def _signed(nm: int, unit: Unit) -> str:
    return f"{'-' if nm < 0 else ''}{show_in(abs(nm), unit)}"


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
        "shear stress times area, at the gap as measured; nothing is claimed where the gap or the heat does not serve",
    )
    yield Working(
        "torque held",
        "T = F d / 2",
        f"F {force:.0f} N, {seat}",
        f"{torque:.1f} N m",
        "by definition of torque",
    )
