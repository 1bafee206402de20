"""Instruments to begin a workshop's list with; each is there to be replaced by the one in the drawer."""

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from domain.lengths import Unit
from domain.measuring import iso286
from domain.measuring.instruments import Instrument, InstrumentError, InstrumentKind, Reach

_TABLE = Path(__file__).parents[1] / "tables" / "instruments.toml"


def starters(unit: Unit) -> tuple[Instrument, ...]:
    """Rule, caliper, micrometer and bore gauge with plausible figures, for a build in this system.

    Formula: none, the figures are read from tables/instruments.toml.

    Args:
        unit: the build's system; an inch build has steps in inches.

    Returns:
        Instruments, nm, each with a note saying whose figures these are.

    Source: from memory, verify; common practice, no source.

    >>> [one.name for one in starters(Unit.MM)]
    ['rule', 'caliper', 'micrometer', 'bore gauge']
    """
    rows = _table()["value"]
    return tuple(
        Instrument(
            InstrumentKind.VALUE,
            row["name"],
            reach=Reach(row["reach"]),
            note=_table()["note"],
            **row[unit.value],
        )
        for row in rows
    )


def starter_plugs(nominal_nm: int, class_name: str = "H7") -> Instrument:
    """Go and not-go plug gauges at the two limits of a hole.

    Formula: go = nominal, not-go = nominal + IT; a real plug is made a little inside or outside these (ISO 1938-1)

    Args:
        nominal_nm: nominal bore, nm, over 3 mm up to and including 50 mm.
        class_name: H5, H6, H7, H8 or H9.

    Returns:
        The plug gauges, nm, with a plausible uncertainty of the plugs' sizes.

    Raises:
        InstrumentError: the class is no hole class of the table, or the size is not in it.

    Source: ISO 286-2:2010 for the limits; the uncertainty is from memory, verify.

    >>> one = starter_plugs(25_000_000, "H7")
    >>> one.name, one.go_nm, one.not_go_nm
    ('plug gauges 25 mm H7', 25000000, 25021000)
    """
    known = [f"H{grade}" for grade in iso286.hole_grades()]
    if class_name not in known:
        raise InstrumentError(
            f"“{class_name[:12]}” is no hole class of the limits table: choose one of {', '.join(known)}."
        )
    try:
        limits = iso286.hole_limits(nominal_nm, int(class_name[1:]))
    except iso286.LimitsError as error:
        raise InstrumentError(str(error)) from error
    row = _table()["plug"]
    return Instrument(
        InstrumentKind.PLUG,
        f"{row['name']} {nominal_nm / 1_000_000:g} mm {class_name}",
        0,
        row["expanded_nm"],
        go_nm=limits.low_nm,
        not_go_nm=limits.high_nm,
        reach=Reach.INSIDE,
        note=_table()["note"],
    )


@cache
def _table() -> dict[str, Any]:
    with _TABLE.open("rb") as file:
        return tomllib.load(file)
