"""Taking a reading of a wheel or an axle: the answer comes at once, on the sheet it was typed on."""

from __future__ import annotations

from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.acts.due import read_due, try_due
from webapp.acts.readings import loggable
from webapp.db import Db
from webapp.errors import NotFound
from webapp.facts.due import OF_TYRE, Due, due_named
from webapp.facts.due_box import written_of
from webapp.records.views import SIDES, AxleView, BuildView
from webapp.sheets.wheel.page import NO_SUCH_SEAT, answer_axle, answer_casting
from webapp.typed.texts import Typed
from webapp.web.common import Attempt, TypedDep, trouble_from
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_axle, get_casting
from webapp.web.readings import remember, shown_on, take_reading

router = APIRouter()


@router.post("/castings/{casting_id}/bores")
def bore(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Log a casting's bore."""
    return _of_casting(request, db, casting_id, typed, "bore")


@router.post("/castings/{casting_id}/throws")
def throw(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Log a wheel's throw."""
    return _of_casting(request, db, casting_id, typed, "throw")


@router.post("/castings/{casting_id}/treads")
def tread(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Log a wheel's tread diameter."""
    return _of_casting(request, db, casting_id, typed, "tread")


@router.post("/castings/{casting_id}/flanges")
def flange(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Log a wheel's flange: how thick, how far above the tread, how high."""
    return _of_casting(request, db, casting_id, typed, "flange")


@router.post("/axles/{axle_id}/seats/{side}")
def seat(request: Request, axle_id: Id, side: str, db: DbDep, typed: TypedDep) -> Response:
    """Log the wheel seat at one end of an axle."""
    if side not in SIDES:
        raise NotFound(NO_SUCH_SEAT)
    return _of_axle(request, db, axle_id, typed, f"seat-{side}", side)


@router.post("/axles/{axle_id}/heights")
def heights(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Log the heights of an axle's crankpins."""
    return _of_axle(request, db, axle_id, typed, "heights")


def _of_casting(request: Request, db: Db, casting_id: int, typed: Typed, kind: str) -> Response:
    build, casting = get_casting(db, casting_id)
    due = _casting_due(db, casting_id, kind)
    read = read_due(db, build, due, typed, shown_on(typed))
    early = trouble_from(partial(loggable, build, casting, kind), "") if kind not in OF_TYRE else None
    if early is not None:
        # The form is not on the sheet, so this is said at the head of the wheel.
        attempt: Attempt | None = Attempt(f"wheel-{casting_id}", typed, trouble=early)
    else:
        attempt = take_reading(request, typed, due, read.errors, read.store, read.fields)
    slip = kind if kind not in OF_TYRE else ""
    if attempt is not None:
        return answer_casting(request, db, casting_id, typed, attempt, None, slip)
    after, _ = get_casting(db, casting_id)
    written = written_of(after, _casting_due(db, casting_id, kind))
    answer = answer_casting(request, db, casting_id, typed, None, written, slip)
    return remember(request, answer, typed, read.instrument_id, kind)


def _of_axle(request: Request, db: Db, axle_id: int, typed: Typed, key: str, side: str = "") -> Response:
    build, axle = get_axle(db, axle_id)
    due = _axle_due(axle, key)
    read = read_due(db, build, due, typed)
    attempt = take_reading(request, typed, due, read.errors, read.store, read.fields)
    if attempt is not None:
        return answer_axle(request, db, axle_id, typed, attempt, None, side)
    after, axle = get_axle(db, axle_id)
    answer = answer_axle(request, db, axle_id, typed, None, written_of(after, _axle_due(axle, key)), side)
    return remember(request, answer, typed, read.instrument_id, due.kind)


def _casting_due(db: Db, casting_id: int, kind: str) -> Due:
    _, casting = get_casting(db, casting_id)
    due = due_named(None, casting, f"{kind}-{casting_id}")
    assert due is not None  # every wheel has a bore, a throw and a tyre
    return due


def _axle_due(axle: AxleView, key: str) -> Due:
    due = due_named(axle, None, key)
    assert due is not None  # every axle has two seats, and heights of its pins
    return due


@router.get("/castings/{casting_id}/bores/try")
def try_bore(request: Request, casting_id: Id, db: DbDep) -> Response:
    """What a bore as typed would make of its seat; nothing is written."""
    return _try(request, db, get_casting(db, casting_id)[0], _casting_due(db, casting_id, "bore"))


@router.get("/castings/{casting_id}/throws/try")
def try_throw(request: Request, casting_id: Id, db: DbDep) -> Response:
    """What a throw as typed would be worth; nothing is written."""
    return _try(request, db, get_casting(db, casting_id)[0], _casting_due(db, casting_id, "throw"))


@router.get("/castings/{casting_id}/treads/try")
def try_tread(request: Request, casting_id: Id, db: DbDep) -> Response:
    """What a tread as typed would be worth; nothing is written."""
    return _try(request, db, get_casting(db, casting_id)[0], _casting_due(db, casting_id, "tread"))


@router.get("/castings/{casting_id}/flanges/try")
def try_flange(request: Request, casting_id: Id, db: DbDep) -> Response:
    """What a flange as typed would be worth; nothing is written."""
    return _try(request, db, get_casting(db, casting_id)[0], _casting_due(db, casting_id, "flange"))


@router.get("/axles/{axle_id}/seats/{side}/try")
def try_seat(request: Request, axle_id: Id, side: str, db: DbDep) -> Response:
    """What a seat as typed would make of its wheel's bore; nothing is written."""
    build, axle = get_axle(db, axle_id)
    due = due_named(axle, None, f"seat-{side}")
    return _try(request, db, build, due) if due else render.fragment(request, "parts/_trial.html", trial=None)


@router.get("/axles/{axle_id}/heights/try")
def try_heights(request: Request, axle_id: Id, db: DbDep) -> Response:
    """What heights as typed would say of the quartering; nothing is written."""
    build, axle = get_axle(db, axle_id)
    return _try(request, db, build, _axle_due(axle, "heights"))


def _try(request: Request, db: Db, build: BuildView, due: Due) -> Response:
    typed = Typed.of_query(request.query_params.multi_items())
    return render.fragment(request, "parts/_trial.html", trial=try_due(db, build, due, typed))
