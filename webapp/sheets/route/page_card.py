"""A casting's route card, made for paper. Only looked at: nothing is stored."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.sheets.route.view_card import route_card
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_casting

router = APIRouter()


@router.get("/castings/{casting_id}/card")
def card(request: Request, casting_id: Id, db: DbDep) -> Response:
    """Every stage of a casting with its sizes and room to sign, on one page."""
    build, casting = get_casting(db, casting_id)
    return render.page(
        request,
        "sheets/route/card.html",
        build=build,
        card=route_card(build, casting),
        title_block={"build": build.name, "sheet": f"Route card {casting.mark}", "number": casting.mark},
    )
