"""Back to back, wheel gauge, and back to back with one flange of a wheel set; and what puts a bad one right."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import NM_PER_INCH, Unit, show
from domain.lengths.fine import fine
from domain.measuring.decision import Conformity, Decision, decide
from domain.treads.judging import MeasuredSize
from domain.treads.wheel_standard import Figure, TreadError, WheelStandard
from domain.working import Working

# Printed figures are rounded to 0.001 in; a sum of two may be that far from a third without contradicting it.
_ROUNDING_NM = NM_PER_INCH // 1000
# The least limit of what must only be more than nothing, nm.
MORE_THAN_NOTHING_NM = 1
# What a flange is proposed to.
_PROPOSED_STEP_NM = {Unit.INCH: NM_PER_INCH // 1000, Unit.MM: 50_000}
Flanges = tuple[MeasuredSize | None, MeasuredSize | None]
Cuts = tuple[int, int]
# Which flanges each gauge counts, in their order: back to back, wheel gauge, back to back and one flange.
_COUNTED: tuple[tuple[int, ...], ...] = ((), (0, 1), (0,), (1,))


class Clash(StrEnum):
    """How the figures of one row of a standard can contradict one another."""

    LIMITS_TURNED = "least above most"
    CHECK_GAUGE = "check gauge apart from its parts"
    WHEEL_GAUGE = "wheel gauge apart from its parts"
    NO_ROOM = "no room between the rails"
    BACKS_TOO_WIDE = "backs do not go between the rails"
    CHECK_GAUGE_PLACE = "check gauge not between backs and rails"
    FLANGE_AS_WIDE = "flange as wide as the tyre"
    ROOT_TOO_LARGE = "root radius more than the flange is deep"


@dataclass(frozen=True)
class Contradiction:
    """One contradiction: what it is about, the figure whose limits are meant, and the sizes that clash, nm."""

    clash: Clash
    nm: tuple[int, ...] = ()
    name: str = ""
    figure: Figure | None = None


class Lacking(StrEnum):
    """What must be logged before a gauge is known."""

    BACK = "the back to back"
    FLANGE = "a flange's thickness"


@dataclass(frozen=True)
class GaugeVerdict:
    """One gauge of a wheel set, nm: answer None where it is not to be judged, for want of parts or of limits."""

    name: str
    limits: Figure | None
    lacking: Lacking | None = None
    nm: int | None = None
    expanded_nm: int | None = None
    answer: Conformity | None = None
    decision: Decision | None = None
    working: Working | None = None


@dataclass(frozen=True)
class WheelGauges:
    """The gauges of one wheel set, and its sideways room between the rails (None until both flanges are logged), nm.

    room_answer: whether there is more than none.
    """

    standard: WheelStandard
    back_to_back: GaugeVerdict
    wheel_gauge: GaugeVerdict
    over_one: tuple[GaugeVerdict, ...]
    clearance_nm: int | None
    workings: tuple[Working, ...]
    room_answer: Conformity | None = None

    @property
    def every(self) -> tuple[GaugeVerdict, ...]:
        """All of them, in their order."""
        return (self.back_to_back, self.wheel_gauge, *self.over_one)


@dataclass(frozen=True)
class GaugeRemedy:
    """What to do about one gauge; nm.

    over_nm: how far it is beyond its limit; need_nm: how far it must come to be shown inside it. closer: whether that
    is closer together or farther apart. flanges: both at the tread's level; lower_nm: how much thinner each is where it
    was measured; over_own: which are shown to be over their own limit.
    first_nm: what comes off each flange for its own limit alone; cuts_nm: what comes off each for this gauge, none
    where thinning cannot do it. can_move_nm: how far the wheels can move on the axle before another gauge is not inside
    its limits, None where none has a limit. rest_nm: what is left to move once `first_nm` is off, 0 where it may not.
    """

    name: str
    over_nm: int
    need_nm: int
    closer: bool
    flanges: Flanges
    lower_nm: Cuts = (0, 0)
    over_own: tuple[int, ...] = ()
    first_nm: Cuts = (0, 0)
    cuts_nm: Cuts = (0, 0)
    can_move_nm: int | None = None
    rest_nm: int = 0

    def left(self, cuts: Cuts) -> list[tuple[int, int, int]]:
        """Each flange that is cut: its side, what comes off and what is left where it was measured, nm."""
        both = enumerate(zip(self.flanges, cuts, strict=True))
        return [
            (side, cut, flange.nm - cut - self.lower_nm[side])
            for side, (flange, cut) in both
            if cut and flange
        ]


def contradictions(row: WheelStandard) -> tuple[Contradiction, ...]:
    """Where the figures of one row of a standard contradict one another: warnings, nothing is refused for them.

    Formula: check gauge = back to back + one flange, within 0.001 in of rounding where no limits are printed, or some
    size within the limits; back to back + 2 flanges <= most wheel gauge < track gauge; back to back < check gauge <
    track gauge; flange < tyre; least root radius <= flange depth; least <= most.
    Source: geometry of a wheel set; the rounding is the documents' last decimal.

    >>> from domain.treads.wheel_standard import preset
    >>> contradictions(preset("ibls-5")), [one.clash.name for one in contradictions(preset("ibls-7.25"))]
    ((), ['CHECK_GAUGE'])
    """
    rules = (_limits_turned, _check_gauge_apart, _wheel_gauge_apart, _between_rails, _flange_apart)
    return tuple(found for rule in rules for found in rule(row))


def wheel_gauges(
    standard: WheelStandard, back_to_back: MeasuredSize | None, flanges: Flanges, unit: Unit
) -> WheelGauges:
    """The three gauges of a wheel set from its logged parts, judged by the standard, and its room on the track.

    Formula: wheel gauge = B + f1 + f2; back to back and one flange = B + f1, and B + f2; U by root sum of squares;
    sideways room = track gauge - wheel gauge.
    Parameters: `standard`, with its track gauge; `back_to_back` and the two `flanges`' thicknesses, nm, None while
    they are not logged; `unit`, shown first in the workings.
    Raises: TreadError, field `back_to_back`, `flange.1` or `flange.2`, for a size not above zero or U below it.
    Source: geometry; ISO 14253-1:2017; JCGM 100:2008 (GUM) 5.1.2; the limits are the standard's own.

    >>> from domain.treads.wheel_standard import preset
    >>> flange = MeasuredSize(1_700_000, 0)
    >>> found = wheel_gauges(preset("gauge-1"), MeasuredSize(40_000_000, 0), (flange, flange), Unit.MM)
    >>> found.wheel_gauge.nm, found.clearance_nm
    (43400000, 1600000)
    """
    _check_parts(back_to_back, flanges)
    one, two = flanges
    back = _gauge("back to back", "B", [back_to_back], standard.back_to_back, unit)
    wide = _gauge(
        "wheel gauge", "B + flange 1 + flange 2", [back_to_back, one, two], standard.wheel_gauge, unit
    )
    checks = tuple(
        _gauge(
            f"back to back and flange {side}",
            f"B + flange {side}",
            [back_to_back, flange],
            standard.back_and_flange,
            unit,
        )
        for side, flange in ((1, one), (2, two))
    )
    room = None if wide.nm is None else standard.gauge_nm - wide.nm
    # Rails that just touch both flanges leave no room.
    fits = (
        None
        if room is None
        else decide(
            value_nm=room,
            expanded_nm=wide.expanded_nm or 0,
            low_nm=MORE_THAN_NOTHING_NM,
            high_nm=None,
            unit=unit,
            what="room between the rails",
        ).answer
    )
    workings = [gauge.working for gauge in (back, wide, *checks) if gauge.working is not None]
    workings += [gauge.decision.working for gauge in (back, wide, *checks) if gauge.decision is not None]
    if room is not None and wide.nm is not None:
        numbers = f"{show(standard.gauge_nm, unit)} - {show(wide.nm, unit)}"
        workings.append(
            Working("sideways room", "track gauge - wheel gauge", numbers, show(room, unit), "geometry")
        )
    return WheelGauges(
        standard=standard,
        back_to_back=back,
        wheel_gauge=wide,
        over_one=checks,
        clearance_nm=room,
        room_answer=fits,
        workings=tuple(workings),
    )


def flange_window(
    standard: WheelStandard, back_nm: int, other_nm: int | None = None
) -> tuple[int | None, int | None]:
    """Between what a flange may lie, at the tread's level, to keep its own limits and every gauge it is counted in, nm.

    Formula: least and most of the flange; of back to back and flange, less B; of the wheel gauge, less B and the other
    flange, or half of what that leaves where both are to be alike; the greatest least, and the least most.
    Parameters: `standard`; `back_nm`, the back to back; `other_nm`, the other flange, None where both are to be alike.
    Returns: least and most, None where nothing limits it; the first is the greater where no flange fits.
    Source: geometry; the limits are the standard's own.

    >>> from domain.treads.wheel_standard import preset
    >>> flange_window(preset("ibls-5"), 119_049_800)
    (2959100, 3175000)
    """
    counted = (
        (standard.flange_width, 0, 1),
        (standard.back_and_flange, back_nm, 1),
        (standard.wheel_gauge, back_nm + (other_nm or 0), 2 if other_nm is None else 1),
    )
    ends = [(one, known, share) for one, known, share in counted if one is not None and one.limited]
    least = [-(-(one.low_nm - known) // share) for one, known, share in ends if one.low_nm is not None]
    most = [(one.high_nm - known) // share for one, known, share in ends if one.high_nm is not None]
    return max(least, default=None), min(most, default=None)


def drawn_apart(
    standard: WheelStandard, back_nm: int, flange_nm: int
) -> tuple[tuple[str, int, Figure, tuple[int | None, int | None]], ...]:
    """The gauges that wheels made just as drawn are outside of: name, size, limits, and what the flange may be, nm.

    Formula: wheel gauge = B + 2 flanges; back to back and one flange = B + flange.
    Parameters: `standard`, as the drawing uses it; the drawing's `back_nm` and `flange_nm`.
    Source: geometry; the limits are the standard's own.

    >>> from domain.treads.wheel_standard import preset
    >>> drawn_apart(preset("ibls-5"), 119_049_800, 3_073_400)
    ()
    >>> [(name, nm) for name, nm, _, _ in drawn_apart(preset("ibls-5"), 119_300_000, 3_175_000)]
    [('wheel gauge', 125650000)]
    """
    sums = (
        ("wheel gauge", back_nm + 2 * flange_nm, standard.wheel_gauge),
        ("back to back and flange", back_nm + flange_nm, standard.back_and_flange),
    )
    return tuple(
        (name, nm, limits, flange_window(standard, back_nm))
        for name, nm, limits in sums
        if limits is not None and _is_outside(nm, limits)
    )


def _is_outside(nm: int, limits: Figure) -> bool:
    under = limits.low_nm is not None and nm < limits.low_nm
    return under or (limits.high_nm is not None and nm > limits.high_nm)


def proposed_flange_nm(standard: WheelStandard) -> int | None:
    """The flange to propose for a drawing by this standard, nm; None where it prints none.

    Formula: the middle of flange_window at the back to back printed, to 0.001 in or 0.05 mm, so that flange and gauges
    both have room; what is printed where the window has one end only.
    Source: our own, from the standard's limits.

    >>> from domain.treads.wheel_standard import preset
    >>> [proposed_flange_nm(preset(key)) for key in ("ibls-5", "gauge-1", "nmra-1-in-scale")]
    [3073400, 1250000, None]
    """
    if standard.flange_width is None:
        return None
    least, most = flange_window(standard, standard.back_to_back.nm)
    if least is None or most is None or least > most:
        return standard.flange_width.nm
    step = _PROPOSED_STEP_NM[standard.unit]
    return round((least + most) / 2 / step) * step


def _gauge(
    name: str, formula: str, parts: list[MeasuredSize | None], limits: Figure | None, unit: Unit
) -> GaugeVerdict:
    known = [part for part in parts if part is not None]
    if len(known) < len(parts):
        return GaugeVerdict(name, limits, Lacking.BACK if parts[0] is None else Lacking.FLANGE)
    nm = sum(part.nm for part in known)
    expanded = math.ceil(math.hypot(*(part.expanded_nm for part in known)))
    numbers = " + ".join(fine(part.nm, unit) for part in known)
    working = Working(name, formula, numbers, f"{fine(nm, unit)}, U {fine(expanded, unit)}", "geometry")
    found = None
    if limits is not None and limits.limited:
        found = decide(
            value_nm=nm,
            expanded_nm=expanded,
            low_nm=limits.low_nm,
            high_nm=limits.high_nm,
            unit=unit,
            what=name,
        )
    answer = found.answer if found else None
    return GaugeVerdict(name, limits, None, nm, expanded, answer=answer, decision=found, working=working)


def _check_parts(back: MeasuredSize | None, flanges: Flanges) -> None:
    named = {"back_to_back": back, "flange.1": flanges[0], "flange.2": flanges[1]}
    words = {"back_to_back": "back to back"}
    for field, part in named.items():
        if part is not None and (part.nm <= 0 or part.expanded_nm < 0):
            raise TreadError(
                f"The {words.get(field, 'flange thickness')} must be more than nothing and its U not below it: "
                "measure it again.",
                field=field,
            )


def _limits_turned(row: WheelStandard) -> Iterator[Contradiction]:
    named = {
        "back to back": row.back_to_back,
        "tyre width": row.tyre_width,
        "flange width": row.flange_width,
        "root radius": row.root_radius,
        "wheel gauge": row.wheel_gauge,
        "back to back and flange": row.back_and_flange,
    }
    for name, one in named.items():
        if (
            one is not None
            and None not in (one.low_nm, one.high_nm)
            and (one.low_nm or 0) > (one.high_nm or 0)
        ):
            yield Contradiction(Clash.LIMITS_TURNED, name=name, figure=one)


def _check_gauge_apart(row: WheelStandard) -> Iterator[Contradiction]:
    check, flange = row.back_and_flange, row.flange_width
    if check is None or flange is None:
        return
    if check.limited:
        total, apart = _out_of_reach(row.back_to_back, flange, check)
    else:
        total = row.back_to_back.nm + flange.nm
        apart = abs(check.nm - total)
        apart = 0 if apart <= _ROUNDING_NM else apart
    if apart:
        yield Contradiction(Clash.CHECK_GAUGE, (apart, total), figure=check)


def _out_of_reach(back: Figure, flange: Figure, check: Figure) -> tuple[int, int]:
    """The sum of back to back and flange nearest the check gauge's limits, and how far it stays outside them, nm."""
    least = (back.nm if back.low_nm is None else back.low_nm) + (flange.low_nm or 0)
    if check.high_nm is not None and least > check.high_nm:
        return least, least - check.high_nm
    if back.high_nm is None or flange.high_nm is None or check.low_nm is None:
        return least, 0
    most = back.high_nm + flange.high_nm
    return most, max(0, check.low_nm - most)


def _wheel_gauge_apart(row: WheelStandard) -> Iterator[Contradiction]:
    wide, flange = row.wheel_gauge, row.flange_width
    if wide is None:
        return
    most = wide.nm if wide.high_nm is None else wide.high_nm
    if flange is not None and (total := row.back_to_back.nm + 2 * flange.nm) > most + _ROUNDING_NM:
        yield Contradiction(Clash.WHEEL_GAUGE, (total - most, total, most))
    if most >= row.gauge_nm:
        yield Contradiction(Clash.NO_ROOM, (most, row.gauge_nm))


def _between_rails(row: WheelStandard) -> Iterator[Contradiction]:
    back, check = row.back_to_back.nm, row.back_and_flange
    if back >= row.gauge_nm:
        yield Contradiction(Clash.BACKS_TOO_WIDE, (back, row.gauge_nm))
    if check is not None and not back < check.nm < row.gauge_nm:
        yield Contradiction(Clash.CHECK_GAUGE_PLACE, (check.nm, back, row.gauge_nm))


def _flange_apart(row: WheelStandard) -> Iterator[Contradiction]:
    flange, root = row.flange_width, row.root_radius
    tyre, depth = row.tyre_width, row.flange_depth
    if flange is not None and tyre is not None and flange.nm >= tyre.nm:
        yield Contradiction(Clash.FLANGE_AS_WIDE, (flange.nm, tyre.nm))
    if root is not None and depth is not None and root.nm > depth.nm:
        yield Contradiction(Clash.ROOT_TOO_LARGE, (root.nm, depth.nm))


@dataclass(frozen=True)
class _Set:
    """A wheel set as measured, with what judges it."""

    gauges: WheelGauges
    flanges: Flanges
    unit: Unit
    lower_nm: Cuts


def gauge_remedies(
    gauges: WheelGauges, flanges: Flanges, unit: Unit, lower_nm: Cuts = (0, 0)
) -> tuple[GaugeRemedy, ...]:
    """What puts each gauge right that is shown to be outside its limits.

    Formula: need = how far beyond its limit + 0.825 U. A flange shown to be over its own limit is thinned to it first;
    what is left comes off the thicker flange until both are alike, then off both in equal shares; or the wheels move
    on the axle. All of it only as far as every gauge and the least flange stay shown to be above their least.
    Parameters: `gauges` as wheel_gauges gave them of the two `flanges`, nm; `unit`; `lower_nm`, how much thinner each flange
    is where it was measured than at the tread's level.
    Returns: a remedy for each gauge that is outside, in their order; empty where none is.
    Source: geometry; ISO 14253-1:2017; what to thin or move first is common practice, no source.

    >>> from domain.treads.wheel_standard import preset
    >>> row, flange = preset("ibls-5"), MeasuredSize(3_149_600, 0)
    >>> found = wheel_gauges(row, MeasuredSize(119_507_000, 0), (flange, flange), Unit.INCH)
    >>> [(one.name, one.need_nm) for one in gauge_remedies(found, (flange, flange), Unit.INCH)]
    [('wheel gauge', 330200)]
    """
    own = _Set(gauges, flanges, unit, lower_nm)
    return tuple(
        _remedy(own, gauge, gauge.decision, sides)
        for gauge, sides in zip(gauges.every, _COUNTED, strict=True)
        if gauge.answer is Conformity.OUTSIDE and gauge.decision is not None
    )


def _remedy(own: _Set, gauge: GaugeVerdict, found: Decision, sides: tuple[int, ...]) -> GaugeRemedy:
    most = gauge.limits.high_nm if gauge.limits else None
    wide = most is not None and (gauge.nm or 0) > most
    over = -(found.margin_nm or 0)
    need = over + found.guard_nm
    first = _over_their_own(own, sides) if wide else (0, 0)
    cuts = _cuts(own, sides, first, need) if wide and sides else (0, 0)
    rest = need - sum(first)
    return GaugeRemedy(
        name=gauge.name,
        over_nm=over,
        need_nm=need,
        closer=wide,
        flanges=own.flanges,
        lower_nm=own.lower_nm,
        over_own=tuple(side for side in (0, 1) if first[side] and _is_over(own, side)),
        first_nm=first,
        cuts_nm=cuts if _allowed(own, cuts, 0) else (0, 0),
        can_move_nm=_play(own.gauges.every, gauge, closer=wide),
        rest_nm=rest if any(first) and rest > 0 and _allowed(own, first, rest) else 0,
    )


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
    flange, limits, judged = own.flanges[side], own.gauges.standard.flange_width, _judged(own, side)
    if flange is None or limits is None or limits.high_nm is None or judged is None:
        return False
    return judged.answer is Conformity.OUTSIDE and flange.nm > limits.high_nm


def _judged(own: _Set, side: int) -> Decision | None:
    limits, flange = own.gauges.standard.flange_width, own.flanges[side]
    if limits is None or flange is None or not limits.limited:
        return None
    return decide(
        value_nm=flange.nm,
        expanded_nm=flange.expanded_nm,
        low_nm=limits.low_nm,
        high_nm=limits.high_nm,
        unit=own.unit,
        what="flange",
    )


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
    for gauge, sides in zip(own.gauges.every, _COUNTED, strict=True):
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
