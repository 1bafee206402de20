"""The mandrel: the stub a wheel's tread is turned on, put on, tried, taken off, and the bore gauged again."""

from __future__ import annotations

from datetime import datetime

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.mandrel.words import CAUTION, CAUTIONS
from webapp import render
from webapp.acts.due import read_due
from webapp.db import Db
from webapp.facts.due import Due, due_named
from webapp.facts.due_box import box_of
from webapp.records.measured import history_of
from webapp.records.views import CastingView
from webapp.sheets.mandrel import change
from webapp.sheets.mandrel.form import read_dial, read_put_on, read_stub, read_swing
from webapp.sheets.mandrel.view import mandrel_sheet
from webapp.typed.texts import Typed
from webapp.typed.ticks import TickWish, read_wish
from webapp.web.common import Attempt, TypedDep, fresh_token, see, who_of
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, press, take
from webapp.web.load import get_casting
from webapp.web.readings import read_with, remember, remembered_tools, shown_on, take_reading

router = APIRouter()


def _here(casting_id: int) -> str:
    return f"/castings/{casting_id}/mandrel"


def _now() -> datetime:
    return datetime.now().astimezone()


@router.get("/castings/{casting_id}/mandrel")
def sheet(request: Request, casting_id: Id, db: DbDep) -> Response:
    """What is to be done now with this wheel and its stub."""
    return _page(request, db, casting_id, Form())


def _page(
    request: Request,
    db: Db,
    casting_id: int,
    form: Form,
    sent: str = "",
    attempt: Attempt | None = None,
) -> Response:
    """The whole sheet; `sent` is the form that was not taken, `attempt` a reading that was not."""
    build, casting = get_casting(db, casting_id)
    with db.read() as session:
        history = history_of(session, casting_id)
    found = mandrel_sheet(build, casting, history, _now())
    return render.page(
        request,
        "sheets/mandrel/mandrel.html",
        attempt.status if attempt else form.status,
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        sheet=found,
        sent=sent,
        caution=CAUTION,
        cautions=CAUTIONS,
        due=box_of(build, _bore(casting)) if found.do == "gauge" or attempt else None,
        attempt=attempt or Attempt(""),
        bore_token=fresh_token(),
        stub_start=Typed({"hold": ["bond"]}),
        trouble=form.trouble if sent in (*_TAPS, "off") else None,
        tools=read_with(build),
        remembered=remembered_tools(request),
        unit_now=build.unit.value,
        who=who_of(request, form.typed) or "",
        title_block={"build": build.name, "sheet": f"Mandrel, {casting.mark}", "number": casting.mark},
        **form.context,
    )


def _bore(casting: CastingView) -> Due:
    due = due_named(None, casting, f"bore-{casting.id}")
    assert due is not None  # every wheel has a bore
    return due


@router.post("/castings/{casting_id}/mandrel/stub")
def stub(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """A stub was turned."""
    build, _ = get_casting(db, casting_id)
    return take(
        request,
        typed,
        read=lambda: read_stub(typed, build.unit),
        act=lambda new, asked: change.turn_stub(db, casting_id, asked, new),
        then=_here(casting_id),
        show=lambda form: _page(request, db, casting_id, form, "stub"),
    )


@router.post("/castings/{casting_id}/mandrel/{stub_id}/run-out")
def run_out(request: Request, casting_id: Id, stub_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """The dial was read on the stub."""
    build, _ = get_casting(db, casting_id)
    return take(
        request,
        typed,
        read=lambda: read_swing(typed, build.unit),
        act=lambda swing, asked: change.log_swing(db, casting_id, asked, stub_id, swing),
        then=_here(casting_id),
        show=lambda form: _page(request, db, casting_id, form, "run-out"),
    )


@router.post("/castings/{casting_id}/mandrel/{stub_id}/on")
def put_on(request: Request, casting_id: Id, stub_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """The wheel went on the stub: one tap, or the time typed where it was earlier."""
    get_casting(db, casting_id)
    return take(
        request,
        typed,
        read=lambda: read_put_on(typed, _now()),
        act=lambda on, asked: change.put_on(db, casting_id, asked, stub_id, on),
        then=_here(casting_id),
        show=lambda form: _page(request, db, casting_id, form, "on"),
        confirm="sure",
    )


@router.post("/castings/{casting_id}/mandrel/{stub_id}/dial")
def dial(request: Request, casting_id: Id, stub_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """The dial's reading of the finishing cuts."""
    get_casting(db, casting_id)
    return take(
        request,
        typed,
        read=lambda: read_dial(typed),
        act=lambda text, asked: change.keep_dial(db, casting_id, asked, stub_id, text),
        then=_here(casting_id),
        show=lambda form: _page(request, db, casting_id, form, "dial"),
    )


_TAPS = {
    "back": change.put_back,
    "centre": change.centre,
    "cleaned": change.clean,
}


def _tap(request: Request, casting_id: int, stub_id: int, db: Db, typed: Typed, what: str) -> Response:
    get_casting(db, casting_id)
    return press(
        request,
        typed,
        act=lambda asked: _TAPS[what](db, casting_id, asked, stub_id),
        then=_here(casting_id),
        show=lambda form: _page(request, db, casting_id, form, what),
    )


@router.post("/castings/{casting_id}/mandrel/{stub_id}/back")
def back(request: Request, casting_id: Id, stub_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """The stub was taken out and put back."""
    return _tap(request, casting_id, stub_id, db, typed, "back")


@router.post("/castings/{casting_id}/mandrel/{stub_id}/centre")
def centre(request: Request, casting_id: Id, stub_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """The running centre is in."""
    return _tap(request, casting_id, stub_id, db, typed, "centre")


@router.post("/castings/{casting_id}/mandrel/{stub_id}/off")
def off(request: Request, casting_id: Id, stub_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """The wheel is off the stub; before its bond has cured that wants a yes."""
    get_casting(db, casting_id)
    wish = read_wish(typed) or TickWish("off", True, typed.version())
    return press(
        request,
        typed,
        act=lambda asked: change.take_off(db, casting_id, asked, stub_id, wish),
        then=_here(casting_id),
        show=lambda form: _page(request, db, casting_id, form, "off"),
    )


@router.post("/castings/{casting_id}/mandrel/{stub_id}/cleaned")
def cleaned(request: Request, casting_id: Id, stub_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """The bore is clean."""
    return _tap(request, casting_id, stub_id, db, typed, "cleaned")


@router.post("/castings/{casting_id}/mandrel/bore")
def bore(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write the bore as it came off the stub, and stay with the mandrel."""
    build, casting = get_casting(db, casting_id)
    due = _bore(casting)
    read = read_due(db, build, due, typed, shown_on(typed))
    attempt = take_reading(request, typed, due, read.errors, read.store, read.fields)
    if attempt is not None:
        return _page(request, db, casting_id, Form(), attempt=attempt)
    return remember(request, see(request, _here(casting_id)), typed, read.instrument_id, "bore")
