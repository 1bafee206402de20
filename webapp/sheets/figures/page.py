"""The figures of how a build is machined: cuts, allowances, feeds and how sure to be of having enough castings."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.acts.work_figures import save_work_figures
from webapp.facts.work_figures import hint, work_groups
from webapp.records.views import BuildView
from webapp.typed.texts import Errors, Typed
from webapp.typed.work_figures import typed_texts
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
render.environment.filters["hint"] = hint


def _page(
    request: Request, build: BuildView, typed: Typed, errors: Errors, status: int, saved: bool = False
) -> Response:
    return render.page(
        request,
        "sheets/figures/figures.html",
        status,
        build=build,
        groups=work_groups(),
        saved=saved,
        typed=typed,
        errors=errors,
        page_id=page_of(typed),
        token=token_of(typed, errors),
        title_block={"build": build.name, "sheet": "Cuts and allowances", "number": "C"},
    )


@router.get("/builds/{build_id}/figures")
def figures(request: Request, build_id: Id, db: DbDep, saved: str = "") -> Response:
    """The form with the figures as they were typed."""
    build = get_build(db, build_id)
    stored = Typed({key: [text] for key, text in build.work_texts.items()})
    return _page(request, build, stored, Errors(), 200, saved == "yes")


@router.post("/builds/{build_id}/figures")
def change(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Store the figures."""
    build = get_build(db, build_id)
    texts, errors = typed_texts(typed, build.unit)
    actor = need_actor(request, typed, errors)
    if errors or actor is None:
        return _page(request, build, typed, errors, UNPROCESSABLE)
    trouble = trouble_from(
        lambda: save_work_figures(db, build_id, texts, typed.version(), typed.sent, actor), ""
    )
    if trouble is None:
        return see(request, f"/builds/{build_id}/figures?saved=yes", typed, actor)
    tell(errors, trouble)
    return _page(request, build, typed, errors, trouble.status)
