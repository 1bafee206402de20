"""Receiving: one casting as it came, and the castings of a build side by side."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.truing.dial import HOURS
from webapp import render
from webapp.facts.received import received_table
from webapp.facts.receiving import seen_on
from webapp.records.views import BuildView, CastingView
from webapp.sheets.stock.change_receiving import receive_casting, weigh_receipt
from webapp.sheets.stock.view_receiving import receiving_sheet
from webapp.typed.receiving import FLAWS, LONGEST_NOTE, READINGS, SIZE_KEYS, box, read_receipt, typed_again
from webapp.typed.sizes import BY_KEY
from webapp.typed.texts import Typed
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_casting, get_pattern

router = APIRouter()


@router.get("/castings/{casting_id}/receiving")
def receiving(request: Request, casting_id: Id, db: DbDep) -> Response:
    """The form as it stands, and the verdict."""
    build, casting = get_casting(db, casting_id)
    return _page(request, build, casting, Form(_as_it_stands(build, casting)))


def _as_it_stands(build: BuildView, casting: CastingView) -> Typed:
    receipt = casting.receipt
    if receipt is None:
        return Typed()
    sizes = {key: size.text for key, size in receipt.sizes.items()}
    return typed_again(sizes, receipt.weight_text, seen_on(receipt), receipt.note, build.unit)


def _page(request: Request, build: BuildView, casting: CastingView, form: Form) -> Response:
    boxes = {kind: [(box(kind, hour), hour) for hour in HOURS] for kind in READINGS}
    four = [name for found in boxes.values() for name, _ in found]
    return render.page(
        request,
        "sheets/stock/receiving.html",
        form.status,
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        where=build.where(casting),
        sheet=receiving_sheet(build, casting),
        kinds=[BY_KEY[key] for key in SIZE_KEYS],
        boxes=boxes,
        dialled=any(form.typed.get(name) or name in form.errors for name in four),
        flaws=FLAWS,
        longest_note=LONGEST_NOTE,
        title_block={"build": build.name, "sheet": f"Receiving {casting.mark}", "number": casting.mark},
        **form.context,
    )


@router.post("/castings/{casting_id}/receiving")
def receive(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write down a casting as it came."""
    build, casting = get_casting(db, casting_id)
    return take(
        request,
        typed,
        read=lambda: read_receipt(typed, build.unit),
        act=lambda receipt, asked: receive_casting(db, casting_id, asked, receipt),
        then=f"/castings/{casting_id}/receiving#verdict",
        weigh=lambda receipt: weigh_receipt(build, casting, receipt),
        show=lambda form: _page(request, *get_casting(db, casting_id), form),
    )


@router.get("/builds/{build_id}/receiving")
def received(request: Request, build_id: Id, db: DbDep) -> Response:
    """All castings of a build that are not scrapped, best first."""
    build = get_pattern(request, db, build_id)
    return render.page(
        request,
        "sheets/stock/received.html",
        build=build,
        table=received_table(build),
        title_block={"build": build.name, "sheet": "Castings as they came", "number": "R"},
    )
