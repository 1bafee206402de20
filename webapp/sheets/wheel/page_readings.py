"""Logging a bore, a throw or a seat: the answer comes at once, on the sheet it was typed on."""

from __future__ import annotations

from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.route.stages import Stage
from webapp import render
from webapp.acts import readings as measurements
from webapp.acts.readings import try_reading
from webapp.db import Db
from webapp.errors import NotFound
from webapp.facts.due import Due
from webapp.facts.due_box import Written, trial_of, written_of
from webapp.facts.whatif import with_seat, with_size
from webapp.records.change import Asked
from webapp.records.views import SIDES
from webapp.sheets.wheel.page import NO_SUCH_SEAT, answer_axle, answer_casting
from webapp.typed.texts import Typed
from webapp.web.common import Attempt, TypedDep, trouble_from
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_axle, get_casting
from webapp.web.readings import read_reading, refused_reading, remember, shown_on

router = APIRouter()


@router.post("/castings/{casting_id}/bores")
def bore(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Log a casting's bore."""
    return _of_casting(request, db, casting_id, typed, "bore")


@router.post("/castings/{casting_id}/throws")
def throw(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Log a wheel's throw."""
    return _of_casting(request, db, casting_id, typed, "throw")


def _of_casting(request: Request, db: Db, casting_id: int, typed: Typed, kind: str) -> Response:
    build, casting = get_casting(db, casting_id)
    log, actor, errors = read_reading(request, typed, build)
    attempt: Attempt | None = None
    place = f"{kind}-{casting_id}"
    early = trouble_from(partial(measurements.loggable, build, casting, kind), "")
    if early is not None:
        # The form is not on the sheet, so this is said at the head of the wheel.
        attempt = Attempt(f"wheel-{casting_id}", typed, trouble=early)
    elif log is None or actor is None or errors:
        attempt = refused_reading(place, typed, errors, None)
    else:
        asked = Asked(actor, typed.version(), typed.sent)
        if kind == "bore":
            act = partial(measurements.log_bore, db, casting_id, asked, log, shown_on(typed))
        else:
            act = partial(measurements.log_throw, db, casting_id, asked, log)
        trouble = trouble_from(act, kind)
        attempt = refused_reading(place, typed, errors, trouble) if trouble else None
    done = attempt is None
    written = _written(db, casting_id, kind) if done else None
    answer = answer_casting(request, db, casting_id, typed, attempt, written, kind)
    return remember(answer, actor, log, kind) if done else answer


def _written(db: Db, casting_id: int, kind: str) -> Written:
    build, casting = get_casting(db, casting_id)
    return written_of(build, Due(kind, Stage.BORED, casting.side or "", casting))


@router.get("/castings/{casting_id}/bores/try")
def try_bore(request: Request, casting_id: Id, db: DbDep) -> Response:
    """What a bore as typed would make of its seat; nothing is written."""
    return _try_wheel(request, casting_id, db, "bore")


@router.get("/castings/{casting_id}/throws/try")
def try_throw(request: Request, casting_id: Id, db: DbDep) -> Response:
    """What a throw as typed would be worth; nothing is written."""
    return _try_wheel(request, casting_id, db, "throw")


def _try_wheel(request: Request, casting_id: int, db: Db, kind: str) -> Response:
    build, casting = get_casting(db, casting_id)
    tried = try_reading(db, build, kind, Typed.of_query(request.query_params.multi_items()))
    trial = trial_of(*with_size(build, casting, tried), kind) if tried else None
    return render.fragment(request, "parts/_trial.html", trial=trial)


@router.get("/axles/{axle_id}/seats/{side}/try")
def try_seat(request: Request, axle_id: Id, side: str, db: DbDep) -> Response:
    """What a seat as typed would make of its wheel's bore; nothing is written."""
    build, axle = get_axle(db, axle_id)
    tried = try_reading(db, build, "seat", Typed.of_query(request.query_params.multi_items()))
    wheel = axle.at(side)
    trial = None
    if tried and wheel is not None:
        after = with_seat(build, axle, side, tried)
        trial = trial_of(after, after.casting(wheel.id) or wheel, "seat", tried)
    return render.fragment(request, "parts/_trial.html", trial=trial)


@router.post("/axles/{axle_id}/seats/{side}")
def seat(request: Request, axle_id: Id, side: str, db: DbDep, typed: TypedDep) -> Response:
    """Log the wheel seat at one end of an axle."""
    build, _ = get_axle(db, axle_id)
    if side not in SIDES:
        raise NotFound(NO_SUCH_SEAT)
    log, actor, errors = read_reading(request, typed, build)
    attempt: Attempt | None = None
    if log is None or actor is None or errors:
        attempt = refused_reading(f"seat-{side}", typed, errors, None)
    else:
        asked = Asked(actor, typed.version(), typed.sent)
        trouble = trouble_from(partial(measurements.log_seat, db, axle_id, asked, side, log), "seat")
        attempt = refused_reading(f"seat-{side}", typed, errors, trouble) if trouble else None
    done = attempt is None
    written = _written_seat(db, axle_id, side) if done else None
    answer = answer_axle(request, db, axle_id, typed, attempt, written, side)
    return remember(answer, actor, log, "seat") if done else answer


def _written_seat(db: Db, axle_id: int, side: str) -> Written:
    build, axle = get_axle(db, axle_id)
    return written_of(build, Due("seat", Stage.BORED, side, axle.at(side), axle))
