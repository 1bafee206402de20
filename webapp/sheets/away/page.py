"""The sheet on which a build is archived, brought back or deleted."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from functools import partial
from typing import cast

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.copies import Copies, Legacy
from webapp.records.change import Asked
from webapp.sheets.away.change import archive, delete_build
from webapp.sheets.away.view import going
from webapp.typed.texts import Errors
from webapp.web.common import TypedDep, see
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, press, take
from webapp.web.load import get_build

router = APIRouter()


def _page(request: Request, db: DbDep, build_id: int, form: Form, *, asked: bool = True) -> Response:
    build = get_build(db, build_id)
    with db.read() as session:
        goes = going(session, build)
    return render.page(
        request,
        "sheets/away/away.html",
        form.status,
        build=build,
        goes=goes,
        asked=asked,
        title_block={"build": build.name, "sheet": "Archive or delete", "number": "X"},
        **form.context,
    )


@router.get("/builds/{build_id}/away")
def sheet(request: Request, build_id: Id, db: DbDep) -> Response:
    """What may become of a build that is done with; whether it is to be deleted for good is asked at an address."""
    return _page(request, db, build_id, Form(), asked=request.query_params.get("open") == "delete")


@router.get("/builds/{build_id}/delete")
def back_to_the_question(request: Request, build_id: Id, db: DbDep) -> Response:
    """Someone came to the form's own address, with the back button say: ask again."""
    get_build(db, build_id)
    return see(request, f"/builds/{build_id}/away?open=delete#delete")


@router.post("/builds/{build_id}/archive")
def put_away(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Out of the list of builds; it stays as it is."""
    return press(
        request,
        typed,
        act=lambda asked: archive(db, build_id, replace(asked, seen=None), True),
        then="/archived",
    )


@router.post("/builds/{build_id}/bring-back")
def bring_back(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Into the list of builds again."""
    return press(
        request,
        typed,
        act=lambda asked: archive(db, build_id, replace(asked, seen=None), False),
        then=f"/builds/{build_id}",
    )


@router.post("/builds/{build_id}/delete")
def delete(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Delete it, when that was asked and answered twice; its export is kept with the copies."""
    copies = cast(Copies, request.app.state.copies)

    def act(confirmed: str, asked: Asked) -> int:
        left: list[Legacy] = []

        def keep(name: str, text: str) -> int:
            left.append(copies.leave(name, text))
            return left[-1].number

        try:
            return delete_build(db, asked.sent, build_id, confirmed, asked.actor, keep)
        except BaseException:
            with suppress(Exception):  # what went wrong first is told
                get_build(db, build_id)
                for one in left:  # the build is there still: the export would tell of what did not come about
                    one.path.unlink(missing_ok=True)
            raise

    return take(
        request,
        typed,
        read=lambda: (typed.get("confirmed"), Errors()),
        act=act,
        then=lambda number: f"/copies?deleted={number}",
        show=partial(_page, request, db, build_id),
    )
