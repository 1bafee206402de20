"""What a build's joints are judged by, and what each holds against what it must carry."""

from __future__ import annotations

from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.facts.joint_terms import drawing_of
from webapp.records.views import BuildView
from webapp.sheets.joints.change import save_figures
from webapp.sheets.joints.view import joint_sheet
from webapp.typed.joint_figures import typed_texts, with_one_reserve
from webapp.typed.texts import Typed
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_pattern

router = APIRouter()


def _page(request: Request, build: BuildView, form: Form) -> Response:
    return render.page(
        request,
        "sheets/joints/joints.html",
        form.status,
        build=build,
        sheet=joint_sheet(build),
        title_block={"build": build.name, "sheet": "Joints", "number": "J"},
        **form.context,
    )


@router.get("/builds/{build_id}/joints")
def joints(request: Request, build_id: Id, db: DbDep) -> Response:
    """The form with the figures as they were typed, and every joint below it."""
    build = get_pattern(request, db, build_id)
    stored = Typed({key: [text] for key, text in with_one_reserve(build.joint_texts).items()})
    return _page(request, build, Form(stored, joint_sheet(build).wrong))


@router.post("/builds/{build_id}/joints")
def change(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Store the figures; the sheet then shows what that does to each joint."""
    build = get_pattern(request, db, build_id)
    return take(
        request,
        typed,
        read=lambda: typed_texts(typed, drawing_of(build)),
        act=lambda texts, asked: save_figures(db, build_id, asked, texts),
        then=f"/builds/{build_id}/joints#held",
        show=partial(_page, request, build),
    )
