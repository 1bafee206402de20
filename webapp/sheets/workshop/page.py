"""The Workshop sheet with its instruments, reamers and drills."""

from __future__ import annotations

from functools import partial
from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.records.journal import today
from webapp.sheets.workshop import change as workshop
from webapp.sheets.workshop.change_tools import add_tools
from webapp.sheets.workshop.form import (
    PLUG_CLASSES,
    read_starters,
    read_tools,
)
from webapp.sheets.workshop.form_machines import USUAL
from webapp.sheets.workshop.page_lists import list_address
from webapp.sheets.workshop.page_unit import chosen_unit, keep_unit
from webapp.sheets.workshop.view import workshop_sheet
from webapp.typed.texts import Errors, Typed
from webapp.web.common import TypedDep, do_or_page, fresh_token, see
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take

router = APIRouter()
What = Literal["instrument", "reamer", "drill", "jig", "machine", "chuck"]

_UNTOUCHED = Form()


def _page(request: Request, db: DbDep, place: str = "", form: Form = _UNTOUCHED) -> Response:
    """The Workshop sheet; a form that was not taken keeps what was typed, in its own place."""
    with db.read() as session:
        sheet = workshop_sheet(session, today(), chosen_unit(request))
    return render.page(
        request,
        "sheets/workshop/workshop.html",
        form.status,
        sheet=sheet,
        place=place,
        typed=form.typed,
        errors=form.errors,
        put=request.query_params.get("put", ""),
        classes=[(one, one) for one in PLUG_CLASSES],
        token=fresh_token,
        title_block={"build": "every build", "sheet": "Workshop", "number": "1"},
    )


@router.get("/workshop")
def lists(request: Request, db: DbDep) -> Response:
    """The instruments, reamers and drills of the workshop."""
    return _page(request, db)


@router.post("/workshop/starters")
def put_starters(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Put the usual instruments on the list."""
    answer = take(
        request,
        typed,
        read=lambda: read_starters(typed),
        act=lambda found, asked: workshop.put_starters(db, asked.sent, found),
        then=lambda put: f"/workshop?put={'some' if put else 'none'}#instruments",
        show=partial(_page, request, db, "starters"),
        signed=False,
    )
    return keep_unit(request, typed, answer)


@router.post("/workshop/machines/starters")
def put_machines(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Put a lathe, a drilling machine and a chuck with invented figures on the lists."""
    return take(
        request,
        typed,
        read=lambda: (USUAL, Errors()),
        act=lambda usual, asked: workshop.put_starters(db, asked.sent, usual),
        then=lambda put: f"/workshop?put={'machines' if put else 'no-machines'}#machines",
        show=partial(_page, request, db, "starters"),
        signed=False,
    )


@router.post("/workshop/{what}s/{row_id}/retire")
def retire(request: Request, what: What, row_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Take something out of use, or back into it: the wish is sent, never a toggle."""
    do_or_page(lambda: workshop.retire(db, typed.sent, what, row_id, typed.yes("retired"), typed.version()))
    return see(request, list_address(what))


def _add_tools(request: Request, db: DbDep, typed: Typed, what: str) -> Response:
    answer = take(
        request,
        typed,
        read=lambda: read_tools(typed, what),
        act=lambda drafts, asked: add_tools(db, asked.sent, what, drafts),
        then=list_address(what),
        show=partial(_page, request, db, what),
        signed=False,
    )
    return keep_unit(request, typed, answer)


@router.post("/workshop/reamers")
def add_reamers(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Put reamers on the list."""
    return _add_tools(request, db, typed, "reamer")


@router.post("/workshop/drills")
def add_drills(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Put drills on the list."""
    return _add_tools(request, db, typed, "drill")
