"""Re-turning: a group of finished wheels after service, its wear, and the way back to tread turned."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.measuring.instruments import Reach
from webapp import render
from webapp.acts.size_log import weigh_sizes
from webapp.db import Db
from webapp.errors import NotFound
from webapp.facts.correcting import tools_for
from webapp.records.journal import today
from webapp.sheets.returning.change import WEAR_FORM, come_back_out, log_wear, log_worn_back, take_back
from webapp.sheets.returning.form import BACK_KEYS, read_take_back, read_wear
from webapp.sheets.returning.view import returning_sheet
from webapp.typed.size_log import read_log
from webapp.typed.sizes import BY_KEY
from webapp.typed.texts import Errors
from webapp.typed.tyre import WORN
from webapp.web.common import TypedDep, fresh_token
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, press, take
from webapp.web.load import get_axle, get_casting

router = APIRouter()
# Which of the sheet's forms was refused: taking back, or that of one wheel or axle by its id.
BACK, OUT = "back", "out"


@router.get("/axles/{axle_id}/returning")
def returning(request: Request, axle_id: Id, db: DbDep) -> Response:
    """The group of an axle after service."""
    return _page(request, db, axle_id, Form())


def _page(request: Request, db: Db, axle_id: int, form: Form, place: str = "") -> Response:
    build, axle = get_axle(db, axle_id)
    sheet = returning_sheet(build, axle)
    return render.page(
        request,
        "sheets/returning/returning.html",
        form.status,
        build=build,
        axle=axle,
        sheet=sheet,
        kinds=[BY_KEY[key] for key in WORN],
        back_kinds=[BY_KEY[key] for key in BACK_KEYS],
        tools=tools_for(build, Reach.OUTSIDE),
        inside_tools=tools_for(build, Reach.INSIDE),
        today=today().isoformat(),
        place=place,
        no_errors=Errors(),
        fresh=fresh_token,
        title_block={
            "build": build.name,
            "sheet": f"Re-turning, {sheet.group.name}",
            "number": f"R{axle.number}",
        },
        **form.context,
    )


@router.post("/castings/{casting_id}/wear")
def wear(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write down the wear of one tyre."""
    build, casting = get_casting(db, casting_id)
    axle = build.axle(casting.axle_id)
    if axle is None:
        raise NotFound(f"{casting.mark} is on no axle, so it was not in service.")
    return take(
        request,
        typed,
        read=lambda: read_wear(typed, build.unit),
        act=lambda logged, asked: log_wear(db, casting_id, asked, logged),
        then=f"/axles/{axle.id}/returning#judged",
        show=lambda form: _page(request, db, axle.id, form, f"wear-{casting_id}"),
        weigh=lambda logged: weigh_sizes(build, casting, WEAR_FORM, logged),
    )


@router.post("/axles/{axle_id}/worn-back")
def worn_back(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write down the back to back after service."""
    build, _ = get_axle(db, axle_id)
    return take(
        request,
        typed,
        read=lambda: read_log(typed, BACK_KEYS, build.unit),
        act=lambda logged, asked: log_worn_back(db, axle_id, asked, logged),
        then=f"/axles/{axle_id}/returning#judged",
        show=lambda form: _page(request, db, axle_id, form, f"axle-{axle_id}"),
    )


@router.post("/axles/{axle_id}/returning")
def back(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Take the group's finished wheels back to tread turned."""
    build, _ = get_axle(db, axle_id)
    return take(
        request,
        typed,
        read=lambda: read_take_back(typed, build.unit),
        act=lambda wish, asked: take_back(db, axle_id, asked, wish),
        then=f"/axles/{axle_id}",
        show=lambda form: _page(request, db, axle_id, form, BACK),
        confirm="sure",
    )


@router.post("/axles/{axle_id}/returning/out")
def out(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Come back out of it: it was pressed by mistake."""
    return press(
        request,
        typed,
        act=lambda asked: come_back_out(db, axle_id, asked),
        then=f"/axles/{axle_id}/returning#judged",
        show=lambda form: _page(request, db, axle_id, form.told, OUT),
    )
