"""The operations on the way from casting to wheel for which a speed is wanted, and the cut each usually takes."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from domain.cutting.speeds import CutKind, CuttingError
from domain.cutting.spindle import MachineKind
from domain.route.stages import CRANKPIN_HOLE, Route, Stage, Step, stages, tickable


class Governing(StrEnum):
    """Which diameter the surface speed goes by: the largest that the edge touches."""

    RIM = "rim"
    BOSS = "boss"
    BORE_DRILL = "bore_drill"
    BORE = "bore"
    TREAD = "tread"
    FLANGE = "flange"
    CRANKPIN_DRILL = "crankpin_drill"
    CRANKPIN = "crankpin"
    NONE = "none"

    @property
    def words(self) -> str:
        """The diameter as it is asked for."""
        return _GOVERNING_WORDS[self]


_GOVERNING_WORDS = {
    Governing.RIM: "outside of the rim as it is now",
    Governing.BOSS: "outside of the boss",
    Governing.BORE_DRILL: "drill for the bore",
    Governing.BORE: "finished bore",
    Governing.TREAD: "tread as it is now",
    Governing.FLANGE: "outside of the flange",
    Governing.CRANKPIN_DRILL: "drill for the crankpin hole",
    Governing.CRANKPIN: "finished crankpin hole",
    Governing.NONE: "none: the spindle stands still",
}

_FACE_ONLY = "Only a facing cut has an inner diameter: leave it empty for this operation."
# A casting not measured yet is taken to be so much larger than the finished wheel, on the diameter.
ROUGH_ALLOWANCE_NM = 6_000_000
_CENTRE_ALLOWANCE = (
    "by the drawing over the wheel centre with 6 mm for the rough casting, common practice: measure the rim"
)
_ALLOWANCE = (
    "by the drawing over the flange with 6 mm for the rough casting, common practice: measure the rim"
)
_POINT_DEGREES = 118  # the usual point of a twist drill

_LATHE = (MachineKind.LATHE,)
_EITHER = (MachineKind.DRILL, MachineKind.LATHE)
# The bore is drilled and reamed in the lathe, in the setting in which the rim was set true.


@dataclass(frozen=True)
class Operation:
    """One operation: what is cut, the small step that says it is done, how, by which diameter, on which machines."""

    key: str
    words: str
    done_by: str
    kind: CutKind
    governs: Governing
    machines: tuple[MachineKind, ...] = _LATHE
    finishing: bool = False
    interrupted_by: str = ""
    coupled_only: bool = False

    @property
    def step(self) -> Step:
        """The small step it is part of."""
        found = tickable(self.done_by)
        assert isinstance(found, Step)  # the table below names only those there are
        return found

    @property
    def stage(self) -> Stage:
        """The stage it is part of: its small step's."""
        return self.step.stage

    @property
    def interrupted(self) -> bool:
        """Whether the edge usually leaves the iron and strikes it again in each turn."""
        return bool(self.interrupted_by)

    @property
    def has_inner_diameter(self) -> bool:
        """Whether the surface slows towards an inner diameter during the cut."""
        return self.kind is CutKind.FACE

    @property
    def depth_words(self) -> str:
        """What the depth means here, or nothing where none is reckoned with."""
        if self.kind is CutKind.FORM:
            return "length of the forming edge in the iron"
        return "depth of cut" if self.kind.single_edge else ""


# Workshop rules: common practice, no source. Rim and tread run unbroken; spokes lie below them.
_OPERATIONS = (
    Operation("face_back", "face the back, rim and boss", "back_faced.to_size", CutKind.FACE, Governing.RIM),
    Operation(
        "face_front_rim", "face the front of the rim", "bored.front_faced", CutKind.FACE, Governing.RIM
    ),
    Operation(
        "face_front_boss",
        "face the front of the boss",
        "bored.front_faced",
        CutKind.FACE,
        Governing.BOSS,
        interrupted_by="the crank boss or the balance weight",
    ),
    Operation(
        "crank_boss",
        "face the crank boss by hand strokes",
        "bored.crank_boss",
        CutKind.HAND,
        Governing.NONE,
        coupled_only=True,
    ),
    Operation("drill_bore", "drill the bore", "bored.drilled", CutKind.DRILL, Governing.BORE_DRILL),
    Operation("ream_bore", "ream the bore", "bored.reamed", CutKind.REAM, Governing.BORE, finishing=True),
    Operation(
        "bore_bore", "bore the bore to size", "bored.reamed", CutKind.BORE, Governing.BORE, finishing=True
    ),
    Operation("rough_tread", "rough the tread", "tread_turned.to_size", CutKind.TURN, Governing.TREAD),
    Operation(
        "finish_tread",
        "finish the tread",
        "tread_turned.to_size",
        CutKind.TURN,
        Governing.TREAD,
        finishing=True,
    ),
    Operation(
        "form_root",
        "form the flange root",
        "tread_turned.flange",
        CutKind.FORM,
        Governing.FLANGE,
        finishing=True,
    ),
    Operation(
        "drill_crankpin",
        "drill the crankpin hole",
        CRANKPIN_HOLE,
        CutKind.DRILL,
        Governing.CRANKPIN_DRILL,
        machines=_EITHER,
        coupled_only=True,
    ),
    Operation(
        "ream_crankpin",
        "ream the crankpin hole",
        CRANKPIN_HOLE,
        CutKind.REAM,
        Governing.CRANKPIN,
        machines=_EITHER,
        finishing=True,
        coupled_only=True,
    ),
)


def operations(route: Route, *, coupled: bool, hand_reamers: bool = False) -> tuple[Operation, ...]:
    """The operations of a wheel in the order of its route; a carrying wheel has no crank to break the cut.

    Where reamers are turned by a wrench, reaming has no speed to go by.

    Source: common practice, no source.

    >>> [one.key for one in operations(Route.FITTED_FIRST, coupled=False)][:3]
    ['face_back', 'face_front_rim', 'face_front_boss']
    """
    order = stages(route, coupled=coupled)
    mine = [one for one in _OPERATIONS if one.stage in order and (coupled or not one.coupled_only)]
    if not coupled:
        mine = [replace(one, interrupted_by="") for one in mine]
    if hand_reamers:
        mine = [_by_wrench(one) if one.kind is CutKind.REAM else one for one in mine]
    return tuple(sorted(mine, key=lambda one: order.index(one.stage)))


def _by_wrench(one: Operation) -> Operation:
    return replace(one, kind=CutKind.HAND_REAM, governs=Governing.NONE)


def every_operation() -> tuple[Operation, ...]:
    """The operations of all routes, as on a coupled wheel.

    >>> every_operation()[0].key
    'face_back'
    """
    return _OPERATIONS


def operation(key: str) -> Operation:
    """The operation with this key.

    Raises: CuttingError, field "operation", when there is none.

    >>> operation("ream_bore").words
    'ream the bore'
    """
    for one in _OPERATIONS:
        if one.key == key:
            return one
    raise CuttingError(f"No operation is called {key!r}: choose one of those listed.", "operation")


def next_operation(found: Sequence[Operation], ticked: Collection[str]) -> Operation | None:
    """The first operation of a wheel that is not done: neither its stage nor its small step is ticked.

    Returns: the operation, or None when all are done (no unit).
    Source: our own; the order is common practice, no source.

    >>> mine = operations(Route.FITTED_FIRST, coupled=True)
    >>> next_operation(mine, {"back_faced", "bored.front_faced"}).key
    'crank_boss'
    """
    return next(
        (one for one in found if not {one.step.closed_by.value, one.done_by}.intersection(ticked)), None
    )


@dataclass(frozen=True)
class Cut:
    """One cut. All nm; None where not known: the inner end of a facing cut, the tool's travel, depth and feed a turn."""

    operation: Operation
    diameter_nm: int
    inner_diameter_nm: int | None = None
    length_nm: int | None = None
    depth_nm: int | None = None
    feed_nm: int | None = None

    def __post_init__(self) -> None:
        for name, words, example in (
            ("diameter", "diameter", "108 mm"),
            ("length", "travel of the tool", "12 mm"),
            ("depth", "depth of cut", "0.5 mm"),
            ("feed", "feed for each turn", "0.1 mm"),
        ):
            value = getattr(self, f"{name}_nm")
            if value is not None and value <= 0:
                raise CuttingError(f"The {words} must be above nothing: type one such as {example}.", name)
        if self.inner_diameter_nm is not None and not self.operation.has_inner_diameter:
            raise CuttingError(_FACE_ONLY, "inner_diameter")
        if self.depth_nm is not None and not self.operation.depth_words:
            raise CuttingError("A drill or reamer has no depth of cut here: leave it empty.", "depth")
        turned = self.operation.kind is CutKind.TURN
        if turned and self.depth_nm is not None and 2 * self.depth_nm >= self.diameter_nm:
            raise CuttingError("The cut is deeper than the work is thick: measure the depth again.", "depth")


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
    # The outside of the wheel centre, where a steel tyre goes on it.
    centre_nm: int | None = None

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
class PresentSize:
    """A diameter, nm, and where it comes from; `sure` where it was measured or is the drawing's own."""

    nm: int
    words: str
    sure: bool = True


@dataclass(frozen=True)
class UsualCuts:
    """The build's own cuts and feeds, nm; the drills, None where none is listed; for which reamer the bore is drilled, and
    to what it is bored with a bar."""

    rough_cut_nm: int
    finish_cut_nm: int
    rough_feed_nm: int
    finish_feed_nm: int
    bore_drill_nm: int | None = None
    crankpin_drill_nm: int | None = None
    bore_reamer: PresentSize | None = None
    bore_bar: PresentSize | None = None


@dataclass(frozen=True)
class UsualCut:
    """One cut ready to be planned, with the words for its diameter and for the tool's travel."""

    cut: Cut
    size: PresentSize
    travel_words: str = ""


def rim_now(drawn: DrawnWheel, measured: MeasuredWheel) -> PresentSize:
    """The largest diameter of a wheel as it is now.

    Formula: over the flange if turned; else the rough rim's largest; else the drawing's outside + 6 mm, which is over the
    flange, or over the wheel centre where a tyre goes on that.
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
    if drawn.centre_nm is not None:
        return PresentSize(drawn.centre_nm + ROUGH_ALLOWANCE_NM, _CENTRE_ALLOWANCE, sure=False)
    return PresentSize(drawn.over_flange_nm + ROUGH_ALLOWANCE_NM, _ALLOWANCE, sure=False)


def usual_cut(one: Operation, drawn: DrawnWheel, measured: MeasuredWheel, usual: UsualCuts) -> UsualCut:
    """The cut an operation usually takes on a wheel as it is now.

    Formula: facing travels from the outside to the middle of the boss; a drill through the boss and its point,
    D / (2 tan(point / 2)); a forming edge lies along a quarter of the root's circle, pi r / 2.
    Raises: CuttingError as Cut does; ValueError for an operation by hand strokes.
    Source: geometry; which diameter and depth are taken is common practice, no source.

    >>> wheel = DrawnWheel(100_000_000, 2_000_000, 2_000_000, 10_000_000, 1_000_000, 30_000_000, 15_000_000, 19_000_000,
    ...     8_000_000)
    >>> found = usual_cut(operation("face_back"), wheel, MeasuredWheel(), UsualCuts(1_000_000, 200_000, 203_200, 101_600))
    >>> found.cut.diameter_nm, found.cut.inner_diameter_nm, found.cut.length_nm
    (110000000, 30000000, 55000000)
    """
    size = _size(one, drawn, measured, usual)
    length, travel = _travel(one, size.nm, drawn, measured)
    inner = drawn.boss_diameter_nm if one.key == "face_back" and drawn.boss_diameter_nm < size.nm else None
    cut = Cut(
        one,
        size.nm,
        inner_diameter_nm=inner,
        length_nm=length,
        depth_nm=_depth(one, drawn, usual),
        feed_nm=_feed(one, usual),
    )
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
        by_drawing = PresentSize(drawn.bore_nm, "the bore by the drawing")
        return (usual.bore_reamer if one.kind is CutKind.REAM else usual.bore_bar) or by_drawing
    if governs is Governing.CRANKPIN:
        return PresentSize(drawn.crankpin_hole_nm, "the crankpin hole by the drawing")
    if governs is Governing.BORE_DRILL:
        finished = usual.bore_reamer.nm if usual.bore_reamer else drawn.bore_nm
        return _drill("bore", finished, usual.bore_drill_nm)
    if governs is Governing.CRANKPIN_DRILL:
        return _drill("crankpin hole", drawn.crankpin_hole_nm, usual.crankpin_drill_nm)
    raise ValueError("A face cut by hand strokes has no diameter to go by.")


def _tread(one: Operation, drawn: DrawnWheel, measured: MeasuredWheel, usual: UsualCuts) -> PresentSize:
    if measured.tread_nm is not None:
        return PresentSize(measured.tread_nm, "the tread, as measured")
    if one.finishing:
        nm = drawn.tread_diameter_nm + 2 * usual.finish_cut_nm
        return PresentSize(nm, "the drawing's tread and the finishing cut still on it")
    if drawn.centre_nm is not None and measured.over_flange_nm is None:
        # It is cut on the tyre, of which nothing is measured as it came.
        return PresentSize(drawn.over_flange_nm, "over the finished flange by the drawing", sure=False)
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
