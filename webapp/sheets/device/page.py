"""The form where a new device gives the code."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response
from starlette.exceptions import HTTPException

from webapp.devices.file import DevicesUnwritable
from webapp.devices.known import cookie_header
from webapp.typed.texts import Typed
from webapp.web import pairing
from webapp.web.common import typed_form

router = APIRouter()

_LONGEST_CODE = 40


async def _typed(request: Request) -> Typed:
    """The form; one that cannot be read is an empty one, for whoever is not let in is shown no other page than this."""
    try:
        return await typed_form(request)
    except HTTPException:
        return Typed()


@router.get("/device")
def ask(request: Request) -> Response:
    """Show the form, or go on when the device is let in already."""
    if request.state.known:
        return RedirectResponse("/", 303)
    return pairing.ask(request)


@router.post("/device")
def give(request: Request, typed: Annotated[Typed, Depends(_typed)]) -> Response:
    """Take the code; the right one lets the device in."""
    answer = RedirectResponse("/", 303)
    if request.state.known:
        return answer
    name, wrong = pairing.read_name(typed.get("name"))
    if wrong:  # said before the code is looked at, so that no try is spent
        return pairing.ask(request, 422, name=name, name_error=wrong)
    code = typed.get("code")
    refusal = request.app.state.gate.refusal(
        code if len(code) <= _LONGEST_CODE else "", pairing.address_of(request)
    )
    if refusal is not None:
        return pairing.ask(request, 422, code_error=refusal, name=name)
    devices = request.app.state.devices
    try:
        cookie = devices.let_in(name, request.cookies.get(devices.cookie_name))
    except DevicesUnwritable as error:
        return pairing.ask(request, 503, code_error=str(error), name=name)
    answer.headers.append("set-cookie", cookie_header(devices.cookie_name, cookie))
    return answer
