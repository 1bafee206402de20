"""What the cranks' sheets say: the crankpin holes and their jig, the throws, and the quartering with its workings."""

from collections.abc import Iterator, Sequence

from domain.answer import Answer, worst
from domain.cranks.crankpins import (
    LEAST_CLEARANCE_NM,
    HoleRoom,
    JigReadings,
    JigThrow,
    JigThrowKind,
    PlugSize,
)
from domain.cranks.cylinders import Side
from domain.cranks.jigs import JigFit, JigPart
from domain.cranks.quartering import (
    Branch,
    MeasuredLength,
    PinAngle,
    QuarterAngle,
    QuarteredAxle,
    WheelTurn,
    wrapped_deg,
)
from domain.cranks.quartering_set import AxleSet, AxleTurn
from domain.cranks.squareness import PinLean
from domain.cranks.throws import (
    ALIKE_NM,
    FAR_NM,
    NEAR_NM,
    UNLIKE_NM,
    OddThrow,
    SideThrows,
    ThrowsFinding,
    WheelThrow,
)
from domain.lengths import Unit, show, show_offset, show_small
from domain.measuring.decision_types import Conformity
from domain.working import Working

# The answer on an angle, as the sheets and the journal say it.
QUARTER_ANSWERS = {
    Conformity.INSIDE: "good",
    Conformity.OUTSIDE: "no good",
    Conformity.CANNOT_TELL: "cannot tell",
}
# How the throws of each side compare where all is well, to stand after the verdict.
_ALIKE = "the throws of each side are alike"
_ALONE = "no side has two throws to be compared"
_GUM = "JCGM 100:2008 (GUM) 5.1.2, k = 2; the sensitivities are derived here"


def degrees(angle: float) -> str:
    """An angle in words, to a hundredth of a degree and without a minus before nothing.

    >>> degrees(90.03784), degrees(-0.001)
    ('90.04 degrees', '0.00 degrees')
    """
    return f"{round(angle, 2) + 0.0:.2f} degrees"


def _worked(angle: float) -> str:
    """An angle in a working, to a thousandth of a degree."""
    return f"{round(angle, 3) + 0.0:.3f} degrees"


def room_words(room: HoleRoom, unit: Unit) -> str:
    """The metal left round the crankpin hole."""
    words = f"{show(room.inner_nm, unit)} of metal is left towards the bore and {show(room.outer_nm, unit)} outwards"
    return f"{words}: that is thin, drill it well under size and bore it out." if room.thin else f"{words}."


def plug_words(plug: PlugSize, unit: Unit) -> str:
    """How large to turn a plug of the jig, and what its shake may cost."""
    return (
        f"Turn the plug {show(plug.least_nm, unit)} to {show(plug.most_nm, unit)}. In the largest bore it may shake by"
        f" {show_small(plug.shake_nm, unit)}, which can put a hole {show_small(plug.throw_error_nm, unit)} out of its throw"
        " either way: push it to the same side each time."
    )


def readings_words(readings: JigReadings, unit: Unit) -> str:
    """What must be read over the jig's plugs and between them."""
    words = f"Over the plugs it must read {show(readings.over_nm, unit)}"
    if readings.between_nm is None:
        return f"{words}; between them there is no room."
    return f"{words}, between them {show(readings.between_nm, unit)}."


def jig_words(found: JigThrow, unit: Unit) -> str:
    """How far the jig's throw is from the drawing's, and what that means."""
    off = f"{show_small(found.off_nm, unit, signed=True)} from the drawing"
    if found.kind is JigThrowKind.OTHER_UNIT:
        much = "more than twice" if found.off_nm > 0 else "less than half of"
        name = "inches" if unit is Unit.INCH else "millimetres"
        return f"{off}, {much} its throw: was another unit meant? A number alone is in {name}."
    if found.kind is JigThrowKind.FAR:
        return f"{off}: measure again, or the jig is for another throw."
    return f"{off}. Drill every wheel of the build with this one jig: that all throws are alike matters more than that."


def fit_words(fit: JigFit, unit: Unit) -> str:
    """Whether a jig fits a pattern of wheel, and each part that is not simply good; without a full stop.

    >>> from domain.cranks.jigs import Jig, judge_jig
    >>> jig = Jig("A", 28_000_000, 19_060_000, 8_000_000)
    >>> fit_words(judge_jig(jig, 28_000_000, 8_000_000, [19_050_000], measured=True), Unit.MM)
    'no good: its plug is 0.010 mm (0.0004 in) larger than the smallest bore'
    """
    said = [_part_words(fit, part, unit) for part, answer in fit.parts.items() if answer is not Answer.SERVES]
    by = "" if fit.measured else ", by the drawn bore"
    return f"{fit.answer.words}{by}{': ' if said else ''}{'; '.join(said)}"


def _part_words(fit: JigFit, part: JigPart, unit: Unit) -> str:
    off = fit.off_nm[part]
    apart = show_small(abs(off), unit)
    if part is JigPart.PLUG:
        if off < 0:
            return f"its plug is {apart} larger than the {'smallest' if fit.measured else 'drawn'} bore"
        if off < LEAST_CLEARANCE_NM:
            return f"its plug has no more than {apart} of room in the smallest bore"
        return f"its plug shakes by {show_small(fit.shake_nm, unit)}: push it to the same side each time"
    if part is JigPart.THROW:
        return f"its throw is {apart} {'longer' if off > 0 else 'shorter'} than the drawing's"
    if off > 0:
        return f"its bush lets a hole come {apart} larger than drawn"
    return f"its bush is {apart} smaller than the hole: it guides a pilot drill, open the hole out after"


def odd_words(odd: Sequence[OddThrow]) -> str:
    """Which wheels of a side stand out, and which way; without a full stop, empty where none does.

    >>> odd_words([OddThrow("W1", 254_000)]), odd_words([OddThrow("W1", 254_000), OddThrow("W5", -127_000)])
    ('W1 longer than its fellows', 'W1 longer and W5 shorter than their fellows')
    """
    parts = [f"{one.mark} {'longer' if one.nm > 0 else 'shorter'}" for one in odd]
    if not parts:
        return ""
    *rest, last = parts
    named = f"{', '.join(rest)} and {last}" if rest else last
    return f"{named} than {'their' if rest else 'its'} fellows"


def apart_words(side: SideThrows, odd: Sequence[OddThrow], unit: Unit) -> str:
    """How far the throws of a side lie apart, and whose stand out: the one way it is said, to stand after a verdict.

    >>> from domain.cranks.throws import Throw, judge_throws
    >>> throws = [Throw(f"W{n}", nm, Side.LEFT) for n, nm in ((1, 22_225_000), (3, 22_225_000), (5, 22_325_000))]
    >>> side = judge_throws(throws, 22_225_000).sides[0]
    >>> apart_words(side, side.odd(), Unit.MM)
    'the left throws lie 0.100 mm (0.0039 in) apart, W5 longer than its fellows'
    """
    unsure = ""
    if side.answer is Answer.CANNOT_TELL:
        unsure = f", give or take {show_small(side.expanded_nm, unit)}"
    apart = f"the {side.side} throws lie {show_small(side.spread_nm, unit)} apart{unsure}"
    return ", ".join(filter(None, (apart, odd_words(odd))))


def throw_headline(wheel: WheelThrow, side: SideThrows | None, unit: Unit) -> str:
    """What a wheel's throw is worth, in a line without a full stop; `side` is None on no coupled axle.

    >>> from domain.cranks.throws import Throw, judge_throws
    >>> two = [Throw("W1", 22_230_000, Side.LEFT), Throw("W3", 22_240_000, Side.LEFT)]
    >>> found = judge_throws(two, 22_225_000)
    >>> throw_headline(found.wheels[0], found.sides[0], Unit.MM)
    'Good: the left throws lie within 0.010 mm (0.0004 in) of each other'
    """
    off = f"throw {show_small(abs(wheel.off_nm), unit)} away from the drawing"
    if wheel.answer is Answer.NOT:
        return f"No good: {off}, measure again before going on"
    unlike = side is not None and side.answer is not Answer.SERVES
    odd = side if side is not None and unlike and side.is_odd(wheel.throw.mark) else None
    if wheel.answer is Answer.CANNOT_TELL and (odd is None or odd.answer is not Answer.NOT):
        return f"Cannot tell: {off}, give or take {show_small(wheel.throw.expanded_nm, unit)}"
    if odd is not None:
        return f"{odd.answer.words.capitalize()}: {apart_words(odd, odd.odd(), unit)}"
    if wheel.answer is Answer.CAUTION:
        return f"Take care: {off}, pistons and valve gear mind it"
    if side is not None and unlike:
        return f"Good: others set the {side.side} throws apart, {odd_words(side.odd())}"
    if side is None:
        return f"Good: {off}, on no coupled axle"
    if side.alone:
        return f"Good: {off}, the first logged on the {side.side}"
    return f"Good: the {side.side} throws lie within {show_small(side.spread_nm, unit)} of each other"


def throw_reason(wheel: WheelThrow, side: SideThrows | None, unit: Unit) -> str:
    """The sentences under a throw's headline."""
    words = (
        f"The drawing is {show_small(abs(wheel.off_nm), unit)} away; that the throws of one side are alike matters more, for"
        " its rods join them."
    )
    if side is None or not side.spread_nm:
        return words
    play = show_small(2 * side.spread_nm, unit)
    return f"{words} A rod between the two that differ most needs {play} of play in its two bushes together."


def near_words(unit: Unit) -> str:
    """How near the drawing a throw is good and from where on it is not, without a full stop.

    >>> near_words(Unit.MM)
    'good within 0.250 mm (0.0098 in) of the drawing, no good past 0.500 mm (0.0197 in)'
    """
    return f"good within {show_small(NEAR_NM, unit)} of the drawing, no good past {show_small(FAR_NM, unit)}"


def alike_words(unit: Unit) -> str:
    """How far apart the throws of a side are good and from where on they are not, without a full stop.

    >>> alike_words(Unit.MM)
    'good up to 0.050 mm (0.0020 in) apart, no good past 0.150 mm (0.0059 in)'
    """
    return f"good up to {show_small(ALIKE_NM, unit)} apart, no good past {show_small(UNLIKE_NM, unit)}"


def throw_ways(wheel: WheelThrow, side: SideThrows | None, *, pressed: bool) -> Iterator[tuple[str, str]]:
    """What to do about a throw that is not good, least work first: a key and a sentence each; none for a good one.

    pressed: whether the wheel is on its axle, where no other takes its place. Source: common practice, no source.

    >>> from domain.cranks.throws import Throw, judge_throws
    >>> two = [Throw("W1", 22_225_000, Side.LEFT), Throw("W3", 22_425_000, Side.LEFT)]
    >>> found = judge_throws(two, 22_225_000)
    >>> [key for key, _ in throw_ways(found.wheels[1], found.sides[0], pressed=True)]
    ['throw_again', 'drill_again']
    """
    odd = side is not None and side.answer is not Answer.SERVES and side.is_odd(wheel.throw.mark)
    if wheel.answer is Answer.SERVES and not odd:
        return
    yield (
        "throw_again",
        "Measure it again, the same way as its fellows: over the same plugs, with the same instrument.",
    )
    yield "drill_again", "Bush its crankpin hole and drill it again through the jig that drilled its fellows."
    if not pressed:
        yield "spare", "Put a spare that was drilled through the same jig in its place."


def throws_words(found: ThrowsFinding, unit: Unit) -> str:
    """What the throws of the engine are worth together; empty while none is logged.

    >>> from domain.cranks.throws import Throw, judge_throws
    >>> throws = [Throw(f"W{n}", 22_225_000, side) for n, side in enumerate((Side.LEFT, Side.RIGHT) * 2, 1)]
    >>> throws_words(judge_throws(throws, 22_225_000), Unit.MM)
    'Good: the throws of each side are alike.'
    """
    if not found.sides:
        return ""
    together = worst(*(side.answer for side in found.sides))
    clause = "; ".join(apart_words(side, side.odd(), unit) for side in found.unlike) or _ALIKE
    if all(side.alone for side in found.sides):
        clause = _ALONE
    elif not found.unlike and len(found.sides) > 1 and _sides_differ(found.sides[0], found.sides[1]):
        clause = "the sides differ, but each is alike in itself, which is what the rods ask for"
    off = [one for one in found.wheels if one.throw.side is not None and one.answer is not Answer.SERVES]
    apart = worst(*(one.answer for one in off)) if off else Answer.SERVES
    much = ", ".join(f"{one.throw.mark} by {show_small(one.off_nm, unit, signed=True)}" for one in off)
    do = "pistons and valve gear mind it" if apart is Answer.CAUTION else "measure again before going on"
    away = f"{much} away from the drawing; {do}"
    if worst(together, apart) is not together:
        return f"{_judged(apart, away)} {_sentence(clause)}"
    # One throw a side is neither alike nor not: that is no verdict yet.
    first = _sentence(clause) if clause is _ALONE else _judged(together, clause)
    return " ".join([first, *([_sentence(away)] if off else [])])


def _sides_differ(one: SideThrows, other: SideThrows) -> bool:
    return abs(one.middle_nm - other.middle_nm) > ALIKE_NM


def _judged(answer: Answer, clause: str) -> str:
    return f"{answer.words.capitalize()}: {clause}."


def _sentence(clause: str) -> str:
    return f"{clause[0].upper()}{clause[1:]}."


def side_working(side: SideThrows, unit: Unit) -> Working:
    """How the throws of a side were compared."""
    return Working(
        f"{side.side} throws",
        "largest |r1 - r2| of the side; play of two bushes = 2 |r1 - r2|",
        f"{len(side.throws)} of them, from {show(side.low.nm, unit)} to {show(side.high.nm, unit)}, U"
        f" {show(side.expanded_nm, unit)}; alike up to {show(ALIKE_NM, unit)}, with care up to {show(UNLIKE_NM, unit)}",
        f"{show(side.spread_nm, unit)} apart",
        "geometry of two cranks and a rod; ISO 14253-1:2017 where U counts; the limits are common practice, no source",
    )


def wheel_working(wheel: WheelThrow, drawing_nm: int, unit: Unit) -> Working:
    """How a throw was compared with the drawing."""
    return Working(
        f"throw of {wheel.throw.mark}",
        "r - drawing",
        f"{show(wheel.throw.nm, unit)} - {show(drawing_nm, unit)}, U {show(wheel.throw.expanded_nm, unit)}; good up to"
        f" {show(NEAR_NM, unit)} either way, with care up to {show(FAR_NM, unit)}",
        show_offset(wheel.off_nm, unit),
        "ISO 14253-1:2017 where U counts; the limits are common practice, no source",
    )


def quarter_words(found: QuarterAngle) -> str:
    """The verdict on one angle in a sentence or two."""
    if not found.lead_right:
        return (
            f"The {found.behind} pin is {degrees(360.0 - found.angle_deg)} ahead and should be behind: if front and rear"
            " were not named from the wrong side, one wheel must be turned on the axle."
        )
    words = f"The {found.ahead} pin is {degrees(found.angle_deg)} ahead of the {found.behind} one"
    if degrees(found.departure_deg) != degrees(0.0):
        way = "more" if found.departure_deg > 0 else "less"
        words += f", {degrees(abs(found.departure_deg))} {way} than wanted"
    tolerance = degrees(found.tolerance_deg)
    if found.answer is Conformity.INSIDE:
        return f"{words}: within {tolerance}."
    if found.answer is Conformity.OUTSIDE:
        return f"{words}: outside {tolerance}."
    return (
        f"{words}: with an uncertainty of {degrees(found.expanded_deg)} one cannot tell whether that is within"
        f" {tolerance}; read the heights more finely, or with the pins nearer to their best height."
    )


def error_words(found: QuarterAngle) -> str:
    """How far an angle is from the drawing's, to stand after a colon; without a full stop.

    >>> from domain.cranks.cylinders import crank_angles
    >>> from domain.cranks.quartering import Pin, measure_axle
    >>> right = Pin(Side.RIGHT, Branch.FRONT, MeasuredLength(75_800_000), MeasuredLength(22_225_000))
    >>> left = Pin(Side.LEFT, Branch.REAR, MeasuredLength(75_500_000), MeasuredLength(22_225_000))
    >>> sheet = measure_axle([right, left], MeasuredLength(60_000_000), crank_angles(2, Side.RIGHT), 0.1, Unit.MM)
    >>> error_words(sheet.quarter)
    'its quarter angle is 0.47 degrees wider than drawn'
    """
    if not found.lead_right:
        return f"its {found.behind} pin is ahead and should be behind"
    way = "wider" if found.departure_deg > 0 else "narrower"
    return f"its quarter angle is {degrees(abs(found.departure_deg))} {way} than drawn"


def quarter_workings(sheet: QuarteredAxle, centre: MeasuredLength, unit: Unit) -> tuple[Working, ...]:
    """Where each pin points, and each angle with its uncertainty."""
    pins = (_pin_working(one, centre, unit) for one in sheet.pins)
    return (*pins, *(working for angle in sheet.angles for working in _angle_workings(angle)))


def _pin_working(found: PinAngle, centre: MeasuredLength, unit: Unit) -> Working:
    pin = found.pin
    return Working(
        f"where the {pin.side} pin points",
        "asin((h - hc) / r)" if pin.branch is Branch.FRONT else "180 - asin((h - hc) / r)",
        f"h {show(pin.height.nm, unit)}, hc {show(centre.nm, unit)}, r {show(pin.throw.nm, unit)}",
        f"{_worked(found.elevation_deg)} up from the front",
        "geometry",
    )


def _angle_workings(found: QuarterAngle) -> tuple[Working, Working]:
    ahead, behind = found.ahead, found.behind
    first, second = (_worked(one) for one in found.elevations_deg)
    return (
        Working(
            f"{ahead} pin ahead of the {behind} one",
            f"elevation of the {behind} pin - elevation of the {ahead} one, taken forwards",
            f"{second} - {first}, wanted {_worked(found.wanted_deg)}",
            _worked(found.angle_deg),
            "geometry; running forwards a pin goes from the rear over the top to the front",
        ),
        Working(
            f"uncertainty of {ahead} ahead of {behind}",
            "U^2 = sum (U_h / (r cos e))^2 + sum (tan e U_r / r)^2 + (1/(r1 cos e1) - 1/(r2 cos e2))^2 U_hc^2",
            f"e1 {first}, e2 {second}",
            _worked(found.expanded_deg),
            _GUM,
        ),
    )


def turning_words(found: WheelTurn, unit: Unit) -> str:
    """Which way and how far to turn a wheel."""
    wheel = "inside crank" if found.side is Side.INSIDE else f"{found.side} wheel"
    if degrees(found.turn_deg) == degrees(0.0):
        return f"The {wheel} needs no turning."
    hand = "clockwise" if found.clockwise else "anticlockwise"
    way = "forwards" if found.forwards else "backwards"
    words = (
        f"Seen from the {found.seen_from} side, turn the {wheel} {hand} ({way})"
        f" by {degrees(found.turn_deg)}, {show_small(found.arc_nm, unit)} at the crankpin"
    )
    if found.height_serves:
        heights = f"{show(found.height_now_nm, unit)} to {show(found.height_then_nm, unit)}"
        words += f": with the axle as it lies the pin goes from {heights}"
    if not found.worth_it:
        words += ". That is no more than the uncertainty: measure more finely before you turn it"
    return f"{words}."


def turning_working(found: WheelTurn, unit: Unit) -> Working:
    """How a turn came about."""
    return Working(
        f"turning the {found.side} pin",
        "r x turn x pi / 180; height after = hc + r sin(elevation after)",
        f"r {show(found.throw_nm, unit)}, turn {_worked(found.turn_deg)}, elevation from {_worked(found.now_deg)} to"
        f" {_worked(wrapped_deg(found.then_deg))}",
        show(found.arc_nm, unit),
        "geometry",
    )


def set_words(found: AxleSet, unit: Unit) -> str:
    """How alike the axles are, and what that asks of the rods."""
    spread = f"{degrees(found.spread_deg)} of each other (uncertainty {degrees(found.spread_expanded_deg)})"
    words = f"The axles lie within {spread}, which asks for {show_small(found.play_nm, unit)} of length play in each rod."
    if found.answer is not None:
        words += {
            Conformity.INSIDE: " That is within what is allowed.",
            Conformity.OUTSIDE: " That is more than is allowed.",
            Conformity.CANNOT_TELL: " Whether that is within what is allowed one cannot tell: measure more finely.",
        }[found.answer]
    if degrees(found.shared_deg) != degrees(0.0):
        way = "more" if found.shared_deg > 0 else "less"
        words += (
            f" On average they are {degrees(abs(found.shared_deg))} {way} than the drawing."
            " A shared departure from the drawing does not bind the rods."
        )
    return words


def order_words(turn: AxleTurn, unit: Unit) -> str:
    """Which axle is set again and by how much, the one way it is said; to stand after a colon, without a full stop.

    >>> order_words(AxleTurn(2, -0.3, Side.RIGHT, False, 132_994), Unit.MM)
    'axle 2: set its right wheel backwards by 0.30 degrees, 0.133 mm (0.0052 in) at the crankpin'
    """
    way = "forwards" if turn.forwards else "backwards"
    far = f"{degrees(abs(turn.turn_deg))}, {show_small(turn.arc_nm, unit)}"
    return f"axle {turn.axle}: set its {turn.side} wheel {way} by {far} at the crankpin"


def agree_words(found: AxleSet) -> str:
    """What is said beside the axles to set again, or in their place; empty where there is nothing to say.

    One of them: how nearly all agree then; several: that one alone will not do; none, though they do not agree: why.
    """
    if len(found.to_set) > 1:
        return "One axle alone will not do it."
    if found.to_set and found.reset is not None:
        return f"Then all agree within {degrees(found.reset.spread_after_deg)}."
    if found.answer is None or found.answer is Conformity.INSIDE:
        return ""
    if found.answer is Conformity.CANNOT_TELL:
        return "Measure more finely before setting one again."
    return "None stands out by more than the uncertainty: measure more finely before setting one again."


def set_workings(found: AxleSet, unit: Unit) -> tuple[Working, Working]:
    """How the spread of the axles and the play came about."""
    low, high = found.low, found.high
    return (
        Working(
            "spread of the crank angles",
            "largest - smallest; U^2 = U_largest^2 + U_smallest^2",
            f"axle {high.axle} {_worked(high.angle_deg)}, axle {low.axle} {_worked(low.angle_deg)};"
            f" U {_worked(high.expanded_deg)} and {_worked(low.expanded_deg)}",
            f"{_worked(found.spread_deg)}, U {_worked(found.spread_expanded_deg)}",
            "JCGM 100:2008 (GUM) 5.1.2, taken as independent",
        ),
        Working(
            "length play each rod needs",
            "r D max(cos(w/2), sin(w/2)) / 2, D in radians, w between the cranks",
            f"r {show(found.throw_nm, unit)}, D {_worked(found.spread_deg)}",
            show(found.play_nm, unit),
            "derived here, first order; no published source",
        ),
    )


def lean_words(lean: PinLean, unit: Unit) -> str:
    """How square a crankpin stands, without a full stop.

    >>> lean_words(PinLean(8_000, 20_000_000, 0, Answer.SERVES), Unit.MM)
    'square within 0.008 mm (0.0003 in) over 20.000 mm (0.7874 in)'
    """
    out = f"{show_small(lean.lean_nm, unit)} over {show(lean.over_nm, unit)}"
    if lean.answer is Answer.SERVES:
        return f"square within {out}"
    return f"{lean.answer.words}{' whether it is square' if lean.answer is Answer.CANNOT_TELL else ''}, leans {out}"
