"""What the rods are told to need, in words."""

import math

from domain.lengths import NM_PER_MM, Unit, show
from domain.rods.causes import Cause, Fault
from domain.rods.correcting import Correction, Job, Proposal
from domain.rods.types import RodEngine
from domain.rods.uncertain import Contribution, Settling

CAUTIONS = (
    "Turn the wheels by hand with the fingers clear of the rods and spokes, and find every tight place before steam "
    "or air is let in.",
    "Bushes opened to let a fault pass knock and wear: put the fault right first where that can be done.",
)
_RODS = {Job.LEFT_ROD: "the left rod", Job.RIGHT_ROD: "the right rod", Job.BOTH_RODS: "both rods"}
_PARTS = {"centre": "axle centres on the {} of", "rod": "{} rod of", "clearance": "bushes of the {} rod of"}


def shown(mm: float, unit: Unit) -> str:
    """A length in mm, in both systems.

    Formula: mm to whole nm, then as show().
    Parameters: `mm`; `unit`, shown first.
    Returns: the words.

    >>> shown(0.0471, Unit.MM)
    '0.047 mm (0.0019 in)'
    """
    return show(round(mm * NM_PER_MM), unit)


def field_words(field: str) -> str:
    """What was measured, from its field.

    Parameters: `field`, such as `axle.2.quarter` or `span.1.left.rod`.
    Returns: the words.

    >>> field_words("axle.2.quarter"), field_words("span.1.left.rod")
    ('quarter angle of axle 2', 'left rod of axles 1 and 2')
    """
    kind, number, *rest = field.split(".")
    if kind == "axle":
        return f"{'quarter angle' if rest[0] == 'quarter' else rest[0].replace('_', ' ')} of axle {number}"
    return f"{_PARTS[rest[1]].format(rest[0])} axles {number} and {int(number) + 1}"


def crank_words(theta: float) -> str:
    """A crank position.

    Formula: radians to degrees, whole.
    Parameters: `theta`, from front dead centre, forwards, radians.
    Returns: the words.

    >>> crank_words(math.pi / 4)
    'with the left crank 45 degrees past front dead centre, turning forwards'
    """
    degrees = round(math.degrees(theta)) % 360
    if not degrees:
        return "with the left crank at front dead centre"
    return f"with the left crank {degrees} degrees past front dead centre, turning forwards"


def cause_words(cause: Cause | None, second: int, unit: Unit) -> str:
    """Which error causes most of the play, and what would do without it.

    Parameters: `cause`, or None where no single one does; `second`, the number of the pair's second axle; `unit`.
    Returns: one or more sentences.

    >>> cause_words(Cause(Fault.QUARTERING, math.radians(0.23), 0.036, 0.036, 0.0), 2, Unit.MM)
    'Most of it is the quartering: axle 2 is 0.23 degrees wider than axle 1. With that right 0.000 mm (0.0000 in) would do.'
    """
    if cause is None:
        return "No single error causes most of it."
    without = shown(max(0.0, cause.without_mm), unit)
    much = "Most of it is" if cause.share > 0.5 else "The largest of several errors is"
    words = f"{much} {_fault_words(cause, second, unit)}. With that right {without} would do."
    if cause.fault in (Fault.LEFT_THROWS, Fault.RIGHT_THROWS):
        words += " No setting and no boring of a rod cures throws that differ: exchange a wheel, or open the bushes."
    return words


def throws_words(odd: str, only: bool) -> str:
    """That unlike throws cause most of it, by the wheels at fault.

    Parameters: `odd`, the odd wheels in words; `only`, whether no setting and no boring frees the rods.
    Returns: one or two sentences, empty without an odd wheel.

    >>> throws_words("W1 is 0.254 mm (0.0100 in) longer than its fellows", True)[:67]
    'The throws differ: W1 is 0.254 mm (0.0100 in) longer than its fello'
    """
    if not odd:
        return ""
    if only:
        return (
            f"The throws differ: {odd}: nothing else frees them. Exchange what differs, or open the bushes."
        )
    return f"The throws differ: {odd}: most of it comes from there."


def _fault_words(cause: Cause, second: int, unit: Unit) -> str:
    size, more = shown(abs(cause.size), unit), cause.size > 0
    if cause.fault is Fault.QUARTERING:
        degrees = f"{abs(math.degrees(cause.size)):.2f} degrees {'wider' if more else 'narrower'}"
        return f"the quartering: axle {second} is {degrees} than axle {second - 1}"
    if cause.fault is Fault.BOTH_RODS:
        return f"both rods together: up to {size} {'longer' if more else 'shorter'} than their axle centres"
    if cause.fault in (Fault.LEFT_ROD, Fault.RIGHT_ROD):
        return f"the {cause.fault}: {size} {'longer' if more else 'shorter'} than its axle centres"
    length = f"{size} {'longer' if more else 'shorter'}"
    return f"the {cause.fault}: that of axle {second} is {length} than that of axle {second - 1}"


def settling_words(settling: Settling | None, contributions: tuple[Contribution, ...], unit: Unit) -> str:
    """Which measurement would settle a verdict that cannot be told.

    Formula: U wanted = share x U of today, rounded down.
    Parameters: `settling`, or None where none would; `contributions`, of the same pair; `unit`.
    Returns: one sentence.

    >>> part = Contribution("axle.2.quarter", 0.05, 0.01)
    >>> settling_words(Settling(("axle.2.quarter",), 0.5), (part,), Unit.MM)
    'Measure the quarter angle of axle 2 again: to 0.025 degrees in place of 0.05 degrees it would be settled.'
    """
    if settling is None:
        return (
            "No better measurement would settle it: open the bushes a little, or put the largest error right."
        )
    by_field = {one.field: one.u for one in contributions}
    if len(settling.fields) == 1:
        field = settling.fields[0]
        now, wanted = by_field[field], by_field[field] * settling.share
        return (
            f"Measure the {field_words(field)} again: to {_u_words(field, wanted, unit)} "
            f"in place of {_u_words(field, now, unit)} it would be settled."
        )
    names = [field_words(field) for field in settling.fields]
    percent = math.floor(100 * settling.share)
    return f"Measure again, to {percent} % of today's uncertainty: {', '.join(names[:-1])} and {names[-1]}."


def _u_words(field: str, u: float, unit: Unit) -> str:
    if not field.endswith("quarter"):
        return show(math.floor(u), unit)
    for places in (2, 3, 4):
        cut = math.floor(u * 10**places + 1e-9) / 10**places
        if cut >= 0.8 * u:
            return f"{cut:.{places}f} degrees"
    return f"{u:.5f} degrees"


def correction_words(engine: RodEngine, correction: Correction, unit: Unit) -> str:
    """What to do, as an order.

    Formula: distance at the pin = right throw x turn in radians.
    Parameters: `engine`, before it; `correction`; `unit`.
    Returns: words without a full stop.
    Source: geometry.

    >>> from domain.rods.types import RodAxle
    >>> axle = RodAxle(25_400_000, 25_400_000, 90.0)
    >>> correction_words(RodEngine((axle, axle), ()), Correction(Job.SET_AXLE, 2, turn_deg=0.23), Unit.MM)
    'Re-set axle 2 by +0.23 degrees: the right pin 0.102 mm (0.0040 in) forwards'
    """
    number = correction.number
    if correction.job is Job.SET_AXLE:
        turn = correction.turn_deg
        at_pin = engine.axles[number - 1].right_throw_nm * math.radians(abs(turn))
        way = "forwards" if (turn > 0) == engine.right_leads else "backwards"
        return f"Re-set axle {number} by {turn:+.2f} degrees: the right pin {show(round(at_pin), unit)} {way}"
    parts = [
        f"the {name} {show(abs(nm), unit)} {'longer' if nm > 0 else 'shorter'}"
        for name, nm in (("left", correction.left_nm), ("right", correction.right_nm))
        if nm
    ]
    bushes = (
        "a bush in each of both rods"
        if correction.job is Job.BOTH_RODS
        else f"one bush of {_RODS[correction.job]}"
    )
    return f"Bore {bushes} of axles {number} and {number + 1} again, between centres {' and '.join(parts)}"


def proposal_words(engine: RodEngine, proposal: Proposal, unit: Unit) -> str:
    """What to do and what it gains.

    Parameters: `engine`, before it; `proposal`; `unit`.
    Returns: one or two sentences.

    >>> from domain.rods.types import RodAxle
    >>> axle = RodAxle(25_400_000, 25_400_000, 90.0)
    >>> one = Proposal(Correction(Job.SET_AXLE, 2, turn_deg=0.23), 0.036, 0.0, True)
    >>> proposal_words(RodEngine((axle, axle), ()), one, Unit.MM).split("; ")[1]
    'the play needed falls from 0.036 mm (0.0014 in) to 0.000 mm (0.0000 in). Then all rods go round.'
    """
    falls = (
        f"the play needed falls from {shown(proposal.before_mm, unit)} to {shown(proposal.after_mm, unit)}"
    )
    then = {True: " Then all rods go round.", False: " That alone is not enough.", None: ""}[proposal.frees]
    return f"{correction_words(engine, proposal.correction, unit)}; {falls}.{then}"
