"""The balance sheet of a build: one coupled axle's weights, and whether they matter at the speed asked for."""

from __future__ import annotations

from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.acts.work_figures import save_work_figures
from webapp.facts.work_figures import hint, work_figures
from webapp.records.views import BuildView
from webapp.sheets.balance.form import (
    DRIVEN,
    KEYS,
    OTHER,
    balance_parts,
    balance_texts,
    not_given,
    read_axle,
    stored_form,
)
from webapp.sheets.balance.view import balance_sheet
from webapp.typed.texts import Errors, Typed
from webapp.typed.work_figures import read_figures
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_pattern

router = APIRouter()
_VIEWS = ((DRIVEN, "the driven axle"), (OTHER, "another coupled axle"))
render.environment.filters["hint"] = hint


def _page(request: Request, build: BuildView, axle: str, form: Form) -> Response:
    return render.page(
        request,
        "sheets/balance/balance.html",
        form.status,
        build=build,
        sheet=balance_sheet(build, work_figures(build), axle),
        view=axle,
        views=_VIEWS if sum(one.coupled for one in build.axles) > 1 else (),
        view_words=dict(_VIEWS)[axle],
        parts=balance_parts(),
        not_given=not_given(form.typed),
        figures=len(KEYS),
        title_block={"build": build.name, "sheet": "Balance", "number": "W"},
        **form.context,
    )


@router.get("/builds/{build_id}/balance")
def balance(request: Request, build_id: Id, db: DbDep) -> Response:
    """The weights by the figures as they are stored."""
    build = get_pattern(request, db, build_id, cranked=True)
    axle = read_axle(request.query_params.get("axle", ""))
    return _page(request, build, axle, Form(stored_form(build.work_texts)))


@router.post("/builds/{build_id}/balance")
def change(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Store the figures of the balance, and show what they come to."""
    build = get_pattern(request, db, build_id, cranked=True)
    axle = read_axle(typed.get("axle"))
    return take(
        request,
        typed,
        read=lambda: _read(typed, build, axle),
        act=lambda texts, asked: save_work_figures(db, build_id, asked, texts),
        then=f"/builds/{build_id}/balance?axle={axle}",
        show=partial(_page, request, build, axle),
    )


def _read(typed: Typed, build: BuildView, axle: str) -> tuple[dict[str, str], Errors]:
    texts, errors = balance_texts(typed, build.work_texts, build.unit)
    if not errors:
        _look_together(build, texts, axle, errors)
    return texts, errors


def _look_together(build: BuildView, texts: dict[str, str], axle: str, errors: Errors) -> None:
    """What the figures cannot be together stands beside the box that is at fault."""
    for trouble in balance_sheet(build, read_figures(texts, build.unit)[0], axle).troubles:
        if trouble.box in KEYS:
            errors.setdefault(trouble.box, trouble.words)
