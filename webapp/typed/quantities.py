"""Typed forces, pressures, temperatures, times and shares: strict, and refused in one sentence with an example."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

LONGEST = 40
_TYPED = re.compile(r"(?P<sign>[+-]?) ?(?P<figure>[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+) *(?P<unit>[^0-9.,+-].*)?")
# 1,234 may be a little over one or over a thousand.
_GROUPED = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_SAME = str.maketrans({"−": "-", "\u00a0": " ", "\u202f": " ", "\t": " ", "²": "2", "º": "°"})


class QuantityError(ValueError):
    """A typed figure that cannot be taken; its text is one sentence for the page."""


@dataclass(frozen=True)
class QuantityKind:
    """A kind of figure: what each unit is worth, what a bare number is in (none: a unit must be typed)."""

    words: str
    example: str
    units: dict[str, float] = field(hash=False)
    bare: str | None = ""
    signed: bool = False


# One kgf is 9.80665 N (standard gravity) and one pound 0.45359237 kg, both by definition.
_KGF = 9.80665
_LBF = 0.45359237 * _KGF
_PSI = _LBF / 25.4**2
_N = {"n": 1.0, "kn": 1000.0, "kgf": _KGF, "lbf": _LBF}
_MINUTES = {"min": 1.0, "minute": 1.0, "minutes": 1.0, "h": 60.0, "hour": 60.0, "hours": 60.0}

FORCE = QuantityKind("a force", "5000 N, 20 kN or 500 kgf", _N, bare=None)
LOAD = QuantityKind("a load", "25 kg, 55 lb or 250 N", _N | {"kg": _KGF, "lb": _LBF}, bare=None)
PRESSURE = QuantityKind(
    "a pressure", "5.5 bar, 80 psi or 0.55 MPa", {"bar": 0.1, "psi": _PSI, "kpa": 0.001, "mpa": 1.0}, None
)
STRESS = QuantityKind("a strength", "15 MPa or 2200 psi", {"mpa": 1.0, "n/mm2": 1.0, "psi": _PSI}, "mpa")
CELSIUS = QuantityKind("a temperature", "20 C", {"c": 1.0, "°c": 1.0, "deg c": 1.0}, "c", signed=True)
MINUTES = QuantityKind("a time", "60 min or 1 h", _MINUTES, "min")
HOURS = QuantityKind("a time", "24 h or 90 min", {unit: worth / 60 for unit, worth in _MINUTES.items()}, "h")
SHARE = QuantityKind("a share", "0.8 or 80 %", {"": 1.0, "%": 0.01}, "")
SLOPE = QuantityKind("an angle", "7.5 or -7.5", {"": 1.0, "°": 1.0, "deg": 1.0}, "", signed=True)
NUMBER = QuantityKind("a number", "2 or 1.5", {"": 1.0}, "")
# Grams and metres a second; the ounce, the pound and the mile by the 1959 international yard and pound agreement.
MASS = QuantityKind(
    "a mass", "150 g, 1.2 kg or 5 oz", {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}, None
)
SPEED = QuantityKind(
    "a speed",
    "8 km/h, 5 mph or 2.2 m/s",
    {"m/s": 1.0, "km/h": 1 / 3.6, "kph": 1 / 3.6, "mph": 0.44704},
    None,
)
# Metres; the foot, the yard and the mile by the 1959 agreement.
TRACK = QuantityKind(
    "a length of track",
    "300 m or 1000 ft",
    {"m": 1.0, "km": 1000.0, "ft": 0.3048, "feet": 0.3048, "yd": 0.9144, "mile": 1609.344, "miles": 1609.344},
    None,
)

_FAHRENHEIT = {"f", "°f", "deg f"}


def parse_quantity(text: str, kind: QuantityKind) -> float:
    """The figure typed, in the kind's own unit (N, MPa, C, minutes, hours, or none)."""
    typed = " ".join(text.translate(_SAME).split())
    said = f"“{text.strip()[:24]}”"
    if len(typed) > LONGEST:
        raise QuantityError(
            f"“{typed[:23]}…” is too long for {kind.words}: write one figure, such as {kind.example}."
        )
    found = _TYPED.fullmatch(typed)
    if found is None:
        raise QuantityError(f"{said} is not {kind.words}: write one figure, such as {kind.example}.")
    if _GROUPED.fullmatch(found["figure"]):
        raise QuantityError(
            f"{said} may be read in two ways: write it without a comma, such as {kind.example}."
        )
    unit = (found["unit"] or "").strip().lower()
    value = float(found["figure"].replace(",", "."))
    if kind is CELSIUS and unit in _FAHRENHEIT:
        signed = -value if found["sign"] == "-" else value
        raise QuantityError(f"{said} is in F: give it in C, which is {(signed - 32) / 1.8:.0f} C.")
    if found["sign"] and not kind.signed:
        raise QuantityError(f"{said} has a sign, but this figure has none: write it such as {kind.example}.")
    if not unit and kind.bare is None:
        raise QuantityError(f"{said} has no unit: write it too, such as {kind.example}.")
    unit = unit or kind.bare or ""
    if unit not in kind.units:
        raise QuantityError(f"{said} has a unit that is not known here: write it such as {kind.example}.")
    worth = value * kind.units[unit]
    return -worth if found["sign"] == "-" else worth
