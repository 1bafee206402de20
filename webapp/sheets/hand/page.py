"""The builder's own hand."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.records.builds import every_build
from webapp.sheets.hand.view import hand_sheet
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_build

router = APIRouter()


@router.get("/builds/{build_id}/hand")
def hand(request: Request, build_id: Id, db: DbDep) -> Response:
    """What was made so far against what was aimed at, and what the next one may be expected to be."""
    build = get_build(db, build_id)
    with db.read() as session:
        sheet = hand_sheet(build, every_build(session))
    return render.page(
        request,
        "sheets/hand/hand.html",
        build=build,
        sheet=sheet,
        title_block={"build": build.name, "sheet": "Your own hand", "number": "H"},
    )
