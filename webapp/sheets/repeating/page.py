"""What was set for each operation on a wheel: kept with one tap from the sheet that worked it out, or typed here."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.repeating.settings import TASKS
from webapp import render
from webapp.acts.as_set import keep_settings, set_same
from webapp.db import Db
from webapp.errors import NotFound
from webapp.records.as_set import every_setting
from webapp.records.views import BuildView
from webapp.sheets.repeating.view import repeat_sheet
from webapp.typed.as_set import read_settings
from webapp.typed.texts import Typed
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, press, take
from webapp.web.load import get_casting

router = APIRouter()
# The sheets that it can be kept from, and where each is; a form names one of these and no address.
_PLACES = {
    "speeds": "/castings/{casting}/speeds?op={op}#op-{op}",
    "strokes": "/castings/{casting}/strokes#set-{op}",
    "swing": "/castings/{casting}/swing#set-{op}",
    "true": "/castings/{casting}/true#set-{op}",
    "reaming": "/builds/{build}/reaming#set-{op}",
    "crankpins": "/builds/{build}/crankpins?pattern={pattern}&open=pin-{casting}#fold-pin-{casting}",
    "": "/castings/{casting}/settings?op={op}#now",
}


@router.get("/castings/{casting_id}/settings")
def sheet(request: Request, casting_id: Id, db: DbDep, op: str = "") -> Response:
    """What stands of an operation, and the form for it."""
    return _page(request, db, casting_id, op, Form())


def _page(request: Request, db: Db, casting_id: int, key: str, form: Form) -> Response:
    build, casting = get_casting(db, casting_id)
    with db.read() as session:
        every = every_setting(session, casting_id)
    sheet = repeat_sheet(build, casting, key, every)
    return render.page(
        request,
        "sheets/repeating/repeating.html",
        form.status,
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        sheet=sheet,
        start=Typed(sheet.start.fields | form.typed.fields),
        trouble=form.trouble,
        title_block={"build": build.name, "sheet": f"As set, {casting.mark}", "number": casting.mark},
        **form.context,
    )


@router.post("/castings/{casting_id}/settings")
def keep(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Keep what was set for an operation; or, where a button says so, set the same as on the wheel before."""
    build, casting = get_casting(db, casting_id)
    task = TASKS.get(typed.get("op"))
    if task is None:
        raise NotFound("There is no such operation.")
    then = _then(build, casting_id, typed)
    show = partial(_page, request, db, casting_id, task.key)
    if typed.get("wish"):
        return press(
            request,
            typed,
            act=lambda asked: set_same(db, casting_id, replace(asked, seen=None), (task,), typed.get("wish")),
            then=then,
            show=show,
        )
    return take(
        request,
        typed,
        read=lambda: read_settings(typed, task, build.unit, stands=task.key in casting.settings),
        # Of no version: what was set before is not written over.
        act=lambda said, asked: keep_settings(db, casting_id, replace(asked, seen=None), task, said),
        then=then,
        show=show,
    )


def _then(build: BuildView, casting_id: int, typed: Typed) -> str:
    """The sheet it was kept from."""
    place = _PLACES.get(typed.get("from"), _PLACES[""])
    pattern = build.pattern.id if build.pattern else ""
    return place.format(casting=casting_id, build=build.id, pattern=pattern, op=typed.get("op"))
