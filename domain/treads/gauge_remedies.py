"""What puts a gauge right that is shown to be wrong: thinner flanges, or the wheels moved on their axle."""

from dataclasses import dataclass

from domain.lengths import Unit, show
from domain.lengths.fine import fine
from domain.measuring.decision import Conformity, Decision, decide
from domain.treads.judging import Measured
from domain.treads.wheel_gauges import GaugeVerdict, WheelGauges
from domain.treads.wheel_standard import WheelStandard
from domain.working import Working

Flanges = tuple[Measured | None, Measured | None]
Cuts = tuple[int, int]

# Which flanges each gauge counts, in their order: back to back, wheel gauge, check gauges.
_COUNTED: tuple[tuple[int, ...], ...] = ((), (0, 1), (0,), (1,))


@dataclass(frozen=True)
class GaugeRemedy:
    """What to do about one gauge, in sentences, how far it must come, and what comes off each flange, nm."""

    name: str
    need_nm: int
    words: str
    working: Working
    cuts_nm: Cuts = (0, 0)
    thinning: Working | None = None


@dataclass(frozen=True)
class _Set:
    """A wheel set as measured, with what judges it."""

    standard: WheelStandard
    every: tuple[GaugeVerdict, ...]
    flanges: Flanges
    marks: tuple[str, str]
    unit: Unit


def gauge_remedies(
    standard: WheelStandard,
    gauges: WheelGauges,
    flanges: Flanges,
    unit: Unit,
    marks: tuple[str, str] = ("wheel 1", "wheel 2"),
) -> tuple[GaugeRemedy, ...]:
    """What puts each gauge right that is shown to be outside its limits.

    Formula: need = how far beyond its limit + 0.825 U. A flange shown to be over its own limit is thinned to it first;
    what is left comes off the thicker flange until both are alike, then off both in equal shares; or the wheels move
    on the axle. All of it only as far as every gauge and the least flange stay shown to be above their least.
    Parameters: `standard`; `gauges` as wheel_gauges gave them of the two `flanges`, nm; `unit`, shown first; `marks`,
    what the two wheels are called.
    Returns: a remedy for each gauge that is outside, in their order; empty where none is.
    Source: geometry; ISO 14253-1:2017; what to thin or move first is common practice, no source.

    >>> from domain.treads.wheel_gauges import wheel_gauges
    >>> from domain.treads.wheel_standard import preset
    >>> row, flange = preset("ibls-5"), Measured(3_149_600, 0)
    >>> found = wheel_gauges(row, Measured(119_507_000, 0), (flange, flange), Unit.INCH)
    >>> [(one.name, one.need_nm) for one in gauge_remedies(row, found, (flange, flange), Unit.INCH)]
    [('wheel gauge', 330200)]
    """
    every = (gauges.back_to_back, gauges.wheel_gauge, *gauges.check_gauges)
    own = _Set(standard, every, flanges, marks, unit)
    return tuple(
        _remedy(own, gauge, gauge.decision, sides)
        for gauge, sides in zip(every, _COUNTED, strict=True)
        if gauge.answer is Conformity.OUTSIDE and gauge.decision is not None
    )


def _remedy(own: _Set, gauge: GaugeVerdict, found: Decision, sides: tuple[int, ...]) -> GaugeRemedy:
    unit = own.unit
    most = gauge.limits.high_nm if gauge.limits else None
    wide = most is not None and (gauge.nm or 0) > most
    over = -(found.margin_nm or 0)
    need = over + found.guard_nm
    guard = f" + {fine(found.guard_nm, unit)}" if found.guard_nm else ""
    working = Working(
        f"what puts the {gauge.name} right",
        "beyond its limit + 0.825 U",
        f"{fine(over, unit)}{guard}",
        fine(need, unit),
        "ISO 14253-1:2017",
    )
    first = _over_their_own(own, sides) if wide else (0, 0)
    cuts = _cuts(own, sides, first, need) if wide and sides else (0, 0)
    if not _allowed(own, cuts, 0):
        cuts = (0, 0)
    words = (
        _thick_words(own, first, cuts, need) if any(first) else _words(own, gauge, cuts, need, closer=wide)
    )
    return GaugeRemedy(gauge.name, need, words, working, cuts, _cut_working(own, cuts, gauge))


def _words(own: _Set, gauge: GaugeVerdict, cuts: Cuts, need: int, *, closer: bool) -> str:
    """What to do where each flange is good by itself."""
    can = _play(own.every, gauge, closer=closer)
    word = "closer together" if closer else "farther apart"
    ways = [_thin(own, cuts)] if any(cuts) else []
    if can is None or can >= need:
        ways.append(f"bring the wheels {word} on the axle by {show(need, own.unit)}")
    said = [f"To put it right, {', or '.join(ways)}: no other gauge then leaves its limits."] if ways else []
    if can is not None and can < need:
        moved = f"can come no more than {show(can, own.unit)}" if can > 0 else "cannot come"
        said.append(f"The wheels {moved} {word}: beyond that another gauge is not inside its limits.")
    if not ways:
        said.append(
            "With these flanges it cannot be put right: ask the track's owner, or make a wheel again."
        )
    return " ".join(said)


def _thick_words(own: _Set, first: Cuts, cuts: Cuts, need: int) -> str:
    """What to do where a flange is over its own limit: moving the wheels alone would leave it so."""
    named = [f"{mark}'s flange" for side, mark in enumerate(own.marks) if first[side] and _is_over(own, side)]
    over = f"{' and '.join(named)} {'is' if len(named) == 1 else 'are'} over the flange's own limit"
    why = f"{over}, so thin {'that' if len(named) == 1 else 'those'} first."
    ways = [_thin(own, cuts)] if any(cuts) else []
    rest = need - sum(first)
    if rest > 0 and _allowed(own, first, rest):
        closer = f"bring the wheels closer together on the axle by {show(rest, own.unit)}"
        ways.append(f"{_thin(own, first)}, and {closer}")
    if ways:
        return f"To put it right, {', or '.join(ways)}: no other gauge then leaves its limits. {why}"
    thin = _thin(own, first).removeprefix("thin ")
    return f"{why} Thin {thin}; log it again, and look here for the rest."


def _over_their_own(own: _Set, sides: tuple[int, ...]) -> Cuts:
    """What comes off first where a flange is shown to be over its own limit, nm; none where no flange is."""
    if not any(_is_over(own, side) for side in sides):
        return 0, 0
    found = [0, 0]
    for side in sides:
        flange, judged = own.flanges[side], _judged(own, side)
        # One that cannot be told is taken down as well, or the worse would end below it.
        if flange and judged and judged.accept_high_nm is not None:
            found[side] = max(0, flange.nm - judged.accept_high_nm)
    return found[0], found[1]


def _is_over(own: _Set, side: int) -> bool:
    flange, limits, judged = own.flanges[side], own.standard.flange_width, _judged(own, side)
    if flange is None or limits is None or limits.high_nm is None or judged is None:
        return False
    return judged.answer is Conformity.OUTSIDE and flange.nm > limits.high_nm


def _judged(own: _Set, side: int) -> Decision | None:
    limits, flange = own.standard.flange_width, own.flanges[side]
    if limits is None or flange is None or (limits.low_nm is None and limits.high_nm is None):
        return None
    return decide(flange.nm, flange.expanded_nm, limits.low_nm, limits.high_nm, own.unit, "flange")


def _cuts(own: _Set, sides: tuple[int, ...], first: Cuts, need: int) -> Cuts:
    """What comes off each flange: its own excess, then the thicker down to the thinner, then both alike."""
    left = {side: flange.nm - first[side] for side in sides if (flange := own.flanges[side])}
    rest = need - sum(first)
    if rest > 0:
        thin, thick = min(left.values()), max(left.values())
        alone = len(left) == 1 or thick - rest >= thin
        level = thick - rest if alone else (thick + thin - rest) // 2
        left = {side: min(nm, level) for side, nm in left.items()}
    one, two = (
        (flange.nm - left.get(side, flange.nm)) if flange else 0 for side, flange in enumerate(own.flanges)
    )
    return one, two


def _allowed(own: _Set, cuts: Cuts, closer_nm: int) -> bool:
    """Whether every gauge, and every flange that is cut, is then still shown to be above its least."""
    for gauge, sides in zip(own.every, _COUNTED, strict=True):
        least = gauge.decision.accept_low_nm if gauge.decision else None
        less = closer_nm + sum(cuts[side] for side in sides)
        if less and gauge.nm is not None and least is not None and gauge.nm - less < least:
            return False
    for side, cut in enumerate(cuts):
        flange, judged = own.flanges[side], _judged(own, side)
        least = judged.accept_low_nm if judged else None
        if cut and flange and flange.nm - cut < max(least or 0, 1):
            return False
    return True


def _left(own: _Set, cuts: Cuts) -> list[tuple[str, int, int]]:
    """Each flange that is cut: its wheel, what comes off and what is left, nm."""
    three = zip(own.marks, own.flanges, cuts, strict=True)
    return [(mark, cut, flange.nm - cut) for mark, flange, cut in three if cut and flange]


def _thin(own: _Set, cuts: Cuts) -> str:
    parts = _left(own, cuts)
    if len(parts) == 2 and parts[0][2] == parts[1][2]:
        each = ", ".join(f"{mark}'s by {show(cut, own.unit)}" for mark, cut, _ in parts)
        return f"thin both flanges to {show(parts[0][2], own.unit)} ({each})"
    each = " and ".join(
        f"{mark}'s flange to {show(nm, own.unit)}, by {show(cut, own.unit)}" for mark, cut, nm in parts
    )
    return f"thin {each}"


def _cut_working(own: _Set, cuts: Cuts, gauge: GaugeVerdict) -> Working | None:
    parts = _left(own, cuts)
    if not parts:
        return None
    return Working(
        f"what is left of each flange thinned for the {gauge.name}",
        "an excess over its own limit first, then the thicker flange, then both alike",
        "; ".join(f"{mark}: {fine(nm + cut, own.unit)} - {fine(cut, own.unit)}" for mark, cut, nm in parts),
        "; ".join(f"{mark}: {fine(nm, own.unit)}" for mark, _, nm in parts),
        "geometry; which first is common practice, no source",
    )


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
