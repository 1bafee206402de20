"""The workshop's drilling jigs: adding and changing one."""

from __future__ import annotations

from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.errors import NotFound
from webapp.records.journal import today
from webapp.records.workshop import JigView, list_jigs
from webapp.sheets.workshop.change import put_thing
from webapp.sheets.workshop.form import jig_text, read_jig
from webapp.sheets.workshop.page_lists import list_address
from webapp.sheets.workshop.page_unit import chosen_unit, keep_unit
from webapp.typed.texts import Typed
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take

router = APIRouter(prefix="/workshop/jigs")


def _page(request: Request, view: JigView | None, form: Form) -> Response:
    sheet = f"Drilling jig, {view.name if view else 'new'}"
    return render.page(
        request,
        "sheets/workshop/jig_form.html",
        form.status,
        view=view,
        title_block={"build": "every build", "sheet": sheet, "number": "1"},
        **form.context,
    )


def _take(request: Request, db: DbDep, typed: Typed, view: JigView | None) -> Response:
    answer = take(
        request,
        typed,
        read=lambda: read_jig(typed, today()),
        act=lambda draft, asked: put_thing(db, asked, draft, view.id if view else None),
        then=list_address("jig", view.id if view else None),
        show=partial(_page, request, view),
        signed=False,
    )
    return keep_unit(request, typed, answer)


@router.get("/new")
def new_jig(request: Request) -> Response:
    """The empty form for a drilling jig."""
    return _page(request, None, Form(Typed({"unit": [chosen_unit(request).value]})))


@router.post("/new")
def add(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Put a drilling jig on the list."""
    return _take(request, db, typed, None)


def _jig(db: DbDep, jig_id: int) -> JigView:
    with db.read() as session:
        found = [view for view in list_jigs(session) if view.id == jig_id]
    if not found:
        raise NotFound("There is no such drilling jig.")
    return found[0]


@router.get("/{jig_id}")
def jig(request: Request, jig_id: Id, db: DbDep) -> Response:
    """The form with a jig's own figures."""
    view = _jig(db, jig_id)
    return _page(request, view, Form(jig_text(view.jig, view.checked_on, chosen_unit(request))))


@router.post("/{jig_id}")
def change(request: Request, jig_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change a jig's figures."""
    return _take(request, db, typed, _jig(db, jig_id))
