"""Drawing the axle sheet and the casting sheet, whole or the piece that changed."""

from __future__ import annotations

from typing import Any

from fastapi import Request
from fastapi.responses import Response

from domain.measuring.instruments import InstrumentKind
from domain.route.stages import Stage, Step
from webapp import render
from webapp.db import Db
from webapp.facts.batches import running_id
from webapp.facts.measured_views import REACH, history_line
from webapp.facts.received import received_brief
from webapp.facts.work_sheets import all_of
from webapp.records.history import axle_journal, casting_journal
from webapp.records.measured import history_of
from webapp.records.views import BuildView, CastingView
from webapp.records.workshop import list_instruments, list_reamers
from webapp.sheets.wheel.form_how import FIELDS
from webapp.sheets.wheel.form_readings import PLACES
from webapp.sheets.wheel.view import axle_sheet, wheel_card
from webapp.typed.texts import Typed
from webapp.typed.ticks import read_wish
from webapp.web.common import Attempt, fresh_token, page_of, see, who_of
from webapp.web.load import get_axle, get_casting, older_than

render.environment.globals.update(
    reading_places={name: f"{place.capitalize()}, {way} way" for name, (place, way) in PLACES.items()},
    deep_fields=(*FIELDS, *PLACES),
    enters_words=[("yes", "goes in"), ("no", "does not go in")],
)


def _tools(db: Db) -> dict[str, Any]:
    """What a form for readings offers: for each thing measured the instruments that get at it, and the reamers."""
    with db.read() as session:
        instruments, reamers = list_instruments(session), list_reamers(session)
    in_use = [one for one in instruments if not one.retired]
    return {
        "of": {
            kind: [
                (one.id, one.instrument.name)
                for one in in_use
                if one.instrument.measures(reach)
                and (kind == "bore" or one.instrument.kind is InstrumentKind.VALUE)
            ]
            for kind, reach in REACH.items()
        },
        "reamers": [(one.id, one.reamer.name) for one in reamers],
    }


def _shared(
    request: Request, build: BuildView, view: str, typed: Typed, attempt: Attempt | None
) -> dict[str, Any]:
    """What both sheets and all their pieces need."""
    said = who_of(request, typed) or ""
    return {
        "build": build,
        "view": view,
        "page_id": page_of(typed),
        "token": fresh_token,
        "attempt": attempt or Attempt(""),
        "opened": "",
        "who": said,
        "newly_said": said != render.initials(request.cookies),
    }


def show_axle(
    request: Request, db: Db, axle_id: int, typed: Typed, attempt: Attempt | None = None, status: int = 200
) -> Response:
    """The whole axle sheet."""
    build, axle = get_axle(db, axle_id)
    with db.read() as session:
        journal = axle_journal(session, axle_id, older_than(request))
        to_batch = running_id(session, build.id)
    context = _shared(request, build, "axle", typed, attempt)
    context |= {
        "to_batch": to_batch,
        "sheet": axle_sheet(build, axle),
        "tools": _tools(db),
        "journal": journal,
        "title_block": {"build": build.name, "sheet": f"Axle {axle.number}", "number": f"A{axle.number}"},
    }
    return render.page(request, "sheets/wheel/axle.html", status, **context)


def show_casting(
    request: Request, db: Db, casting_id: int, typed: Typed, attempt: Attempt | None = None, status: int = 200
) -> Response:
    """The whole casting sheet."""
    build, casting = get_casting(db, casting_id)
    context = _shared(request, build, "casting", typed, attempt) | _history(request, db, build, casting)
    context |= {
        "work_sheets": all_of(casting, build.order_of(casting).coupled),
        "received": received_brief(build, casting),
    }
    context["title_block"] = {"build": build.name, "sheet": f"Casting {casting.mark}", "number": casting.mark}
    return render.page(request, "sheets/wheel/casting.html", status, **context)


def _history(request: Request, db: Db, build: BuildView, casting: CastingView) -> dict[str, Any]:
    with db.read() as session:
        journal = casting_journal(session, casting.id, older_than(request))
        history = history_of(session, casting.id, newest=True)
    shown = [(one, history_line(build, one)) for one in history]
    return {
        "card": wheel_card(build, casting),
        "journal": journal,
        "measured": shown,
        "tools": _tools(db),
    }


def answer_casting(
    request: Request,
    db: Db,
    casting_id: int,
    typed: Typed,
    attempt: Attempt | None = None,
) -> Response:
    """After something was tried on a casting: for htmx its card, and what else hangs on it; else the sheet it was on."""
    build, casting = get_casting(db, casting_id)
    alone = typed.get("view") == "casting" or casting.axle_id is None
    if not render.wants_fragment(request):
        if attempt is None:
            back = f"/castings/{casting.id}" if alone else f"/axles/{casting.axle_id}#wheel-{casting.id}"
            return see(request, back)
        if alone or casting.axle_id is None:
            return show_casting(request, db, casting_id, typed, attempt, attempt.status)
        return show_axle(request, db, casting.axle_id, typed, attempt, attempt.status)
    status = attempt.status if attempt else 200
    axle = build.axle(casting.axle_id)
    if typed.get("view") == "casting" or axle is None:
        context = _shared(request, build, "casting", typed, attempt) | _history(request, db, build, casting)
        return render.fragment(request, "sheets/wheel/_casting_answer.html", status, **context)
    sheet = axle_sheet(build, axle)
    context = _shared(request, build, "axle", typed, attempt)
    cards = [place.card for place in sheet.places if place.card]
    context |= {"sheet": sheet, "card": next(card for card in cards if card.casting.id == casting_id)}
    # A wheel that goes on changes what is next for its fellow: the second one is quartered as it goes on.
    wish = read_wish(typed)
    fixed = attempt is None and wish is not None and wish.key == Stage.PRESSED.value
    context["fellow"] = next((card for card in cards if fixed and card.casting.id != casting_id), None)
    context["tools"] = _tools(db)
    return render.fragment(request, "sheets/wheel/_axle_answer.html", status, **context)


def answer_step(request: Request, db: Db, casting_id: int, typed: Typed, step: Step) -> Response:
    """What htmx swaps after a small step was ticked on an axle sheet: its stage, for nothing else has changed."""
    build, casting = get_casting(db, casting_id)
    card = wheel_card(build, casting, whole=False)
    context = _shared(request, build, "axle", typed, None)
    context |= {"card": card, "opened": step.stage.value}
    context["line"] = next(line for line in card.lines if line.key == step.stage.value)
    return render.fragment(request, "sheets/wheel/_step_answer.html", **context)


def answer_axle(
    request: Request, db: Db, axle_id: int, typed: Typed, attempt: Attempt | None = None
) -> Response:
    """After something was tried on an axle: for htmx its own part and both wheels, else its sheet."""
    build, axle = get_axle(db, axle_id)
    if not render.wants_fragment(request):
        if attempt is None:
            return see(request, f"/axles/{axle_id}#axle-own")
        return show_axle(request, db, axle_id, typed, attempt, attempt.status)
    with db.read() as session:
        journal = axle_journal(session, axle_id)
    context = _shared(request, build, "axle", typed, attempt)
    context |= {"sheet": axle_sheet(build, axle), "journal": journal, "tools": _tools(db)}
    return render.fragment(
        request, "sheets/wheel/_axle_own_answer.html", attempt.status if attempt else 200, **context
    )


def on_axle(typed: Typed) -> bool:
    """Whether a form was sent from an axle sheet."""
    return typed.get("view") == "axle"
