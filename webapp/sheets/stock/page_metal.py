"""Metal left on a casting: what each face still has, go or stop for the next cut, and sizes logged after a cut."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.measuring.instruments import Reach
from domain.stock.sizes import StockError
from webapp import render
from webapp.acts.size_log import weigh_sizes
from webapp.db import Db
from webapp.facts.correcting import tools_for
from webapp.facts.metal import CutSaid, MetalSheet, cut_answer, metal_sheet
from webapp.facts.metal_sizes import is_bare_centre, terms_of
from webapp.facts.unfit import unfit, why_unfit
from webapp.records.measured import history_of
from webapp.records.views import BuildView, CastingView
from webapp.sheets.stock.change_metal import CUT_FORM, log_sizes
from webapp.sheets.stock.form_metal import KEPT, READS, SIZE_KEYS, CutWish, asked, dial_errors, read_cut
from webapp.sheets.stock.view_metal import metal_section
from webapp.typed.size_log import GROWN, read_log
from webapp.typed.sizes import BY_KEY
from webapp.typed.texts import Errors, Typed
from webapp.web.common import UNPROCESSABLE, TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_casting

router = APIRouter()
# Measured on the tyre, where a wheel has one.
_OF_TYRE = ("over_flange", "tread")
# Where the domain's sentence about a dial or a cut stands on the form.
_BOXES = {"touch_off": "touch", "per_turn": "turn", "cut": "cut"}


@router.get("/castings/{casting_id}/metal")
def metal(request: Request, casting_id: Id, db: DbDep) -> Response:
    """The sheet; the cut meant and the dial stand in the address, and nothing is stored."""
    return _page(request, db, casting_id, Form())


def _page(request: Request, db: Db, casting_id: int, form: Form) -> Response:
    build, casting = get_casting(db, casting_id)
    kept = [(name, text) for name, text in _kept(form.typed) if name not in form.errors]
    ask = asked(request.query_params.multi_items() if request.method == "GET" else kept)
    wish, wrong = read_cut(ask, build.unit)
    sheet, answer = _asked(build, casting, wish, wrong)
    return render.page(
        request,
        "sheets/stock/metal.html",
        UNPROCESSABLE if wrong and form.status == 200 else form.status,
        build=build,
        unfit=why_unfit(casting) if unfit(build, casting) else "",
        casting=casting,
        axle=build.axle(casting.axle_id),
        where=build.where(casting),
        terms=terms_of(build),
        sheet=sheet,
        picture=metal_section(build.of(casting), sheet, terms_of(build.of(casting)).finished),
        answer=answer,
        ask=ask,
        wish=wish,
        wrong=wrong,
        kinds=[BY_KEY[key] for key in SIZE_KEYS if key not in _OF_TYRE or not is_bare_centre(build, casting)],
        reads=READS,
        faces=[(one.face.value, one.name) for one in sheet.lines],
        grown=[(value, words, "") for value, words in GROWN],
        kept=_kept(ask),
        title_block={"build": build.name, "sheet": f"Metal left {casting.mark}", "number": casting.mark},
        **_read(db, build, casting_id),
        **form.context,
    )


def _read(db: Db, build: BuildView, casting_id: int) -> dict[str, Any]:
    """What the sheet shows besides: the instruments to measure with, and every size ever logged."""
    with db.read() as session:
        history = history_of(session, casting_id)
    names = {own: tool.name for own, tool in build.instruments.items()}
    shown = [(line, BY_KEY[line.kind]) for line in reversed(history) if line.kind in BY_KEY]
    return {"tools": tools_for(build, Reach.OUTSIDE), "tool_names": names, "history": shown}


def _asked(
    build: BuildView, casting: CastingView, wish: CutWish, wrong: Errors
) -> tuple[MetalSheet, CutSaid | None]:
    """The sheet and the answer to the cut meant; what cannot be is put among the errors."""
    sheet = metal_sheet(build, casting, wish.face)
    wrong.update(dial_errors(wish, sheet.shown.face))
    if wrong:
        return sheet, None
    try:
        if wish.dial is not None:
            sheet = metal_sheet(build, casting, wish.face, wish.dial)
        if wish.cut_nm is None:
            return sheet, None
        return sheet, cut_answer(build, casting, sheet.shown, wish.cut_nm, wish.dial)
    except StockError as error:
        wrong[_BOXES.get(error.field, "")] = str(error)
        return sheet, None


def _kept(typed: Typed) -> list[tuple[str, str]]:
    """What of the dial stays the same from cut to cut."""
    return [(name, typed.get(name)) for name in KEPT if typed.get(name)]


@router.post("/castings/{casting_id}/metal")
def log(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write down sizes measured after a cut."""
    build, casting = get_casting(db, casting_id)
    query = urlencode(_kept(typed))
    return take(
        request,
        typed,
        read=lambda: read_log(typed, SIZE_KEYS, build.unit),
        act=lambda logged, asked: log_sizes(db, casting_id, asked, logged),
        then=f"/castings/{casting_id}/metal{'?' if query else ''}{query}#sign",
        show=lambda form: _page(request, db, casting_id, form),
        weigh=lambda logged: weigh_sizes(build, casting, CUT_FORM, logged),
        confirm="grown",
    )
