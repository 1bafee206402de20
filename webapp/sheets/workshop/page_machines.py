"""The workshop's lathes, drilling machines and chucks: adding, changing, retiring."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.cutting.spindle import MachineKind
from webapp import render
from webapp.errors import NotFound
from webapp.records.machines import ChuckView, MachineView, list_chucks, list_machines
from webapp.sheets.workshop import change_machines as machines
from webapp.sheets.workshop.form_machines import chuck_text, machine_text, read_chuck, read_machine
from webapp.sheets.workshop.page_unit import chosen_unit, see_unit
from webapp.typed.texts import Errors, Typed
from webapp.web.common import (
    UNPROCESSABLE,
    TypedDep,
    do_or_page,
    see,
    tell,
    token_of,
    trouble_from,
)
from webapp.web.deps import DbDep, Id

router = APIRouter(prefix="/workshop")
View = MachineView | ChuckView


def _form(
    request: Request, what: str, typed: Typed, errors: Errors, status: int, view: View | None = None
) -> Response:
    return render.page(
        request,
        f"sheets/workshop/{what}_form.html",
        status,
        view=view,
        typed=typed,
        errors=errors,
        token=token_of(typed, errors),
        title_block={
            "build": "every build",
            "sheet": f"{what.capitalize()}, {view.name if view else 'new'}",
            "number": "1",
        },
    )


def _add(request: Request, db: DbDep, typed: Typed, what: str) -> Response:
    draft, errors = read_machine(typed) if what == "machine" else read_chuck(typed)
    if draft is None:
        return _form(request, what, typed, errors, UNPROCESSABLE)
    trouble = trouble_from(lambda: machines.add_thing(db, what, draft, typed.sent), "name")
    if trouble is None:
        return see_unit(request, f"/workshop#{what}s", typed)
    tell(errors, trouble)
    return _form(request, what, typed, errors, trouble.status)


def _change(request: Request, db: DbDep, typed: Typed, what: str, view: View) -> Response:
    draft, errors = read_machine(typed) if what == "machine" else read_chuck(typed)
    if draft is None:
        return _form(request, what, typed, errors, UNPROCESSABLE, view)
    seen, sent = typed.version(), typed.sent
    trouble = trouble_from(lambda: machines.change_thing(db, what, view.id, draft, seen, sent), "name")
    if trouble is None:
        return see_unit(request, f"/workshop#{what}-{view.id}", typed)
    tell(errors, trouble)
    return _form(request, what, typed, errors, trouble.status, view)


@router.post("/machines/starters")
def put_starters(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Put a lathe, a drilling machine and a chuck with invented figures on the lists."""
    put = "machines" if machines.put_usual(db) else "no-machines"
    return see(request, f"/workshop?put={put}#machines", typed)


@router.get("/machines/new")
def new_machine(request: Request, kind: str = MachineKind.LATHE.value) -> Response:
    """The empty form for a lathe or a drilling machine."""
    if kind not in set(MachineKind):
        raise NotFound("There is no such kind of machine.")
    typed = Typed({"unit": [chosen_unit(request).value], "kind": [kind]})
    return _form(request, "machine", typed, Errors(), 200)


@router.post("/machines/new")
def add_machine(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Put a machine on the list."""
    return _add(request, db, typed, "machine")


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
    return _form(request, "machine", typed, Errors(), 200, view)


@router.post("/machines/{machine_id}")
def change_machine(request: Request, machine_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change a machine's figures."""
    return _change(request, db, typed, "machine", _machine(db, machine_id))


@router.post("/machines/{machine_id}/retire")
def retire_machine(request: Request, machine_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Take a machine out of use, or back into it: the wish is sent, never a toggle."""
    retired, seen = typed.yes("retired"), typed.version()
    do_or_page(lambda: machines.retire_thing(db, "machine", machine_id, retired, seen))
    return see(request, "/workshop#machines", typed)


@router.get("/chucks/new")
def new_chuck(request: Request) -> Response:
    """The empty form for a chuck."""
    return _form(request, "chuck", Typed({"unit": [chosen_unit(request).value]}), Errors(), 200)


@router.post("/chucks/new")
def add_chuck(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Put a chuck on the list."""
    return _add(request, db, typed, "chuck")


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
    return _form(request, "chuck", typed, Errors(), 200, view)


@router.post("/chucks/{chuck_id}")
def change_chuck(request: Request, chuck_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change a chuck's figures."""
    return _change(request, db, typed, "chuck", _chuck(db, chuck_id))


@router.post("/chucks/{chuck_id}/retire")
def retire_chuck(request: Request, chuck_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Take a chuck out of use, or back into it."""
    retired, seen = typed.yes("retired"), typed.version()
    do_or_page(lambda: machines.retire_thing(db, "chuck", chuck_id, retired, seen))
    return see(request, "/workshop#chucks", typed)
