"""Limits and fits: what a tolerance class allows, and which class a measured part falls in."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

from domain.lengths import NM_PER_MM, Unit, show

_NM_PER_UM = 1_000
_TABLE = Path(__file__).parents[1] / "tables" / "iso286.toml"


class LimitsError(ValueError):
    """A size, grade or class that the table does not hold; its text is one sentence for the page."""


@dataclass(frozen=True)
class LimitsOfSize:
    """The smallest and largest size allowed, nanometres, both included."""

    low_nm: int
    high_nm: int

    def contains(self, size_nm: int) -> bool:
        """Whether a size lies on or between the limits.

        >>> LimitsOfSize(25_000_000, 25_021_000).contains(25_021_000)
        True
        """
        return self.low_nm <= size_nm <= self.high_nm


def it_nm(nominal_nm: int, grade: int) -> int:
    """Width of a standard tolerance grade.

    T = table value of IT<grade> for the band over a, up to and including b, that holds the nominal size.

    Args:
        nominal_nm: nominal diameter, nm, over 3 mm up to and including 50 mm.
        grade: 5, 6, 7, 8 or 9.

    Returns:
        The width in nm.

    Raises:
        LimitsError: the size or the grade is not in the table.

    Source: ISO 286-1:2010.

    >>> it_nm(25_000_000, 7)
    21000
    """
    key = f"IT{grade}"
    values = _row(_tables().grades, nominal_nm)
    if key not in values:
        raise LimitsError(f"{key} is not in the limits table: the grades IT5 to IT9 are, such as IT7.")
    return values[key][0]


def hole_limits(nominal_nm: int, grade: int) -> LimitsOfSize:
    """Limits of a hole with the letter H, whose lower deviation is nothing.

    low = nominal, high = nominal + IT<grade>

    Args:
        nominal_nm: nominal diameter, nm, over 3 mm up to and including 50 mm.
        grade: 5, 6, 7, 8 or 9.

    Returns:
        The limits in nm.

    Raises:
        LimitsError: the size or the grade is not in the table.

    Source: ISO 286-1:2010 and ISO 286-2:2010.

    >>> hole_limits(25_000_000, 7)
    LimitsOfSize(low_nm=25000000, high_nm=25021000)
    """
    return LimitsOfSize(nominal_nm, nominal_nm + it_nm(nominal_nm, grade))


def shaft_limits(nominal_nm: int, shaft: str) -> LimitsOfSize:
    """Limits of a shaft of one tolerance class.

    low = nominal + ei, high = nominal + es

    Args:
        nominal_nm: nominal diameter, nm, over 3 mm up to and including 50 mm; for t6 over 24 mm.
        shaft: one of the shaft classes of class_names(), such as s6.

    Returns:
        The limits in nm.

    Raises:
        LimitsError: the size or the class is not in the table.

    Source: ISO 286-2:2010.

    >>> shaft_limits(25_000_000, "s6")
    LimitsOfSize(low_nm=25035000, high_nm=25048000)
    """
    known = shaft_names()
    if shaft not in known:
        raise LimitsError(f"{shaft[:12]} is not in the limits table: {', '.join(known)} are.")
    values = _row(_tables().shafts, nominal_nm)
    if shaft not in values:
        given = ", ".join(values)
        raise LimitsError(f"{shaft} is not given at {show(nominal_nm, Unit.MM)}: {given} are.")
    upper, lower = values[shaft]
    return LimitsOfSize(nominal_nm + lower, nominal_nm + upper)


def hole_class(nominal_nm: int, measured_nm: int) -> str | None:
    """The finest of H5 to H9 that a measured hole satisfies.

    The narrowest H class with nominal <= measured <= nominal + IT.

    Args:
        nominal_nm: nominal diameter, nm.
        measured_nm: measured diameter, nm.

    Returns:
        The class, or None when no H class holds the hole or the nominal is outside the table.

    Source: ISO 286-1:2010.

    >>> hole_class(25_000_000, 25_015_000), hole_class(25_000_000, 24_999_000)
    ('H7', None)
    """
    if not _covers(nominal_nm):
        return None
    for grade in hole_grades():
        if hole_limits(nominal_nm, grade).contains(measured_nm):
            return f"H{grade}"
    return None


def shaft_class(nominal_nm: int, measured_nm: int) -> str | None:
    """The shaft class that a measured shaft sits in best.

    Of the classes that hold the shaft, for neighbours overlap, the least |measured - (low + high)/2|; of two
    equally near, the narrower, then the looser. Choosing so is this program's own rule.

    Args:
        nominal_nm: nominal diameter, nm.
        measured_nm: measured diameter, nm.

    Returns:
        The class, or None when no class holds the shaft or the nominal is outside the table.

    Source: ISO 286-2:2010 for the limits.

    >>> shaft_class(25_000_000, 25_041_500), shaft_class(25_000_000, 24_970_000)
    ('s6', 'f7')
    """
    if not _covers(nominal_nm):
        return None
    best: tuple[int, int, int] | None = None
    name: str | None = None
    for shaft, (upper, lower) in _row(_tables().shafts, nominal_nm).items():
        low, high = nominal_nm + lower, nominal_nm + upper
        # Twice the distance from the middle keeps the sum in whole numbers.
        rank = (abs(2 * measured_nm - low - high), high - low, low)
        if low <= measured_nm <= high and (best is None or rank < best):
            best, name = rank, shaft
    return name


def hole_grades() -> tuple[int, ...]:
    """The tolerance grades of the table, finest first.

    >>> hole_grades()
    (5, 6, 7, 8, 9)
    """
    names = next(iter(_tables().grades.values()))
    return tuple(int(name.removeprefix("IT")) for name in names)


def shaft_names() -> tuple[str, ...]:
    """The shaft classes of the table, loosest first.

    >>> shaft_names()
    ('f7', 'g6', 'h6', 'k6', 'm6', 'n6', 'p6', 'r6', 's6', 't6', 'u6')
    """
    longest = max(_tables().shafts.values(), key=len)
    return tuple(longest)


def class_names() -> tuple[str, ...]:
    """Every class of the table: holes finest first, then shafts loosest first.

    >>> class_names()[:6]
    ('H5', 'H6', 'H7', 'H8', 'H9', 'f7')
    """
    return tuple(f"H{grade}" for grade in hole_grades()) + shaft_names()


def source() -> str:
    """The published documents the table is taken from, for the page to show.

    >>> "ISO 286-2:2010" in source()
    True
    """
    return _tables().source


# Band (over, up to and including), nm -> name -> values, nm.
_Bands = Mapping[tuple[int, int], Mapping[str, tuple[int, ...]]]


@dataclass(frozen=True)
class _Tables:
    source: str
    grades: _Bands
    shafts: _Bands


@cache
def _tables() -> _Tables:
    with _TABLE.open("rb") as file:
        raw = tomllib.load(file)
    return _Tables(raw["source"], _bands(raw["grades"]), _bands(raw["shafts"]))


def _bands(rows: list[dict[str, int | list[int]]]) -> _Bands:
    """The rows of one table with millimetres and micrometres turned into nanometres."""
    bands: dict[tuple[int, int], Mapping[str, tuple[int, ...]]] = {}
    for row in rows:
        columns = {name: value if isinstance(value, list) else [value] for name, value in row.items()}
        over, upto = columns.pop("over")[0] * NM_PER_MM, columns.pop("upto")[0] * NM_PER_MM
        bands[over, upto] = MappingProxyType(
            {name: tuple(um * _NM_PER_UM for um in values) for name, values in columns.items()}
        )
    return MappingProxyType(bands)


def _row(bands: _Bands, nominal_nm: int) -> Mapping[str, tuple[int, ...]]:
    for (over, upto), values in bands.items():
        if over < nominal_nm <= upto:
            return values
    over, upto = _span()
    raise LimitsError(
        f"{show(nominal_nm, Unit.MM)} is outside the limits table, which runs from "
        f"over {over // NM_PER_MM} mm up to and including {upto // NM_PER_MM} mm."
    )


def _covers(nominal_nm: int) -> bool:
    over, upto = _span()
    return over < nominal_nm <= upto


def _span() -> tuple[int, int]:
    bands = list(_tables().grades)
    return bands[0][0], bands[-1][1]
