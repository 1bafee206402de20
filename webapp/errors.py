"""Every refusal as one sentence: a page for a person, a fragment for htmx, and never a traceback."""

import logging
from collections.abc import Mapping
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import PlainTextResponse, Response
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from webapp import render
from webapp.faults import FileTrouble

log = logging.getLogger("spokeshed")

_TITLES = {
    403: "Refused",
    404: "Not here",
    405: "Not that way",
    409: "Out of date",
    413: "Too much",
    422: "Not taken",
    500: "Something went wrong",
    503: "Not now",
}
_SENTENCES = {
    404: "There is no such sheet.",
    405: "This address does not take that: go back to the sheet and use its buttons.",
}
_UNEXPECTED = (
    "Something went wrong in the program: open the sheet again to see what was stored. "
    "The details are in the window where spokeshed was started, and in its log file beside the data."
)


class PageError(HTTPException):
    """A refusal that a person reads: a status and one sentence."""

    def __init__(self, status: int, sentence: str, title: str = "") -> None:
        super().__init__(status, sentence)
        self.title = title


class NotFound(PageError):
    """What was asked for does not exist."""

    def __init__(self, sentence: str = _SENTENCES[404]) -> None:
        super().__init__(404, sentence)


class Conflict(PageError):
    """Someone else changed it meanwhile, or the change contradicts what is stored."""

    def __init__(self, sentence: str) -> None:
        super().__init__(409, sentence)


class NotTaken(PageError):
    """What was sent cannot be used."""

    def __init__(self, sentence: str) -> None:
        super().__init__(422, sentence)


def answer(request: Request, error: HTTPException) -> Response:
    """The refusal in the shape that was asked for."""
    status = error.status_code
    sentence = error.detail if isinstance(error, PageError) else _SENTENCES.get(status, error.detail)
    title = (error.title if isinstance(error, PageError) else "") or _TITLES.get(status, "Refused")
    context: dict[str, Any] = {"title": title, "sentence": sentence}
    if render.wants_fragment(request):
        response = render.fragment(request, "parts/_error.html", status, **context)
        # The sheet stays as it is; the sentence stands at the foot of the screen.
        response.headers["HX-Retarget"] = "#trouble"
        response.headers["HX-Reswap"] = "innerHTML"
    else:
        response = render.page(request, "error.html", status, **context)
    response.headers.update(_plain(error.headers))
    return response


def add_handlers(app: FastAPI) -> None:
    """Answer refusals, bad input and unexpected errors with a sentence."""

    @app.exception_handler(HTTPException)
    def refused(request: Request, error: HTTPException) -> Response:
        return answer(request, error)

    @app.exception_handler(FileTrouble)
    def not_now(request: Request, error: FileTrouble) -> Response:
        # No traceback: nothing is wrong with the program, and the sentence is all there is to know.
        log.info("%s %s: %s", request.method, request.url.path, error)
        return answer(request, PageError(503, str(error)))

    @app.exception_handler(RequestValidationError)
    def invalid(request: Request, error: RequestValidationError) -> Response:
        where = [str(part) for part in error.errors()[0]["loc"]]
        if where[0] == "path":
            return answer(request, NotFound())
        return answer(
            request, NotTaken(f"The field “{where[-1]}” could not be read: go back and fill it in again.")
        )

    app.add_middleware(CatchAll)


class CatchAll:
    """Logs what nobody expected and answers with a page; inside the guard, which adds its headers."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on."""
        started = False

        async def watch(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self._app(scope, receive, watch)
        except Exception:
            log.exception("%s %s", scope.get("method"), scope.get("path"))
            if started or scope["type"] != "http":
                raise
            await _unexpected(Request(scope))(scope, receive, send)


def _unexpected(request: Request) -> Response:
    refusal = PageError(500, _UNEXPECTED)
    try:
        return answer(request, refusal)
    except Exception:
        log.exception("the error page itself failed")
        return PlainTextResponse(refusal.detail, refusal.status_code)


def _plain(headers: Mapping[str, str] | None) -> dict[str, str]:
    return dict(headers or {})
