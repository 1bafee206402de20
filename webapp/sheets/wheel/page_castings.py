"""The casting sheet, scrapping and undoing it, sending a casting to the spares, and changing its mark."""

from __future__ import annotations

from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.records.views import CastingView
from webapp.sheets.wheel import change_castings as castings
from webapp.sheets.wheel.form_castings import OTHER, REASONS, read_mark, read_reason
from webapp.sheets.wheel.page import seen_before, show_casting, show_cautions, show_slip, wheel_slip
from webapp.sheets.wheel.view_scrap import known_reason
from webapp.typed.texts import Typed
from webapp.web.common import Attempt, TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, alone, press, take
from webapp.web.load import get_casting

router = APIRouter()


@router.get("/castings/{casting_id}")
def casting(request: Request, casting_id: Id, db: DbDep) -> Response:
    """Everything ever measured or done to one casting."""
    return show_casting(request, db, casting_id, seen_before(request))


@router.get("/castings/{casting_id}/bore")
def bore(request: Request, casting_id: Id, db: DbDep) -> Response:
    """The bore of a wheel and the joint it makes, in full."""
    return _slip(request, db, casting_id, "bore")


@router.get("/castings/{casting_id}/throw")
def throw(request: Request, casting_id: Id, db: DbDep) -> Response:
    """The throw of a wheel in full."""
    return _slip(request, db, casting_id, "throw")


def _slip(request: Request, db: DbDep, casting_id: int, kind: str) -> Response:
    build, view = get_casting(db, casting_id)
    slip = wheel_slip(build, view, kind)
    return show_slip(request, db, build, slip, Typed(), view, build.axle(view.axle_id))


@router.get("/castings/{casting_id}/cautions")
def cautions(request: Request, casting_id: Id, db: DbDep) -> Response:
    """What to mind at every stage, in full."""
    build, view = get_casting(db, casting_id)
    return show_cautions(request, build, f"/castings/{casting_id}", view.mark)


@router.get("/castings/{casting_id}/scrap")
def ask_scrap(request: Request, casting_id: Id, db: DbDep) -> Response:
    """Ask why, and say what it means; what the sheet that led here has judged is chosen already."""
    build, view = get_casting(db, casting_id)
    known = known_reason(build, view, request.query_params.get("from", ""))
    chosen = {"origin": [known.origin], "reason": [known.reason]} if known else {}
    return _scrap_page(request, db, casting_id, Form(Typed(chosen)))


def _scrap_page(request: Request, db: DbDep, casting_id: int, form: Form) -> Response:
    build, view = get_casting(db, casting_id)
    if form.trouble is not None and form.trouble.kind == "confirm":
        # What it means stands at the head of the page already.
        form.errors["confirmed"] = "Tick the box first: this touches more than the one casting."
    return render.page(
        request,
        "sheets/wheel/scrap.html",
        form.status,
        build=build,
        casting=view,
        axle=build.axle(view.axle_id),
        warning=castings.scrap_warning(build, view),
        known=known_reason(build, view, form.typed.get("origin")),
        reasons=[(reason, reason.capitalize(), "") for reason in (*REASONS, OTHER)],
        title_block={"build": build.name, "sheet": f"Scrap {view.mark}", "number": view.mark},
        **form.context,
    )


@router.post("/castings/{casting_id}/scrap")
def scrap(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Scrap a casting with a reason."""
    _, view = get_casting(db, casting_id)
    return take(
        request,
        typed,
        read=partial(alone, read_reason, typed),
        act=lambda reason, asked: castings.scrap(db, casting_id, asked, reason, typed.yes("confirmed")),
        then=_place_of(view),
        show=partial(_scrap_page, request, db, casting_id),
        confirm="confirmed",
    )


def _place_of(view: CastingView) -> str:
    """The sheet of the axle that a casting was on, else its own."""
    return f"/axles/{view.axle_id}" if view.axle_id else f"/castings/{view.id}"


@router.post("/castings/{casting_id}/unscrap")
def unscrap(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Undo a scrapping."""
    get_casting(db, casting_id)
    return press(
        request,
        typed,
        act=lambda asked: castings.unscrap(db, casting_id, asked),
        then=f"/castings/{casting_id}",
    )


@router.post("/castings/{casting_id}/spare")
def to_spares(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Take a casting out of its place and put it among the spares."""
    _, view = get_casting(db, casting_id)
    return press(
        request,
        typed,
        act=lambda asked: castings.make_spare(db, casting_id, asked),
        then=_place_of(view),
    )


@router.post("/castings/{casting_id}/pattern/{pattern_id}")
def pattern(request: Request, casting_id: Id, pattern_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """A spare that is of another pattern of wheel."""
    return press(
        request,
        typed,
        act=lambda asked: castings.be_of_pattern(db, casting_id, asked, pattern_id),
        then=f"/castings/{casting_id}",
    )


@router.post("/castings/{casting_id}/mark")
def mark(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change a casting's mark."""
    return take(
        request,
        typed,
        read=partial(alone, read_mark, typed),
        act=lambda new, asked: castings.rename(db, casting_id, asked, new),
        then=f"/castings/{casting_id}",
        show=lambda form: show_casting(
            request, db, casting_id, typed, Attempt("mark", typed, form.errors), form.status
        ),
    )
