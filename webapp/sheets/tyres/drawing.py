"""A tyre on the rim of its wheel centre, cut through along the axis, to scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

WIDTH: Final = 420.0
HEIGHT: Final = 230.0
_EDGE: Final = 16.0
_WORDS: Final = 150.0


@dataclass(frozen=True, slots=True)
class DrawnTyre:
    """The figures, nm; turned where the tread is ticked as turned."""

    tread_nm: int
    rough_nm: int
    inside_nm: int
    hole_nm: int
    tyre_nm: int
    flange_width_nm: int
    flange_depth_nm: int
    # N of 1 in N; None for a straight tread.
    cone: float | None
    on: bool
    turned: bool


@dataclass(frozen=True, slots=True)
class NamedPart:
    """A word beside what it names, and the line to it."""

    x: float
    y: float
    words: str
    line: str


@dataclass(frozen=True, slots=True)
class TyrePicture:
    """Everything the template needs; every number is final, in the units of the view box."""

    view_box: str
    description: str
    centre: str
    tyre: str
    # The tread that is still to be turned.
    to_come: str
    labels: tuple[NamedPart, ...]


def tyre_picture(drawn: DrawnTyre) -> TyrePicture:
    """Lay out the top of the wheel, back to the left; the tyre stands off its centre until it is on."""
    tall = (drawn.rough_nm - drawn.hole_nm) / 2
    scale = min((HEIGHT - 3 * _EDGE) / tall, (WIDTH - _WORDS - 2 * _EDGE) / drawn.tyre_nm)
    bottom, lift = HEIGHT - _EDGE, 0.0 if drawn.on else _EDGE

    def x(along_nm: float) -> float:
        return round(_EDGE + along_nm * scale, 2)

    def y(diameter_nm: float, off: float = 0.0) -> float:
        return round(bottom - (diameter_nm - drawn.hole_nm) / 2 * scale - off, 2)

    left, right, seat = x(0), x(drawn.tyre_nm), y(drawn.inside_nm, lift)
    top, flange = y(drawn.rough_nm, lift), x(drawn.flange_width_nm)
    # The tread's diameter is that of its middle.
    rise = (drawn.tyre_nm - drawn.flange_width_nm) / drawn.cone if drawn.cone else 0.0
    root, front = y(drawn.tread_nm + rise, lift), y(drawn.tread_nm - rise, lift)
    profile = f"M{left:g} {seat:g}V{top:g}H{flange:g}V{root:g}L{right:g} {front:g}V{seat:g}Z"
    ring = f"M{left:g} {seat:g}V{top:g}H{right:g}V{seat:g}Z"
    centre = f"M{left:g} {bottom:g}V{y(drawn.inside_nm):g}H{right:g}V{bottom:g}Z"
    beside = right + 26
    named = (
        ("tyre", round((root + seat) / 2, 2)),
        ("rim of the centre", round((y(drawn.inside_nm) + bottom) / 2, 2)),
    )
    state = "on its centre" if drawn.on else "over its centre, to be shrunk on"
    return TyrePicture(
        view_box=f"0 0 {WIDTH:g} {HEIGHT:g}",
        description=f"Section to scale, the flange at the back, to the left: the tyre {state}.",
        centre=centre,
        tyre=profile if drawn.turned else ring,
        to_come="" if drawn.turned else f"M{flange:g} {top:g}V{root:g}L{right:g} {front:g}",
        labels=tuple(
            NamedPart(beside, at + 5, words, f"M{right - 6:g} {at:g}H{beside - 6:g}") for words, at in named
        ),
    )
