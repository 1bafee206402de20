"""The card of one axle: its answer, its picture, the list with a tick for each thing, and the form for its sizes."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.db import Db
from webapp.errors import NotFound
from webapp.facts.correcting import tools_for
from webapp.records.change import Asked
from webapp.sheets.assembly.change import (
    add_thing,
    change_thing,
    copy_list,
    log_sizes,
    put_on,
    take_out,
    weigh_sizes,
)
from webapp.sheets.assembly.form import (
    ALONG,
    CENTRES,
    LIES,
    read_axle_sizes,
    read_starter,
    read_thing,
    size_boxes,
)
from webapp.sheets.assembly.view import assembly_sheet
from webapp.typed.texts import Typed
from webapp.web.common import TypedDep, fresh_token
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, press, take
from webapp.web.load import get_axle

router = APIRouter()
# Which of the sheet's forms was refused: the sizes, the list, or one thing of it by its number.
SIZES, LIST = "sizes", "list"


@router.get("/axles/{axle_id}/assembly")
def card(request: Request, axle_id: Id, db: DbDep) -> Response:
    """The card of one axle."""
    return _page(request, db, axle_id, Form())


def _page(request: Request, db: Db, axle_id: int, form: Form, place: str = "") -> Response:
    build, axle = get_axle(db, axle_id)
    return render.page(
        request,
        "sheets/assembly/assembly.html",
        form.status,
        build=build,
        axle=axle,
        sheet=assembly_sheet(build, axle),
        boxes=size_boxes(),
        lies=LIES,
        centres=CENTRES,
        along=ALONG,
        tools=tools_for(build),
        place=place,
        fresh=fresh_token,
        title_block={"build": build.name, "sheet": f"Axle {axle.number}", "number": f"A{axle.number}"},
        **form.context,
    )


@router.post("/axles/{axle_id}/assembly")
def write_sizes(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write down sizes of the axle."""
    build, axle = get_axle(db, axle_id)
    return take(
        request,
        typed,
        read=lambda: read_axle_sizes(typed, build.unit),
        act=lambda sizes, asked: log_sizes(db, axle_id, asked, sizes),
        then=f"/axles/{axle_id}/assembly#judged",
        show=lambda form: _page(request, db, axle_id, form, SIZES),
        weigh=lambda sizes: weigh_sizes(build, axle, sizes),
    )


@router.post("/axles/{axle_id}/assembly/list")
def add(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Put a thing on the list: a starter that was tapped, or one with a name of the builder's own."""
    build, axle = get_axle(db, axle_id)
    names = tuple(item.name for item in axle.items)
    return take(
        request,
        typed,
        read=lambda: read_starter(typed, names) if typed.get("starter") else read_thing(typed, build.unit),
        act=lambda thing, asked: add_thing(db, axle_id, asked, thing),
        then=f"/axles/{axle_id}/assembly#list",
        show=lambda form: _page(request, db, axle_id, form, LIST),
    )


@router.post("/axles/{axle_id}/assembly/same")
def same(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Put on the list what another axle's has."""
    build, _ = get_axle(db, axle_id)
    other = build.axle(typed.version("like"))
    if other is None:
        raise NotFound("There is no such axle in this build.")
    return _tap(request, db, axle_id, typed, lambda asked: copy_list(db, axle_id, asked, other))


@router.post("/axles/{axle_id}/assembly/list/{item_id}")
def of_thing(request: Request, axle_id: Id, item_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Tick a thing as on the axle or not, take it off the list, or change it."""
    build, _ = get_axle(db, axle_id)
    wish = typed.get("wish")
    if wish == "out":
        return _tap(request, db, axle_id, typed, lambda asked: take_out(db, axle_id, asked, item_id))
    if wish in ("yes", "no"):
        return _tap(
            request, db, axle_id, typed, lambda asked: put_on(db, axle_id, asked, item_id, wish == "yes")
        )
    return take(
        request,
        typed,
        read=lambda: read_thing(typed, build.unit),
        act=lambda thing, asked: change_thing(db, axle_id, asked, item_id, thing),
        then=f"/axles/{axle_id}/assembly#list",
        show=lambda form: _page(request, db, axle_id, form, str(item_id)),
    )


def _tap(
    request: Request, db: Db, axle_id: int, typed: Typed, act: Callable[[Asked], int | None]
) -> Response:
    """A button of the list."""
    return press(
        request,
        typed,
        act=act,
        then=f"/axles/{axle_id}/assembly#list",
        show=lambda form: _page(request, db, axle_id, form.told, LIST),
    )
