"""What goes into the report on a bonded joint and what comes out of it."""

import tomllib
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any

from domain.joints.bond import DEFAULT_GAP, DEFAULT_SAFETY, GapFit, GapRange
from domain.joints.fit_types import Answer
from domain.working import Working


@dataclass(frozen=True)
class Reduction:
    """One thing that takes strength off a bond: factor above 0 and up to 1; a placeholder until typed over."""

    key: str
    words: str
    factor: float
    source: str
    placeholder: bool = False


@cache
def _table() -> dict[str, Any]:
    text = files("domain").joinpath("tables", "bond_reductions.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def placeholder_reductions() -> tuple[Reduction, ...]:
    """The reductions to begin with, each marked as a placeholder until the builder types the data sheet's own.

    Formula: none, the figures are read from tables/bond_reductions.toml.
    Returns: gap, material, temperature and ageing, factors without unit.
    Source: none; each reduction's own `source` says so.

    >>> [(one.key, one.placeholder) for one in placeholder_reductions()][:2]
    [('gap', True), ('material', True)]
    """
    return tuple(Reduction(**row, placeholder=True) for row in _table()["reduction"])


@dataclass(frozen=True)
class BondSheet:
    """A compound as its data sheet has it.

    shear_mpa: shear strength, MPa. gap: nm on the diameter. service_limit_c: hottest it serves, degrees C.
    safety: what the force is divided by, 1 or more. source: where the strength comes from.
    """

    shear_mpa: float
    gap: GapRange = DEFAULT_GAP
    reductions: tuple[Reduction, ...] = field(default_factory=placeholder_reductions)
    service_limit_c: float = _table()["service_limit_c"]
    safety: float = DEFAULT_SAFETY
    source: str = _table()["strength_source"]


@dataclass(frozen=True)
class BondedJoint:
    """A seat bonded in a boss: seat diameter and bonded length, nm; hottest it will run, degrees C."""

    seat_nm: int
    length_nm: int
    sheet: BondSheet
    hottest_c: float = 40.0


@dataclass(frozen=True)
class BondReport:
    """What the bond can be relied on for.

    gap_fit: of the gap as measured. shear_mpa: after every reduction, before safety, MPa. steps: each
    reduction with the strength left after it, MPa. force_n, torque_nm: N and N m after safety, at the gap as
    measured; zero where the bond does not serve. cannot_tell: the gap as measured serves, and only its
    uncertainty takes it to where nothing is claimed.
    """

    answer: Answer
    gap_fit: GapFit
    shear_mpa: float
    steps: tuple[tuple[Reduction, float], ...]
    force_n: float
    torque_nm: float
    reasons: tuple[str, ...]
    workings: tuple[Working, ...]
    cannot_tell: bool = False
