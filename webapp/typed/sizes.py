"""Sizes of a casting or an axle that change as metal is taken off: what each is called, and reading a form of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from domain.lengths import Length, LengthError, Unit, parse_length, such
from webapp.typed.texts import Errors, Typed

# Where a reading was taken, and which way: "front" and "first", "left" and "leading"; empty where it was not said.
Where = tuple[str, str]
NOWHERE: Where = ("", "")


@dataclass(frozen=True)
class SizeKind:
    """One kind of size; signed where it may be less than nothing; set where it was set and not read off the work.

    swing: the difference of two readings of one dial: it may be nothing, and the dial's own zero is not in it.
    """

    key: str
    words: str
    how: str
    signed: bool = False
    is_set: bool = False
    swing: bool = False


KINDS: tuple[SizeKind, ...] = (
    SizeKind("rim_least", "Rough rim, smallest diameter", "Callipers round the outside, where it is least."),
    SizeKind("rim_most", "Rough rim, largest diameter", "Callipers round the outside, where it is most."),
    SizeKind("rim_height", "Rim, back to front", "Through the rim, where it is least."),
    SizeKind("boss_height", "Boss, back to front", "Through the boss, where it is least."),
    SizeKind(
        "boss_proud",
        "Boss proud of the rim at the back",
        "A straight-edge across the back of the rim, and a rule. With a minus where the boss is sunk.",
        signed=True,
    ),
    SizeKind(
        "rough_tread",
        "Rough rim where the tread will be, smallest diameter",
        "Only where the rim is cast with a step for the flange.",
    ),
    SizeKind(
        "edge_eccentricity",
        "Inside edge of the rim out of the outside by",
        "From readings on the inside edge at 12, 3, 6 and 9 o'clock.",
    ),
    SizeKind(
        "face_wobble",
        "Front of the rim leans against its back by, each way",
        "From readings on the face of the rim at 12, 3, 6 and 9 o'clock.",
    ),
    SizeKind("over_flange", "Diameter over the flange", "The largest diameter of the turned wheel."),
    SizeKind("tread", "Tread diameter", "At the middle of the tread."),
    SizeKind(
        "flange_thickness",
        "Flange thickness",
        "From the back face, as far above the tread as the next box says: callipers or a profile gauge.",
    ),
    SizeKind(
        "flange_at",
        "Flange measured above the tread by",
        "Counted from the middle of the tread; above the root radius.",
        is_set=True,
    ),
    SizeKind(
        "flange_height", "Flange height", "From the middle of the tread to the flange's top: depth gauge."
    ),
    SizeKind(
        "root_radius", "Root radius", "The radius gauge that fits without light between tread and flange."
    ),
    SizeKind("tyre_inside", "Inside of the tyre", "Across the bored ring, two ways."),
    SizeKind("centre_outside", "Outside of the wheel centre", "Where the tyre goes, two ways."),
    SizeKind("pin_hole", "Crankpin hole, diameter", "Where the pin will be held."),
    SizeKind("pin_seat", "Crankpin where it is held, diameter", "The pin itself."),
    SizeKind("pin_whole", "Crankpin, whole length", "From end to end."),
    SizeKind(
        "pin_near", "Dial along the pin, next to the wheel", "In the worse of two directions.", signed=True
    ),
    SizeKind(
        "pin_far", "Dial along the pin, at its end", "The same way round, the dial moved out.", signed=True
    ),
    SizeKind("pin_over", "Dial moved along the pin by", "Nearly the pin's whole length.", is_set=True),
    SizeKind(
        "worn_tread",
        "Worn tread, diameter",
        "At the middle of the tread, with flat anvils: over the edges of a hollow.",
    ),
    SizeKind(
        "worn_flange",
        "Worn flange, thickness",
        "From the back face, as far above the worn tread as the next box says.",
    ),
    SizeKind("worn_at", "Worn flange measured above the tread by", "From the worn tread.", is_set=True),
    SizeKind("worn_height", "Worn flange, height", "From the worn tread to the flange's top: depth gauge."),
    SizeKind(
        "worn_hollow",
        "Tread hollow by",
        "Under a straight-edge across the tread, where it is deepest; 0 where it is flat.",
        swing=True,
    ),
    SizeKind("worn_back", "Back to back, after service", "Between the backs of the two tyres; the least."),
    SizeKind(
        "back_to_back", "Back to back", "Between the backs of the two tyres, at three places; the least."
    ),
    SizeKind(
        "over_shoulders",
        "Over the shoulders",
        "Between the faces that the bosses sit against, along the axle.",
    ),
    SizeKind("seat_length", "Seat's length", "From the shoulder to the end of the seat."),
    SizeKind(
        "journal", "Journal, between the wheels", "Across it, at both ends and in two directions; the least."
    ),
    SizeKind(
        "outer_journal",
        "Journal, outside the wheels",
        "Across it, at both ends and in two directions; the least.",
    ),
    SizeKind(
        "axle_run_out",
        "Run-out between centres",
        "The full reading of the dial in one turn of the axle, where it is most; the centre is off by half of it.",
        swing=True,
    ),
)
TYRE_SIZES = ("tyre_inside", "centre_outside")
PIN_KEYS = tuple(kind.key for kind in KINDS if kind.key.startswith("pin_"))
BY_KEY = {kind.key: kind for kind in KINDS}


def read_sizes(typed: Typed, keys: Iterable[str], unit: Unit, errors: Errors) -> dict[str, Length]:
    """The sizes typed, by key; a box left empty is passed over, and one in error has its sentence."""
    found = {}
    for key in keys:
        if not typed.get(key).strip():
            continue
        size = _read_one(BY_KEY[key], typed.get(key), unit, errors)
        if size is not None:
            found[key] = size
    return found


def _read_one(kind: SizeKind, text: str, unit: Unit, errors: Errors) -> Length | None:
    try:
        size = parse_length(text, unit, signed=kind.signed)
    except LengthError as error:
        errors[kind.key] = str(error)
        return None
    if (size.nm < 0 and not kind.signed) or not (size.nm or kind.signed or kind.swing):
        errors[kind.key] = (
            f"A size measured is more than nothing, such as {such(unit, '19.05 mm', '0.75 in')}."
        )
    else:
        return size
    return None


def read_unit(typed: Typed, unit: Unit, errors: Errors) -> Unit:
    """What a bare number is in: as chosen on the form, else the build's own unit."""
    chosen = typed.get("unit") or unit.value
    if chosen in set(Unit):
        return Unit(chosen)
    errors["unit"] = "Choose mm or in."
    return unit
