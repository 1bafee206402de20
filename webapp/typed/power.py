"""A motor's power as its plate gives it: watts, kilowatts or horsepower, never metric horsepower unnoticed."""

from __future__ import annotations

import re
from fractions import Fraction

from webapp.typed.quantities import LONGEST, QuantityError, QuantityKind, parse_quantity

# One horsepower is 550 foot-pounds a second: 550 x 0.3048 x 0.45359237 x 9.80665 W, by definition.
_HP_W = 745.6998715822702
# 75 kgf metres a second, by definition.
_METRIC_HP_W = 735.49875
LEAST_W, MOST_W = 1, 1_000_000
POWER = QuantityKind("a power", "550 W, 0.75 kW or 3/4 hp", {"w": 1.0, "kw": 1000.0, "hp": _HP_W}, bare=None)
_METRIC = {"ps", "cv", "ch", "pk"}
_FRACTION = re.compile(
    r"(?:(?P<whole>[0-9]{1,4})(?: +|-))?(?P<top>[0-9]{1,3})/(?P<bottom>[0-9]{1,3}) *(?P<unit>\D*)"
)
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3"}


def read_power(text: str) -> float:
    """The power typed, in watts; raises QuantityError.

    >>> round(read_power("3/4 hp"), 1), read_power("0.75 kW")
    (559.3, 750.0)
    """
    typed = " ".join(text.split())
    said = f"“{typed[:24]}”"
    plain = _without_fraction(typed, said) if len(typed) <= LONGEST else typed
    unit = plain.lstrip("0123456789., ").lower().rstrip(". ")
    if unit in _METRIC or "metric" in unit:
        worth = f"one of them is {_METRIC_HP_W:.1f} W"
        raise QuantityError(f"{said} is in metric horsepower: {worth}, so type it in W.")
    watts = parse_quantity(plain, POWER)
    if not LEAST_W <= watts <= MOST_W:
        raise QuantityError(f"{said} is not likely for a motor: write it such as {POWER.example}.")
    return watts


def _without_fraction(typed: str, said: str) -> str:
    """A fraction such as 1 1/2 as a decimal, for that is how plates give horsepower."""
    for sign, fraction in _VULGAR.items():
        typed = typed.replace(sign, f" {fraction} ")
    found = _FRACTION.fullmatch(" ".join(typed.split()))
    if found is None:
        return typed
    if int(found["bottom"]) == 0:
        raise QuantityError(f"{said} is divided by nothing: write it such as {POWER.example}.")
    value = int(found["whole"] or 0) + Fraction(int(found["top"]), int(found["bottom"]))
    return f"{float(value):.9f} {found['unit'].strip()}"
