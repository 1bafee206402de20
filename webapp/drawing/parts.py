"""The parts of every picture: words, arrowheads, dimensions and leaders. A unit of a picture is a pixel of the sheet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

# The heights of words, and from line to line; static/drawing.css has the same two heights.
WORD: Final = 17.0
LARGE: Final = 24.0
LINE: Final = 21.0
_HEAD_LONG, _HEAD_HALF = 12.0, 3.0
_TAIL: Final = 16.0
# From a line to the words over it or beside it, and from an edge to where its extension line begins and ends.
OVER: Final = 6.0
BESIDE: Final = 8.0
# How far an arrow that points from outside reaches.
TAILED: Final = _HEAD_LONG + _TAIL
_BEYOND: Final = 5.0
# A generous mean of a letter's width, in heights, so that what is kept clear by it is clear in any usual face.
_LETTER: Final = 0.58

At = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Text:
    """Words at a place, a line below the other; `look` is empty, or strong, soft, large, red, green or link."""

    x: float
    y: float
    anchor: str
    lines: tuple[str, ...]
    look: str = ""


@dataclass(frozen=True, slots=True)
class Measure:
    """One dimension or leader: thin lines out to it, its own line, its arrowheads, and what it says."""

    out: str
    line: str
    heads: str
    text: Text


def wide(words: str, size: float = WORD) -> float:
    """How wide a line of words is at most, without asking a font."""
    return len(words) * size * _LETTER


def n(value: float) -> float:
    """A coordinate as it is written: to a tenth, and never as a nought below nothing."""
    rounded = round(value, 1)
    return 0.0 if rounded == 0 else rounded


def path(*points: At, closed: bool = False) -> str:
    """Straight lines from point to point."""
    return "M" + "L".join(f"{n(x):g} {n(y):g}" for x, y in points) + ("Z" if closed else "")


def box(text: Text) -> tuple[float, float, float, float]:
    """What words cover, generously: left, top, right, bottom."""
    size = LARGE if text.look == "large" else WORD
    long = max(wide(line, size) for line in text.lines)
    left = text.x - {"start": 0.0, "middle": long / 2, "end": long}[text.anchor]
    return left, text.y - size, left + long, text.y + (len(text.lines) - 1) * LINE + size / 3


def along(*points: At) -> list[At]:
    """Places close together along a line, for words to keep clear of."""
    found = [points[0]]
    for one, two in pairwise(points):
        steps = max(1, math.ceil(math.dist(one, two) / 3))
        found += [
            (one[0] + (two[0] - one[0]) * step / steps, one[1] + (two[1] - one[1]) * step / steps)
            for step in range(1, steps + 1)
        ]
    return found


def round_about(middle: At, radius: float) -> list[At]:
    """Places close together along a circle, for words to keep clear of."""
    steps = max(12, math.ceil(2 * radius))
    turns = (2 * math.pi * step / steps for step in range(steps))
    return [(middle[0] + radius * math.cos(turn), middle[1] + radius * math.sin(turn)) for turn in turns]


@dataclass(frozen=True, slots=True)
class Sketched:
    """One way to say something: how it is drawn, and the places that its own lines go through."""

    measure: Measure
    through: Sequence[At]


def clearest(
    found: Sequence[Sketched],
    keep: Sequence[At],
    said: Sequence[Text],
    within: tuple[float, float, float, float],
) -> Measure:
    """The first on the sheet whose words are clear of what is drawn, and its lines of words; else the nearest to it."""
    boxes = [box(text) for text in said]

    def hits(one: Sketched) -> int:
        left, top, right, bottom = box(one.measure.text)
        off = left < within[0] or top < within[1] or right > within[2] or bottom > within[3]
        on = sum(left - 2 < x < right + 2 and top - 2 < y < bottom + 2 for x, y in (*keep, *one.through))
        return 1000 * off + on + sum(a < x < c and b < y < d for x, y in one.through for a, b, c, d in boxes)

    return min(found, key=hits).measure


def apart(wanted: Sequence[float], gap: float, least: float, most: float) -> list[float]:
    """The heights nearest to those wanted, in their order, a gap apart or more, from least to most if there is room."""
    order = sorted(range(len(wanted)), key=lambda at: wanted[at])
    placed: list[float] = []
    for at in order:
        placed.append(max([wanted[at], least, *(one + gap for one in placed[-1:])]))
    for at in reversed(range(len(placed))):
        placed[at] = min([placed[at], most, *(one - gap for one in placed[at + 1 : at + 2])])
    found = dict(zip(order, placed, strict=True))
    return [found[at] for at in range(len(wanted))]


def head(tip: At, towards: At) -> str:
    """A slender filled arrowhead whose point is at the tip, flying on from where it comes."""
    angle = math.atan2(tip[1] - towards[1], tip[0] - towards[0])
    back = tip[0] - _HEAD_LONG * math.cos(angle), tip[1] - _HEAD_LONG * math.sin(angle)
    side = _HEAD_HALF * math.sin(angle), -_HEAD_HALF * math.cos(angle)
    return path(
        tip, (back[0] + side[0], back[1] + side[1]), (back[0] - side[0], back[1] - side[1]), closed=True
    )


def between(one: At, two: At) -> tuple[str, str]:
    """The line between two places with its heads: within, or pointing at them from outside where there is no room."""
    long = math.dist(one, two)
    if long >= 2 * _HEAD_LONG + 4:
        return path(one, two), head(one, two) + head(two, one)
    along = ((two[0] - one[0]) / long, (two[1] - one[1]) / long) if long else (1.0, 0.0)
    before = one[0] - along[0] * TAILED, one[1] - along[1] * TAILED
    after = two[0] + along[0] * TAILED, two[1] + along[1] * TAILED
    return path(before, one) + path(one, two) + path(two, after), head(one, before) + head(two, after)


def level(
    y: float, x1: float, x2: float, words: str, edges: tuple[float, float] | None, end: str = ""
) -> Measure:
    """A dimension lying level at y; its words over the middle, "under" it, or beyond its `end`, "left" or "right".

    `edges` are the heights of the two edges it measures from, None where its line stands between them as it is.
    """
    left, right = min(x1, x2), max(x1, x2)
    line, heads = between((left, y), (right, y))
    out = "" if edges is None else _out_to(y, tuple(zip((x1, x2), edges, strict=True)))
    tail = 0.0 if right - left >= 2 * _HEAD_LONG + 4 else TAILED
    if not end:
        text = Text(n((left + right) / 2), n(y - OVER), "middle", (words,))
    elif end == "under":
        text = Text(n((left + right) / 2), n(y + LINE + 1), "middle", (words,))
    elif end == "left":
        text = Text(n(left - tail - BESIDE), n(y + OVER), "end", (words,))
    else:
        text = Text(n(right + tail + BESIDE), n(y + OVER), "start", (words,))
    return Measure(out, line, heads, text)


def upright(x: float, y1: float, y2: float, text: Text, edges: tuple[float, float] | None = None) -> Measure:
    """A dimension standing upright at x; `edges` are the places of the two edges it measures from."""
    line, heads = between((x, min(y1, y2)), (x, max(y1, y2)))
    out = ""
    if edges is not None:
        for edge, y in zip(edges, (y1, y2), strict=True):
            way = 1 if x > edge else -1
            out += path((edge + way * 3, y), (x + way * _BEYOND, y))
    return Measure(out, line, heads, text)


def _out_to(y: float, edges: Sequence[At]) -> str:
    return "".join(
        path((x, edge + (3 if y > edge else -3)), (x, y + (_BEYOND if y > edge else -_BEYOND)))
        for x, edge in edges
    )


def leader(text: Text, *points: At) -> Measure:
    """From words to what they tell of; the arrow is at the last point."""
    return Measure("", path(*points), head(points[-1], points[-2]), text)
