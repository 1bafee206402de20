"""The band of a size: what is wanted, where it is, and how surely; every number of the picture is worked out here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from domain.lengths import Unit, shown_small

WIDTH: Final = 320.0
# What is wanted takes the middle; beyond a window's width to each side nothing is to scale, and an arrow points there.
_LEFT, _RIGHT = 96.0, 224.0
_EDGE = 12.0


@dataclass(frozen=True, slots=True)
class Band:
    """The window that is wanted with its two labels; the size with how sure it is, where it is measured."""

    left: float
    right: float
    low_words: str
    high_words: str
    # Where the size stands, from where to where it may be, and how it looks; None while nothing is measured.
    at: float | None = None
    sure: tuple[float, float] | None = None
    look: str = "open"
    # Which way it lies out of the picture: -1, 0 or 1.
    beyond: int = 0
    said: str = ""

    @property
    def width(self) -> float:
        """How wide the window is drawn."""
        return self.right - self.left

    @property
    def turn(self) -> int:
        """How far the pointer is turned: down onto the line, or out of the picture."""
        return -90 * self.beyond


def band_of(
    low_nm: int, high_nm: int, unit: Unit, said: str, at: tuple[int, int] | None = None, look: str = "open"
) -> Band:
    """A window from low to high, nm; `at` is the size and its expanded uncertainty, `look` what it is worth."""
    words = shown_small(low_nm, unit), shown_small(high_nm, unit)
    if at is None:
        return Band(_LEFT, _RIGHT, *words, said=said)
    nm, sure_nm = at
    x = _place(nm, low_nm, high_nm)
    ends = tuple(_held(_place(end, low_nm, high_nm)) for end in (nm - sure_nm, nm + sure_nm))
    beyond = -1 if x < _EDGE else 1 if x > WIDTH - _EDGE else 0
    return Band(
        _LEFT, _RIGHT, *words, round(_held(x), 1), (round(ends[0], 1), round(ends[1], 1)), look, beyond, said
    )


def _place(nm: int, low_nm: int, high_nm: int) -> float:
    # A window of no width still has a place: it is drawn a micrometre wide.
    return _LEFT + (nm - low_nm) * (_RIGHT - _LEFT) / max(high_nm - low_nm, 1_000)


def _held(x: float) -> float:
    return min(max(x, _EDGE), WIDTH - _EDGE)
