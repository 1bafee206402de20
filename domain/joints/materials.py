"""The irons that wheels are cast in and the steel that axles are turned from."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any


@dataclass(frozen=True)
class Iron:
    """A grey iron; its stiffness and strength are ranges, because castings differ."""

    key: str
    name: str
    young_low_gpa: float
    young_high_gpa: float
    poisson: float
    tensile_low_mpa: float
    tensile_high_mpa: float
    alpha_per_k: float
    source: str


@dataclass(frozen=True)
class Steel:
    """An axle steel."""

    key: str
    name: str
    young_gpa: float
    poisson: float
    alpha_per_k: float
    source: str


@cache
def _table() -> dict[str, list[dict[str, Any]]]:
    text = files("domain").joinpath("tables", "materials.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def irons() -> tuple[Iron, ...]:
    """Every iron in the table, in the table's order.

    Formula: none, the figures are read from tables/materials.toml.
    Returns: irons with E in GPa, tensile strength in MPa, expansion per kelvin.
    Source: each iron's own `source`; figures marked there are from memory, verify.

    >>> [one.key for one in irons()]
    ['en-gjl-150', 'en-gjl-200', 'en-gjl-250', 'a48-20', 'a48-30']
    """
    return tuple(Iron(**row) for row in _table()["iron"])


def iron(key: str) -> Iron:
    """The iron with this key.

    Formula: none, the figures are read from tables/materials.toml.
    key: one of the keys of irons(), such as "en-gjl-250".
    Returns: the iron, with E in GPa, tensile strength in MPa, expansion per kelvin.
    Raises: ValueError when no iron has the key.
    Source: the iron's own `source`; figures marked there are from memory, verify.

    >>> iron("en-gjl-250").tensile_low_mpa
    250.0
    """
    for one in irons():
        if one.key == key:
            return one
    known = ", ".join(one.key for one in irons())
    raise ValueError(f"No iron is called {key!r}; the table has {known}.")


def steel(key: str) -> Steel:
    """The axle steel with this key.

    Formula: none, the figures are read from tables/materials.toml.
    key: "mild".
    Returns: the steel, with E in GPa and expansion per kelvin.
    Raises: ValueError when no steel has the key.
    Source: the steel's own `source`; figures marked there are from memory, verify.

    >>> steel("mild").young_gpa
    210.0
    """
    for row in _table()["steel"]:
        if row["key"] == key:
            return Steel(**row)
    known = ", ".join(str(row["key"]) for row in _table()["steel"])
    raise ValueError(f"No steel is called {key!r}; the table has {known}.")


MILD_STEEL = steel("mild")
