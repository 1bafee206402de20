"""The crankpin hole set out from the read-out's origin: bore, hole, throw with its dimension, and the two axes."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from domain.cranks.crankpins import HolePosition
from domain.lengths import Unit, show_in
from webapp.drawing.parts import (
    At,
    Measure,
    Sketched,
    Text,
    along,
    between,
    box,
    clearest,
    head,
    leader,
    n,
    path,
    round_about,
)

CENTRE: Final = 150.0
THROW: Final = 70.0
_LEAST: Final = 5.0
_MOST: Final = 54.0
_AXIS: Final = 134.0
# Words stand no further out than this; the picture is as large as what is in it.
_SIDE: Final = 90.0
_SHEET = (-_SIDE, -20.0, 2 * CENTRE + _SIDE, 2 * CENTRE + 20.0)
_PAST: Final = 26.0


@dataclass(frozen=True)
class CrankpinPicture:
    """Everything the template draws; every number is final. The wheel's own axes lie level and upright."""

    width: float
    view_box: str
    centre: float
    bore: float
    hole: float
    pin_x: float
    pin_y: float
    axes: str
    heads: str
    names: tuple[Text, Text]
    measures: tuple[Measure, ...]
    description: str


def crankpin_picture(position: HolePosition, nm: Mapping[str, int], unit: Unit) -> CrankpinPicture:
    """The hole as the face that is up is looked at, to the scale of its throw; sizes not known are drawn small."""
    angle = math.radians(position.angle_deg)

    def radius(key: str) -> float:
        return round(min(max(THROW * nm.get(key, 0) / (2 * position.throw_nm), _LEAST), _MOST), 1)

    middle, bore, hole = (CENTRE, CENTRE), radius("bore"), radius("hole")
    pin = n(CENTRE + THROW * math.cos(angle)), n(CENTRE - THROW * math.sin(angle))
    back = bore + 14
    across = (CENTRE - back, CENTRE), (CENTRE + _AXIS, CENTRE)
    upright = (CENTRE, CENTRE + back), (CENTRE, CENTRE - _AXIS)
    names = (
        Text(CENTRE + _AXIS + 6, CENTRE + 6, "start", ("X",), "soft"),
        Text(CENTRE + 10, CENTRE - _AXIS + 10, "start", ("Y",), "soft"),
    )
    keep = [
        *along(*across),
        *along(*upright),
        *round_about(middle, bore),
        *round_about(pin, hole),
        *along(middle, pin),
    ]
    for name in names:
        keep += _filled(name)
    measures: list[Measure] = []

    def put(found: list[Sketched]) -> None:
        """The clearest of these; what comes after it keeps clear of it too."""
        best = clearest(found, keep, [*names, *(one.text for one in measures)], _SHEET)
        measures.append(best)
        keep.extend(_filled(best.text))

    put(_throws(middle, pin, max(bore, hole), f"throw {show_in(position.throw_nm, unit)}"))
    away = position.angle_deg
    for at, size, outwards, key in ((middle, bore, away + 180, "bore"), (pin, hole, away, "hole")):
        if nm.get(key):
            put(_rounds(at, size, outwards, f"{key} {show_in(nm[key], unit)}"))
    far = [
        (at[0] + way * (size + 6), at[1] + way * (size + 6))
        for at, size in ((middle, back), (pin, hole))
        for way in (-1, 1)
    ]
    edges = [
        *far,
        *across,
        *upright,
        *(at for one in (*names, *(of.text for of in measures)) for at in _corners(one)),
    ]
    left, right = min(x for x, _ in edges) - 4, max(x for x, _ in edges) + 4
    top, foot = min(y for _, y in edges) - 6, max(y for _, y in edges) + 6
    return CrankpinPicture(
        width=round(right - left),
        view_box=f"{left:.0f} {top:.0f} {right - left:.0f} {foot - top:.0f}",
        centre=CENTRE,
        bore=bore,
        hole=hole,
        pin_x=pin[0],
        pin_y=pin[1],
        axes=path(*across) + path(*upright),
        heads=head(across[1], across[0]) + head(upright[1], upright[0]),
        names=names,
        measures=tuple(measures),
        description=f"The crankpin hole {position.angle_deg:.2f} degrees anticlockwise from the X axis.",
    )


def _corners(text: Text) -> list[At]:
    left, top, right, bottom = box(text)
    return [(left, top), (right, bottom)]


def _filled(text: Text) -> list[At]:
    """Places all over words, for others to keep clear of."""
    left, top, right, bottom = box(text)
    return [at for y in (top, (top + bottom) / 2, bottom) for at in along((left, y), (right, y))]


def _throws(middle: At, pin: At, past: float, words: str) -> list[Sketched]:
    """The dimension of the throw on either side of its line, its words beyond the line or beyond either end."""
    way = (pin[0] - middle[0]) / THROW, (pin[1] - middle[1]) / THROW
    found = []
    for far in (past + 22, past + 44):
        for aside in ((-way[1], way[0]), (way[1], -way[0])):
            one = middle[0] + aside[0] * far, middle[1] + aside[1] * far
            two = pin[0] + aside[0] * far, pin[1] + aside[1] * far
            line, heads = between(one, two)
            out = "".join(
                path(at, (at[0] + aside[0] * (far + 5), at[1] + aside[1] * (far + 5))) for at in (middle, pin)
            )
            through = along(middle, one, two, pin)
            for share in (0.5, 0.2, 0.8):
                x = one[0] + (two[0] - one[0]) * share + aside[0] * 10
                y = one[1] + (two[1] - one[1]) * share + aside[1] * 16 + 6
                anchor = "middle" if abs(aside[0]) < 0.3 else "start" if aside[0] > 0 else "end"
                found.append(Sketched(Measure(out, line, heads, Text(n(x), n(y), anchor, (words,))), through))
    return found


def _rounds(middle: At, radius: float, outwards_deg: float, words: str) -> list[Sketched]:
    """A leader to a hole from all round it, those first that come from where nothing else is drawn."""
    found = []
    for out in (_PAST, 2 * _PAST, 3 * _PAST):
        for aside in (40, -40, 60, -60, 20, -20, 80, -80, 100, -100):
            turn = outwards_deg + aside
            way = math.cos(math.radians(turn)), -math.sin(math.radians(turn))
            tip = middle[0] + way[0] * radius, middle[1] + way[1] * radius
            bend = middle[0] + way[0] * (radius + out), middle[1] + way[1] * (radius + out)
            side = 1 if way[0] > 0 else -1
            shelf = bend[0] + side * 8, bend[1]
            text = Text(n(shelf[0] + side * 5), n(bend[1] + 6), "start" if side > 0 else "end", (words,))
            found.append(Sketched(leader(text, shelf, bend, tip), along(shelf, bend, tip)))
    return found
