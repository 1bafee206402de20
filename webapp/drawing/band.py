"""The band of a size: what is wanted, where it is, and how surely; every number of the picture is worked out here."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from domain.lengths import Unit, shown_small

if TYPE_CHECKING:
    # A start draws no band.
    from domain.measuring.decision_types import Decision, SizeCase

WIDTH: Final = 320.0
# What is wanted takes the middle; beyond a window's width to each side nothing is to scale, and an arrow points there.
_LEFT, _RIGHT = 96.0, 224.0
_EDGE = 12.0


@dataclass(frozen=True, slots=True)
class Band:
    """The window that is wanted with its two labels; the size with how sure it is, where it is measured.

    Where there is no limit to one side its label is empty, and the window runs off the picture.
    """

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


def decided_band(decision: Decision | None) -> Band | None:
    """The band of a size that was decided: its own limits, size and U; None of what is not, or by plugs alone."""
    if decision is None or decision.case is None:
        return None
    case = decision.case
    low, high = _window(case)
    at, look = (case.value_nm, case.expanded_nm), decision.answer.judged.look
    band = band_of(low, high, case.unit, decision.words, at, look)
    if case.low_nm is None:
        return replace(band, left=_EDGE, low_words="")
    return replace(band, right=WIDTH - _EDGE, high_words="") if case.high_nm is None else band


def _window(case: SizeCase) -> tuple[int, int]:
    """From where to where the picture's window is; to a side without a limit far enough that size and U have room."""
    room = max(case.margin_nm, 0) + case.expanded_nm or abs(case.margin_nm)
    low = case.low_nm if case.low_nm is not None else (case.high_nm or 0) - room
    return low, case.high_nm if case.high_nm is not None else low + room


def _place(nm: int, low_nm: int, high_nm: int) -> float:
    # A window of no width still has a place: it is drawn a micrometre wide.
    return _LEFT + (nm - low_nm) * (_RIGHT - _LEFT) / max(high_nm - low_nm, 1_000)


def _held(x: float) -> float:
    return min(max(x, _EDGE), WIDTH - _EDGE)
