"""What the Workshop sheet shows: each instrument's figures in words, and what each reamer has cut so far."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from domain.cutting.reaming import ReamerCut, learn
from domain.cutting.words import reamer_words
from domain.lengths import Unit, show
from domain.lengths.fine import fine, fine_both
from domain.lengths.loads import both_loads
from domain.lengths.parsing import system_typed
from domain.measuring.instruments import Instrument, InstrumentKind, Reach, own_unit
from webapp.facts.jigs import jig_of
from webapp.records.builds import every_build
from webapp.records.machines import MachinesSheet, machines_sheet
from webapp.records.views import BuildView
from webapp.records.workshop import (
    DrillView,
    InstrumentView,
    JigView,
    ReamerView,
    RetiredTool,
    list_drills,
    list_instruments,
    list_jigs,
    list_reamers,
    list_retired,
)

# Common practice, no source.
CHECK_AFTER_DAYS = 365
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
REACH_WORDS = {Reach.INSIDE: "holes", Reach.OUTSIDE: "outsides", Reach.BOTH: "holes and outsides"}


@dataclass(frozen=True, slots=True)
class InstrumentCard:
    """One instrument as the sheet shows it; a caution where its last check is too old to lean on."""

    id: int
    name: str
    version: int
    facts: tuple[tuple[str, str], ...]
    note: str
    checked_words: str
    caution: str


@dataclass(frozen=True, slots=True)
class ReamerCard:
    """One reamer and what it has cut so far."""

    id: int
    name: str
    size_words: str
    cut: ReamerCut
    cut_words: str


@dataclass(frozen=True, slots=True)
class DrillCard:
    """One drill."""

    id: int
    name: str
    size_words: str


@dataclass(frozen=True, slots=True)
class JigFor:
    """What a jig is worth for one pattern of wheel, and the sheet that says more."""

    of: str
    look: str
    words: str
    address: str


@dataclass(frozen=True, slots=True)
class JigCard:
    """One drilling jig, and the patterns of wheel of every build."""

    id: int
    name: str
    version: int
    facts: tuple[tuple[str, str], ...]
    fits: tuple[JigFor, ...]
    checked_words: str
    caution: str


@dataclass(frozen=True, slots=True)
class WorkshopSheet:
    """The workshop's lists, those in use and those retired."""

    unit: Unit
    instruments: tuple[InstrumentCard, ...]
    retired: tuple[InstrumentCard, ...]
    reamers: tuple[ReamerCard, ...]
    drills: tuple[DrillCard, ...]
    retired_reamers: tuple[RetiredTool, ...]
    retired_drills: tuple[RetiredTool, ...]
    made_with: MachinesSheet
    jigs: tuple[JigCard, ...] = ()
    retired_jigs: tuple[JigView, ...] = ()


def workshop_sheet(session: Session, today: date, unit: Unit) -> WorkshopSheet:
    """Everything on the workshop's lists, each thing in its own system first.

    unit: what a number alone is in to begin with, and was in for a tool whose text says nothing.
    """
    views, jigs = list_instruments(session), list_jigs(session)
    # The builds are read only where there is a jig to try on them; what is put away needs none any more.
    cranked = _cranked(every_build(session)) if any(not view.retired for view in jigs) else ()
    return WorkshopSheet(
        unit,
        tuple(_card(view, today) for view in views if not view.retired),
        tuple(_card(view, today) for view in views if view.retired),
        tuple(_reamer(view, unit) for view in list_reamers(session)),
        tuple(_drill(view, unit) for view in list_drills(session)),
        list_retired(session, "reamer"),
        list_retired(session, "drill"),
        machines_sheet(session, unit),
        tuple(_jig(view, cranked, today, unit) for view in jigs if not view.retired),
        tuple(view for view in jigs if view.retired),
    )


def _jig(view: JigView, cranked: tuple[BuildView, ...], today: date, unit: Unit) -> JigCard:
    one = view.jig
    facts = tuple(
        (words, show(nm, unit))
        for words, nm in (("Throw", one.throw_nm), ("Plug", one.plug_nm), ("Bush", one.bush_nm))
    )
    fits = tuple(_jig_for(seen, view) for seen in cranked)
    checked, caution = checked_words(view.checked_on, today)
    return JigCard(view.id, one.name, view.version, facts, fits, checked, caution)


def _cranked(builds: Iterable[BuildView]) -> tuple[BuildView, ...]:
    each = (seen for build in builds if not build.archived for seen in build.each_pattern)
    return tuple(seen for seen in each if seen.pattern is not None and seen.pattern.cranked)


def _jig_for(build: BuildView, view: JigView) -> JigFor:
    found, pattern = jig_of(build, view), build.pattern
    assert pattern is not None  # it is seen by one
    several = len(build.patterns) > 1
    of = f"{build.name}, {pattern.name}" if several else build.name
    address = f"/builds/{build.id}/crankpins?pattern={pattern.id}&open=jig"
    return JigFor(of, found.fit.answer.look, found.words, address)


def _card(view: InstrumentView, today: date) -> InstrumentCard:
    one = view.instrument
    unit = own_unit(one)
    facts = _plug_facts(one, unit) if one.kind is InstrumentKind.PLUG else _value_facts(one, unit)
    checked, caution = checked_words(view.checked_on, today)
    return InstrumentCard(view.id, one.name, view.version, facts, one.note, checked, caution)


def _value_facts(one: Instrument, unit: Unit) -> tuple[tuple[str, str], ...]:
    return (
        ("One reading, give or take", fine_both(one.expanded_nm, unit)),
        ("Shows steps of", fine_both(one.resolution_nm, unit)),
        ("Zero offset", _signed(one.zero_offset_nm, unit)),
        ("Measures", REACH_WORDS[one.reach]),
    )


def _plug_facts(one: Instrument, unit: Unit) -> tuple[tuple[str, str], ...]:
    sizes = (("Go", one.go_nm), ("Not go", one.not_go_nm))
    return (
        *((words, "not known" if nm is None else fine_both(nm, unit)) for words, nm in sizes),
        ("Each, give or take", fine_both(one.expanded_nm, unit)),
        ("Measures", REACH_WORDS[one.reach]),
    )


def _signed(nm: int, unit: Unit) -> str:
    if nm == 0:
        return "none"
    sign = "+" if nm > 0 else "-"
    metric, imperial = (f"{sign}{fine(abs(nm), one)}" for one in (Unit.MM, Unit.INCH))
    return both_loads(metric, imperial, unit)


def checked_words(checked_on: str, today: date) -> tuple[str, str]:
    """When an instrument was last checked, and a caution when that is long ago or never.

    >>> checked_words("2026-03-14", date(2026, 5, 1))
    ('14 Mar 2026', '')
    >>> checked_words("", date(2026, 5, 1))[0]
    'never, so far as this list knows'
    """
    what_to_do = "check it on a known size, such as a setting piece, before you lean on it."
    if not checked_on:
        return "never, so far as this list knows", f"Not checked: {what_to_do}"
    day = date.fromisoformat(checked_on)
    words = f"{day.day} {_MONTHS[day.month - 1]} {day.year}"
    if (today - day).days <= CHECK_AFTER_DAYS:
        return words, ""
    return words, f"Last checked more than a year ago: {what_to_do}"


def _reamer(view: ReamerView, unit: Unit) -> ReamerCard:
    one = view.reamer
    own = _own_unit(view.text, one.name, unit)
    cut = learn(one, own, view.resolution_nm)
    return ReamerCard(view.id, one.name, show(one.nominal_nm, own), cut, reamer_words(cut, own))


def _drill(view: DrillView, unit: Unit) -> DrillCard:
    one = view.drill
    return DrillCard(view.id, one.name, show(one.nominal_nm, _own_unit(view.text, one.name, unit)))


def _own_unit(text: str, name: str, unit: Unit) -> Unit:
    """The system a tool was listed in: its size as typed says so, else the name it was given from its size."""
    return system_typed(text, system_typed(name, unit))
