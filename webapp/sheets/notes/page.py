"""The notes on a casting or an axle, the form for another, taking one away, and the photos themselves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Annotated, Any

from fastapi import APIRouter, Path, Request
from fastapi.responses import Response

from webapp import render
from webapp.db import Db
from webapp.errors import NotFound
from webapp.records.change import Asked
from webapp.records.measured import Whose
from webapp.records.notes import note_of, notes_of, picture_of
from webapp.records.views import AxleView, BuildView
from webapp.sheets.notes.change import clear_axle, clear_casting, note_axle, note_casting
from webapp.typed.notes import LONGEST_NOTE, PHOTO, NewNote, read_note
from webapp.typed.texts import Errors, Typed
from webapp.web.common import TypedDep, Upload, with_file
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_axle, get_casting, older_than

router = APIRouter()
PermanentId = Annotated[str, Path(pattern="^[0-9a-f]{32}$")]
# Which note is to be taken away, and which one's photo is looked at.
AWAY, SEEN = "away", "photo"


@router.get("/castings/{casting_id}/notes")
def of_casting(request: Request, casting_id: Id, db: DbDep) -> Response:
    """What was noted of a casting."""
    return _casting_page(request, db, casting_id, Form())


@router.post("/castings/{casting_id}/notes")
def write_of_casting(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Keep a note on a casting."""
    show = partial(_casting_page, request, db, casting_id)
    return _write(
        request, typed, f"/castings/{casting_id}/notes#notes", partial(note_casting, db, casting_id), show
    )


@router.post("/castings/{casting_id}/notes/away")
def clear_of_casting(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Take a note away from a casting."""
    show = partial(_casting_page, request, db, casting_id)
    return _clear(
        request, typed, f"/castings/{casting_id}/notes#notes", partial(clear_casting, db, casting_id), show
    )


@router.get("/axles/{axle_id}/notes")
def of_axle(request: Request, axle_id: Id, db: DbDep) -> Response:
    """What was noted of an axle."""
    return _axle_page(request, db, axle_id, Form())


@router.post("/axles/{axle_id}/notes")
def write_of_axle(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Keep a note on an axle."""
    show = partial(_axle_page, request, db, axle_id)
    return _write(request, typed, f"/axles/{axle_id}/notes#notes", partial(note_axle, db, axle_id), show)


@router.post("/axles/{axle_id}/notes/away")
def clear_of_axle(request: Request, axle_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Take a note away from an axle."""
    show = partial(_axle_page, request, db, axle_id)
    return _clear(request, typed, f"/axles/{axle_id}/notes#notes", partial(clear_axle, db, axle_id), show)


@router.get("/photos/{permanent_id}.jpg")
def photo(permanent_id: PermanentId, db: DbDep) -> Response:
    """The photo of a note."""
    return _picture(db, permanent_id, small=False)


@router.get("/photos/{permanent_id}/small.jpg")
def small_photo(permanent_id: PermanentId, db: DbDep) -> Response:
    """The photo of a note, small."""
    return _picture(db, permanent_id, small=True)


def _picture(db: Db, permanent_id: str, *, small: bool) -> Response:
    with db.read() as session:
        found = picture_of(session, permanent_id, small=small)
    if found is None:
        raise NotFound("There is no such photo: it may have been taken away.")
    return Response(found, media_type="image/jpeg", headers={"content-disposition": "inline"})


def _write(
    request: Request,
    typed: Typed,
    then: str,
    act: Callable[[Asked, NewNote], int],
    show: Callable[[Form], Response],
) -> Response:
    file = _file(request)
    return take(
        request,
        _with(typed, file),
        read=lambda: read_note(typed, None if file is None else file.content),
        # A note undoes nothing that somebody else did.
        act=lambda note, asked: act(replace(asked, seen=None), note),
        then=then,
        show=show,
    )


def _clear(
    request: Request,
    typed: Typed,
    then: str,
    act: Callable[[Asked, str], int],
    show: Callable[[Form], Response],
) -> Response:
    return take(
        request,
        typed,
        read=lambda: (typed.get(AWAY), Errors()),
        act=lambda note, asked: act(asked, note),
        then=then,
        show=show,
    )


def _file(request: Request) -> Upload | None:
    """The file that was chosen; a browser sends an empty one without a name where none was."""
    file: Upload | None = request.state.uploads.get(PHOTO)
    return file if file is not None and (file.name or file.content) else None


def _with(typed: Typed, file: Upload | None) -> Typed:
    return typed if file is None else with_file(typed, PHOTO, file.name, file.content)


def _casting_page(request: Request, db: Db, casting_id: int, form: Form) -> Response:
    build, casting = get_casting(db, casting_id)
    return _page(
        request,
        db,
        build,
        build.axle(casting.axle_id),
        Whose(casting_id=casting_id),
        form,
        name=casting.mark,
        home=f"/castings/{casting_id}",
        version=casting.version,
        number=casting.mark,
    )


def _axle_page(request: Request, db: Db, axle_id: int, form: Form) -> Response:
    build, axle = get_axle(db, axle_id)
    return _page(
        request,
        db,
        build,
        axle,
        Whose(axle_id=axle_id),
        form,
        name=f"axle {axle.number}",
        home=f"/axles/{axle_id}",
        version=axle.version,
        number=f"A{axle.number}",
    )


def _page(
    request: Request,
    db: Db,
    build: BuildView,
    axle: AxleView | None,
    whose: Whose,
    form: Form,
    *,
    name: str,
    number: str,
    **more: Any,
) -> Response:
    """The notes with the form for another, with a photo as large as it is, or with the question whether one is to go."""
    wanted = form.typed if form.typed.fields else Typed({AWAY: request.query_params.getlist(AWAY)})
    with db.read() as session:
        notes = notes_of(session, whose, older_than(request))
        asked = note_of(session, whose, wanted.get(AWAY))
        seen = note_of(session, whose, request.query_params.get(SEEN, ""))
    return render.page(
        request,
        "sheets/notes/notes.html",
        form.status,
        build=build,
        axle=axle,
        notes=notes,
        asked=asked,
        seen=seen if seen is not None and seen.has_photo else None,
        longest=LONGEST_NOTE,
        # A browser never gives a file back to a form.
        again=PHOTO in form.typed.fields and PHOTO not in form.errors,
        name=name,
        title_block={"build": build.name, "sheet": f"Notes, {name}", "number": number},
        **more,
        **form.context,
    )
