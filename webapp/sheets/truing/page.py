"""Setting a casting true in the independent chuck: the work sheet at the lathe."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.truing.words import CAUTIONS
from webapp import render
from webapp.db import Db
from webapp.errors import NotFound
from webapp.sheets.truing import change as service
from webapp.sheets.truing.form import DIALS, OWN, read_set_up
from webapp.sheets.truing.form_rounds import JAWS_ONLY, KINDS, SPOTS, read_round
from webapp.sheets.truing.view import set_up_sheet
from webapp.sheets.truing.view_form import reading_form
from webapp.sheets.truing.view_stored import TruingView, start_texts, truings_of
from webapp.typed.texts import Errors, Typed
from webapp.web.common import (
    UNPROCESSABLE,
    TypedDep,
    actor_of,
    ask_who,
    do_or_page,
    need_actor,
    page_of,
    see,
    tell,
    token_of,
    trouble_from,
)
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_casting

router = APIRouter()
_GONE = "There is no such set-up of this casting."


@router.get("/castings/{casting_id}/true")
def sheet(request: Request, casting_id: Id, db: DbDep, what: str = "", read: str = "") -> Response:
    """The open set-up with what to do now; without one, the form that begins it."""
    return _page(request, db, casting_id, Typed(), Errors(), 200, what=what, read=read)


def _page(
    request: Request,
    db: Db,
    casting_id: int,
    typed: Typed,
    errors: Errors,
    status: int,
    *,
    what: str = "",
    read: str = "",
) -> Response:
    build, casting = get_casting(db, casting_id)
    with db.read() as session:
        truings = truings_of(session, casting_id)
        current = next((one for one in truings if not one.done), None)
        start = Typed() if current else start_texts(session, build, casting)
    return render.page(
        request,
        "sheets/truing/true.html",
        status,
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        setting=None if current is None else set_up_sheet(build, casting, current),
        form=None if current is None else reading_form(build, current, what, read),
        start=Typed(start.fields | typed.fields),
        past=[set_up_sheet(build, casting, one) for one in truings if one.done],
        dials=list(DIALS),
        own=OWN,
        spots=[JAWS_ONLY, *SPOTS],
        cautions=CAUTIONS,
        typed=typed,
        errors=errors,
        page_id=page_of(typed),
        token=token_of(typed, errors),
        title_block={"build": build.name, "sheet": f"Setting {casting.mark} true", "number": casting.mark},
    )


@router.post("/castings/{casting_id}/true")
def begin(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Begin a set-up."""
    get_casting(db, casting_id)
    held, errors = read_set_up(typed)
    actor = need_actor(request, typed, errors)
    if held is None or actor is None:
        return _page(request, db, casting_id, typed, errors, UNPROCESSABLE)
    seen, sent = typed.version(), typed.sent
    status = _tried(lambda: service.begin(db, casting_id, held, seen, sent, actor), errors)
    if errors:
        return _page(request, db, casting_id, typed, errors, status)
    return see(request, f"/castings/{casting_id}/true#next", typed, actor)


@router.post("/castings/{casting_id}/true/{truing_id}/rounds")
def add_round(request: Request, casting_id: Id, truing_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Store a round of readings; the sheet then says what to do."""
    truing = _truing(db, casting_id, truing_id)
    found, errors = read_round(typed, truing.held.dial)
    actor = need_actor(request, typed, errors)
    how = {"what": typed.get("kind"), "read": typed.get("read")}
    if found is None or errors or actor is None:
        return _page(request, db, casting_id, typed, errors, UNPROCESSABLE, **how)
    seen, sent = typed.version(), typed.sent
    status = _tried(lambda: service.add_round(db, casting_id, truing_id, found, seen, sent, actor), errors)
    if errors:
        return _page(request, db, casting_id, typed, errors, status, **how)
    # Only what is known goes on in the address, whatever the form said.
    on = {name: text for name, text in how.items() if text in KINDS or text in SPOTS or text == JAWS_ONLY}
    return see(request, f"/castings/{casting_id}/true?{urlencode(on)}#now", typed, actor)


@router.post("/castings/{casting_id}/true/{truing_id}/rounds/{round_id}/strike")
def strike(
    request: Request, casting_id: Id, truing_id: Id, round_id: Id, db: DbDep, typed: TypedDep
) -> Response:
    """Strike out a mistyped round."""
    truing = _truing(db, casting_id, truing_id)
    if all(one.id != round_id for one in truing.rounds):
        raise NotFound("There is no such round of this set-up.")
    actor = actor_of(request, typed)
    if actor is None:
        return ask_who(request, typed, "who" in typed.fields)
    seen = typed.version()
    do_or_page(lambda: service.strike(db, casting_id, truing_id, round_id, seen, actor))
    return see(request, f"/castings/{casting_id}/true#now", typed, actor)


@router.post("/castings/{casting_id}/true/{truing_id}/close")
def close(request: Request, casting_id: Id, truing_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Close a set-up, true or given up."""
    _truing(db, casting_id, truing_id)
    actor = actor_of(request, typed)
    if actor is None:
        return ask_who(request, typed, "who" in typed.fields)
    do_or_page(lambda: service.close(db, casting_id, truing_id, typed.version(), actor))
    again = typed.yes("again")
    return see(request, f"/castings/{casting_id}/true#{'set-up' if again else 'closed'}", typed, actor)


def _truing(db: Db, casting_id: int, truing_id: int) -> TruingView:
    get_casting(db, casting_id)
    with db.read() as session:
        found = next((one for one in truings_of(session, casting_id) if one.id == truing_id), None)
    if found is None:
        raise NotFound(_GONE)
    return found


def _tried(act: Callable[[], object], errors: Errors) -> int:
    """Do it; what stands in the way goes among the errors, with its status."""
    trouble = trouble_from(act, "")
    if trouble is None:
        return 200
    tell(errors, trouble)
    return trouble.status
