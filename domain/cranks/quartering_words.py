"""The sentences and the workings of the quartering work sheet."""

from collections.abc import Sequence

from domain.cranks.cylinders import Side
from domain.cranks.quartering_types import STEEPEST_DEG, Branch, Measured, Pin, QuarteringError, SetUp
from domain.lengths import Unit, show
from domain.measuring.decision_types import Conformity
from domain.working import Working

_GUM = "JCGM 100:2008 (GUM) 5.1.2, k = 2; the sensitivities are derived here"
_PLACE = {Branch.FRONT: "in front of", Branch.REAR: "behind"}


def degrees(angle: float) -> str:
    """An angle in words, to a thousandth of a degree and without a minus before nothing.

    Parameters: `angle`, degrees.
    Returns: the text.

    >>> degrees(90.03784), degrees(-0.0001)
    ('90.038 degrees', '0.000 degrees')
    """
    text = f"{angle:.3f}"
    return f"{text if text.strip('-0.') else text.lstrip('-')} degrees"


def too_far(pin: Pin, centre: Measured, unit: Unit) -> QuarteringError:
    """The refusal of a pin that stands further from the axle's height than its throw reaches.

    Parameters: `pin`, as read; `centre`, height of the axle, nm; `unit`, shown first.
    Returns: the error to raise.

    >>> too_far(Pin(Side.LEFT, Branch.REAR, Measured(90_000_000), Measured(22_000_000)), Measured(60_000_000), Unit.MM)
    QuarteringError('The left pin is 30.000 mm (1.1811 in) above the axle, more than its throw of 22.000 mm (0.8661 in): \
read both heights again, and take half the diameter off a height over a pin or over the axle.')
    """
    off = pin.height.nm - centre.nm
    return QuarteringError(
        f"The {pin.side} pin is {show(abs(off), unit)} {'above' if off > 0 else 'below'} the axle, more than its throw"
        f" of {show(pin.throw.nm, unit)}: read both heights again, and take half the diameter off a height over a pin"
        " or over the axle.",
        pin.side.value,
    )


def too_steep(pin: Pin, from_level: float, best: SetUp | None) -> QuarteringError:
    """The refusal of a pin so near to the top or the bottom that its height tells nothing.

    Parameters: `pin`; `from_level`, degrees; `best`, where to lay the axle instead, or None.
    Returns: the error to raise.

    >>> too_steep(Pin(Side.LEFT, Branch.REAR, Measured(1), Measured(1)), 80.0, None).args[0][-39:]
    'roll the axle nearer to level and read.'
    """
    do = (
        f"roll the axle until {best.words}, and read again"
        if best
        else "roll the axle nearer to level and read"
    )
    return QuarteringError(
        f"The {pin.side} pin stands {abs(from_level):.1f} degrees from level, past {STEEPEST_DEG:.0f},"
        f" where a height tells next to nothing: {do}.",
        pin.side.value,
    )


def wrong_branches(
    ahead: Pin, behind: Pin, angle: float, wanted: float, would_do: Sequence[tuple[Branch, Branch]]
) -> QuarteringError:
    """The refusal of branches on which the pins cannot be anywhere near the wanted angle.

    Parameters: `ahead`, `behind`, the pins; `angle`, `wanted`, degrees; `would_do`, the branches, of `ahead` first, on which
    they would be near it.
    Returns: the error to raise.

    >>> lower = Pin(Side.RIGHT, Branch.FRONT, Measured(75_800_000), Measured(22_225_000))
    >>> print(wrong_branches(lower, lower, 0.7, 90.0, []).args[0])
    Both pins cannot be in front of the axle: at these heights they would be 0.7 degrees apart and not near 90. \
On neither branch would they be: read the heights again.
    """
    apart = min(angle, 360.0 - angle)
    if ahead.branch is behind.branch:
        words = f"Both pins cannot be {_PLACE[ahead.branch]} the axle: at these heights they would be"
    else:
        words = (
            f"The {ahead.side} pin cannot be {_PLACE[ahead.branch]} the axle and the {behind.side} one"
            f" {_PLACE[behind.branch]} it: at these heights they would be"
        )
    words += f" {apart:.1f} degrees apart and not near {wanted:.0f}. "
    ways = [
        f"the {ahead.side} one is {_PLACE[one]} the axle and the {behind.side} one {_PLACE[two]} it"
        for one, two in would_do
    ]
    if not ways:
        return QuarteringError(words + "On neither branch would they be: read the heights again.", "branches")
    return QuarteringError(f"{words}Look whether {' or '.join(ways)}.", "branches")


def quarter_words(
    ahead: Side,
    behind: Side,
    angle: float,
    departure: float,
    expanded: float,
    tolerance: float,
    answer: Conformity,
) -> str:
    """The verdict on one angle in a sentence or two.

    Parameters: the crank wanted ahead and the one behind; `angle`, 0 up to 360, and the others in degrees; `answer`.
    Returns: one or two sentences.

    >>> quarter_words(Side.RIGHT, Side.LEFT, 90.0378, 0.0378, 0.05, 0.1, Conformity.INSIDE)
    'The right pin is 90.038 degrees ahead of the left one, 0.038 degrees more than wanted: within 0.100 degrees.'
    """
    if angle > 180.0:
        return (
            f"The {behind} pin is {degrees(360.0 - angle)} ahead and should be behind: if front and rear were not named"
            " from the wrong side, one wheel must be turned on the axle."
        )
    words = f"The {ahead} pin is {degrees(angle)} ahead of the {behind} one"
    if degrees(departure) != degrees(0.0):
        words += f", {degrees(abs(departure))} {'more' if departure > 0 else 'less'} than wanted"
    if answer is Conformity.INSIDE:
        return f"{words}: within {degrees(tolerance)}."
    if answer is Conformity.OUTSIDE:
        return f"{words}: outside {degrees(tolerance)}."
    return (
        f"{words}: with an uncertainty of {degrees(expanded)} one cannot tell whether that is within"
        f" {degrees(tolerance)}; read the heights more finely, or with the pins nearer to their best height."
    )


def pin_working(pin: Pin, elevation: float, centre: Measured, unit: Unit) -> Working:
    """The working of where one pin points.

    Parameters: `pin`; `elevation`, degrees; `centre`, height of the axle, nm; `unit`, shown first.
    Returns: the working.

    >>> right = Pin(Side.RIGHT, Branch.FRONT, Measured(75_800_000), Measured(22_225_000))
    >>> pin_working(right, 45.3091, Measured(60_000_000), Unit.MM).result
    '45.309 degrees up from the front'
    """
    turned = "asin((h - hc) / r)" if pin.branch is Branch.FRONT else "180 - asin((h - hc) / r)"
    return Working(
        f"where the {pin.side} pin points",
        turned,
        f"h {show(pin.height.nm, unit)}, hc {show(centre.nm, unit)}, r {show(pin.throw.nm, unit)}",
        f"{degrees(elevation)} up from the front",
        "geometry",
    )


def angle_workings(
    sides: tuple[Side, Side], elevations: tuple[float, float], angle: float, expanded: float, wanted: float
) -> tuple[Working, Working]:
    """The workings of an angle and of its uncertainty, degrees.

    Parameters: `sides`, the crank ahead first, and their `elevations`; `angle`, `expanded`, `wanted`; all degrees.
    Returns: the two workings.

    >>> angle_workings((Side.RIGHT, Side.LEFT), (45.3091, 135.3469), 90.0378, 0.052, 90.0)[0].numbers
    '135.347 degrees - 45.309 degrees, wanted 90.000 degrees'
    """
    ahead, behind = sides
    return (
        Working(
            f"{ahead} pin ahead of the {behind} one",
            f"elevation of the {behind} pin - elevation of the {ahead} one, taken forwards",
            f"{degrees(elevations[1])} - {degrees(elevations[0])}, wanted {degrees(wanted)}",
            degrees(angle),
            "geometry; running forwards a pin goes from the rear over the top to the front",
        ),
        Working(
            f"uncertainty of {ahead} ahead of {behind}",
            "U^2 = sum (U_h / (r cos e))^2 + sum (tan e U_r / r)^2 + (1/(r1 cos e1) - 1/(r2 cos e2))^2 U_hc^2",
            f"e1 {degrees(elevations[0])}, e2 {degrees(elevations[1])}",
            degrees(expanded),
            _GUM,
        ),
    )
