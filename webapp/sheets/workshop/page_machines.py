"""The workshop's lathes, drilling machines and chucks: adding and changing one."""

from __future__ import annotations

from functools import partial
from typing import Any, Literal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.cutting.spindle import MachineKind
from webapp import render
from webapp.errors import NotFound
from webapp.records.machines import ChuckView, MachineView, list_chucks, list_machines
from webapp.sheets.workshop.change import put_thing
from webapp.sheets.workshop.form_machines import (
    ChuckDraft,
    MachineDraft,
    chuck_text,
    machine_text,
    read_chuck,
    read_machine,
)
from webapp.sheets.workshop.page_lists import list_address
from webapp.sheets.workshop.page_unit import chosen_unit, keep_unit
from webapp.typed.texts import Errors, Typed
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take

router = APIRouter(prefix="/workshop")
What = Literal["machine", "chuck"]
View = MachineView | ChuckView
Draft = MachineDraft | ChuckDraft


def _page(request: Request, what: What, view: View | None, form: Form) -> Response:
    return render.page(
        request,
        f"sheets/workshop/{what}_form.html",
        form.status,
        view=view,
        title_block={
            "build": "every build",
            "sheet": f"{what.capitalize()}, {view.name if view else 'new'}",
            "number": "1",
        },
        **form.context,
    )


def _read(what: What, typed: Typed) -> tuple[Any, Errors]:
    return read_machine(typed) if what == "machine" else read_chuck(typed)


def _take(request: Request, db: DbDep, typed: Typed, what: What, view: View | None) -> Response:
    answer = take(
        request,
        typed,
        read=lambda: _read(what, typed),
        act=lambda draft, asked: put_thing(db, asked, draft, view.id if view else None),
        then=list_address(what, view.id if view else None),
        show=partial(_page, request, what, view),
        signed=False,
    )
    return keep_unit(request, typed, answer)


@router.get("/{what}s/new")
def new_thing(request: Request, what: What, kind: str = MachineKind.LATHE.value) -> Response:
    """The empty form for a lathe, a drilling machine or a chuck."""
    if kind not in set(MachineKind):
        raise NotFound("There is no such kind of machine.")
    return _page(request, what, None, Form(Typed({"unit": [chosen_unit(request).value], "kind": [kind]})))


@router.post("/{what}s/new")
def add(request: Request, what: What, db: DbDep, typed: TypedDep) -> Response:
    """Put a machine or a chuck on its list."""
    return _take(request, db, typed, what, None)


def _thing(db: DbDep, what: What, row_id: int) -> View:
    with db.read() as session:
        listed: tuple[View, ...] = list_machines(session) if what == "machine" else list_chucks(session)
    found = [view for view in listed if view.id == row_id]
    if not found:
        raise NotFound(f"There is no such {what}.")
    return found[0]


@router.get("/{what}s/{row_id}")
def thing(request: Request, what: What, row_id: Id, db: DbDep) -> Response:
    """The form with a machine's or a chuck's own figures."""
    view, unit = _thing(db, what, row_id), chosen_unit(request)
    if isinstance(view, MachineView):
        typed = machine_text(view.tool, view.lathe, unit)
    else:
        typed = chuck_text(view.name, view.chuck, view.screw_nm, unit)
    return _page(request, what, view, Form(typed))


@router.post("/{what}s/{row_id}")
def change(request: Request, what: What, row_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change a machine's or a chuck's figures."""
    return _take(request, db, typed, what, _thing(db, what, row_id))
