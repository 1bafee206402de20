"""Wheel standards as published, and as a build uses them: with the drawing's own figures where those are others."""

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import cache
from pathlib import Path
from typing import Any

from domain.errors import TradeError
from domain.lengths import Unit, parse_length, show

_TABLE = Path(__file__).parents[1] / "tables" / "wheel_standards.toml"
# Nearer than this two figures are one, written in the two systems.
_SAME_NM = 1_000
_CHANGED = ("back_to_back", "tyre_width", "flange_width", "flange_depth", "root_radius")


class TreadError(TradeError):
    """A figure that no tread, tyre or wheel set can have, or a standard there is none of."""


@dataclass(frozen=True)
class Figure:
    """One published figure, nanometres: the size printed, and the limits printed with it.

    A limit that the document does not print is None. Where it prints limits only, nm is the one limit
    printed, or the lower of two.
    """

    nm: int
    low_nm: int | None
    high_nm: int | None

    @property
    def limited(self) -> bool:
        """Whether a limit is printed with it."""
        return (self.low_nm, self.high_nm) != (None, None)

    def words(self, first: Unit) -> str:
        """The figure in words, in both systems, the given one first.

        >>> Figure(6_000_000, 6_000_000, None).words(Unit.MM)
        'at least 6.000 mm (0.2362 in)'
        """
        if self.low_nm is not None and self.high_nm is not None:
            return f"{show(self.low_nm, first)} to {show(self.high_nm, first)}"
        if self.low_nm is not None:
            return f"at least {show(self.low_nm, first)}"
        if self.high_nm is not None:
            return f"at most {show(self.high_nm, first)}"
        return f"{show(self.nm, first)} for reference"


@dataclass(frozen=True)
class TrackFigures:
    """What a document prints of the track beside its wheels, nm: no wheel is judged by it."""

    gauge: Figure
    check_gauge: Figure
    over_check_rails: Figure
    flangeway: Figure


@dataclass(frozen=True)
class WheelStandard:
    """One row of a published standard for wheels; what the document does not print is None.

    back_and_flange: back to back and one flange together. tread_taper is the run for a rise of 1 in the tread's cone: 20
    means 1 in 20. unit is the document's own. Lengths without limits are nm, angles degrees.
    """

    key: str
    name: str
    unit: Unit
    gauge_nm: int
    back_to_back: Figure
    tyre_width: Figure | None
    flange_depth: Figure | None
    flange_width: Figure | None
    root_radius: Figure | None
    wheel_gauge: Figure | None
    back_and_flange: Figure | None
    tread_taper: float | None
    source: str
    note: str
    hub_proud: Figure | None = None
    flange_tip_radius_nm: int | None = None
    edge_break_nm: int | None = None
    flange_face_deg: float | None = None
    track: TrackFigures | None = None

    @property
    def back_to_back_nm(self) -> int:
        """The back to back printed (for a document of limits, its minimum), nm."""
        return self.back_to_back.nm

    @property
    def tyre_width_nm(self) -> int | None:
        """The tyre width printed (for a document of limits, its minimum), nm."""
        return _nm(self.tyre_width)

    @property
    def flange_width_nm(self) -> int | None:
        """The flange width printed (for a document of limits, its maximum), nm."""
        return _nm(self.flange_width)

    @property
    def flange_depth_nm(self) -> int | None:
        """The flange depth printed (for a document of limits, its maximum), nm."""
        return _nm(self.flange_depth)

    @property
    def root_radius_nm(self) -> int | None:
        """The least root radius printed, nm."""
        return _nm(self.root_radius)


def _nm(figure: Figure | None) -> int | None:
    return None if figure is None else figure.nm


@cache
def presets() -> tuple[WheelStandard, ...]:
    """Every published row that a build can start from, in the table's order.

    Source: named in each row (IBLS Wheel Standard, NMRA S-4.2, British club practice to be verified with the club, Gauge
    One standard dimensions).

    >>> [row.key for row in presets()][:3]
    ['ibls-3.5', 'ibls-4.75', 'ibls-5']
    """
    with _TABLE.open("rb") as file:
        rows = tomllib.load(file)["standards"]
    return tuple(_standard(row) for row in rows)


def preset(key: str) -> WheelStandard:
    """One published row by its key.

    Raises: TreadError, there is no such row.

    Source: named in the row.

    >>> preset("ibls-5").back_to_back.words(Unit.INCH)
    '4.6870 in (119.050 mm) to 4.7070 in (119.558 mm)'
    """
    for row in presets():
        if row.key == key:
            return row
    known = ", ".join(row.key for row in presets())
    raise TreadError(f"“{key[:24]}” is no gauge preset: choose one of {known}.")


def _standard(row: dict[str, Any]) -> WheelStandard:
    unit = Unit(row["unit"])

    def figure(name: str, of: dict[str, Any] = row) -> Figure:
        return _figure(of[name], unit)

    def maybe(name: str) -> Figure | None:
        return figure(name) if name in row else None

    def length(name: str) -> int | None:
        return parse_length(row[name], unit).nm if name in row else None

    track = row.get("track")
    return WheelStandard(
        key=row["key"],
        name=row["name"],
        unit=unit,
        gauge_nm=parse_length(row["gauge"], unit).nm,
        back_to_back=figure("back_to_back"),
        tyre_width=maybe("tyre_width"),
        flange_depth=maybe("flange_depth"),
        flange_width=maybe("flange_width"),
        root_radius=maybe("root_radius"),
        wheel_gauge=maybe("wheel_gauge"),
        back_and_flange=maybe("back_and_flange"),
        tread_taper=_taper(row),
        source=row["source"],
        note=row.get("note", ""),
        hub_proud=maybe("hub_proud"),
        flange_tip_radius_nm=length("flange_tip_radius"),
        edge_break_nm=length("edge_break"),
        flange_face_deg=row.get("flange_face_deg"),
        track=None
        if track is None
        else TrackFigures(**{one.name: figure(one.name, track) for one in fields(TrackFigures)}),
    )


def _taper(row: dict[str, Any]) -> float | None:
    """The cone as a run for a rise of 1; a document may print its angle."""
    if "cone_deg" in row:
        return 1 / math.tan(math.radians(row["cone_deg"]))
    return row.get("tread_taper")


def _figure(printed: dict[str, str], unit: Unit) -> Figure:
    """A figure of the table: a size with or without deviations, or limits only."""
    nm = {name: parse_length(text, unit).nm for name, text in printed.items()}
    if "size" not in nm:
        low, high = nm.get("min"), nm.get("max")
        return Figure(nm["max"] if low is None else low, low, high)
    size = nm["size"]
    low = size - nm["minus"] if "minus" in nm else None
    high = size + nm["plus"] if "plus" in nm else None
    return Figure(size, low, high)


def as_drawn(standard: WheelStandard, drawn: Mapping[str, int]) -> WheelStandard:
    """The standard as this build uses it: the drawing's own sizes with the deviations the document prints.

    Formula: a size drawn inside the printed limits leaves those limits as they are; one outside them, and every one on
    another track gauge, keeps the deviations only: low = drawn + (low - printed), high = drawn + (high - printed); on
    another gauge the printed wheel gauge, back to back and flange together, tip,
    edge and track say nothing and are left out.
    Parameters: `standard`, the published row; `drawn`, the drawing's figures by key, nm, those it has: `gauge`,
    `back_to_back`, `tyre_width`, `flange_width`, `flange_depth`, `root_radius`.
    Returns: the row to judge by, its source saying where it is the drawing's own; the very row where nothing differs.
    A figure that the document does not print stays without limits.
    Source: the deviations are the standard's own; that the track owner's figures rule is common practice, no source.

    >>> own = as_drawn(preset("ibls-5"), {"flange_width": 3_300_000, "tyre_width": 13_000_000})
    >>> own.flange_width.high_nm, own.tyre_width == preset("ibls-5").tyre_width
    (3300000, True)
    """
    gauge, elsewhere = drawn.get("gauge", standard.gauge_nm), other_track(standard, drawn)
    changed: dict[str, Any] = {}
    for key in _CHANGED:
        printed: Figure | None = getattr(standard, key)
        if printed is not None and key in drawn and _differs(printed, drawn[key], elsewhere):
            changed[key] = _moved(printed, drawn[key])
    if elsewhere:
        changed |= {"wheel_gauge": None, "back_and_flange": None, "track": None}
        changed |= {"flange_tip_radius_nm": None, "edge_break_nm": None}
    if not changed:
        return standard
    source = f"the drawing's own figures with the deviations of {standard.source}"
    return replace(standard, gauge_nm=gauge if elsewhere else standard.gauge_nm, source=source, **changed)


def other_track(standard: WheelStandard, drawn: Mapping[str, int]) -> bool:
    """Whether the drawing's track gauge is another than the standard's."""
    return abs(drawn.get("gauge", standard.gauge_nm) - standard.gauge_nm) > _SAME_NM


def _differs(printed: Figure, nm: int, elsewhere: bool) -> bool:
    if elsewhere:
        return True
    under = printed.low_nm is not None and nm < printed.low_nm - _SAME_NM
    return under or (printed.high_nm is not None and nm > printed.high_nm + _SAME_NM)


def _moved(printed: Figure, nm: int) -> Figure:
    low = None if printed.low_nm is None else nm + printed.low_nm - printed.nm
    high = None if printed.high_nm is None else nm + printed.high_nm - printed.nm
    return Figure(nm, low, high)


def drawn_outside(standard: WheelStandard, drawn: Mapping[str, int]) -> tuple[tuple[str, int, Figure], ...]:
    """The drawing's figures outside the standard's own limits: key, size and limits, nm; none on another track gauge.

    >>> [key for key, _, _ in drawn_outside(preset("gauge-1"), {"flange_width": 1_800_000, "back_to_back": 40_200_000})]
    ['flange_width']
    """
    if other_track(standard, drawn):
        return ()
    printed: list[tuple[str, Figure | None]] = [
        (key, getattr(standard, key)) for key in _CHANGED if key in drawn
    ]
    return tuple((key, drawn[key], one) for key, one in printed if one and _differs(one, drawn[key], False))


def hub_proud_by(
    standard: WheelStandard, boss_nm: int, tyre_nm: int, back_nm: int
) -> tuple[tuple[str, int], ...]:
    """The faces, front or back, at which the drawn boss stands further out of the tyre than the standard lets it, nm.

    Formula: at the front boss - tyre - back. The document does not say which face it means, so both are looked at.

    >>> hub_proud_by(preset("gauge-1"), 7_000_000, 6_000_000, 0)
    (('front', 1000000),)
    """
    most = standard.hub_proud.high_nm if standard.hub_proud else None
    found = (("back", back_nm), ("front", boss_nm - tyre_nm - back_nm))
    return tuple((face, nm) for face, nm in found if most is not None and nm > most)
