"""The spindle: the speeds a machine has, which of them to select, and how fast the surface then passes."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from domain.cutting.speeds import M_PER_FOOT, CuttingError, check_efficiency, usual_efficiency
from domain.lengths import NM_PER_INCH, NM_PER_MM

# Beyond these it is a slip of the finger, and no figure comes near overflowing.
_MOST_RPM = 100_000
_MOST_W = 1_000_000


class MachineKind(StrEnum):
    """What turns: the work, or the drill."""

    LATHE = "lathe"
    DRILL = "drill"

    @property
    def words(self) -> str:
        """The machine as it is said in the shop."""
        return "lathe" if self is MachineKind.LATHE else "drilling machine"


@dataclass(frozen=True)
class MachineTool:
    """A lathe or drilling machine: speeds in rpm, motor in W or None if unknown, least feed a turn in nm (0: by hand)."""

    name: str
    kind: MachineKind
    speeds: tuple[float, ...]
    motor_w: float | None = None
    least_feed_nm: int = 0
    efficiency: float = field(default_factory=usual_efficiency)

    def __post_init__(self) -> None:
        _check_speeds(self.speeds)
        if self.motor_w is not None and not (math.isfinite(self.motor_w) and 0 < self.motor_w <= _MOST_W):
            raise CuttingError("The motor must have a power from its plate, such as 550 W.", "motor_w")
        if self.least_feed_nm < 0:
            raise CuttingError(
                "The smallest feed cannot be below nothing: type one such as 0.05 mm.", "least_feed"
            )
        check_efficiency(self.efficiency)


@dataclass(frozen=True)
class Pick:
    """The spindle speed to select; where none is low enough, the slowest there is, and by how much it is too fast."""

    rpm: float
    wanted_rpm: float
    low_enough: bool
    over_percent: float


@dataclass(frozen=True)
class SurfaceSpeed:
    """How fast the surface passes the edge, in both systems."""

    metres_a_minute: float
    feet_a_minute: float


@dataclass(frozen=True)
class FacingSpeeds:
    """Surface speeds at the rim and at the boss while the spindle keeps one speed."""

    rim: SurfaceSpeed
    boss: SurfaceSpeed


def pick_or_slowest(wanted_rpm: float, speeds: Sequence[float]) -> Pick:
    """The nearest spindle speed not above the wanted one, or, marked as too fast, the slowest there is.

    Formula: largest speed <= wanted; over = 100 (slowest / wanted - 1) percent where there is none.
    Parameters: `wanted_rpm`, turns a minute, above 0; `speeds`, the machine's, rpm, in any order, each from 0.1 to 100000.
    Returns: a Pick, rpm and percent.
    Raises: CuttingError for a speed outside that (field "speeds") or a wanted speed not above 0 ("wanted_rpm").
    Source: common practice, no source.

    >>> pick_or_slowest(71.9, (45, 60, 105)).rpm, pick_or_slowest(40, (45, 60, 105)).low_enough
    (60, False)
    """
    _check_speeds(speeds)
    if not math.isfinite(wanted_rpm) or wanted_rpm <= 0:
        raise CuttingError("The wanted speed must be above nothing: type one such as 60 rpm.", "wanted_rpm")
    slow_enough = [speed for speed in speeds if speed <= wanted_rpm]
    if slow_enough:
        return Pick(max(slow_enough), wanted_rpm, low_enough=True, over_percent=0.0)
    slowest = min(speeds)
    return Pick(slowest, wanted_rpm, low_enough=False, over_percent=100 * (slowest / wanted_rpm - 1))


def surface_speed(rpm: float, diameter_nm: int) -> SurfaceSpeed:
    """How fast the surface passes at a diameter.

    Formula: V = pi D n / 1000 m/min, D in mm, n in rpm; 1 ft is 0.3048 m.
    Parameters: `rpm`, turns a minute, above 0; `diameter_nm`, nm, 0 (the middle) or more.
    Raises: CuttingError, field "rpm" or "diameter".
    Source: by definition; 1 ft is 0.3048 m, international yard and pound agreement, 1959.

    >>> round(surface_speed(71.9006, 107_950_000).feet_a_minute, 1)
    80.0
    """
    if not math.isfinite(rpm) or rpm <= 0:
        raise CuttingError("The spindle speed must be above nothing: type one such as 60 rpm.", "rpm")
    if diameter_nm < 0:
        raise CuttingError("A diameter cannot be below nothing: type one such as 108 mm.", "diameter")
    metres = math.pi * diameter_nm / NM_PER_MM * rpm / 1000
    return SurfaceSpeed(metres, metres / M_PER_FOOT)


def facing_speeds(rpm: float, rim_nm: int, boss_nm: int) -> FacingSpeeds:
    """Surface speeds at the two ends of a facing cut: at one spindle speed it slows towards the middle.

    Formula: V = pi D n / 1000 m/min at each diameter.
    Parameters: `rpm`, above 0; `rim_nm`, the outer diameter, nm, above 0; `boss_nm`, where the cut ends, nm, 0 to
    the outer diameter.
    Raises: CuttingError, field "rpm", "diameter" or "inner_diameter".
    Source: by definition.

    >>> round(facing_speeds(60, 120_000_000, 30_000_000).boss.metres_a_minute, 2)
    5.65
    """
    if rim_nm <= 0:
        raise CuttingError("The diameter must be above nothing: type one such as 108 mm.", "diameter")
    if not 0 <= boss_nm <= rim_nm:
        raise CuttingError(
            "The inner end of the cut must lie between nothing and the outer diameter: measure both again.",
            "inner_diameter",
        )
    return FacingSpeeds(surface_speed(rpm, rim_nm), surface_speed(rpm, boss_nm))


def shop_rule_rpm(feet_a_minute: float, diameter_nm: int) -> float:
    """Turns a minute by the shop rule, which takes pi as 3: a check in the head, always 4.7 % fast.

    Formula: rpm = 4 V / D, V in ft/min, D in inches.
    Parameters: `feet_a_minute`, above 0; `diameter_nm`, nm, above 0.
    Raises: CuttingError for a figure not above 0, field "speed" or "diameter".
    Source: US Army OD 1645.

    >>> shop_rule_rpm(120, 25_400_000)
    480.0
    """
    if not math.isfinite(feet_a_minute) or feet_a_minute <= 0:
        raise CuttingError("The surface speed must be above nothing: type one such as 80 ft/min.", "speed")
    if diameter_nm <= 0:
        raise CuttingError("The diameter must be above nothing: type one such as 108 mm.", "diameter")
    return 4 * feet_a_minute / (diameter_nm / NM_PER_INCH)


def _check_speeds(speeds: Sequence[float]) -> None:
    if not speeds:
        raise CuttingError(
            "No spindle speeds are entered: type them from the plate, such as 60 105 180.", "speeds"
        )
    if not all(math.isfinite(speed) and 0.1 <= speed <= _MOST_RPM for speed in speeds):
        raise CuttingError(
            "Every spindle speed must be from 0.1 to 100000 rpm: type them such as 60 105 180.", "speeds"
        )


def rpm_from_feet(feet_a_minute: float, diameter_nm: int) -> float:
    """Turns a minute for a surface speed in feet a minute.

    Formula: rpm = 12 V / (pi D), D in inches. The shop rule 4 V / D takes pi as 3 and comes out 4.7 % fast:
    for 120 ft/min at 1 in it gives 480 (US Army OD 1645) where the formula gives 458.4.
    feet_a_minute: V, ft/min, above 0; diameter_nm: D, nm, above 0.
    Raises: CuttingError for a figure outside its limits.
    Source: by definition of surface speed.

    >>> round(rpm_from_feet(80, 107_950_000), 2), round(rpm_from_feet(120, 25_400_000), 1)
    (71.9, 458.4)
    """
    _check_speed(feet_a_minute, diameter_nm, "80 ft/min")
    return 12 * feet_a_minute / (math.pi * diameter_nm / NM_PER_INCH)


def rpm_from_metres(metres_a_minute: float, diameter_nm: int) -> float:
    """Turns a minute for a surface speed in metres a minute.

    Formula: rpm = 1000 V / (pi D), D in millimetres.
    metres_a_minute: V, m/min, above 0; diameter_nm: D, nm, above 0.
    Raises: CuttingError for a figure outside its limits.
    Source: by definition of surface speed.

    >>> round(rpm_from_metres(24.384, 107_950_000), 2)
    71.9
    """
    _check_speed(metres_a_minute, diameter_nm, "25 m/min")
    return 1000 * metres_a_minute / (math.pi * diameter_nm / NM_PER_MM)


def _check_speed(speed: float, diameter_nm: int, example: str) -> None:
    if not math.isfinite(speed) or speed <= 0:
        raise CuttingError(f"The surface speed must be a number above zero, such as {example}.")
    if diameter_nm <= 0:
        raise CuttingError("The diameter must be above zero, such as 19.05 mm.")
