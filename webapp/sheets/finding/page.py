"""The sheet that finds things by what was written of them."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.records.labels import casting_of_label
from webapp.sheets.finding.form import FIELD, read_asked
from webapp.sheets.finding.view import found
from webapp.typed.texts import Errors, Typed
from webapp.web.common import UNPROCESSABLE, see
from webapp.web.deps import DbDep
from webapp.web.load import older_than

router = APIRouter()


@router.get("/find")
def sheet(request: Request, db: DbDep, place: str = "") -> Response:
    """The field, and what was found; a scanned label opens its casting."""
    typed, errors = Typed.of_query(request.query_params.multi_items()), Errors()
    with db.read() as session:
        if (casting := casting_of_label(session, typed.get(FIELD))) is not None:
            return see(request, f"/castings/{casting}")
        asked = read_asked(typed, errors) if FIELD in typed.fields else None
        groups = None if asked is None else found(session, asked, place, older_than(request))
    return render.page(
        request,
        "sheets/finding/finding.html",
        UNPROCESSABLE if errors else 200,
        typed=typed,
        errors=errors,
        asked=asked,
        groups=groups,
        place=place,
        title_block={"build": "every build", "sheet": "Find", "number": "F"},
    )
