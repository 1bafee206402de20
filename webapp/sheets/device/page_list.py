"""The devices that are let in: what each is called, when it was last here, a code for another, and forgetting one."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import render
from webapp.devices.file import DevicesUnwritable
from webapp.errors import NotFound, NotTaken, PageError
from webapp.typed.texts import Errors, Typed
from webapp.web import pairing
from webapp.web.common import TypedDep, see

router = APIRouter()

_UNTOUCHED = Typed()


def _page(request: Request, typed: Typed = _UNTOUCHED, wrong: str = "") -> Response:
    gate = request.app.state.gate
    listed = request.app.state.devices.listed()
    return render.page(
        request,
        "sheets/device/devices.html",
        422 if wrong else 200,
        let_in=[one for one in listed if one.copied is None],
        ended=[one for one in listed if one.copied is not None],
        this=request.state.device,
        asks=gate is not None,
        code=gate.shown() if gate else None,
        typed=typed,
        errors=Errors(name=wrong) if wrong else Errors(),
        longest_name=pairing.LONGEST_NAME,
        title_block={"build": "every build", "sheet": "Devices", "number": "1"},
    )


@router.get("/devices")
def listed(request: Request) -> Response:
    """Show them."""
    return _page(request)


@router.post("/devices")
def change(request: Request, typed: TypedDep) -> Response:
    """Make a code, call a device by another name, or forget one."""
    devices, gate = request.app.state.devices, request.app.state.gate
    wish, device = typed.get("wish"), typed.get("device")
    if wish == "code" and gate is not None:
        _write(gate.new_code)
        return see(request, "/devices")
    if wish == "forget":
        # Gone is what was wished for, also when another was quicker.
        _write(lambda: devices.forget(device))
        return see(request, "/devices")
    if wish != "name":
        raise NotTaken("This sheet does not take that: open it again and use its buttons.")
    if device not in {one.id for one in devices.listed()}:
        raise NotFound("That device is not on the list any more.")
    name, wrong = pairing.read_name(typed.get("name"))
    if wrong:
        return _page(request, typed, wrong)
    _write(lambda: devices.rename(device, name))
    return see(request, "/devices")


def _write(act: Callable[[], None]) -> None:
    try:
        act()
    except DevicesUnwritable as error:
        raise PageError(503, str(error)) from None
