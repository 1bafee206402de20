"""Crankpins: the hole by the read-out, the jig, the cranks, the throws of the build, and each pin as measured."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.acts.size_log import weigh_sizes
from webapp.db import Db
from webapp.facts.correcting import tools_for
from webapp.facts.jigs import jigs_of
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView
from webapp.records.workshop import list_jigs
from webapp.sheets.cranks.change_pin import PIN_FORM, log_pin
from webapp.sheets.cranks.drawing_crankpin import crankpin_picture
from webapp.sheets.cranks.form_crankpins import FIELDS, asked, read_crankpins, start_texts
from webapp.sheets.cranks.form_pin import read_pin
from webapp.sheets.cranks.view_crankpins import cranks_answer, hole_answer, jig_answer
from webapp.sheets.cranks.view_pins import pin_rows, pins_words
from webapp.sheets.cranks.view_throws import throws_sheet
from webapp.typed.sizes import BY_KEY, PIN_KEYS
from webapp.typed.texts import Typed
from webapp.web.common import UNPROCESSABLE, TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_casting, get_pattern

router = APIRouter()


@router.get("/builds/{build_id}/crankpins")
def crankpins(request: Request, build_id: Id, db: DbDep) -> Response:
    """The sheet with the drawing's figures, or with those asked for in the address."""
    return _page(request, db, get_pattern(request, db, build_id, cranked=True), Form(), None)


def _page(request: Request, db: Db, build: BuildView, form: Form, refused_pin: int | None) -> Response:
    """The sheet; `form` is that of the pin of the wheel named, where it was refused."""
    figures = work_figures(build)
    start = start_texts(
        {key: size.nm for key, size in build.dimensions.items()},
        figures.chosen("cylinders"),
        figures.number("inside_slope"),
        build.unit,
    )
    query = request.query_params.multi_items()
    typed = asked(query, start)
    found, errors = read_crankpins(typed, build.unit)
    hole = hole_answer(build, found, errors)
    jig, cranks = jig_answer(build, found, errors), cranks_answer(build, found, errors)
    with db.read() as session:
        jigs = jigs_of(build, list_jigs(session))
    pins = pin_rows(build, jigs)
    tried = any(name in FIELDS for name, _ in query)
    return render.page(
        request,
        "sheets/cranks/crankpins.html",
        # Figures of the drawing that do not agree with each other are no fault of the one who only looks.
        UNPROCESSABLE if errors and tried else form.status,
        build=build,
        typed=typed,
        errors=errors,
        tried=tried,
        hole=hole,
        picture=crankpin_picture(hole.position, found.nm, build.unit) if hole.position else None,
        jig=jig,
        cranks=cranks,
        throws=throws_sheet(build),
        jigs=jigs,
        pins=pins,
        pins_words=pins_words(pins),
        pins_way=build.pins.words,
        pin_names=[f"pin-{one.state.casting.id}" for one in pins],
        pin_kinds=[BY_KEY[key] for key in PIN_KEYS],
        pin_typed=form.typed,
        pin_errors=form.errors,
        refused_pin=refused_pin,
        typed_none=Typed(),
        # A hole, a pin and a dial are each read with another.
        tools=tools_for(build),
        page_id=form.context["page_id"],
        token=form.context["token"],
        title_block={"build": build.name, "sheet": "Crankpins", "number": "P"},
    )


@router.post("/castings/{casting_id}/crankpin")
def log(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write down what was measured of a wheel's crankpin; the sheet then shows what it is worth."""
    build, casting = get_casting(db, casting_id)

    def show(form: Form) -> Response:
        after, own = get_casting(db, casting_id)
        return _page(request, db, after.of(own), form, casting_id)

    return take(
        request,
        typed,
        read=lambda: read_pin(typed, build.unit),
        act=lambda logged, asked: log_pin(db, casting_id, asked, logged),
        then=f"/builds/{build.id}/crankpins?pattern={casting.pattern_id}&open=pins#fold-pin-{casting_id}",
        show=show,
        weigh=lambda logged: weigh_sizes(build, casting, PIN_FORM, logged),
    )
