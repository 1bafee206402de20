"""Speeds and feeds for grey iron: how fast the edge may pass, how far it advances, what slows it."""

import math
import tomllib
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from domain.cutting.reaming import table as reaming_table
from domain.lengths import NM_PER_INCH

M_PER_FOOT = 0.3048  # exact: international yard and pound agreement, 1959


class CuttingError(ValueError):
    """A figure that cannot be cut by; its text is one sentence for the page, `field` the box it belongs to."""

    def __init__(self, words: str, field: str = "") -> None:
        super().__init__(words)
        self.field = field


class Tool(StrEnum):
    """What the cutting edge is made of."""

    HSS = "hss"
    CARBIDE = "carbide"

    @property
    def words(self) -> str:
        """The tool as it is said in the shop."""
        return "high-speed steel" if self is Tool.HSS else "carbide"


class CutKind(StrEnum):
    """How the metal is taken off."""

    FACE = "face"
    TURN = "turn"
    BORE = "bore"
    FORM = "form"
    DRILL = "drill"
    REAM = "ream"
    HAND = "hand"

    @property
    def single_edge(self) -> bool:
        """Whether one edge cuts, so that its force follows from a depth and a feed."""
        return self in (CutKind.FACE, CutKind.TURN, CutKind.BORE, CutKind.FORM)


@dataclass(frozen=True)
class CuttingSpeed:
    """The surface speed of a row of the table, before anything slows it, and who says so."""

    feet_a_minute: float
    metres_a_minute: float
    class_name: str
    source: str


@dataclass(frozen=True)
class Feed:
    """How far the edge advances in a turn, nm, and who says so."""

    nm: int
    source: str


@dataclass(frozen=True)
class Factors:
    """What the surface speed is multiplied by for rough going; settings, each from 0.1 to 1."""

    interrupted: float
    chilled: float
    form: float
    source: str = "as set; common practice, no source"

    def __post_init__(self) -> None:
        for name in ("interrupted", "chilled", "form"):
            value = getattr(self, name)
            if not math.isfinite(value) or not 0.1 <= value <= 1:
                raise CuttingError(
                    "A slowing factor must be from 0.1 to 1: type one such as 0.7.", f"{name}_factor"
                )


@cache
def cutting_table() -> dict[str, dict[str, Any]]:
    """The table of cutting, read once, as printed, each figure beside its source.

    >>> cutting_table()["force"]["rows"][0]["kc1"]
    1150.0
    """
    return tomllib.loads(files("domain").joinpath("tables", "cutting.toml").read_text(encoding="utf-8"))


@cache
def usual_factors() -> Factors:
    """The slowing factors that the table starts with.

    Formula: none, the figures are read from tables/cutting.toml.
    Returns: the factors, without unit.
    Source: common practice, no source.

    >>> usual_factors().chilled
    0.5
    """
    return Factors(**cutting_table()["factors"])


def iron_class(iron_key: str) -> str:
    """The handbook class that an iron is cut as.

    Formula: none, by least tensile strength; the slower row where an iron falls between two.
    Parameters: `iron_key`, a key of materials.irons().
    Returns: "class 20", "class 25" or "class 30 to 40" (no unit).
    Raises: CuttingError, field "iron", for an iron without a row.
    Source: our own matching, beside the rows of tables/reaming.toml.

    >>> iron_class("en-gjl-250")
    'class 30 to 40'
    """
    return str(_reaming_row(iron_key)["name"])


def cutting_speed(tool: Tool, kind: CutKind, iron_key: str) -> CuttingSpeed:
    """The surface speed for a tool, a kind of cut and an iron.

    Formula: the table's figure; carbide turns and drills so many times as fast as high-speed steel; a
    high-speed steel reamer half as fast as a drill; facing, boring and forming as turning.
    Parameters: `tool`; `kind`, any but by hand; `iron_key`, a key of materials.irons().
    Returns: ft/min and m/min, with the class and the source.
    Raises: CuttingError for an unknown iron (field "iron") or a cut by hand strokes (field "operation").
    Source: the returned `source`; figures marked there are from memory, verify.

    >>> cutting_speed(Tool.CARBIDE, CutKind.FACE, "a48-20").feet_a_minute
    240.0
    """
    if kind is CutKind.HAND:
        raise CuttingError(
            "A face cut by hand strokes has no spindle speed: switch off and leave the spindle still.",
            "operation",
        )
    row = _reaming_row(iron_key)
    if kind is CutKind.DRILL:
        feet, source = _drilling(tool, row)
    elif kind is CutKind.REAM:
        feet, source = _reaming(tool, row)
    else:
        feet, source = _turning(tool, kind, row)
    return CuttingSpeed(feet, feet * M_PER_FOOT, str(row["name"]), source)


def usual_feed(kind: CutKind, diameter_nm: int, *, finishing: bool) -> Feed:
    """The feed to start with.

    Formula: the table's roughing, finishing or forming feed; a drill's by its diameter; a reamer's so many times
    that of a drill of its size.
    Parameters: `kind`, any but by hand; `diameter_nm`, of the drill or reamer, nm, above 0, unused for the others;
    `finishing`, whether this is the last cut, unused for drills, reamers and forming.
    Returns: nm for each turn, with its source.
    Raises: CuttingError for a cut by hand strokes (field "operation") or a diameter not above 0 ("diameter").
    Source: the returned `source`; figures marked there are from memory or common practice, verify.

    >>> usual_feed(CutKind.TURN, 107_950_000, finishing=True).nm, usual_feed(CutKind.DRILL, 18_000_000, finishing=False).nm
    (101600, 177800)
    """
    if kind is CutKind.HAND:
        raise CuttingError(
            "Hand strokes have no feed for each turn: set the feed for each stroke instead.", "operation"
        )
    if diameter_nm <= 0:
        raise CuttingError("The diameter must be above nothing: type one such as 18 mm.", "diameter")
    table = cutting_table()["feed"]
    if kind in (CutKind.DRILL, CutKind.REAM):
        inches = Fraction(diameter_nm, NM_PER_INCH)
        rows = table["drilling"]
        nm = _feed_nm(next((row for row in rows if inches <= Fraction(row["upto"])), rows[-1])["feed"])
        if kind is CutKind.DRILL:
            return Feed(nm, table["drilling_source"])
        return Feed(
            round(nm * table["reaming_times"]), f"{table['reaming_source']}; {table['drilling_source']}"
        )
    name = "forming" if kind is CutKind.FORM else "finishing" if finishing else "roughing"
    return Feed(_feed_nm(table[name]), table[f"{name}_source"])


def _feed_nm(inches: str) -> int:
    return int(Fraction(inches) * NM_PER_INCH)


def _drilling(tool: Tool, row: dict[str, Any]) -> tuple[float, str]:
    feet, source = float(row["drill_ft_min"]), str(reaming_table()["speeds"]["source"])
    if tool is Tool.HSS:
        return feet, source
    carbide = cutting_table()["carbide_drilling"]
    return feet * carbide["times"], f"{source}; {carbide['source']}"


def _reaming(tool: Tool, row: dict[str, Any]) -> tuple[float, str]:
    rule = reaming_table()["speeds"]
    if tool is Tool.HSS:
        return row["drill_ft_min"] / 2, f"{rule['half_source']}; drilling speed {rule['source']}"
    carbide = cutting_table()["carbide_reaming"]
    return float(carbide["feet_a_minute"][row["name"]]), str(carbide["source"])


def _turning(tool: Tool, kind: CutKind, row: dict[str, Any]) -> tuple[float, str]:
    turning = cutting_table()["turning"]
    feet, source = float(turning["feet_a_minute"][row["name"]]), str(turning["source"])
    if tool is Tool.CARBIDE:
        carbide = cutting_table()["carbide_turning"]
        feet, source = feet * carbide["times"], f"{source}; {carbide['source']}"
    if kind is not CutKind.TURN:
        source = f"{source}; {cutting_table()['same_as_turning']['source']}"
    return feet, source


def _reaming_row(iron_key: str) -> dict[str, Any]:
    for row in reaming_table()["speeds"]["rows"]:
        if iron_key in row["irons"]:
            return dict(row)
    raise CuttingError(
        f"No cutting speed is known for an iron called {iron_key!r}: choose one of the irons listed.", "iron"
    )
