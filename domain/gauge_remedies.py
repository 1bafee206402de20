"""What puts a gauge right that is shown to be wrong: thinner flanges, or the wheels moved on their axle."""

from dataclasses import dataclass

from domain.decision import Conformity, Decision
from domain.length import Unit, show
from domain.length_fine import fine
from domain.tread_judging import Measured
from domain.wheel_gauges import GaugeVerdict, WheelGauges
from domain.wheel_standard import WheelStandard
from domain.working import Working

Flanges = tuple[Measured | None, Measured | None]


@dataclass(frozen=True)
class GaugeRemedy:
    """What to do about one gauge, in sentences, and how far it must come, nm."""

    name: str
    need_nm: int
    words: str
    working: Working


def gauge_remedies(
    standard: WheelStandard, gauges: WheelGauges, flanges: Flanges, unit: Unit
) -> tuple[GaugeRemedy, ...]:
    """What puts each gauge right that is shown to be outside its limits.

    Formula: need = how far beyond its limit + 0.825 U, off the flanges it counts, in equal shares, or by moving the
    wheels on the axle; the wheels may move, and flanges be thinned, as far as every other gauge and the least flange
    stay shown to be inside their limits.
    Parameters: `standard`; `gauges` as wheel_gauges gave them of the two `flanges`, nm; `unit`, shown first.
    Returns: a remedy for each gauge that is outside, in their order; empty where none is.
    Raises: nothing.
    Source: geometry; ISO 14253-1:2017; what to move first is common practice, no source.

    >>> from domain.wheel_gauges import wheel_gauges
    >>> from domain.wheel_standard import preset
    >>> row, flange = preset("ibls-5"), Measured(3_149_600, 0)
    >>> found = wheel_gauges(row, Measured(119_507_000, 0), (flange, flange), Unit.INCH)
    >>> [(one.name, one.need_nm) for one in gauge_remedies(row, found, (flange, flange), Unit.INCH)]
    [('wheel gauge', 330200)]
    """
    one, two = flanges
    every = (gauges.back_to_back, gauges.wheel_gauge, *gauges.check_gauges)
    counted = ((), (one, two), (one,), (two,))
    found = []
    for gauge, parts in zip(every, counted, strict=True):
        if gauge.answer is Conformity.OUTSIDE and gauge.decision is not None:
            known = [part for part in parts if part is not None]
            found.append(_remedy(standard, gauge, gauge.decision, every, known, unit))
    return tuple(found)


def _remedy(
    standard: WheelStandard,
    gauge: GaugeVerdict,
    found: Decision,
    every: tuple[GaugeVerdict, ...],
    flanges: list[Measured],
    unit: Unit,
) -> GaugeRemedy:
    size, most = gauge.nm or 0, gauge.limits.high_nm if gauge.limits else None
    wide = most is not None and size > most
    over = -(found.margin_nm or 0)
    need = over + found.guard_nm
    word = "closer together" if wide else "farther apart"
    can = _play(every, gauge, closer=wide)
    ways = (
        [way] if wide and flanges and (way := _thinning(standard, gauge, every, flanges, need, unit)) else []
    )
    if can is None or can >= need:
        ways.append(f"bring the wheels {word} on the axle by {show(need, unit)}")
    said = [f"To put it right, {', or '.join(ways)}: no other gauge then leaves its limits."] if ways else []
    if can is not None and can < need:
        moved = f"can come no more than {show(can, unit)}" if can > 0 else "cannot come"
        said.append(f"The wheels {moved} {word}: beyond that another gauge is not inside its limits.")
    if not ways:
        said.append(
            "With these flanges it cannot be put right: ask the track's owner, or make a wheel again."
        )
    guard = f" + {fine(found.guard_nm, unit)}" if found.guard_nm else ""
    working = Working(
        f"what puts the {gauge.name} right",
        "beyond its limit + 0.825 U",
        f"{fine(over, unit)}{guard}",
        fine(need, unit),
        "ISO 14253-1:2017",
    )
    return GaugeRemedy(gauge.name, need, " ".join(said), working)


def _thinning(
    standard: WheelStandard,
    own: GaugeVerdict,
    every: tuple[GaugeVerdict, ...],
    flanges: list[Measured],
    need_nm: int,
    unit: Unit,
) -> str:
    """What comes off the flanges; empty where the least flange or another gauge forbids it."""
    each = -(-need_nm // len(flanges))
    least = standard.flange_width.low_nm if standard.flange_width else None
    if any(one.nm - each < max(least or 0, 1) for one in flanges):
        return ""
    play = _play(every[1:], own, closer=True)
    if play is not None and play < each:
        return ""
    if len(flanges) == 1:
        return f"thin this flange by {show(each, unit)}, to {show(flanges[0].nm - each, unit)}"
    left = " and ".join(dict.fromkeys(show(one.nm - each, unit) for one in flanges))
    return f"thin both flanges by {show(each, unit)} each, to {left}"


def _play(every: tuple[GaugeVerdict, ...], own: GaugeVerdict, *, closer: bool) -> int | None:
    """How far the other gauges may change and still be shown to be inside, nm; None where none has a limit."""
    room = []
    for gauge in every:
        if gauge is own or gauge.nm is None or gauge.decision is None:
            continue
        least, most = gauge.decision.accept_low_nm, gauge.decision.accept_high_nm
        if closer and least is not None:
            room.append(gauge.nm - least)
        if not closer and most is not None:
            room.append(most - gauge.nm)
    return min(room, default=None)
