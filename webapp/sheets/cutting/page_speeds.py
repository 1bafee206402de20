"""Speeds and feeds of a casting, or of a build by its drawing. Only looked at: nothing is stored."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.cutting.speeds import Tool
from webapp import render
from webapp.facts.as_set import set_box
from webapp.records.machines import list_machines
from webapp.records.views import BuildView, CastingView
from webapp.sheets.cutting.form_speeds import FIELDS, SIZES, read_tried
from webapp.sheets.cutting.view_speeds import operations_of, speed_sheet
from webapp.typed.texts import Typed
from webapp.web.common import UNPROCESSABLE
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_casting, get_pattern

router = APIRouter()


def _page(request: Request, db: DbDep, build: BuildView, casting: CastingView | None) -> Response:
    asked = request.query_params
    typed = Typed({name: asked.getlist(name) for name in FIELDS if name in asked})
    with db.read() as session:
        machines = list_machines(session, retired=False)
    ops = [one for one in operations_of(build, casting) if not one.kind.by_hand]
    tried, errors = read_tried(typed, [one.key for one in ops], [one.id for one in machines], build.unit)
    sheet = speed_sheet(build, casting, machines, tried)
    # What the domain refuses of a size that was tried stands beside that size.
    for card in sheet.cards:
        if card.trouble and card.key == tried.op and card.trouble_box in SIZES:
            errors.setdefault(card.trouble_box, card.trouble)
    return render.page(
        request,
        "sheets/cutting/speeds.html",
        UNPROCESSABLE if errors else 200,
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id) if casting else None,
        sheet=sheet,
        machines=[(str(one.id), one.name) for one in machines],
        tools=[(one.value, one.words) for one in Tool],
        ops=[(one.key, one.words) for one in ops],
        typed=typed,
        errors=errors,
        boxes={
            card.key: set_box(build, casting, card.key, "speeds", card.proposed)
            for card in sheet.cards
            if casting is not None
        },
        trying=any(typed.get(name).strip() for name in FIELDS if name != "op"),
        title_block={
            "build": build.name,
            "sheet": "Speeds and feeds" + (f", {casting.mark}" if casting else ""),
            "number": casting.mark if casting else "V",
        },
    )


@router.get("/castings/{casting_id}/speeds")
def of_casting(request: Request, casting_id: Id, db: DbDep) -> Response:
    """What to select for each operation of a casting at its present sizes."""
    build, casting = get_casting(db, casting_id)
    return _page(request, db, build, casting)


@router.get("/builds/{build_id}/speeds")
def of_build(request: Request, build_id: Id, db: DbDep) -> Response:
    """What to select for each operation by the drawing."""
    return _page(request, db, get_pattern(request, db, build_id), None)
