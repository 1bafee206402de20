"""The sheet of fits and pairing, applying the proposed pairing and undoing it."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.errors import NotFound
from webapp.records.builds import load_build
from webapp.sheets.pairing import change as pairing
from webapp.sheets.pairing.view import fits_sheet
from webapp.sheets.pairing.view_applied import latest_pairing
from webapp.typed.texts import Typed
from webapp.web.common import Trouble, TypedDep, actor_of, ask_who, fresh_token, page_of, see, trouble_from
from webapp.web.deps import DbDep, Id

router = APIRouter()


def _sheet(
    request: Request, db: DbDep, build_id: int, typed: Typed, trouble: Trouble | None = None, opened: str = ""
) -> Response:
    with db.read() as session:
        build = load_build(session, build_id)
        applied = latest_pairing(session, build) if build else None
    if build is None:
        raise NotFound("There is no such build.")
    return render.page(
        request,
        "sheets/pairing/fits.html",
        trouble.status if trouble else 200,
        build=build,
        sheet=fits_sheet(build, applied),
        trouble=trouble,
        opened=opened,
        page_id=page_of(typed),
        token=fresh_token(),
        title_block={"build": build.name, "sheet": "Fits and pairing", "number": "F"},
    )


@router.get("/builds/{build_id}/fits")
def fits(request: Request, build_id: Id, db: DbDep, working: str = "") -> Response:
    """Every seat with its wheel of today and the one proposed; `working` names the row whose working is open."""
    return _sheet(request, db, build_id, Typed(), opened=working)


@router.post("/builds/{build_id}/pairing")
def apply(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Apply the pairing that was shown."""
    actor = actor_of(request, typed)
    if actor is None:
        return ask_who(request, typed, "who" in typed.fields)
    trouble = trouble_from(
        lambda: pairing.apply_pairing(db, build_id, typed.token("proposal"), typed.sent, actor), ""
    )
    if trouble is not None:
        return _sheet(request, db, build_id, typed, trouble)
    return see(request, f"/builds/{build_id}/fits", typed, actor)


@router.post("/builds/{build_id}/pairings/{pairing_id}/undo")
def undo(request: Request, build_id: Id, pairing_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Undo the latest pairing."""
    actor = actor_of(request, typed)
    if actor is None:
        return ask_who(request, typed, "who" in typed.fields)
    trouble = trouble_from(lambda: pairing.undo_pairing(db, build_id, pairing_id, actor), "")
    if trouble is not None:
        return _sheet(request, db, build_id, typed, trouble)
    return see(request, f"/builds/{build_id}/fits", typed, actor)
