"""A cut, the dial it is wound on, and the stop sign before a cut too many."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class CutKind(StrEnum):
    """A cut that takes metal away, or the last one, for size and finish."""

    ROUGHING = "roughing"
    FINISHING = "finishing"


class StopKind(StrEnum):
    """Why the screen says stop."""

    UNDER_SIZE = "under_size"
    AT_SIZE = "at_size"
    WOULD_GO_UNDER = "would_go_under"
    PAST_SHARE = "past_share"
    LAST_CUT = "last_cut"
    TOO_DEEP = "too_deep"


@dataclass(frozen=True)
class Dial:
    """A feed dial: what it read when the tool touched the surface, nm, and how it counts.

    It counts up as the tool goes in. per_turn_nm is what one whole turn reads, None where the dial counts on
    (a digital one). A diametral dial, as on some cross slides, reads twice the depth of cut.
    """

    touch_off_nm: int
    per_turn_nm: int | None = None
    diametral: bool = False


@dataclass(frozen=True)
class DialTo:
    """Where to wind a dial to, nm: counted on from its zero, and as whole turns and what then stands on it."""

    absolute_nm: int
    turns: int | None = None
    on_dial_nm: int | None = None


@dataclass(frozen=True)
class Cut:
    """One cut: its depth at right angles to the surface, the size after it, and the dial; nm."""

    kind: CutKind
    depth_nm: int
    size_after_nm: int
    dial: DialTo | None = None


@dataclass(frozen=True)
class Stop:
    """A stop sign: left_nm is the depth that may still come off, under_nm how far below size it is or would go."""

    kind: StopKind
    left_nm: int
    under_nm: int
    words: str


@dataclass(frozen=True)
class BadShare:
    """Back and front badly shared: face_back_to_nm is the thickness to stop at, None where it is past that."""

    face_back_to_nm: int | None
    words: str
