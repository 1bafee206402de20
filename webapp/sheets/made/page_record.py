"""The wheel-set record, made for paper: for the folder that goes with the engine. Only looked at: nothing is stored."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.facts.castings import tiles
from webapp.facts.facts import facts_of
from webapp.facts.let_pass import passed_of
from webapp.facts.made_record import record_of, sizes_of
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_build

router = APIRouter()


@router.get("/builds/{build_id}/record")
def record(request: Request, build_id: Id, db: DbDep) -> Response:
    """The set as made against the drawing, with who measured what with which instrument, and room to sign."""
    build = get_build(db, build_id)
    return render.page(
        request,
        "sheets/made/record.html",
        build=build,
        made=facts_of(build).made,
        axles=[(axle, tiles(build, axle.wheels)) for axle in build.axles],
        record=record_of(build),
        tables=sizes_of(build),
        passed=passed_of(build, build.axles),
        title_block={"build": build.name, "sheet": "Wheel-set record", "number": "R"},
    )
