"""The push on a single cutting edge, the power it asks of the motor, and the deepest cut the motor allows."""

import math
from dataclasses import dataclass

from domain.cutting.speeds import CuttingError, cutting_table, iron_class
from domain.cutting.spindle import check_efficiency
from domain.lengths import NM_PER_MM

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

    Formula: none, the figures are read from tables/cutting.toml.
    Parameters: `iron_key`, a key of materials.irons().
    Returns: kc1 in N/mm2 and m without unit.
    Raises: CuttingError, field "iron", for an iron without a row.
    Source: VDI 3323 material groups 15 and 16, as toolmakers print them, verify.

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
    Returns: newtons.
    Raises: CuttingError, field "depth" or "feed".
    Source: Kienzle; kc1 and m as `iron.source`.

    >>> round(cutting_force(1_500_000, 150_000, iron_force("a48-20")))
    378
    """
    if depth_nm <= 0:
        raise CuttingError("The depth of cut must be above nothing: type one such as 0.5 mm.", "depth")
    return _force_per_mm(feed_nm, iron) * depth_nm / NM_PER_MM


def power_needed(force_n: float, metres_a_minute: float, efficiency: float) -> float:
    """The power the motor must give for a cutting force at a surface speed.

    Formula: P = 1000 Fc V / (60000 efficiency) W (Fc V / 60000 is kW at the tool).
    Parameters: `force_n`, N, 0 or more; `metres_a_minute`, m/min, 0 or more; `efficiency`, 0.1 to 1.
    Returns: watts at the motor.
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
    Returns: depth, nm.
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
