"""How readings were taken: the instrument, temperatures, plugs tried, plugs measured over, the reamer that cut."""

from __future__ import annotations

import re
from dataclasses import dataclass

from domain.lengths import Length, LengthError, Unit, parse_length, such
from domain.measuring.thermal import ask_if_fahrenheit
from webapp.typed.texts import Errors, Typed, read_short

# Every field here, so that a page can tell whether something in its details wants to be seen.
FIELDS = ("work_c", "gauge_c", "go_enters", "not_go_enters", "plug_one", "plug_two", "reamer_id")
_ID = re.compile(r"[0-9]{1,12}")
_CELSIUS = re.compile(r"([+-]?[0-9]{1,4}(?:[.,][0-9]{1,4})?) ?(?:°|deg(?:rees)?)? ?C?", re.IGNORECASE)
_LONGEST_TEMPERATURE = 40
_ENTERS = {"": None, "yes": True, "no": False}


@dataclass(frozen=True, slots=True)
class How:
    """How it was measured; None is what was not said. Temperatures in tenths of a degree Celsius."""

    instrument_id: int | None = None
    reamer_id: int | None = None
    work_dc: int | None = None
    gauge_dc: int | None = None
    go_enters: bool | None = None
    not_go_enters: bool | None = None
    plugs: tuple[Length, Length] | None = None

    @property
    def plugs_tried(self) -> bool:
        """Whether plug gauges were tried."""
        return self.go_enters is not None or self.not_go_enters is not None


NOT_SAID = How()


def read_how(typed: Typed, unit: Unit, errors: Errors) -> How:
    """How it was measured, with what is wrong put among the errors."""
    work, gauge = (_temperature(typed, name, errors) for name in ("work_c", "gauge_c"))
    _both_or_none(typed, "work_c", "gauge_c", "temperature", "20", errors)
    _both_or_none(typed, "plug_one", "plug_two", "plug", such(unit, "9.525 mm", "0.375 in"), errors)
    plugs = [_plug(typed, name, unit, errors) for name in ("plug_one", "plug_two")]
    return How(
        _chosen(typed, "instrument_id", "the instrument", errors),
        _chosen(typed, "reamer_id", "the reamer", errors),
        work,
        gauge,
        _enters(typed, "go_enters", errors),
        _enters(typed, "not_go_enters", errors),
        (plugs[0], plugs[1]) if plugs[0] is not None and plugs[1] is not None else None,
    )


def _both_or_none(typed: Typed, one: str, two: str, what: str, example: str, errors: Errors) -> None:
    filled = [bool(typed.get(name).strip()) for name in (one, two)]
    if filled[0] == filled[1]:
        return
    missing = two if filled[0] else one
    errors.setdefault(missing, f"Type the other {what} too, such as {example}: one alone says nothing.")


def _chosen(typed: Typed, name: str, what: str, errors: Errors) -> int | None:
    text = typed.get(name).strip()
    if not text:
        return None
    if not _ID.fullmatch(text):
        errors[name] = f"Choose {what} from the list."
        return None
    return int(text)


def _temperature(typed: Typed, name: str, errors: Errors) -> int | None:
    """Tenths of a degree; a figure that can only be Fahrenheit is asked about."""
    text = read_short(typed, name, "The temperature", _LONGEST_TEMPERATURE, errors)
    if not text:
        return None
    found = _CELSIUS.fullmatch(text)
    if found is None:
        errors[name] = "Type the temperature in C as a number, such as 21.5."
        return None
    celsius = float(found[1].replace(",", "."))
    question = ask_if_fahrenheit(celsius)
    if question:
        errors[name] = question
        return None
    return round(celsius * 10)


def _plug(typed: Typed, name: str, unit: Unit, errors: Errors) -> Length | None:
    text = typed.get(name)
    if not text.strip():
        return None
    try:
        plug = parse_length(text, unit)
    except LengthError as error:
        errors[name] = str(error)
        return None
    if plug.nm <= 0:
        errors[name] = f"A plug has a size above nothing, such as {such(unit, '9.525 mm', '0.375 in')}."
        return None
    return plug


def _enters(typed: Typed, name: str, errors: Errors) -> bool | None:
    text = typed.get(name)
    if text not in _ENTERS:
        errors[name] = "Say whether the plug goes in: yes, no or not tried."
        return None
    return _ENTERS[text]
