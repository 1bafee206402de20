"""Quartering as a setting: the numbers at arm's length, and the clock of the compound's open time."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.route.stages import COMPOUND_ON
from webapp import render
from webapp.acts.heights import no_heights_words
from webapp.acts.work_figures import save_work_figure
from webapp.db import Db
from webapp.facts.quartering import off_axle
from webapp.records.views import AxleView
from webapp.sheets.cranks.change_setting import compound_off, compound_on
from webapp.sheets.cranks.form_setting import read_way, read_went_on
from webapp.sheets.cranks.view_setting import as_it_lies, carried_plate, setting_page, start_plate
from webapp.typed.heights import read_plate
from webapp.typed.texts import Errors, Typed
from webapp.typed.ticks import TickWish, read_wish
from webapp.web.common import UNPROCESSABLE, TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, press
from webapp.web.load import get_axle

router = APIRouter()


def _page(request: Request, db: Db, axle_id: int, form: Form) -> Response:
    build, axle = get_axle(db, axle_id)
    why = no_setting_words(axle)
    typed = Typed({**start_plate(build, axle).fields, **form.typed.fields})
    plate, wrong = read_plate(typed, build.unit)
    sheet = None if why else setting_page(build, axle, plate, datetime.now(UTC).astimezone(), wrong)
    errors = Errors({**wrong, **form.errors})
    shown = Form(typed, errors, UNPROCESSABLE if wrong else form.status, form.trouble)
    return render.page(
        request,
        "sheets/cranks/setting.html",
        shown.status,
        build=build,
        axle=axle,
        why=why,
        sheet=sheet,
        plate=plate,
        # What keeps the heights from being logged yet.
        not_yet=no_heights_words(build, axle) if off_axle(build, axle) else "",
        carried_fields=carried_plate(typed),
        as_lies="".join(
            f"&{urlencode({name: text}, errors='replace')}" for name, text in as_it_lies(typed, sheet)
        ),
        trouble=shown.trouble,
        tapped=_tapped(typed),
        title_block={
            "build": build.name,
            "sheet": f"Setting axle {axle.number}",
            "number": f"A{axle.number}",
        },
        **shown.context,
    )


def _tapped(typed: Typed) -> str:
    """When the compound was first said to be on: to answer what is asked takes time that the compound does not wait."""
    at = typed.moment("tapped") or typed.moment("device_at") or datetime.now(UTC)
    return f"{at:%Y-%m-%dT%H:%M:%S}.{at.microsecond // 1000:03}Z"


def no_setting_words(axle: AxleView) -> str:
    """Why there is nothing to set on an axle; empty where there is."""
    if not axle.coupled:
        return f"Axle {axle.number} carries only: it has no crankpins, so there is nothing to set."
    if axle.left is None or axle.right is None:
        return f"A place of axle {axle.number} is empty: a setting needs both wheels."
    return ""


def _here(axle_id: int, typed: Typed) -> str:
    asked = urlencode(carried_plate(typed), errors="replace")
    return f"/axles/{axle_id}/setting{f'?{asked}' if asked else ''}"


@router.get("/axles/{axle_id}/setting")
def setting(request: Request, axle_id: Id, db: DbDep) -> Response:
    """The numbers to set by; how the axle lies stands in the address, and nothing of it is stored."""
    return _page(request, db, axle_id, Form(Typed.of_query(request.query_params.multi_items())))


@router.post("/axles/{axle_id}/setting/way")
def choose(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """The way of setting, remembered for the build."""
    build, _ = get_axle(db, axle_id)
    way, errors = read_way(typed)
    if way is None:
        return _page(request, db, axle_id, Form(typed, errors, UNPROCESSABLE))
    return press(
        request,
        typed,
        # Of no version: it changes nothing that was measured or done.
        act=lambda asked: save_work_figure(db, build.id, replace(asked, seen=None), "quarter_way", way),
        then=_here(axle_id, typed),
        show=partial(_page, request, db, axle_id),
    )


@router.post("/axles/{axle_id}/setting/compound")
def on(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """The compound is on: the clock begins."""
    get_axle(db, axle_id)
    at, errors = read_went_on(typed, datetime.now(UTC).astimezone())
    if errors:
        return _page(request, db, axle_id, Form(typed, errors, UNPROCESSABLE))
    wish = read_wish(typed) or TickWish(COMPOUND_ON, True, typed.version())
    return press(
        request,
        typed,
        act=lambda asked: compound_on(db, axle_id, asked, at or typed.moment("tapped"), wish),
        then=_here(axle_id, typed),
        show=partial(_page, request, db, axle_id),
    )


@router.post("/axles/{axle_id}/setting/no-compound")
def off(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """No compound is on: the clock is stopped."""
    get_axle(db, axle_id)
    return press(
        request,
        typed,
        act=lambda asked: compound_off(db, axle_id, asked),
        then=_here(axle_id, typed),
        show=partial(_page, request, db, axle_id),
    )
