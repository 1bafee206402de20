"""Speed, feed, time, force and power for one cut of one operation on one machine."""

from dataclasses import dataclass
from math import prod

from domain.cutting.force import IronForce, cutting_force, deepest_cut_for_power, iron_force, power_needed
from domain.cutting.operations import Operation
from domain.cutting.reaming_speed import rpm_from_feet
from domain.cutting.speeds import CutKind, CuttingError, CuttingSpeed, Tool, cutting_speed, usual_feed
from domain.cutting.spindle import (
    FacingSpeeds,
    MachineKind,
    MachineTool,
    Pick,
    SurfaceSpeed,
    facing_speeds,
    pick_or_slowest,
    rpm_words,
    surface_speed,
)
from domain.cutting.types import Conditions, Cut, Feeding, Load, Slowing
from domain.cutting.words import (
    Flag,
    cautions,
    chilled_force_flag,
    condition_flags,
    feed_flags,
    minutes_words,
    power_flags,
    slowing_flag,
    speed_flags,
)
from domain.cutting.workings import (
    feed_workings,
    load_workings,
    pick_working,
    surface_workings,
    wanted_workings,
)
from domain.lengths import Unit, show
from domain.working import Working

__all__ = ["Conditions", "Cut", "CuttingPlan", "WantedSpeed", "plan", "wanted_speed"]


@dataclass(frozen=True)
class CuttingPlan:
    """What to select and what it asks: rpm, nm for each turn, minutes, N, W; None where it is not reckoned.

    `speed_at_rim` is at the outer (governing) diameter, `speed_at_boss` at the inner end of a facing cut;
    `low_enough` is False where `rpm` is only the slowest there is; `power_share` above 1 is more than the motor.
    """

    rpm: float
    wanted_rpm: float
    low_enough: bool
    speed_at_rim: SurfaceSpeed
    speed_at_boss: SurfaceSpeed | None
    feed_nm: int
    minutes: float | None
    force_n: float | None
    power_w: float | None
    power_share: float | None
    deepest_nm: int | None
    words: str
    flags: tuple[Flag, ...]
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]

    @property
    def stop(self) -> bool:
        """Whether the cut must not be taken as it stands."""
        return any(flag.grave for flag in self.flags)


@dataclass(frozen=True)
class WantedSpeed:
    """The spindle speed a cut wants before any machine is looked at, rpm, with its flags and its sums."""

    rpm: float
    words: str
    flags: tuple[Flag, ...]
    workings: tuple[Working, ...]


def wanted_speed(
    cut: Cut, tool: Tool, iron_key: str, unit: Unit, conditions: Conditions | None = None
) -> WantedSpeed:
    """The spindle speed a cut wants, where no machine is known to pick from.

    Formula: rpm = 12 V k / (pi D), k the slowing factors.
    Parameters: `cut`; `tool`; `iron_key`, a key of materials.irons(); `unit`, the system to show first;
    `conditions`, the usual ones when None.
    Returns: a WantedSpeed, rpm.
    Raises: CuttingError with its `field`, as cutting_speed does.
    Source: each working's own.

    >>> from domain.cutting.operations import operation
    >>> wanted_speed(Cut(operation("face_back"), 107_950_000), Tool.HSS, "en-gjl-250", Unit.MM).words
    'Select the nearest spindle speed not above 71.9 rpm.'
    """
    conditions = conditions or Conditions()
    base = cutting_speed(tool, cut.operation.kind, iron_key)
    slowing = _slowing(cut.operation, conditions)
    rpm = _wanted_rpm(cut, base, slowing)
    return WantedSpeed(
        rpm,
        f"Select the nearest spindle speed not above {rpm_words(rpm)}.",
        condition_flags(
            cut.operation,
            interrupted=_interrupted(cut.operation, conditions),
            chilled=conditions.chilled,
            tool=tool,
        ),
        wanted_workings(cut, tool, base, slowing, conditions.factors, rpm, unit),
    )


def plan(
    cut: Cut,
    tool: Tool,
    iron_key: str,
    machine: MachineTool,
    unit: Unit,
    conditions: Conditions | None = None,
) -> CuttingPlan:
    """The spindle speed to select for a cut, with surface speeds, feed, time, force, power and warnings.

    Formula: wanted rpm = 12 V k / (pi D), k the slowing factors; the nearest spindle speed not above it; time =
    travel / (feed rpm); Fc = kc1 b h^(1 - m); P = 1000 Fc V / (60000 efficiency).
    Parameters: `cut`; `tool`; `iron_key`, a key of materials.irons(); `machine`; `unit`, the system to show first;
    `conditions`, the usual ones when None.
    Returns: a CuttingPlan. No speed low enough is not an error here: `low_enough` is False and a flag says so.
    Raises: CuttingError with its `field`.
    Source: each working's own.

    >>> from domain.cutting.operations import operation
    >>> from domain.cutting.spindle import MachineKind
    >>> lathe = MachineTool("A", MachineKind.LATHE, (45, 60, 105), 370)
    >>> rim = Cut(operation("face_back"), 107_950_000, 30_000_000, 38_000_000, 500_000)
    >>> plan(rim, Tool.HSS, "en-gjl-250", lathe, Unit.MM).words
    'Select 60 rpm and feed 0.203 mm (0.0080 in) a turn: 3 min 8 s for the cut.'
    """
    conditions = conditions or Conditions()
    one = cut.operation
    _check_machine(one, machine)
    base = cutting_speed(tool, one.kind, iron_key)
    slowing = _slowing(one, conditions)
    pick = pick_or_slowest(_wanted_rpm(cut, base, slowing), machine.speeds)
    speeds = _surface_speeds(cut, pick.rpm)
    feed = _feeding(cut, conditions, machine)
    minutes = None if cut.length_nm is None else cut.length_nm / (feed.nm * pick.rpm)
    load = _load(cut, iron_force(iron_key), machine, feed.nm, speeds.rim.metres_a_minute)
    faced = cut.inner_diameter_nm is not None
    return CuttingPlan(
        rpm=pick.rpm,
        wanted_rpm=pick.wanted_rpm,
        low_enough=pick.low_enough,
        speed_at_rim=speeds.rim,
        speed_at_boss=speeds.boss if faced else None,
        feed_nm=feed.nm,
        minutes=minutes,
        force_n=load.force_n,
        power_w=load.power_w,
        power_share=load.share,
        deepest_nm=load.deepest_nm,
        words=_words(pick, feed.nm, minutes, unit),
        flags=(
            *_too_fast(cut, tool, iron_key, slowing, pick, machine),
            *power_flags(one, load.power_w, machine, load.deepest_nm, unit),
            *_rough_going(cut, tool, conditions, load),
            *feed_flags(feed.nm, feed.wanted_nm, feed.finishing_nm, finishing=feed.finishing, unit=unit),
            *((slowing_flag(speeds, unit),) if faced else ()),
        ),
        cautions=cautions(one, machine.kind),
        workings=(
            *wanted_workings(cut, tool, base, slowing, conditions.factors, pick.wanted_rpm, unit),
            pick_working(pick, machine),
            *surface_workings(cut, pick.rpm, speeds, unit),
            *feed_workings(cut, feed, pick.rpm, minutes, unit),
            *load_workings(cut, load, machine, unit),
        ),
    )


def _wanted_rpm(cut: Cut, base: CuttingSpeed, slowing: Slowing) -> float:
    return rpm_from_feet(base.feet_a_minute * prod(value for _, value in slowing), cut.diameter_nm)


def _feeding(cut: Cut, conditions: Conditions, machine: MachineTool) -> Feeding:
    kind = cut.operation.kind
    finishing = cut.operation.finishing if conditions.finishing is None else conditions.finishing
    usual = usual_feed(kind, cut.diameter_nm, finishing=finishing)
    wanted, source = (usual.nm, usual.source) if cut.feed_nm is None else (cut.feed_nm, "as typed")
    # From a lathe's tailstock or straight in with a form tool the hand feeds, not the lathe's gears.
    by_hand = machine.kind is MachineKind.LATHE and kind in (CutKind.DRILL, CutKind.REAM, CutKind.FORM)
    least = 0 if by_hand else machine.least_feed_nm
    fine = usual_feed(kind, cut.diameter_nm, finishing=True).nm
    return Feeding(max(wanted, least), wanted, least, fine, finishing, source)


def _load(cut: Cut, iron: IronForce, machine: MachineTool, feed_nm: int, metres: float) -> Load:
    if not cut.operation.kind.single_edge:
        return Load(iron, feed_nm, metres)
    motor, efficiency = machine.motor_w, machine.efficiency
    deepest = None if motor is None else deepest_cut_for_power(motor, metres, feed_nm, iron, efficiency)
    if cut.depth_nm is None:
        return Load(iron, feed_nm, metres, deepest_nm=deepest)
    force = cutting_force(cut.depth_nm, feed_nm, iron)
    power = power_needed(force, metres, efficiency)
    return Load(iron, feed_nm, metres, force, power, None if motor is None else power / motor, deepest)


def _too_fast(
    cut: Cut, tool: Tool, iron_key: str, slowing: Slowing, pick: Pick, machine: MachineTool
) -> tuple[Flag, ...]:
    kind = cut.operation.kind
    unslowed = _wanted_rpm(cut, cutting_speed(tool, kind, iron_key), ())
    carbide = None
    if tool is not Tool.CARBIDE:
        carbide = _wanted_rpm(cut, cutting_speed(Tool.CARBIDE, kind, iron_key), slowing)
    return speed_flags(pick, unslowed, carbide, kind, machine)


def _rough_going(cut: Cut, tool: Tool, conditions: Conditions, load: Load) -> tuple[Flag, ...]:
    one = cut.operation
    flags = condition_flags(
        one, interrupted=_interrupted(one, conditions), chilled=conditions.chilled, tool=tool
    )
    if conditions.chilled and load.force_n is not None:
        return (*flags, chilled_force_flag(load.iron))
    return flags


def _check_machine(one: Operation, machine: MachineTool) -> None:
    if machine.kind not in one.machines:
        able = " or ".join(kind.words for kind in one.machines)
        raise CuttingError(
            f"A {machine.kind.words} cannot {one.words}: choose a {able}.",
            "machine",
        )


def _interrupted(one: Operation, conditions: Conditions) -> bool:
    return one.interrupted if conditions.interrupted is None else conditions.interrupted


def _slowing(one: Operation, conditions: Conditions) -> Slowing:
    factors = conditions.factors
    found = []
    if _interrupted(one, conditions):
        found.append(("interrupted", factors.interrupted))
    if conditions.chilled:
        found.append(("chilled", factors.chilled))
    if one.kind is CutKind.FORM:
        found.append(("forming", factors.form))
    return tuple(found)


def _surface_speeds(cut: Cut, rpm: float) -> FacingSpeeds:
    if cut.inner_diameter_nm is not None:
        return facing_speeds(rpm, cut.diameter_nm, cut.inner_diameter_nm)
    speed = surface_speed(rpm, cut.diameter_nm)
    return FacingSpeeds(speed, speed, 1.0)


def _words(pick: Pick, feed_nm: int, minutes: float | None, unit: Unit) -> str:
    time = "" if minutes is None else f": {minutes_words(minutes)} for the cut"
    feed = f"feed {show(feed_nm, unit)} a turn{time}."
    if pick.low_enough:
        return f"Select {pick.rpm:g} rpm and {feed}"
    return f"No speed is low enough; at the slowest, {pick.rpm:g} rpm, it would be {feed}"
