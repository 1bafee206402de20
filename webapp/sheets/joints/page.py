"""What a build's joints are judged by, and what each holds against what it must carry."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.facts.joint_terms import drawing_of
from webapp.records.views import BuildView
from webapp.sheets.joints.change import save_figures
from webapp.sheets.joints.view import joint_sheet
from webapp.typed.joint_figures import typed_texts
from webapp.typed.texts import Errors, Typed
from webapp.web.common import (
    UNPROCESSABLE,
    TypedDep,
    need_actor,
    page_of,
    see,
    tell,
    token_of,
    trouble_from,
)
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_build

router = APIRouter()


def _page(request: Request, build: BuildView, typed: Typed, errors: Errors, status: int) -> Response:
    return render.page(
        request,
        "sheets/joints/joints.html",
        status,
        build=build,
        sheet=joint_sheet(build),
        typed=typed,
        errors=errors,
        page_id=page_of(typed),
        token=token_of(typed, errors),
        title_block={"build": build.name, "sheet": "Joints", "number": "J"},
    )


@router.get("/builds/{build_id}/joints")
def joints(request: Request, build_id: Id, db: DbDep) -> Response:
    """The form with the figures as they were typed, and every joint below it."""
    build = get_build(db, build_id)
    stored = Typed({key: [text] for key, text in build.joint_texts.items()})
    return _page(request, build, stored, joint_sheet(build).wrong, 200)


@router.post("/builds/{build_id}/joints")
def change(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Store the figures; the sheet then shows what that does to each joint."""
    build = get_build(db, build_id)
    texts, errors = typed_texts(typed, drawing_of(build))
    actor = need_actor(request, typed, errors)
    if errors or actor is None:
        return _page(request, build, typed, errors, UNPROCESSABLE)
    trouble = trouble_from(lambda: save_figures(db, build_id, texts, typed.version(), typed.sent, actor), "")
    if trouble is None:
        return see(request, f"/builds/{build_id}/joints#held", typed, actor)
    tell(errors, trouble)
    return _page(request, build, typed, errors, trouble.status)
