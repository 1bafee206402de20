"""Sizes that are lost, or leave the other side too little: what the order of work is told before a tick."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from domain.lengths import Unit, show
from domain.stock.castings import FinishedSizes
from domain.stock.now import SizesNow

# The ticks that say a size is reached, stage before step.
_BACK = ("back_faced", "back_faced.to_size")
_FRONT = ("bored", "bored.front_faced")


@dataclass(frozen=True)
class UnderSize:
    """A size below the finished one by more than may be: its name, the size now and how far below, nm."""

    name: str
    size_nm: int
    under_nm: int
    keys: tuple[str, ...]


def under_sizes(now: SizesNow, finished: FinishedSizes, tolerance_nm: int) -> tuple[UnderSize, ...]:
    """Every size that is lost.

    Formula: under = finished - size now; lost where under > tolerance
    Parameters: `now`, `finished`, nm, None where not known; `tolerance_nm`, how far under still passes, 0 or more.
    Returns: the sizes lost, in the order of work; `keys` are the stages and steps whose tick says it is reached.
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
    turned = "tread_turned"
    rows = (
        ("rim", now.rim_thickness_nm, finished.rim_width_nm, _BACK + _FRONT),
        ("boss", now.boss_thickness_nm, finished.boss_length_nm, _BACK + _FRONT),
        (
            "diameter over the flange",
            now.over_flange_nm,
            finished.over_flange_nm,
            (turned, f"{turned}.flange"),
        ),
        ("tread", now.tread_nm, finished.tread_diameter_nm, (turned, f"{turned}.to_size")),
    )
    for name, size, least, keys in rows:
        if size is not None and least is not None:
            yield name, size, least, keys


def size_troubles(
    mark: str,
    now: SizesNow,
    finished: FinishedSizes,
    tolerance_nm: int,
    least_cut_nm: int,
    front_faced: bool,
    unit: Unit = Unit.MM,
) -> tuple[tuple[str, str], ...]:
    """Why a tick that says a size is reached wants a second thought: the tick's key and the sentence.

    Formula: see under_sizes; a back ticked faced also where thickness now - finished < least cut with the front
    still to be faced
    Parameters: `mark`, the casting's; `now`, `finished`, nm; `tolerance_nm`, 0 or more; `least_cut_nm`, what cleans
    up a rough face, above 0; `front_faced`, whether the front is done; `unit`, for the words.
    Returns: pairs of key and sentence, each key once.
    Raises: ValueError for a tolerance below nothing.
    Source: common practice, no source.

    >>> drawn = FinishedSizes(110_000_000, 2_000_000, 10_000_000, 15_000_000)
    >>> found = size_troubles("W3", SizesNow(10_300_000), drawn, 50_000, 500_000, False)
    >>> [key for key, _ in found]
    ['back_faced', 'back_faced.to_size']
    >>> size_troubles("W3", SizesNow(10_500_000), drawn, 50_000, 500_000, False)
    ()
    """
    found: dict[str, list[str]] = {}
    lost = under_sizes(now, finished, tolerance_nm)
    for one in lost:
        words = (
            f"{mark}'s {one.name} is {show(one.under_nm, unit)} under size: it was logged as"
            f" {show(one.size_nm, unit)}. Do not cut it further, and measure it again before you tick."
        )
        for key in one.keys:
            found.setdefault(key, []).append(words)
    if not front_faced:
        for words in _front_starved(mark, now, finished, least_cut_nm, {one.name for one in lost}, unit):
            for key in _BACK:
                found.setdefault(key, []).append(words)
    return tuple((key, " ".join(words)) for key, words in found.items())


def _front_starved(
    mark: str, now: SizesNow, finished: FinishedSizes, least_cut_nm: int, lost: set[str], unit: Unit
) -> Iterator[str]:
    """The back is faced so far that the front cannot be cleaned up."""
    for name, size, least, keys in _known(now, finished):
        if "back_faced" in keys and name not in lost and size - least < least_cut_nm:
            yield (
                f"{mark}'s {name} is logged as {show(size, unit)}, which leaves {show(max(0, size - least), unit)} for"
                f" the front, less than the least cut of {show(least_cut_nm, unit)} that cleans up a rough face:"
                " measure it again before you tick."
            )
