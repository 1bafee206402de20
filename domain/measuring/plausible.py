"""Whether a reading can be meant: what was typed beside what is expected, and what it may have been instead."""

import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from statistics import median_low

from domain.lengths import NM_PER_INCH, NM_PER_MM

_MOST_OFFERED = 2
_POINTS = tuple(Fraction(10) ** power for power in (1, 2))
_POINTS_LOST = tuple(Fraction(10) ** power for power in (3, 4, 5))
_FIGURE = re.compile(r"[0-9]*[.,]?[0-9]+")
_WHOLE_AND_PART = re.compile(r"(?:([0-9]+)[ -]+)?([0-9]+)/([0-9]+)")
# How far a reading corrected for its instrument may be from the figure typed, as a share of it.
_CORRECTED = Fraction(1, 50)


class SizeRead(StrEnum):
    """What is counted: lengths in nanometres, weights in milligrams."""

    LENGTH = "length"
    WEIGHT = "weight"


# What a figure may have been typed in, nm or mg to one: millimetre, inch, thou; gram, kilogram, pound, ounce.
_UNITS = {
    SizeRead.LENGTH: (Fraction(NM_PER_MM), Fraction(NM_PER_INCH), Fraction(NM_PER_INCH, 1000)),
    SizeRead.WEIGHT: (Fraction(1000), Fraction(10**6), Fraction("453592.37"), Fraction("28349.523125")),
}
# A casting is not larger than so many times the drawing: common practice, no source.
MOST_OF_CASTING = 5
# How far from the drawing a size may be before it is asked about, with metal still on, and finished: there is neither a
# fit nor a rough bore that is further from it. Common practice, no source.
_NEAR = Fraction(4, 5), Fraction(5, 4)
_FINISHED = Fraction(19, 20), Fraction(21, 20)
# How far apart readings of one thing may be: further is no taper and no ovality. Common practice, no source.
_ALIKE = Fraction(1, 100)


@dataclass(frozen=True)
class Expected:
    """What a reading of its kind should be about.

    name: as it is called, such as "bore". least, most: between them it is not asked about; nm or mg.
    figure: the drawing's figure, or what stands for one; None where there is none to name. whose: whose figure that is.
    why: why it must lie there, in a sentence, where that is not plain.
    """

    name: str
    least: int
    most: int
    figure: int | None = None
    whose: str = "the drawing's"
    measure: SizeRead = SizeRead.LENGTH
    # As cast or cut down from that: what is many times the figure is no casting for this wheel.
    of_casting: bool = False
    why: str = ""


@dataclass(frozen=True)
class ReadingDoubt:
    """A reading that can hardly be meant: its value, what is expected, and what it may have been; nm or mg."""

    value: int
    text: str
    expected: Expected
    others: tuple[int, ...]

    @property
    def impossible(self) -> bool:
        """Whether it cannot be at all, whatever is said: a casting MOST_OF_CASTING times as large as its wheel is drawn."""
        figure = self.expected.figure
        return self.expected.of_casting and figure is not None and self.value > MOST_OF_CASTING * figure


def alike(one: ReadingDoubt, other: ReadingDoubt) -> bool:
    """Whether two doubted readings of one thing say much the same, so that neither is a slip beside the other.

    Formula: the smaller no less than 4/5 of the larger. Source: common practice, no source.
    """
    small, large = sorted((one.value, other.value))
    return small > 0 and small >= large * _NEAR[0]


def near(name: str, drawn: int, *, least: Fraction = _NEAR[0], most: Fraction = _NEAR[1]) -> Expected:
    """What is expected of a size that should be as drawn, or with metal still on.

    Formula: from drawn x least to drawn x most
    Parameters: `drawn`, above 0, nm or mg; `least`, `most`, without them 4/5 and 5/4.
    Source: common practice, no source.

    >>> near("bore", 20_000_000).least, near("bore", 20_000_000).most
    (16000000, 25000000)
    """
    return Expected(name, math.floor(drawn * least), math.ceil(drawn * most), drawn)


def only_decimals(decimals: int, thousands: int, expected: Expected) -> bool:
    """Whether a figure with a comma and three digits after it can only have been meant with decimals.

    Formula: so read it lies between least and most, and as thousands it does not.
    Parameters: `decimals`, `thousands`, what it is either way, nm or mg.
    Source: common practice, no source.

    >>> only_decimals(28_044_000, 28_044_000_000, near("seat", 28_000_000))
    True
    >>> only_decimals(1_905_000, 1_905_000_000, near("seat", 28_000_000))
    False
    """
    return expected.least <= decimals <= expected.most and not expected.least <= thousands <= expected.most


# How far from the others a reading may stand before it is asked about: so much, and so many times what they differ by
# among themselves. Taper and a bell mouth come to less: common practice, no source.
_BESIDE_NM, _BESIDE_TIMES = NM_PER_MM // 20, 4
_FEWEST_BESIDE = 2


def beside_fellows(name: str, value: int, others: Sequence[int]) -> Expected | None:
    """What a reading should be beside the others of the same thing, where it stands far from all of them; else None.

    Formula: farther from the nearest than 0.05 mm, and than 4 times what the others differ by; of one other it cannot be
    told which of the two is the odd one.
    Parameters: `name`, of what they are; `value` and `others`, nm.
    Source: common practice, no source.

    >>> odd = beside_fellows("bore", 27_890_000, [27_980_000, 27_980_000])
    >>> odd.figure, odd.whose
    (27980000, "its fellows' in the middle")
    >>> beside_fellows("bore", 28_020_000, [28_030_000, 28_030_000]) is None
    True
    """
    if len(others) < _FEWEST_BESIDE:
        return None
    low, high = min(others), max(others)
    room = max(_BESIDE_NM, _BESIDE_TIMES * (high - low))
    if low - room <= value <= high + room:
        return None
    return Expected(name, low - room, high + room, median_low(others), "its fellows' in the middle")


def finished(name: str, drawn: int) -> Expected:
    """What is expected of a size that is made to the drawing, and differs from it by hundredths.

    >>> finished("bore", 20_000_000).least, finished("bore", 20_000_000).most
    (19000000, 21000000)
    """
    return near(name, drawn, least=_FINISHED[0], most=_FINISHED[1])


def among(value: int, expected: Expected, readings: Sequence[int]) -> Expected:
    """What one of several readings of one thing should be: like the one that lies nearest to the drawing's figure.

    Formula: within 1/100 of that reading; one that is far from the drawing is held against the drawing.
    Source: common practice, no source.

    >>> among(147_000_000, finished("centre", 145_000_000), [145_010_000, 147_000_000]).most
    146460100
    """
    figure = expected.figure
    if figure is None or not expected.least <= value <= expected.most:
        return expected
    best = min(readings, key=lambda one: abs(one - figure))
    least, most = math.ceil(best * (1 - _ALIKE)), math.floor(best * (1 + _ALIKE))
    if least <= value <= most:
        return expected
    return Expected(expected.name, least, most, best, "another reading", expected.measure)


def doubt_of(value: int, text: str, expected: Expected) -> ReadingDoubt | None:
    """Why a reading is asked about before it is stored; None where it may well be meant.

    Formula: asked about outside least to most; it may have been meant in another unit than it was typed in, with the
    point elsewhere or lost, or with one digit doubled, as far as that lies between least and most and is likelier
    than what was typed. The likeliest is offered, or up to two where no figure says which that is
    Parameters: `value`, nm or mg; `text`, as typed.
    Source: common practice, no source.

    >>> bore = near("bore", 19_050_000)
    >>> doubt_of(19_050, "0.75 thou", bore).others, doubt_of(19_060_000, "19.06", bore)
    ((19050000,), None)
    >>> doubt_of(1_473_200, "0.058 in", near("boss", 37_000_000)).others
    ()
    """
    if expected.least <= value <= expected.most:
        return None
    figure = _figure_of(text)
    slips = (*_other_units(value, figure, expected.measure), *_other_points(text), *_doubled(text, figure))
    meant = {round(value * slip) for slip in slips}
    found = sorted((one for one in meant if _likelier(one, value, expected)), key=_by_distance(expected))
    most = _MOST_OFFERED if expected.figure is None else 1
    return ReadingDoubt(value, text, expected, tuple(found[:most]))


def _figure_of(text: str) -> Fraction | None:
    """The plain figure that was typed, whatever its unit; None where the text begins with none."""
    plain = text.strip().lstrip("+-").strip()
    fraction = _WHOLE_AND_PART.match(plain)
    if fraction is not None and int(fraction[3]):
        return int(fraction[1] or 0) + Fraction(int(fraction[2]), int(fraction[3]))
    found = _FIGURE.match(plain)
    return Fraction(found[0].replace(",", ".")) if found else None


def _other_units(value: int, figure: Fraction | None, measure: SizeRead) -> Iterator[Fraction]:
    """What the value is multiplied by, were the figure in another unit; in which it was is seen by its value."""
    typed_in = _UNITS[measure]
    if figure:
        worth = abs(value) / figure
        typed_in = tuple(one for one in typed_in if abs(worth - one) <= one * _CORRECTED)
    yield from (other / one for one in typed_in for other in _UNITS[measure] if other != one)


def _other_points(text: str) -> Iterator[Fraction]:
    """The point one or two places off; or forgotten altogether."""
    if "/" in text:
        return
    yield from _POINTS
    yield from (1 / one for one in _POINTS)
    if not any(mark in text for mark in ".,"):
        yield from (1 / one for one in _POINTS_LOST)


def _doubled(text: str, figure: Fraction | None) -> Iterator[Fraction]:
    """One digit typed twice."""
    typed = _FIGURE.match(text.strip())
    if not figure or typed is None or "/" in text:
        return
    digits = typed[0].replace(",", ".")
    for at in range(1, len(digits)):
        if digits[at] == digits[at - 1]:
            yield Fraction(digits[:at] + digits[at + 1 :]) / figure


def _likelier(other: int, value: int, expected: Expected) -> bool:
    """Whether a size may well be meant, and lies nearer to the figure than what was typed, as a length and as a share."""
    if other == 0 or not expected.least <= other <= expected.most:
        return False
    figure = expected.figure
    if figure is None or figure <= 0:
        return True
    nearer = abs(other - figure) < abs(value - figure)
    return nearer and (value <= 0 or _share(other, figure) < _share(value, figure))


def _by_distance(expected: Expected) -> Callable[[int], tuple[Fraction, int]]:
    """The likeliest first; without a figure the smaller first."""
    figure = expected.figure
    return lambda one: (_share(one, figure) if figure and one > 0 else Fraction(0), one)


def _share(one: int, figure: int) -> Fraction:
    return Fraction(max(one, figure), min(one, figure))
