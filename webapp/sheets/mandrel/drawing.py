"""A wheel on its stub, cut through along the axis, to scale: chuck, stub, wheel, and the tailstock's barrel or centre."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from webapp.drawing.parts import At, n
from webapp.drawing.section import SectionTyre, turned_outline

Scale = Callable[[float], float]
WIDTH: Final = 420.0
HEIGHT: Final = 250.0
_AXIS: Final = HEIGHT / 2
_FACE: Final = 104.0
_HALF: Final = 108.0
_LONGEST: Final = 150.0
_JAW: Final = 34.0
_PAST: Final = 18.0
_CONE: Final = 40.0


@dataclass(frozen=True, slots=True)
class Drawn:
    """The wheel's figures in nm, the stub's size where it has one, and how the wheel sits."""

    tread_nm: int
    flange_depth_nm: int
    flange_width_nm: int
    tyre_nm: int
    boss_nm: int
    boss_length_nm: int
    stub_nm: int
    # The back, with the flange, towards the tailstock.
    back_out: bool
    on: bool
    centred: bool


@dataclass(frozen=True, slots=True)
class Block:
    """An upright rectangle."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class MandrelPicture:
    """Everything the template needs; every number is final, in the units of the view box."""

    width: float
    view_box: str
    description: str
    axis: str
    chuck: tuple[Block, ...]
    stub: Block
    wheel: tuple[str, ...]
    tailstock: str


def mandrel_picture(drawn: Drawn) -> MandrelPicture:
    """Lay out one view from the side; what a mistyped drawing says is held within the sheet."""
    across = drawn.tread_nm / 2 + drawn.flange_depth_nm
    scale = min(_HALF / across, _LONGEST / max(drawn.boss_length_nm, drawn.tyre_nm))

    def at(nm: float) -> float:
        return round(nm * scale, 2)

    half, end = at(drawn.stub_nm / 2), round(_FACE + at(drawn.boss_length_nm) + _PAST, 2)
    lies = "the running centre in its end" if drawn.centred else "the tailstock's barrel against the boss"
    return MandrelPicture(
        width=WIDTH,
        view_box=f"0 0 {WIDTH:g} {HEIGHT:g}",
        description=f"Side view, to scale: the {f'wheel on its stub, {lies}' if drawn.on else 'stub, bare'}.",
        axis=f"M6 {_AXIS:g}H{WIDTH - 6:g}",
        chuck=(
            Block(8, _AXIS - 74, 40, 148),
            Block(48, _AXIS - 52, _FACE - 48, _JAW),
            Block(48, _AXIS + 52 - _JAW, _FACE - 48, _JAW),
        ),
        stub=Block(48, round(_AXIS - half, 2), round(end - 48, 2), round(2 * half, 2)),
        wheel=_wheel(drawn, at) if drawn.on else (),
        tailstock=_tailstock(drawn, at, end) if drawn.on else "",
    )


def _wheel(drawn: Drawn, at: Scale) -> tuple[str, ...]:
    """Both halves of the wheel's section, boss and rim joined by a spoke, with the bore open."""
    tread = at(drawn.tread_nm / 2)
    boss, bore = at(drawn.boss_nm / 2), at(drawn.stub_nm / 2)
    inside = round(max(boss, tread - at(drawn.tyre_nm)), 2)
    length, tyre, thick = at(drawn.boss_length_nm), at(drawn.tyre_nm), at(drawn.flange_width_nm)
    rim = round((length - tyre) / 2, 2) if length > tyre else 0.0
    spoke = round(min(length, tyre) / 3, 2)

    def x(from_face: float) -> float:
        return n(_FACE + (length - from_face if drawn.back_out else from_face))

    rim_of = SectionTyre(tyre, thick, at(drawn.flange_depth_nm), tread, inside)
    middle = rim + tyre / 2

    def half(way: int) -> str:
        def place(along: float, out: float) -> At:
            return x(rim + along), _AXIS + way * out

        def to(*corners: At) -> str:
            return "L".join(f"{x(along):g} {n(_AXIS + way * out):g}" for along, out in corners)

        back, front = middle - spoke / 2, middle + spoke / 2
        before = to((0, bore), (0, boss), (back, boss), (back, inside), (rim, inside))
        after = to((rim + tyre, inside), (front, inside), (front, boss), (length, boss), (length, bore))
        return f"M{before}L{turned_outline(rim_of, place)[1:]}L{after}Z"

    return half(-1), half(1)


def _tailstock(drawn: Drawn, at: Scale, end: float) -> str:
    """The running centre in the end of the stub, or the barrel against the boss."""
    if drawn.centred:
        wide, back = 26.0, end + _CONE
        return (
            f"M{end:g} {_AXIS:g}L{back:g} {_AXIS - wide:g}H{WIDTH - 8:g}V{_AXIS + wide:g}H{back:g}Z"
            f"M{back:g} {_AXIS - wide:g}V{_AXIS + wide:g}"
        )
    front, wide = _FACE + at(drawn.boss_length_nm), max(at(drawn.boss_nm / 2) * 0.8, 20.0)
    return f"M{front:g} {_AXIS - wide:g}H{WIDTH - 8:g}V{_AXIS + wide:g}H{front:g}Z"
