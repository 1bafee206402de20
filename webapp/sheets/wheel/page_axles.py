"""The axle sheet, and giving an empty place to a spare."""

from __future__ import annotations

from dataclasses import replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp.sheets.wheel import change_castings as castings
from webapp.sheets.wheel.page import show_axle
from webapp.typed.texts import Typed
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import press

router = APIRouter()


@router.get("/axles/{axle_id}")
def axle(request: Request, axle_id: Id, db: DbDep) -> Response:
    """The checklist of one axle, left and right."""
    return show_axle(request, db, axle_id, Typed())


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
