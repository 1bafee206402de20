"""The worn profile over the drawn one at its new diameter: one scale both ways, the back face at the left."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from domain.lengths import NM_PER_MM
from domain.treads.profile import Line, Profile

WIDTH: Final = 880.0
_LEFT: Final = 40.0
_ROOM_ACROSS, _ROOM_DOWN = 520.0, 330.0
_HEAD: Final = 24.0
_POINTS: Final = 16


@dataclass(frozen=True)
class WornPicture:
    """Everything the template draws; every number is final."""

    view_box: str
    metal: str
    drawn: str
    worn: str
    # The two levels at the middle of the tread, and what lies between them.
    levels: str
    off: str
    text_x: float
    text_ys: tuple[float, float, float]
    key_worn: str
    key_drawn: str


def worn_picture(drawn: Profile, worn: Profile, hollow_nm: int) -> WornPicture:
    """Lay both out; `hollow_nm` is how deep the worn tread is hollow in its middle."""
    now = _points(worn, hollow_nm / NM_PER_MM)
    new = _points(drawn, 0.0)
    top = max(y for _, y in (*now, *new))
    foot = drawn.segments[0].start.radius_mm
    wide = drawn.figures.tyre_width_nm / NM_PER_MM
    scale = min(_ROOM_ACROSS / wide, _ROOM_DOWN / (top - foot))

    def path(points: Iterable[tuple[float, float]]) -> str:
        placed = [f"{_LEFT + x * scale:.1f} {_HEAD + (top - y) * scale:.1f}" for x, y in points]
        return f"M{' L'.join(placed)}"

    right, bottom = _LEFT + wide * scale, _HEAD + (top - foot) * scale
    levels = [_HEAD + (top - one.gauge_point.radius_mm) * scale for one in (worn, drawn)]
    start, mark = right + 12, right + 34
    # The worn outline ends where the drawn one is cut off.
    held = [(x, max(y, foot)) for x, y in now]
    # Beside the flange, above the tread, there is room.
    keys = _HEAD + 16, _HEAD + 52
    return WornPicture(
        view_box=f"0 0 {WIDTH:.0f} {bottom + 14:.0f}",
        metal=f"{path(new)} Z",
        drawn=path(new),
        worn=path(held),
        levels=" ".join(f"M{start:.1f} {y:.1f} h34" for y in levels),
        off=f"M{mark:.1f} {levels[0]:.1f} V{levels[1]:.1f}",
        text_x=round(mark + 26, 1),
        text_ys=(round(sum(levels) / 2 + 7, 1), *keys),
        key_worn=f"M{mark - 22:.1f} {keys[0] - 7:.1f} h38",
        key_drawn=f"M{mark - 22:.1f} {keys[1] - 7:.1f} h38",
    )


def _points(profile: Profile, hollow_mm: float) -> list[tuple[float, float]]:
    """The outline without its cut, along and from the axle's centre, mm; a hollow is deepest half way along the tread."""
    found: list[tuple[float, float]] = []
    for part in profile.segments:
        if part.name == "cut":
            continue
        hollow = hollow_mm if part.name == "tread" else 0.0
        many = 1 if isinstance(part, Line) and not hollow else _POINTS
        for step in range(many + 1):
            share = step / many
            point = part.at(share)
            found.append((point.along_mm, point.radius_mm - 4 * hollow * share * (1 - share)))
    return found
