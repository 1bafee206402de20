"""The list of builds: the first page, so it must know as little as it can."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.sheets.shelf.view import list_builds
from webapp.web.deps import DbDep

router = APIRouter()


@router.get("/")
def index(request: Request, db: DbDep) -> Response:
    """The newest builds, or the page of older ones that is asked for."""
    before = None
    if request.query_params:
        # The first page of all need not wait for what finds rows.
        from webapp.web.load import older_than

        before = older_than(request)
    with db.read() as session:
        found = list_builds(session, before)
    return render.page(request, "sheets/shelf/builds.html", builds=found)
