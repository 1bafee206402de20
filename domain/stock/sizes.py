"""The sizes of a casting and of the wheel inside it: as measured, as drawn, and as places along the axle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from domain.errors import TradeError
from domain.lengths import Unit, show

LEAST_CUT_NM = 500_000  # the least cut that gets under the skin: common practice, no source


class StockError(TradeError):
    """Sizes that no casting, wheel or cut can have."""


class Face(StrEnum):
    """A surface that metal comes off."""

    RIM_BACK = "rim_back"
    RIM_FRONT = "rim_front"
    BOSS_BACK = "boss_back"
    BOSS_FRONT = "boss_front"
    OVER_FLANGE = "over_flange"
    TREAD = "tread"
    CENTRE = "centre"

    @property
    def words(self) -> str:
        """The surface as it is said in the shop."""
        return _SAID[self][0]

    @property
    def measured(self) -> str:
        """What is measured there: the rim or the boss, of which a face is one side, or the diameter."""
        return _SAID[self][1]

    @property
    def on_diameter(self) -> bool:
        """Whether its size is a diameter, so that a cut takes twice its depth off the size."""
        return self in (Face.OVER_FLANGE, Face.TREAD, Face.CENTRE)

    @property
    def on_rim(self) -> bool:
        """Whether it is a side of the rim."""
        return self in (Face.RIM_BACK, Face.RIM_FRONT)

    @property
    def is_back(self) -> bool:
        """Whether it is machined with the back of the wheel outward."""
        return self in (Face.RIM_BACK, Face.BOSS_BACK)


_SAID = {
    Face.RIM_BACK: ("rim back", "rim"),
    Face.RIM_FRONT: ("rim front", "rim"),
    Face.BOSS_BACK: ("boss back", "boss"),
    Face.BOSS_FRONT: ("boss front", "boss"),
    Face.OVER_FLANGE: ("diameter over the flange", "diameter over the flange"),
    Face.TREAD: ("tread", "tread"),
    Face.CENTRE: ("seat of the tyre", "outside of the wheel centre"),
}


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

    boss_proud_back_nm is how much the boss stands behind the rim, negative where sunk, usually 0. centre_nm is the
    outside of a wheel centre where its tyre goes on; None where the wheel is cast with its tread.
    """

    tread_diameter_nm: int | None
    flange_depth_nm: int | None
    rim_width_nm: int | None
    boss_length_nm: int | None
    boss_proud_back_nm: int = 0
    centre_nm: int | None = None

    @property
    def outsides(self) -> Mapping[Face, int | None]:
        """The diameters that are turned on the casting itself, the largest first: its tyre's seat, or flange and tread."""
        if self.centre_nm is not None:
            return {Face.CENTRE: self.centre_nm}
        return {Face.OVER_FLANGE: self.over_flange_nm, Face.TREAD: self.tread_diameter_nm}

    @property
    def outside_nm(self) -> int | None:
        """The largest of them."""
        return next(iter(self.outsides.values()))

    @property
    def least_outside_nm(self) -> int | None:
        """The smallest of them, which is as far as the casting's own iron reaches all along."""
        return tuple(self.outsides.values())[-1]

    @property
    def over_flange_nm(self) -> int | None:
        """Diameter over the flange: tread and twice the depth; None where either is not known."""
        if self.tread_diameter_nm is None or self.flange_depth_nm is None:
            return None
        return self.tread_diameter_nm + 2 * self.flange_depth_nm

    def of(self, face: Face) -> int | None:
        """The finished size that a cut on this face must not lose."""
        if face is Face.CENTRE:
            return self.centre_nm
        if face.on_diameter:
            return self.tread_diameter_nm if face is Face.TREAD else self.over_flange_nm
        return self.rim_width_nm if face.on_rim else self.boss_length_nm


@dataclass(frozen=True)
class SizesNow:
    """The sizes last measured, nm; None where not known.

    A face counts as faced once its back is done and the wheel may be turned round; where front_first, once its front is.
    A diameter still as it came may run out: over_flange_off_nm, tread_off_nm and centre_off_nm are its eccentricity to the
    surface that is set true.
    """

    rim_thickness_nm: int | None = None
    boss_thickness_nm: int | None = None
    boss_proud_back_nm: int | None = None
    over_flange_nm: int | None = None
    tread_nm: int | None = None
    rim_back_faced: bool = False
    boss_back_faced: bool = False
    over_flange_off_nm: int = 0
    tread_off_nm: int = 0
    front_first: bool = False
    front_faced: bool = False
    centre_nm: int | None = None
    centre_off_nm: int = 0

    def first_faced(self, face: Face) -> bool:
        """Whether the side that is faced first is done, of the rim or the boss that this face is of."""
        if self.front_first:
            return self.front_faced
        return self.rim_back_faced if face.on_rim else self.boss_back_faced

    def is_first(self, face: Face) -> bool:
        """Whether this face is of the side that is faced first."""
        return face.is_back is not self.front_first

    def of(self, face: Face) -> int | None:
        """The size that a cut on this face changes: a thickness of rim or boss, or a diameter."""
        if face is Face.CENTRE:
            return self.centre_nm
        if face.on_diameter:
            return self.tread_nm if face is Face.TREAD else self.over_flange_nm
        return self.rim_thickness_nm if face.on_rim else self.boss_thickness_nm

    def off(self, face: Face) -> int:
        """How far a diameter runs out."""
        if face is Face.CENTRE:
            return self.centre_off_nm
        return self.tread_off_nm if face is Face.TREAD else self.over_flange_off_nm


@dataclass(frozen=True)
class Faces:
    """Where the faces of a casting or of the finished wheel lie along the axle, nm, towards the front positive.

    Any zero will do for a casting; the finished wheel's is its own rim back. The boss is None where it is not known.
    """

    rim_back_nm: int
    rim_front_nm: int
    boss_back_nm: int | None = None
    boss_front_nm: int | None = None


def rough_faces(
    rim_height_nm: int,
    boss_height_nm: int | None = None,
    boss_proud_back_nm: int | None = None,
    unit: Unit = Unit.MM,
) -> Faces:
    """Where a casting's faces lie, from its heights.

    Formula: rim back 0, rim front = rim height, boss back = -proud, boss front = boss height - proud
    Parameters: heights, thickness back to front, above 0; `boss_proud_back_nm`, how much the boss stands behind the
    rim at the back, negative where it is sunk. Without both figures of the boss it is left out.
    Raises: StockError for a size that cannot be, or a boss that is nowhere inside the rim.
    Source: geometry.

    >>> rough_faces(20_000_000, 24_000_000, 1_000_000)
    Faces(rim_back_nm=0, rim_front_nm=20000000, boss_back_nm=-1000000, boss_front_nm=23000000)
    """
    rim, boss = ("rim_height", "rim height"), ("boss_height", "boss height")
    return _faces(rim_height_nm, boss_height_nm, boss_proud_back_nm, rim=rim, boss=boss, unit=unit)


def finished_faces(
    rim_width_nm: int,
    boss_length_nm: int | None = None,
    boss_proud_back_nm: int = 0,
    unit: Unit = Unit.MM,
) -> Faces:
    """Where the finished wheel's faces lie, from the drawing: as rough_faces, and refused as there.

    >>> finished_faces(17_000_000, 21_000_000).boss_front_nm
    21000000
    """
    rim, boss = ("rim_width", "rim width"), ("boss_length", "boss length")
    return _faces(rim_width_nm, boss_length_nm, boss_proud_back_nm, rim=rim, boss=boss, unit=unit)


def _faces(
    rim_nm: int,
    boss_nm: int | None,
    proud_nm: int | None,
    rim: tuple[str, str],
    boss: tuple[str, str],
    unit: Unit,
) -> Faces:
    for (field, name), nm in ((rim, rim_nm), (boss, boss_nm)):
        if nm is not None and nm <= 0:
            raise StockError(f"The {name} must be more than nothing: measure it again.", field)
    if boss_nm is None or proud_nm is None:
        return Faces(0, rim_nm)
    if boss_nm <= proud_nm:
        raise StockError(
            f"A boss of {show(boss_nm, unit)} cannot stand {show(proud_nm, unit)} proud of the rim at the back:"
            " it would be shorter than what stands out, so measure both again.",
            boss[0],
        )
    if -proud_nm >= rim_nm:
        raise StockError(
            f"A boss cannot be sunk {show(-proud_nm, unit)} into a rim of {show(rim_nm, unit)}: measure both again.",
            "boss_proud_back",
        )
    return Faces(0, rim_nm, -proud_nm, boss_nm - proud_nm)
