"""Readings at the four quarters of a rough casting: how far one surface of it is out against another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.lengths import Unit, show, show_offset
from domain.truing.dial_readings import DialReading, fit_readings
from domain.working import Working

HOURS = (12, 3, 6, 9)
_SOURCE = "a circle fitted by least squares to four even spots; geometry"


@dataclass(frozen=True)
class FourSpots:
    """Half the swing that is due to the place of the surface, and what is left over: the casting's own shape, nm."""

    amplitude_nm: int
    shape_nm: int
    working: Working


def four_spots(readings_nm: Sequence[int], name: str, unit: Unit = Unit.MM) -> FourSpots:
    """How far a surface is out, from readings at 12, 3, 6 and 9 o'clock.

    Formula: sqrt(((R12 - R6) / 2)^2 + ((R3 - R9) / 2)^2), which the least squares circle comes to at four even spots
    Parameters: `readings_nm`, four, nm: a dial on the surface while the other one runs true, or the thickness between
    the two; which way they count does not matter; `name`, of the figure for its working; `unit`, for the words.
    Returns: the amplitude, nm, 0 or more: on an edge the eccentricity, on a face the wobble; and its working.
    Raises: DialReadingError, with the field reading_1 to reading_4, for a reading that no dial shows; ValueError unless
    there are four.
    Source: geometry of two circles; the fit is domain.truing.dial_readings.fit_readings.

    >>> four_spots([400_000, 300_000, 0, 0], "out").amplitude_nm
    250000
    """
    if len(readings_nm) != len(HOURS):
        raise ValueError("four readings are wanted")
    # Only the differences count, and callipers read the whole height: no dial would show that.
    least = min(readings_nm)
    spots = [DialReading(90.0 * place, nm - least) for place, nm in enumerate(readings_nm)]
    fit = fit_readings(spots, unit)
    amplitude = round(fit.amplitude_nm)
    twelve, three, six, nine = (show_offset(nm, unit) for nm in readings_nm)
    working = Working(
        name,
        "square root of ((R12 - R6) / 2)^2 + ((R3 - R9) / 2)^2",
        f"12 o'clock {twelve}, 3 o'clock {three}, 6 o'clock {six}, 9 o'clock {nine}",
        show(amplitude, unit),
        _SOURCE,
    )
    return FourSpots(amplitude, fit.out_of_round_nm or 0, working)
