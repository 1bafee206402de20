"""Logging a bore, a throw or a seat: the answer comes at once, on the sheet it was typed on."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.db import Db
from webapp.errors import NotFound
from webapp.facts.whatif import with_seat, with_size
from webapp.records.change import Asked
from webapp.records.outcome import Actor
from webapp.records.views import SIDES, BuildView
from webapp.sheets.wheel import change_readings as measurements
from webapp.sheets.wheel.change_readings import try_reading
from webapp.sheets.wheel.form_how import FIELDS
from webapp.sheets.wheel.form_readings import DUE_BOXES, Log, read_log
from webapp.sheets.wheel.page import NO_SUCH_SEAT, TOOL_COOKIE, answer_axle, answer_casting
from webapp.sheets.wheel.view_due import Written, reading_line, trial_of
from webapp.typed.texts import Errors, Typed
from webapp.web.common import (
    UNPROCESSABLE,
    YEAR_S,
    Attempt,
    Trouble,
    TypedDep,
    need_actor,
    remember_who,
    tell,
    trouble_from,
)
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_axle, get_casting

router = APIRouter()

# The fields that a refusal may be told beside; any other stands at the head of the form.
_FIRST = "reading0"
_BESIDE = {"reading", "instrument_id", *FIELDS}


def _attempt(place: str, typed: Typed, errors: Errors, trouble: Trouble | None) -> Attempt:
    status = UNPROCESSABLE
    # Of the reading that is due the first box has a place of its own, if it is a bore's.
    due = typed.get("from") == "due" and place.startswith("bore")
    beside = DUE_BOXES["bore"][0][0] if due else _FIRST
    if trouble is not None:
        if trouble.kind not in ("refused", "sent", "doubt"):
            return Attempt(place, typed, errors, trouble, trouble.status)
        tell(errors, trouble if trouble.key in _BESIDE else replace(trouble, key=""))
        status = trouble.status
    # What is said of the readings as a whole stands beside the first of them.
    first = Errors({beside if name == "reading" else name: words for name, words in errors.items()})
    return Attempt(place, typed, first, None, status)


def _read(request: Request, typed: Typed, build: BuildView) -> tuple[Log | None, Actor | None, Errors]:
    log, errors = read_log(typed, build.unit)
    actor = need_actor(request, typed, errors)
    return log, actor, errors


@router.post("/castings/{casting_id}/bores")
def bore(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Log a casting's bore."""
    return _of_casting(request, db, casting_id, typed, "bore")


@router.post("/castings/{casting_id}/throws")
def throw(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Log a wheel's throw."""
    return _of_casting(request, db, casting_id, typed, "throw")


def _against(typed: Typed) -> tuple[int, str] | None:
    """The axle end the page showed the wheel on; nothing for a spare."""
    if not typed.get("axle").strip() and not typed.get("side").strip():
        return None
    return typed.version("axle"), typed.get("side")


def _of_casting(request: Request, db: Db, casting_id: int, typed: Typed, kind: str) -> Response:
    build, casting = get_casting(db, casting_id)
    log, actor, errors = _read(request, typed, build)
    attempt: Attempt | None = None
    place = f"{kind}-{casting_id}"
    early = trouble_from(partial(measurements.loggable, build, casting, kind), "")
    if early is not None:
        # The form is not on the sheet, so this is said at the head of the wheel.
        attempt = Attempt(f"wheel-{casting_id}", typed, trouble=early)
    elif log is None or actor is None or errors:
        attempt = _attempt(place, typed, errors, None)
    else:
        asked = Asked(actor, typed.version(), typed.sent)
        if kind == "bore":
            act = partial(measurements.log_bore, db, casting_id, asked, log, _against(typed))
        else:
            act = partial(measurements.log_throw, db, casting_id, asked, log)
        trouble = trouble_from(act, kind)
        attempt = _attempt(place, typed, errors, trouble) if trouble else None
    done = attempt is None
    written = _written(db, casting_id, kind) if done else None
    answer = answer_casting(request, db, casting_id, typed, attempt, written, kind)
    return _remember(answer, actor, log, kind) if done else answer


def _written(db: Db, casting_id: int, kind: str) -> Written:
    build, casting = get_casting(db, casting_id)
    return Written(casting.mark, kind, reading_line(build, casting, kind))


def _remember(answer: Response, actor: Actor | None, log: Log | None, kind: str) -> Response:
    """Let the device remember who it was, and which instrument reads this."""
    if actor is not None:
        remember_who(answer, actor.who)
    if log is not None and log.how.instrument_id is not None:
        tool = str(log.how.instrument_id)
        answer.set_cookie(TOOL_COOKIE + kind, tool, max_age=YEAR_S, httponly=True, samesite="strict")
    return answer


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
    return render.fragment(request, "sheets/wheel/_trial.html", trial=trial)


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
    return render.fragment(request, "sheets/wheel/_trial.html", trial=trial)


@router.post("/axles/{axle_id}/seats/{side}")
def seat(request: Request, axle_id: Id, side: str, db: DbDep, typed: TypedDep) -> Response:
    """Log the wheel seat at one end of an axle."""
    build, _ = get_axle(db, axle_id)
    if side not in SIDES:
        raise NotFound(NO_SUCH_SEAT)
    log, actor, errors = _read(request, typed, build)
    attempt: Attempt | None = None
    if log is None or actor is None or errors:
        attempt = _attempt(f"seat-{side}", typed, errors, None)
    else:
        asked = Asked(actor, typed.version(), typed.sent)
        trouble = trouble_from(partial(measurements.log_seat, db, axle_id, asked, side, log), "seat")
        attempt = _attempt(f"seat-{side}", typed, errors, trouble) if trouble else None
    done = attempt is None
    written = _written_seat(db, axle_id, side) if done else None
    answer = answer_axle(request, db, axle_id, typed, attempt, written, side)
    return _remember(answer, actor, log, "seat") if done else answer


def _written_seat(db: Db, axle_id: int, side: str) -> Written:
    build, axle = get_axle(db, axle_id)
    wheel = axle.at(side)
    line = reading_line(build, wheel, "seat") if wheel is not None else None
    return Written(wheel.mark if wheel else "", f"{side} seat", line)
