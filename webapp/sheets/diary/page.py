"""The diary: what was done on which day, with a link to each thing."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.db import Db
from webapp.errors import NotFound
from webapp.records.diary import diary
from webapp.records.views import BuildView
from webapp.sheets.diary.form import read_of
from webapp.sheets.diary.view import by_day, choices, devices_told
from webapp.web.deps import DbDep
from webapp.web.load import get_axle, get_build, get_casting, older_than

router = APIRouter()


@router.get("/diary")
def sheet(request: Request, db: DbDep, of: str = "") -> Response:
    """Everything done, or what was done to the build, the axle or the casting that is asked for."""
    asked = read_of(of)
    if asked is None:
        raise NotFound("There is no such diary.")
    what, row_id = asked
    build = _build_of(db, what, row_id)
    with db.read() as session:
        page = diary(session, what, row_id, older_than(request))
    return render.page(
        request,
        "sheets/diary/diary.html",
        build=build,
        of=of,
        choices=choices(build) if build else (),
        page=page,
        days=by_day(page.lines),
        devices=devices_told(page.lines, {one.id: one.name for one in request.app.state.devices.listed()}),
        title_block={"build": build.name if build else "every build", "sheet": "Diary", "number": "D"},
    )


def _build_of(db: Db, what: str, row_id: int) -> BuildView | None:
    if what == "casting":
        return get_casting(db, row_id)[0]
    if what == "axle":
        return get_axle(db, row_id)[0]
    return get_build(db, row_id) if what else None
