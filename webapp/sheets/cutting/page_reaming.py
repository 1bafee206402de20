"""Reamer or boring bar: the build's bore put to the reamers and drills of the workshop."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.sheets.cutting.form_reaming import read_trial
from webapp.sheets.cutting.view_reaming import reamed_next, reaming_sheet, trial_answer
from webapp.typed.texts import Errors, Typed
from webapp.web.common import UNPROCESSABLE
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_pattern

router = APIRouter()


@router.get("/builds/{build_id}/reaming")
def reaming(request: Request, build_id: Id, db: DbDep) -> Response:
    """Reamer or boring bar for this build's bore; with trial bores typed, what they say. Nothing is stored."""
    build = get_pattern(request, db, build_id)
    sheet = reaming_sheet(build)
    asked = request.query_params
    typed = Typed({name: asked.getlist(name) for name in ("reamer", "trial") if name in asked})
    errors, trial = Errors(), None
    if typed.fields and sheet.wanted:
        view = next((one for one in build.reamers if str(one.id) == typed.get("reamer")), None)
        if view is None:
            errors["reamer"] = "Choose a reamer from the list."
        else:
            bores, errors = read_trial(typed, view.reamer.nominal_nm, build.unit)
            trial = None if errors else trial_answer(build, view, bores)
    return render.page(
        request,
        "sheets/cutting/reaming.html",
        UNPROCESSABLE if errors else 200,
        build=build,
        sheet=sheet,
        box=reamed_next(build),
        typed=Typed({"reamer": [sheet.first_to_try]} | typed.fields),
        to_try=[(str(line.id), line.name) for line in sheet.lines],
        errors=errors,
        trial=trial,
        title_block={"build": build.name, "sheet": "Reaming", "number": "1"},
    )
