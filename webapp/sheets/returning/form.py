"""The forms of re-turning: the wear of one tyre, the back to back after service, and taking the wheels back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from domain.drawing import LARGEST_NM
from domain.lengths import MAX_TEXT, Length, Unit, show
from webapp.typed.size_log import SizesLogged, read_log
from webapp.typed.texts import Errors, Typed, read_length, read_line, read_short
from webapp.typed.tyre import WORN

BACK_KEYS = ("worn_back",)
LONGEST_SERVICE = 200
_ISO_DAY = 10


def read_wear(typed: Typed, unit: Unit) -> tuple[SizesLogged, Errors]:
    """The wear as typed: a flange's thickness with how far above the tread it was measured, which alone says nothing."""
    logged, errors = read_log(typed, WORN, unit)
    if "worn_flange" in logged.sizes and not typed.get("worn_at").strip():
        errors["worn_at"] = "Say how far above the worn tread the flange was measured."
    if not typed.get("worn_flange").strip():
        sizes = {key: size for key, size in logged.sizes.items() if key != "worn_at"}
        logged = replace(logged, sizes=sizes)
        if not sizes and not errors:
            errors[""] = "Nothing was typed: measure at least one size and type it."
    return logged, errors


@dataclass(frozen=True, slots=True)
class TakeBack:
    """What is said as wheels are taken back; `sure` once what it does was read."""

    out_on: date
    service: str
    diameter: Length
    sure: bool


def read_take_back(typed: Typed, unit: Unit) -> tuple[TakeBack | None, Errors]:
    """The day, the service, the new diameter, or a sentence for each field."""
    errors = Errors()
    day = _read_day(typed, errors)
    service = read_line(typed, "service", "What it did, and why it is turned again,", LONGEST_SERVICE, errors)
    diameter = read_length(typed, "diameter", unit, errors)
    if diameter is not None and not 0 < diameter.nm <= LARGEST_NM:
        errors["diameter"] = (
            f"A tread is more than nothing and at most {show(LARGEST_NM, unit)}: is the unit right?"
        )
    elif diameter is not None and len(diameter.text) > MAX_TEXT:
        errors["diameter"] = "That is a long figure: write it shorter, with its unit."
    if errors or day is None or service is None or diameter is None:
        return None, errors
    return TakeBack(day, service, diameter, typed.yes("sure")), errors


def _read_day(typed: Typed, errors: Errors) -> date | None:
    text = read_short(typed, "out_on", "The day", 40, errors)
    if text is None:
        return None
    try:
        if len(text) != _ISO_DAY:
            raise ValueError(text)
        return date.fromisoformat(text)
    except ValueError:
        errors["out_on"] = "Write the day with year, month and day, such as 2026-11-29."
        return None
