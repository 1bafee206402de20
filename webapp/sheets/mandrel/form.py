"""The forms of the mandrel: a stub that was turned, its run-out, when a wheel went on, and the dial at the finishing cut."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from domain.lengths import NM_PER_MM, Length, Unit, show, such
from domain.mandrel.stub import StubHold
from domain.mandrel.words import moment
from domain.repeating.settings import Setting
from webapp.typed.texts import Errors, Typed, read_choice, read_length, read_line, read_short

_WHEN = re.compile(r"(?:([0-9]{4})-([0-9]{2})-([0-9]{2})[ T]+)?([0-9]{1,2})[:.]([0-9]{2})")
_LONGEST_WHEN = 40
_LONGEST_DIAL = 60
# As setting true has it: what swings more than this is not held at all.
_LARGEST_SWING_NM = 5 * NM_PER_MM
# No compound cures longer (domain/joints/cure.py): what went on before is a slip of the date.
_LONGEST_AGO = timedelta(days=90)


@dataclass(frozen=True, slots=True)
class NewStub:
    """A stub that was turned: how it holds, its size where it has one, and the sizes that are meant."""

    hold: StubHold
    size: Length | None
    meant: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class PutOn:
    """A wheel put on its stub: when, where that was not just now; and whether what was asked about is meant."""

    at: datetime | None
    sure: bool


def read_stub(typed: Typed, unit: Unit) -> tuple[NewStub | None, Errors]:
    """A new stub as typed."""
    errors = Errors()
    chosen = read_choice(typed, "hold", "how it holds the wheel", tuple(StubHold), errors)
    hold = StubHold(chosen) if chosen else None
    size = None
    if hold is None or hold.turned:
        size = read_length(typed, "size", unit, errors)
        if size is not None and size.nm <= 0:
            errors["size"] = (
                f"A stub measures more than nothing, such as {such(unit, '19.04 mm', '0.7496 in')}."
            )
    if errors or hold is None:
        return None, errors
    return NewStub(hold, size, typed.meant), errors


def read_swing(typed: Typed, unit: Unit) -> tuple[Length | None, Errors]:
    """What the dial swings on the stub in a whole turn."""
    errors = Errors()
    swing = read_length(typed, "swing", unit, errors)
    if swing is not None and swing.nm > _LARGEST_SWING_NM:
        errors["swing"] = (
            "What the dial swings in a whole turn is from nothing to"
            f" {show(_LARGEST_SWING_NM, unit)}: type it such as {such(unit, '0.02 mm', '1 thou')}."
        )
    return (None if errors else swing), errors


def read_put_on(typed: Typed, now: datetime) -> tuple[PutOn | None, Errors]:
    """When a wheel went on, `now` being an aware time in the zone of the shop; nothing typed means just now."""
    errors = Errors()
    text = read_short(typed, "at", "The time", _LONGEST_WHEN, errors)
    at = _read_when(text, now, errors) if text else None
    return (None if errors else PutOn(at, typed.yes("sure"))), errors


def _read_when(text: str, now: datetime, errors: Errors) -> datetime | None:
    found = _WHEN.fullmatch(text)
    if found is None:
        errors["at"] = (
            f"Type the time such as {now:%H:%M}, or with its day {now:%Y-%m-%d %H:%M}; empty means just now."
        )
        return None
    year, month, day, hour, minute = found.groups()
    try:
        date = now.date() if year is None else now.date().replace(int(year), int(month), int(day))
        at = datetime(date.year, date.month, date.day, int(hour), int(minute)).astimezone()
    except (ValueError, OverflowError, OSError):
        errors["at"] = f"There is no such time: type it such as {now:%H:%M}."
        return None
    if at > now:
        errors["at"] = (
            f"That is later than now, {now:%H:%M}, and a cure is counted from what was done already."
            f" If it was another day, type that too, such as {now - timedelta(days=1):%Y-%m-%d} {at:%H:%M}."
        )
    elif now - at > _LONGEST_AGO:
        errors["at"] = f"{moment(at, now)} in {at.year} is more than 90 days ago: check the date."
    return at


def read_dial(typed: Typed) -> tuple[str | None, Errors]:
    """The dial reading at size, at which every finishing cut is taken, as it is written down."""
    errors = Errors()
    return read_line(typed, "dial", f"The {Setting.DIAL.words.lower()}", _LONGEST_DIAL, errors), errors
