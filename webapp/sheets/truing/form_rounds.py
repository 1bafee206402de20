"""A round of dial readings as typed: at the four jaws, or at spots with angles of their own."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from domain.lengths import MAX_TEXT, Length, LengthError, Unit, parse_length
from domain.truing.by_eye import SPOTS as SEEN_SPOTS
from domain.truing.dial import JAWS, Dial, DialReading, TruingError, check_readings, from_jaws
from domain.truing.wobble import find_wobble
from webapp.sheets.truing.form import ZEROS, Held, choice, length
from webapp.typed.texts import Errors, Typed

KINDS = ("radial", "face", "eye")
UNIT_WORDS = {Unit.MM: "millimetres", Unit.INCH: "inches"}
# The button for a look that saw no difference.
ALIKE = "alike"
NO_DIAL = "This set-up has no dial: look by eye, or begin a new set-up with a dial."
# How many spots a form offers; the jaws have a form of their own.
JAWS_ONLY = "jaws"
SPOTS: Mapping[str, int] = {"6": 6, "8": 8, "12": 12}

# Figures alone, in plain digits: whole ones count divisions, those with a point are in the dial's unit.
_WHOLE = re.compile(r"[+-]? ?[0-9]{1,5}")
_POINTED = re.compile(r"[+-]? ?(?:[0-9]+[.,][0-9]*|[.,][0-9]+)")
_SEEN_AT = {f"{angle:g}": angle for angle in SEEN_SPOTS}
_JAW = re.compile(r"jaw_([0-9]{1,6})")
_ANGLE = re.compile(r"([+-]?[0-9]{1,4}(?:[.,][0-9]{1,6})?) ?(?:°|deg|degrees)?")


@dataclass(frozen=True)
class RoundTyped:
    """One round of readings; the texts are as typed, in the order of the spots. A radius on the face only.

    A look by eye has two spots without figures, high and low, or none where no difference was seen.
    """

    kind: str
    radius: Length | None
    spots: tuple[tuple[float, int | None], ...]
    texts: tuple[str, ...]


def read_round(typed: Typed, held: Held) -> tuple[RoundTyped | None, Errors]:
    """A round of readings; the error "readings" is about all of them together."""
    errors = Errors()
    if typed.get("kind") == "eye":
        return _read_look(typed, held, errors)
    if held.by_dial is None:
        return None, Errors(readings=NO_DIAL)
    dial = held.dial
    kind = choice(
        typed, "kind", KINDS, "Choose where the plunger rides: on the edge, or on the face.", errors
    )
    radius = length(typed, "radius", dial.unit, errors) if kind == "face" else None
    if typed.get("read") in SPOTS:
        readings, texts = _from_rows(typed, SPOTS[typed.get("read")], dial, errors)
    else:
        readings, texts = _from_jaws(typed, dial, errors)
    if kind == "face" and radius is not None:
        _check_radius(radius, dial, errors)
    if "kind" in errors:
        # Only a meddled form lacks it, so there is no box to put the sentence under.
        errors["readings"] = errors.pop("kind")
    if errors:
        return None, errors
    return RoundTyped(kind, radius, tuple((one.angle_deg, one.nm) for one in readings), texts), errors


def _read_look(typed: Typed, held: Held, errors: Errors) -> tuple[RoundTyped | None, Errors]:
    if typed.get("look") == ALIKE:
        return RoundTyped("eye", None, (), ()), errors
    angles = {box: _SEEN_AT.get(typed.get(box)) for box in ("high", "low")}
    for box in (box for box, angle in angles.items() if angle is None):
        errors[box] = f"Say where it is {box}: at a jaw, or between two."
    if errors:
        return None, errors
    try:
        held.look(angles["high"], angles["low"])
    except TruingError as error:
        errors[error.field] = str(error)
        return None, errors
    spots = tuple((angle, None) for angle in angles.values() if angle is not None)
    return RoundTyped("eye", None, spots, tuple(angles)), errors


def _check_radius(radius: Length, dial: Dial, errors: Errors) -> None:
    try:
        find_wobble(ZEROS, radius.nm, dial)
    except TruingError as error:
        errors[error.field] = str(error)


def _from_jaws(typed: Typed, dial: Dial, errors: Errors) -> tuple[tuple[DialReading, ...], tuple[str, ...]]:
    # Whatever jaw a form names is read, so that one that does not exist is told so and not passed over.
    named = [int(found[1]) for name in typed.fields if (found := _JAW.fullmatch(name))]
    texts = {jaw: text for jaw in named if (text := _text(typed, "jaw", jaw))}
    nm = _read_all({f"jaw_{jaw}": text for jaw, text in texts.items()}, dial, errors)
    if errors:
        return (), ()
    try:
        readings = from_jaws({jaw: nm[f"jaw_{jaw}"] for jaw in texts}, dial.unit)
    except TruingError as error:
        errors[error.field if error.place in JAWS else "readings"] = str(error)
        return (), ()
    return readings, tuple(texts[jaw] for jaw in JAWS)


def _from_rows(
    typed: Typed, count: int, dial: Dial, errors: Errors
) -> tuple[tuple[DialReading, ...], tuple[str, ...]]:
    spots = {row: text for row in range(1, count + 1) if (text := _text(typed, "reading", row))}
    rows, texts = list(spots), {f"reading_{row}": text for row, text in spots.items()}
    nm = _read_all(texts, dial, errors)
    angles = {row: _angle(typed, f"angle_{row}", errors) for row in rows}
    if errors:
        return (), ()
    readings = tuple(DialReading(angles[row] or 0.0, nm[f"reading_{row}"]) for row in rows)
    try:
        check_readings(readings, dial.unit)
    except TruingError as error:
        errors[f"{error.box}_{rows[error.place - 1]}" if error.place else error.field] = str(error)
        return (), ()
    return readings, tuple(texts.values())


def _text(typed: Typed, box: str, number: int) -> str:
    """A reading as typed; the key beside it for below zero puts the minus that a tablet's keypad may lack."""
    text = " ".join(typed.get(f"{box}_{number}").translate(str.maketrans("−–", "--")).split())
    below = typed.yes(f"below_{number}")
    return f"-{text.lstrip('+ ')}" if below and text and not text.startswith("-") else text


def _angle(typed: Typed, name: str, errors: Errors) -> float | None:
    found = _ANGLE.fullmatch(typed.get(name).strip())
    if found is None:
        errors[name] = "Type where that spot is: degrees clockwise from jaw 1, such as 45."
        return None
    # Kept to a millionth of a degree, as it is stored.
    return round(float(found[1].replace(",", ".")), 6) % 360


def _read_all(texts: Mapping[str, str], dial: Dial, errors: Errors) -> dict[str, int]:
    whole = [name for name, text in texts.items() if _WHOLE.fullmatch(text) and text.strip("+- 0")]
    pointed = [name for name, text in texts.items() if _POINTED.fullmatch(text) and text.strip("+- 0.,")]
    if whole and pointed:
        # 1 among 0.85 and 0.70 would be a hundredth of what was meant, and the wrong jaw.
        odd = min(whole, pointed, key=len)
        such, words = f"{texts[odd[0]]} {dial.unit.value}", UNIT_WORDS[dial.unit]
        sentence = (
            f"Some readings have a point and some have none: without a point they count divisions,"
            f" with one they are {words}. Write all alike, or write the unit after this one: {such}."
        )
        errors |= dict.fromkeys(odd, sentence)
    return {name: nm for name, text in texts.items() if (nm := _nm(name, text, dial, errors)) is not None}


def _nm(name: str, text: str, dial: Dial, errors: Errors) -> int | None:
    if _WHOLE.fullmatch(text):
        return int(text.replace(" ", "")) * dial.division_nm
    if len(text) > MAX_TEXT or not any(mark in "0123456789" for mark in text):
        errors[name] = "Type what the dial shows: 12 for twelve divisions, or with its unit such as 0.12 mm."
        return None
    try:
        return parse_length(text, dial.unit, signed=True).nm
    except LengthError as error:
        errors[name] = str(error)
        return None
