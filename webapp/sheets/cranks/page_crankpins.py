"""Crankpins: the hole by the read-out, the jig, the cranks, and the throws of the build. Nothing is stored here."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.facts.work_figures import work_figures
from webapp.sheets.cranks.drawing_crankpin import crankpin_picture
from webapp.sheets.cranks.form_crankpins import FIELDS, asked, read_crankpins, start_texts
from webapp.sheets.cranks.view_crankpins import cranks_answer, hole_answer, jig_answer
from webapp.sheets.cranks.view_throws import throws_sheet
from webapp.web.common import UNPROCESSABLE
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_pattern

router = APIRouter()


@router.get("/builds/{build_id}/crankpins")
def crankpins(request: Request, build_id: Id, db: DbDep) -> Response:
    """The sheet with the drawing's figures, or with those asked for in the address."""
    build = get_pattern(request, db, build_id, cranked=True)
    figures = work_figures(build)
    start = start_texts(
        {key: size.nm for key, size in build.dimensions.items()},
        figures.chosen("cylinders"),
        figures.number("inside_slope"),
        build.unit,
    )
    query = request.query_params.multi_items()
    typed = asked(query, start)
    found, errors = read_crankpins(typed, build.unit)
    hole = hole_answer(build, found, errors)
    jig, cranks = jig_answer(build, found, errors), cranks_answer(build, found, errors)
    tried = any(name in FIELDS for name, _ in query)
    return render.page(
        request,
        "sheets/cranks/crankpins.html",
        # Figures of the drawing that do not agree with each other are no fault of the one who only looks.
        UNPROCESSABLE if errors and tried else 200,
        build=build,
        typed=typed,
        errors=errors,
        tried=tried,
        hole=hole,
        picture=crankpin_picture(hole.position, found.nm) if hole.position else None,
        jig=jig,
        cranks=cranks,
        throws=throws_sheet(build),
        title_block={"build": build.name, "sheet": "Crankpins", "number": "P"},
    )
