"""Will the rods go round: the figures of the rods, the answer, and the rods stepped by hand."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.rods.words import CAUTIONS
from webapp import render
from webapp.facts.rods import pairs_of
from webapp.records.views import BuildView
from webapp.sheets.rods.change import save_rods
from webapp.sheets.rods.form import impossible, read_crank, read_rods
from webapp.sheets.rods.view import rods_sheet, stored_texts, taken_alike
from webapp.sheets.rods.view_boring import boring_view, pins_of
from webapp.typed.rods import BUSHES, FIELDS, SIDES, RodFigures, name_of
from webapp.typed.texts import Errors, Typed
from webapp.web.common import UNPROCESSABLE, TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_build

router = APIRouter()


@router.get("/builds/{build_id}/rods")
def rods(request: Request, build_id: Id, db: DbDep) -> Response:
    """The sheet; for a request of htmx only the picture at another crank position."""
    build, errors = get_build(db, build_id), Errors()
    asked = request.query_params.get("crank", "")
    crank = read_crank(asked, errors)
    status = UNPROCESSABLE if errors else 200
    if "crank" not in request.query_params or not render.wants_fragment(request):
        form = Form(stored_texts(build), errors, status)
        return _page(
            request=request,
            build=build,
            form=form,
            taken=taken_alike(build),
            asked=asked,
            crank=crank,
        )
    sheet = rods_sheet(build, crank)
    return render.fragment(
        request, "sheets/rods/_rods_turn.html", status, build=build, sheet=sheet, errors=errors, asked=asked
    )


def _page(
    request: Request,
    build: BuildView,
    form: Form,
    taken: Mapping[str, str] = MappingProxyType({}),
    asked: str = "",
    crank: float | None = None,
) -> Response:
    """The whole sheet; `taken` says which empty fields are taken from the other side."""
    sheet = rods_sheet(build, crank)
    return render.page(
        request,
        "sheets/rods/rods.html",
        form.status,
        build=build,
        sheet=sheet,
        boring=boring_view(build, sheet.coupled),
        pairs=pairs_of(build),
        sides=SIDES,
        plain=[one for one in FIELDS if one.key not in BUSHES],
        bushes=[one for one in FIELDS if one.key in BUSHES],
        name_of=name_of,
        taken=taken,
        asked=asked,
        cautions=CAUTIONS,
        title_block={"build": build.name, "sheet": "Will the rods go round?", "number": "RODS"},
        **form.context,
    )


@router.post("/builds/{build_id}/rods")
def change(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Store the figures of the rods."""
    build = get_build(db, build_id)
    return take(
        request,
        typed,
        read=lambda: _read(typed, build),
        act=lambda figures, asked: save_rods(db, build_id, asked, figures),
        then=f"/builds/{build_id}/rods#answer",
        show=lambda form: _page(request, get_build(db, build_id), form),
    )


def _read(typed: Typed, build: BuildView) -> tuple[RodFigures, Errors]:
    pairs = pairs_of(build)
    figures, errors = read_rods(typed, pairs, build.unit, pins_of(build))
    return figures, errors or impossible(figures, pairs, build.crank_nm("throw"), build.unit)
