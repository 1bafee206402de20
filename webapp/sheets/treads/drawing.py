"""A section through the tyre with its dimensions: one scale both ways, the back face at the left, the axle below."""

from dataclasses import dataclass
from typing import Final

from domain.lengths import NM_PER_MM, Unit, show_in, show_other
from domain.treads.profile import Arc, Line, Point, Profile, Segment
from webapp.drawing.parts import LINE, Measure, Text, leader, level, upright

WIDTH: Final = 700.0
_LEFT: Final = 150.0
_ROOM_ACROSS, _ROOM_DOWN = 340.0, 260.0
_ROW: Final = 28.0
_HEAD: Final = 22.0
# The bar that shows the scale: the longest of these that is no longer than a third of the tyre.
_BARS_NM: Final = {
    Unit.MM: (20_000_000, 10_000_000, 5_000_000, 2_000_000, 1_000_000, 500_000, 100_000),
    Unit.INCH: (12_700_000, 6_350_000, 3_175_000, 1_587_500, 793_750, 254_000, 25_400),
}


@dataclass(frozen=True)
class TyreSection:
    """Everything the template draws; every number is final."""

    width: float
    view_box: str
    metal: str
    outline: str
    cut: str
    gauge_mark: str
    measures: tuple[Measure, ...]
    faces: tuple[Text, ...]
    bar: str
    bar_text: Text


def tyre_section(profile: Profile, unit: Unit) -> TyreSection:
    """Lay out a profile that is closed and smooth; the systems shown stand one under the other."""
    return _Sheet(profile, unit).section()


class _Sheet:
    def __init__(self, profile: Profile, unit: Unit) -> None:
        self.profile, self.unit = profile, unit
        figures = profile.figures
        self.level = profile.gauge_point.radius_mm
        self.foot_mm = profile.segments[0].start.radius_mm - self.level
        self.width_mm = figures.tyre_width_nm / NM_PER_MM
        self.top_mm = figures.flange_depth_nm / NM_PER_MM
        self.scale = min(_ROOM_ACROSS / self.width_mm, _ROOM_DOWN / (self.top_mm - self.foot_mm))
        self.by_name = {one.name: one for one in profile.dimensions}
        self.right = _LEFT + self.width_mm * self.scale
        # Rows of words right of the flange, counted up from the tread; all of them above the flange's top at the last.
        above = max(self.top_mm * self.scale, 3.2 * _ROW)
        self.tread = _HEAD + above + 1.8 * _ROW
        self.rows = [self.tread - 1.1 * _ROW, self.tread - 2.1 * _ROW]
        self.rows.append(self.tread - max(3.1 * _ROW, self.top_mm * self.scale))
        self.rows.append(self.rows[2] - 1.2 * _ROW)
        self.foot = self.y(self.foot_mm)

    def x(self, along_mm: float) -> float:
        return round(_LEFT + along_mm * self.scale, 1)

    def y(self, above_mm: float) -> float:
        return round(self.tread - above_mm * self.scale, 1)

    def at(self, point: Point) -> tuple[float, float]:
        return self.x(point.along_mm), self.y(point.radius_mm - self.level)

    def section(self) -> TyreSection:
        outline = [one for one in self.profile.segments if one.name != "cut"]
        path = self._path(outline)
        gauge_x, gauge_y = self.at(self.profile.gauge_point)
        bar_nm = self._bar_nm()
        bar_y, bar_end = self.foot + 94, _LEFT + bar_nm / NM_PER_MM * self.scale
        return TyreSection(
            width=WIDTH,
            view_box=f"0 0 {WIDTH:.0f} {bar_y + 16:.0f}",
            metal=f"{path} Z",
            outline=path,
            cut=f"M{_LEFT:.1f} {self.foot:.1f} H{self.right:.1f}",
            gauge_mark=f"M{gauge_x - 9:.1f} {gauge_y:.1f} h18 M{gauge_x:.1f} {gauge_y - 9:.1f} v18",
            measures=(*self._straight(), *self._led()),
            faces=(
                Text(_LEFT - 14, self.foot + 22, "end", ("back",)),
                Text(self.right + 14, self.foot + 22, "start", ("front",)),
            ),
            bar=f"M{_LEFT:.1f} {bar_y - 6:.1f} v12 m0 -6 H{bar_end:.1f} m0 -6 v12",
            bar_text=Text(
                bar_end + 14, bar_y + 6, "start", (f"{show_in(bar_nm, self.unit)}, one scale both ways",)
            ),
        )

    def _path(self, parts: list[Segment]) -> str:
        x, y = self.at(parts[0].start)
        drawn = [f"M{x:.1f} {y:.1f}"]
        for part in parts:
            end = " ".join(f"{one:.1f}" for one in self.at(part.end))
            if isinstance(part, Arc):
                radius = round(part.radius_mm * self.scale, 2)
                drawn.append(f"A{radius} {radius} 0 0 {1 if part.clockwise else 0} {end}")
            else:
                assert isinstance(part, Line)
                drawn.append(f"L{end}")
        return " ".join(drawn)

    def _said(self, name: str, words: str) -> tuple[str, ...]:
        nm = self.by_name[name].nm
        own, other = show_in(nm, self.unit), show_other(nm, self.unit)
        return (words, own, f"({other})") if other else (words, own)

    def _straight(self) -> list[Measure]:
        """The sizes between two extension lines: tyre width, flange width and flange depth."""
        flange = self.x(self.by_name["flange width"].end.along_mm)
        top, aside = self.y(self.top_mm), _LEFT - 30
        wide = " ".join(self._said("tyre width", "tyre width"))
        thick = " ".join(self._said("flange width", "flange at the tread's level"))
        deep = Text(
            aside - 12, (self.tread + top) / 2 - LINE + 6, "end", self._said("flange depth", "flange height")
        )
        tip = self.x(self.by_name["flange depth"].end.along_mm)
        return [
            level(self.foot + 38, _LEFT, self.right, wide, (self.foot, self.foot), "under"),
            level(self.rows[3], _LEFT, flange, thick, (top, self.tread), "right"),
            upright(aside, self.tread, top, deep, (_LEFT, tip)),
        ]

    def _led(self) -> list[Measure]:
        """The sizes at the end of a leader: radii, edge break and the diameter at its gauge point."""
        gauge_x, gauge_y = self.at(self.profile.gauge_point)
        root = self._lead(self.by_name["root radius"].end, self.rows[1], "root radius", "root radius")
        tip = self._lead(
            self.by_name["flange tip radius"].end, self.rows[2], "flange tip radius", "tip radius"
        )
        said = " ".join(self._said("tread diameter", "tread diameter"))
        diameter = leader(
            Text(gauge_x + 14, self.rows[0] + 6, "start", (said,)),
            (gauge_x + 8, self.rows[0]),
            (gauge_x, self.rows[0]),
            (gauge_x, gauge_y - 3),
        )
        found = [root, tip, diameter]
        if self.profile.figures.edge_break_nm:
            corner_x, corner_y = self.at(self.by_name["edge break"].end)
            text = Text(self.right + 40, corner_y + 6, "start", self._said("edge break", "edge broken"))
            found.append(leader(text, (self.right + 34, corner_y), (corner_x + 2, corner_y)))
        return found

    def _lead(self, point: Point, row: float, name: str, words: str) -> Measure:
        x, y = self.at(point)
        flange = self.x(self.by_name["flange width"].end.along_mm)
        start = flange + 50
        text = Text(start + 12, row + 6, "start", (" ".join(self._said(name, words)),))
        return leader(text, (start + 6, row), (start, row), (x, y))

    def _bar_nm(self) -> int:
        third = self.profile.figures.tyre_width_nm / 3
        return next((one for one in _BARS_NM[self.unit] if one <= third), _BARS_NM[self.unit][-1])
