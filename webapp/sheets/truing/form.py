"""Setting true: the form of a set-up, how a casting is held and read."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from domain.lengths import NM_PER_MM, Length, LengthError, Unit, parse_length, show
from domain.lengths.parsing import system_typed
from domain.truing.by_eye import Look, look
from domain.truing.dial import JAWS, Dial, DialReading, TruingError
from domain.truing.setting import Advice, Grip, Surface, advise
from webapp.typed.texts import Errors, Typed

OUTWARD = ("back", "front")
OWN = "own"
POINTER = "pointer"
DIALS: Mapping[str, tuple[int, Unit]] = {
    "0.01 mm": (10_000, Unit.MM),
    "0.001 in": (25_400, Unit.INCH),
    "0.0005 in": (12_700, Unit.INCH),
}
LARGEST_SWING_NM = 5 * NM_PER_MM

# A wheel that runs dead true.
ZEROS = tuple(DialReading(angle, 0) for angle in JAWS.values())


@dataclass(frozen=True)
class ByDial:
    """The dial in use, the swing that is good enough, and how far one turn of the key moves a jaw where that is known."""

    dial: Dial
    tolerance_nm: int
    screw_nm: int | None


@dataclass(frozen=True)
class Held:
    """How a casting is held and read, as the form says; lengths in nm.

    Without a dial it is set true by eye, with a point.
    """

    outward: str
    surface: Surface
    grip: Grip
    by_dial: ByDial | None

    @property
    def dial(self) -> Dial:
        """The dial, of a set-up that has one."""
        return self._by_dial.dial

    @property
    def tolerance_nm(self) -> int:
        """The swing of the dial that is good enough, of a set-up that has one."""
        return self._by_dial.tolerance_nm

    @property
    def _by_dial(self) -> ByDial:
        if self.by_dial is None:
            raise ValueError("a set-up without a dial has rounds by eye alone")
        return self.by_dial

    def advise(self, readings: Sequence[DialReading]) -> Advice:
        """What readings on the edge say, held so."""
        return advise(
            readings,
            self.surface,
            self.grip,
            self.dial,
            tolerance_nm=self.tolerance_nm,
            jaw_screw_pitch_nm=self._by_dial.screw_nm,
        )

    def look(self, high_deg: float | None, low_deg: float | None) -> Look:
        """What a look by eye says, held so."""
        return look(high_deg, low_deg, self.surface, self.grip)


def read_set_up(typed: Typed) -> tuple[Held | None, Errors]:
    """The set-up, or a sentence for each field that cannot be taken."""
    errors = Errors()
    outward = choice(typed, "outward", OUTWARD, "Choose which side of the wheel faces you.", errors)
    surface = choice(typed, "surface", tuple(Surface), "Choose where the plunger rides.", errors)
    grip = choice(
        typed, "grip", tuple(Grip), "Look at the jaws and choose: it decides which jaw is tightened.", errors
    )
    if typed.get("division") == POINTER:
        return (None if errors else Held(outward, Surface(surface), Grip(grip), None)), errors
    counts = choice(
        typed,
        "counts_up",
        ("yes", "no"),
        "Push the plunger in with a finger and choose what it does.",
        errors,
    )
    division = _division(typed, errors)
    unit = division[1] if division else Unit.MM
    tolerance = length(typed, "tolerance", unit, errors)
    screw = length(typed, "screw", unit, errors) if typed.get("screw").strip() else None
    if errors or division is None or tolerance is None:
        return None, errors
    if tolerance.nm > LARGEST_SWING_NM:
        errors["tolerance"] = (
            f"A wheel whose dial swings {show(tolerance.nm, unit)} is not true:"
            f" type {show(LARGEST_SWING_NM, unit)} or less, such as 0.1 mm."
        )
        return None, errors
    try:
        dial = Dial(*division, counts_up_when_pushed_in=counts == "yes")
        held = Held(
            outward,
            Surface(surface),
            Grip(grip),
            ByDial(dial, tolerance.nm, None if screw is None else screw.nm),
        )
        # Asked with a wheel that runs dead true, only to hear whether the figures themselves can be.
        held.advise(ZEROS)
    except TruingError as error:
        own = {"division": "division_own", "pitch": "screw"}
        errors[own.get(error.field, error.field)] = str(error)
        return None, errors
    return held, errors


def choice(typed: Typed, name: str, choices: Sequence[str], words: str, errors: Errors) -> str:
    """What was chosen; `words` is the sentence where it is none of the choices."""
    text = typed.get(name)
    if text not in {str(one) for one in choices}:
        errors[name] = words
    return text


def _division(typed: Typed, errors: Errors) -> tuple[int, Unit] | None:
    chosen = typed.get("division")
    if chosen in DIALS:
        return DIALS[chosen]
    if chosen != OWN:
        errors["division"] = (
            "Choose what one division of your dial is: it is printed on its face. Or choose that you have none."
        )
        return None
    text = typed.get("division_own")
    # Without a unit nobody can know whether it is a metric or an inch dial.
    if not re.search(r"[a-zµμ\"″”]", text, re.IGNORECASE):
        errors["division_own"] = (
            "Type one division of your dial with its unit, such as 0.002 mm or 0.0001 in."
        )
        return None
    found = length(typed, "division_own", Unit.MM, errors)
    return None if found is None else (found.nm, system_typed(text, Unit.MM))


def length(typed: Typed, name: str, unit: Unit, errors: Errors) -> Length | None:
    """A length, or None with its sentence among the errors."""
    try:
        return parse_length(typed.get(name), unit)
    except LengthError as error:
        errors[name] = str(error)
        return None
