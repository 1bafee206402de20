"""The only place where the parts are joined."""

import gc
from collections.abc import Callable, Iterator
from functools import partial

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware
from starlette.staticfiles import StaticFiles

from domain.lengths import Unit, parse_length
from webapp import errors, render
from webapp.copies import Copies
from webapp.db import Db
from webapp.devices.file import DevicesFile
from webapp.devices.gate import Gate
from webapp.devices.key import read_key
from webapp.devices.known import Devices
from webapp.guard import Guard
from webapp.hosts import Hosts
from webapp.late import Late
from webapp.listen import named_address
from webapp.settings import STATIC, Settings
from webapp.told import Told
from webapp.web.numbers import Numbers
from webapp.web.register import first_router, work_router

_PACKET = 1400
# Of zlib's nine levels: a twenty-fifth fewer bytes than by the fourth for a fortieth of a millisecond; above it none.
_QUICK = 6


def _warming() -> Iterator[Callable[[], object]]:
    """What the first sheets would else wait for: units, wheel standards, templates; and what is there to stay."""
    yield partial(parse_length, "1 mm", Unit.MM)
    from domain.treads.wheel_standard import presets  # here, for a start does without them

    yield presets
    for name in render.template_names():
        yield partial(render.environment.get_template, name)
    # The collector need not look at it again and again: that takes a tenth of a second, within somebody's answer.
    yield gc.collect
    yield gc.freeze


def _let_devices_in(app: FastAPI, settings: Settings) -> list[str]:
    """Join the devices and the gate; what is to be said of their files at the start comes back."""
    key, of_key = read_key(settings.key_file)
    file = DevicesFile(settings.devices_file)
    of_file = file.open()
    app.state.devices = Devices(file, key)
    if settings.device_code is None:
        app.state.gate = None
        file.put_code(None, 0)
    else:
        app.state.gate = Gate(file, settings.device_code)
    return [sentence for sentence in (of_key, of_file) if sentence]


def create_app(settings: Settings) -> FastAPI:
    """The program for one data file, which `upgrade.prepare` has made ready."""
    if not settings.on_loopback and settings.device_code is None:
        raise ValueError("an address that others can reach needs a code")
    app = FastAPI(title="Spokeshed", docs_url=None, redoc_url=None, openapi_url=None, redirect_slashes=False)
    app.state.settings = settings
    app.state.db = Db(settings.data)
    app.state.told = _let_devices_in(app, settings)
    app.state.named = named_address(settings.host, settings.port)
    app.state.copies = Copies(app.state.db, settings)
    app.include_router(first_router())
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    # Loading every sheet takes longer than all the rest of the start.
    app.state.late = app.router.default = Late(work_router, _warming())
    errors.add_handlers(app)
    app.add_middleware(Numbers)
    # What fits in one packet arrives no sooner for being smaller.
    app.add_middleware(GZipMiddleware, minimum_size=_PACKET, compresslevel=_QUICK)
    app.add_middleware(Told)
    # Added last, so it stands outermost.
    app.add_middleware(
        Guard,
        hosts=Hosts(settings.host, settings.port),
        devices=app.state.devices,
        ask_code=settings.device_code is not None,
    )
    return app
