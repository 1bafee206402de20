"""Who is at the bench, and which systems lengths are said in: remembered per device."""

from __future__ import annotations

import re

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.errors import NotTaken
from webapp.typed.texts import read_initials
from webapp.web.common import YEAR_S, TypedDep, remember_who, see
from webapp.web.deps import DbDep
from webapp.web.numbers import BOTH, COOKIE, OWN

router = APIRouter()

_SHEET = re.compile(
    r"/|/ordering|/builds/(new|[0-9]+(/(edit|fits|joints|reaming|figures|ordering|receiving|speeds|treads|crankpins"
    r"|quartering|rods|balance|made|batches))?)|/axles/[0-9]+(/(quartering|gauges|measured|journal|cautions|seats/(left|right)))?"
    r"|/castings/[0-9]+(/(scrap|receiving|true|metal|speeds|swing|tread|bore|throw|measured|cautions|strokes(/[0-9]+)?))?"
    r"|/batches/[0-9]+"
    r"|/workshop(/(instruments|machines|chucks)/(new|[0-9]+))?|/devices"
)
_SENTENCE = "Initials are one to four letters or digits, such as AB."


@router.post("/who")
def remember(request: Request, typed: TypedDep) -> Response:
    """Remember the initials on this device and go back to the sheet."""
    who = read_initials(typed.get("initials"))
    if render.wants_fragment(request):
        # The page stays, and so does whatever is typed on it.
        return _answer_piece(request, typed, who)
    back = typed.get("back")[:100]
    # A form that was refused stands at an address that can only be sent to: go to the sheet above it. Taking
    # only our own sheets also keeps this from leading off the machine.
    while back and not _SHEET.fullmatch(back):
        back = back.rpartition("/")[0]
    back = back or "/"
    if who is None:
        context = {"words": _SENTENCE, "typed_who": typed.get("initials"), "back": back}
        return render.page(request, "sheets/bench/initials.html", 422, **context)
    return remember_who(see(request, back), who)


@router.post("/numbers")
def choose_numbers(request: Request, typed: TypedDep) -> Response:
    """Remember on this device which systems lengths are said in."""
    chosen = typed.get("numbers")
    if chosen not in (OWN, BOTH):
        raise NotTaken("Choose both systems, or the build's own only.")
    response = see(request, "/workshop#numbers")
    response.set_cookie(COOKIE, chosen, max_age=YEAR_S, httponly=True, samesite="strict")
    return response


@router.get("/stand")
def stand(request: Request, db: DbDep) -> Response:
    """Which state the data file is in, for pages that look whether theirs is still the present one."""
    mark = f'"{db.stand()}"'
    if request.headers.get("if-none-match") == mark:
        return Response(status_code=304, headers={"ETag": mark})
    return Response(headers={"ETag": mark})


def _answer_piece(request: Request, typed: TypedDep, who: str | None) -> Response:
    if who is None:
        context = {"who": typed.get("initials"), "who_error": _SENTENCE}
        return render.fragment(request, "parts/_who_said.html", 422, **context)
    return remember_who(render.fragment(request, "parts/_who_said.html", who=who, who_error=""), who)
