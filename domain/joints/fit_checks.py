"""Refusing sizes that cannot be a wheel on an axle, before anything is judged."""

import math
from collections.abc import Sequence

from domain.joints.fit_types import FitError, Joint, OtherSeat
from domain.joints.materials import Iron, iron
from domain.lengths import Unit, show


def check(joint: Joint, bore_nm: int, seat_nm: int, other_seats: Sequence[OtherSeat], spread_nm: int) -> None:
    """Refuse a joint or a size that cannot be judged.

    bore_nm, seat_nm: diameters, nm, above 0 and below the boss's; spread_nm: nm, 0 or more.
    Raises: FitError for a size or factor out of those limits, or a range whose most is below its least.
    """
    sizes = {
        "bore": bore_nm,
        "seat": seat_nm,
        "nominal bore": joint.nominal_bore_nm,
        "nominal seat": joint.nominal_seat_nm,
        "boss diameter": joint.boss_diameter_nm,
        "length through the boss": joint.boss_length_nm,
        "least wanted": joint.least_nm,
    } | {f"seat of {other.label}": other.seat_nm for other in other_seats}
    for name, size in sizes.items():
        if size <= 0:
            raise FitError(f"The {name} must be above zero, such as 19.05 mm.")
    for name, size in (("bore", bore_nm), ("seat", seat_nm)):
        if size >= joint.boss_diameter_nm:
            boss = show(joint.boss_diameter_nm, Unit.MM)
            raise FitError(f"The {name}, {show(size, Unit.MM)}, must be smaller than the boss, {boss}.")
    if joint.most_nm < joint.least_nm:
        raise FitError("The most wanted must not be below the least wanted, such as 0.02 to 0.05 mm.")
    if not math.isfinite(joint.factor_wanted) or joint.factor_wanted < 1:
        raise FitError("The factor against cracking must be 1 or more, such as 2.")
    if spread_nm < 0:
        raise FitError("The spread of the readings cannot be below zero.")


def known_iron(key: str) -> Iron:
    """The iron of this key.

    Raises: FitError when no iron has it.

    >>> known_iron("en-gjl-250").key
    'en-gjl-250'
    """
    try:
        return iron(key)
    except ValueError as error:
        raise FitError(str(error)) from error
