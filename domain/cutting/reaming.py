"""Before the reamer: the stock to leave for it and the drill to use below it."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from domain.lengths import NM_PER_INCH, Unit, show
from domain.working import Working


class ReamingError(ValueError):
    """A size or speed that cannot be reamed by; the message is one sentence."""


CAUTIONS = (
    "Keep the spindle slow: the same reamer opens a hole further when it is hurried"
    " (common practice, no source).",
    "Iron is reamed dry (Applied Science for Metal Workers, section 313); keep its dust off the bed and out of"
    " your lungs.",
    "Never turn a reamer backwards, and draw it out with the spindle stopped or still turning forwards"
    " (common practice, no source).",
    "A drill cuts over its own size too: measure what it left before the reamer goes in.",
    "Chuck key out, and a hand turn clear of the bed before the power.",
)


@dataclass(frozen=True)
class Drill:
    """A drill that is owned."""

    name: str
    nominal_nm: int


@dataclass(frozen=True)
class Stock:
    """What to leave for the reamer on the diameter, and the hole that leaves it; nm."""

    least_nm: int
    most_nm: int
    hole_low_nm: int
    hole_high_nm: int
    words: str
    working: Working


@dataclass(frozen=True)
class DrillChoice:
    """The drill to use below the reamer, what it leaves (nm), and whether that is no more than the most."""

    drill: Drill | None
    leaves_nm: int | None
    within: bool
    words: str


@cache
def table() -> dict[str, dict[str, Any]]:
    """The table of reaming, read once, as printed: inches and feet a minute, each beside its source.

    >>> table()["stock"]["from"]
    '0.090'
    """
    return tomllib.loads(files("domain").joinpath("tables", "reaming.toml").read_text(encoding="utf-8"))


def _nm(inches: str) -> int:
    return int(Fraction(inches) * NM_PER_INCH)


def stock_for(finished_nm: int, unit: Unit) -> Stock:
    """The stock to leave on the diameter for a machine reamer.

    Formula: by the row of the chart that the hole falls in; hole before = finished - stock.
    finished_nm: the finished bore, nm, from 0.090 to 2.500 in.
    unit: the system to show first.
    Returns: lengths in nm.
    Raises: ReamingError for a bore outside the chart.
    Source: a toolmaker's chart; US TM 1-420 leaves less, 0.005 to 0.010 in.

    >>> stock_for(19_050_000, Unit.INCH).words.partition(":")[0]
    'Leave 0.0100 in (0.254 mm) to 0.0160 in (0.406 mm) for the reamer'
    """
    rule = table()["stock"]
    row = next((row for row in rule["rows"] if finished_nm <= _nm(row["upto"])), None)
    if finished_nm < _nm(rule["from"]) or row is None:
        raise ReamingError(
            f"The chart of reamer stock goes from {rule['from']} to {rule['rows'][-1]['upto']} in,"
            f" and this bore is {show(finished_nm, unit)}: bore it instead."
        )
    least, most = _nm(row["least"]), _nm(row["most"])
    low, high = finished_nm - most, finished_nm - least
    words = (
        f"Leave {show(least, unit)} to {show(most, unit)} for the reamer:"
        f" a hole of {show(low, unit)} to {show(high, unit)}."
    )
    working = Working(
        "stock for the reamer",
        "hole before = finished bore - stock",
        f"{show(finished_nm, unit)} less {row['least']} to {row['most']} in",
        f"{show(low, unit)} to {show(high, unit)}",
        rule["source"],
    )
    return Stock(least, most, low, high, words, working)


def drill_below(finished_nm: int, drills: Sequence[Drill], unit: Unit) -> DrillChoice:
    """The drill to use below the reamer: the largest owned that leaves at least the least stock.

    Formula: largest drill <= finished - least stock.
    finished_nm: the finished bore, nm, from 0.090 to 2.500 in; drills: owned, nm, above 0, in any order.
    unit: the system to show first.
    Returns: the drill and what it leaves, nm; when that is more than the most, or there is none, what to do.
    Raises: ReamingError for a bore outside the chart or a drill not above zero.
    Source: stock_for; of two drills alike in size the one named first in order of names.

    >>> owned = [Drill("3/4 in", 19_050_000), Drill("18.75 mm", 18_750_000), Drill("18.5 mm", 18_500_000)]
    >>> drill_below(19_050_000, owned, Unit.MM).words
    'Drill 18.75 mm: it leaves 0.300 mm (0.0118 in) for the reamer.'
    """
    stock = stock_for(finished_nm, unit)
    for drill in drills:
        if drill.nominal_nm <= 0:
            raise ReamingError(f"The drill {drill.name} must be above zero, such as 18.5 mm.")
    fitting = [drill for drill in drills if drill.nominal_nm <= stock.hole_high_nm]
    if not fitting:
        why = "none of the drills owned leaves enough for the reamer" if drills else "no drill is listed"
        return DrillChoice(
            None, None, False, f"Bore it {_to(stock, unit)} with a boring bar before reaming: {why}."
        )
    drill = min(fitting, key=lambda one: (-one.nominal_nm, one.name))
    leaves = finished_nm - drill.nominal_nm
    if leaves <= stock.most_nm:
        return DrillChoice(
            drill, leaves, True, f"Drill {drill.name}: it leaves {show(leaves, unit)} for the reamer."
        )
    words = (
        f"Drill {drill.name}, then bore {_to(stock, unit)} before reaming: the drill leaves"
        f" {show(leaves, unit)}, more than the reamer should take."
    )
    return DrillChoice(drill, leaves, False, words)


def _to(stock: Stock, unit: Unit) -> str:
    return f"to between {show(stock.hole_low_nm, unit)} and {show(stock.hole_high_nm, unit)}"
