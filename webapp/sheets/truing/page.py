"""Setting a casting true in the independent chuck: the work sheet at the lathe."""

from __future__ import annotations

from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.truing.dial import JAWS
from domain.truing.words import CAUTIONS
from webapp import render
from webapp.db import Db
from webapp.errors import NotFound
from webapp.sheets.truing import change
from webapp.sheets.truing.form import DIALS, OWN, POINTER, read_set_up
from webapp.sheets.truing.form_rounds import JAWS_ONLY, KINDS, SPOTS, read_round
from webapp.sheets.truing.view import held_box, set_up_sheet
from webapp.sheets.truing.view_form import outward_choices, reading_form
from webapp.sheets.truing.view_stored import TruingView, start_texts, truings_of
from webapp.typed.striking import LONGEST_WHY, read_why
from webapp.typed.texts import Typed
from webapp.web.common import TypedDep, see
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, alone, press, take
from webapp.web.load import get_casting

router = APIRouter()
_NO_DIAL = (POINTER, "No dial: a scriber or pointer, by eye", "then pass over the rest")


@router.get("/castings/{casting_id}/true")
def sheet(request: Request, casting_id: Id, db: DbDep, what: str = "", read: str = "") -> Response:
    """The open set-up with what to do now; without one, the form that begins it."""
    return _page(request, db, casting_id, Form(), what=what, read=read)


def _page(
    request: Request,
    db: Db,
    casting_id: int,
    form: Form,
    *,
    what: str = "",
    read: str = "",
    striking: int = 0,
) -> Response:
    build, casting = get_casting(db, casting_id)
    with db.read() as session:
        truings = truings_of(session, casting_id)
        current = next((one for one in truings if not one.done), None)
        start = Typed() if current else start_texts(session, build, casting)
    setting = None if current is None else set_up_sheet(build, casting, current)
    past = [set_up_sheet(build, casting, one) for one in truings if one.done]
    shown = setting or next(iter(past), None)
    return render.page(
        request,
        "sheets/truing/true.html",
        form.status,
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        setting=setting,
        box=held_box(build, casting, shown.held.outward if shown else start.get("outward"), shown),
        jaws=list(JAWS),
        form=None if current is None else reading_form(build, current, what, read),
        start=Typed(start.fields | form.typed.fields),
        # Another way to read was asked for, so its form is not folded away.
        asked=bool(what) and current is not None and what != current.latest,
        past=past,
        outwards=outward_choices(build, casting),
        dials=[*((name, name, "") for name in DIALS), (OWN, "Another, written below", ""), _NO_DIAL],
        spots=[JAWS_ONLY, *SPOTS],
        cautions=CAUTIONS,
        striking=striking,
        longest_why=LONGEST_WHY,
        title_block={"build": build.name, "sheet": f"Setting {casting.mark} true", "number": casting.mark},
        **form.context,
    )


@router.post("/castings/{casting_id}/true")
def begin(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Begin a set-up."""
    return take(
        request,
        typed,
        read=lambda: read_set_up(typed),
        act=lambda held, asked: change.begin(db, casting_id, asked, held),
        then=f"/castings/{casting_id}/true#next",
        show=lambda form: _page(request, db, casting_id, form),
    )


@router.post("/castings/{casting_id}/true/{truing_id}/rounds")
def add_round(request: Request, casting_id: Id, truing_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Store a round of readings; the sheet then says what to do."""
    truing = _truing(db, casting_id, truing_id)
    how = {"what": typed.get("kind"), "read": typed.get("read")}
    # Only what is known goes on in the address, whatever the form said.
    on = {name: text for name, text in how.items() if text in KINDS or text in SPOTS or text == JAWS_ONLY}
    return take(
        request,
        typed,
        read=lambda: read_round(typed, truing.held),
        act=lambda found, asked: change.add_round(db, casting_id, asked, truing_id, found),
        then=f"/castings/{casting_id}/true?{urlencode(on)}#now",
        show=lambda form: _page(request, db, casting_id, form, what=how["what"], read=how["read"]),
    )


@router.post("/castings/{casting_id}/true/{truing_id}/rounds/{round_id}/strike")
def strike(
    request: Request, casting_id: Id, truing_id: Id, round_id: Id, db: DbDep, typed: TypedDep
) -> Response:
    """Strike out a round with a reason; one that is struck out already stays so."""
    found = next((one for one in _truing(db, casting_id, truing_id).rounds if one.id == round_id), None)
    if found is None:
        raise NotFound("There is no such round of this set-up.")
    now = f"/castings/{casting_id}/true#now"
    if found.struck_out:
        return see(request, now)
    return take(
        request,
        typed,
        read=lambda: alone(read_why, typed),
        act=lambda why, asked: change.strike(db, casting_id, asked, truing_id, round_id, why),
        then=now,
        show=lambda form: _page(request, db, casting_id, form, striking=round_id),
    )


@router.post("/castings/{casting_id}/true/{truing_id}/close")
def close(request: Request, casting_id: Id, truing_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Close a set-up, true or given up; one that is closed already stays as it is."""
    then = f"/castings/{casting_id}/true{'?open=set-up#set-up' if typed.yes('again') else '#closed'}"
    if _truing(db, casting_id, truing_id).done:
        return see(request, then)
    return press(request, typed, act=lambda asked: change.close(db, casting_id, asked, truing_id), then=then)


def _truing(db: Db, casting_id: int, truing_id: int) -> TruingView:
    get_casting(db, casting_id)
    with db.read() as session:
        found = next((one for one in truings_of(session, casting_id) if one.id == truing_id), None)
    if found is None:
        raise NotFound("There is no such set-up of this casting.")
    return found
