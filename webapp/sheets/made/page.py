"""The set as it was made, against the drawing."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.facts.facts import facts_of
from webapp.facts.let_pass import passed_of
from webapp.facts.returning import in_service, lives_of
from webapp.records.taken_back import sizes_of_lives, taken_back_of
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_build

router = APIRouter()


@router.get("/builds/{build_id}/made")
def made(request: Request, build_id: Id, db: DbDep) -> Response:
    """The set as measured, whether it is finished or not."""
    build = get_build(db, build_id)
    with db.read() as session:
        taken = taken_back_of(session, build_id)
        lives = lives_of(build, taken, sizes_of_lives(session, build_id)) if taken else ()
    return render.page(
        request,
        "sheets/made/set_made.html",
        build=build,
        made=facts_of(build).made,
        passed=passed_of(build, build.axles),
        lives=lives,
        in_service=in_service(build),
        title_block={"build": build.name, "sheet": "The set as made", "number": "M"},
    )
