"""Whether a reading can be meant: what was typed beside what is expected, and what it may have been instead."""

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from domain.lengths import NM_PER_INCH

_SIXTEENTH_NM = NM_PER_INCH // 16
_MOST_OFFERED = 2
_GRAMS_PER_POUND = Fraction("453.59237")  # by definition


class SizeRead(StrEnum):
    """What is counted: lengths in nanometres, weights in milligrams."""

    LENGTH = "length"
    WEIGHT = "weight"


_UNITS = {
    # Millimetre for inch, a thousandth for either, and their ways back.
    SizeRead.LENGTH: (Fraction(254, 10), Fraction(1000), Fraction(254, 10_000)),
    # Gram for kilogram or pound, and their ways back.
    SizeRead.WEIGHT: (Fraction(1000), _GRAMS_PER_POUND),
}
_POINT = (Fraction(10), Fraction(100))
# How far from the drawing a size may be before it is asked about: common practice, no source.
_NEAR = Fraction(4, 5), Fraction(5, 4)


@dataclass(frozen=True)
class Expected:
    """What a reading of its kind should be about.

    name: as it is called, such as "bore". least, most: between them it is not asked about; nm or mg.
    figure: the drawing's figure, or what stands for one; None where there is none to name. whose: whose figure that is.
    """

    name: str
    least: int
    most: int
    figure: int | None = None
    whose: str = "the drawing's"
    measure: SizeRead = SizeRead.LENGTH


@dataclass(frozen=True)
class ReadingDoubt:
    """A reading that can hardly be meant: its value, what is expected, and what it may have been; nm or mg."""

    value: int
    text: str
    expected: Expected
    others: tuple[int, ...]


def near(name: str, drawn: int, *, least: Fraction = _NEAR[0], most: Fraction = _NEAR[1]) -> Expected:
    """What is expected of a size that should be as drawn, or with metal still on.

    Formula: from drawn x least to drawn x most
    Parameters: `drawn`, above 0, nm or mg; `least`, `most`, without them 4/5 and 5/4.
    Source: common practice, no source.

    >>> near("bore", 20_000_000).least, near("bore", 20_000_000).most
    (16000000, 25000000)
    """
    return Expected(name, math.floor(drawn * least), math.ceil(drawn * most), drawn)


def doubt_of(value: int, text: str, expected: Expected) -> ReadingDoubt | None:
    """Why a reading is asked about before it is stored; None where it may well be meant.

    Formula: asked about outside least to most; it may have been meant in another unit or with the point elsewhere, and
    an inch fraction as one of the two sixteenths next to the figure, as far as those lie between least and most
    Parameters: `value`, nm or mg; `text`, as typed.
    Source: common practice, no source.

    >>> bore = near("bore", 19_050_000)
    >>> doubt_of(19_050, "0.75 thou", bore).others, doubt_of(19_060_000, "19.06", bore)
    ((19050000,), None)
    >>> doubt_of(19_050_000, "3/4 in", near("bore", 30_000_000)).others
    (28575000, 30162500)
    """
    if expected.least <= value <= expected.most:
        return None
    factors = (*_UNITS[expected.measure], *_POINT)
    meant = [round(value * one) for factor in factors for one in (factor, 1 / factor)]
    found = [one for one in dict.fromkeys(meant) if _fits(one, expected)]
    if not found and "/" in text and expected.figure and expected.measure is SizeRead.LENGTH:
        below = expected.figure // _SIXTEENTH_NM * _SIXTEENTH_NM
        found = [one for one in (below, below + _SIXTEENTH_NM) if _fits(one, expected)]
    return ReadingDoubt(value, text, expected, tuple(found[:_MOST_OFFERED]))


def _fits(value: int, expected: Expected) -> bool:
    return value != 0 and expected.least <= value <= expected.most
