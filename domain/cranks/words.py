"""What the cranks' sheets say: the crankpin holes and their jig, the throws, and the quartering with its workings."""

from collections.abc import Sequence

from domain.answer import Answer
from domain.cranks.crankpins import HoleRoom, JigReadings, JigThrow, JigThrowKind, PlugSize
from domain.cranks.cylinders import Side
from domain.cranks.quartering import (
    Branch,
    MeasuredLength,
    PinAngle,
    QuarterAngle,
    QuarteredAxle,
    WheelTurn,
    wrapped_deg,
)
from domain.cranks.quartering_set import AxleSet, AxleStanding
from domain.cranks.throws import ALIKE_NM, UNLIKE_NM, MarkedThrow, ThrowsAlike
from domain.lengths import Unit, show, show_offset
from domain.lengths.fine import fine_both
from domain.measuring.decision_types import Conformity
from domain.working import Working

# The answer on an angle, as the sheets and the journal say it.
QUARTER_ANSWERS = {
    Conformity.INSIDE: "right",
    Conformity.OUTSIDE: "not right",
    Conformity.CANNOT_TELL: "cannot tell",
}
ALIKE_HEADLINES = {
    Answer.SERVES: "Alike",
    Answer.CAUTION: "Not quite alike: take care",
    Answer.NOT: "Not alike: the rods will bind",
}
_GUM = "JCGM 100:2008 (GUM) 5.1.2, k = 2; the sensitivities are derived here"


def degrees(angle: float) -> str:
    """An angle in words, to a thousandth of a degree and without a minus before nothing.

    >>> degrees(90.03784), degrees(-0.0001)
    ('90.038 degrees', '0.000 degrees')
    """
    return f"{round(angle, 3) + 0.0:.3f} degrees"


def room_words(room: HoleRoom, unit: Unit) -> str:
    """The metal left round the crankpin hole."""
    words = f"{show(room.inner_nm, unit)} of metal is left towards the bore and {show(room.outer_nm, unit)} outwards"
    return f"{words}: that is thin, drill it well under size and bore it out." if room.thin else f"{words}."


def plug_words(plug: PlugSize, unit: Unit) -> str:
    """How large to turn a plug of the jig, and what its shake may cost."""
    return (
        f"Turn the plug {show(plug.least_nm, unit)} to {show(plug.most_nm, unit)}. In the largest bore it may shake by"
        f" {show(plug.shake_nm, unit)}, which can put a hole {show(plug.throw_error_nm, unit)} out of its throw either"
        " way: push it to the same side each time."
    )


def readings_words(readings: JigReadings, unit: Unit) -> str:
    """What must be read over the jig's plugs and between them."""
    words = f"Over the plugs it must read {fine_both(readings.over_nm, unit)}"
    if readings.between_nm is None:
        return f"{words}; between them there is no room."
    return f"{words}, between them {fine_both(readings.between_nm, unit)}."


def jig_words(found: JigThrow, unit: Unit) -> str:
    """How far the jig's throw is from the drawing's, and what that means."""
    off = f"{show_offset(found.off_nm, unit)} from the drawing"
    if found.kind is JigThrowKind.OTHER_UNIT:
        much = "more than twice" if found.off_nm > 0 else "less than half of"
        name = "inches" if unit is Unit.INCH else "millimetres"
        return f"{off}, {much} its throw: was another unit meant? A number alone is in {name}."
    if found.kind is JigThrowKind.FAR:
        return f"{off}: measure again, or the jig is for another throw."
    return f"{off}. Drill every wheel of the build with this one jig: that all throws are alike matters more than that."


def odd_words(odd: Sequence[MarkedThrow], unit: Unit) -> str:
    """Which wheels' throws differ, and by how much; without a full stop, empty where none does.

    >>> odd_words([MarkedThrow("W1", 254_000), MarkedThrow("W6", -127_000)], Unit.MM)
    'W1 is 0.254 mm (0.0100 in) longer than its fellows, W6 0.127 mm (0.0050 in) shorter'
    """
    parts = [f"{show(abs(one.nm), unit)} {'longer' if one.nm > 0 else 'shorter'}" for one in odd]
    if not parts:
        return ""
    first = f"{odd[0].mark} is {parts[0]} than its fellows"
    return ", ".join([first, *(f"{one.mark} {part}" for one, part in zip(odd[1:], parts[1:], strict=True))])


def alike_working(alike: ThrowsAlike, unit: Unit) -> Working:
    """How the throws of a set were compared."""
    return Working(
        "throws against the middle one",
        "spread = most - least; off = throw - median",
        f"{alike.count} throws, median {show(alike.median_nm, unit)}; alike up to {show(ALIKE_NM, unit)}, with care up to"
        f" {show(UNLIKE_NM, unit)}",
        show(alike.spread_nm, unit),
        "the limits are common practice, no source",
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
        f"{degrees(found.elevation_deg)} up from the front",
        "geometry",
    )


def _angle_workings(found: QuarterAngle) -> tuple[Working, Working]:
    ahead, behind = found.ahead, found.behind
    first, second = (degrees(one) for one in found.elevations_deg)
    return (
        Working(
            f"{ahead} pin ahead of the {behind} one",
            f"elevation of the {behind} pin - elevation of the {ahead} one, taken forwards",
            f"{second} - {first}, wanted {degrees(found.wanted_deg)}",
            degrees(found.angle_deg),
            "geometry; running forwards a pin goes from the rear over the top to the front",
        ),
        Working(
            f"uncertainty of {ahead} ahead of {behind}",
            "U^2 = sum (U_h / (r cos e))^2 + sum (tan e U_r / r)^2 + (1/(r1 cos e1) - 1/(r2 cos e2))^2 U_hc^2",
            f"e1 {first}, e2 {second}",
            degrees(found.expanded_deg),
            _GUM,
        ),
    )


def turning_words(found: WheelTurn, unit: Unit) -> str:
    """Which way and how far to turn a wheel."""
    wheel = "inside crank" if found.side is Side.INSIDE else f"{found.side} wheel"
    if degrees(found.turn_deg) == degrees(0.0):
        return f"The {wheel} needs no turning."
    hand = "clockwise" if found.clockwise else "anticlockwise"
    words = (
        f"Seen from the {found.seen_from} side, turn the {wheel} {hand} ({'forwards' if found.forwards else 'backwards'})"
        f" by {degrees(found.turn_deg)}, {show(found.arc_nm, unit)} at the pin"
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
        f"r {show(found.throw_nm, unit)}, turn {degrees(found.turn_deg)}, elevation from {degrees(found.now_deg)} to"
        f" {degrees(wrapped_deg(found.then_deg))}",
        show(found.arc_nm, unit),
        "geometry",
    )


def set_words(found: AxleSet, unit: Unit) -> str:
    """How alike the axles are, what that asks of the rods, and what to re-set."""
    spread = f"{degrees(found.spread_deg)} of each other (uncertainty {degrees(found.spread_expanded_deg)})"
    words = f"The axles lie within {spread}, which asks for {show(found.play_nm, unit)} of length play in each rod."
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
    if found.answer is Conformity.INSIDE:
        return words
    if found.must_reset is not None and found.must_to_deg is not None and len(found.must_reset) > 1:
        numbers = " and ".join(map(str, found.must_reset))
        return (
            f"{words} One axle alone will not do it: re-set axles {numbers} to {degrees(found.must_to_deg)}."
        )
    return words + _reset_words(found.reset, found.lead)


def _reset_words(reset: AxleStanding | None, lead: Side) -> str:
    if reset is None or degrees(reset.reset_deg) == degrees(0.0):
        return ""
    if abs(reset.reset_deg) <= reset.expanded_deg:
        return " None stands out by more than the uncertainty: measure more finely before re-setting one."
    way = "further ahead" if reset.reset_deg > 0 else "back"
    return (
        f" Re-setting axle {reset.axle} gains most: bring its {lead} pin {way} by {degrees(abs(reset.reset_deg))},"
        f" and {degrees(reset.spread_after_deg)} is left."
    )


def set_workings(found: AxleSet, unit: Unit) -> tuple[Working, Working]:
    """How the spread of the axles and the play came about."""
    low, high = found.low, found.high
    return (
        Working(
            "spread of the crank angles",
            "largest - smallest; U^2 = U_largest^2 + U_smallest^2",
            f"axle {high.axle} {degrees(high.angle_deg)}, axle {low.axle} {degrees(low.angle_deg)};"
            f" U {degrees(high.expanded_deg)} and {degrees(low.expanded_deg)}",
            f"{degrees(found.spread_deg)}, U {degrees(found.spread_expanded_deg)}",
            "JCGM 100:2008 (GUM) 5.1.2, taken as independent",
        ),
        Working(
            "length play each rod needs",
            "r D max(cos(w/2), sin(w/2)) / 2, D in radians, w between the cranks",
            f"r {show(found.throw_nm, unit)}, D {degrees(found.spread_deg)}",
            show(found.play_nm, unit),
            "derived here, first order; no published source",
        ),
    )
