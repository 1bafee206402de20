"""The faces of a casting and of the wheel inside it, and what sharing the metal between them gives."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from domain.working import Working

LEAST_CUT_NM = 500_000  # the least cut that gets under the skin: common practice, no source
JUST_SOURCE = "just: less than 1.5 times the least cut is left; common practice, no source"


class Face(StrEnum):
    """A surface that metal comes off."""

    RIM_BACK = "rim_back"
    RIM_FRONT = "rim_front"
    BOSS_BACK = "boss_back"
    BOSS_FRONT = "boss_front"
    OVER_FLANGE = "over_flange"
    TREAD = "tread"

    @property
    def words(self) -> str:
        """The surface as it is said in the shop."""
        return {"over_flange": "diameter over the flange"}.get(self.value, self.value.replace("_", " "))

    @property
    def on_diameter(self) -> bool:
        """Whether its size is a diameter, so that a cut takes twice its depth off the size."""
        return self in (Face.OVER_FLANGE, Face.TREAD)

    @property
    def is_back(self) -> bool:
        """Whether it is machined with the back of the wheel outward."""
        return self in (Face.RIM_BACK, Face.BOSS_BACK)


class Verdict(StrEnum):
    """Whether a casting is large enough for the wheel."""

    CLEANS_UP = "cleans_up"
    JUST = "just"
    DOES_NOT = "does_not"
    CANNOT_TELL = "cannot_tell"

    @property
    def words(self) -> str:
        """The verdict as a headline."""
        return {
            "cleans_up": "cleans up",
            "just": "just cleans up",
            "does_not": "does not clean up",
            "cannot_tell": "cannot tell yet",
        }[self.value]


class StockError(ValueError):
    """Sizes that no casting or wheel can have; its text is one sentence for the page, `field` says where."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True)
class RoughFaces:
    """Where the casting's faces lie along the axle, nm, towards the front positive; any zero will do.

    The boss is None where it was not measured.
    """

    rim_back_nm: int
    rim_front_nm: int
    boss_back_nm: int | None = None
    boss_front_nm: int | None = None


@dataclass(frozen=True)
class FinishedFaces:
    """Where the finished wheel's faces lie along the axle, nm, from its own rim back, front positive."""

    rim_back_nm: int
    rim_front_nm: int
    boss_back_nm: int | None = None
    boss_front_nm: int | None = None


@dataclass(frozen=True)
class FaceStock:
    """Metal on one face at the best share, nm, and how far that is short of what is needed (0 if not)."""

    face: Face
    stock_nm: int
    short_nm: int


@dataclass(frozen=True)
class Shares:
    """The metal shared between back and front.

    best_nm is where the finished rim back lies, from the rough rim back; low_nm and high_nm are the ends of
    the interval that will do, None where there is none. back and front are the two faces that decide.
    spare_nm is what the poorest face has beyond need_nm; below 0 it is short. short_nm is how much longer
    the casting would have to be between those two faces, 0 where it cleans up.
    """

    verdict: Verdict
    best_nm: int
    low_nm: int | None
    high_nm: int | None
    need_nm: int
    faces: tuple[FaceStock, ...]
    back: Face
    front: Face
    spare_nm: int
    short_nm: int
    words: str
    workings: tuple[Working, ...]

    def stock(self, face: Face) -> int | None:
        """Metal on a face at the best share, nm; None where that face is not known."""
        return next((one.stock_nm for one in self.faces if one.face is face), None)


@dataclass(frozen=True)
class RadialStock:
    """Metal on an outside diameter, nm on the radius at its thinnest place, and if it were set true to it."""

    stock_nm: int
    stock_true_nm: int
    spare_nm: int
    verdict: Verdict
    words: str
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class RadialShare:
    """What setting true to the inside edge costs outside, and the other way about; nm on the radius.

    cut_thin_nm and cut_thick_nm: metal outside where the rough rim is thinnest and thickest, set true to the
    inside edge. uneven_nm: how much thicker one side of the finished rim is than the other, set true to
    the outside. rim_thin_nm and rim_thick_nm: that rim, None where the inside diameter is not known.
    """

    cut_thin_nm: int
    cut_thick_nm: int
    uneven_nm: int
    rim_thin_nm: int | None
    rim_thick_nm: int | None
    words: str
    workings: tuple[Working, ...]
