"""Everything measured of a casting or an axle, and the form that strikes one out."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.db import Db
from webapp.records.measured import Whose, everything_of, one_of
from webapp.records.paged import Paged
from webapp.records.views import BuildView
from webapp.sheets.measured.change import strike_of_axle, strike_of_casting
from webapp.sheets.measured.view import EveryLine, line_of
from webapp.typed.striking import LONGEST_WHY, read_why
from webapp.typed.texts import Typed
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, alone, take
from webapp.web.load import get_axle, get_casting, older_than

router = APIRouter()
# Which measurement is to be struck out.
STRIKE = "strike"


@router.get("/castings/{casting_id}/measured")
def of_casting(request: Request, casting_id: Id, db: DbDep) -> Response:
    """Every measurement of a casting, those struck out among them."""
    return _casting_page(request, db, casting_id, Form())


@router.post("/castings/{casting_id}/measured")
def strike_casting(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Strike a measurement of a casting out."""
    return take(
        request,
        typed,
        read=lambda: alone(read_why, typed),
        act=lambda why, asked: strike_of_casting(db, casting_id, asked, typed.version(STRIKE), why),
        then=f"/castings/{casting_id}/measured",
        show=lambda form: _casting_page(request, db, casting_id, form),
    )


@router.get("/axles/{axle_id}/measured")
def of_axle(request: Request, axle_id: Id, db: DbDep) -> Response:
    """Every measurement of an axle, those struck out among them."""
    return _axle_page(request, db, axle_id, Form())


@router.post("/axles/{axle_id}/measured")
def strike_axle(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Strike a measurement of an axle out."""
    return take(
        request,
        typed,
        read=lambda: alone(read_why, typed),
        act=lambda why, asked: strike_of_axle(db, axle_id, asked, typed.version(STRIKE), why),
        then=f"/axles/{axle_id}/measured",
        show=lambda form: _axle_page(request, db, axle_id, form),
    )


def _casting_page(request: Request, db: Db, casting_id: int, form: Form) -> Response:
    build, casting = get_casting(db, casting_id)
    lines, asked = _lines(request, db, build, Whose(casting_id=casting_id), form)
    return render.page(
        request,
        "sheets/measured/measured.html",
        form.status,
        build=build,
        axle=build.axle(casting.axle_id),
        name=casting.mark,
        home=f"/castings/{casting_id}",
        version=casting.version,
        lines=lines,
        asked=asked,
        longest=LONGEST_WHY,
        title_block={"build": build.name, "sheet": f"Measured, {casting.mark}", "number": casting.mark},
        **form.context,
    )


def _axle_page(request: Request, db: Db, axle_id: int, form: Form) -> Response:
    build, axle = get_axle(db, axle_id)
    lines, asked = _lines(request, db, build, Whose(axle_id=axle_id), form)
    return render.page(
        request,
        "sheets/measured/measured.html",
        form.status,
        build=build,
        axle=axle,
        name=f"axle {axle.number}",
        home=f"/axles/{axle_id}",
        version=axle.version,
        lines=lines,
        asked=asked,
        longest=LONGEST_WHY,
        title_block={
            "build": build.name,
            "sheet": f"Measured, axle {axle.number}",
            "number": f"A{axle.number}",
        },
        **form.context,
    )


def _lines(
    request: Request, db: Db, build: BuildView, whose: Whose, form: Form
) -> tuple[Paged[EveryLine], EveryLine | None]:
    """A page of lines, and the line to be struck out: the address names it, or the form that was sent."""
    asked = form.typed if form.typed.fields else Typed({STRIKE: request.query_params.getlist(STRIKE)})
    with db.read() as session:
        page = everything_of(session, whose, older_than(request))
        struck = one_of(session, whose, asked.version(STRIKE))
    shown = page.told([line_of(build, one) for one in page.lines])
    return shown, None if struck is None else line_of(build, struck)
