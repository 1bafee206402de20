"""The forms of the workshop's lathes, drilling machines and chucks."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

from domain.cutting.speeds import CuttingError
from domain.cutting.spindle import MachineKind, MachineTool
from domain.cutting.swing import JawReach, SwingChuck, SwingLathe, check_chuck, check_lathe
from domain.drawing import LARGEST_NM
from domain.lengths import LengthError, Unit, parse_length, plain, show, such
from webapp.sheets.workshop.form import LONGEST_NAME, read_unit
from webapp.typed.power import read_power
from webapp.typed.quantities import QuantityError
from webapp.typed.texts import Errors, Typed, read_choice, read_line, read_short

MOST_SPEEDS = 40
_LONGEST_SPEEDS = 12 * MOST_SPEEDS  # each with its decimals, a comma and a blank
_LARGEST_FEED_NM = 5_000_000
# A part of a machine in a small workshop is no longer than this: a larger figure is a slip of the unit.
_LARGEST_PART_NM = LARGEST_NM
_SPEED = re.compile(r"[0-9]{1,6}(?:\.[0-9]{1,3})?")
_TIGHT_COMMA = re.compile(r"(?<![0-9])[0-9]+,[0-9]+")
_FIELDS = {"motor_w": "motor"}  # the others are the domain's names
REACHES = ("normal_outside", "normal_inside", "reversed_outside", "reversed_inside")


@dataclass(frozen=True, slots=True)
class MachineDraft:
    """A lathe or a drilling machine as the form gives it, checked and ready to be stored."""

    tool: MachineTool
    lathe: SwingLathe | None
    what: ClassVar[str] = "machine"

    @property
    def name(self) -> str:
        """What it is called."""
        return self.tool.name


@dataclass(frozen=True, slots=True)
class ChuckDraft:
    """A chuck as the form gives it."""

    name: str
    chuck: SwingChuck
    screw_nm: int | None
    what: ClassVar[str] = "chuck"


# Invented figures, of no maker's machine, and named so that nobody takes them for one's own.
_MM = 1_000_000
USUAL: tuple[MachineDraft | ChuckDraft, ...] = (
    MachineDraft(
        MachineTool(
            "small lathe, invented figures",
            MachineKind.LATHE,
            (26.0, 45.0, 75.0, 125.0, 210.0, 350.0, 580.0, 960.0),
            550,
            50_000,
        ),
        SwingLathe(115 * _MM, 165 * _MM, 140 * _MM),
    ),
    MachineDraft(
        MachineTool(
            "drilling machine, invented figures",
            MachineKind.DRILL,
            (180.0, 300.0, 520.0, 900.0, 1500.0),
            375,
        ),
        None,
    ),
    ChuckDraft(
        "independent chuck, invented figures",
        SwingChuck(160 * _MM, 75 * _MM, JawReach(58 * _MM, 30 * _MM), JawReach(22 * _MM, 0), 64 * _MM),
        3 * _MM,
    ),
)


def read_machine(typed: Typed) -> tuple[MachineDraft | None, Errors]:
    """The machine a form describes, or what is wrong with it; every field at fault is told at once."""
    errors = Errors()
    unit = read_unit(typed, errors)
    name = read_line(typed, "name", "The machine's name", LONGEST_NAME, errors)
    kind_text = read_choice(
        typed, "kind", "a lathe or a drilling machine", [one.value for one in MachineKind], errors
    )
    kind = MachineKind(kind_text or MachineKind.LATHE)
    speeds = _read_speeds(typed, errors)
    motor_w = _read_motor(typed, errors)
    feed_nm = _part(typed, "least_feed", unit, errors, most=_LARGEST_FEED_NM) or 0
    sizes = [_part(typed, name, unit, errors) for name in ("centre_height", "gap_radius", "gap_width")]
    if kind is MachineKind.DRILL:
        _refuse_on_a_drill(typed, errors)
    lathe = _lathe(*sizes, errors=errors) if kind is MachineKind.LATHE and not errors else None
    tool = _try(lambda: MachineTool(name or "machine", kind, speeds or (1.0,), motor_w, feed_nm), errors)
    return (None, errors) if errors or tool is None else (MachineDraft(tool, lathe), errors)


def _refuse_on_a_drill(typed: Typed, errors: Errors) -> None:
    for name in ("centre_height", "gap_radius", "gap_width"):
        if typed.get(name).strip():
            errors[name] = "Only a lathe has this: leave it empty for a drilling machine."


def _lathe(
    height_nm: int | None, radius_nm: int | None, width_nm: int | None, *, errors: Errors
) -> SwingLathe | None:
    """The lathe's sizes for swinging work; without a centre height they are not known yet."""
    if height_nm is None:
        if radius_nm is not None or width_nm is not None:
            errors["centre_height"] = "A gap is measured beside the centre height: type that too."
        return None
    lathe = SwingLathe(height_nm, radius_nm, width_nm)
    _try(lambda: check_lathe(lathe), errors)
    return lathe


def _try(make: Callable[[], object], errors: Errors) -> MachineTool | None:
    """What the domain makes of it; its refusal goes beside its field."""
    try:
        made = make()
    except CuttingError as error:
        errors.setdefault(_FIELDS.get(error.field, error.field), str(error))
        return None
    return made if isinstance(made, MachineTool) else None


def _read_speeds(typed: Typed, errors: Errors) -> tuple[float, ...]:
    """The spindle speeds, slowest first, each once."""
    text = read_short(typed, "speeds", "The list of speeds", _LONGEST_SPEEDS, errors)
    if text is None:
        return ()
    tight = _TIGHT_COMMA.search(text)
    if tight:
        errors["speeds"] = (
            f"“{tight[0][:20]}” may be one speed or two: put a blank or a semicolon between two speeds, and a point"
            " before decimals."
        )
        return ()
    parts = [part for part in re.split(r"[ ;,]+", text.lower().removesuffix("rpm")) if part]
    wrong = [part for part in parts if not _SPEED.fullmatch(part)]
    if not parts:
        errors["speeds"] = "No spindle speeds are typed: copy them from the plate, such as 60 105 180."
    elif wrong:
        errors["speeds"] = f"“{wrong[0][:20]}” is no spindle speed: type them such as 60 105 180."
    elif len(parts) > MOST_SPEEDS:
        errors["speeds"] = f"That is more than {MOST_SPEEDS} speeds: type those you use."
    else:
        return tuple(sorted({float(part) for part in parts}))
    return ()


def _read_motor(typed: Typed, errors: Errors) -> float | None:
    """The motor's power in whole watts, as it is stored; left empty it is not known."""
    if not typed.get("motor").strip():
        return None
    try:
        return round(read_power(typed.get("motor")))
    except QuantityError as error:
        errors["motor"] = str(error)
        return None


def _part(typed: Typed, name: str, unit: Unit, errors: Errors, *, most: int = _LARGEST_PART_NM) -> int | None:
    """A size that may be left empty."""
    text = typed.get(name)
    if not text.strip():
        return None
    try:
        nm = parse_length(text, unit).nm
    except LengthError as error:
        errors[name] = str(error)
        return None
    if nm > most:
        errors[name] = f"That is more than {show(most, unit)}: is the unit right?"
        return None
    return nm


def read_chuck(typed: Typed) -> tuple[ChuckDraft | None, Errors]:
    """The chuck a form describes, or what is wrong with it."""
    errors = Errors()
    unit = read_unit(typed, errors)
    name = read_line(typed, "name", "The chuck's name", LONGEST_NAME, errors)
    body, depth, jaw = (_part(typed, key, unit, errors) for key in ("body", "depth", "jaw_length"))
    reaches = [_part(typed, key, unit, errors) for key in REACHES]
    screw = _part(typed, "screw", unit, errors, most=20_000_000)
    if screw == 0:
        errors["screw"] = (
            f"A jaw moves with its screw: type how far in one turn, such as"
            f" {such(unit, '3 mm', '1/10 in')}, or leave it empty."
        )
    for key, example in (
        ("body", such(unit, "160 mm", "6 1/4 in")),
        ("depth", such(unit, "70 mm", "2 3/4 in")),
    ):
        if not typed.get(key).strip():
            errors[key] = f"Measure this and type it, such as {example}: without it nothing can be said."
    if errors:
        return None, errors
    chuck = SwingChuck(body or 0, depth or 0, JawReach(*reaches[:2]), JawReach(*reaches[2:]), jaw)
    _try(lambda: check_chuck(chuck), errors)
    return (None, errors) if errors else (ChuckDraft(name or "", chuck, screw), errors)


def machine_text(tool: MachineTool, lathe: SwingLathe | None, unit: Unit) -> Typed:
    """The form filled in with a machine's own figures."""
    texts = {
        "name": tool.name,
        "kind": tool.kind.value,
        "speeds": speeds_text(tool.speeds),
        "motor": "" if tool.motor_w is None else f"{tool.motor_w:.0f} W",
        "least_feed": _plain(tool.least_feed_nm or None, unit),
        "centre_height": "" if lathe is None else _plain(lathe.centre_height_nm, unit),
        "gap_radius": "" if lathe is None else _plain(lathe.gap_radius_nm, unit),
        "gap_width": "" if lathe is None else _plain(lathe.gap_width_nm, unit),
        "unit": unit.value,
    }
    return Typed({name: [text] for name, text in texts.items()})


def chuck_text(name: str, chuck: SwingChuck, screw_nm: int | None, unit: Unit) -> Typed:
    """The form filled in with a chuck's own figures."""
    ways = (chuck.normal, chuck.reversed)
    reaches = [nm for way in ways for nm in (way.outside_nm, way.inside_nm)]
    texts = {
        "name": name,
        "body": _plain(chuck.body_nm, unit),
        "depth": _plain(chuck.depth_nm, unit),
        "jaw_length": _plain(chuck.jaw_length_nm, unit),
        "screw": _plain(screw_nm, unit),
        "unit": unit.value,
        **{key: _plain(nm, unit) for key, nm in zip(REACHES, reaches, strict=True)},
    }
    return Typed({key: [text] for key, text in texts.items()})


def speeds_text(speeds: tuple[float, ...]) -> str:
    """Spindle speeds as they are stored and typed: a blank between two, no exponent.

    >>> speeds_text((62.5, 105.0))
    '62.5 105'
    """
    return " ".join(f"{speed:.3f}".rstrip("0").rstrip(".") for speed in speeds)


def _plain(nm: int | None, unit: Unit) -> str:
    return "" if nm is None else plain(nm, unit)
