"""The casting sheet, scrapping and undoing it, sending a casting to the spares, and changing its mark."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.sheets.wheel import change_castings as castings
from webapp.sheets.wheel.form_castings import OTHER, REASONS, read_mark, read_reason
from webapp.sheets.wheel.page import show_casting
from webapp.typed.texts import Errors, Typed
from webapp.web.common import (
    CONFLICT,
    UNPROCESSABLE,
    Attempt,
    TypedDep,
    actor_of,
    ask_who,
    do_or_page,
    need_actor,
    page_of,
    see,
    trouble_from,
)
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_casting

router = APIRouter()


@router.get("/castings/{casting_id}")
def casting(request: Request, casting_id: Id, db: DbDep) -> Response:
    """Everything ever measured or done to one casting."""
    return show_casting(request, db, casting_id, Typed())


@router.get("/castings/{casting_id}/scrap")
def ask_scrap(request: Request, casting_id: Id, db: DbDep) -> Response:
    """Ask why, and say what it means."""
    return _scrap_page(request, db, casting_id, Typed(), Errors(), 200)


def _scrap_page(
    request: Request, db: DbDep, casting_id: int, typed: Typed, errors: Errors, status: int
) -> Response:
    build, view = get_casting(db, casting_id)
    return render.page(
        request,
        "sheets/wheel/scrap.html",
        status,
        build=build,
        casting=view,
        axle=build.axle(view.axle_id),
        warning=castings.scrap_warning(build, view),
        reasons=(*REASONS, OTHER),
        typed=typed,
        errors=errors,
        page_id=page_of(typed),
        title_block={"build": build.name, "sheet": f"Scrap {view.mark}", "number": view.mark},
    )


@router.post("/castings/{casting_id}/scrap")
def scrap(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Scrap a casting with a reason."""
    _, view = get_casting(db, casting_id)
    errors = Errors()
    reason = read_reason(typed, errors)
    actor = need_actor(request, typed, errors)
    if actor is None or reason is None:
        return _scrap_page(request, db, casting_id, typed, errors, UNPROCESSABLE)
    trouble = trouble_from(
        lambda: castings.scrap(db, casting_id, reason, typed.version(), typed.yes("confirmed"), actor), ""
    )
    if trouble is None:
        where = f"/axles/{view.axle_id}" if view.axle_id else f"/castings/{casting_id}"
        return see(request, where, typed, actor)
    if trouble.kind == "confirm":
        errors["confirmed"] = "Tick the box first: this touches more than the one casting."
    else:
        errors[""] = trouble.sentence
    return _scrap_page(request, db, casting_id, typed, errors, CONFLICT)


@router.post("/castings/{casting_id}/unscrap")
def unscrap(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Undo a scrapping."""
    get_casting(db, casting_id)
    actor = actor_of(request, typed)
    if actor is None:
        return ask_who(request, typed, "who" in typed.fields)
    do_or_page(lambda: castings.unscrap(db, casting_id, typed.version(), actor))
    return see(request, f"/castings/{casting_id}", typed, actor)


@router.post("/castings/{casting_id}/spare")
def to_spares(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Take a casting out of its place and put it among the spares."""
    _, view = get_casting(db, casting_id)
    actor = actor_of(request, typed)
    if actor is None:
        return ask_who(request, typed, "who" in typed.fields)
    do_or_page(lambda: castings.make_spare(db, casting_id, typed.version(), actor))
    return see(request, f"/axles/{view.axle_id}" if view.axle_id else f"/castings/{casting_id}", typed, actor)


@router.post("/castings/{casting_id}/mark")
def mark(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change a casting's mark."""
    get_casting(db, casting_id)
    errors, status = Errors(), UNPROCESSABLE
    new = read_mark(typed, errors)
    actor = need_actor(request, typed, errors)
    if actor is not None and new is not None:
        trouble = trouble_from(lambda: castings.rename(db, casting_id, new, typed.version(), actor), "mark")
        if trouble is None:
            return see(request, f"/castings/{casting_id}", typed, actor)
        errors["mark"] = trouble.sentence
        status = trouble.status
    attempt = Attempt("mark", typed, errors)
    return show_casting(request, db, casting_id, typed, attempt, status)
