"""Sizes at the reference temperature, and a look at whether a temperature is meant in Celsius."""

import math
from dataclasses import dataclass

from domain.lengths import Unit, show_offset
from domain.lengths.fine import fine
from domain.working import Working

REFERENCE_C = 20.0  # ISO 1
COLDEST_C, HOTTEST_C = -20.0, 60.0  # no workshop is colder or hotter: common practice, no source
MOST_ALPHA_PER_K = 200e-6  # beyond the softest plastics, so it is a slip of a power of ten


class ThermalError(ValueError):
    """A temperature or an expansion that cannot be taken; its text is one sentence for the page."""


@dataclass(frozen=True)
class Warmth:
    """A body's temperature, C, and the expansion of what it is made of, per kelvin."""

    celsius: float
    alpha_per_k: float


@dataclass(frozen=True)
class Corrected:
    """A size at 20 C and what was added to the indicated one to come to it, nm, with the working."""

    nm: int
    correction_nm: int
    working: Working


def ask_if_fahrenheit(celsius: float) -> str | None:
    """A sentence asking whether a temperature in a Celsius field was meant in Fahrenheit.

    Formula: C = (F - 32) / 1.8, worked out when the figure is above 60 or below -20

    Args:
        celsius: the temperature as typed, C; any finite figure.

    Returns:
        The sentence, or None when the figure is a workshop's temperature, -20 to 60 C.

    Raises:
        ThermalError: the figure is not finite.

    Source: the two scales, by definition; the range is common practice, no source.

    >>> ask_if_fahrenheit(68)
    'Is 68 meant in Fahrenheit? That would be 20.0 C: type the temperature in C, between -20 and 60.'
    >>> ask_if_fahrenheit(21.5) is None
    True
    """
    if not math.isfinite(celsius):
        raise ThermalError("The temperature is not a number: type it in C, such as 21.5.")
    if COLDEST_C <= celsius <= HOTTEST_C:
        return None
    would_be = (celsius - 32) / 1.8
    return (
        f"Is {celsius:g} meant in Fahrenheit? That would be {would_be:.1f} C: "
        f"type the temperature in C, between {COLDEST_C:g} and {HOTTEST_C:g}."
    )


def at_20_c(length_nm: int, work: Warmth) -> int:
    """The length at 20 C of a body whose length is known at its own temperature.

    Formula: L20 = L / (1 + alpha (t - 20)), to the nearest nanometre

    Args:
        length_nm: length at the body's temperature, nm, above 0.
        work: temperature, -20 to 60 C, and expansion, 0 to 200e-6 per kelvin.

    Returns:
        The length at 20 C, nm.

    Raises:
        ThermalError: the length, the temperature or the expansion is out of its range.

    Source: ISO 1 (20 C); linear thermal expansion.

    >>> at_20_c(25_000_000, Warmth(26, 10.5e-6)) - 25_000_000
    -1575
    """
    _check(length_nm, work)
    return round(length_nm / _growth(work))


def corrected_to_20_c(indicated_nm: int, work: Warmth, gauge: Warmth, unit: Unit) -> Corrected:
    """The size at 20 C of work measured with an instrument that is itself warm or cold.

    Formula: L20 = indicated (1 + alpha_gauge (t_gauge - 20)) / (1 + alpha_work (t_work - 20))

    At one temperature only the difference of the two expansions is left (to first order): steel on steel
    needs no correction.

    Args:
        indicated_nm: what the instrument shows, its zero offset taken off, nm, above 0.
        work: temperature, -20 to 60 C, and expansion, 0 to 200e-6 per kelvin, of the work.
        gauge: the same of the instrument.
        unit: the system the working is written in.

    Returns:
        The size and the correction added, nm, with the working.

    Raises:
        ThermalError: the size, a temperature or an expansion is out of its range.

    Source: ISO 1 (20 C); linear thermal expansion of work and scale.

    >>> corrected_to_20_c(25_000_000, Warmth(26, 10.5e-6), Warmth(20, 11.5e-6), Unit.MM).correction_nm
    -1575
    >>> corrected_to_20_c(25_000_000, Warmth(26, 10.5e-6), Warmth(26, 11.5e-6), Unit.MM).correction_nm
    150
    """
    _check(indicated_nm, work)
    _check(indicated_nm, gauge)
    size = round(indicated_nm * _growth(gauge) / _growth(work))
    numbers = (
        f"indicated {fine(indicated_nm, unit)}; gauge {gauge.celsius:g} C, {gauge.alpha_per_k:.3g} per K;"
        f" work {work.celsius:g} C, {work.alpha_per_k:.3g} per K"
    )
    working = Working(
        "size at 20 C",
        "L20 = indicated (1 + alpha_gauge (t_gauge - 20)) / (1 + alpha_work (t_work - 20))",
        numbers,
        f"{fine(size, unit)}, a correction of {show_offset(size - indicated_nm, unit)}",
        "ISO 1 (reference temperature 20 C); linear thermal expansion",
    )
    return Corrected(size, size - indicated_nm, working)


def _growth(body: Warmth) -> float:
    return 1 + body.alpha_per_k * (body.celsius - REFERENCE_C)


def _check(length_nm: int, body: Warmth) -> None:
    if length_nm <= 0:
        raise ThermalError("A size to be corrected must be above nothing: type one such as 25 mm.")
    question = ask_if_fahrenheit(body.celsius)
    if question:
        raise ThermalError(question)
    if not 0 <= body.alpha_per_k <= MOST_ALPHA_PER_K:
        raise ThermalError(
            "The expansion must be between 0 and 200 millionths per kelvin: type one such as 10.5 for grey iron."
        )
