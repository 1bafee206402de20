"""The profile of a tread and its flange, as lines and arcs that run into one another, for drawing and turning."""

import math

from domain.lengths import NM_PER_MM, Unit, show
from domain.treads.profile_types import (
    DIAMETER_PLACE,
    NOTHING_MM,
    Arc,
    Dimension,
    EdgeBreak,
    Line,
    Point,
    Profile,
    ProfileFigures,
    Segment,
    TreadProfileError,
    check_angles,
)
from domain.treads.wheel_standard import WheelStandard

__all__ = [
    "DIAMETER_PLACE",
    "EdgeBreak",
    "Profile",
    "ProfileFigures",
    "TreadProfileError",
    "figures_of",
    "profile",
]

# A broken edge of a twentieth of the tyre's width: common practice, no source.
_EDGE_SHARE = 20


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
    Raises: TreadProfileError, field `flange_width` or `root_radius`, where neither standard nor caller gives it.
    Source: the standard's own; 1 in 20 where it is silent and the edge break are common practice, no source.

    >>> from domain.treads.wheel_standard import preset
    >>> figures_of(preset("ibls-5"), 127_000_000).root_radius_nm
    1841500
    """
    root = standard.root_radius
    flange = flange_width_nm if flange_width_nm is not None else standard.flange_width_nm
    if flange is None:
        raise TreadProfileError(
            "flange_width", "This standard prints no flange width: type the drawing's own."
        )
    if root_radius_nm is None and root is None:
        raise TreadProfileError("root_radius", "This standard prints no root radius: type the drawing's own.")
    if root_radius_nm is None and root is not None:
        root_radius_nm = root.nm if root.high_nm is None else (root.nm + root.high_nm) // 2
    assert root_radius_nm is not None
    return ProfileFigures(
        tread_diameter_nm,
        standard.tyre_width_nm,
        flange,
        standard.flange_depth_nm,
        root_radius_nm,
        float(standard.tread_taper or 20),
        standard.tyre_width_nm // _EDGE_SHARE,
    )


def profile(figures: ProfileFigures, unit: Unit = Unit.MM) -> Profile:
    """The closed outline of a tyre's section, smooth wherever it should be, with the sizes for its drawing.

    Formula: flange face through (flange width, tread level), tread through the gauge point at 1 in N; the root arc's
    centre is a root radius from both; the tip arcs touch back face, flange top and flange face.
    Parameters: `figures`, nm (see ProfileFigures); `unit`, shown first in the words.
    Returns: parts in order back face, back of flange tip, flange top, front of flange tip, flange face, root radius,
    tread, edge chamfer or edge radius, front face, cut; a part that comes out with no length is left out.
    Raises: TreadProfileError, its field named as in ProfileFigures without `_nm`.
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
            raise TreadProfileError(
                "tyre_width",
                "The flange, its root and the broken edge leave no tread between them: "
                f"a tyre of {show(self.figures.tyre_width_nm, self.unit)} is too narrow for them.",
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
            raise TreadProfileError(
                "root_radius",
                f"A root radius of {show(self.figures.root_radius_nm, self.unit)} is too large for a flange "
                f"{show(self.figures.flange_depth_nm, self.unit)} deep: it would run off the flange's top.",
            )
        full = (self.flange * cosine - self.depth * sine) / (1 + cosine - sine)
        if full <= 0:
            raise TreadProfileError(
                "flange_width", "The flange leans so far that it has no top left: make it wider or less deep."
            )
        largest = min(full, room / (1 - sine))
        asked = self.figures.flange_tip_radius_nm
        radius = largest if asked is None else asked / NM_PER_MM
        if radius > largest + NOTHING_MM:
            raise TreadProfileError(
                "flange_tip_radius",
                f"A tip radius of {show(asked or 0, self.unit)} does not fit this flange: "
                f"{show(math.floor(largest * NM_PER_MM), self.unit)} is the largest.",
            )
        y = self.depth - radius
        front_x = self.flange - (radius + y * sine) / cosine
        back = Arc("back of flange tip", self.point(radius, y), radius, 180.0, 90.0)
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
            raise TreadProfileError(
                field, "The section must be cut off below the broken edge and above the axle's centre."
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
        place = {"tread diameter": f", {DIAMETER_PLACE}"}
        return tuple(
            Dimension(name, nm, start, end, f"{name} {show(nm, self.unit)}{place.get(name, '')}")
            for name, nm, start, end in rows
        )


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
            raise TreadProfileError(field, f"The {words} must be more than nothing: type the drawing's own.")
    if figures.edge_break_nm < 0:
        raise TreadProfileError(
            "edge_break", "The edge break cannot be below nothing: type one such as 0.5 mm."
        )
    if figures.flange_width_nm >= figures.tyre_width_nm:
        raise TreadProfileError("flange_width", "The flange must be narrower than the tyre it stands on.")
    if 2 * figures.flange_depth_nm >= figures.tread_diameter_nm:
        raise TreadProfileError("flange_depth", "The flange cannot be deeper than the tread's own radius.")
