"""What every form for readings has: the instruments to choose from, the one this device used last, and its refusal."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, field, replace

from fastapi import Request
from fastapi.responses import Response

from webapp import render
from webapp.facts.correcting import tools_for
from webapp.facts.due import OF_TYRE, Due
from webapp.facts.due_box import what_words
from webapp.facts.measured_views import REACH
from webapp.records.change import Asked
from webapp.records.views import BuildView
from webapp.typed.heights import STOOD
from webapp.typed.how import FIELDS
from webapp.typed.readings import DUE_BOXES, PLACES
from webapp.typed.size_log import GROWN
from webapp.typed.texts import Errors, Typed
from webapp.web.common import (
    UNPROCESSABLE,
    YEAR_S,
    Attempt,
    Trouble,
    actor_of,
    need_actor,
    remember_who,
    tell,
    trouble_from,
)

# The instrument that this device last used for each kind of reading.
_TOOL_COOKIE = "spokeshed_with_"
# The fields that a refusal may be told beside; any other stands at the head of the form.
_FIRST = "reading0"
# What is measured from outside as a seat is.
_FROM_OUTSIDE = (*OF_TYRE, "heights")
_BESIDE = {"reading", "instrument_id", *FIELDS}

render.environment.globals.update(
    reading_places={name: f"{place.capitalize()}, {way} way" for name, (place, way) in PLACES.items()},
    deep_fields=(*FIELDS, *PLACES),
    enters_words=[("yes", "goes in"), ("no", "does not go in")],
    due_words=what_words,
    stood=list(STOOD.items()),
    grown=[(value, words, "") for value, words in GROWN],
)


@dataclass(frozen=True, slots=True)
class ReadWith:
    """What there is to measure with: by kind of reading the instruments that get at it, and the reamers."""

    of: dict[str, list[tuple[int, str]]] = field(default_factory=dict)
    reamers: list[tuple[int, str]] = field(default_factory=list)


def read_with(build: BuildView) -> ReadWith:
    """What a form for readings offers of the workshop's list."""
    of = {kind: tools_for(build, reach, plugs=kind == "bore") for kind, reach in REACH.items()}
    reamers = [(one.id, one.reamer.name) for one in build.reamers]
    return ReadWith(of | dict.fromkeys(_FROM_OUTSIDE, of["seat"]), reamers)


def remembered_tools(request: Request) -> dict[str, str]:
    """The instrument this device last used, by kind of reading."""
    return {kind: request.cookies.get(_TOOL_COOKIE + kind, "") for kind in (*REACH, *_FROM_OUTSIDE)}


def remember(
    request: Request, answer: Response, typed: Typed, instrument_id: int | None, kind: str
) -> Response:
    """Let the device remember who it was, and which instrument reads this."""
    actor = actor_of(request, typed)
    if actor is not None:
        remember_who(answer, actor.who)
    if instrument_id is not None:
        tool = str(instrument_id)
        answer.set_cookie(_TOOL_COOKIE + kind, tool, max_age=YEAR_S, httponly=True, samesite="strict")
    return answer


def take_reading(
    request: Request,
    typed: Typed,
    due: Due,
    errors: Errors,
    store: Callable[[Asked], object] | None,
    fields: Collection[str] = (),
) -> Attempt | None:
    """Store a reading as typed; what stands in the way comes back as the form that was not taken.

    `errors` are what was wrong with it as typed, `fields` those that a refusal is told beside.
    """
    actor = need_actor(request, typed, errors)
    if store is None or actor is None or errors:
        return refused_reading(due.key, typed, errors, None)
    asked = Asked(actor, typed.version(), typed.sent)
    trouble = trouble_from(lambda: store(asked), due.kind)
    return refused_reading(due.key, typed, errors, trouble, fields) if trouble else None


def refused_reading(
    place: str, typed: Typed, errors: Errors, trouble: Trouble | None, beside_too: Collection[str] = ()
) -> Attempt:
    """A reading that was not taken, each sentence beside its field; `beside_too` names fields that its form has besides."""
    status = UNPROCESSABLE
    # Of the reading that is due the first box has a place of its own, if it is a bore's.
    due = typed.get("from") == "due" and place.startswith("bore")
    beside = DUE_BOXES["bore"][0][0] if due else _FIRST
    if trouble is not None:
        if trouble.kind not in ("refused", "sent", "doubt"):
            return Attempt(place, typed, errors, trouble, trouble.status)
        known = trouble.key in _BESIDE or trouble.key in beside_too
        tell(errors, trouble if known else replace(trouble, key=""))
        status = trouble.status
    # What is said of the readings as a whole stands beside the first of them.
    first = Errors({beside if name == "reading" else name: words for name, words in errors.items()})
    return Attempt(place, typed, first, None, status)


def shown_on(typed: Typed) -> tuple[int, str] | None:
    """The axle end the page showed a wheel on; nothing for a spare."""
    if not typed.get("axle").strip() and not typed.get("side").strip():
        return None
    return typed.version("axle"), typed.get("side")
