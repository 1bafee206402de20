"""Work batches: the whole plan, starting one, and stepping from wheel to wheel in it."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.repeating.settings import TASKS
from webapp import render
from webapp.acts import ticks
from webapp.acts.as_set import keep_settings, set_same
from webapp.acts.due import read_due
from webapp.db import Db
from webapp.errors import NotFound
from webapp.facts.batch_cautions import caution_line, cautions_of
from webapp.facts.batch_views import BatchView, TurnView
from webapp.facts.batches import find_batch, past_batches, running_batch
from webapp.facts.next_work import next_work
from webapp.records.change import Asked
from webapp.records.outcome import NOBODY, Actor, NotThere
from webapp.records.views import BuildView
from webapp.sheets.route import change as service
from webapp.sheets.route.form import read_castings, read_start
from webapp.sheets.route.view import (
    TurnSheet,
    castings_in,
    following_turn,
    last_done,
    left_out,
    newcomers,
    reading_of,
    turn_on,
    turn_sheet,
    written_here,
)
from webapp.typed.as_set import read_settings
from webapp.typed.texts import Typed
from webapp.typed.ticks import read_wish
from webapp.web.common import (
    NO_WHO,
    UNPROCESSABLE,
    Attempt,
    Trouble,
    TypedDep,
    actor_of,
    do_or_page,
    fresh_token,
    page_of,
    see,
    trouble_from,
    who_of,
)
from webapp.web.deps import DbDep, Id
from webapp.web.form import press
from webapp.web.load import get_build
from webapp.web.readings import (
    read_with,
    remember,
    remembered_tools,
    shown_on,
    take_reading,
)

router = APIRouter()
_GONE = "There is no such batch."
_NO_BATCH = Trouble("refused", "", "Choose a batch of the plan and start that one.", UNPROCESSABLE)
_NO_TICK = Trouble("refused", "", "This wheel has no such tick in this batch.", UNPROCESSABLE)
_NO_READING = Trouble("refused", "", "This wheel has no such reading in this batch.", UNPROCESSABLE)
_NO_LAST = Trouble("refused", "", "This wheel has nothing to be set by in this batch.", UNPROCESSABLE)
# What a batch works out to be set.
_REAM = TASKS["ream_bore"]
_ENDED = Trouble("refused", "", "This batch is ended: nothing is ticked in it any more.", UNPROCESSABLE)


@router.get("/builds/{build_id}/batches")
def plan(request: Request, build_id: Id, db: DbDep) -> Response:
    """All remaining work in the order of the fewest changes of set-up."""
    return _plan_page(request, db, build_id, Typed(), None)


def _plan_page(request: Request, db: Db, build_id: int, typed: Typed, trouble: Trouble | None) -> Response:
    build = get_build(db, build_id)
    with db.read() as session:
        running, past = running_batch(session, build), past_batches(session, build)
    return render.page(
        request,
        "sheets/route/batches.html",
        trouble.status if trouble else 200,
        build=build,
        next=next_work(build, running),
        past=past,
        trouble=trouble,
        page_id=page_of(typed),
        token=fresh_token(),
        title_block={"build": build.name, "sheet": "Work in batches", "number": "WB"},
    )


@router.post("/builds/{build_id}/batches")
def start(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Start the first batch of the plan."""
    get_build(db, build_id)
    wish = read_start(typed)
    if wish is None:
        return _plan_page(request, db, build_id, typed, _NO_BATCH)
    return press(
        request,
        typed,
        act=lambda asked: service.start_batch(db, build_id, asked, wish),
        then=lambda batch_id: f"/batches/{batch_id}",
        show=lambda form: _plan_page(request, db, build_id, typed, form.trouble),
    )


def _get(db: Db, batch_id: int) -> tuple[BuildView, BatchView]:
    with db.read() as session:
        try:
            return find_batch(session, batch_id)
        except NotThere:
            raise NotFound(_GONE) from None


def _turn(batch: BatchView, typed: Typed) -> TurnView:
    try:
        return service.turn_at(batch, typed.version("turn"))
    except NotThere:
        raise NotFound("There is no such turn in this batch.") from None


@router.get("/batches/{batch_id}")
def batch(
    request: Request, batch_id: Id, db: DbDep, at: str = "", of: str = "", written: str = ""
) -> Response:
    """The batch at the wheel that is on now, or at the turn `at`, or that of the casting `of`.

    `written` is a reading just taken.
    """
    return _batch_page(request, db, batch_id, Typed({"turn": [at], "of": [of]}), written=written)


def _batch_page(
    request: Request,
    db: Db,
    batch_id: int,
    typed: Typed,
    trouble: Trouble | None = None,
    attempt: Attempt | None = None,
    written: str = "",
) -> Response:
    """The whole sheet: `trouble` stands in the way of the turn's own tick, `attempt` is a reading or a step not taken."""
    build, view = _get(db, batch_id)
    turn = turn_on(view, typed.version("turn") or None, typed.version("of") or None)
    taken = written_here(build, view, turn, written) if written else None
    further = None
    if turn is None:
        with db.read() as session:
            further = next_work(build, running_batch(session, build))
    return render.page(
        request,
        "sheets/route/batch.html",
        attempt.status if attempt else trouble.status if trouble else 200,
        build=build,
        batch=view,
        on=turn_sheet(build, view, turn, attempt.place if attempt else "") if turn else None,
        left_out=left_out(build, view, turn, taken),
        # Who comes from another sheet may not know that a wheel is ticked; a turn that was asked for was stepped to.
        last_done=last_done(view, turn) if turn and not view.ended and not typed.version("turn") else None,
        caution=caution_line(build, view.set_up),
        cautions=cautions_of(view.set_up),
        newcomers=newcomers(build, view),
        trouble=trouble,
        attempt=attempt or Attempt(""),
        written=taken,
        tools=read_with(build),
        remembered=remembered_tools(request),
        who=who_of(request, typed) or "",
        page_id=page_of(typed),
        token=fresh_token(),
        next=further,
        title_block={"build": build.name, "sheet": "Batch", "number": f"WB{view.id}"},
    )


@router.post("/batches/{batch_id}/readings")
def reading(request: Request, batch_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write the bore or the throw of a wheel that is on, and stay in the batch; what was read counts in an ended one too."""
    build, view = _get(db, batch_id)
    turn = _turn(view, typed)
    box = reading_of(build, turn, typed.get("due"))
    if box is None:
        return _batch_page(request, db, batch_id, typed, _NO_READING)
    read = read_due(db, build, box.due, typed, shown_on(typed))
    attempt = take_reading(request, typed, box.due, read.errors, read.store, read.fields)
    if attempt is not None:
        return _batch_page(request, db, batch_id, typed, attempt=attempt)
    answer = see(request, _after(db, batch_id, turn.ordinal, box.due.key))
    return remember(request, answer, typed, read.instrument_id, box.kind)


@router.post("/batches/{batch_id}/steps")
def step(request: Request, batch_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Tick or untick a small step of a wheel that is on."""
    build, view = _get(db, batch_id)
    turn = _turn(view, typed)
    on, wish, actor = turn_sheet(build, view, turn), read_wish(typed), actor_of(request, typed)
    number = typed.version("casting")
    keys = {one.key for wheel in on.wheels if wheel.casting.id == number for one in wheel.steps}
    if wish is None or wish.key not in keys:
        trouble: Trouble | None = _ENDED if view.ended else _NO_TICK
    elif actor is None:
        trouble = Trouble("who", wish.key, NO_WHO, UNPROCESSABLE)
    else:
        trouble = trouble_from(
            partial(ticks.tick_casting, db, number, Asked(actor, sent=typed.sent), wish), wish.key
        )
    attempt = Attempt(f"steps-{number}", typed, trouble=trouble, status=trouble.status) if trouble else None
    if attempt is None and not render.wants_fragment(request):
        return see(request, f"/batches/{batch_id}?at={turn.ordinal}", actor)
    if not render.wants_fragment(request):
        stranger = trouble if number not in {wheel.casting.id for wheel in on.wheels} else None
        return _batch_page(request, db, batch_id, typed, stranger, attempt)
    build, view = _get(db, batch_id)
    on = turn_sheet(build, view, service.turn_at(view, turn.ordinal))
    return render.fragment(
        request,
        "sheets/route/_batch_steps.html",
        attempt.status if attempt else 200,
        on=on,
        wheel=next((one for one in on.wheels if one.casting.id == number), None),
        attempt=attempt or Attempt(""),
    )


@router.post("/batches/{batch_id}/set")
def set_wheel(request: Request, batch_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Set a wheel that is on as the one before it was set, or by what was worked out, and stay with it."""
    build, view = _get(db, batch_id)
    turn = _turn(view, typed)
    number = typed.version("casting")
    wheel = next((one for one in turn_sheet(build, view, turn).wheels if one.casting.id == number), None)
    if wheel is None or not wheel.tasks:
        return _batch_page(request, db, batch_id, typed, _ENDED if view.ended else _NO_LAST)
    tasks, before = wheel.tasks, {one.id for one in castings_in(view)}
    said, errors = read_settings(typed, _REAM, build.unit)
    if not typed.get("wish") and (said is None or _REAM not in tasks):
        words = next(iter(errors.values()), _NO_LAST.words)
        return _batch_page(request, db, batch_id, typed, replace(_NO_LAST, words=words))

    def act(asked: Asked) -> int:
        own = Asked(asked.actor, sent=asked.sent)
        if typed.get("wish") or said is None:
            return set_same(db, number, own, tasks, typed.get("wish"), before)
        return keep_settings(db, number, own, _REAM, said)

    return press(
        request,
        typed,
        act=act,
        then=f"/batches/{batch_id}?at={turn.ordinal}",
        show=lambda form: _batch_page(request, db, batch_id, typed, form.trouble),
    )


@router.get("/batches/{batch_id}/readings")
@router.get("/batches/{batch_id}/steps")
@router.get("/batches/{batch_id}/set")
@router.get("/batches/{batch_id}/done")
@router.get("/batches/{batch_id}/pass")
@router.get("/batches/{batch_id}/end")
@router.get("/batches/{batch_id}/join")
def back_to_batch(request: Request, batch_id: Id, db: DbDep) -> Response:
    """Someone came to a form's own address, with the back button say: show the batch."""
    _get(db, batch_id)
    return see(request, f"/batches/{batch_id}")


@router.post("/batches/{batch_id}/done")
def done(request: Request, batch_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Tick what this turn is for, and go on to the next wheel."""
    build, view = _get(db, batch_id)
    turn = _turn(view, typed)
    actor = actor_of(request, typed)
    if turn.state != "done":
        trouble = _tick(db, view, turn_sheet(build, view, turn), typed, actor)
        if trouble is not None:
            return _batch_page(request, db, batch_id, typed, trouble)
        if turn.state == "passed":
            _pass(db, view, turn, False)
    return see(request, _after(db, batch_id, turn.ordinal), actor)


def _tick(db: Db, view: BatchView, on: TurnSheet, typed: Typed, actor: Actor | None) -> Trouble | None:
    wish, tick = read_wish(typed), on.tick
    if view.ended:
        return _ENDED
    if tick is None or wish is None or not wish.wanted or wish.key != tick.key:
        return _NO_TICK
    if actor is None:
        return Trouble("who", tick.key, NO_WHO, UNPROCESSABLE)
    asked = Asked(actor, sent=typed.sent)
    if not tick.of_axle:
        return trouble_from(lambda: ticks.tick_casting(db, tick.id, asked, wish, view), tick.key)
    if tick.key == "quartered":
        return trouble_from(lambda: ticks.tick_quartered(db, tick.id, asked, wish), tick.key)
    return trouble_from(
        lambda: ticks.fix_and_quarter(db, tick.id, replace(asked, seen=wish.seen), wish), tick.key
    )


def _after(db: Db, batch_id: int, ordinal: int, written: str = "") -> str:
    """Stay with a wheel that still has something to be done here, else go on to the next one."""
    _, view = _get(db, batch_id)
    turn = service.turn_at(view, ordinal)
    further = turn if turn.state in ("open", "doubted") else following_turn(view, turn)
    asked = {"at": further.ordinal} if further else {}
    query = urlencode(asked | ({"written": written} if written else {}))
    return f"/batches/{batch_id}" + (f"?{query}" if query else "")


@router.post("/batches/{batch_id}/pass")
def skip(request: Request, batch_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Skip a wheel for now."""
    _, view = _get(db, batch_id)
    turn = _turn(view, typed)
    _pass(db, view, turn, True)
    return see(request, _after(db, batch_id, turn.ordinal))


def _pass(db: Db, view: BatchView, turn: TurnView, passed: bool) -> None:
    do_or_page(lambda: service.pass_turn(db, view.build_id, Asked(NOBODY), view.id, turn.ordinal, passed))


@router.post("/batches/{batch_id}/join")
def join(request: Request, batch_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Put a wheel that came to its place meanwhile into the batch."""
    _, view = _get(db, batch_id)
    castings = read_castings(typed)
    if castings is None:
        raise NotFound("There is no such wheel in this build.")
    return press(
        request,
        typed,
        act=lambda asked: service.join_batch(db, view.build_id, Asked(asked.actor), batch_id, castings),
        then=lambda ordinal: f"/batches/{batch_id}?at={ordinal}",
    )


@router.post("/batches/{batch_id}/end")
def end(request: Request, batch_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """End a batch, done or not."""
    _, view = _get(db, batch_id)
    return press(
        request,
        typed,
        act=lambda asked: service.end_batch(db, view.build_id, Asked(asked.actor), batch_id),
        then=f"/builds/{view.build_id}/batches",
    )
