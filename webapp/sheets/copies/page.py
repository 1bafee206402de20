"""The sheet of the copies; it knows nothing of any build, only of the file as a whole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, cast

from fastapi import APIRouter, Depends, Request
from fastapi.responses import FileResponse, Response

from webapp import render
from webapp.copies import Copies, Copy, Legacy, Newer
from webapp.errors import NotFound
from webapp.web.common import CONFLICT, TypedDep, see
from webapp.web.deps import Id

router = APIRouter()

# So many stand open; the rest are folded away.
_SHOWN = 5
_WHY = {"": "", "replaced": "What was there before a copy was put back"}


# Async: a plain `def` would be handed to a thread of its own.
async def _get_copies(request: Request) -> Copies:
    return cast(Copies, request.app.state.copies)


CopiesDep = Annotated[Copies, Depends(_get_copies)]


@dataclass(frozen=True, slots=True)
class _Row:
    copy: Copy
    size: str
    why: str


@dataclass(frozen=True, slots=True)
class _Question:
    copy: Copy
    newer: Newer


def _row(copy: Copy) -> _Row:
    why = _WHY.get(copy.why, "Before a newer program changed the tables")
    return _Row(copy, f"{copy.size / 1e6:.1f} MB", why)


def _page(
    request: Request,
    copies: Copies,
    status: int = 200,
    *,
    question: _Question | None = None,
    aside: Copy | None = None,
    deleted: Legacy | None = None,
) -> Response:
    rows = [_row(copy) for copy in copies.all()]
    return render.page(
        request,
        "sheets/copies/copies.html",
        status,
        copies=copies,
        unsound=copies.unsound(),
        shown=rows[:_SHOWN],
        older=rows[_SHOWN:],
        question=question,
        aside=aside,
        deleted=deleted,
        left=copies.left(),
        title_block={"build": "every build", "sheet": "Copies", "number": "1"},
    )


def _find(copies: Copies, number: int) -> Copy:
    if (copy := copies.find(number)) is None:
        raise NotFound("There is no such copy any more.")
    return copy


def _number(request: Request, name: str) -> int | None:
    text = request.query_params.get(name, "")
    return int(text[:18]) if text.isascii() and text.isdecimal() else None


@router.get("/copies")
def sheet(request: Request, copies: CopiesDep) -> Response:
    """The copies there are; with `?restore=` the one that may be put back, and what it would put aside."""
    asked, aside, deleted = (_number(request, name) for name in ("restore", "aside", "deleted"))
    if asked is not None:
        return _ask(request, copies, _find(copies, asked))
    return _page(
        request,
        copies,
        aside=None if aside is None else copies.find(aside),
        deleted=None if deleted is None else copies.find_left(deleted),
    )


def _ask(request: Request, copies: Copies, copy: Copy, status: int = 200) -> Response:
    return _page(request, copies, status, question=_Question(copy, copies.newer_than(copy)))


@router.post("/copies")
def make(request: Request, copies: CopiesDep) -> Response:
    """Make a copy now."""
    copies.make()
    return see(request, "/copies#list")


@router.get("/copies/{number}/file")
def download(number: Id, copies: CopiesDep) -> Response:
    """The copy as a file to be kept elsewhere."""
    copy = _find(copies, number)
    return FileResponse(copy.path, filename=copy.path.name, media_type="application/vnd.sqlite3")


@router.get("/copies/deleted/{number}/build.json")
def download_left(number: Id, copies: CopiesDep) -> Response:
    """The export that a deleted build left, to be kept elsewhere or imported."""
    if (left := copies.find_left(number)) is None:
        raise NotFound("There is no such export any more.")
    return FileResponse(left.path, filename=f"{left.name}.json", media_type="application/json")


@router.post("/copies/{number}/restore")
def restore(request: Request, number: Id, copies: CopiesDep, typed: TypedDep) -> Response:
    """Put a copy back, once it was said how much newer work that puts aside; asked anew when more was done since."""
    copy = _find(copies, number)
    if typed.get("newer") != str(copies.newer_than(copy).lines):
        return _ask(request, copies, copy, CONFLICT)
    aside = copies.put_back(copy)
    return see(request, f"/copies?aside={aside.number}")
