"""The axle sheet, and giving an empty place to a spare."""

from __future__ import annotations

from dataclasses import replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp.errors import NotFound
from webapp.records.views import SIDES
from webapp.sheets.wheel import change_castings as castings
from webapp.sheets.wheel.page import (
    NO_SUCH_SEAT,
    axle_slip,
    seen_before,
    show_axle,
    show_cautions,
    show_journal,
    show_slip,
)
from webapp.typed.texts import Typed
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import press
from webapp.web.load import get_axle

router = APIRouter()


@router.get("/axles/{axle_id}")
def axle(request: Request, axle_id: Id, db: DbDep) -> Response:
    """The checklist of one axle, left and right."""
    return show_axle(request, db, axle_id, seen_before(request))


@router.get("/axles/{axle_id}/seats/{side}")
def seat(request: Request, axle_id: Id, side: str, db: DbDep) -> Response:
    """The wheel seat at one end of an axle in full."""
    build, axle_view = get_axle(db, axle_id)
    if side not in SIDES:
        raise NotFound(NO_SUCH_SEAT)
    return show_slip(request, db, build, axle_slip(build, axle_view, side), Typed(), axle=axle_view)


@router.get("/axles/{axle_id}/journal")
def journal(request: Request, axle_id: Id, db: DbDep) -> Response:
    """Everything done to an axle."""
    return show_journal(request, db, axle_id)


@router.get("/axles/{axle_id}/cautions")
def cautions(request: Request, axle_id: Id, db: DbDep) -> Response:
    """What to mind at every stage, in full."""
    build, axle_view = get_axle(db, axle_id)
    return show_cautions(request, build, f"/axles/{axle_id}", f"axle {axle_view.number}")


@router.post("/axles/{axle_id}/places/{side}")
def place(request: Request, axle_id: Id, side: str, db: DbDep, typed: TypedDep) -> Response:
    """Give an empty place to a spare."""
    return press(
        request,
        typed,
        act=lambda asked: castings.place_spare(
            db, axle_id, replace(asked, seen=None), side, typed.version("casting"), asked.seen
        ),
        then=f"/axles/{axle_id}",
    )
