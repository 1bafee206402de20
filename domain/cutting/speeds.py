"""Grey iron under the edge: how fast it may pass, how far it advances, how hard it pushes, and what slows it."""

import math
import tomllib
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from domain.errors import TradeError
from domain.lengths import NM_PER_INCH, NM_PER_MM


class CuttingError(TradeError):
    """A figure that cannot be cut by."""


M_PER_FOOT = 0.3048  # exact: international yard and pound agreement, 1959


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
    HAND_REAM = "hand_ream"

    @property
    def single_edge(self) -> bool:
        """Whether one edge cuts, so that its force follows from a depth and a feed."""
        return self in (CutKind.FACE, CutKind.TURN, CutKind.BORE, CutKind.FORM)

    @property
    def by_hand(self) -> bool:
        """Whether a hand moves it, so that it has no spindle speed."""
        return self in (CutKind.HAND, CutKind.HAND_REAM)


@dataclass(frozen=True)
class Tools:
    """What each edge of a shop is made of: drills and reamers keep their own material beside the turning tools.

    Source: high-speed steel drills and reamers beside carbide inserts are the usual shop: common practice.
    """

    turning: Tool = Tool.HSS
    drill: Tool = Tool.HSS
    reamer: Tool = Tool.HSS
    hand_reamers: bool = False

    def of(self, kind: CutKind) -> Tool:
        """The material of the edge that makes this kind of cut."""
        return {CutKind.DRILL: self.drill, CutKind.REAM: self.reamer}.get(kind, self.turning)


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

    Source: common practice, no source.

    >>> usual_factors().chilled
    0.5
    """
    return Factors(**cutting_table()["factors"])


def iron_class(iron_key: str) -> str:
    """The handbook class that an iron is cut as.

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
    Raises: CuttingError for an unknown iron (field "iron") or a cut by hand strokes (field "operation").
    Source: the returned `source`; figures marked there are from memory, verify.

    >>> cutting_speed(Tool.CARBIDE, CutKind.FACE, "a48-20").feet_a_minute
    240.0
    """
    _refuse_by_hand(kind)
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
    Raises: CuttingError for a cut by hand strokes (field "operation") or a diameter not above 0 ("diameter").
    Source: the returned `source`; figures marked there are from memory or common practice, verify.

    >>> usual_feed(CutKind.TURN, 107_950_000, finishing=True).nm, usual_feed(CutKind.DRILL, 18_000_000, finishing=False).nm
    (101600, 177800)
    """
    _refuse_by_hand(kind)
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


def _refuse_by_hand(kind: CutKind) -> None:
    if kind is CutKind.HAND:
        raise CuttingError(
            "A face cut by hand strokes has no spindle speed and no feed for each turn: switch off and leave the"
            " spindle still.",
            "operation",
        )
    if kind is CutKind.HAND_REAM:
        raise CuttingError("A hand reamer has no spindle speed: turn it by a wrench, power off.", "operation")


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


def most_reaming_feet(iron_key: str) -> float:
    """The most a toolmaker's chart gives a reamer of high-speed steel, ft/min.

    Raises: CuttingError, field "iron", for an iron without a row.
    Source: tables/reaming.toml, verify with your reamer's maker.

    >>> most_reaming_feet("en-gjl-200")
    55.0
    """
    return float(_reaming_row(iron_key)["ream_ft_min"])


@cache
def reaming_table() -> dict[str, dict[str, Any]]:
    """The table of reaming, read once, as printed: inches and feet a minute, each beside its source.

    >>> reaming_table()["stock"]["from"]
    '0.090'
    """
    return tomllib.loads(files("domain").joinpath("tables", "reaming.toml").read_text(encoding="utf-8"))


def usual_efficiency() -> float:
    """The share of the motor's power taken to reach the tool, until another is set.

    Source: from memory, verify; it is a setting.

    >>> usual_efficiency()
    0.7
    """
    return float(cutting_table()["machine"]["efficiency"])


def check_efficiency(efficiency: float) -> None:
    if not math.isfinite(efficiency) or not 0.1 <= efficiency <= 1:
        raise CuttingError(
            "The share of the motor that reaches the tool must be from 0.1 to 1: type one such as 0.7.",
            "efficiency",
        )


# A drill's or reamer's torque is left out: no published figures for it are held here.


@dataclass(frozen=True)
class IronForce:
    """How hard an iron resists cutting: kc1 in N/mm2 at a chip 1 mm by 1 mm, and the exponent m."""

    name: str
    kc1: float
    m: float
    source: str


def iron_force(iron_key: str) -> IronForce:
    """How hard an iron resists cutting; where it falls between two rows, the harder.

    Raises: CuttingError, field "iron", for an iron without a row.
    Source: VDI 3323 material groups 15 and 16, from memory, verify.

    >>> iron_force("a48-20").kc1, iron_force("en-gjl-250").kc1
    (1150.0, 1350.0)
    """
    name, table = iron_class(iron_key), cutting_table()["force"]
    row = next(row for row in table["rows"] if name in row["classes"])
    return IronForce(row["name"], row["kc1"], row["m"], table["source"])


def cutting_force(depth_nm: int, feed_nm: int, iron: IronForce) -> float:
    """The force along the cut on one edge that stands square to its feed.

    Formula: Fc = kc1 b h^(1 - m); b in mm is the depth of cut, h in mm the feed for each turn.
    Parameters: `depth_nm`, nm, above 0; `feed_nm`, nm for each turn, above 0; `iron`.
    Raises: CuttingError, field "depth" or "feed".
    Source: Kienzle; kc1 and m as `iron.source`.

    >>> round(cutting_force(1_500_000, 150_000, iron_force("a48-20")))
    378
    """
    if depth_nm <= 0:
        raise CuttingError("The depth of cut must be above nothing: type one such as 0.5 mm.", "depth")
    return _force_per_mm(feed_nm, iron) * depth_nm / NM_PER_MM


def cut_torque_nm(force_n: float, radius_nm: int) -> float:
    """The torque a cut asks of what holds the work.

    Formula: T = Fc r. force_n: N, 0 or more. radius_nm: the largest radius the cut reaches, nm, above 0.
    Returns: N m.
    Raises: CuttingError, field "force" or "radius".
    Source: force times lever, by definition.

    >>> round(cut_torque_nm(429, 65_000_000), 1)
    27.9
    """
    if not math.isfinite(force_n) or force_n < 0:
        raise CuttingError("The cutting force must be nothing or more.", "force")
    if radius_nm <= 0:
        raise CuttingError("The radius of the cut must be above nothing.", "radius")
    return force_n * radius_nm / 1e9


def power_needed(force_n: float, metres_a_minute: float, efficiency: float) -> float:
    """The power the motor must give for a cutting force at a surface speed.

    Formula: P = 1000 Fc V / (60000 efficiency) W (Fc V / 60000 is kW at the tool).
    Parameters: `force_n`, N, 0 or more; `metres_a_minute`, m/min, 0 or more; `efficiency`, 0.1 to 1.
    Raises: CuttingError, field "force", "speed" or "efficiency".
    Source: power is force times speed, by definition; the efficiency is a setting.

    >>> round(power_needed(378, 24.4, 0.7), 1)
    219.6
    """
    if not math.isfinite(force_n) or force_n < 0:
        raise CuttingError("The cutting force cannot be below nothing: type one such as 378 N.", "force")
    if not math.isfinite(metres_a_minute) or metres_a_minute < 0:
        raise CuttingError("The surface speed cannot be below nothing: type one such as 24 m/min.", "speed")
    check_efficiency(efficiency)
    return force_n * metres_a_minute / 60 / efficiency


def deepest_cut_for_power(
    motor_w: float, metres_a_minute: float, feed_nm: int, iron: IronForce, efficiency: float
) -> int:
    """The deepest cut that a motor can pull at a surface speed and feed.

    Formula: b = 60 P efficiency / (V kc1 h^(1 - m)), cut off at a whole nanometre.
    Parameters: `motor_w`, W, above 0; `metres_a_minute`, m/min, above 0; `feed_nm`, nm for each turn, above 0;
    `iron`; `efficiency`, 0.1 to 1.
    Raises: CuttingError, field "motor_w", "speed", "feed" or "efficiency".
    Source: Kienzle, turned round; kc1 and m as `iron.source`.

    >>> deepest_cut_for_power(219.6, 24.4, 150_000, iron_force("a48-20"), 0.7) // 10_000
    149
    """
    if not math.isfinite(motor_w) or motor_w <= 0:
        raise CuttingError(
            "The motor must have some power: type it from its plate, such as 550 W.", "motor_w"
        )
    if not math.isfinite(metres_a_minute) or metres_a_minute <= 0:
        raise CuttingError("The surface speed must be above nothing: type one such as 24 m/min.", "speed")
    check_efficiency(efficiency)
    force_n = motor_w * efficiency * 60 / metres_a_minute
    return math.floor(force_n / _force_per_mm(feed_nm, iron) * NM_PER_MM)


def _force_per_mm(feed_nm: int, iron: IronForce) -> float:
    if feed_nm <= 0:
        raise CuttingError("The feed must be above nothing: type one such as 0.1 mm for each turn.", "feed")
    return float(iron.kc1 * (feed_nm / NM_PER_MM) ** (1 - iron.m))
