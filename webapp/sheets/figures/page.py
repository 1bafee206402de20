"""The figures of how a build is machined: cuts, allowances, feeds and how sure to be of having enough castings."""

from __future__ import annotations

from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.acts.work_figures import save_work_figures
from webapp.facts.work_figures import hint, work_groups
from webapp.records.views import BuildView
from webapp.typed.texts import Typed
from webapp.typed.work_figures import typed_texts
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_build

router = APIRouter()
render.environment.filters["hint"] = hint


def _page(request: Request, build: BuildView, form: Form, saved: bool = False) -> Response:
    return render.page(
        request,
        "sheets/figures/figures.html",
        form.status,
        build=build,
        groups=work_groups(build),
        saved=saved,
        title_block={"build": build.name, "sheet": "Cuts and allowances", "number": "C"},
        **form.context,
    )


@router.get("/builds/{build_id}/figures")
def figures(request: Request, build_id: Id, db: DbDep, saved: str = "") -> Response:
    """The form with the figures as they were typed."""
    build = get_build(db, build_id)
    stored = Typed({key: [text] for key, text in build.work_texts.items()})
    return _page(request, build, Form(stored), saved == "yes")


@router.post("/builds/{build_id}/figures")
def change(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Store the figures."""
    build = get_build(db, build_id)
    return take(
        request,
        typed,
        read=lambda: typed_texts(typed, build.unit),
        act=lambda texts, asked: save_work_figures(db, build_id, asked, texts),
        then=f"/builds/{build_id}/figures?saved=yes",
        show=partial(_page, request, build),
    )
