"""The trade's words."""

from __future__ import annotations

from urllib.parse import urlsplit

from fastapi import APIRouter, Request
from fastapi.responses import Response
from starlette.routing import compile_path

from domain.glossary import SUBJECTS
from webapp import render
from webapp.web.register import FIRST, SHEETS

router = APIRouter()

_OWN = "/words"
_SHEETS = [compile_path(sheet.address)[0] for sheet in (*FIRST, *SHEETS) if sheet.address != _OWN]


@router.get(_OWN)
def words(request: Request, of: str = "") -> Response:
    """Every word the sheets use, by subject; open is the one of the sheet it was asked from, which a link leads back to."""
    return render.page(
        request,
        "sheets/glossary/glossary.html",
        subjects=SUBJECTS,
        asked=of,
        back=_came_from(request),
        title_block={"build": "", "sheet": "Words", "number": "W"},
    )


def _came_from(request: Request) -> str:
    """The sheet of ours that the browser says it comes from; empty where it says none, or what only takes a form."""
    try:
        came = urlsplit(request.headers.get("referer", ""))
    except ValueError:  # no address at all
        return ""
    if came.netloc.lower() != request.headers.get("host", "").lower() or not any(
        one.match(came.path) for one in _SHEETS
    ):
        return ""
    return f"{came.path}?{came.query}" if came.query else came.path
