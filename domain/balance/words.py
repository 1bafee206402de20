"""The sentences of the balance sheet, and masses and speeds as they are said."""

from __future__ import annotations

from domain.balance.types import BalanceCase, Matters, WheelBalance
from domain.lengths import Unit, show

GRAMS_PER_OUNCE = 28.349523125  # exact: international yard and pound agreement, 1959
LEAD_CAUTION = (
    "Lead is poisonous. Melt and cast it only with proper control: fumes drawn off, nothing damp near the metal, no"
    " food or smoke in the shop, hands and bench washed, children away (HSE L132, Control of lead at work). A"
    " lead-free fill spares you all of it. Local rules and a competent person come before this sheet."
)
RAILWAY_CAUTION = (
    "Where passengers are carried, the railway's own rules and its inspector decide about load and speed; this sheet"
    " only works the figures out."
)
DRILLING_CAUTION = (
    "Clamp the wheel before a weight is drilled, count the holes as you go and stop one short: iron taken out does"
    " not come back. Keep clear of spokes, rim and tread."
)
ADDED_CAUTION = (
    "A weight that is added must not come off at speed: fasten it with screws or rivets and not by a compound alone,"
    " and turn the wheel once round by hand to see that it clears rods, brakes and track."
)


def figure(value: float, digits: int) -> str:
    """A figure with so many digits, never in powers of ten, and nothing at all as 0.

    Parameters: `value`; `digits`, how many count, 1 or more.
    Returns: text.
    Source: our own.

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
    Parameters: `grams`; `first`, MM for the metric figure first.
    Returns: text with units.
    Source: international yard and pound agreement, 1959.

    >>> mass(92.46, Unit.MM), mass(105_340.0, Unit.INCH)
    ('92.46 g (3.261 oz)', '232.2 lb (105.3 kg)')
    """
    ounces = grams / GRAMS_PER_OUNCE
    if abs(grams) >= 10_000:
        metric, other = f"{figure(grams / 1000, 4)} kg", f"{figure(ounces / 16, 4)} lb"
    else:
        metric, other = f"{figure(grams, 4)} g", f"{figure(ounces, 4)} oz"
    return f"{metric} ({other})" if first is Unit.MM else f"{other} ({metric})"


def speed(metres_per_second: float) -> str:
    """A speed in m/s, km/h and mph.

    Formula: 1 m/s = 3.6 km/h; 1 mile = 1609.344 m.
    Parameters: `metres_per_second`.
    Returns: text with units.
    Source: international yard and pound agreement, 1959, for the mile.

    >>> speed(2.5)
    '2.50 m/s (9.0 km/h, 5.6 mph)'
    """
    mph = metres_per_second * 3600 / 1609.344
    return f"{metres_per_second:.2f} m/s ({metres_per_second * 3.6:.1f} km/h, {mph:.1f} mph)"


def percent(share: float) -> str:
    """A share as a percentage, small ones as less than a hundredth.

    Formula: 100 x share.
    Parameters: `share`, 0 or more.
    Returns: text.
    Source: by definition.

    >>> percent(0.0213), percent(0.00001)
    ('2.1 %', 'less than 0.01 %')
    """
    if share < 0.0001:
        return "less than 0.01 %"
    return f"{100 * share:.1f} %" if share >= 0.01 else f"{100 * share:.2f} %"


def wheel_words(side: str, grams: float, radius_nm: int, from_opposite: float | None, unit: Unit) -> str:
    """What weight a wheel needs and where, in one sentence.

    Parameters: `side`; `grams`; `radius_nm`; `from_opposite`, degrees ahead of straight opposite the wheel's own
    crankpin, None without one; `unit`.
    Returns: a sentence.
    Source: our own.

    >>> wheel_words("left", 92.46, 30_000_000, -3.21, Unit.MM)[:51]
    'Left wheel: 92.46 g (3.261 oz) with its middle 30.0'
    """
    if grams < 1e-6:
        return f"{side.capitalize()} wheel: it needs no weight."
    words = f"{side.capitalize()} wheel: {mass(grams, unit)} with its middle {show(radius_nm, unit)} from the axle"
    if from_opposite is None:
        return f"{words}."
    if abs(from_opposite) < 0.05:
        return f"{words}, straight opposite its crankpin."
    which = "ahead of" if from_opposite > 0 else "behind"
    return f"{words}, {abs(from_opposite):.1f} degrees {which} straight opposite its crankpin (running forwards)."


def verdict_words(
    case: BalanceCase, matters: Matters, wheels: tuple[WheelBalance, WheelBalance], lifting: float | None
) -> str:
    """Whether the balance matters at this speed, plainly.

    Parameters: `case`; `matters`; `wheels`, both; `lifting`, m/s, None when not known.
    Returns: one or two sentences.
    Source: our own; the share let pass is common practice, no source.
    """
    hammer = max(wheel.hammer_n for wheel in wheels)
    bare = max(wheel.bare_n for wheel in wheels)
    if matters is Matters.CANNOT_TELL or case.wheel_load_n is None:
        return (
            f"At {speed(case.speed_m_s)} the hammer blow is {figure(hammer, 3)} N and a wheel without any weight pulls with"
            f" {figure(bare, 3)} N: type the load on one wheel to see whether that matters."
        )
    load = case.wheel_load_n
    if matters is Matters.LIFTS:
        at = f" from {speed(lifting)} on" if lifting is not None else ""
        return (
            f"At {speed(case.speed_m_s)} the hammer blow is {figure(hammer, 3)} N, more than the"
            f" {figure(load, 4)} N that stand on the wheel: it leaves the rail once a turn{at}."
            " Balance less of the reciprocating masses or go slower."
        )
    shares = (
        f"the hammer blow is {percent(hammer / load)} of the {figure(load, 4)} N that stand on a wheel, and a wheel without"
        f" any weight pulls with {percent(bare / load)} of it"
    )
    if matters is Matters.NO:
        return (
            f"At model speeds this does not matter: at {speed(case.speed_m_s)} {shares};"
            f" up to {percent(case.matters_from)} is let pass. Leave the weights as they are cast."
        )
    return f"At {speed(case.speed_m_s)} it matters: {shares}; up to {percent(case.matters_from)} is let pass."
