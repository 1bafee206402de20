"""The workshop's lathes, drilling machines and chucks: adding, changing, retiring."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TypeVar

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.cutting.spindle import MachineKind
from webapp import render
from webapp.errors import NotFound
from webapp.records.machines import ChuckView, MachineView, list_chucks, list_machines
from webapp.sheets.workshop import change_machines as machines
from webapp.sheets.workshop.form_machines import (
    ChuckDraft,
    MachineDraft,
    chuck_text,
    machine_text,
    read_chuck,
    read_machine,
)
from webapp.sheets.workshop.page_unit import chosen_unit, keep_unit
from webapp.typed.texts import Errors, Typed
from webapp.web.common import TypedDep, do_or_page, see
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take

router = APIRouter(prefix="/workshop")
View = MachineView | ChuckView
Thing = TypeVar("Thing", MachineDraft, ChuckDraft)
Reader = Callable[[Typed], tuple[Thing | None, Errors]]


def _page(request: Request, what: str, view: View | None, form: Form) -> Response:
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


def _add(request: Request, db: DbDep, typed: Typed, what: str, read: Reader[Thing]) -> Response:
    answer = take(
        request,
        typed,
        read=lambda: read(typed),
        act=lambda draft, asked: machines.add_thing(db, asked.sent, what, draft),
        then=f"/workshop#{what}s",
        show=partial(_page, request, what, None),
        signed=False,
    )
    return keep_unit(request, typed, answer)


def _change(
    request: Request, db: DbDep, typed: Typed, what: str, view: View, read: Reader[Thing]
) -> Response:
    answer = take(
        request,
        typed,
        read=lambda: read(typed),
        act=lambda draft, asked: machines.change_thing(db, asked.sent, what, view.id, draft, typed.version()),
        then=f"/workshop#{what}-{view.id}",
        show=partial(_page, request, what, view),
        signed=False,
    )
    return keep_unit(request, typed, answer)


@router.post("/machines/starters")
def put_starters(request: Request, db: DbDep) -> Response:
    """Put a lathe, a drilling machine and a chuck with invented figures on the lists."""
    put = "machines" if machines.put_usual(db) else "no-machines"
    return see(request, f"/workshop?put={put}#machines")


@router.get("/machines/new")
def new_machine(request: Request, kind: str = MachineKind.LATHE.value) -> Response:
    """The empty form for a lathe or a drilling machine."""
    if kind not in set(MachineKind):
        raise NotFound("There is no such kind of machine.")
    typed = Typed({"unit": [chosen_unit(request).value], "kind": [kind]})
    return _page(request, "machine", None, Form(typed))


@router.post("/machines/new")
def add_machine(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Put a machine on the list."""
    return _add(request, db, typed, "machine", read_machine)


def _machine(db: DbDep, machine_id: int) -> MachineView:
    with db.read() as session:
        found = [view for view in list_machines(session) if view.id == machine_id]
    if not found:
        raise NotFound("There is no such machine.")
    return found[0]


@router.get("/machines/{machine_id}")
def machine(request: Request, machine_id: Id, db: DbDep) -> Response:
    """The form with a machine's own figures."""
    view = _machine(db, machine_id)
    typed = machine_text(view.tool, view.lathe, chosen_unit(request))
    return _page(request, "machine", view, Form(typed))


@router.post("/machines/{machine_id}")
def change_machine(request: Request, machine_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change a machine's figures."""
    return _change(request, db, typed, "machine", _machine(db, machine_id), read_machine)


@router.post("/machines/{machine_id}/retire")
def retire_machine(request: Request, machine_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Take a machine out of use, or back into it: the wish is sent, never a toggle."""
    retired, seen = typed.yes("retired"), typed.version()
    do_or_page(lambda: machines.retire_thing(db, "machine", machine_id, retired, seen))
    return see(request, "/workshop#machines")


@router.get("/chucks/new")
def new_chuck(request: Request) -> Response:
    """The empty form for a chuck."""
    return _page(request, "chuck", None, Form(Typed({"unit": [chosen_unit(request).value]})))


@router.post("/chucks/new")
def add_chuck(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Put a chuck on the list."""
    return _add(request, db, typed, "chuck", read_chuck)


def _chuck(db: DbDep, chuck_id: int) -> ChuckView:
    with db.read() as session:
        found = [view for view in list_chucks(session) if view.id == chuck_id]
    if not found:
        raise NotFound("There is no such chuck.")
    return found[0]


@router.get("/chucks/{chuck_id}")
def chuck(request: Request, chuck_id: Id, db: DbDep) -> Response:
    """The form with a chuck's own figures."""
    view = _chuck(db, chuck_id)
    typed = chuck_text(view.name, view.chuck, view.screw_nm, chosen_unit(request))
    return _page(request, "chuck", view, Form(typed))


@router.post("/chucks/{chuck_id}")
def change_chuck(request: Request, chuck_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change a chuck's figures."""
    return _change(request, db, typed, "chuck", _chuck(db, chuck_id), read_chuck)


@router.post("/chucks/{chuck_id}/retire")
def retire_chuck(request: Request, chuck_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Take a chuck out of use, or back into it."""
    retired, seen = typed.yes("retired"), typed.version()
    do_or_page(lambda: machines.retire_thing(db, "chuck", chuck_id, retired, seen))
    return see(request, "/workshop#chucks")
