"""What is known of a casting as it came, of the wheel it shall become, and what receiving says of it."""

from __future__ import annotations

from dataclasses import dataclass

from domain.stock.types import Face, Verdict
from domain.working import Working


@dataclass(frozen=True)
class RoughSizes:
    """A casting as measured, nm; None where not measured.

    Diameters are of the rim where the flange will be. tread_least_diameter_nm is the smallest where the
    tread will be, None where the rim is cast straight and one diameter serves both.
    boss_proud_back_nm is negative where the boss is sunk.
    """

    least_diameter_nm: int | None = None
    most_diameter_nm: int | None = None
    rim_height_nm: int | None = None
    boss_height_nm: int | None = None
    boss_proud_back_nm: int | None = None
    tread_least_diameter_nm: int | None = None


@dataclass(frozen=True)
class FinishedSizes:
    """The wheel on the drawing, nm; None where the drawing's figure is not typed yet.

    boss_proud_back_nm is how much the boss stands behind the rim, negative where sunk, usually 0.
    """

    tread_diameter_nm: int | None
    flange_depth_nm: int | None
    rim_width_nm: int | None
    boss_length_nm: int | None
    boss_proud_back_nm: int = 0

    @property
    def over_flange_nm(self) -> int | None:
        """Diameter over the flange: tread and twice the depth; None where either is not known."""
        if self.tread_diameter_nm is None or self.flange_depth_nm is None:
            return None
        return self.tread_diameter_nm + 2 * self.flange_depth_nm


@dataclass(frozen=True)
class Flaws:
    """What was seen when the casting was looked over."""

    blowhole: bool = False
    chill: bool = False
    shift: bool = False


@dataclass(frozen=True)
class Received:
    """What receiving says of one casting.

    where is the face or diameter that decides, None where nothing can be judged; by_nm is what it has beyond
    what is needed, or, where it does not clean up, how much it is short; missing are the fields still wanted.
    score: the larger, the better the casting; compare it, do not show it.
    """

    verdict: Verdict
    where: Face | None
    by_nm: int | None
    words: str
    share_words: str
    faces: tuple[tuple[str, int], ...]
    missing: tuple[str, ...]
    cautions: tuple[str, ...]
    score: tuple[int, int, int]
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class Ranked:
    """One casting in its order, 1 is the best; words say why it stands there."""

    mark: str
    received: Received
    rank: int
    words: str


@dataclass(frozen=True)
class SparesProposal:
    """Marks for the places, best first, and marks proposed as spares; unfit are any that do not clean up.

    short is how many more castings must be found so that each place has one that is not known to be too small.
    """

    in_work: tuple[str, ...]
    spares: tuple[str, ...]
    unfit: tuple[str, ...]
    short: int
    words: str
