"""The sheet of fits and pairing, applying the proposed pairing and undoing it."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.sheets.pairing import change as pairing
from webapp.sheets.pairing.view import fits_sheet
from webapp.sheets.pairing.view_applied import latest_pairing
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, press
from webapp.web.load import get_build

router = APIRouter()


def _sheet(request: Request, db: DbDep, build_id: int, form: Form) -> Response:
    build = get_build(db, build_id)
    with db.read() as session:
        applied = latest_pairing(session, build)
    return render.page(
        request,
        "sheets/pairing/fits.html",
        form.status,
        build=build,
        sheet=fits_sheet(build, applied),
        trouble=form.trouble,
        title_block={"build": build.name, "sheet": "Fits and pairing", "number": "F"},
        **form.context,
    )


@router.get("/builds/{build_id}/fits")
def fits(request: Request, build_id: Id, db: DbDep) -> Response:
    """Every seat with its wheel of today and the one proposed."""
    return _sheet(request, db, build_id, Form())


@router.post("/builds/{build_id}/pairing")
def apply(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Apply the pairing that was shown."""
    return press(
        request,
        typed,
        act=lambda asked: pairing.apply_pairing(
            db, build_id, replace(asked, seen=None), typed.token("proposal")
        ),
        then=f"/builds/{build_id}/fits",
        show=partial(_sheet, request, db, build_id),
    )


@router.post("/builds/{build_id}/pairings/{pairing_id}/undo")
def undo(request: Request, build_id: Id, pairing_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Undo the latest pairing."""
    return press(
        request,
        typed,
        act=lambda asked: pairing.undo_pairing(db, build_id, replace(asked, seen=None), pairing_id),
        then=f"/builds/{build_id}/fits",
        show=partial(_sheet, request, db, build_id),
    )
