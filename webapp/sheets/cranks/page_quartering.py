"""Quartering: one axle's work sheet at the surface plate, and all coupled axles side by side."""

from __future__ import annotations

from dataclasses import replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.acts.heights import check_heights, no_heights_words, pair_key, store_heights
from webapp.db import Db
from webapp.facts.quartering import heights_gone, off_axle, pin_sides
from webapp.records.views import AxleView, BuildView
from webapp.sheets.cranks.view_quartering import proposed, quarter_page, start_texts
from webapp.sheets.cranks.view_quarterings import quartering_set
from webapp.typed.heights import HeightsTyped, read_heights
from webapp.typed.texts import Errors, Typed
from webapp.web.common import TypedDep, actor_of, trouble_from
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_axle, get_build

router = APIRouter()


def _page(request: Request, db: Db, axle_id: int, form: Form, lies: Typed | None = None) -> Response:
    build, axle = get_axle(db, axle_id)
    why = no_heights_words(build, axle)
    # Old heights must not be sent again by a tap: they stand in the form only while they count.
    gone = axle.heights is not None and heights_gone(build, axle, axle.heights)
    filled_in = proposed(lies or Typed()) if not form.typed.fields else frozenset()
    if not form.typed.fields:
        form = replace(form, typed=start_texts(build, None if gone else axle.heights, lies or Typed()))
    return render.page(
        request,
        "sheets/cranks/quartering.html",
        form.status,
        build=build,
        axle=axle,
        why=why,
        off=off_axle(build, axle) if axle.coupled else (),
        sheet=None if why else quarter_page(build, axle),
        pair=pair_key(axle),
        proposed=filled_in,
        title_block={
            "build": build.name,
            "sheet": f"Quartering axle {axle.number}",
            "number": f"A{axle.number}",
        },
        **form.context,
    )


@router.get("/axles/{axle_id}/quartering")
def sheet(request: Request, axle_id: Id, db: DbDep) -> Response:
    """What the heights say, how to lay the axle, and the form for its heights; as it lies may stand in the address."""
    return _page(request, db, axle_id, Form(), Typed.of_query(request.query_params.multi_items()))


@router.post("/axles/{axle_id}/quartering")
def store(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Store the heights; the sheet then says whether the angle is right and how far to turn."""
    build, axle = get_axle(db, axle_id)
    return take(
        request,
        typed,
        read=lambda: _read(typed, build, axle, signed=actor_of(request, typed) is not None),
        act=lambda heights, asked: store_heights(db, axle_id, asked, heights, typed.get("pair")),
        then=f"/axles/{axle_id}/quartering#result",
        show=lambda form: _page(request, db, axle_id, form),
    )


def _read(
    typed: Typed, build: BuildView, axle: AxleView, *, signed: bool
) -> tuple[HeightsTyped | None, Errors]:
    why = no_heights_words(build, axle)
    if why:
        return None, Errors({"": why})
    heights, errors = read_heights(typed, pin_sides(build), build.unit)
    if heights is not None and not signed:
        # Both at once: nobody should be sent to the top of the sheet twice.
        trouble = trouble_from(lambda: check_heights(build, axle, heights), "")
        if trouble is not None:
            errors[trouble.key] = trouble.sentence
    return heights, errors


@router.get("/builds/{build_id}/quartering")
def side_by_side(request: Request, build_id: Id, db: DbDep) -> Response:
    """All coupled axles compared."""
    build = get_build(db, build_id)
    return render.page(
        request,
        "sheets/cranks/quarterings.html",
        build=build,
        sheet=quartering_set(build),
        title_block={"build": build.name, "sheet": "Quartering, all axles", "number": "Q"},
    )
