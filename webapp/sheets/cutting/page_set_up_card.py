"""The card of a batch's set-up, made for paper. Only looked at: nothing is stored."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.errors import NotFound
from webapp.facts.batches import find_batch
from webapp.records.machines import list_machines
from webapp.records.outcome import NotThere
from webapp.sheets.cutting.view_set_up_card import set_up_card
from webapp.web.deps import DbDep, Id

router = APIRouter()


@router.get("/batches/{batch_id}/card")
def card(request: Request, batch_id: Id, db: DbDep) -> Response:
    """Tools, speeds and dial readings of a batch, and its castings in order."""
    with db.read() as session:
        try:
            build, batch = find_batch(session, batch_id)
        except NotThere:
            raise NotFound("There is no such batch.") from None
        machines = list_machines(session, retired=False)
    return render.page(
        request,
        "sheets/cutting/set_up_card.html",
        build=build,
        card=set_up_card(build, batch, machines),
        title_block={
            "build": build.name,
            "sheet": f"Set-up card: {batch.set_up.brief}",
            "number": f"B{batch.id}",
        },
    )
