"""An axle's record, made for paper. Only looked at: nothing is stored."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.sheets.wheel.view_record import axle_record
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_axle

router = APIRouter()


@router.get("/axles/{axle_id}/record")
def record(request: Request, axle_id: Id, db: DbDep) -> Response:
    """One axle with its two wheels as made, on a page or two."""
    build, axle = get_axle(db, axle_id)
    return render.page(
        request,
        "sheets/wheel/record.html",
        build=build,
        axle=axle,
        record=axle_record(build, axle),
        title_block={
            "build": build.name,
            "sheet": f"Axle record, axle {axle.number}",
            "number": f"A{axle.number}",
        },
    )
