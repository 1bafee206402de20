"""The cut each operation usually takes at the wheel's present sizes: diameter, travel, depth and feed, and where from."""

import math
from dataclasses import dataclass

from domain.cutting.operations import Governing, Operation
from domain.cutting.types import Cut

# A casting not measured yet is taken to be so much larger than the finished wheel, on the diameter.
ROUGH_ALLOWANCE_NM = 6_000_000
_ALLOWANCE = (
    "by the drawing over the flange with 6 mm for the rough casting, common practice: measure the rim"
)
_POINT_DEGREES = 118  # the usual point of a twist drill


@dataclass(frozen=True)
class DrawnWheel:
    """The drawing's figures that a cut goes by, nm."""

    tread_diameter_nm: int
    flange_depth_nm: int
    flange_width_nm: int
    tyre_width_nm: int
    root_radius_nm: int
    boss_diameter_nm: int
    boss_length_nm: int
    bore_nm: int
    crankpin_hole_nm: int

    @property
    def over_flange_nm(self) -> int:
        """Diameter over the finished flange."""
        return self.tread_diameter_nm + 2 * self.flange_depth_nm


@dataclass(frozen=True)
class MeasuredWheel:
    """The sizes a wheel has now, nm; None where not measured."""

    rim_most_nm: int | None = None
    over_flange_nm: int | None = None
    tread_nm: int | None = None
    boss_height_nm: int | None = None


@dataclass(frozen=True)
class UsualCuts:
    """The build's own cuts and feeds, nm; the drills, None where none is listed."""

    rough_cut_nm: int
    finish_cut_nm: int
    rough_feed_nm: int
    finish_feed_nm: int
    bore_drill_nm: int | None = None
    crankpin_drill_nm: int | None = None


@dataclass(frozen=True)
class PresentSize:
    """A diameter, nm, and where it comes from; `sure` where it was measured or is the drawing's own."""

    nm: int
    words: str
    sure: bool = True


@dataclass(frozen=True)
class UsualCut:
    """One cut ready to be planned, with the words for its diameter and for the tool's travel."""

    cut: Cut
    size: PresentSize
    travel_words: str = ""


def rim_now(drawn: DrawnWheel, measured: MeasuredWheel) -> PresentSize:
    """The largest diameter of a wheel as it is now.

    Formula: over the flange if turned; else the rough rim's largest; else tread + 2 flange depth + 6 mm.
    Parameters: `drawn` and `measured`, nm.
    Returns: the diameter, nm, with where it comes from.
    Source: geometry; the 6 mm is common practice, no source.

    >>> wheel = DrawnWheel(100_000_000, 2_000_000, 2_000_000, 10_000_000, 1_000_000, 30_000_000, 15_000_000, 19_000_000,
    ...     8_000_000)
    >>> rim_now(wheel, MeasuredWheel()).nm, rim_now(wheel, MeasuredWheel(rim_most_nm=108_500_000)).nm
    (110000000, 108500000)
    """
    if measured.over_flange_nm is not None:
        return PresentSize(measured.over_flange_nm, "over the flange, as measured")
    if measured.rim_most_nm is not None:
        return PresentSize(measured.rim_most_nm, "the rough rim's largest, as measured")
    return PresentSize(drawn.over_flange_nm + ROUGH_ALLOWANCE_NM, _ALLOWANCE, sure=False)


def usual_cut(one: Operation, drawn: DrawnWheel, measured: MeasuredWheel, usual: UsualCuts) -> UsualCut:
    """The cut an operation usually takes on a wheel as it is now.

    Formula: facing travels from the outside to the middle of the boss; a drill through the boss and its point,
    D / (2 tan(point / 2)); a forming edge lies along a quarter of the root's circle, pi r / 2.
    Parameters: `one`, any operation with a spindle speed; `drawn`, `measured` and `usual`, nm.
    Returns: the cut and the words for its figures.
    Raises: CuttingError as Cut does; ValueError for an operation by hand strokes.
    Source: geometry; which diameter and depth are taken is common practice, no source.

    >>> from domain.cutting.operations import operation
    >>> wheel = DrawnWheel(100_000_000, 2_000_000, 2_000_000, 10_000_000, 1_000_000, 30_000_000, 15_000_000, 19_000_000,
    ...     8_000_000)
    >>> found = usual_cut(operation("face_back"), wheel, MeasuredWheel(), UsualCuts(1_000_000, 200_000, 203_200, 101_600))
    >>> found.cut.diameter_nm, found.cut.inner_diameter_nm, found.cut.length_nm
    (110000000, 30000000, 55000000)
    """
    size = _size(one, drawn, measured, usual)
    length, travel = _travel(one, size.nm, drawn, measured)
    inner = drawn.boss_diameter_nm if one.key == "face_back" and drawn.boss_diameter_nm < size.nm else None
    cut = Cut(one, size.nm, inner, length, _depth(one, drawn, usual), _feed(one, usual))
    return UsualCut(cut, size, travel)


def _size(one: Operation, drawn: DrawnWheel, measured: MeasuredWheel, usual: UsualCuts) -> PresentSize:
    governs = one.governs
    if governs is Governing.RIM:
        return rim_now(drawn, measured)
    if governs is Governing.BOSS:
        return PresentSize(drawn.boss_diameter_nm, "the boss by the drawing")
    if governs is Governing.TREAD:
        return _tread(one, drawn, measured, usual)
    if governs is Governing.FLANGE:
        if measured.over_flange_nm is not None:
            return PresentSize(measured.over_flange_nm, "over the flange, as measured")
        return PresentSize(drawn.over_flange_nm, "over the finished flange by the drawing")
    if governs is Governing.BORE:
        return PresentSize(drawn.bore_nm, "the bore by the drawing")
    if governs is Governing.CRANKPIN:
        return PresentSize(drawn.crankpin_hole_nm, "the crankpin hole by the drawing")
    if governs is Governing.BORE_DRILL:
        return _drill("bore", drawn.bore_nm, usual.bore_drill_nm)
    if governs is Governing.CRANKPIN_DRILL:
        return _drill("crankpin hole", drawn.crankpin_hole_nm, usual.crankpin_drill_nm)
    raise ValueError("A face cut by hand strokes has no diameter to go by.")


def _tread(one: Operation, drawn: DrawnWheel, measured: MeasuredWheel, usual: UsualCuts) -> PresentSize:
    if measured.tread_nm is not None:
        return PresentSize(measured.tread_nm, "the tread, as measured")
    if one.finishing:
        nm = drawn.tread_diameter_nm + 2 * usual.finish_cut_nm
        return PresentSize(nm, "the drawing's tread and the finishing cut still on it")
    return rim_now(drawn, measured)


def _drill(hole: str, finished_nm: int, drill_nm: int | None) -> PresentSize:
    if drill_nm is not None:
        return PresentSize(drill_nm, f"the drill on the workshop's list for this {hole}")
    words = f"no drill that suits is on the workshop's list: the finished {hole}, so a little slow"
    return PresentSize(finished_nm, words, sure=False)


def _travel(
    one: Operation, diameter_nm: int, drawn: DrawnWheel, measured: MeasuredWheel
) -> tuple[int | None, str]:
    through = measured.boss_height_nm or drawn.boss_length_nm
    if one.governs in (Governing.BORE_DRILL, Governing.CRANKPIN_DRILL):
        point = math.ceil(diameter_nm / 2 / math.tan(math.radians(_POINT_DEGREES / 2)))
        return through + point, "through the boss, with the drill's point"
    if one.governs in (Governing.BORE, Governing.CRANKPIN):
        return through, "through the boss"
    if one.governs is Governing.TREAD:
        return max(drawn.tyre_width_nm - drawn.flange_width_nm, 1), "across the tread"
    if one.governs is Governing.FLANGE:
        return drawn.root_radius_nm, "straight in, as deep as the root"
    if one.key == "face_front_rim":
        return None, ""  # how wide the rim is, no figure here says
    return -(-diameter_nm // 2), "from the outside to the middle of the boss, without winding over the spokes"


def _depth(one: Operation, drawn: DrawnWheel, usual: UsualCuts) -> int | None:
    if not one.depth_words:
        return None
    if one.governs is Governing.FLANGE:
        return math.ceil(math.pi * drawn.root_radius_nm / 2)
    return usual.finish_cut_nm if one.finishing else usual.rough_cut_nm


def _feed(one: Operation, usual: UsualCuts) -> int | None:
    if not one.kind.single_edge or one.governs is Governing.FLANGE:
        return None
    return usual.finish_feed_nm if one.finishing else usual.rough_feed_nm
