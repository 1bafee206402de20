"""The figures a tread's profile is made from, and the lines and arcs it is made of."""

import math
from dataclasses import dataclass
from enum import StrEnum

# Cut parts shorter than this are no part of a profile: a tenth of a nanometre.
NOTHING_MM = 1e-7

DIAMETER_PLACE = (
    "half way along the tread, between the flange face and the front face (common practice, no source: "
    "the standards here do not say where)"
)

# Beyond these a tread is no tread and a flange no flange: common practice, no source.
STEEPEST_CONE, STEEPEST_FACE_DEG = 5.0, 45.0


class TreadProfileError(ValueError):
    """A profile that cannot be turned; its text is one sentence for the page, its field says where it was typed."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


class EdgeBreak(StrEnum):
    """How the sharp outer edge of the tread is taken off."""

    CHAMFER = "chamfer"
    RADIUS = "radius"


@dataclass(frozen=True)
class ProfileFigures:
    """The sizes of one profile, nm and degrees.

    tread_diameter_nm: at the gauge point, half way between flange face and front face. flange_width_nm: at the level of
    that diameter. flange_depth_nm: flange's top above that level. cone: run for a rise of 1; None for a straight tread.
    flange_face_deg: the face's lean from square, its top towards the back (10: common practice, no source).
    flange_tip_radius_nm: None rounds the tip as fully as it will go. rim_depth_nm: how far below the tread the section
    is cut off for the drawing; None chooses a depth that shows the tyre, it is no size to work to.
    """

    tread_diameter_nm: int
    tyre_width_nm: int
    flange_width_nm: int
    flange_depth_nm: int
    root_radius_nm: int
    cone: float | None = 20.0
    edge_break_nm: int = 0
    edge_break: EdgeBreak = EdgeBreak.CHAMFER
    flange_tip_radius_nm: int | None = None
    flange_face_deg: float = 10.0
    rim_depth_nm: int | None = None


@dataclass(frozen=True)
class Point:
    """A point of the section, mm: along the axle from the back face, and radius from the axle's centre."""

    along_mm: float
    radius_mm: float


@dataclass(frozen=True)
class Line:
    """A straight part of the outline."""

    name: str
    start: Point
    end: Point

    @property
    def start_deg(self) -> float:
        """The way the outline runs at the start, degrees anticlockwise from the axle's own line."""
        run, rise = self.end.along_mm - self.start.along_mm, self.end.radius_mm - self.start.radius_mm
        return math.degrees(math.atan2(rise, run))

    @property
    def end_deg(self) -> float:
        """The way the outline runs at the end; a line keeps its own."""
        return self.start_deg

    @property
    def length_mm(self) -> float:
        """Its length, mm."""
        return math.hypot(self.end.along_mm - self.start.along_mm, self.end.radius_mm - self.start.radius_mm)

    def at(self, share: float) -> Point:
        """The point a share (0 to 1) of the way along."""
        return Point(
            self.start.along_mm + share * (self.end.along_mm - self.start.along_mm),
            self.start.radius_mm + share * (self.end.radius_mm - self.start.radius_mm),
        )

    def share_at(self, along_mm: float) -> float:
        """The share of the way at which it reaches a place along the axle; not for a line square to the axle."""
        return (along_mm - self.start.along_mm) / (self.end.along_mm - self.start.along_mm)


@dataclass(frozen=True)
class Arc:
    """A round part of the outline: centre, radius mm, and from which to which angle, degrees anticlockwise.

    A from above the to runs clockwise.
    """

    name: str
    centre: Point
    radius_mm: float
    from_deg: float
    to_deg: float

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.at(0.0)

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.at(1.0)

    @property
    def clockwise(self) -> bool:
        """Which way it runs, the back face being on the left and the axle below."""
        return self.to_deg < self.from_deg

    @property
    def start_deg(self) -> float:
        """The way the outline runs at the start, degrees anticlockwise from the axle's own line."""
        return self.from_deg + (-90.0 if self.clockwise else 90.0)

    @property
    def end_deg(self) -> float:
        """The way the outline runs at the end."""
        return self.to_deg + (-90.0 if self.clockwise else 90.0)

    @property
    def length_mm(self) -> float:
        """Its length, mm."""
        return self.radius_mm * math.radians(abs(self.to_deg - self.from_deg))

    def at(self, share: float) -> Point:
        """The point a share (0 to 1) of the way along."""
        angle = math.radians(self.from_deg + share * (self.to_deg - self.from_deg))
        return Point(
            self.centre.along_mm + self.radius_mm * math.cos(angle),
            self.centre.radius_mm + self.radius_mm * math.sin(angle),
        )

    def share_at(self, along_mm: float) -> float:
        """The share of the way at which it reaches a place along the axle; each arc here passes a place once."""
        cosine = max(-1.0, min(1.0, (along_mm - self.centre.along_mm) / self.radius_mm))
        above = math.degrees(math.acos(cosine))
        angle = above if self.clockwise else 360.0 - above
        return (angle - self.from_deg) / (self.to_deg - self.from_deg)


Segment = Line | Arc


@dataclass(frozen=True)
class Dimension:
    """One size to write on the drawing: nm, and the two points it runs between.

    A radius runs from its centre to the arc; the tread diameter from the axle's centre to the gauge point.
    """

    name: str
    nm: int
    start: Point
    end: Point
    words: str


@dataclass(frozen=True)
class Joint:
    """Where one part meets the next: how far apart, mm, how sharp the corner, degrees, and whether it is to be smooth."""

    before: str
    after: str
    gap_mm: float
    corner_deg: float
    smooth: bool


# The corners that are meant: everything else runs smoothly into its neighbour.
_CORNERS = frozenset({"edge chamfer", "front face", "cut", "back face"})


@dataclass(frozen=True)
class Profile:
    """One closed outline, clockwise from the foot of the back face, with its sizes for the drawing."""

    figures: ProfileFigures
    segments: tuple[Segment, ...]
    gauge_point: Point
    dimensions: tuple[Dimension, ...]

    def segment(self, name: str) -> Segment:
        """The part of that name.

        Raises KeyError when this profile has none, such as an edge that is left sharp.
        """
        for one in self.segments:
            if one.name == name:
                return one
        raise KeyError(name)

    @property
    def joints(self) -> tuple[Joint, ...]:
        """Every place where two parts meet, the last with the first."""
        pairs = zip(self.segments, self.segments[1:] + self.segments[:1], strict=True)
        return tuple(_joint(before, after) for before, after in pairs)

    @property
    def turned(self) -> tuple[Segment, ...]:
        """The parts turned to a form: from the flange's tip to the edge break, without the faces."""
        return tuple(one for one in self.segments if one.name not in ("back face", "front face", "cut"))


def _joint(before: Segment, after: Segment) -> Joint:
    gap = math.hypot(after.start.along_mm - before.end.along_mm, after.start.radius_mm - before.end.radius_mm)
    corner = (after.start_deg - before.end_deg + 180.0) % 360.0 - 180.0
    meant = before.name in _CORNERS - {"back face"} or after.name in _CORNERS
    # A rounded edge runs into the front face; a chamfer or a sharp edge makes a corner with it.
    smooth = not meant or (before.name == "edge radius" and after.name == "front face")
    return Joint(before.name, after.name, gap, corner, smooth)


def check_angles(cone: float | None, flange_face_deg: float) -> None:
    """Refuse a cone or a flange face that no wheel has.

    Formula: N >= 5; 0 <= lean <= 45 degrees.
    Parameters: `cone` N of 1 in N, or None; `flange_face_deg`, from square to the axle.
    Raises: TreadProfileError, field `cone` or `flange_face_deg`.
    Source: common practice, no source.

    >>> check_angles(20.0, 10.0)
    """
    if cone is not None and not (math.isfinite(cone) and cone >= STEEPEST_CONE):
        raise TreadProfileError(
            "cone",
            f"A tread's cone is 1 in {STEEPEST_CONE:g} or flatter: type the second figure, such as 20.",
        )
    if not (math.isfinite(flange_face_deg) and 0 <= flange_face_deg <= STEEPEST_FACE_DEG):
        raise TreadProfileError(
            "flange_face_deg",
            f"The flange face leans 0 to {STEEPEST_FACE_DEG:g} degrees from square: type it, such as 10.",
        )
