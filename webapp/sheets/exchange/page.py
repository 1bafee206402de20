"""The sheet that a build is exported from, its downloads, the form that takes one in, and the document's schema."""

from __future__ import annotations

import re
from functools import partial
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from webapp import render
from webapp.exchange.reading import Unreadable, read_document
from webapp.exchange.readings_csv import readings_csv
from webapp.exchange.tables import FORMAT, VERSION, schema
from webapp.exchange.writing import document_of, written
from webapp.sheets.exchange.change import COPY, FIELD, import_build
from webapp.typed.texts import Errors
from webapp.web.common import TypedDep, Upload, with_file
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_build

router = APIRouter()
_LONGEST_NAME = 60


@router.get("/builds/{build_id}/export")
def export_sheet(request: Request, build_id: Id, db: DbDep) -> Response:
    """What can be taken along of a build."""
    build = get_build(db, build_id)
    return render.page(
        request,
        "sheets/exchange/export.html",
        build=build,
        format=FORMAT,
        version=VERSION,
        title_block={"build": build.name, "sheet": "Export", "number": "E"},
    )


@router.get("/builds/{build_id}/export/build.json")
def download_build(build_id: Id, db: DbDep) -> Response:
    """The whole build as one document."""
    name = get_build(db, build_id).name
    with db.read() as session:
        text = written(document_of(session, build_id))
    return _download(text, attachment(name, "json"), "application/json")


@router.get("/builds/{build_id}/export/readings.csv")
def download_readings(build_id: Id, db: DbDep) -> Response:
    """Every reading as a table."""
    name = get_build(db, build_id).name
    with db.read() as session:
        text = readings_csv(session, build_id)
    return _download(text, attachment(f"{name} readings", "csv"), "text/csv; charset=utf-8; header=present")


def _download(text: str, as_file: str, kind: str) -> Response:
    return Response(text.encode(), headers={"content-disposition": as_file, "content-type": kind})


def attachment(name: str, end: str) -> str:
    """The header of a download (RFC 6266): a plain name for old browsers, and the name itself.

    >>> print(attachment("Tank ½/1", "json"))
    attachment; filename="Tank-1.json"; filename*=UTF-8''Tank%20%C2%BD%201.json
    """
    plain = "-".join(re.findall(r"[A-Za-z0-9]+", name)) or "build"
    safe = "".join(sign if sign.isalnum() or sign in " -_.,()½¼¾" else " " for sign in name)
    own = " ".join(safe.split()).strip(". ") or "build"
    return f"attachment; filename=\"{plain}.{end}\"; filename*=UTF-8''{quote(f'{own}.{end}', safe='')}"


@router.get("/export/schema.json")
def served_schema() -> Response:
    """What a build's document may hold, as JSON Schema."""
    return JSONResponse(schema(), media_type="application/schema+json")


def _shown_name(name: str) -> str:
    printable = "".join(sign for sign in name if sign.isprintable())
    return " ".join(printable.split())[:_LONGEST_NAME] or "a file without a name"


def _import(request: Request, form: Form) -> Response:
    return render.page(
        request,
        "sheets/exchange/import.html",
        form.status,
        title_block={"build": "another machine's", "sheet": "Import", "number": "I"},
        **form.context,
    )


@router.get("/import")
def import_sheet(request: Request) -> Response:
    """The form for a build's document."""
    return _import(request, Form())


@router.post("/import")
def take_in(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Take a build in from its document."""
    upload: Upload = request.state.uploads.get(FIELD) or Upload("", b"")
    name = _shown_name(upload.name)
    typed = with_file(typed, FIELD, name, upload.content)
    return take(
        request,
        typed,
        read=partial(_read, upload.content),
        act=lambda found, asked: import_build(db, asked.sent, found, name, typed.yes(COPY), asked.actor),
        then=lambda build_id: f"/builds/{build_id}",
        show=partial(_import, request),
    )


def _read(content: bytes) -> tuple[dict[str, Any] | None, Errors]:
    if not content:
        return None, Errors({FIELD: "Choose the file that was downloaded as JSON on the other machine."})
    try:
        return read_document(content), Errors()
    except Unreadable as error:
        return None, Errors({FIELD: error.sentence})
