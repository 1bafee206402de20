"""Friction between a steel axle and an iron boss, by the way of fitting and the state of the surfaces."""

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from domain.joints.kinds import FitKind


@dataclass(frozen=True)
class Friction:
    """The least and the most that a coefficient of friction may be, without unit."""

    key: str
    words: str
    least: float
    most: float
    source: str

    def __post_init__(self) -> None:
        if not (math.isfinite(self.most) and 0 < self.least <= self.most):
            raise ValueError("Friction must run from least to most above zero, such as 0.11 to 0.12.")

    @property
    def middle(self) -> float:
        return (self.least + self.most) / 2


@cache
def frictions(kind: FitKind) -> tuple[Friction, ...]:
    """Every state of the surfaces that this way of fitting knows, in the table's order.

    Formula: none, the figures are read from tables/friction.toml.
    kind: press or shrink.
    Returns: least and most coefficient of each, without unit.
    Raises: ValueError for a bond, which holds by the compound's shear strength instead.
    Source: DIN 7190-1 (shrink); press from memory, verify.

    >>> [(one.key, one.least, one.most) for one in frictions(FitKind.SHRINK)]
    [('degreased', 0.16, 0.16), ('oiled', 0.1, 0.1)]
    """
    if kind is FitKind.BOND:
        raise ValueError("A bond holds by its compound, not by friction: choose press or shrink.")
    text = files("domain").joinpath("tables", "friction.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)[kind.value]
    return tuple(Friction(key, **row) for key, row in rows.items())


def friction(kind: FitKind, key: str) -> Friction:
    """The friction of one state of the surfaces.

    Formula: none, the figures are read from tables/friction.toml.
    kind: press or shrink.
    key: "dry" or "oiled" for press, "degreased" or "oiled" for shrink.
    Returns: least and most coefficient, without unit.
    Raises: ValueError for a bond, or when this way of fitting does not know the state.
    Source: DIN 7190-1 (shrink); press from memory, verify.

    >>> friction(FitKind.PRESS, "oiled").least
    0.05
    """
    for one in frictions(kind):
        if one.key == key:
            return one
    known = ", ".join(one.key for one in frictions(kind))
    raise ValueError(f"A {kind.words} knows no friction called {key!r}; the table has {known}.")
