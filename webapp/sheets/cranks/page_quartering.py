"""Quartering: one axle's work sheet at the surface plate, and all coupled axles side by side."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.db import Db
from webapp.facts.quartering import heights_gone, off_axle, pin_sides
from webapp.records.heights import heights_of
from webapp.records.views import AxleView, BuildView
from webapp.sheets.cranks.change import check_heights, no_heights_words, pair_key, store_heights
from webapp.sheets.cranks.form_quartering import read_heights, where
from webapp.sheets.cranks.view_quartering import quarter_page, start_texts
from webapp.sheets.cranks.view_quarterings import quartering_set
from webapp.typed.texts import Errors, Typed
from webapp.web.common import (
    NO_WHO,
    UNPROCESSABLE,
    TypedDep,
    actor_of,
    page_of,
    see,
    tell,
    token_of,
    trouble_from,
)
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_axle, get_build

router = APIRouter()


def _page(
    request: Request, db: Db, build: BuildView, axle: AxleView, typed: Typed, errors: Errors, status: int
) -> Response:
    why = no_heights_words(build, axle)
    with db.read() as session:
        heights = heights_of(session, build.id).get(axle.id)
    # Old heights must not be sent again by a tap: they stand in the form only while they count.
    stands = heights is not None and not heights_gone(build, axle, heights)
    texts = start_texts(build, heights if stands else None)
    return render.page(
        request,
        "sheets/cranks/quartering.html",
        status,
        build=build,
        axle=axle,
        why=why,
        off=off_axle(build, axle) if axle.coupled else (),
        where=where(errors),
        sheet=None if why else quarter_page(build, axle, heights),
        typed=typed if typed.fields else texts,
        pair=pair_key(axle),
        errors=errors,
        page_id=page_of(typed),
        token=token_of(typed, errors),
        title_block={
            "build": build.name,
            "sheet": f"Quartering axle {axle.number}",
            "number": f"A{axle.number}",
        },
    )


@router.get("/axles/{axle_id}/quartering")
def sheet(request: Request, axle_id: Id, db: DbDep) -> Response:
    """What the heights say, how to lay the axle, and the form for its heights."""
    build, axle = get_axle(db, axle_id)
    return _page(request, db, build, axle, Typed(), Errors(), 200)


@router.post("/axles/{axle_id}/quartering")
def store(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Store the heights; the sheet then says whether the angle is right and how far to turn."""
    build, axle = get_axle(db, axle_id)
    found, errors = read_heights(typed, pin_sides(build), build.unit)
    why = no_heights_words(build, axle)
    if why:
        errors = Errors({"": why})
    actor = actor_of(request, typed)
    if actor is None:
        errors["who"] = NO_WHO
        if found is not None and not why:
            # Both at once: nobody should be sent to the top of the sheet twice.
            trouble = trouble_from(lambda: check_heights(build, axle, found), "")
            if trouble is not None:
                errors.setdefault(trouble.key, trouble.sentence)
    if found is None or errors or actor is None:
        return _page(request, db, build, axle, typed, errors, UNPROCESSABLE)
    seen, pair, sent = typed.version(), typed.get("pair"), typed.sent
    trouble = trouble_from(lambda: store_heights(db, axle_id, found, seen, pair, sent, actor), "")
    if trouble is None:
        return see(request, f"/axles/{axle_id}/quartering#result", typed, actor)
    tell(errors, trouble)
    return _page(request, db, build, axle, typed, errors, trouble.status)


@router.get("/builds/{build_id}/quartering")
def side_by_side(request: Request, build_id: Id, db: DbDep) -> Response:
    """All coupled axles compared."""
    build = get_build(db, build_id)
    with db.read() as session:
        heights = heights_of(session, build_id)
    return render.page(
        request,
        "sheets/cranks/quarterings.html",
        build=build,
        sheet=quartering_set(build, heights),
        title_block={"build": build.name, "sheet": "Quartering, all axles", "number": "Q"},
    )
