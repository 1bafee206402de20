"""A steel tyre: its inside and its centre's outside logged and judged, how hot to make it, and when it went on."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.tyres.words import CAUTION, CAUTIONS
from webapp import render
from webapp.acts.readings import log_tyre
from webapp.db import Db
from webapp.errors import NotFound
from webapp.facts.correcting import tools_for
from webapp.facts.expected import to_be_typed
from webapp.facts.measured_views import TYRE_REACH
from webapp.records.measured import history_of
from webapp.sheets.tyres.view import tyre_sheet
from webapp.typed.readings import read_log
from webapp.typed.sizes import TYRE_SIZES
from webapp.typed.texts import Errors
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_casting

router = APIRouter()


def _here(casting_id: int) -> str:
    return f"/castings/{casting_id}/tyre"


@router.get("/castings/{casting_id}/tyre")
def sheet(request: Request, casting_id: Id, db: DbDep) -> Response:
    """What this wheel's tyre comes to, and what is to be done with it now."""
    return _page(request, db, casting_id, Form())


def _page(request: Request, db: Db, casting_id: int, form: Form, sent: str = "") -> Response:
    """The whole sheet; `sent` is the size whose form was not taken."""
    build, casting = get_casting(db, casting_id)
    with db.read() as session:
        history = history_of(session, casting_id)
    found = tyre_sheet(build, casting, history, datetime.now().astimezone())
    return render.page(
        request,
        "sheets/tyres/tyre.html",
        form.status,
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        pattern=build.pattern_of(casting),
        sheet=found,
        sent=sent,
        tools={kind: tools_for(build, reach) for kind, reach in TYRE_REACH.items()},
        caution=CAUTION,
        cautions=CAUTIONS,
        title_block={"build": build.name, "sheet": f"Tyre of {casting.mark}", "number": casting.mark},
        **form.context,
    )


@router.post("/castings/{casting_id}/tyre/{kind}")
def log(request: Request, casting_id: Id, kind: str, db: DbDep, typed: TypedDep) -> Response:
    """Write down the tyre's inside or the centre's outside."""
    if kind not in TYRE_SIZES:
        raise NotFound("There is no such size of a tyre.")
    build, _ = get_casting(db, casting_id)
    return take(
        request,
        typed,
        read=lambda: read_log(typed, build.unit, to_be_typed(build, kind)),
        act=lambda log, asked: log_tyre(db, casting_id, asked, kind, log, typed.yes("sure")),
        then=_here(casting_id),
        show=lambda form: _page(request, db, casting_id, _beside_first(form), kind),
        confirm="sure",
    )


def _beside_first(form: Form) -> Form:
    """What is said of the readings as a whole stands beside the first of them."""
    errors = Errors({"reading0" if name == "reading" else name: words for name, words in form.errors.items()})
    errors.spent = form.errors.spent
    return replace(form, errors=errors)
