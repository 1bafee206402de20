"""What goes into balancing an axle and what comes out.

Angles are degrees ahead of the right crank, running forwards, as in domain/cylinders.py. Planes are distances from
the engine's centre line, nm, to the right above 0 and to the left below. Masses are grams, moments gram millimetres.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from domain.cranks.cylinders import Side
from domain.working import Working

# Out-of-balance force up to this share of what stands on the wheel is let pass: common practice, no source; editable.
MATTERS_FROM = 0.02
NEWTON_PER_GMM = 1e-6  # 1 g mm (rad/s)^2 = 1e-6 N


class BalanceError(ValueError):
    """Figures nothing can be balanced with; its text is one sentence for the page, `field` the box at fault."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


class Matters(StrEnum):
    """Whether the balance matters at the speed asked for."""

    NO = "no"
    YES = "yes"
    LIFTS = "lifts"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True)
class CrankLine:
    """One cylinder's crank: its side, plane, direction and throw, and the masses at its pin.

    rotating_g: what goes round with the pin (pin, its boss beyond the wheel's own roundness, its part of the rods).
    reciprocating_g: what goes to and fro (piston, crosshead, their part of the connecting rod).
    """

    side: Side
    plane_nm: int
    angle_deg: float
    throw_nm: int
    rotating_g: float
    reciprocating_g: float


@dataclass(frozen=True)
class Revolving:
    """Any other mass that goes round with the axle out of its middle, such as an eccentric."""

    name: str
    plane_nm: int
    angle_deg: float
    radius_nm: int
    mass_g: float


@dataclass(frozen=True)
class BalanceCase:
    """One axle to balance.

    share: part of the reciprocating masses that is balanced, 0 to 1, over all axles together.
    left_plane_nm, right_plane_nm: planes of the weights, that is the middle of the rims' weights.
    radius_nm: where the weights' middle is, from the axle.
    axles_sharing: over how many axles the reciprocating share is spread evenly.
    speed_m_s: of the track. tread_diameter_nm: of the wheels.
    wheel_load_n: what stands on one wheel, None when not known.
    matters_from: out-of-balance force as a share of the wheel's load from which it matters.
    """

    cranks: tuple[CrankLine, ...]
    share: float
    left_plane_nm: int
    right_plane_nm: int
    radius_nm: int
    speed_m_s: float
    tread_diameter_nm: int
    wheel_load_n: float | None = None
    others: tuple[Revolving, ...] = ()
    axles_sharing: int = 1
    matters_from: float = MATTERS_FROM


@dataclass(frozen=True)
class WheelBalance:
    """What one wheel needs.

    moment_gmm: mass times radius wanted. mass_g: at the case's radius. angle_deg: 0 up to 360.
    from_opposite_deg: how far ahead of straight opposite its own crankpin; None without a crank on this side.
    hammer_n: the hammer blow, either way, from the part for reciprocating masses.
    bare_n: the force that goes round when the wheel has no weight at all.
    hammer_share, bare_share: those as a share of the wheel's load, None when it is not known.
    """

    side: Side
    moment_gmm: float
    mass_g: float
    angle_deg: float
    from_opposite_deg: float | None
    hammer_n: float
    bare_n: float
    hammer_share: float | None
    bare_share: float | None
    words: str


@dataclass(frozen=True)
class Balance:
    """The balance of an axle at a speed: both wheels, what is left of the engine's shuffling and swaying, a verdict.

    rpm: turns a minute. tractive_n: variation of the pull, either way. swaying_nm: swaying couple, newton metres.
    lifting_m_s: the speed at which the hammer blow equals the wheel's load, None when not known or never.
    """

    left: WheelBalance
    right: WheelBalance
    rpm: float
    tractive_n: float
    swaying_nm: float
    lifting_m_s: float | None
    matters: Matters
    words: str
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]


def check_number(field: str, value: float, what: str, example: str, *, zero: bool = False) -> None:
    """Refuse a figure that is not a number above zero (or, where zero is allowed, below it).

    Formula: value > 0, or value >= 0 with `zero`.
    Parameters: `field`, the box; `value`; `what`, the figure's name in words; `example`; `zero`, whether 0 will do.
    Raises: BalanceError with its sentence.
    Source: our own.

    >>> check_number("throw", 22.0, "throw", "22.225 mm")
    """
    if math.isfinite(value) and (value > 0 or (zero and value == 0)):
        return
    least = "zero or more" if zero else "more than zero"
    raise BalanceError(field, f"The {what} must be {least}: type one such as {example}.")
