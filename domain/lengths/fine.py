"""Lengths written finely enough for guard bands and uncertainties."""

from domain.lengths.systems import both_shown
from domain.lengths.units import Unit, decimal, nm_in


def fine(nm: int, unit: Unit, *, down: bool = False) -> str:
    """Write a length to 0.00001 mm or 0.000001 in, without the zeros beyond the usual decimals.

    Formula: nm / nanometres per unit, 3 to 5 decimals of a millimetre or 4 to 6 of an inch, rounded half to even

    Args:
        nm: the length in nanometres, any sign.
        unit: the system to write it in.
        down: True cuts off towards minus infinity, for a figure that may not be exceeded.

    Returns:
        The text with its unit.

    Source: international yard and pound agreement, 1959, for the inch.

    >>> fine(25_004_950, Unit.MM), fine(25_000_000, Unit.MM), fine(2_429, Unit.MM, down=True)
    ('25.00495 mm', '25.000 mm', '0.00242 mm')
    """
    least, most = (3, 5) if unit is Unit.MM else (4, 6)
    steps = 10**most
    digits = decimal(nm * steps // nm_in(unit), steps, most) if down else decimal(nm, nm_in(unit), most)
    whole, _, after = digits.partition(".")
    after = after[:least] + after[least:].rstrip("0")
    text = f"{whole}.{after}"
    return f"{text if text.strip('-0.') else text.lstrip('-')} {unit}"


def fine_both(nm: int, first: Unit, *, down: bool = False) -> str:
    """Write a length finely in the systems shown, the given one first.

    Formula: as fine() does, twice

    Args:
        nm: the length in nanometres, any sign.
        first: the system to write first.
        down: as in fine().

    Returns:
        The text with its units.

    Source: international yard and pound agreement, 1959, for the inch.

    >>> fine_both(4_950, Unit.MM)
    '0.00495 mm (0.000195 in)'
    """
    own, other = fine(nm, first, down=down), Unit.INCH if first is Unit.MM else Unit.MM
    return f"{own} ({fine(nm, other, down=down)})" if both_shown() else own
