"""Which error of a pair of coupled axles asks for the play: each put right on its own, and each left on its own."""

from dataclasses import dataclass
from enum import StrEnum

from domain.rods.exact import Shape, needed_play

# An error that takes away less than this share of the play is not the one that causes most of it.
_MOST_SHARE = 0.1
# Two rods wrong together are named only where that takes away so much more than one of them.
_TOGETHER_SHARE = 0.25


class Fault(StrEnum):
    """What can be wrong with a pair."""

    LEFT_THROWS = "left throws"
    RIGHT_THROWS = "right throws"
    QUARTERING = "quartering"
    LEFT_ROD = "left rod"
    RIGHT_ROD = "right rod"
    BOTH_RODS = "both rods"


SINGLE = tuple(fault for fault in Fault if fault is not Fault.BOTH_RODS)


@dataclass(frozen=True)
class Cause:
    """One fault: its size (second less first, or rod less centres), mm or, for quartering, radians, and play, mm.

    alone_mm: the play needed were all else right. without_mm: the play still needed were this one right.
    """

    fault: Fault
    size: float
    needed_mm: float
    alone_mm: float
    without_mm: float

    @property
    def gain_mm(self) -> float:
        """How much less play is needed with this one put right, mm; below 0 where it had hidden another."""
        return self.needed_mm - self.without_mm

    @property
    def share(self) -> float:
        """The gain as a part of the play needed, at most 1; nothing when none is needed."""
        return self.gain_mm / self.needed_mm if self.needed_mm else 0.0


def righted(shape: Shape, fault: Fault) -> Shape:
    """The pair with one fault put right.

    Formula: throws and quarter angles of the two axles each become their mean; a rod becomes its axle centres.
    Parameters: `shape`; `fault`.
    Returns: the pair.
    Source: by definition.

    >>> righted(Shape(150, 150, 149, 150, 25, 25, 25, 25, 1.5, 1.5), Fault.LEFT_ROD).l_left
    150
    """
    if fault is Fault.LEFT_THROWS:
        mean = (shape.r1_left + shape.r2_left) / 2
        return shape._replace(r1_left=mean, r2_left=mean)
    if fault is Fault.RIGHT_THROWS:
        mean = (shape.r1_right + shape.r2_right) / 2
        return shape._replace(r1_right=mean, r2_right=mean)
    if fault is Fault.QUARTERING:
        mean = (shape.q1 + shape.q2) / 2
        return shape._replace(q1=mean, q2=mean)
    left = shape.c_left if fault is not Fault.RIGHT_ROD else shape.l_left
    right = shape.c_right if fault is not Fault.LEFT_ROD else shape.l_right
    return shape._replace(l_left=left, l_right=right)


def size_of(shape: Shape, fault: Fault) -> float:
    """How large a fault is.

    Formula: second axle less first; rod less axle centres; for both rods the one of larger size.
    Parameters: `shape`; `fault`.
    Returns: mm; radians for quartering, above 0 where the second axle's angle is the wider.
    Source: by definition.

    >>> size_of(Shape(150, 150, 149, 150, 25, 25, 25, 25, 1.5, 1.5), Fault.LEFT_ROD)
    -1
    """
    left, right = shape.l_left - shape.c_left, shape.l_right - shape.c_right
    return {
        Fault.LEFT_THROWS: shape.r2_left - shape.r1_left,
        Fault.RIGHT_THROWS: shape.r2_right - shape.r1_right,
        Fault.QUARTERING: abs(shape.q2) - abs(shape.q1),
        Fault.LEFT_ROD: left,
        Fault.RIGHT_ROD: right,
        Fault.BOTH_RODS: max(left, right, key=abs),
    }[fault]


def alone(shape: Shape, fault: Fault) -> Shape:
    """The pair with everything right but one fault.

    Formula: every other fault put right.
    Parameters: `shape`; `fault`.
    Returns: the pair.
    Source: by definition.

    >>> alone(Shape(150, 150, 149, 151, 25, 25, 25, 25, 1.5, 1.5), Fault.LEFT_ROD).l_right
    150
    """
    kept = (Fault.LEFT_ROD, Fault.RIGHT_ROD) if fault is Fault.BOTH_RODS else (fault,)
    for other in SINGLE:
        if other not in kept:
            shape = righted(shape, other)
    return shape


def causes_of(shape: Shape, needed_mm: float | None = None) -> tuple[Cause, ...]:
    """Each fault that is there, the one that takes away most of the play when put right first.

    Formula: the exact play over a turn, worked again with the fault put right and with it alone.
    Parameters: `shape`; `needed_mm`, the play needed as it is, mm, where it is known already.
    Returns: the causes, by gain, then by what they ask for alone; none for a pair without a fault.
    Source: derived here; no published source.

    >>> [cause.fault.value for cause in causes_of(Shape(150, 150, 149.9, 150, 25, 25, 25, 25, 1.5, 1.5))]
    ['left rod']
    """
    needed = needed_play(shape).worst if needed_mm is None else needed_mm
    found = []
    for fault in Fault:
        size = size_of(shape, fault)
        if fault is Fault.BOTH_RODS and not (
            size_of(shape, Fault.LEFT_ROD) and size_of(shape, Fault.RIGHT_ROD)
        ):
            continue
        if size:
            without = needed_play(righted(shape, fault)).worst
            found.append(Cause(fault, size, needed, needed_play(alone(shape, fault)).worst, without))
    return tuple(sorted(found, key=lambda cause: (-round(cause.gain_mm, 9), -cause.alone_mm)))


def main_cause(causes: tuple[Cause, ...]) -> Cause | None:
    """The one fault that causes most of the play, or both rods where neither alone would do.

    Formula: the largest gain of a single fault; both rods where they gain over a quarter of the play more than that.
    Parameters: `causes`, of one pair.
    Returns: the cause; None where putting right any of them takes away less than a tenth of the play.
    Source: our own choice, no published source.

    >>> main_cause(causes_of(Shape(150, 150, 149.9, 149.9, 25, 25, 25, 25, 1.5, 1.5))).fault.value
    'both rods'
    """
    singles = [cause for cause in causes if cause.fault is not Fault.BOTH_RODS]
    both = next((cause for cause in causes if cause.fault is Fault.BOTH_RODS), None)
    best = max(singles, key=lambda cause: (cause.gain_mm, cause.alone_mm), default=None)
    if best and both and both.share > best.share + _TOGETHER_SHARE:
        best = both
    return best if best and best.share >= _MOST_SHARE else None
