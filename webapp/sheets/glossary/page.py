"""The trade's words."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.glossary import SUBJECTS
from webapp import render

router = APIRouter()


@router.get("/words")
def words(request: Request) -> Response:
    """Every word the sheets use, by subject."""
    return render.page(
        request,
        "sheets/glossary/glossary.html",
        subjects=SUBJECTS,
        title_block={"build": "", "sheet": "Words", "number": "W"},
    )
