"""The set as it was made, against the drawing."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.facts.facts import facts_of
from webapp.facts.let_pass import passed_of
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_build

router = APIRouter()


@router.get("/builds/{build_id}/made")
def made(request: Request, build_id: Id, db: DbDep) -> Response:
    """The set as measured, whether it is finished or not."""
    build = get_build(db, build_id)
    return render.page(
        request,
        "sheets/made/set_made.html",
        build=build,
        made=facts_of(build).made,
        passed=passed_of(build),
        title_block={"build": build.name, "sheet": "The set as made", "number": "M"},
    )
