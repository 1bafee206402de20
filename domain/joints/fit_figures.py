"""The figures a fit is judged by when the drawing does not say: the table of fits and the ranges out of it."""

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

from domain.joints import bond
from domain.joints.fit_types import FitError, FitKind, Joint


@cache
def table() -> dict[str, dict[str, Any]]:
    """The table of fits, read once: lengths in nm, each figure beside its source.

    >>> table()["factor"]["wanted"]
    2.0
    """
    return tomllib.loads(files("domain").joinpath("tables", "fits.toml").read_text(encoding="utf-8"))


def default_range(kind: FitKind, nominal_nm: int) -> tuple[int, int]:
    """The gap or interference to want on a diameter when the drawing does not say.

    Formula: press 0.001 to 0.002 of the diameter; shrink 0.0005 to 0.001 of it; bond 0.02 to 0.05 mm of gap.
    nominal_nm: nominal diameter, nm, above 0.
    Returns: least and most, nm: a gap for a bond, an interference for press and shrink.
    Raises: FitError when the diameter is not above zero.
    Source: Applied Science for Metal Workers, sections 453-454 (press, shrink; half the shrink rule as its
    least is common practice, no source); bond from memory, verify.

    >>> default_range(FitKind.PRESS, 25_400_000)
    (25400, 50800)
    """
    if nominal_nm <= 0:
        raise FitError("The diameter must be above zero, such as 19.05 mm.")
    if kind is FitKind.BOND:
        return bond.DEFAULT_GAP.least_nm, bond.DEFAULT_GAP.most_nm
    rule = table()[kind.value]
    return round(nominal_nm * rule["least_per_diameter"]), round(nominal_nm * rule["most_per_diameter"])


def gap_range(joint: Joint) -> bond.GapRange:
    """The gap for a bonded axle: the joint's own for a bond, the compound's where bonding is a way out.

    Returns: least, most and limit, nm on the diameter; the limit is never below the most.

    >>> joint = Joint(FitKind.PRESS, 19_050_000, 19_050_000, 32_000_000, 14_000_000, 8_000, 15_000, "en-gjl-250")
    >>> gap_range(joint) == joint.compound.gap
    True
    """
    gap = joint.compound.gap
    if joint.kind is not FitKind.BOND:
        return gap
    return bond.GapRange(joint.least_nm, joint.most_nm, max(joint.most_nm, gap.limit_nm), gap.source)
