"""How much of a measured interference is smoothed away, and what is left to grip.

Lengths are whole nanometres; an interference is on the diameter.
"""

import math
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any


@dataclass(frozen=True)
class Edition:
    """One edition of the smoothing rule: what share k of both roughnesses it takes off."""

    key: str
    name: str
    k: float
    source: str


@dataclass(frozen=True)
class Roughness:
    """The height of the roughness Rz of bore and seat, nm; zero where it is not known."""

    bore_rz_nm: int = 0
    seat_rz_nm: int = 0

    @property
    def known(self) -> bool:
        return self.bore_rz_nm > 0 or self.seat_rz_nm > 0


@cache
def _table() -> dict[str, Any]:
    text = files("domain").joinpath("tables", "roughness.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def editions() -> tuple[Edition, ...]:
    """Every edition of the smoothing rule in the table, in its order.

    Formula: none, the figures are read from tables/roughness.toml.
    Returns: editions, k without unit.
    Source: DIN 7190:2001 (k 0.8) and DIN 7190-1:2017 (k 0.4), both from memory, verify.

    >>> [(one.name, one.k) for one in editions()]
    [('DIN 7190:2001', 0.8), ('DIN 7190-1:2017', 0.4)]
    """
    return tuple(Edition(**row) for row in _table()["edition"])


def edition(key: str) -> Edition:
    """The edition of the smoothing rule with this key.

    Formula: none, the figures are read from tables/roughness.toml.
    key: one of the keys of editions(), such as "din-7190-1-2017".
    Returns: the edition, k without unit.
    Raises: ValueError when no edition has the key.
    Source: the edition's own `source`.

    >>> edition("din-7190-1-2017").k
    0.4
    """
    for one in editions():
        if one.key == key:
            return one
    known = ", ".join(one.key for one in editions())
    raise ValueError(f"No edition of the smoothing rule is called {key!r}; the table has {known}.")


DEFAULT_EDITION = edition(_table()["default"])


def smoothing_nm(rough: Roughness, rule: Edition = DEFAULT_EDITION) -> int:
    """How much of the interference goes in flattening the peaks of both surfaces.

    Formula: smoothing = k (RzA + RzI), up to the next whole nanometre
    rough: Rz of bore (RzA) and seat (RzI), nm, each 0 or more.
    rule: the edition whose k is taken.
    Returns: nm on the diameter.
    Raises: ValueError on a roughness below zero.
    Source: DIN 7190:2001 (k 0.8), DIN 7190-1:2017 (k 0.4), both from memory, verify.

    >>> smoothing_nm(Roughness(6_300, 6_300)), smoothing_nm(Roughness(6_300, 6_300), edition("din-7190-1-2017"))
    (10080, 5040)
    """
    for name, rz in (("bore", rough.bore_rz_nm), ("seat", rough.seat_rz_nm)):
        if rz < 0:
            raise ValueError(f"The roughness Rz of the {name} must be zero or more, such as 0.0063 mm.")
    # Exact: 0.8 has no exact float, and a nanometre too much would come of it.
    return math.ceil(Fraction(str(rule.k)) * (rough.bore_rz_nm + rough.seat_rz_nm))


def effective_interference_nm(
    interference_nm: int, rough: Roughness = Roughness(), rule: Edition = DEFAULT_EDITION
) -> int:
    """The interference left to grip once the peaks have flattened, never below zero.

    Formula: effective = max(0, delta - k (RzA + RzI))
    interference_nm: seat less bore as measured, delta, nm; below zero for a clearance.
    rough: Rz of bore and seat, nm, each 0 or more.
    rule: the edition whose k is taken.
    Returns: nm on the diameter, 0 or more.
    Raises: ValueError on a roughness below zero.
    Source: DIN 7190:2001 (k 0.8), DIN 7190-1:2017 (k 0.4), both from memory, verify.

    >>> effective_interference_nm(25_000, Roughness(6_300, 6_300))
    14920
    >>> effective_interference_nm(5_000, Roughness(6_300, 6_300))
    0
    """
    return max(0, interference_nm - smoothing_nm(rough, rule))
