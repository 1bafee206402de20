"""Who is at the bench: initials, remembered per device."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.forms.typed import read_initials
from webapp.routes.common import TypedDep, remember_who, see

router = APIRouter()

_SENTENCE = "Initials are one to four letters or digits, such as AB."


@router.post("/who")
def remember(request: Request, typed: TypedDep) -> Response:
    """Remember the initials on this device and go back to the sheet."""
    who = read_initials(typed.get("initials"))
    back = typed.get("back")
    # Only a path of our own: anything else could lead off the machine.
    back = back if back.startswith("/") and not back.startswith(("//", "/\\")) and back.isprintable() else "/"
    if who is None:
        context = {"words": _SENTENCE, "typed_who": typed.get("initials"), "back": back}
        return render.page(request, "initials.html", 422, **context)
    return remember_who(see(request, back, typed), who)
