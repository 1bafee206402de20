"""A published wheel standard's limits put on the drawing's own figures, where the drawing has others."""

from collections.abc import Mapping
from dataclasses import replace

from domain.treads.wheel_standard import Figure, WheelStandard

# Nearer than this two figures are one, written in the two systems.
_SAME_NM = 1_000
_CHANGED = ("back_to_back", "tyre_width", "flange_width", "flange_depth", "root_radius")


def as_drawn(standard: WheelStandard, drawn: Mapping[str, int]) -> WheelStandard:
    """The standard as this build uses it: the drawing's own sizes with the deviations the document prints.

    Formula: a size drawn inside the printed limits leaves those limits as they are; one outside them, and every one on
    another track gauge, keeps the deviations only: low = drawn + (low - printed), high = drawn + (high - printed); on
    another gauge the printed wheel gauge and check gauge say nothing and are left out.
    Parameters: `standard`, the published row; `drawn`, the drawing's figures by key, nm, those it has: `gauge`,
    `back_to_back`, `tyre_width`, `flange_width`, `flange_depth`, `root_radius`.
    Returns: the row to judge by, its source saying where it is the drawing's own; the very row where nothing differs.
    A figure that the document does not print stays without limits.
    Source: the deviations are the standard's own; that the track owner's figures rule is common practice, no source.

    >>> from domain.treads.wheel_standard import preset
    >>> own = as_drawn(preset("ibls-5"), {"flange_width": 3_300_000, "tyre_width": 13_000_000})
    >>> own.flange_width.high_nm, own.tyre_width == preset("ibls-5").tyre_width
    (3300000, True)
    """
    gauge = drawn.get("gauge", standard.gauge_nm)
    other_track = abs(gauge - standard.gauge_nm) > _SAME_NM
    changed: dict[str, Figure | None] = {}
    for key in _CHANGED:
        printed: Figure | None = getattr(standard, key)
        if printed is not None and key in drawn and _differs(printed, drawn[key], other_track):
            changed[key] = _moved(printed, drawn[key])
    if other_track:
        changed |= {"wheel_gauge": None, "check_gauge": None}
    if not changed:
        return standard
    source = f"the drawing's own figures with the deviations of {standard.source}"
    return replace(standard, gauge_nm=gauge if other_track else standard.gauge_nm, source=source, **changed)  # type: ignore[arg-type]


def _differs(printed: Figure, nm: int, other_track: bool) -> bool:
    if other_track:
        return True
    under = printed.low_nm is not None and nm < printed.low_nm - _SAME_NM
    return under or (printed.high_nm is not None and nm > printed.high_nm + _SAME_NM)


def _moved(printed: Figure, nm: int) -> Figure:
    low = None if printed.low_nm is None else nm + printed.low_nm - printed.nm
    high = None if printed.high_nm is None else nm + printed.high_nm - printed.nm
    return Figure(nm, low, high)
