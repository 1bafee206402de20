"""Ticks: one tap each, answered with the piece of the sheet that changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.route.stages import Step, tickable
from webapp import render
from webapp.acts import ticks
from webapp.db import Db
from webapp.facts.before_tick import TOGETHER
from webapp.records.change import Asked
from webapp.sheets.wheel.page import answer_axle, answer_casting, answer_step
from webapp.typed.texts import Typed
from webapp.typed.ticks import TickWish, read_wish
from webapp.web.common import (
    NO_WHO,
    UNPROCESSABLE,
    Attempt,
    Trouble,
    TypedDep,
    actor_of,
    remember_who,
    trouble_from,
)
from webapp.web.deps import DbDep, Id

router = APIRouter()

_NO_SUCH_TICK = Trouble("refused", "", "There is no such stage or step to tick.", UNPROCESSABLE)


def _try(
    request: Request, typed: Typed, wish: TickWish | None, act: Callable[[TickWish, Asked], object]
) -> Trouble | None:
    if wish is None or (tickable(wish.key) is None and wish.key != TOGETHER):
        return _NO_SUCH_TICK
    actor = actor_of(request, typed)
    if actor is None:
        return Trouble("who", wish.key, NO_WHO, UNPROCESSABLE)
    return trouble_from(partial(act, wish, Asked(actor, sent=typed.sent)), wish.key)


def _remembering(request: Request, typed: Typed, response: Response) -> Response:
    """Whoever it was is remembered, even when the wish could not be granted."""
    actor = actor_of(request, typed)
    if actor is not None and actor.who != render.initials(request.cookies):
        remember_who(response, actor.who)
    return response


@router.post("/castings/{casting_id}/ticks")
def tick(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Tick or untick a stage or step of one casting."""
    wish = read_wish(typed)
    trouble = _try(request, typed, wish, partial(_tick_casting, db, casting_id))
    attempt = (
        Attempt(f"wheel-{casting_id}", typed, trouble=trouble, status=trouble.status) if trouble else None
    )
    step = tickable(wish.key) if wish else None
    if render.wants_fragment(request) and attempt is None and isinstance(step, Step):
        answer = answer_step(request, db, casting_id, typed, step)
    else:
        answer = answer_casting(request, db, casting_id, typed, attempt)
    return _remembering(request, typed, answer)


@router.post("/axles/{axle_id}/ticks")
def tick_axle(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Tick or untick the axle's own stage; or fix its second wheel and quarter in one go."""
    trouble = _try(request, typed, read_wish(typed), partial(_axle_wish, db, axle_id))
    attempt = Attempt(f"axle-{axle_id}", typed, trouble=trouble, status=trouble.status) if trouble else None
    return _remembering(request, typed, answer_axle(request, db, axle_id, typed, attempt))


def _tick_casting(db: Db, casting_id: int, wish: TickWish, asked: Asked) -> None:
    ticks.tick_casting(db, casting_id, asked, wish)


def _axle_wish(db: Db, axle_id: int, wish: TickWish, asked: Asked) -> None:
    if wish.key == "quartered":
        ticks.tick_quartered(db, axle_id, asked, wish)
    elif wish.key == TOGETHER and wish.wanted:
        ticks.fix_and_quarter(db, axle_id, replace(asked, seen=wish.seen), wish)
    else:
        ticks.no_such_tick()
