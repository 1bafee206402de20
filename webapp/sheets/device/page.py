"""The form where a new device gives the code that was printed at the start."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from webapp import render
from webapp.devices import PASS_COOKIE, cookie_header

router = APIRouter()


@router.get("/device")
def ask(request: Request) -> Response:
    """Show the form, or go on when the device is known already."""
    if request.state.known:
        return RedirectResponse("/", 303)
    return render.page(request, "sheets/device/device.html", sentence="")


@router.post("/device")
def give(request: Request, code: Annotated[str, Form(max_length=40)] = "") -> Response:
    """Take the code; the right one makes the device known for a year."""
    gate = request.app.state.gate
    if gate is not None and not request.state.known:
        sentence = gate.refusal(code)
        if sentence is not None:
            return render.page(request, "sheets/device/device.html", 422, sentence=sentence)
    answer = RedirectResponse("/", 303)
    if gate is not None:
        answer.headers.append(
            "set-cookie", cookie_header(PASS_COOKIE, request.app.state.devices.new_pass(request.state.device))
        )
    return answer
