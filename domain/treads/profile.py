"""The profile of a tread and its flange, as lines and arcs that run into one another, for drawing and turning."""

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from domain.lengths import NM_PER_MM, Unit, show
from domain.treads.wheel_standard import TreadError, WheelStandard

# A broken edge of a twentieth of the tyre's width: common practice, no source.
_EDGE_SHARE = 20
# Cut parts shorter than this are no part of a profile: a tenth of a nanometre.
NOTHING_MM = 1e-7

DIAMETER_PLACE = (
    "half way along the tread, between the flange face and the front face (common practice, no source: "
    "the standards here do not say where)"
)

# Where a standard prints no cone: common practice, no source.
USUAL_CONE = 20.0
# Beyond these a tread is no tread and a flange no flange: common practice, no source.
STEEPEST_CONE, STEEPEST_FACE_DEG = 5.0, 45.0


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
    def turned(self) -> tuple[Segment, ...]:
        """The parts turned to a form: from the flange's tip to the edge break, without the faces."""
        return tuple(one for one in self.segments if one.name not in ("back face", "front face", "cut"))


def check_angles(cone: float | None, flange_face_deg: float) -> None:
    """Refuse a cone or a flange face that no wheel has.

    Formula: N >= 5; 0 <= lean <= 45 degrees.
    Parameters: `cone` N of 1 in N, or None; `flange_face_deg`, from square to the axle.
    Source: common practice, no source.

    >>> check_angles(20.0, 10.0)
    """
    if cone is not None and not (math.isfinite(cone) and cone >= STEEPEST_CONE):
        raise TreadError(
            f"A tread's cone is 1 in {STEEPEST_CONE:g} or flatter: type the second figure, such as 20.",
            field="cone",
        )
    if not (math.isfinite(flange_face_deg) and 0 <= flange_face_deg <= STEEPEST_FACE_DEG):
        raise TreadError(
            f"The flange face leans 0 to {STEEPEST_FACE_DEG:g} degrees from square: type it, such as 10.",
            field="flange_face_deg",
        )


def figures_of(
    standard: WheelStandard,
    tread_diameter_nm: int,
    *,
    flange_width_nm: int | None = None,
    root_radius_nm: int | None = None,
) -> ProfileFigures:
    """The sizes of a profile as a published standard prints them, the wheel's own diameter put in.

    Formula: root radius = middle of the two printed, or the one printed; edge break = tyre width / 20.
    Parameters: `standard`; `tread_diameter_nm` > 0; `flange_width_nm` and `root_radius_nm`, nm, asked for where the
    standard prints none, and used instead of its own where given.
    Returns: the figures, nm; where the standard prints no cone, 1 in 20.
    Raises: TreadError, field `flange_width` or `root_radius`, where neither standard nor caller gives it; `tyre_width`
    for a standard that prints neither tyre width nor flange depth.
    Source: the standard's own; 1 in 20 where it is silent and the edge break are common practice, no source.

    >>> from domain.treads.wheel_standard import preset
    >>> figures_of(preset("ibls-5"), 127_000_000).root_radius_nm
    1841500
    """
    root = standard.root_radius
    flange = flange_width_nm if flange_width_nm is not None else standard.flange_width_nm
    if flange is None:
        raise TreadError(
            "This standard prints no flange width: type the drawing's own.", field="flange_width"
        )
    if root_radius_nm is None and root is None:
        raise TreadError("This standard prints no root radius: type the drawing's own.", field="root_radius")
    if root_radius_nm is None and root is not None:
        root_radius_nm = root.nm if root.high_nm is None else (root.nm + root.high_nm) // 2
    assert root_radius_nm is not None
    tyre, depth = standard.tyre_width_nm, standard.flange_depth_nm
    if tyre is None or depth is None:
        raise TreadError(
            "This standard prints no tyre width or flange depth: type the drawing's own.", field="tyre_width"
        )
    return with_own_form(
        ProfileFigures(
            tread_diameter_nm=tread_diameter_nm,
            tyre_width_nm=tyre,
            flange_width_nm=flange,
            flange_depth_nm=depth,
            root_radius_nm=root_radius_nm,
            cone=standard.tread_taper or USUAL_CONE,
            edge_break_nm=tyre // _EDGE_SHARE if standard.edge_break_nm is None else standard.edge_break_nm,
        ),
        standard,
    )


def with_own_form(figures: ProfileFigures, standard: WheelStandard) -> ProfileFigures:
    """The figures with the flange's tip and lean as the standard prints them; unchanged where it prints none."""
    tip, lean = standard.flange_tip_radius_nm, standard.flange_face_deg
    return replace(
        figures,
        flange_tip_radius_nm=figures.flange_tip_radius_nm if tip is None else tip,
        flange_face_deg=figures.flange_face_deg if lean is None else lean,
    )


def profile(figures: ProfileFigures, unit: Unit = Unit.MM) -> Profile:
    """The closed outline of a tyre's section, smooth wherever it should be, with the sizes for its drawing.

    Formula: flange face through (flange width, tread level), tread through the gauge point at 1 in N; the root arc's
    centre is a root radius from both; the tip arcs touch back face, flange top and flange face.
    Parameters: `figures`, nm (see ProfileFigures); `unit`, shown first in a refusal.
    Returns: parts in order back face, back of flange tip, flange top, front of flange tip, flange face, root radius,
    tread, edge chamfer or edge radius, front face, cut; a part that comes out with no length is left out.
    Raises: TreadError, its field named as in ProfileFigures without `_nm`.
    Source: geometry; where diameter, width and depth are measured is common practice, no source.

    >>> made = profile(ProfileFigures(127_000_000, 12_827_000, 3_175_000, 3_556_000, 1_841_500, edge_break_nm=600_000))
    >>> [one.name for one in made.segments][3:6], made.gauge_point
    (['flange face', 'root radius', 'tread'], Point(along_mm=8.001, radius_mm=63.5))
    """
    _check_sizes(figures)
    check_angles(figures.cone, figures.flange_face_deg)
    maker = _Maker(figures, unit)
    parts = maker.parts()
    kept = tuple(part for part in parts if part.length_mm > NOTHING_MM)
    return Profile(figures, kept, maker.point(maker.gauge, 0.0), maker.dimensions(parts))


class _Maker:
    """Places the parts; x in mm from the back face, y in mm from the level of the tread diameter."""

    def __init__(self, figures: ProfileFigures, unit: Unit) -> None:
        self.figures, self.unit = figures, unit
        self.tread_radius = figures.tread_diameter_nm / 2 / NM_PER_MM
        self.width = figures.tyre_width_nm / NM_PER_MM
        self.flange = figures.flange_width_nm / NM_PER_MM
        self.depth = figures.flange_depth_nm / NM_PER_MM
        self.root = figures.root_radius_nm / NM_PER_MM
        self.edge = figures.edge_break_nm / NM_PER_MM
        self.slope = 0.0 if figures.cone is None else 1 / figures.cone
        self.lean, self.fall = math.radians(figures.flange_face_deg), math.atan(self.slope)
        self.gauge = (self.flange + self.width) / 2

    def point(self, x: float, y: float) -> Point:
        return Point(x, self.tread_radius + y)

    def tread_y(self, x: float) -> float:
        return (self.gauge - x) * self.slope

    def parts(self) -> tuple[Segment, ...]:
        root = self._root()
        back, front = self._tip(root)
        edge = self._edge()
        if root.end.along_mm > self.gauge or edge.start.along_mm < self.gauge:
            raise TreadError(
                "The flange, its root and the broken edge leave no tread between them: "
                f"a tyre of {show(self.figures.tyre_width_nm, self.unit)} is too narrow for them.",
                field="tyre_width",
            )
        foot = self._foot(edge)
        left, right = self.point(0.0, foot), self.point(self.width, foot)
        return (
            Line("back face", left, back.start),
            back,
            Line("flange top", back.end, front.start),
            front,
            Line("flange face", front.end, root.start),
            root,
            Line("tread", root.end, edge.start),
            edge,
            Line("front face", edge.end, right),
            Line("cut", right, left),
        )

    def _root(self) -> Arc:
        """Touches the flange face and the tread from the air's side: n.(centre - point) = R for both."""
        # Flange face normal (cos lean, sin lean) through (flange, 0); tread normal (sin fall, cos fall).
        a, b = math.cos(self.lean), math.sin(self.lean)
        c, d = math.sin(self.fall), math.cos(self.fall)
        first, second = self.root + a * self.flange, self.root + c * self.gauge
        below = a * d - b * c
        centre = self.point((first * d - b * second) / below, (a * second - first * c) / below)
        lean, fall = self.figures.flange_face_deg, math.degrees(self.fall)
        return Arc("root radius", centre, self.root, 180.0 + lean, 270.0 - fall)

    def _tip(self, root: Arc) -> tuple[Arc, Arc]:
        sine, cosine = math.sin(self.lean), math.cos(self.lean)
        room = self.depth - (root.start.radius_mm - self.tread_radius)
        if room <= 0:
            raise TreadError(
                f"A root radius of {show(self.figures.root_radius_nm, self.unit)} is too large for a flange "
                f"{show(self.figures.flange_depth_nm, self.unit)} deep: it would run off the flange's top.",
                field="root_radius",
            )
        full = (self.flange * cosine - self.depth * sine) / (1 + cosine - sine)
        if full <= 0:
            raise TreadError(
                "The flange leans so far that it has no top left: make it wider or less deep.",
                field="flange_width",
            )
        asked = self.figures.flange_tip_radius_nm
        # A tip asked for may be larger at the front than at the back, which then takes what is left of the top.
        most = (self.flange * cosine - self.depth * sine) / (1 - sine)
        largest = min(full if asked is None else most, room / (1 - sine))
        radius = largest if asked is None else asked / NM_PER_MM
        if radius > largest + NOTHING_MM:
            raise TreadError(
                f"A tip radius of {show(asked or 0, self.unit)} does not fit this flange: "
                f"{show(math.floor(largest * NM_PER_MM), self.unit)} is the largest.",
                field="flange_tip_radius",
            )
        y = self.depth - radius
        front_x = self.flange - (radius + y * sine) / cosine
        behind = max(0.0, min(radius, front_x))
        back = Arc("back of flange tip", self.point(behind, self.depth - behind), behind, 180.0, 90.0)
        front = Arc("front of flange tip", self.point(front_x, y), radius, 90.0, self.figures.flange_face_deg)
        return back, front

    def _edge(self) -> Segment:
        """A chamfer of the edge break along the axle and down the face, or an arc of that radius."""
        if self.figures.edge_break is EdgeBreak.CHAMFER:
            start = self.point(self.width - self.edge, self.tread_y(self.width - self.edge))
            return Line("edge chamfer", start, self.point(self.width, self.tread_y(self.width) - self.edge))
        x = self.width - self.edge
        y = self.tread_y(x) - self.edge / math.cos(self.fall)
        return Arc("edge radius", self.point(x, y), self.edge, 90.0 - math.degrees(self.fall), 0.0)

    def _foot(self, edge: Segment) -> float:
        """The level of the cut: below the broken edge, above the axle's centre."""
        lowest = edge.end.radius_mm - self.tread_radius
        asked = self.figures.rim_depth_nm
        level = -asked / NM_PER_MM if asked is not None else min(2 * lowest, -self.flange)
        # A wheel too small for that shows what it has.
        if asked is None and level <= -self.tread_radius:
            level = (lowest - self.tread_radius) / 2
        if not -self.tread_radius < level < lowest:
            field = "edge_break" if asked is None else "rim_depth"
            raise TreadError(
                "The section must be cut off below the broken edge and above the axle's centre.", field=field
            )
        return level

    def dimensions(self, parts: tuple[Segment, ...]) -> tuple[Dimension, ...]:
        by_name = {part.name: part for part in parts}
        gauge, zero = self.point(self.gauge, 0.0), self.point(0.0, 0.0)
        tip, root = by_name["front of flange tip"], by_name["root radius"]
        assert isinstance(tip, Arc) and isinstance(root, Arc)
        top, figures = tip.start, self.figures
        edge = by_name.get("edge chamfer") or by_name["edge radius"]
        corner = Point(edge.start.along_mm, edge.end.radius_mm)
        tip_nm = round(tip.radius_mm * NM_PER_MM)
        foot = parts[0].start
        rows: list[tuple[str, int, Point, Point]] = [
            ("tread diameter", figures.tread_diameter_nm, Point(self.gauge, 0.0), gauge),
            ("tyre width", figures.tyre_width_nm, foot, Point(self.width, foot.radius_mm)),
            ("flange width", figures.flange_width_nm, zero, self.point(self.flange, 0.0)),
            ("flange depth", figures.flange_depth_nm, Point(top.along_mm, self.tread_radius), top),
            ("root radius", figures.root_radius_nm, root.centre, root.at(0.5)),
            ("flange tip radius", tip_nm, tip.centre, tip.at(0.5)),
            ("edge break", figures.edge_break_nm, corner, Point(self.width, corner.radius_mm)),
        ]
        return tuple(Dimension(*row) for row in rows)


def _check_sizes(figures: ProfileFigures) -> None:
    asked = {
        "tread_diameter": ("tread diameter", figures.tread_diameter_nm),
        "tyre_width": ("tyre width", figures.tyre_width_nm),
        "flange_width": ("flange width", figures.flange_width_nm),
        "flange_depth": ("flange depth", figures.flange_depth_nm),
        "root_radius": ("root radius", figures.root_radius_nm),
    }
    if figures.flange_tip_radius_nm is not None:
        asked["flange_tip_radius"] = ("flange tip radius", figures.flange_tip_radius_nm)
    for field, (words, nm) in asked.items():
        if nm <= 0:
            raise TreadError(f"The {words} must be more than nothing: type the drawing's own.", field=field)
    if figures.edge_break_nm < 0:
        raise TreadError(
            "The edge break cannot be below nothing: type one such as 0.5 mm.", field="edge_break"
        )
    if figures.flange_width_nm >= figures.tyre_width_nm:
        raise TreadError("The flange must be narrower than the tyre it stands on.", field="flange_width")
    if 2 * figures.flange_depth_nm >= figures.tread_diameter_nm:
        raise TreadError("The flange cannot be deeper than the tread's own radius.", field="flange_depth")
