"""The sheet of labels, and where a scanned one leads."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.errors import NotFound
from webapp.records.labels import casting_of_label, permanent_ids
from webapp.sheets.labels.view import labels
from webapp.typed.labels import SCAN
from webapp.web.common import see
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_build

router = APIRouter()


@router.get("/builds/{build_id}/labels")
def sheet(request: Request, build_id: Id, db: DbDep) -> Response:
    """A label for each casting of the build."""
    build = get_build(db, build_id)
    with db.read() as session:
        own = permanent_ids(session, build_id)
    return render.page(
        request,
        "sheets/labels/labels.html",
        build=build,
        papers=labels(build, request.app.state.named, own),
        named=request.app.state.named,
        alone=request.app.state.settings.on_loopback,
        title_block={"build": build.name, "sheet": "Labels", "number": "L"},
    )


@router.get(SCAN)
def scan(request: Request, db: DbDep) -> Response:
    """Go to the casting whose label was scanned."""
    with db.read() as session:
        own = casting_of_label(session, request.query_params.get("q", ""))
    if own is None:
        raise NotFound("No casting here has such a label: it may be of a build on another machine.")
    return see(request, f"/castings/{own}")
