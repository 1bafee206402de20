"""Sizes that are lost, leave the other side too little, or cannot be: what a tick and a log are told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from domain.lengths import Unit, show
from domain.route.guards import Objection, Strength
from domain.stock.sizes import FinishedSizes, SizesNow

# The ticks that say a size is reached, stage before step.
# A cut only makes a hole larger, and all else only smaller: which way a size can go, whatever form it is logged on.
HOLES = frozenset({"bore", "tyre_inside"})
# How far two readings of one size may be apart. A tyre and its centre are cut to each other, so that a later size is another
# one; of a bore or a seat a later one stands in for the one before. Common practice, no source.
CUT_AGAIN_NM = 10_000
CORRECTED_SHARE = 200
BACK_TICKS = ("back_faced", "back_faced.to_size")
_FRONT_TICKS = ("bored", "bored.front_faced")


@dataclass(frozen=True)
class UnderSize:
    """A size below the finished one by more than may be: its name, the size now and how far below, nm.

    keys are the stages and steps whose tick says that it is reached.
    """

    name: str
    size_nm: int
    under_nm: int
    keys: tuple[str, ...]


@dataclass(frozen=True)
class SideStarved:
    """A side faced so far that the other, with leaves_nm below the least cut, cannot be cleaned up; nm."""

    name: str
    size_nm: int
    leaves_nm: int
    least_cut_nm: int
    keys: tuple[str, ...] = BACK_TICKS
    starved: str = "front"


def under_sizes(now: SizesNow, finished: FinishedSizes, tolerance_nm: int) -> tuple[UnderSize, ...]:
    """Every size that is lost, in the order of work.

    Formula: under = finished - size now; lost where under > tolerance
    Parameters: `tolerance_nm`, how far under still passes, 0 or more.
    Raises: ValueError for a tolerance below nothing.
    Source: arithmetic.

    >>> drawn = FinishedSizes(110_000_000, 2_000_000, 10_000_000, 15_000_000)
    >>> [(one.name, one.under_nm) for one in under_sizes(SizesNow(9_790_000, 15_000_000), drawn, 50_000)]
    [('rim', 210000)]
    """
    if tolerance_nm < 0:
        raise ValueError("The tolerance cannot be below nothing: type 0 or more.")
    return tuple(
        UnderSize(name, size, least - size, keys)
        for name, size, least, keys in _known(now, finished)
        if least - size > tolerance_nm
    )


def _known(now: SizesNow, finished: FinishedSizes) -> Iterator[tuple[str, int, int, tuple[str, ...]]]:
    """The sizes of which both the present and the finished figure are known."""
    sides = BACK_TICKS + _FRONT_TICKS
    flange, tread = ("tread_turned", "tread_turned.flange"), ("tread_turned", "tread_turned.to_size")
    rows = (
        ("rim", now.rim_thickness_nm, finished.rim_width_nm, sides),
        ("boss", now.boss_thickness_nm, finished.boss_length_nm, sides),
        ("diameter over the flange", now.over_flange_nm, finished.over_flange_nm, flange),
        ("tread", now.tread_nm, finished.tread_diameter_nm, tread),
    )
    for name, size, least, keys in rows:
        if size is not None and least is not None:
            yield name, size, least, keys


def size_troubles(
    now: SizesNow, finished: FinishedSizes, tolerance_nm: int, least_cut_nm: int, last_faced: bool
) -> tuple[UnderSize | SideStarved, ...]:
    """Why a tick that says a size is reached wants a second thought.

    Formula: see under_sizes; a side ticked faced also where thickness now - finished < least cut with the other
    still to be faced
    Parameters: `least_cut_nm`, what cleans up a rough face, above 0; `last_faced`, whether the side that is faced last
    is done: the front, or the back where the front is faced first.
    Raises: ValueError for a tolerance below nothing.
    Source: common practice, no source.

    >>> drawn = FinishedSizes(110_000_000, 2_000_000, 10_000_000, 15_000_000)
    >>> [one.leaves_nm for one in size_troubles(SizesNow(10_300_000), drawn, 50_000, 500_000, False)]
    [300000]
    >>> size_troubles(SizesNow(10_500_000), drawn, 50_000, 500_000, False)
    ()
    """
    lost = under_sizes(now, finished, tolerance_nm)
    if last_faced:
        return lost
    first, starved = (_FRONT_TICKS, "back") if now.front_first else (BACK_TICKS, "front")
    told = {one.name for one in lost}
    return lost + tuple(
        SideStarved(name, size, max(0, size - least), least_cut_nm, first, starved)
        for name, size, least, keys in _known(now, finished)
        if BACK_TICKS[0] in keys and name not in told and size - least < least_cut_nm
    )


def objection_to_size(
    name: str,
    size_nm: int,
    before_nm: int | None,
    came_nm: int | None,
    unit: Unit = Unit.MM,
    *,
    hole: bool = False,
    give_nm: int = 0,
) -> Objection | None:
    """Why a size cannot be written down as typed, or wants a word first; None when it may be.

    Formula: refused where size > as it came; to be confirmed where size > size before, for metal cannot grow, and of a hole
    where size < size before. Whether a size can be meant at all is asked in domain/measuring/plausible.py.
    Parameters: `name`, such as rim; `size_nm`, above 0; the others None where not known. `hole`, whether it is of a hole;
    `give_nm`, how far two readings of the one size may be apart.
    Raises: ValueError for a size of nothing or less.
    Source: common practice, no source.

    >>> objection_to_size("rim", 11_500_000, 12_000_000, 13_000_000) is None
    True
    >>> objection_to_size("rim", 12_500_000, 12_000_000, 13_000_000).strength.value
    'confirm'
    >>> objection_to_size("rim", 13_200_000, 12_000_000, 13_000_000).strength.value
    'refuse'
    >>> objection_to_size("bore", 27_000_000, 28_983_000, None, hole=True).strength.value
    'confirm'
    """
    if size_nm <= 0:
        raise ValueError(f"The {name} must be more than nothing: measure it again.")
    if came_nm is not None and size_nm > came_nm:
        return Objection(
            Strength.REFUSE,
            f"The {name} cannot be more than it was as it came, {show(came_nm, unit)}: measure it again, or put the"
            " rough size right under receiving.",
        )
    if hole:
        if before_nm is None or size_nm >= before_nm - give_nm:
            return None
        return Objection(
            Strength.CONFIRM,
            f"The {name} was logged as {show(before_nm, unit)}, and metal cannot come back into a hole: one of the two was"
            " misread.",
        )
    if before_nm is not None and size_nm > before_nm + give_nm:
        return Objection(
            Strength.CONFIRM,
            f"The {name} was logged as {show(before_nm, unit)}, and metal cannot grow: one of the two was misread.",
        )
    return None
