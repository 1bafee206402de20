"""Spots on the work in the chuck, and what the dial shows at them.

One convention everywhere. Stand at the tailstock and face the chuck, jaw 1 at the top: jaws 2, 3 and 4 follow
clockwise, and angles count clockwise from jaw 1. An angle belongs to a spot on the work, not to a place in
the air: the dial stays where it is, and the chuck is turned until that spot is under the plunger.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from domain.lengths import NM_PER_MM, Unit, show

JAWS: Mapping[int, float] = {1: 0.0, 2: 90.0, 3: 180.0, 4: 270.0}
LARGEST_NM = 25 * NM_PER_MM


class DialReadingError(ValueError):
    """Readings that cannot be used; its text is one sentence for the page, `field` says which box it is for.

    `field` is "readings", or "jaw_3", "angle_2", "reading_2" with the jaw's number or the place in the list from 1.
    """

    def __init__(self, sentence: str, field: str = "readings") -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True)
class DialReading:
    """What the dial shows, nm, with the spot at this angle under the plunger; degrees clockwise from jaw 1."""

    angle_deg: float
    nm: int


def direction(angle_deg: float) -> tuple[float, float]:
    """Cosine and sine of an angle, exact at the four jaws.

    Formula: cos phi, sin phi, with phi brought into 0 to 360 degrees.
    Parameters: `angle_deg`, degrees.
    Returns: two numbers from -1 to 1: how far along jaw 1, and along jaw 2.
    Source: by definition.

    >>> direction(450.0)
    (0.0, 1.0)
    """
    # A cosine of 90 degrees that is 6e-17 would ask for a hair's move on jaws that are right.
    square = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    turned = angle_deg % 360
    return square.get(turned) or (math.cos(math.radians(turned)), math.sin(math.radians(turned)))


def from_jaws(at_jaws: Mapping[int, int], unit: Unit = Unit.MM) -> tuple[DialReading, ...]:
    """The readings at the four jaws as readings at angles.

    Formula: jaw 1 at 0, 2 at 90, 3 at 180, 4 at 270 degrees, clockwise facing the chuck.
    Parameters: `at_jaws`, reading in nm for each jaw number 1 to 4; `unit`, for the sentences.
    Returns: four readings in the order of the jaws.
    Raises: DialReadingError for a jaw that does not exist, one without a reading, or a reading no dial shows.
    Source: by definition, the convention at the head of this file.

    >>> from_jaws({1: 0, 2: 10_000, 3: 40_000, 4: 20_000})[2]
    DialReading(angle_deg=180.0, nm=40000)
    """
    for jaw in at_jaws:
        if jaw not in JAWS:
            raise DialReadingError(
                f"There is no jaw {jaw}: number the jaws 1 to 4, clockwise as you face the chuck.",
                f"jaw_{jaw}",
            )
    for jaw in JAWS:
        if jaw not in at_jaws:
            raise DialReadingError(
                f"Jaw {jaw} has no reading: turn it under the plunger and type what the dial shows.",
                f"jaw_{jaw}",
            )
        check_size(at_jaws[jaw], f"jaw_{jaw}", unit)
    return tuple(DialReading(angle, at_jaws[jaw]) for jaw, angle in JAWS.items())


def spot_words(angle_deg: float) -> str:
    """Where a spot is, told from the jaws.

    Formula: whole degrees past the jaw before it.
    Parameters: `angle_deg`, degrees clockwise from jaw 1.
    Returns: words such as "jaw 2" or "30 degrees past jaw 2 towards jaw 3".
    Source: our own.

    >>> spot_words(120.2), spot_words(359.8), spot_words(300)
    ('30 degrees past jaw 2 towards jaw 3', 'jaw 1', '30 degrees past jaw 4 towards jaw 1')
    """
    whole = round(angle_deg) % 360
    jaw, past = whole // 90 + 1, whole % 90
    return f"{past} degrees past jaw {jaw} towards jaw {jaw % 4 + 1}" if past else f"jaw {jaw}"


def check_size(nm: int, field: str, unit: Unit) -> None:
    """Refuse a reading that no dial shows, with the field it was typed in.

    >>> check_size(0, "jaw_1", Unit.MM)
    """
    if abs(nm) > LARGEST_NM:
        raise DialReadingError(
            f"No dial shows {show(nm, unit)}: type what it shows, at most {show(LARGEST_NM, unit)}.", field
        )
