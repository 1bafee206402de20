"""How slowly to turn a reamer, and turns a minute from a surface speed."""

import math
from dataclasses import dataclass

from domain.cutting.reaming import ReamingError, table
from domain.lengths import NM_PER_INCH, NM_PER_MM, Unit, show
from domain.working import Working

_M_PER_FOOT = 0.3048  # exact: international yard and pound agreement, 1959


@dataclass(frozen=True)
class ReamingSpeed:
    """Turns a minute for the drill, for the reamer, and the most the chart gives a reamer."""

    drill_rpm: float
    ream_rpm: float
    most_rpm: float
    words: str
    workings: tuple[Working, ...]


def rpm_from_feet(feet_a_minute: float, diameter_nm: int) -> float:
    """Turns a minute for a surface speed in feet a minute.

    Formula: rpm = 12 V / (pi D), D in inches. The shop rule 4 V / D takes pi as 3 and comes out 4.7 % fast:
    for 120 ft/min at 1 in it gives 480 (US Army OD 1645) where the formula gives 458.4.
    feet_a_minute: V, ft/min, above 0; diameter_nm: D, nm, above 0.
    Returns: turns a minute.
    Raises: ReamingError for a figure outside its limits.
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
    Returns: turns a minute.
    Raises: ReamingError for a figure outside its limits.
    Source: by definition of surface speed.

    >>> round(rpm_from_metres(24.384, 107_950_000), 2)
    71.9
    """
    _check_speed(metres_a_minute, diameter_nm, "25 m/min")
    return 1000 * metres_a_minute / (math.pi * diameter_nm / NM_PER_MM)


def _check_speed(speed: float, diameter_nm: int, example: str) -> None:
    if not math.isfinite(speed) or speed <= 0:
        raise ReamingError(f"The surface speed must be a number above zero, such as {example}.")
    if diameter_nm <= 0:
        raise ReamingError("The diameter must be above zero, such as 19.05 mm.")


def reaming_speed(finished_nm: int, iron_key: str, unit: Unit) -> ReamingSpeed:
    """How fast to turn a high-speed steel reamer in grey iron: half as fast as a drill of its size.

    Formula: rpm = 1000 V / (pi D), in metres a minute and millimetres, or rpm = 12 V / (pi D), in feet a minute
    and inches, with V half the drilling speed; the chart's own reaming speed is the most.
    finished_nm: reamed diameter D, nm, above 0; iron_key: a key of materials.irons().
    unit: the system to show first.
    Returns: turns a minute, words and workings.
    Raises: ReamingError for a size not above zero, or an iron that has no row.
    Source: US TM 1-420 for the half; the surface speeds are from a toolmaker's published chart of reaming speeds,
    verify with your reamer's maker; 1 ft is 0.3048 m, international yard and pound agreement, 1959.

    >>> reaming_speed(25_400_000, "a48-20", Unit.INCH).words
    'Turn the reamer at about 190 rpm, half of the 381 for a drill of its size, and never above 248.'
    """
    rule = table()["speeds"]
    row = next((row for row in rule["rows"] if iron_key in row["irons"]), None)
    if row is None:
        raise ReamingError(f"No reaming speed is known for {iron_key}: choose one of the irons listed.")
    drill, ream = row["drill_ft_min"], row["drill_ft_min"] / 2
    rpms = [rpm_from_feet(speed, finished_nm) for speed in (drill, ream, row["ream_ft_min"])]
    # Cut off, not rounded: an advised speed is a ceiling.
    shown = [math.floor(rpm) for rpm in rpms]
    words = (
        f"Turn the reamer at about {shown[1]} rpm, half of the {shown[0]} for a drill of its size,"
        f" and never above {shown[2]}."
    )
    size = f"D {show(finished_nm, unit)}, {row['name']} iron"
    workings = tuple(
        Working(name, *_formula(speed, unit, size), f"{rpm:.1f} rpm", source)
        for name, speed, rpm, source in (
            ("drilling speed", drill, rpms[0], rule["source"]),
            ("reaming speed", ream, rpms[1], rule["half_source"]),
            ("most reaming speed", row["ream_ft_min"], rpms[2], rule["source"]),
        )
    )
    return ReamingSpeed(rpms[0], rpms[1], rpms[2], words, workings)


def _formula(feet_a_minute: float, unit: Unit, size: str) -> tuple[str, str]:
    """The formula in the system of the build, and its numbers; the chart's own figure stays beside a converted one."""
    if unit is Unit.INCH:
        return "rpm = 12 V / (pi D)", f"V {feet_a_minute:g} ft/min, {size}"
    metres = feet_a_minute * _M_PER_FOOT
    return "rpm = 1000 V / (pi D)", f"V {metres:.2f} m/min ({feet_a_minute:g} ft/min), {size}"
