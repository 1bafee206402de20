"""An axle from the side with what is on it, to scale: each thing hatched until it is there, a clean line from then on.

The wheels are cut through above the axle only, so that the things between them stand large.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from domain.assembly.going_on import Along, ThingKind
from webapp.drawing.parts import LINE, Measure, Text, apart, level, n, path, wide
from webapp.drawing.section import SectionTyre, tyre_outline

WIDTH: Final = 700.0
_SIDE: Final = 16.0
_TOP: Final = 36.0
_FOOT: Final = 82.0
# The numbers of the things stand in a row under them, this far apart at least.
_NUMBERS: Final = 22.0
_NUMBER: Final = 24.0
_TALLEST: Final = 240.0
# How far out a thing reaches, in radii of the axle, where nobody draws it: only so that one is told from another.
_REACH = {
    ThingKind.AXLEBOX: 2.0,
    ThingKind.ECCENTRIC: 2.5,
    ThingKind.GEAR: 2.8,
    ThingKind.PUMP_DRIVE: 2.3,
    ThingKind.SPACER: 1.35,
    ThingKind.OTHER: 1.8,
}
# A width that nobody said, as a share of the room between the shoulders.
_UNSAID: Final = 0.085
# Where the axle between its shoulders was not measured: larger than the seats, by a step that can be seen.
_STEP: Final = 1.15
_RIM_INSIDE: Final = 0.86
_SPOKE: Final = 0.35


@dataclass(frozen=True)
class EndDrawn:
    """One end of an axle and the wheel for it, nm; known: what was measured of it and may be drawn as it is."""

    seat_nm: int
    seat_known: bool
    seat_length_nm: int
    proud_nm: int
    # Between the wheels, and outside them; None where there is none, or none was measured.
    journal_nm: int | None
    outer_nm: int | None
    mark: str
    fixed: bool


@dataclass(frozen=True)
class WheelDrawn:
    """The sizes that every wheel of an axle has by the drawing, nm."""

    tread_nm: int
    flange_depth_nm: int
    flange_width_nm: int
    tyre_width_nm: int
    boss_nm: int
    boss_length_nm: int


@dataclass(frozen=True)
class ThingDrawn:
    """One thing of the list: its number there, what it is, where it sits, how wide, nm, and whether it is on."""

    number: int
    kind: ThingKind
    along: Along
    width_nm: int | None
    split: bool
    on: bool


@dataclass(frozen=True)
class ThingBlock:
    """A thing as it is drawn."""

    number: Text
    # From the thing down to its number.
    lead: str
    kind: str
    x: float
    y: float
    width: float
    height: float
    on: bool
    split: bool


@dataclass(frozen=True)
class Stroke:
    """A line of the axle or a wheel: a clean one where it is known or there."""

    d: str
    clean: bool


@dataclass(frozen=True)
class AxlePicture:
    """Everything the template draws; every number is final."""

    width: float
    view_box: str
    description: str
    axis: str
    axle: tuple[Stroke, ...]
    wheels: tuple[Stroke, ...]
    blocks: tuple[ThingBlock, ...]
    dimensions: tuple[Measure, ...]
    labels: tuple[Text, ...]
    left: float
    right: float
    centre_y: float


def axle_picture(
    over_nm: int,
    over_known: bool,
    ends: tuple[EndDrawn, EndDrawn],
    wheel: WheelDrawn,
    things: Sequence[ThingDrawn],
    words: tuple[str, str],
) -> AxlePicture:
    """Lay an axle out; `words` are those of the back to back and of the length over the shoulders."""
    return _Layout(over_nm, ends, wheel, things, words[0]).picture(over_known, words)


class _Layout:
    """Places in millimetres from the middle of the axle, and where they come to lie on the sheet."""

    def __init__(
        self,
        over_nm: int,
        ends: tuple[EndDrawn, EndDrawn],
        wheel: WheelDrawn,
        things: Sequence[ThingDrawn],
        over_words: str,
    ) -> None:
        self.half = max(over_nm, 1) / 2
        self.ends, self.wheel, self.things = ends, wheel, things
        reaches = [self.half + self._outward(end) for end in ends]
        self.body = max(end.journal_nm / 2 if end.journal_nm else end.seat_nm / 2 * _STEP for end in ends)
        self.radius = wheel.tread_nm / 2 + wheel.flange_depth_nm
        below = max((self._reach(one) for one in things), default=self.body)
        across = (WIDTH - 2 * _SIDE) / (2 * max(reaches))
        self.scale = min(across, _TALLEST / (self.radius + below))
        # Words that do not go between the rims stand over everything, in a row of their own.
        gap = (2 * self.half + sum(end.proud_nm for end in ends)) * self.scale
        self.over = wide(over_words) > gap - 16
        self.top = _TOP + (LINE + 4 if self.over else 0)
        self.centre = self.top + self.radius * self.scale
        self.below = self.centre + below * self.scale
        self.height = self.below + _FOOT

    def _outward(self, end: EndDrawn) -> float:
        """How far an end reaches out from its shoulder."""
        axle = end.seat_length_nm * (2 if end.outer_nm else 1)
        return max(axle, self.wheel.boss_length_nm, self.wheel.tyre_width_nm + end.proud_nm, 0)

    def _reach(self, thing: ThingDrawn) -> float:
        return min(_REACH[thing.kind] * self.body, self.wheel.tread_nm / 2 * _RIM_INSIDE)

    def x(self, nm: float) -> float:
        """A place along the axle."""
        return round(WIDTH / 2 + nm * self.scale, 1)

    def y(self, nm: float) -> float:
        """A height over the axle's middle."""
        return round(self.centre - nm * self.scale, 1)

    def _box(self, along: tuple[float, float], up: tuple[float, float]) -> str:
        (x1, x2), (y1, y2) = sorted(map(self.x, along)), sorted(map(self.y, up))
        return f"M{x1} {y1}H{x2}V{y2}H{x1}Z"

    def picture(self, over_known: bool, words: tuple[str, str]) -> AxlePicture:
        """The whole picture."""
        on = sum(thing.on for thing in self.things)
        marks = " and ".join(end.mark for end in self.ends if end.fixed)
        return AxlePicture(
            width=WIDTH,
            view_box=f"0 0 {WIDTH:g} {self.height:.0f}",
            description=f"The axle from the side, to scale: {marks or 'no wheel'} on it, and {on} of {len(self.things)}"
            " things of the list.",
            axis=f"M4 {self.y(0)}H{WIDTH - 4:g}",
            axle=tuple(self._axle(over_known)),
            wheels=tuple(stroke for way, end in self._each() for stroke in self._wheel(way, end)),
            blocks=tuple(self._blocks()),
            dimensions=self._dimensions(words),
            labels=tuple(
                Text(
                    self.x(way * (self.half + end.proud_nm + self.wheel.tyre_width_nm / 2)),
                    self.top - 10,
                    "middle",
                    (end.mark,),
                    "large",
                )
                for way, end in self._each()
            ),
            left=self.x(-self.half),
            right=self.x(self.half),
            centre_y=self.y(0),
        )

    def _each(self) -> Iterable[tuple[int, EndDrawn]]:
        return zip((-1, 1), self.ends, strict=True)

    def _axle(self, over_known: bool) -> Iterable[Stroke]:
        """The axle's parts, each by what was measured of it: between the shoulders, the seats, what is outside them."""
        journals = all(end.journal_nm for end in self.ends)
        yield Stroke(self._box((-self.half, self.half), (-self.body, self.body)), over_known and journals)
        for way, end in self._each():
            seat, out = end.seat_nm / 2, self.half + end.seat_length_nm
            yield Stroke(self._box((way * self.half, way * out), (-seat, seat)), end.seat_known)
            if end.outer_nm:
                outer, far = end.outer_nm / 2, out + end.seat_length_nm
                yield Stroke(self._box((way * out, way * far), (-outer, outer)), True)
            # The shoulder itself: it is what was measured over.
            shoulder = self.x(way * self.half)
            yield Stroke(f"M{shoulder} {self.y(self.body)}V{self.y(-self.body)}", over_known)

    def _wheel(self, way: int, end: EndDrawn) -> Iterable[Stroke]:
        """A wheel cut through above the axle: tyre with its flange, spoke, and boss."""
        size = self.wheel
        back = self.half + end.proud_nm
        tread, inside = size.tread_nm / 2, size.tread_nm / 2 * _RIM_INSIDE
        boss = size.boss_nm / 2
        tyre = SectionTyre(size.tyre_width_nm, size.flange_width_nm, size.flange_depth_nm, tread, inside)
        yield Stroke(
            tyre_outline(tyre, lambda along, out: (self.x(way * (back + along)), self.y(out))), end.fixed
        )
        middle, thick = back + size.tyre_width_nm / 2, size.tyre_width_nm * _SPOKE / 2
        yield Stroke(self._box((way * (middle - thick), way * (middle + thick)), (boss, inside)), end.fixed)
        yield Stroke(
            self._box((way * self.half, way * (self.half + size.boss_length_nm)), (end.seat_nm / 2, boss)),
            end.fixed,
        )

    def _blocks(self) -> Iterable[ThingBlock]:
        """The things with their numbers in a row under them."""
        placed = list(self._placed())
        middles = [self.x(at + width / 2) for _, at, width in placed]
        edge = 14.0
        row = apart(middles, _NUMBERS, self.x(-self.half) + edge, self.x(self.half) - edge)
        for (thing, at, width), middle, x in zip(placed, middles, row, strict=True):
            reach = self._reach(thing)
            yield ThingBlock(
                number=Text(n(x), n(self.below + _NUMBER), "middle", (f"{thing.number}",), "strong"),
                lead=path((middle, self.y(-reach)), (x, self.below + _NUMBER - 15)),
                kind=thing.kind.value,
                x=self.x(at),
                y=self.y(reach),
                width=round(width * self.scale, 1),
                height=round(2 * reach * self.scale, 1),
                on=thing.on,
                split=thing.split,
            )

    def _placed(self) -> Iterable[tuple[ThingDrawn, float, float]]:
        """The things, from each shoulder inwards, and those of the middle evenly in what is left; from where, how wide."""
        widths = self._widths()
        left, right = -self.half, self.half
        middle = []
        for thing, width in zip(self.things, widths, strict=True):
            if thing.along is Along.LEFT:
                yield thing, left, width
                left += width
            elif thing.along is Along.RIGHT:
                right -= width
                yield thing, right, width
            else:
                middle.append((thing, width))
        gap = max(0.0, right - left - sum(width for _, width in middle)) / (len(middle) + 1)
        at = left + gap
        for thing, width in middle:
            yield thing, at, width
            at += width + gap

    def _widths(self) -> list[float]:
        """Each as wide as was said; the others alike, and no wider than leaves room for all."""
        room = 2 * self.half
        rest = room - sum(thing.width_nm or 0 for thing in self.things)
        unsaid = sum(thing.width_nm is None for thing in self.things)
        share = min(_UNSAID * room, max(0.0, rest) / (unsaid + 1))
        return [share if thing.width_nm is None else float(thing.width_nm) for thing in self.things]

    def _dimensions(self, words: tuple[str, str]) -> tuple[Measure, ...]:
        """The back to back between the rims, and the length over the shoulders under the axle."""
        left, right = self.ends
        one, two = self.x(-self.half - left.proud_nm), self.x(self.half + right.proud_nm)
        foot, high = self.y(-self.body), self.top + 30
        back_to_back = level(high, one, two, words[0], None)
        if self.over:
            said = Text(n((one + two) / 2), LINE - 2, "middle", (words[0],))
            to = path((said.x, LINE + 4), (said.x, high))
            back_to_back = replace(back_to_back, out=to, text=said)
        return (
            back_to_back,
            level(self.height - 28, self.x(-self.half), self.x(self.half), words[1], (foot, foot), "under"),
        )
