"""The sums behind a cut's figures, each with its source."""

from math import prod

from domain.cutting.speeds import CutKind, CuttingSpeed, Factors, Tool, cutting_table
from domain.cutting.spindle import (
    FacingSpeeds,
    MachineTool,
    Pick,
    rpm_words,
    shop_rule_rpm,
    usual_efficiency,
)
from domain.cutting.types import Cut, Feeding, Load, Slowing
from domain.cutting.words import minutes_words, speed_words
from domain.lengths import NM_PER_INCH, NM_PER_MM, Unit, show
from domain.working import Working

_DEFINITION = "by definition"


def wanted_workings(
    cut: Cut,
    tool: Tool,
    base: CuttingSpeed,
    slowing: Slowing,
    factors: Factors,
    wanted_rpm: float,
    unit: Unit,
) -> tuple[Working, ...]:
    """From the table's surface speed to the spindle speed wanted, whatever machine there is."""
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


def pick_working(pick: Pick, machine: MachineTool) -> Working:
    """Which of the machine's speeds it comes to."""
    rule = "nearest spindle speed not above it" if pick.low_enough else "none is low enough: the slowest"
    had = ", ".join(f"{speed:g}" for speed in sorted(machine.speeds))
    numbers = f"wanted {rpm_words(pick.wanted_rpm)}; the machine has {had}"
    return Working("spindle speed", rule, numbers, f"{pick.rpm:g} rpm", "common practice, no source")


def surface_workings(cut: Cut, rpm: float, speeds: FacingSpeeds, unit: Unit) -> tuple[Working, ...]:
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


def feed_workings(
    cut: Cut, feed: Feeding, rpm: float, minutes: float | None, unit: Unit
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


def load_workings(cut: Cut, load: Load, machine: MachineTool, unit: Unit) -> tuple[Working, ...]:
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
