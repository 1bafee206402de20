"""The system the workshop's own forms are typed in: chosen in a form, and remembered by the device."""

from __future__ import annotations

from fastapi import Request
from fastapi.responses import Response

from domain.lengths import Unit
from webapp.typed.texts import Typed
from webapp.web.common import SEE_OTHER

# What a number alone was last said to be in, on this device: never guessed from a build, which may be of either system.
_UNIT_COOKIE = "spokeshed_unit"
_YEAR_S = 365 * 24 * 3600


def chosen_unit(request: Request) -> Unit:
    """The system last chosen on this device."""
    text = request.cookies.get(_UNIT_COOKIE, "")
    return Unit(text) if text in set(Unit) else Unit.MM


def keep_unit(request: Request, typed: Typed, answer: Response) -> Response:
    """Once a form is taken, let the device remember the system that was chosen in it."""
    unit = typed.get("unit")
    if answer.status_code == SEE_OTHER and unit in set(Unit) and unit != chosen_unit(request):
        answer.set_cookie(_UNIT_COOKIE, unit, max_age=_YEAR_S, httponly=True, samesite="strict")
    return answer
