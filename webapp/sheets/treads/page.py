"""Treads: the profile and the group, each wheel's own sheet, each axle's gauges, and the set as it was made."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.measuring.instruments import Reach
from domain.repeating.settings import tasks_in
from domain.route.set_ups import SetUp
from webapp import render
from webapp.acts.size_log import weigh_sizes
from webapp.acts.treads import TREAD_FORM, log_back_to_back, log_tread
from webapp.db import Db
from webapp.facts.as_set import all_as_set
from webapp.facts.correcting import tools_for
from webapp.facts.facts import facts_of
from webapp.records.measured import history_of
from webapp.records.views import BuildView
from webapp.sheets.treads.form import (
    BY,
    ORIGINS,
    USUAL_SIZE,
    asked,
    read_table,
)
from webapp.sheets.treads.view import casting_tread, gauges_picture, gauges_verdict, treads_sheet
from webapp.typed.size_log import GROWN, read_log
from webapp.typed.sizes import BY_KEY
from webapp.typed.tyre import AXLE_KEYS, CASTING_KEYS, read_tread
from webapp.web.common import UNPROCESSABLE, TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_axle, get_casting, get_pattern

router = APIRouter()


@router.get("/builds/{build_id}/treads")
def treads(request: Request, build_id: Id, db: DbDep) -> Response:
    """The sheet; how the table is cut up stands in the address, and nothing is stored."""
    build = get_pattern(request, db, build_id)
    ask = asked(request.query_params.multi_items())
    wanted, errors = read_table(ask, build.unit)
    sheet = treads_sheet(build, wanted)
    if sheet.profile.table_trouble:
        errors["size"] = sheet.profile.table_trouble
    return render.page(
        request,
        "sheets/treads/treads.html",
        UNPROCESSABLE if errors else 200,
        build=build,
        sheet=sheet,
        ask=ask,
        errors=errors,
        by=BY,
        origins=ORIGINS,
        usual_size=USUAL_SIZE[build.unit],
        title_block={"build": build.name, "sheet": "Treads and gauges", "number": "T"},
    )


def _tools(build: BuildView, reach: Reach) -> dict[str, Any]:
    """The instruments to measure with, and the name of each that ever was."""
    names = {own: tool.name for own, tool in build.instruments.items()}
    return {"tools": tools_for(build, reach), "tool_names": names}


@router.get("/castings/{casting_id}/tread")
def tread(request: Request, casting_id: Id, db: DbDep) -> Response:
    """One wheel's tread and flange, judged as far as they are logged."""
    return _tread_page(request, db, casting_id, Form())


def _tread_page(request: Request, db: Db, casting_id: int, form: Form) -> Response:
    build, casting = get_casting(db, casting_id)
    with db.read() as session:
        history = history_of(session, casting_id)
    shown = [(line, BY_KEY[line.kind]) for line in reversed(history) if line.kind in CASTING_KEYS]
    return render.page(
        request,
        "sheets/treads/tread.html",
        form.status,
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        where=build.where(casting),
        sheet=casting_tread(build, casting),
        kinds=[BY_KEY[key] for key in CASTING_KEYS],
        grown=[(value, words, "") for value, words in GROWN],
        history=shown,
        as_set=all_as_set(build, casting, tasks_in(SetUp.MANDREL)),
        title_block={"build": build.name, "sheet": f"Tread of {casting.mark}", "number": casting.mark},
        **form.context,
        **_tools(build, Reach.OUTSIDE),
    )


@router.post("/castings/{casting_id}/tread")
def log(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write down the sizes of a tyre; the sheet then shows what they are worth."""
    build, casting = get_casting(db, casting_id)
    return take(
        request,
        typed,
        read=lambda: read_tread(typed, build.unit),
        act=lambda logged, asked: log_tread(db, casting_id, asked, logged),
        then=f"/castings/{casting_id}/tread#judged",
        show=lambda form: _tread_page(request, db, casting_id, form),
        weigh=lambda logged: weigh_sizes(build, casting, TREAD_FORM, logged),
        confirm="grown",
    )


@router.get("/axles/{axle_id}/gauges")
def gauges(request: Request, axle_id: Id, db: DbDep) -> Response:
    """The gauges of one axle as far as they are known."""
    return _gauges_page(request, db, axle_id, Form())


def _gauges_page(request: Request, db: Db, axle_id: int, form: Form) -> Response:
    build, axle = get_axle(db, axle_id)
    return render.page(
        request,
        "sheets/treads/gauges.html",
        form.status,
        build=build,
        axle=axle,
        gauges=facts_of(build).gauges(axle),
        verdict=gauges_verdict(facts_of(build).gauges(axle)),
        picture=gauges_picture(build, facts_of(build).gauges(axle)),
        warnings=facts_of(build).treads.warnings,
        kind=BY_KEY["back_to_back"],
        title_block={"build": build.name, "sheet": f"Gauges axle {axle.number}", "number": f"G{axle.number}"},
        **form.context,
        **_tools(build, Reach.INSIDE),
    )


@router.post("/axles/{axle_id}/gauges")
def log_gauges(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write down the back to back; the sheet then shows what the three gauges are worth."""
    build, _ = get_axle(db, axle_id)
    return take(
        request,
        typed,
        read=lambda: read_log(typed, AXLE_KEYS, build.unit),
        act=lambda logged, asked: log_back_to_back(db, axle_id, asked, logged),
        then=f"/axles/{axle_id}/gauges#judged",
        show=lambda form: _gauges_page(request, db, axle_id, form),
    )
