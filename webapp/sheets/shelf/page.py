"""The list of builds: the first page, so it must know as little as it can."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.db import Db
from webapp.sheets.shelf.view import any_archived, list_builds
from webapp.web.deps import DbDep

router = APIRouter()


@router.get("/")
def index(request: Request, db: DbDep) -> Response:
    """The newest builds, or the page of older ones that is asked for."""
    return _page(request, db, archived=False)


@router.get("/archived")
def put_away(request: Request, db: DbDep) -> Response:
    """The builds that were archived."""
    return _page(request, db, archived=True)


def _page(request: Request, db: Db, archived: bool) -> Response:
    before = None
    if request.query_params:
        # The first page of all need not wait for what finds rows.
        from webapp.web.load import older_than

        before = older_than(request)
    with db.read() as session:
        found = list_builds(session, before, archived=archived)
        more = archived or any_archived(session)
    return render.page(request, "sheets/shelf/builds.html", builds=found, archived=archived, more=more)
