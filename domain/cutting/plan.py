"""Speed, feed, time, force and power for one cut of one operation on one machine."""

from dataclasses import dataclass, field
from math import prod

from domain.cutting.operations import Cut, Operation
from domain.cutting.speeds import (
    CutKind,
    CuttingError,
    CuttingSpeed,
    Factors,
    IronForce,
    Tool,
    cutting_force,
    cutting_speed,
    cutting_table,
    deepest_cut_for_power,
    iron_force,
    power_needed,
    usual_efficiency,
    usual_factors,
    usual_feed,
)
from domain.cutting.spindle import (
    FacingSpeeds,
    MachineKind,
    MachineTool,
    Pick,
    SurfaceSpeed,
    facing_speeds,
    pick_or_slowest,
    rpm_from_feet,
    shop_rule_rpm,
    surface_speed,
)
from domain.cutting.words import (
    Flag,
    chilled_force_flag,
    condition_flags,
    feed_flags,
    minutes_words,
    power_flags,
    rpm_words,
    slowing_flag,
    speed_flags,
    speed_words,
)
from domain.lengths import NM_PER_INCH, NM_PER_MM, Unit, show
from domain.working import Working

_DEFINITION = "by definition"
_Slowing = tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Conditions:
    """How rough the going is; None takes what is usual for the operation."""

    interrupted: bool | None = None
    chilled: bool = False
    finishing: bool | None = None
    factors: Factors = field(default_factory=usual_factors)


@dataclass(frozen=True)
class _Feeding:
    """The feed wanted, the least the machine has, the feed it so gives, and what is usual for a finishing cut."""

    nm: int
    wanted_nm: int
    least_nm: int
    finishing_nm: int
    finishing: bool
    source: str


@dataclass(frozen=True)
class _Load:
    """What one edge asks of the motor; nothing is reckoned for drills and reamers."""

    iron: IronForce
    feed_nm: int
    metres: float
    force_n: float | None = None
    power_w: float | None = None
    share: float | None = None
    deepest_nm: int | None = None


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
    flags: tuple[Flag, ...]
    workings: tuple[Working, ...]

    @property
    def stop(self) -> bool:
        """Whether the cut must not be taken as it stands."""
        return any(flag.grave for flag in self.flags)


@dataclass(frozen=True)
class WantedSpeed:
    """The spindle speed a cut wants before any machine is looked at, rpm, with its flags and its sums."""

    rpm: float
    flags: tuple[Flag, ...]
    workings: tuple[Working, ...]


def wanted_speed(
    cut: Cut, tool: Tool, iron_key: str, unit: Unit, conditions: Conditions | None = None
) -> WantedSpeed:
    """The spindle speed a cut wants, where no machine is known to pick from.

    Formula: rpm = 12 V k / (pi D), k the slowing factors.
    Parameters: `cut`; `tool`; `iron_key`, a key of materials.irons(); `unit`, the system to show first;
    `conditions`, the usual ones when None.
    Raises: CuttingError with its `field`, as cutting_speed does.

    >>> from domain.cutting.operations import operation
    >>> round(wanted_speed(Cut(operation("face_back"), 107_950_000), Tool.HSS, "en-gjl-250", Unit.MM).rpm, 2)
    71.9
    """
    conditions = conditions or Conditions()
    base = cutting_speed(tool, cut.operation.kind, iron_key)
    slowing = _slowing(cut.operation, conditions)
    rpm = _wanted_rpm(cut, base, slowing)
    return WantedSpeed(
        rpm,
        _going_flags(cut.operation, tool, conditions),
        _wanted_workings(cut, tool, base, conditions, wanted_rpm=rpm, unit=unit),
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

    >>> from domain.cutting.operations import operation
    >>> from domain.cutting.spindle import MachineKind
    >>> lathe = MachineTool("A", MachineKind.LATHE, (45, 60, 105), 370)
    >>> rim = Cut(operation("face_back"), 107_950_000, 30_000_000, 38_000_000, 500_000)
    >>> made = plan(rim, Tool.HSS, "en-gjl-250", lathe, Unit.MM)
    >>> made.rpm, made.feed_nm, minutes_words(made.minutes)
    (60, 203200, '3 min 8 s')
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
        flags=(
            *_too_fast(cut, tool, iron_key, slowing, pick=pick, machine=machine),
            *power_flags(one, load.power_w, machine, load.deepest_nm, unit),
            *_rough_going(cut, tool, conditions, load),
            *feed_flags(feed.nm, feed.wanted_nm, feed.finishing_nm, finishing=feed.finishing, unit=unit),
            *((slowing_flag(speeds, unit),) if faced else ()),
        ),
        workings=(
            *_wanted_workings(cut, tool, base, conditions, wanted_rpm=pick.wanted_rpm, unit=unit),
            _pick_working(pick, machine),
            *_surface_workings(cut, pick.rpm, speeds, unit),
            *_feed_workings(cut, feed, pick.rpm, minutes, unit),
            *_load_workings(cut, load, machine, unit),
        ),
    )


def _wanted_rpm(cut: Cut, base: CuttingSpeed, slowing: _Slowing) -> float:
    return rpm_from_feet(base.feet_a_minute * prod(value for _, value in slowing), cut.diameter_nm)


def _feeding(cut: Cut, conditions: Conditions, machine: MachineTool) -> _Feeding:
    kind = cut.operation.kind
    finishing = cut.operation.finishing if conditions.finishing is None else conditions.finishing
    usual = usual_feed(kind, cut.diameter_nm, finishing=finishing)
    wanted, source = (usual.nm, usual.source) if cut.feed_nm is None else (cut.feed_nm, "as typed")
    # From a lathe's tailstock or straight in with a form tool the hand feeds, not the lathe's gears.
    by_hand = machine.kind is MachineKind.LATHE and kind in (CutKind.DRILL, CutKind.REAM, CutKind.FORM)
    least = 0 if by_hand else machine.least_feed_nm
    return _Feeding(
        nm=max(wanted, least),
        wanted_nm=wanted,
        least_nm=least,
        finishing_nm=usual_feed(kind, cut.diameter_nm, finishing=True).nm,
        finishing=finishing,
        source=source,
    )


def _load(cut: Cut, iron: IronForce, machine: MachineTool, feed_nm: int, metres: float) -> _Load:
    if not cut.operation.kind.single_edge:
        return _Load(iron, feed_nm, metres)
    motor, efficiency = machine.motor_w, machine.efficiency
    deepest = None if motor is None else deepest_cut_for_power(motor, metres, feed_nm, iron, efficiency)
    if cut.depth_nm is None:
        return _Load(iron, feed_nm, metres, deepest_nm=deepest)
    force = cutting_force(cut.depth_nm, feed_nm, iron)
    power = power_needed(force, metres, efficiency)
    share = None if motor is None else power / motor
    return _Load(iron, feed_nm, metres, force_n=force, power_w=power, share=share, deepest_nm=deepest)


def _too_fast(
    cut: Cut, tool: Tool, iron_key: str, slowing: _Slowing, pick: Pick, machine: MachineTool
) -> tuple[Flag, ...]:
    kind = cut.operation.kind
    unslowed = _wanted_rpm(cut, cutting_speed(tool, kind, iron_key), ())
    carbide = None
    if tool is not Tool.CARBIDE:
        carbide = _wanted_rpm(cut, cutting_speed(Tool.CARBIDE, kind, iron_key), slowing)
    return speed_flags(pick, unslowed, carbide, kind, machine)


def _rough_going(cut: Cut, tool: Tool, conditions: Conditions, load: _Load) -> tuple[Flag, ...]:
    flags = _going_flags(cut.operation, tool, conditions)
    if conditions.chilled and load.force_n is not None:
        return (*flags, chilled_force_flag(load.iron))
    return flags


def _going_flags(one: Operation, tool: Tool, conditions: Conditions) -> tuple[Flag, ...]:
    interrupted = _interrupted(one, conditions)
    return condition_flags(one, interrupted=interrupted, chilled=conditions.chilled, tool=tool)


def _check_machine(one: Operation, machine: MachineTool) -> None:
    if machine.kind not in one.machines:
        able = " or ".join(kind.words for kind in one.machines)
        raise CuttingError(
            f"A {machine.kind.words} cannot {one.words}: choose a {able}.",
            "machine",
        )


def _interrupted(one: Operation, conditions: Conditions) -> bool:
    return one.interrupted if conditions.interrupted is None else conditions.interrupted


def _slowing(one: Operation, conditions: Conditions) -> _Slowing:
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
    return FacingSpeeds(speed, speed)


def _wanted_workings(
    cut: Cut, tool: Tool, base: CuttingSpeed, conditions: Conditions, wanted_rpm: float, unit: Unit
) -> tuple[Working, ...]:
    """From the table's surface speed to the spindle speed wanted, whatever machine there is."""
    slowing, factors = _slowing(cut.operation, conditions), conditions.factors
    one = cut.operation
    slowed = prod(value for _, value in slowing)
    feet, metres = base.feet_a_minute * slowed, base.metres_a_minute * slowed
    by_table = speed_words(base.metres_a_minute, unit)
    numbers = f"{one.kind}, {tool.words}, {base.class_name} iron"
    found = [Working("surface speed", "V by the table", numbers, by_table, base.source)]
    if slowing:
        factors_words = " x ".join(f"{value:g} ({name})" for name, value in slowing)
        numbers = f"{by_table} x {factors_words}"
        found.append(
            Working("slowed speed", "V x factors", numbers, speed_words(metres, unit), factors.source)
        )
    inch = unit is Unit.INCH
    formula = "rpm = 12 V / (pi D)" if inch else "rpm = 1000 V / (pi D)"
    speed = f"{feet:g} ft/min" if inch else f"{metres:.2f} m/min"
    numbers = f"V {speed}, D {show(cut.diameter_nm, unit)}, the {one.governs.words}"
    found.append(Working("wanted spindle speed", formula, numbers, rpm_words(wanted_rpm), _DEFINITION))
    shop = shop_rule_rpm(feet, cut.diameter_nm)
    numbers = f"4 x {feet:g} ft/min / {cut.diameter_nm / NM_PER_INCH:.3f} in"
    source = "US Army OD 1645; takes pi as 3, so 4.7 % fast"
    found.append(Working("the same by the shop rule", "rpm = 4 V / D", numbers, rpm_words(shop), source))
    return tuple(found)


def _pick_working(pick: Pick, machine: MachineTool) -> Working:
    """Which of the machine's speeds it comes to."""
    rule = "nearest spindle speed not above it" if pick.low_enough else "none is low enough: the slowest"
    had = ", ".join(f"{speed:g}" for speed in sorted(machine.speeds))
    numbers = f"wanted {rpm_words(pick.wanted_rpm)}; the machine has {had}"
    return Working("spindle speed", rule, numbers, f"{pick.rpm:g} rpm", "common practice, no source")


def _surface_workings(cut: Cut, rpm: float, speeds: FacingSpeeds, unit: Unit) -> tuple[Working, ...]:
    """How fast the surface then passes."""
    ends = [("surface speed got", cut.diameter_nm, speeds.rim)]
    if cut.inner_diameter_nm is not None:
        ends.append(("surface speed at the inner end", cut.inner_diameter_nm, speeds.boss))
    return tuple(
        Working(
            name,
            "V = pi D n / 1000",
            f"D {nm / NM_PER_MM:.3f} mm, n {rpm:g} rpm",
            speed_words(speed.metres_a_minute, unit),
            _DEFINITION,
        )
        for name, nm, speed in ends
    )


def _feed_workings(
    cut: Cut, feed: _Feeding, rpm: float, minutes: float | None, unit: Unit
) -> tuple[Working, ...]:
    """The feed taken, and the time it makes."""
    smallest = (
        f"machine's smallest {show(feed.least_nm, unit)}" if feed.least_nm else "fed by hand: no smallest"
    )
    numbers = f"wanted {show(feed.wanted_nm, unit)}, {smallest}"
    result = f"{show(feed.nm, unit)} a turn"
    found = [Working("feed", "the larger of wanted and smallest", numbers, result, feed.source)]
    if minutes is not None and cut.length_nm is not None:
        numbers = f"{show(cut.length_nm, unit)} / ({show(feed.nm, unit)} x {rpm:g} rpm)"
        found.append(Working("time", "travel / (feed x rpm)", numbers, minutes_words(minutes), _DEFINITION))
    return tuple(found)


def _load_workings(cut: Cut, load: _Load, machine: MachineTool, unit: Unit) -> tuple[Working, ...]:
    """What one edge asks of the motor."""
    law = f"kc1 {load.iron.kc1:g} N/mm2, m {load.iron.m:g} ({load.iron.name})"
    chip = f"h {load.feed_nm / NM_PER_MM:.3f} mm"
    reach = f"efficiency {machine.efficiency:g}"
    found: list[tuple[str, str, str, str, str]] = []
    if load.force_n is not None and load.power_w is not None and cut.depth_nm is not None:
        numbers = f"b {cut.depth_nm / NM_PER_MM:.3f} mm, {chip}, {law}"
        source = f"Kienzle, a sharp edge square to the feed, an estimate; {load.iron.source}"
        found.append(("cutting force", "Fc = kc1 b h^(1 - m)", numbers, f"{load.force_n:.0f} N", source))
        numbers = f"Fc {load.force_n:.0f} N, V {load.metres:.1f} m/min, {reach}"
        formula = "P = 1000 Fc V / (60000 efficiency)"
        source = f"force times speed, by definition; efficiency: {_efficiency_source(machine)}"
        found.append(("power at the motor", formula, numbers, f"{load.power_w:.1f} W", source))
        if load.share is not None:
            numbers = f"{load.power_w:.1f} W / {machine.motor_w:g} W"
            share = f"{100 * load.share:.0f} %"
            found.append(("share of the motor", "power / motor", numbers, share, _DEFINITION))
    if load.deepest_nm is not None:
        numbers = f"P {machine.motor_w:g} W, {reach}, V {load.metres:.1f} m/min, {chip}, {law}"
        limits = "by power alone: chuck, belt or tool may give way before"
        source = f"Kienzle, turned round; {load.iron.source}; {limits}"
        name = "longest edge" if cut.operation.kind is CutKind.FORM else "deepest cut"
        result = show(load.deepest_nm - load.deepest_nm % 10_000, unit)
        formula = "b = 60 P efficiency / (V kc1 h^(1 - m))"
        found.append((f"{name} for the motor", formula, numbers, result, source))
    return tuple(Working(*one) for one in found)


def _efficiency_source(machine: MachineTool) -> str:
    usual = machine.efficiency == usual_efficiency()
    return str(cutting_table()["machine"]["efficiency_source"]) if usual else "as entered for the machine"
