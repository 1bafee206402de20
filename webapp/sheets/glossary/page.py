"""The trade's words."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.glossary import SUBJECTS
from webapp import render

router = APIRouter()


@router.get("/words")
def words(request: Request, of: str = "") -> Response:
    """Every word the sheets use, by subject; open is the one of the sheet it was asked from."""
    return render.page(
        request,
        "sheets/glossary/glossary.html",
        subjects=SUBJECTS,
        asked=of,
        title_block={"build": "", "sheet": "Words", "number": "W"},
    )
