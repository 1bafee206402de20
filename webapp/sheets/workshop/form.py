"""The forms of the workshop's own lists: instruments, reamers and drills, and the usual instruments to begin with."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import ClassVar

from domain.cranks.jigs import Jig, check_jig
from domain.errors import TradeError
from domain.lengths import Length, LengthError, Unit, parse_length, plain, show, such
from domain.measuring.instruments import (
    Instrument,
    InstrumentError,
    InstrumentKind,
    Reach,
    doubtful_uncertainty,
    faults,
    own_unit,
)
from domain.measuring.starters import starter_plugs, starters
from webapp.typed.texts import Errors, Typed, read_choice, read_length, read_line

LONGEST_NAME = 40
LONGEST_NOTE = 200
# A size as it is marked on a reamer or a drill.
_MARKED = ("19 mm or 3/4 in", "3/4 in or 19 mm")
MOST_AT_ONCE = 30
# Common practice, no source: a wheel's bore is reamed or drilled no larger, so a larger figure is a slip.
LARGEST_TOOL_NM = 200_000_000
JIG_SIZES = ("throw", "plug", "bush")
PLUG_CLASSES = ("H5", "H6", "H7", "H8", "H9")
_EARLIEST = date(1950, 1, 1)
_PPB_PER_MILLIONTH = 1_000
_MILLIONTHS = re.compile(r"(?P<sign>-?)(?P<figure>[0-9]{1,6}(?:\.[0-9]{1,3})?)")
_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_FIELD = {"alpha_per_k": "alpha"}  # the others are the domain's names without their unit


@dataclass(frozen=True, slots=True)
class InstrumentDraft:
    """An instrument as the form gives it, checked and ready to be stored."""

    instrument: Instrument
    checked_on: str = ""
    what: ClassVar[str] = "instrument"

    @property
    def name(self) -> str:
        """What it is called."""
        return self.instrument.name


@dataclass(frozen=True, slots=True)
class ToolDraft:
    """A reamer or a drill as the form gives it."""

    name: str
    size: Length


@dataclass(frozen=True, slots=True)
class JigDraft:
    """A drilling jig as the form gives it, checked and ready to be stored."""

    jig: Jig
    checked_on: str = ""
    what: ClassVar[str] = "jig"

    @property
    def name(self) -> str:
        """What it is called."""
        return self.jig.name


def read_unit(typed: Typed, errors: Errors) -> Unit:
    """What a number alone is in; millimetres until a fault in the choice is put right."""
    text = read_choice(typed, "unit", "millimetres or inches", [unit.value for unit in Unit], errors)
    return Unit(text) if text else Unit.MM


def read_instrument(
    typed: Typed, kind: InstrumentKind, today: date, before: Instrument | None = None
) -> tuple[InstrumentDraft | None, Errors]:
    """The instrument a form describes, or what is wrong with it; every field at fault is told at once.

    before: the instrument as it is stored, whose figures need no second word.
    """
    errors = Errors()
    unit = read_unit(typed, errors)
    name = read_line(typed, "name", "The instrument's name", LONGEST_NAME, errors)
    expanded = _signed(typed, "expanded", unit, errors)
    alpha_ppb = _read_alpha(typed, errors)
    value = kind is InstrumentKind.VALUE
    reach = read_choice(typed, "reach", "what it measures", [r.value for r in Reach], errors) if value else ""
    # What stands in for a text that cannot be read lets the other fields be checked; the text's own fault stays.
    draft = Instrument(
        kind=kind,
        name=name or "instrument",
        resolution_nm=_signed(typed, "resolution", unit, errors) if value else 0,
        expanded_nm=expanded,
        zero_offset_nm=_read_zero(typed, unit, errors) if value else 0,
        go_nm=None if value else _plug(typed, "go", unit, errors),
        not_go_nm=None if value else _plug(typed, "not_go", unit, errors),
        alpha_per_k=alpha_ppb * 1e-9,
        reach=Reach(reach or Reach.BOTH) if value else Reach.INSIDE,
        note=_read_note(typed, errors),
    )
    checked_on = _read_date(typed, "checked_on", today, errors)
    for field, sentence in faults(draft, unit).items():
        errors.setdefault(_FIELD.get(field, field.removesuffix("_nm")), sentence)
    doubt = None if errors or _is_sure(typed, draft, before) else doubtful_uncertainty(draft)
    if doubt is not None:
        errors["sure"] = f"{doubt} Put it right above, or tick the box and save again."
    return (None, errors) if errors else (InstrumentDraft(draft, checked_on), errors)


def _is_sure(typed: Typed, draft: Instrument, before: Instrument | None) -> bool:
    return typed.get("sure") == sure_of(draft) or (before is not None and sure_of(before) == sure_of(draft))


def sure_of(instrument: Instrument) -> str:
    """What the box of confirmation sends: the figures it was ticked for, so that it counts for no others."""
    return f"{instrument.expanded_nm} of {instrument.resolution_nm}"


def sure_of_typed(typed: Typed) -> str:
    """What the box must send to confirm the figures as they stand in a form that was refused for its doubt."""
    unit, ignored = read_unit(typed, Errors()), Errors()
    return f"{_signed(typed, 'expanded', unit, ignored)} of {_signed(typed, 'resolution', unit, ignored)}"


def _signed(typed: Typed, name: str, unit: Unit, errors: Errors) -> int:
    """A length whose sign the domain judges; a stand-in of one nanometre where it cannot be read."""
    try:
        return parse_length(typed.get(name), unit, signed=True).nm
    except LengthError as error:
        errors[name] = str(error)
        return 1


def _read_zero(typed: Typed, unit: Unit, errors: Errors) -> int:
    return _signed(typed, "zero_offset", unit, errors) if typed.get("zero_offset").strip() else 0


def _plug(typed: Typed, name: str, unit: Unit, errors: Errors) -> int | None:
    length = read_length(typed, name, unit, errors)
    return None if length is None else length.nm


def _read_alpha(typed: Typed, errors: Errors) -> int:
    found = _MILLIONTHS.fullmatch(typed.get("alpha").strip().replace(",", ".").replace("−", "-"))
    if found is None:
        errors["alpha"] = "The expansion is in millionths per kelvin: type a number such as 11.5 for steel."
        return 0
    ppb = round(Fraction(found["figure"]) * _PPB_PER_MILLIONTH)
    return -ppb if found["sign"] else ppb


def _read_note(typed: Typed, errors: Errors) -> str:
    if not typed.get("note").strip():
        return ""
    return read_line(typed, "note", "Where U comes from", LONGEST_NOTE, errors) or ""


def _read_date(typed: Typed, name: str, today: date, errors: Errors) -> str:
    """The day it was last checked, as ISO 8601 writes it; left empty it is not known."""
    text = typed.get(name).strip()
    if not text:
        return ""
    example = f"write year, month and day, such as {today.isoformat()}"
    try:
        day = date.fromisoformat(text) if _ISO_DATE.fullmatch(text) else None
    except ValueError:
        day = None
    if day is None:
        errors[name] = f"“{text[:20]}” is no date: {example}, or leave it empty."
    elif day > today:
        errors[name] = f"{day.isoformat()} is still to come: {example}."
    elif day < _EARLIEST:
        errors[name] = f"{day.isoformat()} is too long ago to be meant: {example}."
    return "" if day is None else day.isoformat()


def read_jig(typed: Typed, today: date) -> tuple[JigDraft | None, Errors]:
    """The drilling jig a form describes, or what is wrong with it; every field at fault is told at once."""
    errors = Errors()
    unit = read_unit(typed, errors)
    name = read_line(typed, "name", "The jig's name", LONGEST_NAME, errors)
    sizes = [_jig_size(typed, key, unit, errors) for key in JIG_SIZES]
    checked_on = _read_date(typed, "checked_on", today, errors)
    if name is None or None in sizes:
        return None, errors
    jig = Jig(name, *(nm for nm in sizes if nm is not None))
    try:
        check_jig(jig, unit)
    except TradeError as error:
        errors.setdefault(error.field, str(error))
    return (None, errors) if errors else (JigDraft(jig, checked_on), errors)


def _jig_size(typed: Typed, name: str, unit: Unit, errors: Errors) -> int | None:
    length = read_length(typed, name, unit, errors)
    if length is not None and length.nm > LARGEST_TOOL_NM:
        errors[name] = f"That is more than {show(LARGEST_TOOL_NM, unit)}: is the unit right?"
        return None
    return None if length is None else length.nm


def jig_text(jig: Jig, checked_on: str, unit: Unit) -> Typed:
    """The form filled in with a jig's own figures."""
    sizes = zip(JIG_SIZES, (jig.throw_nm, jig.plug_nm, jig.bush_nm), strict=True)
    texts = {"name": jig.name, "checked_on": checked_on, "unit": unit.value}
    texts |= {name: plain(nm, unit) for name, nm in sizes}
    return Typed({name: [text] for name, text in texts.items()})


def read_starters(typed: Typed) -> tuple[tuple[InstrumentDraft, ...], Errors]:
    """The usual instruments for the system chosen, with plug gauges for the size typed, if one was."""
    errors = Errors()
    unit = read_unit(typed, errors)
    found = starters(unit)
    if typed.get("plug_size").strip():
        class_name = read_choice(typed, "plug_class", "a class", PLUG_CLASSES, errors)
        size = read_length(typed, "plug_size", unit, errors)
        if size is not None and class_name is not None:
            try:
                found += (starter_plugs(size.nm, class_name),)
            except InstrumentError as error:
                errors["plug_size"] = f"{error} Leave it empty to go without plug gauges."
    return (() if errors else tuple(InstrumentDraft(one) for one in found)), errors


def read_tools(typed: Typed, what: str) -> tuple[tuple[ToolDraft, ...], Errors]:
    """Reamers or drills: one with a name or without, or several sizes with a semicolon between them."""
    errors = Errors()
    unit = read_unit(typed, errors)
    texts = [text for text in typed.get("size").split(";") if text.strip()]
    named = bool(typed.get("name").strip())
    if not texts:
        errors["size"] = f"Type the size marked on the {what}, such as {such(unit, *_MARKED)}."
    elif len(texts) > MOST_AT_ONCE:
        errors["size"] = f"That is more than {MOST_AT_ONCE} sizes: add them in two goes."
    elif named and len(texts) > 1:
        errors["name"] = (
            "One name cannot be for several sizes: leave it empty, and each is called by its size."
        )
    name = read_line(typed, "name", f"The {what}'s name", LONGEST_NAME, errors) if named else None
    sizes = [] if errors else [_read_size(text, unit, what, errors) for text in texts]
    drafts = [ToolDraft(name or _size_name(size, unit), size) for size in sizes if size is not None]
    _refuse_twice(drafts, errors)
    return (() if errors else tuple(drafts)), errors


def _read_size(text: str, unit: Unit, what: str, errors: Errors) -> Length | None:
    try:
        size = parse_length(text, unit)
    except LengthError as error:
        errors.setdefault("size", str(error))
        return None
    if size.nm <= 0:
        errors.setdefault(
            "size", f"The size of a {what} is more than nothing, such as {such(unit, *_MARKED)}."
        )
    elif size.nm > LARGEST_TOOL_NM:
        most = show(LARGEST_TOOL_NM, unit)
        errors.setdefault("size", f"“{size.text}” would be more than {most}: check the figure and its unit.")
    return size


def _size_name(size: Length, unit: Unit) -> str:
    """The size as typed; a number alone gets its unit, for a name is read without knowing the form."""
    return f"{size.text} {unit}" if size.text[-1:].isdigit() or size.text[-1:] in ".," else size.text


def _refuse_twice(drafts: list[ToolDraft], errors: Errors) -> None:
    seen: set[str] = set()
    for draft in drafts:
        if draft.name.casefold() in seen:
            errors.setdefault("size", f"{draft.name} is there twice: write it once.")
        seen.add(draft.name.casefold())


def text_of(instrument: Instrument, checked_on: str) -> Typed:
    """The form filled in with an instrument's own figures, in its own system whatever the builds are drawn in."""
    unit = own_unit(instrument)
    texts = {
        "name": instrument.name,
        "reach": instrument.reach.value,
        "resolution": plain(instrument.resolution_nm, unit),
        "expanded": plain(instrument.expanded_nm, unit),
        "zero_offset": plain(instrument.zero_offset_nm, unit),
        "go": "" if instrument.go_nm is None else plain(instrument.go_nm, unit),
        "not_go": "" if instrument.not_go_nm is None else plain(instrument.not_go_nm, unit),
        "alpha": f"{instrument.alpha_per_k * 1e6:.3f}".rstrip("0").rstrip("."),
        "note": "" if is_starting_note(instrument.note) else instrument.note,
        "checked_on": checked_on,
        "unit": unit.value,
    }
    return Typed({name: [text] for name, text in texts.items()})


def is_starting_note(note: str) -> bool:
    """Whether a note is the one that the usual instruments come with: that their U is nobody's certificate."""
    return note == starters(Unit.MM)[0].note
