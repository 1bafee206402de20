"""What of the workshop is described by a form of its own, an instrument, machine, chuck or jig: adding and changing one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from typing import Any, Literal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.cutting.spindle import MachineKind
from domain.lengths import Unit
from domain.measuring.instruments import InstrumentKind
from webapp import render
from webapp.errors import NotFound
from webapp.records.journal import today
from webapp.records.machines import list_chucks, list_machines
from webapp.records.workshop import InstrumentView, list_instruments, list_jigs
from webapp.sheets.workshop.change import Draft, put_thing
from webapp.sheets.workshop.form import (
    is_starting_note,
    jig_text,
    read_instrument,
    read_jig,
    sure_of_typed,
    text_of,
)
from webapp.sheets.workshop.form_machines import chuck_text, machine_text, read_chuck, read_machine
from webapp.sheets.workshop.page_lists import list_address
from webapp.sheets.workshop.page_unit import chosen_unit, keep_unit
from webapp.sheets.workshop.view import REACH_WORDS
from webapp.typed.texts import Errors, Typed
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take

router = APIRouter(prefix="/workshop")
What = Literal["instrument", "machine", "chuck", "jig"]

_STEEL_ALPHA_TEXT = "11.5"  # steel; the domain's Instrument says whose figure this is


def _nothing_more(view: object, form: Form) -> dict[str, object]:
    return {}


def _of_instrument(view: InstrumentView | None, form: Form) -> dict[str, object]:
    kind = view.instrument.kind if view else form.typed.get("kind")
    return {
        "plug": kind == InstrumentKind.PLUG,
        "starting": view.instrument.note if view and is_starting_note(view.instrument.note) else "",
        "sure": sure_of_typed(form.typed) if "sure" in form.errors else "",
        "reaches": [(reach.value, words) for reach, words in REACH_WORDS.items()],
        "today": today().isoformat(),
    }


def _read_instrument(typed: Typed, view: InstrumentView | None) -> tuple[Draft | None, Errors]:
    # A new one's kind is chosen by the link to its form, not in it: another is no slip of a person's.
    kind = view.instrument.kind if view else InstrumentKind(_known_kind("instrument", typed.get("kind")))
    return read_instrument(typed, kind, today(), view.instrument if view else None)


@dataclass(frozen=True)
class _Thing:
    """How one kind of thing is listed, read and shown in its form; `kinds`: what a new one may be of, the usual first."""

    called: str
    listed: Callable[[Any], Sequence[Any]]
    read: Callable[[Typed, Any], tuple[Any, Errors]]
    text: Callable[[Any, Unit], Typed]
    kinds: type[StrEnum] | None = None
    usual: tuple[tuple[str, str], ...] = ()
    more: Callable[[Any, Form], dict[str, object]] = _nothing_more


_THINGS = {
    "instrument": _Thing(
        "instrument",
        list_instruments,
        _read_instrument,
        lambda view, unit: text_of(view.instrument, view.checked_on),
        InstrumentKind,
        (("alpha", _STEEL_ALPHA_TEXT), ("zero_offset", "0")),
        _of_instrument,
    ),
    "machine": _Thing(
        "machine",
        list_machines,
        lambda typed, view: read_machine(typed),
        lambda view, unit: machine_text(view.tool, view.lathe, unit),
        MachineKind,
    ),
    "chuck": _Thing(
        "chuck",
        list_chucks,
        lambda typed, view: read_chuck(typed),
        lambda view, unit: chuck_text(view.name, view.chuck, view.screw_nm, unit),
    ),
    "jig": _Thing(
        "drilling jig",
        list_jigs,
        lambda typed, view: read_jig(typed, today()),
        lambda view, unit: jig_text(view.jig, view.checked_on, unit),
    ),
}


def _page(request: Request, what: What, view: Any, form: Form) -> Response:
    thing = _THINGS[what]
    return render.page(
        request,
        f"sheets/workshop/{what}_form.html",
        form.status,
        view=view,
        title_block={
            "build": "every build",
            "sheet": f"{thing.called.capitalize()}, {view.name if view else 'new'}",
            "number": "1",
        },
        **thing.more(view, form),
        **form.context,
    )


def _take(request: Request, db: DbDep, typed: Typed, what: What, view: Any) -> Response:
    answer = take(
        request,
        typed,
        read=lambda: _THINGS[what].read(typed, view),
        act=lambda draft, asked: put_thing(db, asked, draft, view.id if view else None),
        then=list_address(what, view.id if view else None),
        show=partial(_page, request, what, view),
        signed=False,
    )
    return keep_unit(request, typed, answer)


def _known_kind(what: What, kind: str) -> str:
    kinds = _THINGS[what].kinds
    if kinds and kind not in set(kinds):
        raise NotFound(f"There is no such kind of {_THINGS[what].called}.")
    return kind


@router.get("/{what}s/new")
def new_thing(request: Request, what: What, kind: str | None = None) -> Response:
    """The empty form for one."""
    thing = _THINGS[what]
    usual = next((one.value for one in thing.kinds or ()), "")
    kind = _known_kind(what, usual if kind is None else kind)
    started = dict(thing.usual) | {"unit": chosen_unit(request).value, "kind": kind}
    return _page(request, what, None, Form(Typed({name: [text] for name, text in started.items()})))


@router.post("/{what}s/new")
def add(request: Request, what: What, db: DbDep, typed: TypedDep) -> Response:
    """Put one on its list."""
    return _take(request, db, typed, what, None)


def _found(db: DbDep, what: What, row_id: int) -> Any:
    with db.read() as session:
        found = [view for view in _THINGS[what].listed(session) if view.id == row_id]
    if not found:
        raise NotFound(f"There is no such {_THINGS[what].called}.")
    return found[0]


@router.get("/{what}s/{row_id}")
def thing_form(request: Request, what: What, row_id: Id, db: DbDep) -> Response:
    """The form with its own figures."""
    view = _found(db, what, row_id)
    return _page(request, what, view, Form(_THINGS[what].text(view, chosen_unit(request))))


@router.post("/{what}s/{row_id}")
def change(request: Request, what: What, row_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change its figures."""
    return _take(request, db, typed, what, _found(db, what, row_id))
