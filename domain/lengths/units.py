"""The two systems of a build, and exact decimals in them."""

from enum import StrEnum

NM_PER_MM = 1_000_000
NM_PER_INCH = 25_400_000  # exact: international yard and pound agreement, 1959


class Unit(StrEnum):
    """The two systems a build can be drawn in."""

    MM = "mm"
    INCH = "in"


def nm_in(unit: Unit) -> int:
    """The nanometres in one millimetre or one inch, exactly.

    >>> nm_in(Unit.INCH)
    25400000
    """
    return NM_PER_MM if unit is Unit.MM else NM_PER_INCH


def decimal(amount: int, per: int, places: int) -> str:
    """amount/per as a decimal with so many places, rounded half to even, in whole-number arithmetic.

    per: above 0; places: 0 or more.

    >>> decimal(19_050_000, 25_400_000, 4)
    '0.7500'
    """
    scaled, over = divmod(abs(amount) * 10**places, per)
    # By hand, for a page shows hundreds of lengths and a Fraction takes ten times as long.
    scaled += 2 * over > per or (2 * over == per and scaled % 2)
    digits = f"{scaled:0{places + 1}d}"
    minus = "-" if amount < 0 and scaled else ""
    return f"{minus}{digits[:-places]}.{digits[-places:]}" if places else f"{minus}{digits}"
