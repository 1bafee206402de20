"""The verdict in words: its headline and its reason."""

import math

from domain.joints.fit_case import Case, Finding, Stress
from domain.joints.fit_figures import gap_range
from domain.joints.fit_types import Joint


def headline(case: Case, finding: Finding) -> str:
    """The size in both systems and what it does, in one line without a full stop."""
    fit, gap = case.joint.kind.words, case.clearance_nm
    size = f"{'Clearance' if gap > 0 else 'Interference'} {case.show(abs(gap))}"
    if gap == 0:
        size = "Bore and seat are the same size"
    if finding is Finding.NO_GRIP:
        return f"{size} where a {fit} was wanted"
    tail = {
        Finding.GOOD: f"serves the {fit}",
        Finding.WIPED: f"{'too little' if gap > 0 else 'no room'} for the bond, the compound is wiped out",
        Finding.WIDE: "wide for the bond, check the compound's data sheet",
        Finding.TOO_WIDE: "too wide for the bond",
        Finding.LOOSE: f"too little, the {fit} will not hold",
        Finding.CRACKS: "too tight, the boss may crack",
        Finding.TIGHT: f"tighter than the {fit} wants, take care",
        Finding.STRAINED: f"serves the {fit} with little in hand, take care",
    }[finding]
    return f"{size}: {tail}"


def reason(case: Case, finding: Finding, stress: Stress | None) -> str:
    """Why, with the range wanted, and how hard the boss is strained where it is."""
    joint, gap = case.joint, gap_range(case.joint)
    what = "a gap" if case.is_bond else "an interference"
    wanted = f"{what} of {case.show(joint.least_nm)} to {case.show(joint.most_nm)} is wanted"
    filled = f"{case.show(gap.limit_nm)} is the most it can fill ({gap.source})"
    words = {
        Finding.GOOD: f"It is as it should be: {wanted}.",
        Finding.WIPED: f"The compound needs room to stay in: {wanted}.",
        Finding.WIDE: f"It is more than is best: {wanted}, and {filled}.",
        Finding.TOO_WIDE: f"The compound will not fill it: {wanted}, and {filled}.",
        Finding.NO_GRIP: f"Nothing grips: {wanted}.",
        Finding.LOOSE: f"The wheel could work loose on its axle: {wanted}.",
        Finding.CRACKS: f"A fit below the factor wanted is never called safe, even where {wanted}.",
        Finding.TIGHT: f"It is more than it should be, though the iron can take it: {wanted}.",
        Finding.STRAINED: f"It is as it should be, {wanted}, but a flaw in the iron would leave little.",
    }[finding]
    return f"{words} {_strain_words(joint, stress)}" if stress else words


def _strain_words(joint: Joint, stress: Stress) -> str:
    return (
        f"The boss is strained to {stress.hoop:.0f} MPa and the iron is sure of {stress.strength:.0f} MPa,"
        f" a factor of {floor2(stress.factor)}, where {joint.factor_wanted:g} is wanted."
    )


def floor2(factor: float) -> str:
    """Two decimals, cut off: 1.999 must not read as the 2 it failed to reach.

    >>> floor2(1.999)
    '1.99'
    """
    return f"{math.floor(factor * 100) / 100:.2f}"
