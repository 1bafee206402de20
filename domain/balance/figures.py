"""The figures of a balance: how masses, speeds and shares are written, and the refusal of one that cannot be."""

from __future__ import annotations

import math

from domain.errors import TradeError
from domain.lengths import Unit
from domain.lengths.loads import both_loads

GRAMS_PER_OUNCE = 28.349523125  # exact: international yard and pound agreement, 1959


class BalanceError(TradeError):
    """Figures nothing can be balanced with."""


def check_number(field: str, value: float, what: str, example: str, *, zero: bool = False) -> None:
    """Refuse a figure that is not a number above zero (or, where zero is allowed, below it).

    Formula: value > 0, or value >= 0 with `zero`.
    Parameters: `field`, the box; `value`; `what`, the figure's name in words; `example`; `zero`, whether 0 will do.

    >>> check_number("throw", 22.0, "throw", "22.225 mm")
    """
    if math.isfinite(value) and (value > 0 or (zero and value == 0)):
        return
    least = "zero or more" if zero else "more than zero"
    raise BalanceError(f"The {what} must be {least}: type one such as {example}.", field=field)


def figure(value: float, digits: int) -> str:
    """A figure with so many digits, never in powers of ten, and nothing at all as 0.


    >>> figure(27_725.4, 3), figure(0.01234, 3), figure(3e-16, 4)
    ('27725', '0.0123', '0')
    """
    short = f"{value:.{digits}g}"
    if "e" not in short:
        return short
    return f"{value:.0f}" if abs(value) >= 1 else "0"


def mass(grams: float, first: Unit) -> str:
    """A mass in grams and ounces, the build's own system first; from 10 kg on in kilograms and pounds.

    Formula: 1 oz = 28.349523125 g; 16 oz = 1 lb.
    Source: international yard and pound agreement, 1959.

    >>> mass(92.46, Unit.MM), mass(105_340.0, Unit.INCH)
    ('92.46 g (3.261 oz)', '232.2 lb (105.3 kg)')
    """
    ounces = grams / GRAMS_PER_OUNCE
    if abs(grams) >= 10_000:
        metric, other = f"{figure(grams / 1000, 4)} kg", f"{figure(ounces / 16, 4)} lb"
    else:
        metric, other = f"{figure(grams, 4)} g", f"{figure(ounces, 4)} oz"
    return both_loads(metric, other, first)


def speed(metres_per_second: float) -> str:
    """A speed in m/s, km/h and mph.

    Formula: 1 m/s = 3.6 km/h; 1 mile = 1609.344 m.
    Source: international yard and pound agreement, 1959, for the mile.

    >>> speed(2.5)
    '2.50 m/s (9.0 km/h, 5.6 mph)'
    """
    mph = metres_per_second * 3600 / 1609.344
    return f"{metres_per_second:.2f} m/s ({metres_per_second * 3.6:.1f} km/h, {mph:.1f} mph)"


def percent(share: float) -> str:
    """A share as a percentage, small ones as less than a hundredth.

    Formula: 100 x share.

    >>> percent(0.0213), percent(0.00001)
    ('2.1 %', 'less than 0.01 %')
    """
    if share < 0.0001:
        return "less than 0.01 %"
    return f"{100 * share:.1f} %" if share >= 0.01 else f"{100 * share:.2f} %"
